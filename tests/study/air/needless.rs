//! Mouths that are not needed can all go at once.

use super::shapes::*;
use glam::{DQuat, DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::study::air::needless::needless;
use mouldbench::study::air::{Air, Mouth, MouthOf, walk};

/// What stays in each attitude.
fn stays(air: &Air, mouths: &[Mouth]) -> Vec<f64> {
    air.trees().map(|tree| walk::trapped_mm3(tree, mouths)).collect()
}

/// Nothing more stays without those told needless, and more without any further one.
fn holds(air: &Air, mouths: &[Mouth], limit_mm3: f64) -> usize {
    let told = needless(air, mouths, limit_mm3);
    let kept: Vec<Mouth> = mouths.iter().zip(&told).filter(|t| t.1.is_none()).map(|t| *t.0).collect();
    let all = stays(air, mouths);
    let more = |kept: &[Mouth]| stays(air, kept).iter().zip(&all).map(|(a, b)| a - b).fold(0.0, f64::max);
    assert!(more(&kept) <= limit_mm3, "{} mm³ more of {all:?}", more(&kept));
    for i in 0..kept.len() {
        let mut fewer = kept.clone();
        let out = fewer.remove(i);
        let counts = air.level.rim(&out).is_some();
        assert!(!counts || more(&fewer) > limit_mm3, "{out:?} can go too");
    }
    for one in told.iter().flatten() {
        assert!(kept.iter().any(|m| Some(m.of) == one.instead), "{one:?} is not kept");
    }
    mouths.len() - kept.len()
}

#[test]
fn of_two_vents_in_one_place_one_stays() {
    let plate = solids::cuboid(Vec3::ZERO, Vec3::new(100.0, 60.0, 2.0));
    for by in [DQuat::IDENTITY, DQuat::from_euler(glam::EulerRot::XYZ, 0.7, -1.1, 2.3)] {
        let up = (by * DVec3::Z).as_vec3();
        let at = |x: f64, y: f64| (by * DVec3::new(x, y, 2.0)).as_vec3();
        let level = air(&turned(&plate, by), up, 0.0);
        let twice = [vent(4, at(50.0, 30.0), up, 1.0), vent(9, at(50.0, 30.0), up, 1.0)];
        let told = needless(&level, &twice, 1.0);
        assert_eq!(told.iter().map(|n| n.map(|n| n.instead)).collect::<Vec<_>>(), [None, Some(Some(MouthOf::Vent(4)))]);
        // Each alone is missed by nobody; both together by 100 × 60 × 2.
        assert!((stays(&level, &[])[0] - 12_000.0).abs() < 1.0 && stays(&level, &twice[..1])[0] < 1.0);
        // The four corners and one in the middle, leaning: the one in the middle goes, and only that.
        let lean = air(&turned(&plate, by), up, 2.0);
        let mut five = vec![vent(1, at(50.0, 30.0), up, 1.2)];
        five.extend([(0.0, 0.0), (100.0, 0.0), (0.0, 60.0), (100.0, 60.0)].map(|(x, y)| vent(2, at(x, y), up, 1.2)));
        let gone: Vec<bool> = needless(&lean, &five, 1.0).iter().map(Option::is_some).collect();
        assert_eq!(gone, [true, false, false, false, false]);
    }
}

#[test]
fn whatever_the_part_all_needless_ones_can_go_together() {
    let mut dice = Dice(11);
    let bodies: Vec<(Mesh, f32)> = vec![
        (bumpy_ball(20.0, 4), 0.0),
        (columns(&mut Dice(7)), 0.0),
        (touching(), 0.0),
        (upright_u(), 0.0),
        // Far away, in steps of single precision that are exact.
        (upright_u(), 65_536.0),
    ];
    let mut gone = 0;
    for (mut mesh, away) in bodies {
        for p in &mut mesh.positions {
            *p += Vec3::new(away, -away, 0.0);
        }
        for up in [Vec3::Z, Vec3::new(0.2, -0.5, 0.8)] {
            let air = air(&mesh, up, 2.0);
            let mut mouths: Vec<Mouth> = Vec::new();
            for number in 1..=14 {
                let t = (dice.unit() * mesh.triangles.len() as f64) as usize % mesh.triangles.len();
                let [a, b, c] = mesh.corners(t);
                let (s, r) = (dice.unit() as f32, dice.unit() as f32);
                let (s, r) = if s + r > 1.0 { (1.0 - s, 1.0 - r) } else { (s, r) };
                mouths.push(vent(number, a + (b - a) * s + (c - a) * r, mesh.unit_normal(t), 1.0 + dice.unit()));
                // Every third stands there twice.
                if number % 3 == 0 {
                    mouths.push(vent(100 + number, mouths[mouths.len() - 1].centre, mesh.unit_normal(t), 1.0));
                }
            }
            gone += holds(&air, &mouths, 1.0);
        }
    }
    assert!(gone > 40, "{gone}");
}

#[test]
fn a_mouth_in_rubber_and_a_gate_are_not_needless() {
    let level = air(&two_towers(), Vec3::Z, 0.0);
    let gate = Mouth { of: MouthOf::Gate(1), ..vent(0, Vec3::new(12.0, 3.0, 12.0), Vec3::Z, 3.0) };
    let beside = vent(2, Vec3::new(12.0, 3.0, 12.0), Vec3::Z, 1.0);
    // 2.5 mm above the lower tower: however wide, it ends in rubber.
    let off = vent(3, Vec3::new(2.0, 3.0, 10.5), Vec3::Z, 3.0);
    let told = needless(&level, &[gate, beside, off], 1.0);
    assert_eq!(
        told.iter().map(|n| n.map(|n| n.instead)).collect::<Vec<_>>(),
        [None, Some(Some(MouthOf::Gate(1))), None]
    );
    assert_eq!(level.level.rim(&off), None);
    assert_eq!(stays(&level, &[gate, off]), stays(&level, &[gate]));
}
