//! The setup sheet: its revision, its paper, and its pages as they will be printed.

use crate::app::App;
use crate::app::action::Action;
use crate::app::fields;
use crate::app::known::SinceIssue;
use crate::sheet::page::Paper;
use egui::Ui;

/// Changes that are listed.
const MOST_LINES: usize = 12;

fn so_many(changes: usize) -> String {
    if changes == 1 { "1 thing".into() } else { format!("{changes} things") }
}

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(plan) = app.plan() else { return };
    let plan_revision = plan.revision;
    let (mut revision, mut date) = (plan.revision as f64, plan.revision_date.clone());
    let response = fields::whole(ui, "Revision", &mut revision, 0.0..=9999.0);
    app.after(&response, "Change the revision", |p| p.revision = revision.round().max(0.0) as u32);
    let response = fields::text(ui, "Date", &mut date, "2026-01-31");
    app.after(&response, "Change the date", |p| p.revision_date = date);
    if let SinceIssue::Changed(lines) = &app.known().since_issue {
        let words = format!("Changed since revision {}: {}", plan_revision, so_many(lines.len()));
        fields::fold(ui, &words, "", false, false, |ui| {
            for line in lines.iter().take(MOST_LINES) {
                fields::hint(ui, line);
            }
            if lines.len() > MOST_LINES {
                fields::hint(ui, &format!("and {} more", lines.len() - MOST_LINES));
            }
        });
    }
    let paper_name = |p: Paper| match p {
        Paper::A4 => "A4".to_owned(),
        Paper::A3 => "A3".to_owned(),
        Paper::Letter => "Letter".to_owned(),
    };
    if let Some(paper) = fields::choice(ui, "Paper", app.paper(), &[Paper::A4, Paper::A3, Paper::Letter], paper_name) {
        app.set_paper(paper);
    }
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        for action in [Action::Issue, Action::PrintSheet, Action::WriteSheet, Action::WriteTemplates] {
            crate::app::top_line::button(app, ui, action);
        }
    });
    let pages = app.page_count();
    if pages > 0 {
        fields::fact(ui, "Pages", pages.to_string());
    } else {
        fields::hint(ui, "The sheet appears in the middle once all the numbers are there");
    }
    fields::hint(ui, "Drawings are true to scale when printed at 100 %, without fitting to the page");
}
