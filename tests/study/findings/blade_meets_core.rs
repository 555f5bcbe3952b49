//! Metal in the way of the blade that cuts the rubber in a through-hole.

use glam::{DVec3, Vec3};
use mouldbench::mesh::{boolean, solids, write_stl};
use mouldbench::plan::*;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::study::findings::{Severity, judge};
use mouldbench::study::propose::bare_plan;

/// A plate of 80 x 60 x 10 far from the origin with a hole Ø16 in its middle, parted along its upper rim, the hole cut.
const FAR: DVec3 = DVec3::new(700.0, -300.0, 50.0);

fn plan() -> (tempfile::TempDir, Plan) {
    let plate = solids::cuboid(Vec3::new(-40.0, -30.0, -5.0), Vec3::new(40.0, 30.0, 5.0));
    let drill = solids::cylinder(Vec3::Z * -9.0, Vec3::Z * 9.0, 8.0, 48);
    let mesh = boolean::subtract(&plate, &[&drill]).expect("drilled");
    let folder = tempfile::tempdir().expect("a folder");
    let mut file = std::fs::File::create(folder.path().join("plate.stl")).expect("made");
    write_stl::write(&mut file, &mesh, FAR).expect("written");
    let mut plan = bare_plan("Plate", "plate.stl", "", Unit::Millimetre);
    plan.parting.draw = DVec3::Z;
    plan.parting.plane_mm = Some(FAR.z + 4.0);
    plan.parting.shut_offs = vec![ShutOffChoice {
        near: spot(DVec3::new(8.0, 0.0, 4.0), DVec3::NEG_X),
        separation: Separation::Cut,
        ..ShutOffChoice::default()
    }];
    (folder, plan)
}

fn spot(at: DVec3, normal: DVec3) -> Spot {
    Spot { part: 0, position: FAR + at, normal }
}

/// A pin Ø4 that stands 8 mm out of the upper face.
fn pin(x: f64, y: f64) -> Insert {
    Insert {
        number: 7,
        name: String::new(),
        kind: InsertKind::Pin { diameter_mm: 4.0, length_mm: 12.0 },
        at: spot(DVec3::new(x, y, 5.0), DVec3::Z),
        in_pocket_mm: 8.0,
        pocket: PocketMade::DummyOnMaster,
        stays: true,
        threads: Threads::None,
        half: None,
        density_g_cm3: None,
        hottest_c: None,
    }
}

/// A core Ø10 down the hole, of the hole's own axis.
fn core(of: PieceOf) -> LoosePiece {
    let at = spot(DVec3::new(0.0, 0.0, 4.0), DVec3::Z);
    LoosePiece { name: "Core A".into(), at, leaves_along: DVec3::Z, radius_mm: 5.0, of }
}

fn stops(folder: &tempfile::TempDir, plan: &Plan) -> Vec<String> {
    let bench = Bench::new(Shop::bundled().clone(), []);
    bench.set_folder(Some(folder.path()));
    let run = Run::new();
    let mut facts = bench.quick_facts(plan, &run).expect("facts");
    let body = facts.body.clone().expect("a body");
    facts.parting = Some(bench.parting(plan, &facts.setting, &body, &run).expect("a parting"));
    facts.release = Some(bench.release(plan, &facts.setting, &body, &run).expect("a release"));
    assert_eq!(facts.release.as_ref().expect("a release").shut_offs.len(), 1);
    let found = judge(plan, bench.shop(), &facts).into_iter().filter(|f| f.code == "blade-meets-core");
    found
        .map(|f| if f.severity == Severity::Stop && f.place.is_some() { f.message } else { "no Stop".into() })
        .collect()
}

/// Between the hole and the nearer side of the plate a pin stands in the blade's way; beyond the ends of the hole it does
/// not, nor does one that is moulded in under the face. Metal in the hole itself is in the way, rubber is not. Where the
/// hole is taped no blade goes there.
#[test]
fn metal_on_the_way_to_a_hole_that_is_cut_is_a_stop() {
    let (folder, plan) = plan();
    assert!(stops(&folder, &plan).is_empty());
    let with = |change: &dyn Fn(&mut Plan)| {
        let mut plan = plan.clone();
        change(&mut plan);
        stops(&folder, &plan)
    };
    // The long sides are nearer: 30 mm from the middle against 40.
    let [stop] = &with(&|p| p.inserts.push(pin(0.0, 20.0)))[..] else { panic!("one Stop") };
    assert!(stop.contains("insert 7") && stop.contains("shut-off 1"), "{stop}");
    assert!(with(&|p| p.inserts.push(pin(34.0, 20.0))).is_empty(), "beside the way");
    let sunk = |p: &mut Plan| {
        let mut sunk = pin(0.0, 20.0);
        sunk.at = spot(DVec3::new(0.0, 20.0, 3.0), DVec3::Z);
        sunk.kind = InsertKind::Pin { diameter_mm: 4.0, length_mm: 4.0 };
        sunk.in_pocket_mm = 1.0;
        p.inserts.push(sunk);
    };
    assert!(with(&sunk).is_empty(), "moulded in");
    let [stop] = &with(&|p| p.parting.loose_pieces.push(core(PieceOf::Metal)))[..] else { panic!("one Stop") };
    assert!(stop.contains("Core A"), "{stop}");
    assert!(with(&|p| p.parting.loose_pieces.push(core(PieceOf::Rubber))).is_empty());
    assert!(
        with(&|p| {
            p.parting.shut_offs[0].separation = Separation::Taped;
            p.parting.loose_pieces.push(core(PieceOf::Metal));
            p.inserts.push(pin(0.0, 20.0));
        })
        .is_empty(),
        "taped"
    );
}
