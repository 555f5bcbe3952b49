//! What is moulded in, and the pocket that holds it.

use super::{placed, tools};
use crate::app::App;
use crate::app::canvas::tool::Tool;
use crate::app::fields::{self, short};
use crate::app::thing::Thing;
use crate::plan::{Half, Insert, InsertKind, Plan, PocketMade, Threads};
use egui::Ui;

/// The kinds, as a list names them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Bush,
    Pin,
    Plate,
    Magnet,
    Mesh,
}

const KINDS: [Kind; 5] = [Kind::Bush, Kind::Pin, Kind::Plate, Kind::Magnet, Kind::Mesh];

impl Kind {
    fn of(kind: &InsertKind) -> Kind {
        match kind {
            InsertKind::Bush { .. } => Kind::Bush,
            InsertKind::Pin { .. } => Kind::Pin,
            InsertKind::Plate { .. } => Kind::Plate,
            InsertKind::Magnet { .. } => Kind::Magnet,
            InsertKind::Mesh { .. } => Kind::Mesh,
        }
    }

    fn name(self) -> &'static str {
        match self {
            Kind::Bush => "Threaded bush",
            Kind::Pin => "Pin",
            Kind::Plate => "Plate",
            Kind::Magnet => "Magnet",
            Kind::Mesh => "Shape from a mesh",
        }
    }

    /// The usual one of its kind.
    fn usual(self) -> InsertKind {
        match self {
            Kind::Bush => InsertKind::Bush { diameter_mm: 5.0, length_mm: 6.0, thread: "M3".into() },
            Kind::Pin => InsertKind::Pin { diameter_mm: 3.0, length_mm: 12.0 },
            Kind::Plate => InsertKind::Plate { length_mm: 12.0, width_mm: 8.0, thickness_mm: 1.5 },
            Kind::Magnet => InsertKind::Magnet { diameter_mm: 6.0, length_mm: 3.0 },
            Kind::Mesh => InsertKind::Mesh { mesh: String::new() },
        }
    }
}

/// The controls.
pub fn show(app: &mut App, ui: &mut Ui) {
    tools(app, ui, &[Tool::Insert]);
    let next = app.next_insert().clone();
    let without_mesh = &KINDS[..4];
    if let Some(kind) = fields::choice(ui, "Next insert", Kind::of(&next), without_mesh, |k| k.name().into()) {
        app.set_next_insert(kind.usual());
    }
    let Some(plan) = app.plan().cloned() else { return };
    let inserts = plan.inserts.clone();
    if inserts.is_empty() {
        fields::hint(ui, "Nothing is moulded in. Take “Place inserts” and click where one stands");
    }
    let things: Vec<Thing> = inserts.iter().map(|i| Thing::Insert(i.number)).collect();
    placed::list(app, ui, &things, |t| {
        let insert = inserts.iter().find(|i| Thing::Insert(i.number) == t);
        insert.map(|i| placed::on_part(&plan, i.at, Kind::of(&i.kind).name().to_owned())).unwrap_or_default()
    });
    if let Some(Thing::Insert(number)) = app.chosen() {
        one(app, ui, number);
    }
}

fn one(app: &mut App, ui: &mut Ui, number: u32) {
    let Some(insert) = app.plan().and_then(|p| p.inserts.iter().find(|i| i.number == number)).cloned() else {
        return;
    };
    let change = move |p: &mut Plan, f: &dyn Fn(&mut Insert)| {
        if let Some(insert) = p.inserts.iter_mut().find(|i| i.number == number) {
            f(insert);
        }
    };
    let what = format!("Change insert {number}");
    fields::heading(ui, &format!("Insert {number}"));
    let mut name = insert.name.clone();
    let response = fields::text(ui, "Name", &mut name, &format!("Insert {number}"));
    app.after(&response, &format!("Rename insert {number}"), |p| change(p, &|i| i.name = name.clone()));
    if let Some(kind) = fields::choice(ui, "Kind", Kind::of(&insert.kind), &KINDS, |k| k.name().into()) {
        app.edit(&what, |p| change(p, &|i| i.kind = kind.usual()));
    }
    let mut kind = insert.kind.clone();
    for response in sizes(ui, &mut kind) {
        app.after(&response, &what, |p| change(p, &|i| i.kind = kind.clone()));
    }
    let mut in_pocket = insert.in_pocket_mm;
    let response = fields::length(ui, "Length in the rubber", &mut in_pocket, 0.0..=200.0);
    app.after(&response, &what, |p| change(p, &|i| i.in_pocket_mm = in_pocket));
    let pockets = [PocketMade::DummyOnMaster, PocketMade::InMesh, PocketMade::DrilledAfter];
    let pocket_name = |p: PocketMade| match p {
        PocketMade::DummyOnMaster => "Dummy on master".to_owned(),
        PocketMade::InMesh => "Is in the mesh".to_owned(),
        PocketMade::DrilledAfter => "Drilled after".to_owned(),
    };
    if let Some(pocket) = fields::choice(ui, "Pocket made by", insert.pocket, &pockets, pocket_name) {
        app.edit(&what, |p| change(p, &|i| i.pocket = pocket));
    }
    let threads = [Threads::None, Threads::Screw, Threads::Plug, Threads::Blind];
    let thread_name = |t: Threads| match t {
        Threads::None => "No thread".to_owned(),
        Threads::Screw => "By a screw".to_owned(),
        Threads::Plug => "By a plug".to_owned(),
        Threads::Blind => "Blind end".to_owned(),
    };
    if let Some(threads) = fields::choice(ui, "Thread kept clear", insert.threads, &threads, thread_name) {
        app.edit(&what, |p| change(p, &|i| i.threads = threads));
    }
    let halves = [None, Some(Half::One), Some(Half::Two)];
    let half_name = |h: Option<Half>| match h {
        None => "The geometry says".to_owned(),
        Some(Half::One) => "Half 1".to_owned(),
        Some(Half::Two) => "Half 2".to_owned(),
    };
    if let Some(half) = fields::choice(ui, "Carried by", insert.half, &halves, half_name) {
        app.edit(&what, |p| change(p, &|i| i.half = half));
    }
    let usual = app.shop().habits.insert_density_g_cm3;
    let mut density = insert.density_g_cm3.unwrap_or(usual);
    let response = fields::number(ui, "Density of the insert", &mut density, "g/cm³", 0.1..=25.0, 0.05);
    app.after(&response, &what, |p| change(p, &|i| i.density_g_cm3 = Some(density)));
    let mut hottest = insert.hottest_c.unwrap_or(0.0);
    let response = fields::number(ui, "Bears at most, 0 for any", &mut hottest, "°C", 0.0..=1000.0, 1.0);
    app.after(&response, &what, |p| change(p, &|i| i.hottest_c = Some(hottest).filter(|c| *c > 0.0)));
    let mut stays = insert.stays;
    if ui.checkbox(&mut stays, "Stays in the cast").changed() {
        app.edit(&what, |p| change(p, &|i| i.stays = stays));
    }
    let displaced = app.known().report.as_ref().and_then(|r| r.inserts.iter().find(|i| i.number == number).cloned());
    if let Some(report) = displaced {
        fields::fact(ui, "Resin displaced", format!("{} mm³", short(report.displaced_mm3)));
        if let (Some(gap), Some(length)) = (report.gap_mm, report.gap_length_mm) {
            let reach = report.gap_reach_mm.map_or(String::new(), |r| format!(", reaches {}", short(r)));
            fields::fact(ui, "Resin past it", format!("{} mm over {}{reach}", short(gap), short(length)));
        }
        fields::fact(ui, "Dummy smaller, each side", format!("{} mm", short(report.fit_mm)));
        fields::fact(ui, "Held by", report.half.map_or("–".into(), |h| format!("Half {h}")));
        fields::fact(ui, "Hangs in it, pocket grips", format!("{:.3} N, {:.2} N", report.pull_n, report.grip_n));
        if let Some(mm) = report.to_line_mm {
            fields::fact(ui, "From its rim to the cut", format!("{} mm", short(mm)));
        }
    }
    placed::exact_place(app, ui, Thing::Insert(number));
}

/// The sizes of a kind.
fn sizes(ui: &mut Ui, kind: &mut InsertKind) -> Vec<egui::Response> {
    let mut length = |name: &str, value: &mut f64| fields::length(ui, name, value, 0.2..=300.0);
    match kind {
        InsertKind::Bush { diameter_mm, length_mm, thread } => {
            let mut responses = vec![length("Outside diameter", diameter_mm), length("Length", length_mm)];
            responses.push(fields::text(ui, "Thread", thread, "M3"));
            responses
        }
        InsertKind::Pin { diameter_mm, length_mm } | InsertKind::Magnet { diameter_mm, length_mm } => {
            vec![length("Diameter", diameter_mm), length("Length", length_mm)]
        }
        InsertKind::Plate { length_mm, width_mm, thickness_mm } => {
            vec![length("Length", length_mm), length("Width", width_mm), length("Thickness", thickness_mm)]
        }
        InsertKind::Mesh { mesh } => vec![fields::text(ui, "Mesh file", mesh, "insert.stl")],
    }
}
