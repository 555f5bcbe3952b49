//! Relief cuts, loose pieces, shut-offs and shown surfaces.

use super::release::held;
use super::shapes::{drilled_cube, revolved, some_turn, turned, volume};
use super::whole::{part, part_as_wished};
use glam::{Quat, Vec3};
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::plan::{PieceOf, Separation};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::parting::hand::{Stroke, shown};
use mouldbench::study::parting::release::Release;
use mouldbench::study::parting::release::crossings::{ByHand, crossings};
use mouldbench::study::parting::release::cuts::ReliefCut;
use mouldbench::study::parting::release::kinds::{UndercutKind, Verdict};
use mouldbench::study::parting::release::patch::patch;
use mouldbench::study::parting::release::piece_files::file_names;
use mouldbench::study::parting::release::pieces::{PieceWish, SHOULDER_MM};
use mouldbench::study::parting::release::shut_offs::{Choice, Fit, shut_offs};
use mouldbench::study::parting::release::wish::ReleaseWish;
use mouldbench::study::parting::surface::Surface;
use mouldbench::study::parting::{PartingFacts, Wish};
use std::f64::consts::PI;
use std::sync::Arc;

fn released(mesh: &Mesh, facts: &PartingFacts, wish: &ReleaseWish) -> Release {
    let undercuts = Arc::new(held(mesh, facts));
    Release::of(facts, &undercuts, mesh, &Tree::of(mesh), &[], wish, &Run::new()).expect("not cancelled")
}

/// A rod of 40 with a groove 5 deep and 4 wide round it, from 13 to 17.
fn deep_groove() -> Mesh {
    let profile =
        [(0.0, 0.0), (20.0, 0.0), (20.0, 13.0), (15.0, 13.0), (15.0, 17.0), (20.0, 17.0), (20.0, 30.0), (0.0, 30.0)];
    revolved(&profile, 96)
}

fn cut(from: f32, to: f32, depth_mm: f64) -> ReliefCut {
    let points: Vec<Vec3> = [from, 0.5 * (from + to), to].map(|z| Vec3::new(15.0, 0.0, z)).to_vec();
    ReliefCut { name: "Slit".into(), normals: vec![Vec3::X; points.len()], points, depth_mm }
}

/// Length, area of one side (length times depth where the blade goes in straight) of a relief cut.
#[test]
fn relief_cut_is_measured() {
    let slit = cut(13.0, 17.0, 18.0);
    assert!((slit.length_mm() - 4.0).abs() < 1e-6);
    assert!((slit.area_mm2() - 72.0).abs() < 1e-3);
    // Round a bend the blade fans out: a quarter of a cylinder of 10, cut 5 deep, ¼·π·(15² − 10²).
    let at = |i: usize| Quat::from_rotation_z(i as f32 / 40.0 * std::f32::consts::FRAC_PI_2) * Vec3::X;
    let normals: Vec<Vec3> = (0..=40).map(at).collect();
    let bent =
        ReliefCut { name: "Bent".into(), points: normals.iter().map(|n| n * 10.0).collect(), normals, depth_mm: 5.0 };
    assert!((bent.length_mm() - 5.0 * PI).abs() < 0.01);
    assert!((bent.area_mm2() - PI / 4.0 * 125.0).abs() < 0.1, "{}", bent.area_mm2());
}

/// A groove that stretches its ring by a third wants a relief cut. A slit through the wall opens the ring; one that is
/// too shallow or too short, or beside the groove, changes nothing.
#[test]
fn relief_cut_changes_the_verdict_of_its_undercut() {
    let mesh = deep_groove();
    let facts = part(&mesh, Vec3::Z);
    let shop = Shop::bundled();
    let rubber = shop.silicones.iter().find(|s| s.shore_a < 25.0).expect("a soft rubber");
    let judged = |cuts: Vec<ReliefCut>| {
        let release = released(&mesh, &facts, &ReleaseWish { cuts, wall_mm: 15.0, ..ReleaseWish::default() });
        assert_eq!(release.undercuts.len(), 1);
        (release.judged(0, rubber, &shop.limits), release)
    };
    let (alone, release) = judged(Vec::new());
    assert_eq!(release.undercuts[0].form.kind(), UndercutKind::Collar);
    assert!((release.undercuts[0].form.stretch() - 1.0 / 3.0).abs() < 0.01);
    assert_eq!((alone.verdict, alone.life), (Verdict::ReliefCut, 0.5));
    let (opened, release) = judged(vec![cut(13.0, 17.0, 16.0)]);
    assert_eq!(release.services[0].cuts, [0]);
    assert_eq!(opened.verdict, Verdict::LetsGo);
    // Half way through the wall the ring begins 8 mm farther out: 10/46.
    let (slit, release) = judged(vec![cut(13.0, 17.0, 8.0)]);
    assert!((release.services[0].opened(&release.undercuts[0].form, 15.0).stretch() - 10.0 / 46.0).abs() < 0.01);
    assert_eq!(slit.verdict, Verdict::WithCare);
    for useless in [cut(13.0, 17.0, 3.0), cut(13.0, 14.5, 16.0)] {
        let (same, release) = judged(vec![useless]);
        assert_eq!((same.verdict, release.services[0].short.len()), (Verdict::ReliefCut, 1));
    }
    let (same, release) = judged(vec![cut(22.0, 28.0, 16.0)]);
    assert!(release.services[0].cuts.is_empty() && release.services[0].short.is_empty());
    assert_eq!(same.verdict, Verdict::ReliefCut);
}

/// A blind hole Ø6 and 12 deep in a side of a block.
fn side_hole() -> Mesh {
    let block = solids::cuboid(Vec3::new(-20.0, -20.0, -15.0), Vec3::new(20.0, 20.0, 15.0));
    let drill = solids::cylinder(Vec3::new(8.0, 1.0, 2.0), Vec3::new(25.0, 1.0, 2.0), 3.0, 64);
    boolean::subtract(&block, &[&drill]).expect("drilled")
}

/// A loose piece in a side hole is closed, fills the hole and stands out by its shoulder: π·3²·12 + π·4²·shoulder. It
/// takes the undercut with it and leaves straight.
#[test]
fn loose_piece_fills_its_recess() {
    for seed in [0, 4] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let mesh = turned(&side_hole(), turn);
        // Parted by a plane well below the hole, so that half 1 has all of it.
        let facts = part_as_wished(&mesh, &Wish { plane_mm: Some(-10.0), ..Wish::along(turn * Vec3::Z) });
        let piece = PieceWish {
            name: "Pin".into(),
            at: turn * Vec3::new(20.0, 1.0, 2.0),
            leaves_along: turn * Vec3::X,
            radius_mm: 4.0,
            of: PieceOf::Rubber,
        };
        let wish = ReleaseWish { pieces: vec![piece], wall_mm: 15.0, ..ReleaseWish::default() };
        let release = released(&mesh, &facts, &wish);
        assert!(!release.undercuts.is_empty(), "the rubber in the hole is held");
        assert!(release.services[0].is_gone(), "{}", release.services[0].taken);
        let made = &release.pieces[0];
        let solid = made.solid.as_ref().expect("a solid");
        let check = Topology::of(solid);
        assert_eq!((check.open_edges, check.inconsistent_edges, check.bodies), (0, 0, 1));
        let expected = PI * 9.0 * 12.0 + PI * 16.0 * SHOULDER_MM as f64;
        assert!((made.volume_mm3 - expected).abs() < 0.01 * expected, "{} of {expected}", made.volume_mm3);
        assert!((volume(solid) - made.volume_mm3).abs() < 1e-2);
        assert!(made.held_mm2 < 0.03 * made.serves_mm2, "{} of {}", made.held_mm2, made.serves_mm2);
        // Drawn across its hole it would be held by the wall.
        let mut across = wish.clone();
        across.pieces[0].leaves_along = turn * Vec3::Y;
        across.pieces[0].radius_mm = 15.0;
        let across = released(&mesh, &facts, &across);
        assert!(across.pieces[0].held_mm2 > 0.2 * across.pieces[0].serves_mm2);
    }
}

/// A plane rim has the area of its polygon (shoelace formula), also one that turns in on itself. A saddle rim
/// z = h·cos 2θ on a circle of R spans πR² + πh² to the fourth order of h/R (the harmonic saddle; Plateau's problem).
#[test]
fn patches_span_their_rims() {
    let circle = |n: usize, h: f32| -> Vec<Vec3> {
        let angle = |i: usize| std::f32::consts::TAU * i as f32 / n as f32;
        (0..n).map(angle).map(|a| Vec3::new(10.0 * a.cos(), 10.0 * a.sin(), h * (2.0 * a).cos())).collect()
    };
    let flat = patch(&circle(64, 0.0));
    assert!((flat.area_mm2 - 32.0 * 100.0 * (PI / 32.0).sin()).abs() < 1e-2);
    assert!((flat.span_mm - 20.0).abs() < 0.05 && flat.bulge_mm < 1e-4);
    let ell = [(0.0, 0.0), (3.0, 0.0), (3.0, 1.0), (1.0, 1.0), (1.0, 3.0), (0.0, 3.0)];
    let ell: Vec<Vec3> = ell.iter().map(|&(x, y)| Vec3::new(x, y, 7.0)).collect();
    assert!((patch(&ell).area_mm2 - 5.0).abs() < 1e-4);
    let saddle = patch(&circle(128, 1.5));
    let expected = PI * (100.0 + 1.5 * 1.5);
    assert!((saddle.area_mm2 - expected).abs() < 0.005 * expected, "{} of {expected}", saddle.area_mm2);
    assert!((saddle.bulge_mm - 1.5).abs() < 0.05);
    assert_eq!(patch(&[Vec3::ZERO, Vec3::X]).area_mm2, 0.0);
}

/// The hole Ø20 through a cube has one shut-off of its section, plane, spanned by its polygon, decided by a choice near
/// it only, taped where nothing was decided. Torn and cut are judged by its width, and by reach from the parting line.
#[test]
fn shut_off_of_a_drilled_cube() {
    let cube = drilled_cube(40.0, 10.0, 64);
    let facts = part(&cube, Vec3::Z);
    let found = shut_offs(&facts, &[]);
    assert_eq!(found.len(), 1);
    let hole = &found[0];
    let polygon = 32.0 * 100.0 * (PI / 32.0).sin();
    assert!((hole.patch.area_mm2 - polygon).abs() < 0.02 * polygon, "{}", hole.patch.area_mm2);
    assert!((hole.patch.span_mm - 20.0).abs() < 0.3);
    assert!((hole.tape_mm(1.0)[0] - 30.0).abs() < 0.6);
    let shop = Shop::bundled();
    assert_eq!(hole.separation(&shop.blades, &shop.limits), Separation::Taped);
    assert!(matches!(hole.fit(Separation::Torn, &shop.blades, &shop.limits), Fit::Not(_)));
    let cut = hole.fit(Separation::Cut, &shop.blades, &shop.limits);
    let fits = shop.blades.iter().any(|b| b.width_mm <= hole.patch.span_mm && b.reach_mm >= hole.reach_mm);
    assert_eq!(matches!(cut, Fit::Fits(Some(_))), fits);
    assert!(matches!(hole.fit(Separation::Cut, &[], &shop.limits), Fit::Not(_)));
    let mut short = shop.blades.clone();
    short.iter_mut().for_each(|b| b.reach_mm = 1.0);
    assert!(matches!(hole.fit(Separation::Cut, &short, &shop.limits), Fit::Not(_)));
    let near = |at: Vec3| shut_offs(&facts, &[Choice { near: at, separation: Separation::Cut }])[0].decided;
    assert_eq!(near(facts.lines[hole.at_loop].points[0]), Some(Separation::Cut));
    assert_eq!(near(Vec3::new(500.0, 0.0, 0.0)), None);
}

/// A mark means the same area on another mesh of the same part: it is kept as a stroke, not as triangles.
#[test]
fn marks_survive_another_tessellation() {
    let stroke = Stroke { points: vec![Vec3::Z * 20.0], normals: vec![Vec3::Z], radius_mm: 8.0 };
    let marked = |mesh: &Mesh| {
        let surface = Surface::with_edge(mesh, 0.8, &Run::new()).expect("not cancelled");
        let under = shown(&surface, std::slice::from_ref(&stroke));
        (0..surface.len()).filter(|&f| under[f]).map(|f| surface.area_mm2[f] as f64).sum::<f64>()
    };
    // Within 8 mm of the pole of a ball of 20: a cap of π·8² (Archimedes).
    let cap = PI * 64.0;
    let other = turned(&solids::ball(Vec3::ZERO, 20.0, 4), some_turn(3));
    for mesh in [solids::ball(Vec3::ZERO, 20.0, 3), solids::ball(Vec3::ZERO, 20.0, 5), other] {
        let area = marked(&mesh);
        assert!((area - cap).abs() < 0.05 * cap, "{area} of {cap}");
    }
}

/// The line keeps off a shown surface where it can; where a band shown all round leaves no way, it says how much it
/// crosses.
#[test]
fn crossings_of_shown_surfaces_are_told() {
    let ball = solids::ball(Vec3::ZERO, 20.0, 4);
    let spot = Stroke { points: vec![Vec3::X * 20.0], normals: vec![Vec3::X], radius_mm: 5.0 };
    let facts = part_as_wished(&ball, &Wish { shown: vec![spot.clone()], ..Wish::along(Vec3::Z) });
    assert!(crossings(&facts, std::slice::from_ref(&spot), &ByHand::default()).is_empty());
    // From pole to pole: every line round the ball crosses it once, about as far as it is wide.
    let band = |i: i32| Quat::from_rotation_y(-i as f32 * 0.1) * Vec3::X;
    let normals: Vec<Vec3> = (-15..=15).map(band).collect();
    let seam = Stroke { points: normals.iter().map(|n| n * 20.0).collect(), normals, radius_mm: 3.0 };
    let facts = part_as_wished(&ball, &Wish { shown: vec![seam.clone()], ..Wish::along(Vec3::Z) });
    let found = crossings(&facts, &[spot, seam], &ByHand::default());
    let crossed = found.iter().find(|c| c.shown == 1).expect("a crossing");
    assert!((3.0..12.0).contains(&crossed.length_mm), "{}", crossed.length_mm);
}

/// Names of files are safe on every system, never twice the same even where small and capital letters are one, and those of
/// plain names stay as they are.
#[test]
fn pieces_have_safe_file_names() {
    let names = [
        "Slider",
        "slider",
        "a/b\\c:d*e?",
        "",
        "..",
        "con",
        "LPT1",
        "Schräge Nut",
        &"x".repeat(300),
        "Slider-2",
        "slider",
    ];
    let files = file_names(names.iter().copied());
    assert_eq!(files[..4], ["Slider.stl", "slider-2.stl", "a-b-c-d-e.stl", "loose-piece-4.stl"]);
    assert_eq!(files[4..8], ["loose-piece-5.stl", "piece-con.stl", "piece-LPT1.stl", "Schräge-Nut.stl"]);
    assert!(files[8].len() < 100 && files[9] == "Slider-2-2.stl" && files[10] == "slider-3.stl", "{files:?}");
    let low: std::collections::HashSet<String> = files.iter().map(|f| f.to_lowercase()).collect();
    assert_eq!(low.len(), names.len());
    assert!(files.iter().all(|f| f.chars().all(|c| c.is_alphanumeric() || "-_.".contains(c)) && !f.starts_with('.')));
}
