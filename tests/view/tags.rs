//! Tags never cover each other, whatever they point at.

use glam::{DVec2, Vec2, Vec3};
use mouldbench::view::camera::Camera;
use mouldbench::view::palette;
use mouldbench::view::scene::{Tag, TagKind};
use mouldbench::view::tags;
use proptest::prelude::*;

const KINDS: [TagKind; 5] = [TagKind::Gate, TagKind::Vent, TagKind::Insert, TagKind::HighPoint, TagKind::Finding];

fn tag(foot: Vec3, kind: TagKind) -> Tag {
    Tag { foot, kind, text: "7".into(), colour: palette::VENT, chosen: false, pick: None }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn shown_tags_never_overlap_and_stay_in_the_picture(
        feet in prop::collection::vec((-60.0..60.0f32, -60.0..60.0f32, -60.0..60.0f32, 0..5usize), 1..90),
        huddle in 0.0..1.0f32, scale in 1.0..2.5f32,
    ) {
        let all: Vec<Tag> = feet.iter().map(|&(x, y, z, k)| tag(Vec3::new(x, y, z) * huddle, KINDS[k])).collect();
        let camera = Camera::new(DVec2::new(900.0, 560.0));
        let placed = tags::place(&all, &camera, scale);
        prop_assert_eq!(placed.len(), all.len());
        for (i, a) in placed.iter().enumerate() {
            prop_assert_eq!(a.index, i);
            let foot = camera.project(all[i].foot.as_dvec3()).expect("in front").pixel.as_vec2();
            if !a.shown {
                continue;
            }
            prop_assert!(a.foot_px.distance(foot) < 1e-3);
            let r = a.radius_px;
            prop_assert!(a.centre_px.cmpge(Vec2::splat(r)).all());
            prop_assert!(a.centre_px.cmple(camera.size_px.as_vec2() - r).all());
            for b in placed[..i].iter().filter(|b| b.shown) {
                prop_assert!(a.centre_px.distance(b.centre_px) >= a.radius_px + b.radius_px, "{a:?} covers {b:?}");
            }
        }
        // There is room for a hundred of the smaller ones, so one whose foot is in sight is never left out.
        if scale < 1.5 {
            for (p, t) in placed.iter().zip(&all) {
                let foot = camera.project(t.foot.as_dvec3()).expect("in front").pixel;
                let in_sight = foot.cmpge(DVec2::ZERO).all() && foot.cmple(camera.size_px).all();
                prop_assert_eq!(p.shown, in_sight);
            }
        }
    }
}

#[test]
fn shapes_stay_within_their_circle_and_differ_by_kind() {
    let mut areas = Vec::new();
    for kind in KINDS {
        let outline = tags::outline(kind, Vec2::new(5.0, -3.0), 10.0);
        assert!(outline.iter().all(|p| p.distance(Vec2::new(5.0, -3.0)) <= 10.0 + 1e-3), "{kind:?}");
        let twice: f32 = (0..outline.len()).map(|i| outline[i].perp_dot(outline[(i + 1) % outline.len()])).sum();
        areas.push(twice.abs() * 0.5);
        // The middle of the text is inside with room for a letter.
        let middle = tags::text_middle(kind, Vec2::new(5.0, -3.0), 10.0);
        let inside =
            (0..outline.len()).map(|i| (outline[i] - middle).angle_to(outline[(i + 1) % outline.len()] - middle));
        assert!((inside.sum::<f32>().abs() - std::f32::consts::TAU).abs() < 1e-2, "{kind:?}");
    }
    for i in 0..areas.len() {
        for j in 0..i {
            assert!((areas[i] - areas[j]).abs() > 1.0, "{:?} and {:?} look alike", KINDS[i], KINDS[j]);
        }
    }
}
