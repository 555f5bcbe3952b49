//! Closed forms of strain, and what a rubber makes of them.

use mouldbench::shop::{Shop, Silicone};
use mouldbench::study::parting::release::kinds::Verdict;
use mouldbench::study::parting::release::service::Service;
use mouldbench::study::parting::release::strain;
use mouldbench::study::parting::release::undercuts::Form;
use mouldbench::study::parting::release::verdict::{Lines, judged};
use proptest::prelude::*;

fn near(a: f64, b: f64, slack: f64) {
    assert!((a - b).abs() <= slack, "{a} is not {b}");
}

/// A head of 30 through a ring of 24 stretches it by 25 % (hoop strain D/d − 1; Timoshenko & Goodier, Theory of
/// Elasticity, from memory). Slit 20 mm deep from its bore of 36, a ring that clears 40 is strained 4/76 at the slit's end.
#[test]
fn ring_and_slit_ring() {
    near(strain::ring(30.0, 24.0), 0.25, 1e-15);
    assert_eq!(strain::ring(24.0, 30.0), 0.0);
    assert!(strain::ring(30.0, 0.0).is_infinite());
    let collar = Form::Collar { neck_mm: 36.0, head_mm: 40.0 };
    let slit = Service { cuts: vec![0], cut_mm: 20.0, ..Service::default() };
    near(slit.opened(&collar, 30.0).stretch(), 4.0 / 76.0, 1e-15);
}

/// A beam bent to an arc of radius R is strained t/2R in its skin; through a right angle its length is πR/2 (beam
/// bending, Timoshenko & Gere, Mechanics of Materials, from memory). A semicircle is π/2 times its chord.
#[test]
fn fold_and_bow() {
    let (t, r) = (2.0, 10.0);
    near(strain::fold(t, std::f64::consts::PI * r / 2.0), t / (2.0 * r), 1e-12);
    near(strain::bow(5.0, 10.0), std::f64::consts::FRAC_PI_2 - 1.0, 1e-12);
    // A shallow arc is longer than its chord by 8/3·(f/s)² (parabola, any handbook of surveying).
    near(strain::bow(1.0, 100.0), 8.0 / 3.0 * 1e-4, 1e-7);
    assert_eq!(strain::bow(0.0, 0.0), 0.0);
    assert!(strain::bow(1.0, 0.0).is_infinite());
}

fn rubber(shore_a: f64, elongation_pct: f64) -> Silicone {
    Silicone { shore_a, elongation_pct, ..Shop::bundled().silicones[0].clone() }
}

/// The lines are the figures of practice at their hardness (common practice, no source), lie between them between, and
/// give way to a tenth and a fifth of the elongation at break where a rubber is short.
#[test]
fn lines_by_hardness_and_elongation() {
    let limits = &Shop::bundled().limits;
    let at = |s, e| Lines::of(&rubber(s, e), limits);
    for (shore_a, stretch, depth) in
        [(22.5, [0.20, 0.30], [3.0, 6.0]), (10.0, [0.20, 0.30], [3.0, 6.0]), (42.5, [0.06, 0.12], [1.0, 2.5])]
    {
        let lines = at(shore_a, 400.0);
        for i in 0..2 {
            near(lines.stretch[i], stretch[i], 1e-12);
            near(lines.depth_mm[i], depth[i], 1e-12);
        }
    }
    near(at(37.5, 300.0).stretch[1], 0.16, 1e-12);
    near(at(80.0, 300.0).depth_mm[1], 1.0, 1e-12);
    near(at(22.5, 100.0).stretch[0], 0.10, 1e-12);
    near(at(22.5, 100.0).stretch[1], 0.20, 1e-12);
}

/// Verdicts get no milder as an undercut grows, and every one of them is reached; the tool life falls from whole to half.
#[test]
fn verdicts_in_order() {
    let shop = Shop::bundled();
    let silicone = rubber(42.5, 300.0);
    let collar = |depth: f64| {
        let form = Form::Collar { neck_mm: 40.0, head_mm: 40.0 + 2.0 * depth };
        judged(&form, depth, true, false, &silicone, &shop.limits)
    };
    assert_eq!(collar(0.1).verdict, Verdict::LetsGo);
    assert_eq!(collar(1.0).verdict, Verdict::LetsGo);
    assert_eq!(collar(1.8).verdict, Verdict::WithCare);
    near(collar(1.8).life, 0.75, 1e-9);
    assert_eq!(collar(3.0).verdict, Verdict::ReliefCut);
    assert_eq!(collar(11.0).verdict, Verdict::LoosePiece);
    let core = Form::Core { neck_mm: 20.0, head_mm: 30.0 };
    assert_eq!(judged(&core, 5.0, false, false, &silicone, &shop.limits).verdict, Verdict::LoosePiece);
    // A dimple that is not closed round lets go by its depth alone, 1 mm at 42.5 Shore A.
    let dimple = |depth: f64| judged(&core, depth, false, false, &silicone, &shop.limits).verdict;
    assert_eq!([dimple(0.99), dimple(1.01)], [Verdict::LetsGo, Verdict::LoosePiece]);
    // A long, shallow one bows out of the way; its depth decides.
    let tongue = |depth: f64| Form::Tongue { thickness_mm: f64::INFINITY, length_mm: depth, width_mm: 80.0 };
    let verdict = |depth: f64| judged(&tongue(depth), depth, false, false, &silicone, &shop.limits).verdict;
    assert_eq!(
        [2.4, 4.9, 9.0, 11.0].map(verdict),
        [Verdict::LetsGo, Verdict::WithCare, Verdict::ReliefCut, Verdict::LoosePiece]
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// A softer rubber never judges harder, and a collar never milder than a tongue as deep and as wide as its girth.
    #[test]
    fn softer_is_milder(neck in 5.0..200.0f64, depth in 0.1..15.0f64, soft in 15.0..60.0f64, more in 0.0..30.0f64) {
        let shop = Shop::bundled();
        let collar = Form::Collar { neck_mm: neck, head_mm: neck + 2.0 * depth };
        let by = |form: &Form, s: f64| judged(form, depth, true, false, &rubber(s, 1000.0), &shop.limits);
        prop_assert!(by(&collar, soft).verdict <= by(&collar, soft + more).verdict);
        prop_assert!(by(&collar, soft).life >= by(&collar, soft + more).life);
        let tongue = Form::Tongue {
            thickness_mm: f64::INFINITY,
            length_mm: depth,
            width_mm: std::f64::consts::PI * neck,
        };
        prop_assert!(tongue.stretch() <= collar.stretch());
    }
}
