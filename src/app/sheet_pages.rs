//! The pages of the setup sheet: laid out on a thread of their own, shown in the middle as they will be printed; written,
//! issued, and their templates written, on threads too.

use crate::app::HandOver;
use crate::app::known::Known;
use crate::app::mailbox::Mailbox;
use crate::app::waker::Waker;
use crate::mesh::io_words::said;
use crate::plan::{Plan, file};
use crate::sheet::job::SheetJob;
use crate::sheet::page::{Anchor, Dash, Item, Page, PageList, Paper, Pen, Shade, Text, Weight};
use crate::sheet::{changes, lettering, make_pages, make_pdf, make_templates};
use crate::shop::Shop;
use crate::solve::run::Run;
use egui::{Color32, FontFamily, FontId, Pos2, Rect, Sense, Stroke, StrokeKind, Ui, pos2, vec2};
use glam::Vec2;
use std::path::PathBuf;
use std::sync::Arc;

/// What pages were laid out for.
type Key = (usize, Paper);

/// A plan that was issued, and what it was issued from.
pub type Issued = (Arc<Plan>, Plan);

/// Lays pages out and writes PDFs away from the window.
#[derive(Debug)]
pub struct SheetPages {
    shop: Arc<Shop>,
    waker: Waker,
    laid_out: Mailbox<(Key, Result<PageList, String>)>,
    written: Mailbox<Result<String, String>>,
    issued: Mailbox<Issued>,
    issuing: bool,
    asked: Option<(Key, Run)>,
    writing: bool,
    pages: Option<(Key, PageList)>,
}

fn key(known: &Arc<Known>, paper: Paper) -> Key {
    (Arc::as_ptr(known) as usize, paper)
}

impl SheetPages {
    /// Nothing laid out yet.
    pub fn new(shop: Arc<Shop>, waker: Waker) -> SheetPages {
        SheetPages {
            shop,
            waker,
            laid_out: Mailbox::default(),
            written: Mailbox::default(),
            issued: Mailbox::default(),
            issuing: false,
            asked: None,
            writing: false,
            pages: None,
        }
    }

    /// True while pages are being laid out or a PDF is being written.
    pub fn is_busy(&self) -> bool {
        self.writing || self.issuing || self.asked.is_some()
    }

    /// The pages, once they are there.
    pub fn pages(&self) -> Option<&PageList> {
        self.pages.as_ref().map(|(_, list)| list)
    }

    /// Takes in what is done, and asks for pages where the ones there are of other facts. Returns what went wrong.
    pub fn keep_up(&mut self, known: &Arc<Known>, paper: Paper) -> Option<String> {
        let mut trouble = None;
        if let Some((made_for, outcome)) = self.laid_out.take() {
            if self.asked.as_ref().is_some_and(|(asked, _)| *asked == made_for) {
                self.asked = None;
            }
            match outcome {
                Ok(list) => self.pages = Some((made_for, list)),
                Err(words) => trouble = Some(words),
            }
        }
        let wanted = key(known, paper);
        let there = self.pages.as_ref().is_some_and(|(k, _)| *k == wanted);
        let on_its_way = self.asked.as_ref().is_some_and(|(k, _)| *k == wanted);
        if !there && !on_its_way && trouble.is_none() && known.report.is_some() {
            if let Some((_, run)) = self.asked.take() {
                run.cancel();
            }
            let run = Run::new();
            self.asked = Some((wanted, run.clone()));
            let (shop, known, done, waker) =
                (self.shop.clone(), known.clone(), self.laid_out.clone(), self.waker.clone());
            let work = move || {
                if let Some(outcome) = with_job(&shop, &known, |job| make_pages(&job.input(paper), &run))
                    && !run.is_cancelled()
                {
                    done.put((wanted, outcome.map_err(|e| e.to_string())));
                    waker.wake();
                }
            };
            if std::thread::Builder::new().name("sheet".into()).spawn(work).is_err() {
                self.asked = None;
            }
        }
        trouble
    }

    /// Writes the sheet as a PDF.
    pub fn write(&mut self, known: &Arc<Known>, paper: Paper, path: PathBuf) {
        self.write_apart(known, move |job| {
            let bytes = make_pdf(&job.input(paper), &Run::new()).map_err(|e| e.to_string())?;
            file::write_whole(&path, &bytes).map_err(|e| {
                format!("The sheet could not be written ({}). Choose another place: {}", said(&e), path.display())
            })?;
            Ok(format!("Sheet written: {}", path.display()))
        });
    }

    /// Writes the sheet as a PDF and hands it to the system.
    pub fn print(&mut self, known: &Arc<Known>, paper: Paper, path: PathBuf, hand_over: HandOver) {
        let at = path.clone();
        let write = move |job: &SheetJob<'_>| {
            let bytes = make_pdf(&job.input(paper), &Run::new()).map_err(|e| e.to_string())?;
            let folder = path.parent().map_or(Ok(()), std::fs::create_dir_all);
            folder.and_then(|()| file::write_whole(&path, &bytes)).map_err(|e| {
                format!("The sheet could not be written ({}). Write it where there is room, and print that", said(&e))
            })?;
            Ok(format!("Sheet written, and handed to the system to be printed: {}", path.display()))
        };
        let (done, waker) = (self.written.clone(), self.waker.clone());
        // It may come back only once the other program is closed.
        self.write_apart_and(known, write, move || {
            if hand_over(&at).is_err() {
                let whither = at.display();
                done.put(Err(format!(
                    "No program of this machine opened the sheet. Open and print it yourself: {whither}"
                )));
                waker.wake();
            }
        });
    }

    /// Writes the templates at full size to a folder, which is made where it is not there.
    pub fn write_templates(&mut self, known: &Arc<Known>, paper: Paper, folder: PathBuf) {
        self.write_apart(known, move |job| {
            let told = |e: std::io::Error| {
                format!(
                    "The templates could not be written ({}). Choose another folder: {}",
                    said(&e),
                    folder.display()
                )
            };
            let files = make_templates(&job.input(paper), &Run::new()).map_err(|e| e.to_string())?;
            std::fs::create_dir_all(&folder).map_err(told)?;
            for template in &files {
                file::write_whole(&folder.join(&template.name), &template.bytes).map_err(told)?;
            }
            Ok(format!("{} templates written to {}", files.len(), folder.display()))
        });
    }

    fn write_apart(
        &mut self,
        known: &Arc<Known>,
        work: impl FnOnce(&SheetJob<'_>) -> Result<String, String> + Send + 'static,
    ) {
        self.write_apart_and(known, work, || {});
    }

    /// Writes on a thread, and does something more there once it was told that it is written.
    fn write_apart_and(
        &mut self,
        known: &Arc<Known>,
        work: impl FnOnce(&SheetJob<'_>) -> Result<String, String> + Send + 'static,
        then: impl FnOnce() + Send + 'static,
    ) {
        let (shop, known, done, waker) = (self.shop.clone(), known.clone(), self.written.clone(), self.waker.clone());
        let work = move || {
            let missing = || Err("The sheet needs all the numbers; wait until the work under way is done".to_owned());
            let outcome = with_job(&shop, &known, work).unwrap_or_else(missing);
            let written = outcome.is_ok();
            done.put(outcome);
            waker.wake();
            if written {
                then();
            }
        };
        self.writing = std::thread::Builder::new().name("sheet to file".into()).spawn(work).is_ok();
    }

    /// What became of what was written, once, in words.
    pub fn written(&mut self) -> Option<Result<String, String>> {
        let outcome = self.written.take()?;
        self.writing = false;
        Some(outcome)
    }

    /// Counts the revision up, dates it `date`, and keeps what this sheet tells, for the next one to be compared with.
    pub fn issue(&mut self, known: &Arc<Known>, date: String) {
        let (shop, known, done, waker) = (self.shop.clone(), known.clone(), self.issued.clone(), self.waker.clone());
        let work = move || {
            let mut plan = (*known.plan).clone();
            if let (Some(facts), Some(report)) = (&known.facts, &known.report) {
                changes::issue(&mut plan, date, &shop, facts, report);
                done.put((known.plan.clone(), plan));
            }
            waker.wake();
        };
        self.issuing = std::thread::Builder::new().name("issue".into()).spawn(work).is_ok();
    }

    /// The issued plan, once.
    pub fn issued(&mut self) -> Option<Issued> {
        let issued = self.issued.take()?;
        self.issuing = false;
        Some(issued)
    }

    /// Forgets the pages of another job.
    pub fn clear(&mut self) {
        if let Some((_, run)) = self.asked.take() {
            run.cancel();
        }
        self.pages = None;
    }
}

fn with_job<T>(shop: &Shop, known: &Known, make: impl FnOnce(&SheetJob<'_>) -> T) -> Option<T> {
    let (facts, report) = (known.facts.as_ref()?, known.report.as_ref()?);
    Some(make(&SheetJob::new(&known.plan, shop, facts, report, None)))
}

/// Draws the pages one below the other, as wide as there is room.
pub fn show(ui: &mut Ui, list: &PageList) {
    let ground = crate::app::theme::look(ui).rule;
    ui.painter().rect_filled(ui.max_rect(), 0.0, ground);
    egui::ScrollArea::both().auto_shrink([false, false]).show(ui, |ui| {
        let paper = list.paper.size_mm();
        let width = (ui.available_width() - 40.0).clamp(320.0, 1100.0);
        let scale = width / paper.x;
        ui.vertical_centered(|ui| {
            for (i, page) in list.pages.iter().enumerate() {
                ui.add_space(12.0);
                let (rect, response) = ui.allocate_exact_size(vec2(paper.x, paper.y) * scale, Sense::hover());
                let name = format!("Page {} of {}", i + 1, list.pages.len());
                response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, name.clone()));
                if ui.is_rect_visible(rect) {
                    paint(&ui.painter_at(rect.expand(1.0)), ui.ctx(), page, rect, scale);
                }
            }
            ui.add_space(16.0);
        });
    });
}

fn grey(shade: Shade) -> Color32 {
    Color32::from_gray(shade.0)
}

fn paint(painter: &egui::Painter, ctx: &egui::Context, page: &Page, sheet: Rect, scale: f32) {
    painter.rect(sheet, 0.0, Color32::WHITE, Stroke::new(1.0, Color32::from_gray(150)), StrokeKind::Outside);
    let at = |p: Vec2| sheet.min + vec2(p.x, p.y) * scale;
    let stroke = |pen: Pen| Stroke::new((pen.width_mm * scale).max(0.6), grey(pen.shade));
    let chain = |points: &[Vec2], pen: Pen| {
        let points: Vec<Pos2> = points.iter().map(|p| at(*p)).collect();
        if pen.dash == Dash::Solid {
            painter.add(egui::Shape::line(points, stroke(pen)));
        } else {
            let pattern: Vec<f32> = pen.dash.pattern_mm(pen.width_mm).iter().map(|l| l * scale).collect();
            let (dashes, gaps): (Vec<f32>, Vec<f32>) = pattern.chunks(2).map(|c| (c[0], c[1])).unzip();
            painter.extend(egui::Shape::dashed_line_with_offset(&points, stroke(pen), &dashes, &gaps, 0.0));
        }
    };
    for item in &page.items {
        match item {
            Item::Text(text) => paint_text(painter, text, at(text.start()), scale),
            Item::Line { from, to, pen } => chain(&[*from, *to], *pen),
            Item::Polylines { lines, pen } => lines.iter().for_each(|l| chain(l, *pen)),
            Item::Polygon { corners, pen, fill } => {
                let points: Vec<Pos2> = corners.iter().map(|p| at(*p)).collect();
                if let Some(fill) = fill {
                    painter.add(egui::Shape::convex_polygon(points.clone(), grey(*fill), Stroke::NONE));
                }
                if let Some(pen) = pen {
                    painter.add(egui::Shape::closed_line(points, stroke(*pen)));
                }
            }
            Item::Rect { area, pen, fill } => {
                let rect = Rect::from_min_max(at(area.min), at(area.max));
                if let Some(fill) = fill {
                    painter.rect_filled(rect, 0.0, grey(*fill));
                }
                if let Some(pen) = pen {
                    painter.rect_stroke(rect, 0.0, stroke(*pen), StrokeKind::Middle);
                }
            }
            Item::Circle { centre, radius_mm, pen, fill } => {
                let (fill, edge) = (fill.map_or(Color32::TRANSPARENT, grey), pen.map_or(Stroke::NONE, stroke));
                painter.circle(at(*centre), radius_mm * scale, fill, edge);
            }
            Item::TickBox { area } => {
                let rect = Rect::from_min_max(at(area.min), at(area.max));
                painter.rect_stroke(rect, 0.0, stroke(Pen::NARROW), StrokeKind::Middle);
            }
            Item::Image { area, picture } => {
                let size = [picture.width as usize, picture.height as usize];
                if size[0] * size[1] * 4 == picture.rgba.len() {
                    let id = egui::Id::unique(("sheet picture", Arc::as_ptr(&picture.rgba) as *const u8 as usize));
                    let texture: egui::TextureHandle = ctx.data_mut(|d| {
                        d.get_temp_mut_or_insert_with(id, || {
                            let image = egui::ColorImage::from_rgba_unmultiplied(size, &picture.rgba);
                            ctx.load_texture("sheet picture", image, egui::TextureOptions::LINEAR)
                        })
                        .clone()
                    });
                    let all = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
                    let rect = Rect::from_min_max(at(area.min), at(area.max));
                    painter.image(texture.id(), rect, all, Color32::WHITE);
                }
            }
        }
    }
}

fn paint_text(painter: &egui::Painter, text: &Text, start: Pos2, scale: f32) {
    let family = match text.weight {
        Weight::Regular => FontFamily::Proportional,
        Weight::Bold => crate::app::theme::bold(),
    };
    let wanted = lettering::width_mm(&text.text, text.weight, text.height_mm) * scale;
    let size = lettering::em_mm(text.height_mm) * scale;
    let colour = grey(text.shade);
    let galley = painter.layout_no_wrap(text.text.clone(), FontId::new(size.max(1.0), family), colour);
    // The window rounds letters to pixels, the page does not: the text is held at its left end, and at its right end
    // or middle by its true width.
    let slack = match text.anchor {
        Anchor::Left => 0.0,
        Anchor::Middle => (wanted - galley.size().x) * 0.5,
        Anchor::Right => wanted - galley.size().x,
    };
    let ascent = galley
        .rows
        .first()
        .map_or(galley.size().y * 0.78, |row| row.glyphs.first().map_or(row.height() * 0.78, |g| g.pos.y));
    if text.turned {
        let corner = start + vec2(-ascent, -slack);
        let shape = egui::epaint::TextShape::new(corner, galley, colour).with_angle(-std::f32::consts::FRAC_PI_2);
        painter.add(shape);
    } else {
        painter.galley(start + vec2(slack, -ascent), galley, colour);
    }
}
