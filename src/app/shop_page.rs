//! The page of the shop's figures: every list, every figure with its unit and its source, changed here and written to the
//! shop's own file.

use super::App;
use super::theme::{look, strong};
use super::typed::{self, Look, Number};
use crate::shop::desk::{Desk, has_rows, numbers};
use crate::shop::figures::{SECTIONS, Section, part_words};
use egui::{Key, Modifiers, RichText, Ui, vec2};

/// Width of what a figure is, of one number, of its unit, points.
const WIDE: [f32; 3] = [300.0, 78.0, 104.0];

/// The page.
#[derive(Clone, Debug)]
pub struct ShopPage {
    desk: Desk,
    section: usize,
    material: Option<String>,
    /// Why the last change was refused, and at which figure.
    refused: Option<(String, String)>,
    copy_name: String,
    /// What writing would lose, once it was asked.
    asks: Option<String>,
}

impl App {
    /// Opens the page; what was changed and not written is still there.
    pub fn open_shop_page(&mut self) {
        let page = ShopPage {
            desk: Desk::new(self.shop().clone()),
            section: 0,
            material: None,
            refused: None,
            copy_name: String::new(),
            asks: None,
        };
        self.shop_page.get_or_insert(page);
        self.shop_page_open = true;
    }

    /// True while the page is shown.
    pub fn is_at_shop_page(&self) -> bool {
        self.shop_page_open
    }

    pub(super) fn shop_page_written(&mut self) {
        if let Some(page) = &mut self.shop_page {
            page.asks = None;
        }
    }

    pub(super) fn shop_page_asks(&mut self, words: String) {
        if let Some(page) = &mut self.shop_page {
            page.asks = Some(words);
        }
    }
}

/// What was pressed at the head.
#[derive(Default)]
struct Head {
    close: bool,
    write: Option<bool>,
}

/// Draws the page.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(mut page) = app.shop_page.take() else { return };
    let unwritten = *page.desk.draft() != *app.shop();
    let place = app.shop_file().map(|p| p.display().to_string());
    let back = if app.document().is_some() { "Back to the job" } else { "Back to the welcome page" };
    let mut pressed = Head::default();
    if !app.is_asking() && !ui.ctx().text_edit_focused() {
        if ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Z)) {
            page.desk.undo();
        }
        pressed.close = !super::in_turn::escape_is_of_a_field(ui.ctx())
            && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
    }
    egui::Panel::left("shop lists").exact_size(250.0).show(ui, |ui| page.lists(ui));
    egui::CentralPanel::default().show(ui, |ui| {
        page.head(ui, unwritten, place.as_deref(), back, &mut pressed);
        ui.separator();
        egui::ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| page.figures(ui));
    });
    if let Some(replace) = pressed.write {
        app.write_shop(page.desk.draft().clone(), replace);
    }
    app.shop_page = Some(page);
    app.shop_page_open = !pressed.close;
}

impl ShopPage {
    fn lists(&mut self, ui: &mut Ui) {
        egui::ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            for (i, section) in SECTIONS.into_iter().enumerate() {
                let here = i == self.section;
                if ui.add(egui::Button::new(strong(section.name)).selected(here).frame_when_inactive(false)).clicked() {
                    (self.section, self.material) = (i, None);
                }
                if !here || section.is_single() {
                    continue;
                }
                let names = self.desk.materials(section);
                if self.material.as_ref().is_none_or(|m| !names.contains(m)) {
                    self.material = names.first().cloned();
                }
                for name in names {
                    let chosen = self.material.as_deref() == Some(&name);
                    ui.horizontal(|ui| {
                        ui.add_space(14.0);
                        let button = egui::Button::new(&name).selected(chosen).frame_when_inactive(false).truncate();
                        if ui.add(button).on_hover_text(&name).clicked() {
                            self.material = Some(name);
                        }
                    });
                }
            }
        });
    }

    fn head(&mut self, ui: &mut Ui, unwritten: bool, place: Option<&str>, back: &str, pressed: &mut Head) {
        ui.horizontal(|ui| {
            ui.label(strong("The shop's figures").size(16.0));
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                pressed.close |= ui.button(back).clicked();
                let write = ui.add_enabled(unwritten && place.is_some(), egui::Button::new("Write the shop's file"));
                let why = if unwritten { "No configuration folder is known here" } else { "Nothing was changed" };
                if write.on_hover_text(place.unwrap_or_default()).on_disabled_hover_text(why).clicked() {
                    pressed.write = Some(false);
                }
                let undo = self.desk.undo_name().map(|name| format!("Undo {name}"));
                let button =
                    ui.add_enabled(undo.is_some(), egui::Button::new(undo.as_deref().unwrap_or("Undo")).truncate());
                if button.on_disabled_hover_text("Nothing was changed here").clicked() {
                    self.desk.undo();
                    self.refused = None;
                }
            });
        });
        let quiet = look(ui).quiet;
        let words = if unwritten {
            "Changed and not written yet; the job still goes by the figures as they were"
        } else {
            "A plan keeps the materials it was made with. Check each figure against the data sheet of what stands on the shelf"
        };
        ui.add(egui::Label::new(RichText::new(words).color(quiet)).wrap());
        if let Some(words) = self.asks.clone() {
            ui.add(egui::Label::new(words).wrap());
            ui.horizontal(|ui| {
                if ui.button("Replace the file").clicked() {
                    pressed.write = Some(true);
                }
                if ui.button("Leave it").clicked() {
                    self.asks = None;
                }
            });
        }
    }

    fn figures(&mut self, ui: &mut Ui) {
        let section = SECTIONS[self.section];
        let material = self.material.clone().filter(|_| !section.is_single());
        if let Some(name) = &material {
            self.material_head(ui, section, name);
        }
        for (figure, words) in section.figures() {
            self.figure(ui, section, material.as_deref(), figure, &words);
        }
        ui.add_space(12.0);
    }

    fn material_head(&mut self, ui: &mut Ui, section: Section, name: &str) {
        ui.horizontal(|ui| {
            ui.label(strong(name).size(14.0));
            if !self.desk.is_bundled(section, Some(name)) && ui.button("Take it out").clicked() {
                self.desk.remove(section, name);
            }
        });
        ui.horizontal(|ui| {
            let label = ui.label("Name of a copy");
            let field = egui::TextEdit::singleline(&mut self.copy_name).desired_width(240.0);
            ui.add(field.hint_text("A generic name of your own")).labelled_by(label.id);
            if ui.button("Add a copy").on_hover_text("First in its list, which a new plan takes").clicked() {
                self.refused = match self.desk.copy(section, name, &self.copy_name) {
                    Ok(()) => {
                        self.material = Some(std::mem::take(&mut self.copy_name).trim().to_owned());
                        None
                    }
                    Err(words) => Some(("name".into(), words)),
                };
            }
        });
        self.refusal(ui, "name");
        if !self.desk.is_bundled(section, Some(name)) {
            self.own_words(ui, section, name);
        }
        ui.add_space(4.0);
    }

    /// What a material of the shop's own is called, and where it comes from.
    fn own_words(&mut self, ui: &mut Ui, section: Section, material: &str) {
        if let Some(to) = Self::line(ui, "Its name", material) {
            let outcome = self.desk.rename(section, material, &to);
            if outcome.is_ok() {
                self.material = Some(to.trim().to_owned());
            }
            self.refused = outcome.err().map(|words| ("its name".into(), words));
        }
        self.refusal(ui, "its name");
        let origin = self.desk.origin(section, material).unwrap_or_default();
        if let Some(to) = Self::line(ui, "Where its figures come from", &origin) {
            let outcome = self.desk.set_origin(section, material, &to);
            self.refused = outcome.err().map(|words| ("its source".into(), words));
        }
        self.refusal(ui, "its source");
    }

    /// A line of words to type; what was typed comes back once the field is left.
    fn line(ui: &mut Ui, name: &str, now: &str) -> Option<String> {
        let id = typed::id_of(ui, name);
        ui.horizontal(|ui| {
            let label = ui.label(name);
            let (field, left) = typed::line(ui, id, now, Look::line(360.0, ""));
            field.labelled_by(label.id);
            left
        })
        .inner
    }

    /// Buttons that add a line to a figure that has lines, and take one out.
    fn rows(&mut self, ui: &mut Ui, section: Section, material: Option<&str>, figure: &str, rows: usize) {
        ui.horizontal(|ui| {
            let mut outcome = None;
            if ui.small_button("Add a line").clicked() {
                outcome = Some(self.desk.add_row(section, material, figure));
            }
            for i in 0..rows {
                if ui.small_button(format!("Take line {} out", i + 1)).clicked() {
                    outcome = Some(self.desk.remove_row(section, material, figure, i));
                }
            }
            if let Some(outcome) = outcome {
                self.refused = outcome.err().map(|words| (figure.to_owned(), words));
            }
        });
    }

    fn refusal(&self, ui: &mut Ui, figure: &str) {
        if let Some((at, words)) = &self.refused
            && at == figure
        {
            ui.add(egui::Label::new(RichText::new(words).color(ui.visuals().error_fg_color)).wrap());
        }
    }

    /// One figure: what it is, its numbers with their units, its source.
    fn figure(&mut self, ui: &mut Ui, section: Section, material: Option<&str>, figure: &'static str, words: &str) {
        let value = self.desk.value(section, material, figure);
        ui.separator();
        ui.horizontal_top(|ui| {
            ui.allocate_ui(vec2(WIDE[0], 22.0), |ui| {
                ui.set_width(WIDE[0]);
                ui.add(egui::Label::new(words).wrap());
            });
            ui.vertical(|ui| {
                for (way, number) in numbers(&value) {
                    let (part, unit) = part_words(figure, &way);
                    let name = if part.is_empty() { words.to_owned() } else { format!("{words}, {part}") };
                    ui.horizontal(|ui| {
                        if let Some(to) = Self::number(ui, &name, number) {
                            let outcome = to.and_then(|to| self.desk.set(section, material, figure, &way, to));
                            self.refused = outcome.err().map(|words| (figure.to_owned(), words));
                        }
                        let beside = if part.is_empty() { unit.to_owned() } else { format!("{unit}  {part}") };
                        ui.allocate_ui(vec2(WIDE[2], 22.0), |ui| {
                            ui.set_width(WIDE[2]);
                            ui.label(RichText::new(beside).color(look(ui).quiet));
                        });
                    });
                }
                if has_rows(figure) {
                    self.rows(ui, section, material, figure, value.as_array().map_or(0, Vec::len));
                }
            });
            ui.vertical(|ui| self.source(ui, section, material, figure, words));
        });
        self.refusal(ui, figure);
    }

    /// A number to type; what was typed comes back once the field is left.
    fn number(ui: &mut Ui, name: &str, number: f64) -> Option<Result<f64, String>> {
        let id = typed::id_of(ui, name);
        let (field, left) = typed::line(ui, id, &number.to_string(), Look::line(WIDE[1], ""));
        field.accessible_name(name);
        // The desk knows what each figure may be.
        let any = Number { unit: "", range: f64::MIN..=f64::MAX, speed: 1.0, decimals: 3 };
        left.map(|text| any.read(&text))
    }

    fn source(&mut self, ui: &mut Ui, section: Section, material: Option<&str>, figure: &str, words: &str) {
        let quiet = look(ui).quiet;
        if let Some(remark) = self.desk.remark(section, material, figure).map(str::to_owned) {
            ui.horizontal(|ui| {
                ui.label("set here");
                let name = format!("Remark on {}", super::action::lowered(words));
                let wide = (ui.available_width() - 12.0).clamp(80.0, 320.0);
                let id = typed::id_of(ui, &name);
                let (field, left) = typed::line(ui, id, &remark, Look::line(wide, "Why, or where from"));
                field.accessible_name(&name);
                if let Some(text) = left {
                    self.desk.remark_on(section, material, figure, &text);
                }
            });
        } else {
            let said = self.desk.draft().source_of(section.key, material, figure).unwrap_or_default().to_owned();
            ui.add(egui::Label::new(RichText::new(said).color(quiet)).wrap());
        }
        if self.desk.differs(section, material, figure) {
            let button = ui.small_button("Back to the bundled figure");
            let name = format!("Back to the bundled figure: {words}");
            button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, name.clone()));
            if button.clicked() {
                let outcome = self.desk.back_to_bundled(section, material, figure);
                self.refused = outcome.err().map(|words| (figure.to_owned(), words));
            }
        }
    }
}
