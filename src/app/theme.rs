//! How the window looks: one calm light and one calm dark theme, and the embedded letters.
//!
//! Paper and ink, one accent for what can be pressed or is chosen, and the four states of a tick box. Text on its ground
//! has a contrast of at least 4.5 to 1 in both themes.

use crate::view::palette::{self, Colour};
use egui::{Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Stroke, TextStyle};

/// Colours of one theme.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Ground of panels.
    pub paper: Color32,
    /// Ground of the job card and of lists.
    pub card: Color32,
    /// Rules and edges.
    pub rule: Color32,
    /// Text.
    pub ink: Color32,
    /// Text of less weight.
    pub quiet: Color32,
    /// What can be pressed or is chosen.
    pub accent: Color32,
    /// Ground of what is chosen.
    pub chosen: Color32,
    /// Ground of what is under the cursor.
    pub hovered: Color32,
    /// Ground of buttons and fields.
    pub field: Color32,
    /// Stop: the block must not be poured like this.
    pub stop: Color32,
    /// Look here.
    pub warn: Color32,
    /// In order.
    pub good: Color32,
}

/// Dark ink on light paper.
pub const LIGHT: Look = Look {
    paper: Color32::from_rgb(246, 246, 243),
    card: Color32::from_rgb(254, 253, 249),
    rule: Color32::from_rgb(203, 205, 205),
    ink: Color32::from_rgb(32, 37, 44),
    quiet: Color32::from_rgb(86, 94, 103),
    accent: Color32::from_rgb(0, 92, 143),
    chosen: Color32::from_rgb(211, 230, 242),
    hovered: Color32::from_rgb(232, 238, 241),
    field: Color32::from_rgb(235, 236, 235),
    stop: Color32::from_rgb(166, 56, 0),
    warn: Color32::from_rgb(122, 88, 0),
    good: Color32::from_rgb(0, 109, 80),
};

/// Light ink on dark paper.
pub const DARK: Look = Look {
    paper: Color32::from_rgb(33, 36, 41),
    card: Color32::from_rgb(41, 45, 51),
    rule: Color32::from_rgb(74, 80, 88),
    ink: Color32::from_rgb(229, 232, 235),
    quiet: Color32::from_rgb(176, 184, 193),
    accent: Color32::from_rgb(120, 194, 240),
    chosen: Color32::from_rgb(35, 71, 95),
    hovered: Color32::from_rgb(52, 58, 66),
    field: Color32::from_rgb(55, 60, 68),
    stop: Color32::from_rgb(255, 148, 92),
    warn: Color32::from_rgb(240, 190, 70),
    good: Color32::from_rgb(84, 208, 168),
};

/// The colours of the theme that `ui` is drawn in.
pub fn look(ui: &egui::Ui) -> &'static Look {
    if ui.visuals().dark_mode { &DARK } else { &LIGHT }
}

/// The 3D view's colours to go with the window's theme.
pub fn view_theme(dark: bool) -> palette::Theme {
    if dark { palette::Theme::DARK } else { palette::Theme::LIGHT }
}

/// A colour of the 3D view on the window.
pub fn on_screen(colour: Colour) -> Color32 {
    Color32::from_rgb(colour.r, colour.g, colour.b)
}

/// The family of heavy letters.
pub fn bold() -> FontFamily {
    FontFamily::Name("bold".into())
}

/// Heavy text of the usual size.
pub fn strong(text: impl Into<String>) -> egui::RichText {
    egui::RichText::new(text).family(bold())
}

fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::empty();
    let plain = FontData::from_static(include_bytes!("../../assets/fonts/DejaVuSans.ttf"));
    let heavy = FontData::from_static(include_bytes!("../../assets/fonts/DejaVuSans-Bold.ttf"));
    fonts.font_data.insert("plain".into(), plain.into());
    fonts.font_data.insert("heavy".into(), heavy.into());
    for family in [FontFamily::Proportional, FontFamily::Monospace] {
        fonts.families.insert(family, vec!["plain".into()]);
    }
    fonts.families.insert(bold(), vec!["heavy".into(), "plain".into()]);
    fonts
}

/// Puts letters and both themes into a context; done once for each.
pub fn install(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    crate::app::in_turn::install(ctx);
    for (theme, look) in [(egui::Theme::Light, &LIGHT), (egui::Theme::Dark, &DARK)] {
        ctx.style_mut_of(theme, |style| dress(style, look, theme == egui::Theme::Dark));
    }
}

fn dress(style: &mut egui::Style, look: &Look, dark: bool) {
    style.text_styles = [
        (TextStyle::Heading, FontId::new(17.0, bold())),
        (TextStyle::Body, FontId::proportional(13.0)),
        (TextStyle::Button, FontId::proportional(13.0)),
        (TextStyle::Monospace, FontId::monospace(12.5)),
        (TextStyle::Small, FontId::proportional(11.5)),
    ]
    .into();
    style.spacing.item_spacing = egui::vec2(8.0, 5.0);
    style.spacing.button_padding = egui::vec2(9.0, 4.0);
    style.spacing.interact_size.y = 24.0;
    style.spacing.scroll = egui::style::ScrollStyle::thin();
    style.animation_time = 0.08;
    style.interaction.selectable_labels = false;
    let visuals = &mut style.visuals;
    *visuals = if dark { egui::Visuals::dark() } else { egui::Visuals::light() };
    visuals.panel_fill = look.paper;
    visuals.window_fill = look.card;
    visuals.window_stroke = Stroke::new(1.0, look.rule);
    visuals.extreme_bg_color = look.card;
    visuals.faint_bg_color = look.hovered;
    visuals.weak_text_color = Some(look.quiet);
    visuals.hyperlink_color = look.accent;
    visuals.warn_fg_color = look.warn;
    visuals.error_fg_color = look.stop;
    visuals.selection.bg_fill = look.chosen;
    visuals.selection.stroke = Stroke::new(1.0, look.accent);
    visuals.text_cursor.blink = false;
    visuals.window_corner_radius = CornerRadius::same(6);
    visuals.menu_corner_radius = CornerRadius::same(5);
    let widgets = &mut visuals.widgets;
    for (w, ground, edge, ink) in [
        (&mut widgets.noninteractive, look.paper, look.rule, look.ink),
        (&mut widgets.inactive, look.field, look.rule, look.ink),
        (&mut widgets.hovered, look.hovered, look.accent, look.ink),
        (&mut widgets.active, look.chosen, look.accent, look.ink),
        (&mut widgets.open, look.chosen, look.rule, look.ink),
    ] {
        w.bg_fill = ground;
        w.weak_bg_fill = ground;
        w.bg_stroke = Stroke::new(1.0, edge);
        w.fg_stroke = Stroke::new(1.0, ink);
        w.corner_radius = CornerRadius::same(4);
        w.expansion = 0.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn contrast(a: Color32, b: Color32) -> f32 {
        let colour = |c: Color32| Colour::new(c.r(), c.g(), c.b());
        colour(a).contrast(colour(b))
    }

    // 4.5 to 1 is WCAG 2.2, success criterion 1.4.3.
    #[test]
    fn text_stands_out_from_every_ground() {
        for look in [&LIGHT, &DARK] {
            for ground in [look.paper, look.card, look.field, look.hovered, look.chosen] {
                for ink in [look.ink, look.quiet] {
                    assert!(contrast(ink, ground) >= 4.5, "{ink:?} on {ground:?}: {}", contrast(ink, ground));
                }
            }
            for ground in [look.paper, look.card, look.hovered] {
                for ink in [look.accent, look.stop, look.warn, look.good] {
                    assert!(contrast(ink, ground) >= 4.5, "{ink:?} on {ground:?}: {}", contrast(ink, ground));
                }
            }
        }
    }
}
