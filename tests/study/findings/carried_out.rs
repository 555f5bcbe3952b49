//! What a remedy does to a plan, without a window: each changes what it names and nothing else.

use glam::DVec3;
use mouldbench::plan::*;
use mouldbench::shop::Shop;
use mouldbench::study::findings::Remedy;

fn spot(x: f64) -> Spot {
    Spot { position: DVec3::new(x, 0.0, 0.0), ..Spot::default() }
}

fn vent(number: u32) -> Vent {
    Vent { number, name: String::new(), at: spot(1.0), diameter_mm: 3.0, made: Made::RodPulled }
}

/// Two vents, two gates, parted by a plane.
fn plan() -> Plan {
    let mut plan = Plan { vents: vec![vent(1), vent(4)], ..Plan::default() };
    plan.feed.gates = [2, 5].map(|number| Gate { number, diameter_mm: 8.0, ..Gate::default() }).to_vec();
    plan.parting.plane_mm = Some(12.0);
    plan
}

/// The plan after it, which must be the plan before it with `change`.
fn changes(remedy: &Remedy, change: impl FnOnce(&mut Plan)) {
    let (mut done, mut wanted) = (plan(), plan());
    assert!(remedy.carry_out(&mut done, Shop::bundled()), "{remedy:?} is an edit");
    change(&mut wanted);
    assert_ne!(done, plan(), "{remedy:?} changes something");
    assert_eq!(done, wanted, "{remedy:?}");
}

#[test]
fn a_remedy_changes_what_it_names() {
    changes(&Remedy::AddVent(spot(7.0)), |p| p.vents.push(Vent { number: 2, at: spot(7.0), ..vent(2) }));
    changes(&Remedy::MoveVent(4, spot(7.0)), |p| p.vents[1].at = spot(7.0));
    changes(&Remedy::NarrowVent(4, 1.5), |p| p.vents[1].diameter_mm = 1.5);
    changes(&Remedy::GrooveVent(4, spot(7.0)), |p| {
        p.vents[1].at = spot(7.0);
        p.vents[1].made = Made::GrooveInParting;
    });
    changes(&Remedy::RemoveVent(1), |p| {
        p.vents.remove(0);
    });
    changes(&Remedy::NarrowGate(5, 4.0), |p| p.feed.gates[1].diameter_mm = 4.0);
    changes(&Remedy::SeekLine, |p| p.parting.plane_mm = None);
    changes(&Remedy::PropBlock(Attitude { turn: 0.5, ..Attitude::default() }), |p| {
        p.hang.cast = Some(Attitude { turn: 0.5, ..Attitude::default() });
    });
}

#[test]
fn the_first_vent_is_as_wide_as_the_shop_has_it() {
    let (shop, mut plan) = (Shop::bundled(), Plan::default());
    assert!(Remedy::AddVent(spot(7.0)).carry_out(&mut plan, shop));
    assert_eq!((plan.vents[0].number, plan.vents[0].diameter_mm), (1, shop.limits.vent_mm));
}

#[test]
fn what_is_more_than_an_edit_changes_nothing() {
    let more =
        [Remedy::ProposeVents, Remedy::ProposeFeed, Remedy::ProposeDraw, Remedy::LayOutSet, Remedy::LeadRound(2)];
    for remedy in more.into_iter().chain([Remedy::AddGate(spot(7.0)), Remedy::RemovePin(9), Remedy::LetGoOfLoop(9)]) {
        let mut after = plan();
        let edit = remedy.carry_out(&mut after, Shop::bundled());
        assert_eq!(after, plan(), "{remedy:?}");
        assert_eq!(edit, matches!(remedy, Remedy::RemovePin(_) | Remedy::LetGoOfLoop(_)), "{remedy:?}");
    }
}
