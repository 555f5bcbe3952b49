//! The demo plans: how they are made, and that they are what they say.
//!
//! The scenario is invented (see `assets/demo/README.md`). `cargo test -- --ignored write_the_demo_plans` makes the plans
//! in `projects/` anew from the meshes: what a person would settle by hand, then a proposal for the rest.

use super::file;
use glam::DVec3;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{boolean, read_stl};
use mouldbench::plan::parts::Finish;
use mouldbench::plan::*;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::study::propose::{Given, bare_plan, propose};
use std::path::Path;

const NOTES: &str = "Invented demo job: housings for a growers' co-operative's hand-held greenhouse soil probe. No such co-operative, probe or order exists.";

/// The first surface met from `from` along `along`, in the mesh's own coordinates.
fn surface(mesh: &str, from: DVec3, along: DVec3) -> Spot {
    let reading = read_stl::read(Path::new(&file(&format!("assets/demo/{mesh}.stl"))), 1.0).expect("read");
    let tree = Tree::of(&reading.mesh);
    let origin = (from - reading.centre).as_vec3();
    let hit = tree.first_hit(origin, along.as_vec3(), 1e4).expect("a surface");
    let at = origin + along.as_vec3() * hit.t;
    let normal = reading.mesh.unit_normal(hit.triangle as usize);
    Spot { part: 0, position: at.as_dvec3() + reading.centre, normal: normal.as_dvec3().normalize() }
}

fn down_on(mesh: &str, x: f64, y: f64) -> Spot {
    surface(mesh, DVec3::new(x, y, 100.0), DVec3::NEG_Z)
}

fn job(name: &str, mesh: &str, resin: &str, silicone: &str) -> Plan {
    let shop = Shop::bundled();
    let path = format!("../assets/demo/{mesh}.stl");
    let digest = read_stl::read(Path::new(&file(&format!("assets/demo/{mesh}.stl"))), 1.0).expect("read").digest;
    let mut plan = bare_plan(name, &path, &digest, Unit::Millimetre);
    plan.materials.resin = Some(shop.resin(resin).expect("a resin").clone());
    plan.materials.silicone = Some(shop.silicone(silicone).expect("a silicone").clone());
    plan.quantity.good = 30;
    plan.notes = NOTES.into();
    plan
}

fn shown(name: &str, finish: Finish, stroke: Vec<Spot>, radius_mm: f64) -> ShownSurface {
    ShownSurface { name: name.into(), finish, stroke, radius_mm }
}

fn handle() -> (Plan, Given) {
    let mut plan = job("Probe handle", "handle", "Rigid tough", "Mould silicone 40 A, translucent");
    let crown = [-45.0, -35.0, -15.0, 0.0, 15.0, 30.0, 45.0].map(|x| down_on("handle", x, 12.0));
    plan.shown.push(shown("Show face", Finish::Textured, crown.to_vec(), 9.0));
    // The two bosses behind the button; a bush stands 1 mm proud of each, on its pin in half 2.
    for (number, y) in [(1, 8.5), (2, -8.5)] {
        plan.inserts.push(Insert {
            number,
            name: String::new(),
            kind: InsertKind::Bush { diameter_mm: 5.0, length_mm: 7.0, thread: "M3".into() },
            at: surface("handle", DVec3::new(-24.0, y, -100.0), DVec3::Z),
            in_pocket_mm: 1.0,
            pocket: PocketMade::DummyOnMaster,
            stays: true,
            threads: Threads::Plug,
            half: Some(Half::Two),
            density_g_cm3: None,
            hottest_c: None,
        });
    }
    // Stood on its cable end and leaned so that bosses and ribs rise towards the show face: their air goes on into the
    // wall behind it, and none of them needs a vent of its own.
    (plan, Given { up: Some(DVec3::new(1.0, 0.06, 0.05).normalize()), draw: Some(DVec3::Z) })
}

fn cap() -> (Plan, Given) {
    let mut plan = job("Probe cap", "cap", "Rigid heat resistant", "Mould silicone 30 A, translucent");
    plan.shown.push(shown("Head", Finish::Matt, vec![down_on("cap", 3.0, 3.0)], 17.0));
    (plan, Given { up: Some(DVec3::new(0.06, 0.03, -1.0).normalize()), draw: Some(DVec3::Z) })
}

fn grip() -> (Plan, Given) {
    let mut plan = job("Probe grip", "grip", "Soft 60 A", "Mould silicone 40 A, translucent");
    let crown = [-20.0, -12.0, 0.0].map(|x| down_on("grip", x, 9.0));
    plan.shown.push(shown("Outer skin", Finish::Textured, crown.to_vec(), 7.0));
    (plan, Given { up: None, draw: Some(DVec3::Z) })
}

/// The soft ring round the cap's head: a tube less the cap, so that it fills the flutes.
fn ring_mesh() -> (mouldbench::mesh::Mesh, DVec3) {
    let cap = read_stl::read(Path::new(&file("assets/demo/cap.stl")), 1.0).expect("read");
    let low = |radius: f32, from: f32, to: f32| {
        let at = |z: f32| (DVec3::Z * f64::from(z) - cap.centre).as_vec3();
        mouldbench::mesh::solids::cylinder(at(from), at(to), radius, 96)
    };
    let ring = boolean::subtract(&low(20.5, 0.0, 5.5), &[&low(16.5, -1.0, 6.5), &cap.mesh]).expect("a ring");
    (ring, cap.centre)
}

/// The block of the ring, into which every cast of the cap is loaded.
fn ring() -> (Plan, Given) {
    let mut plan = job("Probe cap with soft ring", "ring", "Soft 60 A", "Mould silicone 30 A, translucent");
    let cap = job("Probe cap", "cap", "Rigid heat resistant", "Mould silicone 30 A, translucent");
    plan.second_shot = Some(SecondShot {
        name: "Probe cap".into(),
        mesh: cap.parts[0].mesh.clone(),
        digest: cap.parts[0].digest.clone(),
        resin: cap.materials.resin,
        ..SecondShot::default()
    });
    (plan, Given { up: Some(DVec3::new(0.06, 0.03, -1.0).normalize()), draw: Some(DVec3::Z) })
}

#[test]
#[ignore = "writes the demo plans anew"]
fn write_the_demo_plans() {
    let (mesh, centre) = ring_mesh();
    let mut stl = std::fs::File::create(file("assets/demo/ring.stl")).expect("made");
    mouldbench::mesh::write_stl::write(&mut stl, &mesh, centre).expect("written");
    for (name, (plan, given)) in [("handle", handle()), ("cap", cap()), ("grip", grip()), ("ring", ring())] {
        let bench = Bench::new(Shop::bundled().clone(), []);
        bench.set_folder(Some(Path::new(&file("projects"))));
        let proposal = propose(&bench, &plan, given, &Run::new()).expect("proposed");
        println!("{name}:\n  {}", proposal.reasons.join("\n  "));
        mouldbench::plan::file::save(&proposal.plan, Path::new(&file(&format!("projects/{name}.ron")))).expect("saved");
    }
}

#[test]
fn the_demo_plans_say_that_they_are_invented_and_hold_their_meshes() {
    for name in ["handle", "cap", "grip", "ring"] {
        let plan = mouldbench::plan::file::read(Path::new(&file(&format!("projects/{name}.ron")))).expect("read");
        assert!(plan.notes.contains("Invented"), "{name}");
        let mesh = Path::new(&file("projects")).join(&plan.parts[0].mesh);
        assert_eq!(read_stl::read(&mesh, 1.0).expect("read").digest, plan.parts[0].digest, "{name}");
        assert!(!plan.feed.gates.is_empty() && !plan.vents.is_empty(), "{name}");
        // No gate on a shown surface.
        for gate in &plan.feed.gates {
            for s in plan.shown.iter().flat_map(|s| s.stroke.iter().map(move |p| (p, s.radius_mm))) {
                assert!(
                    s.0.position.distance(gate.at.position) > s.1 || s.0.normal.dot(gate.at.normal) < 0.0,
                    "{name}"
                );
            }
        }
    }
    let plan = mouldbench::plan::file::read(Path::new(&file("projects/ring.ron"))).expect("read");
    let cap = mouldbench::plan::file::read(Path::new(&file("projects/cap.ron"))).expect("read");
    assert_eq!(plan.second_shot.expect("two shots").digest, cap.parts[0].digest);
    let plan = mouldbench::plan::file::read(Path::new(&file("projects/handle.ron"))).expect("read");
    assert_eq!(plan.inserts.len(), 2);
    assert!(plan.inserts.iter().all(|i| i.at.normal.distance(DVec3::NEG_Z) < 1e-3), "bosses open towards half 2");
}
