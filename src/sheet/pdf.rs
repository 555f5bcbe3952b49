//! Painter from the page list to PDF.
//!
//! Lengths are true: one millimetre of the list is one millimetre of paper when printed at full size. Fonts are
//! embedded as subsets and text can be searched. The same page list and labels give the same bytes; no clock is read.

use super::lettering;
use super::page::{Area, Item, PageList, Pen, Picture, Shade, Text, Weight};
use glam::Vec2;
use krilla::color::luma;
use krilla::geom::{Path, PathBuilder, Point, Rect, Size, Transform};
use krilla::image::Image;
use krilla::metadata::{DateTime, Metadata};
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};

/// Points of 1/72 in in one millimetre.
const POINTS_PER_MM: f32 = 72.0 / 25.4;
/// Control-point distance of a quarter circle as four cubic curves, over the radius.
const CIRCLE: f32 = 0.552_284_8;

/// What the file says about itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Labels {
    /// Title.
    pub title: String,
    /// Program and version.
    pub program: String,
    /// Date of the revision, `YYYY-MM-DD`; anything else leaves the date out.
    pub date: String,
    /// False leaves the drawing commands uncompressed, so that they can be read by eye.
    pub uncompressed: bool,
}

/// The PDF could not be written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the PDF could not be written ({0}); please report this with the plan file")]
pub struct PdfError(String);

/// Paints the page list.
///
/// # Errors
/// Where the PDF library refuses the document, which no plan should be able to cause.
pub fn paint(list: &PageList, labels: &Labels) -> Result<Vec<u8>, PdfError> {
    let load = |data: &'static [u8]| Font::new(data.into(), 0).ok_or_else(|| PdfError("embedded font".into()));
    let fonts = [load(lettering::REGULAR)?, load(lettering::BOLD)?];
    let settings = SerializeSettings { compress_content_streams: !labels.uncompressed, ..Default::default() };
    let mut document = Document::new_with(settings);
    let size = list.paper.size_mm() * POINTS_PER_MM;
    for page_of_list in &list.pages {
        let settings = PageSettings::from_wh(size.x, size.y).ok_or_else(|| PdfError("paper size".into()))?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        surface.push_transform(&Transform::from_scale(POINTS_PER_MM, POINTS_PER_MM));
        for item in &page_of_list.items {
            paint_item(&mut surface, item, &fonts);
        }
        surface.pop();
        surface.finish();
        page.finish();
    }
    let mut metadata = Metadata::new()
        .title(labels.title.clone())
        .creator(labels.program.clone())
        .producer(labels.program.clone())
        .language("en-GB".into());
    if let Some(date) = date_of(&labels.date) {
        metadata = metadata.creation_date(date);
    }
    document.set_metadata(metadata);
    document.finish().map_err(|e| PdfError(format!("{e:?}")))
}

fn date_of(text: &str) -> Option<DateTime> {
    let mut parts = text.trim().splitn(3, '-');
    let year = parts.next()?.parse::<u16>().ok()?;
    let month = parts.next()?.parse::<u8>().ok().filter(|m| (1..=12).contains(m))?;
    let day = parts.next()?.parse::<u8>().ok().filter(|d| (1..=31).contains(d))?;
    Some(DateTime::new(year).month(month).day(day))
}

fn fill_of(shade: Shade) -> Fill {
    Fill { paint: luma::Color::new(shade.0).into(), opacity: NormalizedF32::ONE, rule: Default::default() }
}

fn stroke_of(pen: &Pen) -> Stroke {
    let array = pen.dash.pattern_mm(pen.width_mm);
    Stroke {
        paint: luma::Color::new(pen.shade.0).into(),
        width: pen.width_mm,
        line_cap: LineCap::Butt,
        line_join: LineJoin::Round,
        dash: (!array.is_empty()).then_some(StrokeDash { array, offset: 0.0 }),
        ..Default::default()
    }
}

fn paint_path(surface: &mut Surface<'_>, path: Option<Path>, pen: Option<&Pen>, fill: Option<Shade>) {
    let Some(path) = path else { return };
    if pen.is_none() && fill.is_none() {
        return;
    }
    surface.set_fill(fill.map(fill_of));
    surface.set_stroke(pen.map(stroke_of));
    surface.draw_path(&path);
}

fn chain(builder: &mut PathBuilder, points: &[Vec2], closed: bool) {
    let Some((first, rest)) = points.split_first() else { return };
    if rest.is_empty() || !points.iter().all(|p| p.is_finite()) {
        return;
    }
    builder.move_to(first.x, first.y);
    for p in rest {
        builder.line_to(p.x, p.y);
    }
    if closed {
        builder.close();
    }
}

fn rectangle(area: Area) -> Option<Path> {
    let mut builder = PathBuilder::new();
    builder.push_rect(Rect::from_ltrb(area.min.x, area.min.y, area.max.x, area.max.y)?);
    builder.finish()
}

fn circle(centre: Vec2, radius: f32) -> Option<Path> {
    let (c, r, k) = (centre, radius, radius * CIRCLE);
    let mut b = PathBuilder::new();
    b.move_to(c.x + r, c.y);
    b.cubic_to(c.x + r, c.y + k, c.x + k, c.y + r, c.x, c.y + r);
    b.cubic_to(c.x - k, c.y + r, c.x - r, c.y + k, c.x - r, c.y);
    b.cubic_to(c.x - r, c.y - k, c.x - k, c.y - r, c.x, c.y - r);
    b.cubic_to(c.x + k, c.y - r, c.x + r, c.y - k, c.x + r, c.y);
    b.close();
    b.finish()
}

fn paint_item(surface: &mut Surface<'_>, item: &Item, fonts: &[Font; 2]) {
    match item {
        Item::Text(text) => paint_text(surface, text, fonts),
        Item::Line { from, to, pen } => {
            let mut builder = PathBuilder::new();
            chain(&mut builder, &[*from, *to], false);
            paint_path(surface, builder.finish(), Some(pen), None);
        }
        Item::Polylines { lines, pen } => {
            let mut builder = PathBuilder::new();
            for line in lines {
                chain(&mut builder, line, false);
            }
            paint_path(surface, builder.finish(), Some(pen), None);
        }
        Item::Polygon { corners, pen, fill } => {
            let mut builder = PathBuilder::new();
            chain(&mut builder, corners, true);
            paint_path(surface, builder.finish(), pen.as_ref(), *fill);
        }
        Item::Rect { area, pen, fill } => paint_path(surface, rectangle(*area), pen.as_ref(), *fill),
        Item::Circle { centre, radius_mm, pen, fill } => {
            paint_path(surface, circle(*centre, *radius_mm), pen.as_ref(), *fill);
        }
        Item::TickBox { area } => {
            let pen = Pen { width_mm: 0.5, ..Pen::WIDE };
            paint_path(surface, rectangle(*area), Some(&pen), Some(Shade::WHITE));
        }
        Item::Image { area, picture } => paint_picture(surface, *area, picture),
    }
}

fn paint_picture(surface: &mut Surface<'_>, area: Area, picture: &Picture) {
    let whole = (picture.width as usize).checked_mul(picture.height as usize).and_then(|n| n.checked_mul(4));
    let size = area.size();
    let Some(size) = Size::from_wh(size.x, size.y) else { return };
    if picture.width == 0 || picture.height == 0 || whole != Some(picture.rgba.len()) {
        return;
    }
    surface.push_transform(&Transform::from_translate(area.min.x, area.min.y));
    surface.draw_image(Image::from_rgba8(picture.rgba.to_vec(), picture.width, picture.height), size);
    surface.pop();
}

fn paint_text(surface: &mut Surface<'_>, text: &Text, fonts: &[Font; 2]) {
    let start = text.start();
    if text.text.is_empty() || !start.is_finite() {
        return;
    }
    let glyphs: Vec<KrillaGlyph> = text
        .text
        .char_indices()
        .map(|(at, letter)| {
            let (glyph, advance) = lettering::glyph(letter, text.weight);
            KrillaGlyph::new(GlyphId::new(glyph), advance, 0.0, 0.0, 0.0, at..at + letter.len_utf8(), None)
        })
        .collect();
    let font = fonts[if text.weight == Weight::Bold { 1 } else { 0 }].clone();
    surface.set_fill(Some(fill_of(text.shade)));
    surface.set_stroke(None);
    let em = lettering::em_mm(text.height_mm);
    let mut place = Transform::from_translate(start.x, start.y);
    if text.turned {
        place = Transform::from_row(0.0, -1.0, 1.0, 0.0, start.x, start.y);
    }
    surface.push_transform(&place);
    surface.draw_glyphs(Point::from_xy(0.0, 0.0), &glyphs, font, &text.text, em, false);
    surface.pop();
}
