//! Templates at full size on sheets of paper: tiles that overlap, with crosses to lay them together by.

use super::labels;
use super::{Hole, Layer, Template, clip};
use crate::sheet::SheetInput;
use crate::sheet::balloons::{self, RADIUS_MM};
use crate::sheet::drawing;
use crate::sheet::figures;
use crate::sheet::layout::Flow;
use crate::sheet::lettering::{fitted, heights, width_mm, wrapped};
use crate::sheet::page::{Anchor, Area, Dash, Item, PageList, Paper, Pen, Shade, Text, Weight};
use crate::sheet::setup::running;
use crate::sheet::words::template as say;
use crate::solve::run::{Cancelled, Run};
use glam::{DVec2, Vec2};

/// Width of the strip that two neighbours both show, millimetres.
pub const OVERLAP_MM: f64 = 16.0;
/// Blank round a template on its tile, millimetres.
const ROUND_MM: f64 = 4.0;
/// Room above the tile's window for its title, millimetres.
const HEAD_MM: f32 = 13.0;
/// Room below it for the check bar and words, millimetres.
const FOOT_MM: f32 = 27.0;
/// Most tiles of one template; a larger one is for the cutter alone.
pub const MOST_TILES: usize = 64;

/// One tile of a template.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tile {
    /// Row from the top, and column from the left, from 0.
    pub cell: [usize; 2],
    /// Lower left corner of what it shows, in the template.
    pub low: DVec2,
    /// Upper right corner.
    pub high: DVec2,
    /// Where that is on the page.
    pub window: Area,
}

impl Tile {
    /// A point of the template on the page.
    pub fn on_page(&self, p: DVec2) -> Vec2 {
        Vec2::new(self.window.min.x + (p.x - self.low.x) as f32, self.window.min.y + (self.high.y - p.y) as f32)
    }
}

/// The cut of a template into tiles, rows from the top.
#[derive(Clone, Debug, PartialEq)]
pub struct Tiling {
    /// Rows and columns.
    pub grid: [usize; 2],
    /// The tiles, row by row.
    pub tiles: Vec<Tile>,
}

impl Tiling {
    /// Tiles of the size of `window` that cover all of `template`.
    pub fn of(template: &Template, window: Area) -> Tiling {
        let (low, high) = template.bounds();
        let (low, high) = (low - ROUND_MM, high + ROUND_MM);
        let room = window.size().as_dvec2();
        let count = |whole: f64, room: f64| -> usize {
            (((whole - OVERLAP_MM) / (room - OVERLAP_MM).max(1.0)) - 1e-9).ceil().max(1.0) as usize
        };
        let whole = high - low;
        let (columns, rows) = (count(whole.x, room.x), count(whole.y, room.y));
        let step = room - OVERLAP_MM;
        // All tiles together, with the template in the middle.
        let span = step * DVec2::new(columns as f64, rows as f64) + OVERLAP_MM;
        let start = DVec2::new((low.x + high.x - span.x) / 2.0, (low.y + high.y + span.y) / 2.0);
        let tiles = (0..rows).flat_map(|row| {
            (0..columns).map(move |column| {
                let corner = DVec2::new(start.x + step.x * column as f64, start.y - step.y * row as f64);
                let low = DVec2::new(corner.x, corner.y - room.y);
                Tile { cell: [row, column], low, high: low + room, window }
            })
        });
        Tiling { grid: [rows, columns], tiles: tiles.collect() }
    }

    /// The lines along which neighbours are joined: across x (upright) and across y (level), in the template.
    pub fn joins(&self) -> [Vec<f64>; 2] {
        let [rows, columns] = self.grid;
        let upright = (1..columns).map(|c| self.tiles[c].low.x + OVERLAP_MM / 2.0).collect();
        let level = (1..rows).map(|r| self.tiles[r * columns].high.y - OVERLAP_MM / 2.0).collect();
        [upright, level]
    }

    /// Crosses on the join lines, by which neighbours are laid together: three on each tile's stretch of a line.
    pub fn crosses(&self) -> Vec<DVec2> {
        let [upright, level] = self.joins();
        let [_, columns] = self.grid;
        let mut out = Vec::new();
        let shares = [0.12, 0.5, 0.88];
        let place = |low: f64, high: f64, share: f64| {
            let (low, high) = (low + OVERLAP_MM, high - OVERLAP_MM);
            low + (high - low) * share
        };
        for row in self.tiles.chunks(columns) {
            for x in &upright {
                out.extend(shares.map(|s| DVec2::new(*x, place(row[0].low.y, row[0].high.y, s))));
            }
        }
        for tile in &self.tiles[..columns] {
            for y in &level {
                out.extend(shares.map(|s| DVec2::new(place(tile.low.x, tile.high.x, s), *y)));
            }
        }
        out
    }
}

/// Pages with every template in tiles.
///
/// # Errors
/// [`Cancelled`] once `run` was cancelled.
pub fn pages(templates: &[Template], input: &SheetInput<'_>, run: &Run) -> Result<PageList, Cancelled> {
    let mut flow = Flow::new(input.paper);
    let size = say::size(super::master_factor(input));
    for template in templates {
        flow.new_page();
        let window = window_of(&mut flow);
        let (upright, turned) = (Tiling::of(template, window), template.turned());
        let other = Tiling::of(&turned, window);
        let turn = other.tiles.len() < upright.tiles.len();
        let (template, tiling) = if turn { (&turned, other) } else { (template, upright) };
        if tiling.tiles.len() > MOST_TILES {
            flow.paragraph(&template.title, Weight::Bold, heights::BODY);
            flow.paragraph(say::TOO_LARGE, Weight::Regular, heights::BODY);
            continue;
        }
        for (i, tile) in tiling.tiles.iter().enumerate() {
            run.check()?;
            if i > 0 {
                flow.new_page();
                window_of(&mut flow);
            }
            flow.add(painted(template, &tiling, tile));
            flow.add(words_round(template, &tiling, i, &size, turn));
        }
    }
    Ok(flow.finished(&running(input)))
}

/// The part of a page of `paper` that shows a template.
pub fn window(paper: Paper) -> Area {
    let mut flow = Flow::new(paper);
    window_of(&mut flow)
}

/// Takes the page and leaves out the rooms above and below the window.
fn window_of(flow: &mut Flow) -> Area {
    let area = flow.take(flow.full_height());
    Area { min: area.min + Vec2::new(0.0, HEAD_MM), max: area.max - Vec2::new(0.0, FOOT_MM) }
}

/// Title above, check bar and how to join below.
fn words_round(template: &Template, tiling: &Tiling, number: usize, size: &str, turned: bool) -> Vec<Item> {
    let tile = &tiling.tiles[number];
    let window = tile.window;
    let wide = window.size().x;
    let [row, column] = tile.cell;
    let mut title = format!("{}: {}", template.title, say::tile(number + 1, tiling.tiles.len(), row + 1, column + 1));
    if turned {
        title = format!("{title}, {}", say::TURNED);
    }
    let mut y = window.min.y - HEAD_MM;
    let mut items = Vec::new();
    let (title, height) = crate::sheet::lettering::shrunk(&title, Weight::Bold, heights::BODY, heights::SMALL, wide);
    y += heights::BODY + 0.5;
    items.push(Item::Text(Text::new(Vec2::new(window.min.x, y), title, height).bold()));
    for line in [&template.note, size] {
        y += heights::SMALL + 1.4;
        items.push(Item::Text(Text::new(
            Vec2::new(window.min.x, y),
            fitted(line, Weight::Regular, heights::SMALL, wide),
            heights::SMALL,
        )));
    }
    let bar = Vec2::new(window.min.x, window.max.y + 9.0);
    items.extend(drawing::scale_bar(bar, 100.0, &crate::sheet::words::bar(100.0)));
    let mut y = window.max.y + 13.0;
    let foot = if tiling.tiles.len() > 1 { vec![say::MEASURE, say::JOIN] } else { vec![say::MEASURE] };
    for text in foot {
        for line in wrapped(text, Weight::Regular, heights::TABLE, wide) {
            y += heights::TABLE + 1.1;
            items.push(Item::Text(Text::new(Vec2::new(window.min.x, y), line, heights::TABLE)));
        }
    }
    items
}

/// What one tile shows of its template.
fn painted(template: &Template, tiling: &Tiling, tile: &Tile) -> Vec<Item> {
    let mut items = Vec::new();
    let mut put = |points: &[DVec2], pen: Pen| {
        let lines: Vec<Vec<Vec2>> = clip::chain(points, tile.low, tile.high)
            .into_iter()
            .map(|l| l.into_iter().map(|p| tile.on_page(p)).collect())
            .collect();
        if !lines.is_empty() {
            items.push(Item::Polylines { lines, pen });
        }
    };
    // Join lines and crosses first, so that the template's own lines lie over them.
    let thin = Pen { width_mm: 0.18, ..Pen::NARROW };
    let [upright, level] = tiling.joins();
    for x in &upright {
        put(&[DVec2::new(*x, tile.low.y), DVec2::new(*x, tile.high.y)], thin.with(Dash::LongDashDot));
    }
    for y in &level {
        put(&[DVec2::new(tile.low.x, *y), DVec2::new(tile.high.x, *y)], thin.with(Dash::LongDashDot));
    }
    for at in tiling.crosses() {
        let arm = 4.0;
        put(&[at - DVec2::X * arm, at + DVec2::X * arm], thin);
        put(&[at - DVec2::Y * arm, at + DVec2::Y * arm], thin);
    }
    for line in &template.lines {
        let pen = match line.layer {
            Layer::Outline => Pen { width_mm: 0.35, ..Pen::WIDE },
            Layer::Knife => Pen { width_mm: 0.35, ..Pen::WIDE }.with(Dash::Dashed),
            Layer::Mark => thin,
        };
        put(&line.points, pen);
    }
    for hole in &template.holes {
        let radius = hole.diameter_mm / 2.0;
        put(&clip::circle(hole.at, radius), Pen::NARROW);
        for arm in [DVec2::X, DVec2::Y] {
            let arm = arm * (radius + 2.0);
            put(&[hole.at - arm, hole.at + arm], Pen { width_mm: 0.13, ..Pen::NARROW });
        }
    }
    let joins = join_words(tiling, tile);
    let taken = joins.iter().filter_map(|i| if let Item::Text(t) = i { Some(t.area()) } else { None }).collect();
    items.extend(joins);
    items.extend(words_in(template, tile, taken));
    items
}

/// The stretch of the panel's border that this tile shows, in words beside it, and the tags of its holes.
fn words_in(template: &Template, tile: &Tile, mut taken: Vec<Area>) -> Vec<Item> {
    let mut items = Vec::new();
    let room = tile.window.grown(-1.0);
    let size = heights::TABLE;
    for edge in &template.edges {
        let at = tile.on_page(edge.at + edge.inward * 3.0);
        let turned = edge.inward.x != 0.0;
        let mut text = Text::new(at, edge.words.clone(), size).anchored(Anchor::Middle);
        text.turned = turned;
        // The baseline lies so that the letters stand on the panel's side of the edge.
        text.at += match (turned, edge.inward.x > 0.0, edge.inward.y > 0.0) {
            (true, true, _) => Vec2::new(size, 0.0),
            (true, false, _) => Vec2::ZERO,
            (false, _, true) => Vec2::ZERO,
            (false, _, false) => Vec2::new(0.0, size),
        };
        if room.holds(text.area(), 0.0) && taken.iter().all(|t| !t.overlaps(text.area(), 0.0)) {
            taken.push(text.area());
            items.push(Item::Text(text));
        }
    }
    for figure in &template.figures {
        let at = tile.on_page(figure.at) + Vec2::new(0.0, size / 2.0);
        let text = Text::new(at, figure.words.clone(), size).anchored(Anchor::Middle);
        let area = text.area();
        if room.holds(area, 0.0) && taken.iter().all(|t| !t.overlaps(area, 0.0)) {
            taken.push(area);
            items.push(Item::Text(text));
        }
    }
    let here: Vec<&Hole> = template
        .holes
        .iter()
        .filter(|h| h.at.cmpge(tile.low + 1.0).all() && h.at.cmple(tile.high - 1.0).all())
        .collect();
    let places: Vec<(Vec2, f32)> = here.iter().map(|h| (tile.on_page(h.at), h.diameter_mm as f32 / 2.0)).collect();
    let words: Vec<String> = here.iter().map(|h| figures::diameter(h.diameter_mm)).collect();
    let sizes: Vec<Vec2> = words
        .iter()
        .map(|w| Vec2::new(2.0 * RADIUS_MM + 1.2 + width_mm(w, Weight::Regular, size), 2.0 * RADIUS_MM))
        .collect();
    for (i, area) in labels::placed(&places, &sizes, room, &taken).into_iter().enumerate() {
        let Some(area) = area else { continue };
        let (from, to) = labels::leader(places[i].0, places[i].1, area);
        items.push(Item::Line { from, to, pen: Pen { width_mm: 0.18, ..Pen::NARROW } });
        items.push(Item::Rect { area, pen: None, fill: Some(Shade::WHITE) });
        items.extend(balloons::drawn(here[i].tag, area.min + RADIUS_MM));
        let at = Vec2::new(area.min.x + 2.0 * RADIUS_MM + 1.2, area.centre().y + size * 0.5);
        items.push(Item::Text(Text::new(at, words[i].clone(), size)));
    }
    items
}

/// Beside each join line the number of the tile that goes on there.
fn join_words(tiling: &Tiling, tile: &Tile) -> Vec<Item> {
    let [rows, columns] = tiling.grid;
    let [row, column] = tile.cell;
    let w = tile.window;
    let (size, strip) = (heights::SMALL, (OVERLAP_MM / 2.0) as f32);
    let mut items = Vec::new();
    let mut put = |at: Vec2, turned: bool, row: usize, column: usize| {
        let mut text = Text::new(at, say::joins(row * columns + column + 1), size).anchored(Anchor::Middle);
        text.turned = turned;
        items.push(Item::Text(text));
    };
    let quarter = w.min + w.size() * 0.31;
    if column > 0 {
        put(Vec2::new(w.min.x + strip - 1.5, quarter.y), true, row, column - 1);
    }
    if column + 1 < columns {
        put(Vec2::new(w.max.x - strip + size + 1.5, quarter.y), true, row, column + 1);
    }
    if row > 0 {
        put(Vec2::new(quarter.x, w.min.y + strip - 1.5), false, row - 1, column);
    }
    if row + 1 < rows {
        put(Vec2::new(quarter.x, w.max.y - strip + size + 1.5), false, row + 1, column);
    }
    items
}
