//! What is advised where a fill takes too long: the advice is followed, and the fill must be in time then.

use glam::Vec3;
use mouldbench::mesh::solids;
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::tree::Tree;
use mouldbench::solve::run::Run;
use mouldbench::study::job::thickness::Thickness;
use mouldbench::study::pour::fill::drive::{Drive, Inlet, Outlet, channel_resistance};
use mouldbench::study::pour::fill::fineness::Fineness;
use mouldbench::study::pour::fill::verdict::{Lever, Outcome};
use mouldbench::study::pour::fill::viscosity::Pace;
use mouldbench::study::pour::fill::{Fill, Mouth, Pour, fill};

const LONG: f32 = 80.0;
const THICK: f32 = 3.0;

/// A level slot fed at one end through a channel of its own, with a vent at the other.
struct Slot {
    radius_mm: f64,
    level_mm: f64,
    pot_life_s: f64,
}

impl Slot {
    fn fill(&self) -> Fill {
        let run = Run::new();
        let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(LONG, 20.0, THICK));
        let tree = Tree::of(&mesh);
        let walls = Thickness::of(&mesh, &tree, &Topology::of(&mesh), &run).expect("not cancelled");
        let mouth = |x: f32, radius_mm: f32| Mouth { centre: Vec3::new(x, 10.0, THICK), radius_mm };
        // As good as constant: a second is one of ∫dt/μ.
        let pace = Pace { viscosity_pa_s: 1.0, tau_s: 1e9, pot_life_s: self.pot_life_s };
        let pour = Pour {
            mouths: vec![mouth(4.0, 3.0), mouth(LONG - 2.0, 1.5)],
            drive: Drive {
                inlets: vec![Inlet {
                    opening: 0,
                    level_mm: self.level_mm,
                    over_pa: 0.0,
                    resistance: channel_resistance(60.0, self.radius_mm),
                }],
                outlets: vec![Outlet {
                    opening: 1,
                    radius_mm: Some(1.5),
                    length_mm: 10.0,
                    rise_mm: 10.0,
                    height_mm: THICK as f64,
                }],
                up: Vec3::Z,
                weight_pa_mm: 10.8,
                outside_pa: 500.0,
                until: 0.0,
            },
            cup: pace,
            mould: pace,
            fineness: Fineness::USUAL,
            bubble_mm: 1.0,
        };
        fill(&mesh, &tree, &walls, &pour, &run, |_| ()).expect("a fill")
    }

    /// As long as it takes with all the time there is.
    fn takes_s(&self) -> f64 {
        let fill = Slot { pot_life_s: 1e6, ..*self }.fill();
        assert_eq!((fill.verdict.outcome, fill.verdict.lever), (Outcome::Fills, None));
        fill.end_at
    }
}

#[test]
#[ignore = "long"]
fn long_a_narrow_channel_is_to_blame_and_widened_it_is_in_time() {
    // 8·60/(π·1.6⁴) is 23/mm³, the whole slot 12·80/(27·20·0.9) no more than 2.
    let mut slot = Slot { radius_mm: 1.6, level_mm: 80.0, pot_life_s: 0.0 };
    for (share, outcome) in [(1.25, Outcome::Late), (0.6, Outcome::Short)] {
        slot.pot_life_s = share * slot.takes_s();
        let late = slot.fill();
        assert_eq!(late.verdict.outcome, outcome, "{:?}", late.verdict);
        let Some(Lever::WiderRunner(times)) = late.verdict.lever else { panic!("{:?}", late.verdict) };
        let wider = Slot { radius_mm: times * slot.radius_mm, ..slot };
        let mended = wider.fill();
        assert_eq!(mended.verdict.outcome, Outcome::Fills, "{times} {:?}", mended.verdict);
        // No wider than it must be.
        assert!(mended.verdict.pot_life_share > 0.3, "{times} {:?}", mended.verdict);
    }
}

#[test]
#[ignore = "long"]
fn long_where_the_cavity_is_to_blame_the_cup_is_raised() {
    let slot = Slot { radius_mm: 5.0, level_mm: 25.0, pot_life_s: 0.0 };
    let takes_s = slot.takes_s();
    for (share, outcome) in [(1.25, Outcome::Late), (0.6, Outcome::Short)] {
        let slot = Slot { pot_life_s: share * takes_s, ..slot };
        let late = slot.fill();
        assert_eq!(late.verdict.outcome, outcome, "{:?}", late.verdict);
        let Some(Lever::RaiseCup(mm)) = late.verdict.lever else { panic!("{:?}", late.verdict) };
        let mended = Slot { level_mm: slot.level_mm + mm, ..slot }.fill();
        assert_eq!(mended.verdict.outcome, Outcome::Fills, "{mm} {:?}", mended.verdict);
        assert!(mended.verdict.pot_life_share > 0.25, "{mm} {:?}", mended.verdict);
    }
}

/// Where neither would be enough by far, the way itself must be shorter: a gate where resin does not come.
#[test]
fn a_fill_that_gets_nowhere_needs_a_gate() {
    let slot = Slot { radius_mm: 5.0, level_mm: 25.0, pot_life_s: 0.0 };
    let short = Slot { pot_life_s: 0.05 * slot.takes_s(), ..slot }.fill();
    assert_eq!(short.verdict.outcome, Outcome::Short);
    assert!(short.filled_share < 0.5, "{}", short.filled_share);
    let Some(Lever::Gate(at)) = short.verdict.lever else { panic!("{:?}", short.verdict) };
    assert!(at.x > LONG / 2.0, "{at}");
}
