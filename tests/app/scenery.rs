//! The scene that is made of a plan: what stands in it is what was computed.

use glam::{DVec3, Vec3};
use mouldbench::app::canvas::scenery::Scenery;
use mouldbench::app::canvas::sight::{Colouring, Sight};
use mouldbench::app::known::Known;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::{Mesh, solids, write_stl};
use mouldbench::plan::{Plan, Unit};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::study::findings::Step;
use mouldbench::study::propose::{bare_plan, propose_vents_into};
use mouldbench::view::palette;
use mouldbench::view::scene::{Pattern, Scene, Shape};
use std::sync::Arc;

/// A plate of 12 by 7 by 2 mm with two towers of 4 by 6 mm that stand into it, one to 8 mm and one to 12 mm: three bodies
/// that overlap.
fn two_towers() -> Mesh {
    let boxes = [
        (Vec3::ZERO, Vec3::new(12.0, 7.0, 2.0)),
        (Vec3::new(1.0, 0.5, 1.0), Vec3::new(5.0, 6.5, 8.0)),
        (Vec3::new(6.5, 0.5, 1.0), Vec3::new(10.5, 6.5, 12.0)),
    ];
    let mut all = Mesh::default();
    for (low, high) in boxes {
        let one = solids::cuboid(low, high);
        let first = all.positions.len() as u32;
        all.positions.extend(one.positions);
        all.triangles.extend(one.triangles.iter().map(|t| t.map(|v| v + first)));
    }
    all
}

/// The scene at a step, with what the facts say is trapped, mm³.
fn scene_of(mesh: &Mesh, step: Step, change: impl Fn(&mut Plan)) -> (Scene, f64) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
    write_stl::write(&mut file, mesh, DVec3::ZERO).expect("written");
    let bench = Bench::new(Shop::bundled().clone(), []);
    bench.set_folder(Some(folder.path()));
    let run = Run::new();
    let mut plan = bare_plan("Part", "part.stl", "", Unit::Millimetre);
    propose_vents_into(&bench, &mut plan, &mut Vec::new(), &run).expect("vents");
    change(&mut plan);
    let facts = bench.quick_facts(&plan, &run).expect("facts");
    let trapped = facts.air.as_ref().expect("air").trapped.pieces.iter().map(|p| p.volume_mm3).sum();
    let sight = Sight {
        known: Arc::new(Known { facts: Some(Arc::new(facts)), ..Known::default() }),
        plan: Arc::new(plan),
        step,
        colouring: Colouring::Plain,
        see_through: false,
        chosen: None,
        lit: None,
        live: None,
        opened: None,
        level: None,
        fill: None,
        section: None,
        dark: false,
        px_per_point: 1.0,
    };
    (Scenery::default().scene(&sight), trapped)
}

/// Volume of all trapped air that is drawn, and its lowest height and its height, mm.
fn drawn_air(scene: &Scene) -> (f64, f32) {
    let (mut volume, mut low, mut high) = (0.0, f32::INFINITY, f32::NEG_INFINITY);
    for solid in scene.solids.iter().filter(|s| s.colour == palette::TRAPPED_AIR) {
        let Shape::Mesh { mesh, .. } = &solid.shape else { continue };
        volume += Measures::of(mesh).volume_mm3;
        for p in &mesh.positions {
            (low, high) = (low.min(p.z), high.max(p.z));
        }
    }
    (volume, high - low)
}

#[test]
fn trapped_air_is_drawn_in_its_true_shape_and_cut_off_at_its_level() {
    // Without the vent of the higher tower its 24 mm² keep their air from the plate's top at 2 mm up to 12 mm.
    let lower_vent_alone = |plan: &mut Plan| plan.vents.retain(|v| v.at.position.z < 10.0);
    let (scene, trapped) = scene_of(&two_towers(), Step::Vents, lower_vent_alone);
    let (volume, height) = drawn_air(&scene);
    assert!((volume - 240.0).abs() < 0.01 && (trapped - 240.0).abs() < 0.01, "drawn {volume}, trapped {trapped}");
    assert!((height - 10.0).abs() < 1e-4, "{height}");

    // Both towers vented: nothing stays, nothing is drawn.
    let (scene, trapped) = scene_of(&two_towers(), Step::Vents, |_| {});
    assert!(trapped < 1e-3 && drawn_air(&scene).0 < 1e-3, "{trapped}");
}

#[test]
fn near_level_ceilings_are_stippled_where_the_hang_and_the_vents_are_decided() {
    let stippled = |step| {
        let (scene, _) = scene_of(&two_towers(), step, |_| {});
        let part = &scene.surfaces[0];
        let mark = part.marks.iter().find(|m| m.pattern == Pattern::Stipple)?;
        let flags = mark.triangles.clone()?;
        let area = |t: &usize| part.mesh.double_area_normal(*t).length() * 0.5;
        Some((0..flags.len()).filter(|t| flags[*t]).map(|t| area(&t)).sum::<f32>())
    };
    // The plate's top and the towers' tops together are as large as the plate, 84 mm²; nothing else faces up.
    for step in [Step::Hang, Step::Vents] {
        let area = stippled(step).expect("a mark");
        assert!((area - 84.0).abs() < 0.01, "{area}");
    }
    assert_eq!(stippled(Step::Casting), None);
}
