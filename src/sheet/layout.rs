//! A small flow layout: headings, paragraphs, tables, tick lines and boxes set one below the other, with page breaks.
//!
//! Nothing is ever cut in two by a page break but a table, and a table only between rows, with its head repeated.

use super::balloons::{self, Tag};
use super::lettering::{self, LINE_PER_HEIGHT, heights};
use super::page::{Anchor, Area, Item, Page, PageList, Paper, Pen, Shade, Text, Weight};
use super::words;
use glam::Vec2;

/// Height of the line at the head of each page, millimetres.
const HEAD_MM: f32 = 9.0;
/// Height of the lines at its foot, millimetres.
const FOOT_MM: f32 = 8.0;
/// Blank inside a table cell, millimetres.
const CELL_PAD_MM: f32 = 1.4;

/// What stands on every page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Running {
    /// Job name.
    pub job: String,
    /// Revision and its date, in words.
    pub revision: String,
    /// Program and version.
    pub program: String,
    /// Digests, in words.
    pub digests: String,
}

/// What stands in a table cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Ordinary words.
    Words(String),
    /// Words in bold.
    Bold(String),
    /// A tag and words.
    Tagged(Tag, String),
    /// Words in bold, further words below them.
    Headed(String, String),
    /// Room to write, with a line.
    Write,
}

impl Cell {
    /// Ordinary words.
    pub fn words(text: impl Into<String>) -> Cell {
        Cell::Words(text.into())
    }

    /// Words in bold.
    pub fn bold(text: impl Into<String>) -> Cell {
        Cell::Bold(text.into())
    }
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Heading.
    pub title: String,
    /// Share of the width.
    pub share: f32,
    /// Where its words stand.
    pub anchor: Anchor,
}

impl Column {
    /// Words from the left.
    pub fn left(title: impl Into<String>, share: f32) -> Column {
        Column { title: title.into(), share, anchor: Anchor::Left }
    }

    /// Figures to the right.
    pub fn right(title: impl Into<String>, share: f32) -> Column {
        Column { title: title.into(), share, anchor: Anchor::Right }
    }
}

/// One line of work with its tick box.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tick {
    /// What to do.
    pub words: String,
    /// A remark in smaller letters; empty for none.
    pub detail: String,
    /// The figure that is weighed or set; empty for none.
    pub figure: String,
    /// What is to be written down; empty for nothing.
    pub write: String,
}

/// The page under work.
pub struct Flow {
    paper: Paper,
    inside: Area,
    pages: Vec<Page>,
    y: f32,
}

impl Flow {
    /// An empty sheet; the first page starts with the first thing that is set.
    pub fn new(paper: Paper) -> Flow {
        let frame = paper.inside();
        let inside =
            Area { min: frame.min + Vec2::new(0.0, HEAD_MM + 2.0), max: frame.max - Vec2::new(0.0, FOOT_MM + 2.0) };
        Flow { paper, inside, pages: Vec::new(), y: inside.max.y }
    }

    /// Width of the lines, millimetres.
    pub fn width(&self) -> f32 {
        self.inside.size().x
    }

    /// Height of an empty page, millimetres.
    pub fn full_height(&self) -> f32 {
        self.inside.size().y
    }

    /// Height left on this page, millimetres.
    pub fn left(&self) -> f32 {
        if self.pages.is_empty() { 0.0 } else { (self.inside.max.y - self.y).max(0.0) }
    }

    /// Starts a new page.
    pub fn new_page(&mut self) {
        self.pages.push(Page::default());
        self.y = self.inside.min.y;
    }

    /// Starts a new page where less than `height_mm` is left (or nothing was set yet).
    pub fn keep(&mut self, height_mm: f32) {
        let fresh = !self.pages.is_empty() && self.y <= self.inside.min.y;
        if self.pages.is_empty() || (self.left() < height_mm.min(self.full_height()) && !fresh) {
            self.new_page();
        }
    }

    /// Keeps all that `lay` sets on one page: where it would go over a page break it starts on a new page instead. What
    /// is longer than a page is set where it stands.
    pub fn together(&mut self, lay: impl Fn(&mut Flow)) {
        let (count, y) = (self.pages.len(), self.y);
        let items = self.pages.last().map_or(0, |p| p.items.len());
        let back = |flow: &mut Flow| {
            flow.pages.truncate(count);
            if let Some(page) = flow.pages.last_mut() {
                page.items.truncate(items);
            }
            flow.y = y;
        };
        lay(self);
        if self.pages.len() > count && count > 0 && y > self.inside.min.y {
            back(self);
            self.new_page();
            lay(self);
            if self.pages.len() > count + 1 {
                back(self);
                lay(self);
            }
        }
    }

    /// Blank, millimetres; none at the head of a page.
    pub fn space(&mut self, height_mm: f32) {
        if !self.pages.is_empty() && self.y > self.inside.min.y {
            self.y += height_mm;
        }
    }

    fn push(&mut self, item: Item) {
        if let Some(page) = self.pages.last_mut() {
            page.items.push(item);
        }
    }

    /// Takes `height_mm` of the page (a new one where it does not fit) and hands out its area.
    pub fn take(&mut self, height_mm: f32) -> Area {
        self.keep(height_mm);
        let area = Area::at(Vec2::new(self.inside.min.x, self.y), Vec2::new(self.width(), height_mm));
        self.y += height_mm;
        area
    }

    /// Adds items in an area that was taken.
    pub fn add(&mut self, items: impl IntoIterator<Item = Item>) {
        if let Some(page) = self.pages.last_mut() {
            page.items.extend(items);
        }
    }

    /// A heading with a rule, kept with at least `follow_mm` of what follows.
    pub fn heading(&mut self, text: &str, follow_mm: f32) {
        self.space(5.0);
        let height = heights::HEADING;
        self.keep(height + 3.0 + follow_mm);
        let area = self.take(height + 3.0);
        let words = lettering::fitted(text, Weight::Bold, height, area.size().x);
        self.push(Item::Text(Text::new(area.min + Vec2::new(0.0, height), words, height).bold()));
        let y = area.max.y - 1.0;
        let pen = Pen { width_mm: 0.7, ..Pen::WIDE };
        self.push(Item::Line { from: Vec2::new(area.min.x, y), to: Vec2::new(area.max.x, y), pen });
        self.space(1.5);
    }

    /// A paragraph, wrapped; its lines may go over a page break.
    pub fn paragraph(&mut self, text: &str, weight: Weight, height: f32) {
        for line in lettering::wrapped(text, weight, height, self.width()) {
            let area = self.take(height * LINE_PER_HEIGHT);
            let at = area.min + Vec2::new(0.0, height * 1.2);
            self.push(Item::Text(Text { weight, ..Text::new(at, line, height) }));
        }
        self.space(1.0);
    }

    /// A table. Rows stay whole; the head is repeated on each page.
    pub fn table(&mut self, columns: &[Column], rows: &[Vec<Cell>], height: f32) {
        let total: f32 = columns.iter().map(|c| c.share).sum();
        let widths: Vec<f32> = columns.iter().map(|c| c.share / total * self.width()).collect();
        let head = self.row_of_head(columns, &widths);
        let mut laid: Vec<RowLaid> = rows.iter().map(|r| lay_row(r, columns, &widths, height)).collect();
        let most = self.full_height() - head.height;
        for row in &mut laid {
            row.height = row.height.min(most);
        }
        let first = laid.first().map_or(0.0, |r| r.height);
        self.keep(head.height + first);
        self.set_row(&head, true);
        let mut here = 0;
        for (i, row) in laid.iter().enumerate() {
            // The last row takes one along rather than stand alone.
            let leaves_one = i + 2 == laid.len() && here > 1 && self.left() < row.height + laid[i + 1].height;
            let fits_there = head.height + row.height + laid.last().map_or(0.0, |l| l.height) <= self.full_height();
            if self.left() < row.height || (leaves_one && fits_there) {
                self.new_page();
                self.set_row(&head, true);
                here = 0;
            }
            self.set_row(row, false);
            here += 1;
        }
        self.space(3.0);
    }

    fn row_of_head(&self, columns: &[Column], widths: &[f32]) -> RowLaid {
        let cells: Vec<Cell> = columns.iter().map(|c| Cell::Bold(c.title.clone())).collect();
        lay_row(&cells, columns, widths, heights::TABLE)
    }

    fn set_row(&mut self, row: &RowLaid, head: bool) {
        let area = self.take(row.height);
        if head {
            self.push(Item::Rect { area, pen: None, fill: Some(Shade::TINT) });
        }
        let place = area.min;
        for item in &row.items {
            let moved = moved(item.clone(), place);
            self.push(moved);
        }
        let pen = if head { Pen::WIDE } else { Pen::NARROW };
        self.push(Item::Line { from: Vec2::new(area.min.x, area.max.y), to: area.max, pen });
    }

    /// A line of work with its tick box and number.
    pub fn tick(&mut self, number: Option<u32>, tick: &Tick) {
        const BOX_MM: f32 = 6.0;
        const INDENT_MM: f32 = 19.0;
        let right = if tick.figure.is_empty() && tick.write.is_empty() { 0.0 } else { 52.0 };
        let width = self.width() - INDENT_MM - right;
        let (big, small) = (heights::BODY, heights::TABLE);
        let words = lettering::wrapped(&tick.words, Weight::Regular, big, width);
        let detail = if tick.detail.is_empty() {
            Vec::new()
        } else {
            lettering::wrapped(&tick.detail, Weight::Regular, small, width)
        };
        let left_height = words.len() as f32 * big * LINE_PER_HEIGHT + detail.len() as f32 * small * LINE_PER_HEIGHT;
        let figure_height = if tick.figure.is_empty() { 0.0 } else { heights::HEADING + 2.5 };
        let write_height = if tick.write.is_empty() { 0.0 } else { 8.5 };
        let height = left_height.max(figure_height + write_height).max(BOX_MM + 1.0) + 2.6;
        let area = self.take(height);
        let at = area.min + Vec2::new(0.0, 1.2);
        self.push(Item::TickBox { area: Area::at(at, Vec2::splat(BOX_MM)) });
        if let Some(number) = number {
            let place = at + Vec2::new(INDENT_MM - 2.5, big + 0.9);
            self.push(Item::Text(Text::new(place, number.to_string(), big).bold().anchored(Anchor::Right)));
        }
        let mut y = at.y + 0.9;
        for (lines, size, weight) in [(&words, big, Weight::Regular), (&detail, small, Weight::Regular)] {
            for line in lines {
                let place = Vec2::new(area.min.x + INDENT_MM, y + size);
                self.push(Item::Text(Text { weight, ..Text::new(place, line.clone(), size) }));
                y += size * LINE_PER_HEIGHT;
            }
        }
        let mut y = at.y;
        if !tick.figure.is_empty() {
            let size = heights::HEADING;
            let (figure, shrunk) = lettering::shrunk(&tick.figure, Weight::Bold, size, heights::TABLE, right - 2.0);
            let place = Vec2::new(area.max.x, y + size);
            self.push(Item::Text(Text::new(place, figure, shrunk).bold().anchored(Anchor::Right)));
            y += figure_height;
        }
        if !tick.write.is_empty() {
            let size = heights::TABLE;
            let label = lettering::fitted(&tick.write, Weight::Regular, size, right - 24.0);
            let y = y + 6.5;
            let x = area.max.x - right + 4.0;
            let from = x + lettering::width_mm(&label, Weight::Regular, size) + 1.5;
            self.push(Item::Text(Text::new(Vec2::new(x, y), label, size)));
            self.push(Item::Line {
                from: Vec2::new(from, y + 0.5),
                to: Vec2::new(area.max.x, y + 0.5),
                pen: Pen::NARROW,
            });
        }
        let pen = Pen { shade: Shade(150), ..Pen::NARROW };
        self.push(Item::Line { from: Vec2::new(area.min.x, area.max.y), to: area.max, pen });
    }

    /// A line of caution: a bar at its left and bold words on a tint.
    pub fn caution(&mut self, text: &str) {
        let height = heights::TABLE;
        let lines = lettering::wrapped(text, Weight::Bold, height, self.width() - 14.0);
        let tall = lines.len() as f32 * height * LINE_PER_HEIGHT + 3.2;
        self.space(1.0);
        let area = self.take(tall);
        self.push(Item::Rect { area, pen: None, fill: Some(Shade::TINT) });
        let bar = Area { min: area.min, max: Vec2::new(area.min.x + 2.0, area.max.y) };
        self.push(Item::Rect { area: bar, pen: None, fill: Some(Shade::BLACK) });
        let foot = area.min + Vec2::new(5.0, 1.6 + height * 1.25);
        self.push(Item::Text(Text::new(foot, words::CAUTION_SIGN, height * 1.4)));
        for (i, line) in lines.into_iter().enumerate() {
            let at = area.min + Vec2::new(12.0, 1.6 + height * 1.2 + i as f32 * height * LINE_PER_HEIGHT);
            self.push(Item::Text(Text::new(at, line, height).bold()));
        }
        self.space(1.4);
    }

    /// A box with a heavy border: a black head with white words, then lines. Where it does not fit on one page the
    /// lines go on below a repeated head.
    pub fn heavy_box(&mut self, head: &str, lines: &[(String, String)]) {
        let (big, small) = (heights::BODY, heights::TABLE);
        let width = self.width() - 8.0;
        let laid: Vec<(Vec<String>, Vec<String>, f32)> = lines
            .iter()
            .map(|(words, detail)| {
                let words = lettering::wrapped(words, Weight::Bold, big, width);
                let detail = if detail.is_empty() {
                    Vec::new()
                } else {
                    lettering::wrapped(detail, Weight::Regular, small, width)
                };
                let tall = words.len() as f32 * big * LINE_PER_HEIGHT + detail.len() as f32 * small * LINE_PER_HEIGHT;
                (words, detail, tall + 2.5)
            })
            .collect();
        let head_tall = heights::HEADING + 5.0;
        let mut next = 0;
        while next < laid.len() {
            self.keep(head_tall + laid[next].2 + 2.0);
            let room = self.left() - head_tall - 3.0;
            let mut count = 0;
            let mut tall = 0.0;
            while next + count < laid.len() && (count == 0 || tall + laid[next + count].2 <= room) {
                tall += laid[next + count].2;
                count += 1;
            }
            let area = self.take((head_tall + tall + 2.0).min(self.full_height()));
            let band = Area { min: area.min, max: Vec2::new(area.max.x, area.min.y + head_tall) };
            self.push(Item::Rect { area: band, pen: None, fill: Some(Shade::BLACK) });
            let words = lettering::fitted(head, Weight::Bold, heights::HEADING, width);
            let at = area.min + Vec2::new(4.0, head_tall * 0.5 + heights::HEADING * 0.5);
            self.push(Item::Text(Text::new(at, words, heights::HEADING).bold().shaded(Shade::WHITE)));
            let border = Area { min: area.min + 0.7, max: area.max - 0.7 };
            self.push(Item::Rect { area: border, pen: Some(Pen::HEAVY), fill: None });
            let mut y = area.min.y + head_tall + 1.5;
            for (words, detail, _) in &laid[next..next + count] {
                for (lines, size, weight) in [(words, big, Weight::Bold), (detail, small, Weight::Regular)] {
                    for line in lines {
                        let at = Vec2::new(area.min.x + 4.0, y + size * 1.1);
                        if y + size * LINE_PER_HEIGHT < area.max.y {
                            self.push(Item::Text(Text { weight, ..Text::new(at, line.clone(), size) }));
                        }
                        y += size * LINE_PER_HEIGHT;
                    }
                }
                y += 2.5;
            }
            next += count;
            self.space(3.0);
        }
    }

    /// Framed cells in rows of `across`, each a label above a figure in large letters.
    pub fn figures(&mut self, cells: &[(String, String)], across: usize, size: f32) {
        for row in cells.chunks(across.max(1)) {
            let area = self.take(figure_row_mm(size));
            let items = figure_row(area, row, across, size);
            self.add(items);
        }
    }

    /// Lines to write on, each with its label.
    pub fn write_lines(&mut self, labels: &[&str], across: usize) {
        let across = across.max(1);
        for row in labels.chunks(across) {
            let area = self.take(10.0);
            let wide = area.size().x / across as f32;
            for (i, label) in row.iter().enumerate() {
                let at = area.min + Vec2::new(i as f32 * wide, 8.0);
                let size = heights::TABLE;
                let label = lettering::fitted(label, Weight::Regular, size, wide * 0.6);
                let from = at.x + lettering::width_mm(&label, Weight::Regular, size) + 1.5;
                self.push(Item::Text(Text::new(at, label, size)));
                self.push(Item::Line {
                    from: Vec2::new(from, at.y + 0.6),
                    to: Vec2::new(at.x + wide - 3.0, at.y + 0.6),
                    pen: Pen::NARROW,
                });
            }
        }
        self.space(2.0);
    }

    /// Sets head and foot on every page and hands the list out.
    pub fn finished(mut self, running: &Running) -> PageList {
        if self.pages.is_empty() {
            self.new_page();
        }
        let frame = self.paper.inside();
        let count = self.pages.len();
        for (i, page) in self.pages.iter_mut().enumerate() {
            furniture(page, frame, running, i + 1, count);
        }
        PageList { paper: self.paper, pages: self.pages }
    }
}

/// Height of a row of figures, with the blank below it.
pub fn figure_row_mm(size: f32) -> f32 {
    size + heights::TABLE + 7.5
}

/// A row of framed cells, each a label above a figure; `across` of them fill the width.
pub fn figure_row(area: Area, row: &[(String, String)], across: usize, size: f32) -> Vec<Item> {
    let across = across.max(1);
    let tall = figure_row_mm(size) - 1.5;
    let wide = area.size().x / across as f32;
    let mut items = Vec::new();
    for (i, (label, figure)) in row.iter().enumerate() {
        let min = area.min + Vec2::new(i as f32 * wide, 0.0);
        let cell = Area::at(min, Vec2::new(wide - if i + 1 < across { 1.5 } else { 0.0 }, tall));
        let room = cell.size().x - 4.0;
        items.push(Item::Rect { area: cell, pen: Some(Pen::WIDE), fill: None });
        let (label, height) = lettering::shrunk(label, Weight::Regular, heights::TABLE, heights::SMALL, room);
        items.push(Item::Text(Text::new(min + Vec2::new(2.0, heights::TABLE + 1.6), label, height)));
        let (figure, height) = lettering::shrunk(figure, Weight::Bold, size, heights::TABLE, room);
        items.push(Item::Text(Text::new(min + Vec2::new(2.0, tall - 2.2), figure, height).bold()));
    }
    items
}

fn furniture(page: &mut Page, frame: Area, running: &Running, number: usize, count: usize) {
    let (big, small) = (heights::BODY, heights::SMALL);
    let right = frame.max.x;
    let pages = words::page_of(number, count);
    let head_y = frame.min.y + big + 1.0;
    let pages_wide = lettering::width_mm(&pages, Weight::Bold, big);
    let revision = lettering::fitted(&running.revision, Weight::Regular, heights::TABLE, 62.0);
    let revision_wide = lettering::width_mm(&revision, Weight::Regular, heights::TABLE);
    let job_room = frame.size().x - pages_wide - revision_wide - 10.0;
    let job = lettering::fitted(&running.job, Weight::Bold, big, job_room);
    page.items.push(Item::Text(Text::new(Vec2::new(frame.min.x, head_y), job, big).bold()));
    let at = Vec2::new(right - pages_wide - 5.0, head_y);
    page.items.push(Item::Text(Text::new(at, revision, heights::TABLE).anchored(Anchor::Right)));
    page.items.push(Item::Text(Text::new(Vec2::new(right, head_y), pages, big).bold().anchored(Anchor::Right)));
    let y = frame.min.y + HEAD_MM - 2.0;
    let pen = Pen { width_mm: 0.7, ..Pen::WIDE };
    page.items.push(Item::Line { from: Vec2::new(frame.min.x, y), to: Vec2::new(right, y), pen });
    let y = frame.max.y - FOOT_MM + 2.0;
    page.items.push(Item::Line { from: Vec2::new(frame.min.x, y), to: Vec2::new(right, y), pen: Pen::NARROW });
    let at = Vec2::new(frame.min.x, y + small + 1.2);
    let digests = lettering::fitted(&running.digests, Weight::Regular, small, frame.size().x);
    page.items.push(Item::Text(Text::new(at, digests, small)));
    let at = Vec2::new(frame.min.x, frame.max.y - small * lettering::DESCENT_PER_HEIGHT);
    let program = lettering::fitted(&running.program, Weight::Regular, small, frame.size().x);
    page.items.push(Item::Text(Text::new(at, program, small)));
}

struct RowLaid {
    items: Vec<Item>,
    height: f32,
}

fn lay_row(cells: &[Cell], columns: &[Column], widths: &[f32], height: f32) -> RowLaid {
    const TAG_MM: f32 = 2.0 * balloons::RADIUS_MM + 1.5;
    let mut items = Vec::new();
    let mut tall: f32 = height * LINE_PER_HEIGHT;
    let mut x = 0.0;
    for ((cell, column), &wide) in cells.iter().zip(columns).zip(widths) {
        let room = (wide - 2.0 * CELL_PAD_MM).max(1.0);
        let (text, weight, indent) = match cell {
            Cell::Words(t) => (t.as_str(), Weight::Regular, 0.0),
            Cell::Bold(t) | Cell::Headed(t, _) => (t.as_str(), Weight::Bold, 0.0),
            Cell::Tagged(tag, t) => {
                let centre = Vec2::new(x + CELL_PAD_MM + balloons::RADIUS_MM, balloons::RADIUS_MM + CELL_PAD_MM * 0.5);
                items.extend(balloons::drawn(*tag, centre));
                tall = tall.max(2.0 * balloons::RADIUS_MM);
                (t.as_str(), Weight::Bold, TAG_MM)
            }
            Cell::Write => {
                let y = CELL_PAD_MM + height * 1.2 + 0.8;
                let (from, to) = (Vec2::new(x + CELL_PAD_MM, y), Vec2::new(x + wide - CELL_PAD_MM, y));
                items.push(Item::Line { from, to, pen: Pen::NARROW });
                x += wide;
                continue;
            }
        };
        let mut lines: Vec<(String, Weight)> = Vec::new();
        let mut add = |text: &str, weight: Weight| {
            let wrapped = lettering::wrapped(text, weight, height, (room - indent).max(1.0));
            lines.extend(wrapped.into_iter().map(|l| (l, weight)));
        };
        add(text, weight);
        if let Cell::Headed(_, below) = cell
            && !below.is_empty()
        {
            add(below, Weight::Regular);
        }
        tall = tall.max(lines.len() as f32 * height * LINE_PER_HEIGHT);
        for (i, (line, weight)) in lines.into_iter().enumerate() {
            let y = CELL_PAD_MM + height * 1.2 + i as f32 * height * LINE_PER_HEIGHT;
            let (at, anchor) = match column.anchor {
                Anchor::Left => (x + CELL_PAD_MM + indent, Anchor::Left),
                Anchor::Middle => (x + wide * 0.5, Anchor::Middle),
                Anchor::Right => (x + wide - CELL_PAD_MM, Anchor::Right),
            };
            if !line.is_empty() {
                items.push(Item::Text(Text { weight, anchor, ..Text::new(Vec2::new(at, y), line, height) }));
            }
        }
        x += wide;
    }
    RowLaid { items, height: tall + 2.0 * CELL_PAD_MM }
}

/// The item moved by `by`.
pub fn moved(item: Item, by: Vec2) -> Item {
    let shift = |a: Area| Area { min: a.min + by, max: a.max + by };
    match item {
        Item::Text(t) => Item::Text(Text { at: t.at + by, ..t }),
        Item::Line { from, to, pen } => Item::Line { from: from + by, to: to + by, pen },
        Item::Polylines { lines, pen } => {
            Item::Polylines { lines: lines.into_iter().map(|l| l.into_iter().map(|p| p + by).collect()).collect(), pen }
        }
        Item::Polygon { corners, pen, fill } => {
            Item::Polygon { corners: corners.into_iter().map(|p| p + by).collect(), pen, fill }
        }
        Item::Rect { area, pen, fill } => Item::Rect { area: shift(area), pen, fill },
        Item::Circle { centre, radius_mm, pen, fill } => Item::Circle { centre: centre + by, radius_mm, pen, fill },
        Item::TickBox { area } => Item::TickBox { area: shift(area) },
        Item::Image { area, picture } => Item::Image { area: shift(area), picture },
    }
}
