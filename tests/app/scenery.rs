//! The scene that is made of a plan: what stands in it is what was computed.

use glam::{DVec3, Vec3};
use mouldbench::app::canvas::scenery::Scenery;
use mouldbench::app::canvas::sight::{Colouring, Sight};
use mouldbench::app::known::Known;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::{Mesh, solids, write_stl};
use mouldbench::plan::parts::Finish;
use mouldbench::plan::{Plan, ShownSurface, Spot, Unit};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::{Bench, Facts};
use mouldbench::study::findings::Step;
use mouldbench::study::propose::{bare_plan, propose_vents_into};
use mouldbench::view::palette;
use mouldbench::view::scene::{Paint, Pattern, Scene, Shape, Surface};
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
    let ((bench, mut plan, _folder), run) = (job(mesh), Run::new());
    change(&mut plan);
    let facts = bench.quick_facts(&plan, &run).expect("facts");
    let trapped = facts.air.as_ref().expect("air").trapped.pieces.iter().map(|p| p.volume_mm3).sum();
    (Scenery::default().scene(&sight_of(facts, plan, step)), trapped)
}

fn sight_of(facts: Facts, plan: Plan, step: Step) -> Sight {
    Sight {
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
    }
}

/// A bench with a mesh, and a plan about it with vents proposed.
fn job(mesh: &Mesh) -> (Bench, Plan, tempfile::TempDir) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
    write_stl::write(&mut file, mesh, DVec3::ZERO).expect("written");
    let bench = Bench::new(Shop::bundled().clone(), []);
    bench.set_folder(Some(folder.path()));
    let mut plan = bare_plan("Part", "part.stl", "", Unit::Millimetre);
    propose_vents_into(&bench, &mut plan, &mut Vec::new(), &Run::new()).expect("vents");
    (bench, plan, folder)
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

/// Whether a place of a triangle is drawn as air that stays.
fn is_air(surface: &Surface, triangle: usize, at: Vec3) -> bool {
    surface.marks.iter().any(|m| {
        m.colour == palette::TRAPPED_AIR
            && m.pattern == Pattern::Fill
            && m.triangles.as_ref().is_none_or(|t| t[triangle])
            && m.beyond.iter().all(|p| (at.as_dvec3() - p.point).dot(p.normal) > 0.0)
    })
}

#[test]
fn air_is_drawn_only_as_far_as_resin_has_come() {
    // Without a vent nothing leaves: all of the air is caught at once, and none of it may be told at once.
    let ((bench, mut plan, _folder), run) = (job(&two_towers()), Run::new());
    plan.vents.clear();
    let facts = bench.quick_facts(&plan, &run).expect("facts");
    let air = facts.air.clone().expect("air");
    let [low, high] = air.level.range;
    assert!((high - low - 12.0).abs() < 1e-3, "{low} to {high}");
    let mut sight = sight_of(facts, plan, Step::Vents);
    for risen in [0.5, 2.4, 11.0, 12.0] {
        sight.level = Some(low + risen);
        let scene = Scenery::default().scene(&sight);
        let part = &scene.surfaces[0];
        let whole = risen == 12.0;
        let mut drawn = 0.0f64;
        for t in 0..part.mesh.triangles.len() {
            for p in part.mesh.corners(t) {
                let inner = p.lerp(part.mesh.corners(t).iter().sum::<Vec3>() / 3.0, 0.1);
                let above = f64::from(inner.z) - low;
                let is = is_air(part, t, inner);
                assert!(whole || !is || above <= risen, "air at {above} mm with the resin at {risen} mm");
                assert!(!whole || is || above < 1e-3, "no air at {above} mm once the resin is up");
                drawn = drawn.max(if is { above } else { 0.0 });
            }
        }
        assert!(risen < 8.0 || drawn > 1.0, "air up to {drawn} mm with the resin at {risen} mm");
        let (volume, _) = drawn_air(&scene);
        assert_eq!(volume > 1.0, whole, "{volume} mm³ with the resin at {risen} mm");
        let told = scene.tags.iter().any(|t| t.kind == mouldbench::view::scene::TagKind::HighPoint);
        assert!(!told || risen > 8.0, "a high point is told with the resin at {risen} mm");
    }
}

/// Everything that is seen of a scene, in words; meshes too.
fn in_words(scene: &Scene) -> String {
    format!("{scene:?}")
}

#[test]
#[ignore = "long"]
fn long_what_is_kept_for_the_picture_is_never_that_of_another_job() {
    let mut scenery = Scenery::default();
    let mut seed = 7u64;
    let mut random = |n: u64| {
        seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (seed >> 33) % n
    };
    let plate = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 6.0));
    let meshes = [two_towers(), plate, solids::cuboid(Vec3::ZERO, Vec3::new(12.0, 7.0, 12.0))];
    let run = Run::new();
    for turn in 0..24 {
        // Another job, whose facts may come to lie where those of the last one lay: they are let go before.
        let (bench, plan, _folder) = job(&meshes[random(3) as usize]);
        for _ in 0..3 {
            let mut plan = plan.clone();
            plan.vents.retain(|_| random(2) == 0);
            let step = [Step::Part, Step::Hang, Step::Vents, Step::Feed, Step::Parting][random(5) as usize];
            let mut facts = bench.quick_facts(&plan, &run).expect("facts");
            if random(8) == 0 {
                facts = bench.facts(&plan, &run).expect("facts");
            }
            if random(3) == 0 {
                // As in practice: nothing is known of the air.
                facts.air = None;
            }
            if random(2) == 0 {
                let at = Spot { part: 0, position: DVec3::new(3.0, 3.0, 0.0), normal: DVec3::NEG_Z };
                let finish = Finish::default();
                plan.shown = vec![ShownSurface { name: "Face".into(), finish, stroke: vec![at], radius_mm: 2.0 }];
            }
            let range = facts.air.as_ref().map(|a| a.level.range);
            let mut sight = sight_of(facts, plan, step);
            sight.level = range.filter(|_| random(2) == 0).map(|[l, h]| l + (h - l) * random(11) as f64 / 10.0);
            sight.colouring = Colouring::ALL[random(6) as usize];
            let (kept, afresh) = (in_words(&scenery.scene(&sight)), in_words(&Scenery::default().scene(&sight)));
            assert!(kept == afresh, "turn {turn}, step {step:?}, colour {:?}", sight.colouring);
        }
    }
}

#[test]
fn every_colour_shows_at_every_step() {
    let ((bench, mut plan, _folder), run) = (job(&two_towers()), Run::new());
    mouldbench::study::propose::propose_feed_into(&bench, &mut plan, &mut Vec::new(), &run).expect("a feed");
    let at = Spot { part: 0, position: DVec3::new(3.0, 3.0, 0.0), normal: DVec3::NEG_Z };
    let finish = Finish::default();
    plan.shown = vec![ShownSurface { name: "Face".into(), finish, stroke: vec![at], radius_mm: 2.0 }];
    let facts = bench.facts(&plan, &run).expect("facts");
    let walls = facts.walls.clone().expect("walls");
    let parent = facts.parting.as_ref().expect("a parting").surface.parent.clone();
    let mut sight = sight_of(facts, plan, Step::Part);
    for step in Step::ALL {
        sight.step = step;
        let mut of = |colouring| {
            sight.colouring = colouring;
            let mut scenery = Scenery::default();
            let paint = scenery.scene(&sight).surfaces[0].paint.clone();
            assert_eq!(scenery.wall_scale().is_some(), colouring == Colouring::Walls, "{step:?}");
            paint
        };
        assert!(matches!(of(Colouring::Plain), Paint::Uniform(_)), "{step:?}");
        assert!(matches!(of(Colouring::Halves), Paint::PerTriangle { .. }), "{step:?}");
        assert!(matches!(of(Colouring::Height), Paint::PerVertex { .. }), "{step:?}");
        assert!(matches!(of(Colouring::Flow), Paint::InCells { .. }), "{step:?}");
        let Paint::PerTriangle { labels, colours } = of(Colouring::Walls) else { panic!("no walls at {step:?}") };
        // The same wall has the same colour on the finer surface of the parting as on the body.
        let finer = matches!(step, Step::Part | Step::Parting);
        assert_eq!(labels.len(), if finer { parent.len() } else { walls.of_triangle_mm.len() }, "{step:?}");
        assert!(labels.iter().any(|l| usize::from(*l) + 1 < colours.len()), "{step:?}: some wall is known");
        if finer {
            let coarse = |t: usize| walls.of_triangle_mm[parent[t] as usize];
            for (s, t) in (1..parent.len()).map(|t| (t - 1, t)).filter(|(s, t)| coarse(*s) == coarse(*t)) {
                assert_eq!(labels[s], labels[t], "{step:?}");
            }
        }
    }
}
