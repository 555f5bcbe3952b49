//! True-scale views: places on paper against the mesh.

use super::sample::sample;
use glam::{Vec2, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::sheet::balloons::{self, Tag, TagKind};
use mouldbench::sheet::drawing::{Drawing, Geometry, Shape, Thing, View, scale_bar, spread, three_views};
use mouldbench::sheet::page::{Area, Item, Pen};
use mouldbench::sheet::{make_pages, words};
use mouldbench::solve::run::Run;

const ROOM: Area = Area { min: Vec2::new(20.0, 30.0), max: Vec2::new(200.0, 250.0) };

fn drawn(geometry: &Geometry<'_>) -> Drawing {
    three_views(geometry, ROOM, &Run::new()).expect("not cancelled")
}

/// Places on paper worked out by hand: two points in each view are told apart by their true distance over the scale.
#[test]
fn balloons_point_at_their_places_in_true_scale() {
    let job = sample(6, 2, 0);
    let input = job.input();
    let drawing = drawn(&input.geometry);
    assert_eq!(drawing.scale, "Scale 1:2");
    assert_eq!(drawing.balloons.len(), 3 * (1 + 6 + 2));
    let foot_of = |view: View, tag: Tag| {
        drawing.balloons.iter().find(|b| b.view == view && b.tag == tag).expect("a balloon").foot
    };
    let gate = Tag { kind: TagKind::Gate, number: 1 };
    for vent in &job.report.vents {
        let tag = Tag { kind: TagKind::Vent, number: vent.number };
        let from_gate = |i: usize| (vent.position_mm[i] - job.report.feed.gates_mm[0][i]) as f32 / 2.0;
        for (view, across, up) in [(View::Above, 0, 1), (View::Front, 0, 2), (View::Right, 1, 2)] {
            let paper = foot_of(view, tag) - foot_of(view, gate);
            let wanted = Vec2::new(from_gate(across), -from_gate(up));
            assert!(paper.distance(wanted) < 0.01, "{view:?} {}: {paper} {wanted}", vent.number);
        }
    }
    // Third angle: the view from above stands over the front view, the one from the right beside it.
    let [above, front, right] = [View::Above, View::Front, View::Right].map(|v| foot_of(v, gate));
    assert!((above.x - front.x).abs() < 1e-3 && above.y < front.y);
    assert!((right.y - front.y).abs() < 1e-3 && right.x > front.x);
}

#[test]
fn the_drawn_outline_is_the_part_in_true_scale() {
    // A ball of 24 mm in a block of 60 × 50 × 70 fits at 1:1.
    let part = solids::ball(Vec3::new(4.0, -3.0, 30.0), 12.0, 5);
    let geometry =
        Geometry { part: &part, things: vec![], parting: vec![], names: vec![], block_mm: Vec3::new(60.0, 50.0, 70.0) };
    let drawing = drawn(&geometry);
    assert_eq!(drawing.scale, "Scale 1:1");
    let wide: Vec<&Vec<Vec2>> = drawing
        .items
        .iter()
        .filter_map(|i| match i {
            Item::Polylines { lines, pen } if *pen == Pen::WIDE => Some(lines),
            _ => None,
        })
        .flatten()
        .collect();
    assert!(!wide.is_empty());
    let mut seen = [false; 3];
    for p in wide.into_iter().flatten() {
        // Each point lies on one of three circles of 12 mm on paper.
        let near = drawing
            .views
            .iter()
            .enumerate()
            .find(|(_, v)| (p.distance(v.on_page(Vec3::new(4.0, -3.0, 30.0))) - 12.0).abs() < 0.1);
        let (view, _) = near.unwrap_or_else(|| panic!("{p} is on none of the circles"));
        seen[view] = true;
    }
    assert_eq!(seen, [true; 3]);
    // The block's floor line is 60 mm long on paper.
    let front = drawing.views.iter().find(|v| v.view == View::Front).expect("a front view");
    let (a, b) = (front.on_page(Vec3::new(-30.0, 0.0, 0.0)), front.on_page(Vec3::new(30.0, 0.0, 0.0)));
    assert!((b.x - a.x - 60.0).abs() < 1e-3 && (a.y - b.y).abs() < 1e-6);
}

#[test]
fn scales_are_those_of_the_standard() {
    // ISO 5455:1979.
    let standard = ["50:1", "20:1", "10:1", "5:1", "2:1", "1:1", "1:2", "1:5", "1:10", "1:20", "1:50", "1:100"];
    let mut last = 0;
    for size in [0.5f32, 1.0, 3.0, 8.0, 20.0, 50.0, 100.0, 200.0, 500.0, 900.0, 2500.0, 5000.0] {
        let half = Vec3::new(size * 0.3, size * 0.2, 0.0);
        let part = solids::cuboid(-half + Vec3::Z * size * 0.2, half + Vec3::Z * size * 0.4);
        let block_mm = Vec3::new(size, size * 0.7, size * 0.6);
        let drawing = drawn(&Geometry { part: &part, things: vec![], parting: vec![], names: vec![], block_mm });
        let at = standard.iter().position(|s| words::scale(s) == drawing.scale);
        let at = at.unwrap_or_else(|| panic!("{} for {size}", drawing.scale));
        assert!(at >= last, "{size}: {}", drawing.scale);
        last = at;
        assert!(drawing.height_mm <= ROOM.size().y);
    }
    assert!(last > 6);
}

#[test]
fn an_empty_part_is_drawn_as_an_empty_box() {
    let part = Mesh::default();
    for block_mm in [Vec3::new(60.0, 50.0, 70.0), Vec3::ZERO, Vec3::NAN] {
        let drawing = drawn(&Geometry { part: &part, things: vec![], parting: vec![], names: vec![], block_mm });
        assert!(!drawing.items.is_empty());
    }
    let drawing =
        drawn(&Geometry { part: &part, things: vec![], parting: vec![], names: vec![], block_mm: Vec3::splat(1e9) });
    assert!(drawing.views.is_empty());
}

#[test]
fn balloons_keep_apart_and_their_leaders_do_not_cross() {
    for vents in [3, 12, 30] {
        let job = sample(vents, 3, 0);
        let input = job.input();
        let drawing = drawn(&input.geometry);
        for view in [View::Above, View::Front, View::Right] {
            let here: Vec<_> = drawing.balloons.iter().filter(|b| b.view == view).collect();
            assert_eq!(here.len() as u32, vents + 4);
            for (i, a) in here.iter().enumerate() {
                for b in &here[i + 1..] {
                    assert!(
                        a.centre.distance(b.centre) >= 2.0 * balloons::RADIUS_MM,
                        "{view:?} {:?} {:?}",
                        a.tag,
                        b.tag
                    );
                    assert!(!crossed(a.centre, a.foot, b.centre, b.foot), "{view:?} {:?} {:?}", a.tag, b.tag);
                }
            }
        }
    }
}

fn crossed(a: Vec2, b: Vec2, c: Vec2, d: Vec2) -> bool {
    let side = |p: Vec2, q: Vec2, r: Vec2| (q - p).perp_dot(r - p);
    // A touch is no crossing: a twentieth of a square millimetre of the triangle that they span.
    let apart = |x: f32, y: f32| (x > 0.05 && y < -0.05) || (x < -0.05 && y > 0.05);
    apart(side(a, b, c), side(a, b, d)) && apart(side(c, d, a), side(c, d, b))
}

#[test]
fn spread_places_keep_order_and_pitch_and_move_least() {
    assert_eq!(spread(&[0.0, 10.0, 20.0], 4.0), [0.0, 10.0, 20.0]);
    // Three on one place are set about it.
    assert_eq!(spread(&[5.0, 5.0, 5.0], 4.0), [1.0, 5.0, 9.0]);
    let wanted = [0.0, 1.0, 1.5, 9.0, 9.5, 30.0];
    let got = spread(&wanted, 4.0);
    assert!(got.windows(2).all(|w| w[1] - w[0] >= 4.0 - 1e-4), "{got:?}");
    assert_eq!(got[5], 30.0);
}

#[test]
fn the_check_bar_is_100_mm_from_end_to_end() {
    let items = scale_bar(Vec2::new(30.0, 50.0), 100.0, "bar");
    let mut low = f32::MAX;
    let mut high = f32::MIN;
    for item in &items {
        if let Item::Line { from, to, pen } = item {
            // Upright strokes spread by half their width to either side, the bar itself has butt ends.
            let half = if (from.x - to.x).abs() < 1e-6 { pen.width_mm * 0.5 } else { 0.0 };
            low = low.min(from.x.min(to.x) - half);
            high = high.max(from.x.max(to.x) + half);
        }
    }
    assert!((high - low - 100.0).abs() < 1e-4, "{low} {high}");
    let job = sample(3, 1, 0);
    let list = make_pages(&job.input(), &Run::new()).expect("pages");
    let page = list.words_of(1);
    assert!(page.contains("this bar is 100 mm") && page.contains("Scale 1:2") && page.contains("Third angle"));
}

#[test]
fn a_rod_seen_from_its_end_is_round_and_from_its_side_straight() {
    let part = solids::cuboid(Vec3::new(-10.0, -10.0, 10.0), Vec3::new(10.0, 10.0, 20.0));
    let rod = Thing {
        tag: Some(Tag { kind: TagKind::Vent, number: 7 }),
        foot: Vec3::new(2.0, 3.0, 20.0),
        shape: Shape::Rod { path: vec![Vec3::new(2.0, 3.0, 20.0), Vec3::new(2.0, 3.0, 50.0)], radius_mm: 4.0 },
    };
    let geometry = Geometry {
        part: &part,
        things: vec![rod],
        parting: vec![],
        names: vec![],
        block_mm: Vec3::new(50.0, 50.0, 50.0),
    };
    let drawing = drawn(&geometry);
    let s = drawing.views[0].scale as f32;
    let polygons: Vec<&Vec<Vec2>> = drawing
        .items
        .iter()
        .filter_map(|i| if let Item::Polygon { corners, .. } = i { Some(corners) } else { None })
        .collect();
    assert_eq!(polygons.len(), 3);
    let size = |c: &[Vec2]| {
        let (lo, hi) = c.iter().fold((Vec2::MAX, Vec2::MIN), |(l, h), p| (l.min(*p), h.max(*p)));
        (hi - lo) / s
    };
    // 32 points round a rim: across, cos(π/32) of the diameter at the least.
    for (polygon, tall) in [(polygons[0], 8.0), (polygons[1], 30.0), (polygons[2], 30.0)] {
        let size = size(polygon);
        assert!(size.x <= 8.001 && size.x >= 7.95, "{size}");
        assert!((size.y - tall).abs() < 0.05, "{size}");
    }
}
