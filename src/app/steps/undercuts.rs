//! What hangs on to its half: each undercut with what the rubber makes of it. Help for it is offered with its finding.

use crate::app::App;
use crate::app::fields::{self, short};
use crate::sheet::words::parting as words;
use crate::shop::{Limits, Silicone};
use crate::study::parting::release::Release;
use crate::study::parting::release::kinds::Verdict;
use crate::study::parting::release::undercuts::{Form, Undercut};
use crate::study::parting::release::verdict::Judged;
use egui::Ui;

/// Most undercuts that are listed, largest first.
const MOST: usize = 12;

/// As many are shown unfolded at first.
const FEW: usize = 2;

/// What an undercut is called by its form.
fn form_name(undercut: &Undercut) -> &'static str {
    match (undercut.form, undercut.closed_round) {
        (Form::Collar { .. }, true) => "collar all round",
        (Form::Collar { .. }, false) => "collar",
        (Form::Core { .. }, _) => "core",
        (Form::Tongue { .. }, _) => "tongue",
    }
}

/// The list.
pub fn show(app: &mut App, ui: &mut Ui) {
    let Some(facts) = app.known().facts.clone() else { return };
    let Some(release) = facts.release.clone() else { return };
    if release.undercuts.is_empty() {
        return;
    }
    let Some(plan) = app.plan() else { return };
    let silicone = plan.silicone(app.shop()).clone();
    let limits = app.shop().limits;
    let hard = (0..release.undercuts.len())
        .filter(|&i| release.judged(i, &silicone, &limits).verdict != Verdict::LetsGo)
        .count();
    let more = match hard {
        0 => format!("{}, all let go", release.undercuts.len()),
        _ => format!("{}, {hard} want care", release.undercuts.len()),
    };
    fields::fold(ui, "Undercuts", &more, release.undercuts.len() <= FEW, false, |ui| {
        list(app, ui, &release, &silicone, &limits);
    });
}

fn list(app: &mut App, ui: &mut Ui, release: &Release, silicone: &Silicone, limits: &Limits) {
    for i in 0..release.undercuts.len().min(MOST) {
        let judged = release.judged(i, silicone, limits);
        ui.push_id(("undercut", i), |ui| one(app, ui, i, &release.undercuts[i], &judged));
    }
    if release.undercuts.len() > MOST {
        fields::hint(ui, &format!("and {} smaller ones", release.undercuts.len() - MOST));
    }
}

fn one(app: &mut App, ui: &mut Ui, i: usize, undercut: &Undercut, judged: &Judged) {
    let title = format!(
        "{}: {}, {} mm², {} mm deep",
        i + 1,
        form_name(undercut),
        short(undercut.area_mm2),
        short(undercut.depth_mm)
    );
    let response = ui.add(egui::Button::new(title).frame(false).wrap());
    let worn = (1.0 - judged.life) * 100.0;
    let life = if worn >= 1.0 { format!(", tool life {worn:.0} % shorter") } else { String::new() };
    fields::hint(ui, &format!("{}{life}", words::verdict(judged.verdict)));
    if response.hovered() {
        app.light(Some(undercut.middle));
    }
    if response.clicked() {
        app.fly_to(undercut.middle, None);
    }
}
