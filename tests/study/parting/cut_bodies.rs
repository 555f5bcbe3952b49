//! The bodies of the opened block as files: halves, loose pieces and cores add up to the block with part and channels, and
//! each is closed to a strict reader.

use crate::mesh::sound::strict;
use glam::{DVec3, Quat, Vec3};
use mouldbench::files::output::Guard;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::{Mesh, boolean, solids, weld, write_stl};
use mouldbench::plan::*;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::study::parting::cut::half_files;
use mouldbench::study::parting::release::piece_files;
use mouldbench::study::parting::release::wish::{proposed_core, severing_cut};
use mouldbench::study::propose::bare_plan;
use std::path::Path;

const FAR: DVec3 = DVec3::new(-350.0, 620.0, 80.0);

struct Job {
    folder: tempfile::TempDir,
    plan: Plan,
    turn: Quat,
}

/// A block of 60 x 40 x 24 drawn along Z, with a hole Ø10 across it along Y, which locks a core, and a blind hole Ø8 into its
/// side, 9 deep, which is an undercut; turned and far from the origin.
fn job(turn: Quat) -> Job {
    let block = solids::cuboid(Vec3::new(-30.0, -20.0, -12.0), Vec3::new(30.0, 20.0, 12.0));
    let across = solids::cylinder(Vec3::new(12.0, -25.0, 0.0), Vec3::new(12.0, 25.0, 0.0), 5.0, 48);
    let blind = solids::cylinder(Vec3::new(-21.0, 0.0, 1.0), Vec3::new(-35.0, 0.0, 1.0), 4.0, 48);
    let mut mesh = boolean::subtract(&block, &[&across, &blind]).expect("drilled");
    mesh.positions.iter_mut().for_each(|p| *p = turn * *p);
    let folder = tempfile::tempdir().expect("a folder");
    let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
    write_stl::write(&mut file, &mesh, FAR).expect("written");
    let mut plan = bare_plan("Drilled", "part.stl", "", Unit::Millimetre);
    let along = |v: Vec3| (turn * v).as_dvec3();
    plan.parting.draw = along(Vec3::Z);
    plan.hang = Hang { rubber: Attitude { up: along(Vec3::Y), turn: 0.0 }, cast: None, ..Hang::default() };
    let spot = |at: Vec3, n: Vec3| Spot { part: 0, position: FAR + along(at), normal: along(n) };
    plan.vents.push(Vent { number: 1, at: spot(Vec3::new(-10.0, 20.0, 3.0), Vec3::Y), ..Vent::default() });
    Job { folder, plan, turn }
}

/// All that lies in the block.
struct Bodies {
    halves: [Mesh; 2],
    /// Volumes of the written files, halves first.
    written_mm3: Vec<f64>,
    /// Part with its channels, and pockets.
    cavity_mm3: f64,
    block_mm3: f64,
    failed: usize,
}

impl Job {
    fn spot(&self, at: Vec3, n: Vec3) -> Spot {
        Spot { part: 0, position: FAR + (self.turn * at).as_dvec3(), normal: (self.turn * n).as_dvec3() }
    }

    fn piece(&mut self, at: Vec3, along: Vec3, radius_mm: f64) {
        let leaves_along = (self.turn * along).as_dvec3();
        let at = self.spot(at, along);
        self.plan.parting.loose_pieces.push(LoosePiece {
            name: format!("Piece {}", self.plan.parting.loose_pieces.len() + 1),
            at,
            leaves_along,
            radius_mm,
            of: PieceOf::Rubber,
        });
    }

    /// What frees the locked core: a metal core, or a cut.
    fn free(&mut self, by_core: bool) {
        let (bench, run) = (self.bench(), Run::new());
        let setting = bench.setting(&self.plan).expect("a setting");
        let body = bench.body(&self.plan, &setting, &run).expect("a body");
        let parting = bench.parting(&self.plan, &setting, &body, &run).expect("a parting");
        let tunnel = parting.locked.iter().flat_map(|c| &c.tunnels).next().expect("a locked hole");
        if by_core {
            let core = proposed_core(tunnel, &setting.frames, 0, PieceOf::Metal, "Core".into());
            self.plan.parting.loose_pieces.push(core);
        } else {
            self.plan.parting.relief_cuts.push(severing_cut(tunnel, &setting.frames, 0, "Cut".into()));
        }
    }

    fn bench(&self) -> Bench {
        let bench = Bench::new(Shop::bundled().clone(), []);
        bench.set_folder(Some(self.folder.path()));
        bench
    }

    fn bodies(&self, name: &str) -> Bodies {
        let (bench, run, plan) = (self.bench(), Run::new(), &self.plan);
        let setting = bench.setting(plan).expect("a setting");
        let body = bench.body(plan, &setting, &run).expect("a body");
        let release = bench.release(plan, &setting, &body, &run).expect("a release");
        assert!(release.locks.iter().all(|l| l.left == 0 || plan.parting.relief_cuts.is_empty()), "{name}: not freed");
        let halves = bench.halves(plan, &setting, &body, &run).unwrap_or_else(|e| panic!("{name}: {e}"));
        let pieces = bench.loose_pieces(plan, &setting, &body, &run).expect("pieces");
        let (out, box_from_work) = (self.folder.path().join("out"), &setting.frames.box_from_work);
        let mut files: Vec<_> = half_files::write(&out, &halves, box_from_work, &Guard::default())
            .unwrap_or_else(|e| panic!("{name}: {e}"))
            .map(|w| w.path)
            .into();
        let (written, failed) =
            piece_files::write(&out, &release.pieces, &pieces, box_from_work, &Guard::default()).expect("written");
        files.extend(written.into_iter().map(|w| w.path));
        Bodies {
            halves: [0, 1].map(|i| weld::weld(&loose(&files[i]))),
            written_mm3: files.iter().map(|f| strict(&format!("{name}, {}", f.display()), &loose(f))).collect(),
            cavity_mm3: bench.cavity(&setting, &body, &run).expect("a cavity").volume_mm3,
            block_mm3: setting.block.volume_mm3(),
            failed: failed.len(),
        }
    }
}

/// The triangles of a binary STL as its bytes hold them: 80 bytes, a count, then normal, three corners and two bytes each.
fn loose(path: &Path) -> Vec<[Vec3; 3]> {
    let bytes = std::fs::read(path).expect("readable");
    let number = |at: usize| f32::from_le_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]]);
    let point = |at: usize| Vec3::new(number(at), number(at + 4), number(at + 8));
    (84..bytes.len()).step_by(50).map(|at| [point(at + 12), point(at + 24), point(at + 36)]).collect()
}

fn adds_up(name: &str, b: &Bodies) {
    let sum = b.written_mm3.iter().sum::<f64>() + b.cavity_mm3;
    assert!((sum / b.block_mm3 - 1.0).abs() < 1e-4, "{name}: {sum} mm³ of {}", b.block_mm3);
}

/// Handles of a closed surface, all bodies together: 1 − χ/2 a body (Euler).
fn handles(mesh: &Mesh) -> i64 {
    let topology = Topology::of(mesh);
    let euler = mesh.positions.len() as i64 - i64::from(topology.edges) + mesh.triangles.len() as i64;
    i64::from(topology.bodies) - euler / 2
}

/// A loose piece in the blind hole and a metal core through the locked one: what they fill is out of the rubber.
#[test]
#[ignore = "long"]
fn long_pieces_and_cores_are_out_of_the_halves() {
    for (name, turn) in
        [("straight", Quat::IDENTITY), ("turned", Quat::from_euler(glam::EulerRot::XYZ, 0.7, -1.1, 2.0))]
    {
        let mut job = job(turn);
        let bare = job.bodies(name);
        adds_up(name, &bare);
        job.piece(Vec3::new(-30.0, 0.0, 1.0), Vec3::NEG_X, 4.6);
        job.free(true);
        let made = job.bodies(name);
        assert_eq!((made.written_mm3.len(), made.failed), (4, 0), "{name}");
        adds_up(name, &made);
        // The piece fills its hole and stands out with its shoulder: inscribed prisms of 48 and 96 sides by hand.
        let disc = |r: f64, n: f64| 0.5 * n * r * r * (std::f64::consts::TAU / n).sin();
        let piece = disc(4.0, 48.0) * 9.0 + disc(4.6, 96.0) * 4.0;
        assert!((made.written_mm3[2] / piece - 1.0).abs() < 2e-3, "{name}: {} against {piece}", made.written_mm3[2]);
        let less = (bare.written_mm3[0] + bare.written_mm3[1]) - (made.written_mm3[0] + made.written_mm3[1]);
        let taken = made.written_mm3[2] + made.written_mm3[3];
        assert!((less / taken - 1.0).abs() < 1e-3, "{name}: {less} mm³ less rubber, {taken} in the pieces");
    }
}

/// Two pieces that run into each other, and one that a vent's rod goes through: nothing is there twice.
#[test]
#[ignore = "long"]
fn long_pieces_that_meet_share_no_rubber() {
    let mut job = job(Quat::from_rotation_x(0.3));
    job.piece(Vec3::new(-30.0, 0.0, 1.0), Vec3::NEG_X, 4.6);
    job.piece(Vec3::new(-30.0, 3.0, 1.0), Vec3::NEG_X, 6.0);
    job.piece(Vec3::new(-10.0, 20.0, 3.0), Vec3::Y, 5.0);
    let made = job.bodies("meeting");
    assert_eq!((made.written_mm3.len(), made.failed), (5, 0));
    adds_up("meeting", &made);
}

/// A cut that severs the locked core takes the handle from the half that went through the part.
#[test]
#[ignore = "long"]
fn long_a_severing_cut_parts_the_rubber_in_the_hole() {
    let mut job = job(Quat::from_rotation_z(0.4));
    let before = job.bodies("locked");
    job.free(false);
    let after = job.bodies("severed");
    adds_up("severed", &after);
    let sum = |b: &Bodies| b.halves.iter().map(handles).sum::<i64>();
    assert_eq!(sum(&after), sum(&before) - 1, "handles of both halves");
    let taken = Measures::of(&before.halves[0]).volume_mm3 + Measures::of(&before.halves[1]).volume_mm3
        - Measures::of(&after.halves[0]).volume_mm3
        - Measures::of(&after.halves[1]).volume_mm3;
    // A disc of Ø10, 0.02 mm thick.
    assert!(taken > 1.0 && taken < 2.5, "{taken} mm³");
}
