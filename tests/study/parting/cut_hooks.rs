//! Halves that hook into each other, on folds of the cut whose figures are known.

use glam::{DAffine3, DQuat, DVec3, Vec3};
use mouldbench::mesh::solids;
use mouldbench::mesh::tree::Tree;
use mouldbench::study::parting::cut::block_box::BlockBox;
use mouldbench::study::parting::cut::border::Border;
use mouldbench::study::parting::cut::frame::Frame;
use mouldbench::study::parting::cut::hooks::{Hook, hooks};
use mouldbench::study::parting::cut::keys::Wave;
use mouldbench::study::parting::cut::surface::{CutSurface, Piece};

/// A cut whose height over x is `profile`, the same all along y, in a block of 60 x 40 x 60 about the origin; all turned and
/// moved by `work_from_here`. The part is a ball well under it.
fn folded(profile: &[(f32, f32)], work_from_here: DAffine3) -> Vec<Hook> {
    let there = |p: Vec3| work_from_here.transform_point3(p.as_dvec3()).as_vec3();
    let ball = solids::ball(Vec3::Z * -25.0, 2.0, 2).transformed(&work_from_here);
    let mut positions = ball.positions.clone();
    let base = positions.len() as u32;
    const ROWS: u32 = 9;
    for row in 0..ROWS {
        let y = -40.0 + 10.0 * row as f32;
        positions.extend(profile.iter().map(|&(x, z)| there(Vec3::new(x, y, z))));
    }
    let n = profile.len() as u32;
    let mut triangles = Vec::new();
    for row in 0..ROWS - 1 {
        for i in 0..n - 1 {
            let (a, b) = (base + row * n + i, base + (row + 1) * n + i);
            triangles.extend([[a, a + 1, b + 1], [a, b + 1, b]]);
        }
    }
    let border = Border { halves: Vec::new(), loops: Vec::new(), given_over: Vec::new(), open: None, mesh: ball };
    let rotation = work_from_here.matrix3;
    let cut = CutSurface {
        frame: Frame::along(rotation * DVec3::Z, rotation * DVec3::X, work_from_here.translation),
        pieces: vec![Piece::Skirt; triangles.len()],
        off_line_mm: vec![0.0; positions.len()],
        corners: [base; 4],
        wave: Wave::default(),
        patches: Vec::new(),
        positions,
        triangles,
        border,
    };
    let block = BlockBox {
        box_from_work: DAffine3::from_translation(DVec3::Z * 30.0) * work_from_here.inverse(),
        size_mm: DVec3::new(60.0, 40.0, 60.0),
    };
    hooks(&cut, &Tree::of(&cut.border.mesh), &block)
}

fn turned() -> DAffine3 {
    let turn = DQuat::from_euler(glam::EulerRot::XYZ, 0.5, -0.9, 1.7);
    DAffine3::from_rotation_translation(turn, DVec3::new(40.0, -25.0, 60.0))
}

/// A face that leans back by 2 mm over a height of 10 all along a block of 40: it reaches over by 2 mm on 80 mm². Pulled up
/// by d, columns of half 1 from 0 to 10 high, all alike often, overlap by d − d²/10 on average: most at half the height, 2.5 mm
/// on 80 mm², 200 mm³.
#[test]
fn a_face_that_leans_back_hooks_by_its_lean() {
    for (name, place) in [("here", DAffine3::IDENTITY), ("turned", turned())] {
        let found = folded(&[(-45.0, 0.0), (1.0, 0.0), (-1.0, 10.0), (45.0, 10.0)], place);
        let [hook] = found[..] else { panic!("{name}: {found:?}") };
        assert!((hook.depth_mm - 2.0).abs() < 0.1, "{name}: {hook:?}");
        // Triangles stand 10 mm apart, so that their middles tell the block's end to a few millimetres.
        assert!((hook.area_mm2 - 80.0).abs() < 9.0, "{name}: {hook:?}");
        assert!((hook.volume_mm3 / hook.area_mm2 - 2.5).abs() < 0.1 && hook.pulled_mm == 5.0, "{name}: {hook:?}");
        let at = place.inverse().transform_point3(hook.place.as_dvec3());
        assert!(at.x.abs() < 0.2 && (at.z - 5.0).abs() < 0.7, "{name}: {at}");
    }
}

/// Steps along the draw, slopes however steep and what overhangs outside the block are no hooks; two folds are two.
#[test]
fn only_what_overhangs_in_the_block_hooks() {
    let plain: &[(f32, f32)] = &[(-45.0, 0.0), (0.0, 0.0), (0.0, 6.0), (0.2, 9.0), (45.0, 9.0)];
    let beyond: &[(f32, f32)] = &[(-45.0, 0.0), (34.0, 0.0), (31.0, 8.0), (45.0, 8.0)];
    for place in [DAffine3::IDENTITY, turned()] {
        assert!(folded(plain, place).is_empty(), "{:?}", folded(plain, place));
        assert!(folded(beyond, place).is_empty(), "{:?}", folded(beyond, place));
        let two = folded(&[(-45.0, 0.0), (-10.0, 0.0), (-11.0, 4.0), (10.0, 4.0), (7.0, 8.0), (45.0, 8.0)], place);
        let [wide, narrow] = two[..] else { panic!("{two:?}") };
        assert!((wide.depth_mm - 3.0).abs() < 0.1 && (narrow.depth_mm - 1.0).abs() < 0.1, "{two:?}");
    }
}
