//! A hard part and a soft part over it: the other part, how both meet, and what is weighed for each.

use crate::app::App;
use crate::app::asking::{Asking, Purpose};
use crate::app::fields::{self, mass, short, time, volume};
use crate::plan::{Plan, SecondShot, Shot, SoftCavity, Unit};
use crate::study::numbers::two_shot::figures::{SecondShotReport, ShotReport, WayReport};
use egui::Ui;
use glam::{DQuat, EulerRot};

fn change(plan: &mut Plan, how: impl FnOnce(&mut SecondShot)) {
    if let Some(second) = &mut plan.second_shot {
        how(second);
    }
}

fn area(mm2: f64) -> String {
    if mm2 >= 1000.0 { format!("{} cm²", short(mm2 / 100.0)) } else { format!("{} mm²", short(mm2)) }
}

/// The other part and how both meet.
pub fn of_part(app: &mut App, ui: &mut Ui) {
    let Some(second) = app.plan().map(|p| p.second_shot.clone()) else { return };
    let title = if second.is_some() { "both parts" } else { "" };
    fields::fold(ui, "Two shots", title, second.is_some(), false, |ui| match &second {
        None => {
            fields::hint(ui, "A hard part and a soft one that is cast over it. Both meshes must be drawn in one frame");
            if ui.button("Add the other part…").on_hover_text("The mesh (.stl) of the other shot").clicked() {
                ask(app);
            }
        }
        Some(second) => other(app, ui, second),
    });
}

fn ask(app: &mut App) {
    if app.plan().is_some_and(|p| p.parts.len() > 1) {
        app.tell("A two-shot job has one part a block. Take the other parts out first, or plan a block for each");
        return;
    }
    let start = app.document().and_then(|d| d.folder()).map(|f| f.join(""));
    app.ask(Asking::file(Purpose::OtherPart, start, None));
}

fn other(app: &mut App, ui: &mut Ui, second: &SecondShot) {
    let shots = |s: Shot| if s == Shot::Soft { "The soft part" } else { "The hard part" }.to_owned();
    if let Some(makes) = fields::choice(ui, "This block makes", second.makes, &[Shot::Soft, Shot::Hard], shots) {
        app.edit("Change which shot this block makes", |p| {
            change(p, |s| (s.makes, s.resin) = (makes, None));
        });
    }
    let cavities = |c: SoftCavity| {
        match c {
            SoftCavity::OwnTool => "Tool of its own",
            SoftCavity::RoundFirstCast => "Round the first cast",
        }
        .to_owned()
    };
    let both = [SoftCavity::OwnTool, SoftCavity::RoundFirstCast];
    if let Some(cavity) = fields::choice(ui, "Soft part's cavity", second.cavity, &both, cavities) {
        app.edit("Change the soft part's cavity", |p| change(p, |s| s.cavity = cavity));
    }
    let mut name = second.name.clone();
    let response = fields::text(ui, "Other part", &mut name, "Name of the other part");
    app.after(&response, "Rename the other part", |p| change(p, |s| s.name = name));
    fields::file(ui, "Its mesh file", &second.mesh);
    if let Some(unit) = fields::choice(ui, "Its file is in", second.unit, &Unit::ALL, fields::unit_name) {
        app.edit("Change the unit of the other part", |p| change(p, |s| s.unit = unit));
    }
    ui.horizontal(|ui| {
        if ui.button("Another mesh…").on_hover_text("Takes another mesh for the other part").clicked() {
            ask(app);
        }
        if ui.button("Make it one shot").on_hover_text("Takes the other part out of the plan; can be undone").clicked()
        {
            app.edit("Make it one shot", |p| p.second_shot = None);
        }
    });
    let Some(report) = app.known().report.as_ref().and_then(|r| r.second_shot.clone()) else {
        fields::hint(ui, "Still working on how both parts meet…");
        place(app, ui, second);
        return;
    };
    met(ui, &report, app.shop().limits.shots_touch_mm);
    place(app, ui, second);
}

/// Where the other part lies in the frame of this one.
fn place(app: &mut App, ui: &mut Ui, second: &SecondShot) {
    fields::hint(
        ui,
        "Where the other part lies in the frame of this one; leave it at nought where both were drawn in place",
    );
    let what = "Move the other part";
    let mut at = second.pose.translation_mm.to_array();
    for axis in 0..3 {
        let name = ["Other part, X", "Other part, Y", "Other part, Z"][axis];
        let response = fields::length(ui, name, &mut at[axis], -1e5..=1e5);
        app.after(&response, what, |p| change(p, |s| s.pose.translation_mm[axis] = at[axis]));
    }
    let what = "Turn the other part";
    let (x, y, z) = second.pose.rotation.normalize().to_euler(EulerRot::XYZ);
    // No minus before a nought.
    let mut turns = [x, y, z].map(|t| (t.to_degrees() * 1e6).round() / 1e6 + 0.0);
    for axis in 0..3 {
        let name = ["Turned about X", "Turned about Y", "Turned about Z"][axis];
        let response = fields::number(ui, name, &mut turns[axis], "°", -360.0..=360.0, 0.5);
        let [x, y, z] = turns.map(f64::to_radians);
        app.after(&response, what, |p| {
            change(p, |s| s.pose.rotation = DQuat::from_euler(EulerRot::XYZ, x, y, z));
        });
    }
}

/// How both parts meet.
fn met(ui: &mut Ui, report: &SecondShotReport, touch_mm: f64) {
    if let Some(why) = &report.trouble {
        fields::hint(ui, &format!("Not compared: {why}"));
        return;
    }
    fields::fact(ui, "Contact area", area(report.contact_mm2));
    let coarse = format!("{touch_mm:.2} mm, coarse facets {:.2} mm", report.tolerance_mm);
    let plain = format!("{touch_mm:.2} mm");
    fields::fact(ui, "Counts as touching", if report.tolerance_mm > touch_mm + 5e-3 { coarse } else { plain });
    if report.apart_mm > 0.0 {
        fields::fact(ui, "Apart", format!("{:.2} mm", report.apart_mm));
    }
    let overlap = format!("{}, {:.2} mm deep", volume(report.overlap_mm3), report.overlap_depth_mm);
    fields::fact(ui, "Overlap", if report.overlap_mm3 > 0.0 { overlap } else { "none".into() });
    let [from, to] = report.gap_mm;
    let gap = format!("{}, {from:.2} to {to:.2} mm", area(report.gap_mm2));
    fields::fact(ui, "Gap", if report.gap_mm2 > 0.0 { gap } else { "none".into() });
    let Some(hold) = &report.hold else { return };
    let percent = |share: f64| format!("{:.0} %", share * 100.0);
    fields::fact(ui, "Bare, against the rubber", format!("{}, {}", area(report.bare_mm2), percent(hold.bare_share)));
    let least = |turn: bool| {
        let ways = hold.ways.iter().filter(|w| w.turn == turn && w.share.is_some());
        let by = |w: &&WayReport| w.share.unwrap_or(1.0);
        ways.min_by(|a, b| by(a).total_cmp(&by(b)))
            .map(|w| format!("{} {}", percent(by(&w)), w.way.trim_start_matches("towards the ")))
    };
    if let Some(words) = least(false) {
        fields::fact(ui, "Held least against", words);
    }
    if let Some(words) = least(true) {
        fields::fact(ui, "and a turn", words);
    }
    fields::hint(
        ui,
        &format!(
            "Share of the hard part's shadow, seen that way, that rubber stands in front of; {} are wanted whichever way it \
             is to move",
            percent(hold.needed_share)
        ),
    );
}

/// Resin of the other shot, time between both, and what is weighed.
pub fn of_casting(app: &mut App, ui: &mut Ui) {
    let Some(second) = app.plan().and_then(|p| p.second_shot.clone()) else { return };
    fields::heading(ui, "Two shots");
    let resins = app.shop().resins.clone();
    let now = second.resin(app.shop()).name.clone();
    let mut all: Vec<&str> = resins.iter().map(|r| r.name.as_str()).collect();
    if !all.contains(&now.as_str()) {
        all.insert(0, &now);
    }
    let label = if second.makes == Shot::Soft { "Resin, hard shot" } else { "Resin, soft shot" };
    let chosen = fields::choice(ui, label, now.as_str(), &all, str::to_owned).map(str::to_owned);
    if let Some(chosen) = chosen.and_then(|name| resins.iter().find(|r| r.name == name).cloned()) {
        app.edit(&format!("Take {} for the other shot", chosen.name), |p| change(p, |s| s.resin = Some(chosen)));
    }
    let mut hours = second.wait_s(app.shop()) / 3600.0;
    let response = fields::number(ui, "From hard to soft shot", &mut hours, "h", 0.0..=1000.0, 0.1);
    app.after(&response, "Change the time between the shots", |p| change(p, |s| s.wait_s = Some(hours * 3600.0)));
    // A field does not go while numbers are reckoned anew: until they are there it has those of before.
    let (report, before) = (app.known().report.clone(), ui.scope_id().with("own channels"));
    let own = report.as_ref().map(|r| r.resin.feed_mm3 + r.resin.vents_mm3 + r.resin.pool_mm3);
    let own = own.or_else(|| ui.data(|d| d.get_temp(before)));
    let Some(own) = own else { return };
    ui.data_mut(|d| d.insert_temp(before, own));
    let mut channels = second.channels_mm3.unwrap_or(own) / 1000.0;
    let response = fields::number(ui, "Feed and vents, other tool", &mut channels, "cm³", 0.0..=10_000.0, 0.1);
    app.after(&response, "Change what the other tool's channels hold", |p| {
        change(p, |s| s.channels_mm3 = Some(channels * 1000.0));
    });
    let Some(found) = report.as_ref().and_then(|r| r.second_shot.as_ref()) else { return };
    shot(ui, "Hard shot", &found.hard);
    shot(ui, "Soft shot", &found.soft);
    fields::fact(ui, "Both together, trimmed", mass(found.together_g));
    let [least, longest] = found.wait_limits_s;
    fields::fact(ui, "Wait between them", format!("{} to {}", time(least), time(longest)));
    fields::fact(ui, "A hard cast lies at most", so_many_days(found.longest_wait_days));
    fields::hint(
        ui,
        "No release agent, wax or bare fingers on the contact area of the hard cast: the soft part bonds there and nowhere \
         else",
    );
}

fn so_many_days(days: u32) -> String {
    if days == 1 { "1 day".to_owned() } else { format!("{days} days") }
}

fn shot(ui: &mut Ui, name: &str, shot: &ShotReport) {
    fields::fact(ui, &format!("{name}, {}", shot.resin), mass(shot.part_g));
    let channels = if shot.channels_taken_over { ", channels as here" } else { "" };
    fields::fact(ui, "   mix for one", format!("{}{channels}", mass(shot.shot_g)));
    fields::fact(ui, "   A and B", format!("{}, {}", mass(shot.a_g), mass(shot.b_g)));
    fields::fact(ui, "   cup, at least", format!("{} litres", short(shot.cup_litres)));
    let [first, last] = shot.cast_days;
    fields::fact(ui, "   casts", format!("{}, day {first} to {last}", shot.casts));
}
