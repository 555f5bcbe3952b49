//! Plain shapes, however they are turned, get their cut: a crossing beyond the block, where nothing is cut, is none.

use super::shapes::{revolved, some_turn, turned};
use glam::{DVec3, Quat, Vec3};
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::{Mesh, boolean, solids, write_stl};
use mouldbench::plan::Unit;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::study::findings::judge;
use mouldbench::study::propose::{bare_plan, propose_draw_into, propose_hang_into};

/// Hangs `mesh` and proposes its draw as a bare mesh gets them, in five ways it may lie in its file; every one must get a cut,
/// and halves that add up to the block with the part.
fn get_their_cut(name: &str, mesh: &Mesh) {
    let run = Run::new();
    for seed in 0..5 {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let mesh = turned(mesh, turn);
        let folder = tempfile::tempdir().expect("a folder");
        let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
        write_stl::write(&mut file, &mesh, DVec3::new(300.0, -200.0, 120.0)).expect("written");
        let bench = Bench::new(Shop::bundled().clone(), []);
        bench.set_folder(Some(folder.path()));
        let mut plan = bare_plan(name, "part.stl", "", Unit::Millimetre);
        plan.keep_materials(bench.shop());
        propose_hang_into(&bench, &mut plan, &mut Vec::new(), &run).expect("a hang");
        propose_draw_into(&bench, &mut plan, None, &mut Vec::new(), &run).expect("a draw");
        let setting = bench.setting(&plan).expect("a setting");
        let body = bench.body(&plan, &setting, &run).expect("a body");
        let mut facts = bench.quick_facts(&plan, &run).expect("facts");
        let cut = bench.cut(&plan, &setting, &body, &run).expect("facts of the cut");
        facts.cut = Some(cut.clone());
        let told: Vec<String> = judge(&plan, bench.shop(), &facts)
            .into_iter()
            .filter(|f| f.code == "cut-missing")
            .map(|f| format!("{} {:?}", f.message, f.place.map(|p| cut.block.depth(p.as_dvec3()))))
            .collect();
        assert!(told.is_empty(), "{name}, turn {seed}: {told:#?}");
        let halves = bench.halves(&plan, &setting, &body, &run).unwrap_or_else(|e| panic!("{name}, turn {seed}: {e}"));
        let sum: f64 = halves.iter().map(|h| Measures::of(h).volume_mm3).sum::<f64>() + Measures::of(&mesh).volume_mm3;
        let block = setting.block.volume_mm3();
        assert!((sum / block - 1.0).abs() < 1e-4, "{name}, turn {seed}: {sum} mm³ of {block}");
    }
}

#[test]
#[ignore = "long"]
fn long_a_plate_with_three_holes() {
    let plate = solids::cuboid(Vec3::new(-30.0, -20.0, 0.0), Vec3::new(30.0, 20.0, 8.0));
    let hole = |x: f32, y: f32, r: f32| solids::cylinder(Vec3::new(x, y, -1.0), Vec3::new(x, y, 9.0), r, 48);
    let holes = [hole(-18.0, -6.0, 4.0), hole(0.0, 8.0, 6.0), hole(19.0, -5.0, 3.0)];
    get_their_cut("plate", &boolean::subtract(&plate, &holes.each_ref()).expect("drilled"));
}

/// A solid of revolution about Z round its hole: `profile` lists (radius, z), outside upwards, and closes.
fn round(profile: &[(f32, f32)], sides: u32) -> Mesh {
    let mut mesh = Mesh::default();
    let rings = profile.len() as u32;
    for &(r, z) in profile {
        let angle = |i: u32| std::f64::consts::TAU * f64::from(i) / f64::from(sides);
        mesh.positions.extend((0..sides).map(|i| {
            let (s, c) = angle(i).sin_cos();
            Vec3::new((f64::from(r) * c) as f32, (f64::from(r) * s) as f32, z)
        }));
    }
    for ring in 0..rings {
        let (low, high) = (ring * sides, (ring + 1) % rings * sides);
        for i in 0..sides {
            let j = (i + 1) % sides;
            mesh.triangles.extend([[low + i, low + j, high + j], [low + i, high + j, high + i]]);
        }
    }
    mesh
}

#[test]
#[ignore = "long"]
fn long_a_plain_ring() {
    get_their_cut("ring", &round(&[(20.0, 0.0), (20.0, 10.0), (12.0, 10.0), (12.0, 0.0)], 64));
}

#[test]
#[ignore = "long"]
fn long_a_block_with_an_hourglass_bore() {
    let block = solids::cuboid(Vec3::new(-20.0, -20.0, -15.0), Vec3::new(20.0, 20.0, 15.0));
    let bore = revolved(&[(0.0, -16.0), (10.0, -16.0), (4.0, 0.0), (10.0, 16.0), (0.0, 16.0)], 48);
    get_their_cut("hourglass", &boolean::subtract(&block, &[&bore]).expect("bored"));
}

/// The union of some cuboids.
fn bars(name: &str, boxes: &[(Vec3, Vec3)]) {
    let solids: Vec<Mesh> = boxes.iter().map(|&(low, high)| solids::cuboid(low, high)).collect();
    let refs: Vec<&Mesh> = solids.iter().collect();
    get_their_cut(name, &boolean::unite(&refs).expect("one"));
}

#[test]
#[ignore = "long"]
fn long_a_thin_u() {
    bars(
        "U",
        &[
            (Vec3::new(-20.0, -15.0, 0.0), Vec3::new(20.0, 15.0, 2.0)),
            (Vec3::new(-20.0, -15.0, 0.0), Vec3::new(-18.0, 15.0, 25.0)),
            (Vec3::new(18.0, -15.0, 0.0), Vec3::new(20.0, 15.0, 25.0)),
        ],
    );
}

#[test]
#[ignore = "long"]
fn long_a_thin_l() {
    bars(
        "L",
        &[
            (Vec3::new(-20.0, -15.0, 0.0), Vec3::new(20.0, 15.0, 2.0)),
            (Vec3::new(-20.0, -15.0, 0.0), Vec3::new(-18.0, 15.0, 25.0)),
        ],
    );
}

#[test]
#[ignore = "long"]
fn long_a_coarse_double_cone() {
    get_their_cut("double cone", &revolved(&[(0.0, -20.0), (14.0, 0.0), (0.0, 20.0)], 8));
}
