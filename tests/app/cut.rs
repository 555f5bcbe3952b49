//! The cut in the window: the block drawn open by its slider, and the section through the knife.

use super::bench::Bench;
use egui_kittest::kittest::{NodeT, Queryable};
use glam::Vec3;

/// Height of the highest and the lowest place of the halves as they are drawn, along the draw, millimetres.
fn spread(bench: &Bench) -> f32 {
    let opened = bench.app().opened_block().expect("an open block");
    let along = |p: &Vec3, i: usize| p.dot(Vec3::Z) + opened.halves.draws[i].z * opened.halves.reach_mm * opened.share;
    let all = || (0..2).flat_map(|i| opened.halves.meshes[i].positions.iter().map(move |p| along(p, i)));
    all().fold(f32::NEG_INFINITY, f32::max) - all().fold(f32::INFINITY, f32::min)
}

#[test]
fn the_block_opens_by_its_slider_and_closes_again() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    bench.click("+Z");
    assert!(bench.app().opened_block().is_none(), "closed at first");
    bench.click_start("The cut");
    let version = bench.app().document().expect("a job").version();
    bench.slide_to("Open the block", 50.0);
    let half_open = spread(&bench);
    bench.slide_to("Open the block", 100.0);
    let open = spread(&bench);
    let opened = bench.app().opened_block().expect("an open block");
    assert!((open - half_open - opened.halves.reach_mm).abs() < 0.01, "{half_open} mm, then {open} mm");
    assert_eq!(opened.halves.draws[0].round(), Vec3::Z);
    bench.slide_to("Open the block", 0.0);
    assert!(bench.app().opened_block().is_none());
    assert_eq!(bench.app().document().expect("a job").version(), version, "looking is no edit");
}

#[test]
#[ignore = "long"]
fn long_through_the_knife_tells_the_depth_at_the_place_that_is_looked_at() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    bench.click("+Z");
    bench.click_start("The cut");
    bench.bring_up("Along the cut");
    let facts = bench.app().known().facts.clone().expect("facts");
    let cut = facts.cut.clone().expect("a cut");
    let mut seen = Vec::new();
    for share in [0.1, 0.35] {
        let along = (share * cut.entry_mm()).round();
        bench.slide_to("Along the cut", along);
        let (wall, at) = cut.entry_at(along).expect("on the cut");
        let picture = bench.harness.get_by_label_contains("Section at the knife, ");
        let words = picture.accesskit_node().label().unwrap_or_default();
        // The marks along the line know the depth at stations; this place lies between two of them.
        let marks = cut.marks.iter().filter(|m| m.wall == wall).flat_map(|m| &m.lines).flat_map(|l| &l.stations);
        let near = marks.min_by(|a, b| a.at_mm.distance(at).total_cmp(&b.at_mm.distance(at))).expect("stations");
        let depth: f64 = words.split_whitespace().nth(4).and_then(|w| w.parse().ok()).expect(&words);
        assert!(near.at_mm.distance(at) < 6.0 && (depth - near.depth_mm).abs() < 6.0, "{words}, {near:?}");
        assert!(bench.says(&format!("{} wall, ", wall.name())), "{}", wall.name());
        seen.push((along, depth));
    }
    assert_ne!(seen[0], seen[1]);
}

#[test]
#[ignore = "long"]
fn long_both_halves_are_written_from_the_window() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    bench.click("+Z");
    bench.click_start("The cut");
    let out = bench.folder.path().join("new/halves");
    bench.bring_up("Write both halves…");
    bench.click("Write both halves…");
    bench.type_into("Path", &out.to_string_lossy());
    bench.settle();
    assert!(bench.says("Both halves written to "));
    let facts = bench.app().known().facts.clone().expect("facts");
    let block = facts.setting.block.size_mm;
    let mut sum = facts.cavity.as_ref().expect("a cavity").volume_mm3;
    for name in ["half-1.stl", "half-2.stl"] {
        let read = mouldbench::mesh::read_stl::read(&out.join(name), 1.0).expect("readable");
        let check = mouldbench::mesh::check::MeshCheck::of(&read.mesh);
        assert!(check.is_closed() && check.bodies.len() == 1, "{name}: {:?}", check.problems);
        sum += check.measures.volume_mm3;
        // As the block stands: its floor is at nought.
        let [low, high] = [read.mesh.bounds().min.z, read.mesh.bounds().max.z].map(|z| f64::from(z) + read.centre.z);
        assert!(low > -0.01 && high < block.z + 0.01, "{name}: {low} to {high}");
    }
    let whole = block.x * block.y * block.z;
    assert!((sum / whole - 1.0).abs() < 1e-3, "{sum} mm³ of {whole}");
    // A place that cannot be written is told, and nothing else happens.
    bench.bring_up("Write both halves…");
    bench.click("Write both halves…");
    bench.type_into("Path", "/proc/nowhere");
    bench.settle();
    assert!(bench.says("The folder could not be made") && bench.says("/proc/nowhere"));
}
