//! Drawn outlines against outlines worked out by hand: nothing is drawn that is not there, and all that is there is drawn.

use glam::{DAffine3, DQuat, DVec3, Vec2, Vec3};
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::sheet::drawing::{Drawing, Geometry, View, three_views};
use mouldbench::sheet::page::{Area, Item, Pen};
use mouldbench::solve::run::Run;

const ROOM: Area = Area { min: Vec2::new(20.0, 30.0), max: Vec2::new(200.0, 250.0) };
/// Lines on paper lie this near to where they belong, millimetres.
const NEAR_MM: f32 = 0.06;

/// A line of an outline in the axes of a view: to the right, upwards.
type Span = [Vec2; 2];

fn drawn(part: &Mesh, block_mm: Vec3) -> Drawing {
    three_views(&Geometry { part, things: vec![], parting: vec![], names: vec![], block_mm }, ROOM, &Run::new())
        .expect("not cancelled")
}

fn to_span(p: Vec2, [a, b]: &Span) -> f32 {
    let t = ((p - a).dot(b - a) / (b - a).length_squared().max(1e-12)).clamp(0.0, 1.0);
    p.distance(*a + (b - a) * t)
}

/// Points along spans, a tenth of a millimetre apart.
fn along(spans: &[Span]) -> Vec<Vec2> {
    let steps = |s: &Span| (s[0].distance(s[1]) / 0.1).ceil().max(1.0) as usize;
    spans.iter().flat_map(|s| (0..=steps(s)).map(move |i| s[0].lerp(s[1], i as f32 / steps(s) as f32))).collect()
}

/// The wide lines of one view, back in the part's own millimetres.
fn wide_lines(drawing: &Drawing, view: View) -> Vec<Span> {
    let placed = drawing.views.iter().find(|v| v.view == view).expect("the view");
    let room = |v: View| drawing.views.iter().find(|w| w.view == v).expect("a view").origin;
    let lines = drawing.items.iter().filter_map(|i| match i {
        Item::Polylines { lines, pen } if *pen == Pen::WIDE => Some(lines),
        _ => None,
    });
    let spans = lines.flatten().flat_map(|l| l.windows(2)).map(|w| [w[0], w[1]]);
    // Each line belongs to the view whose middle is nearest.
    let nearest = |p: Vec2| {
        [View::Above, View::Front, View::Right].into_iter().min_by(|a, b| {
            let far = |v: View| {
                let up = if v == View::Above { 0.0 } else { 30.0 * placed.scale as f32 };
                p.distance(room(v) - Vec2::new(0.0, up))
            };
            far(*a).total_cmp(&far(*b))
        })
    };
    let back = |p: Vec2| {
        let flat = (p - placed.origin) / placed.scale as f32;
        Vec2::new(flat.x, -flat.y)
    };
    spans.filter(|s| nearest(0.5 * (s[0] + s[1])) == Some(view)).map(|s| s.map(back)).collect()
}

/// Both ways: each drawn point lies on the outline, and each point of the outline is drawn.
fn same_lines(name: &str, drawing: &Drawing, view: View, outline: &[Span]) {
    let lines = wide_lines(drawing, view);
    let reach = |p: Vec2, of: &[Span]| of.iter().map(|s| to_span(p, s)).fold(f32::INFINITY, f32::min);
    for p in along(&lines) {
        assert!(reach(p, outline) < NEAR_MM, "{name}, {view:?}: {p} is drawn and is not there");
    }
    for p in along(outline) {
        assert!(reach(p, &lines) < NEAR_MM, "{name}, {view:?}: {p} is there and is not drawn");
    }
}

fn closed(corners: &[(f32, f32)]) -> Vec<Span> {
    let at = |i: usize| Vec2::from(corners[i % corners.len()]);
    (0..corners.len()).map(|i| [at(i), at(i + 1)]).collect()
}

fn circle(middle: (f32, f32), radius: f32) -> Vec<Span> {
    let at = |i: i32| {
        let (s, c) = (std::f32::consts::TAU * i as f32 / 360.0).sin_cos();
        Vec2::from(middle) + Vec2::new(c, s) * radius
    };
    (0..360).map(|i| [at(i), at(i + 1)]).collect()
}

fn rectangle(low: (f32, f32), high: (f32, f32)) -> Vec<Span> {
    closed(&[low, (high.0, low.1), high, (low.0, high.1)])
}

#[test]
fn a_ball_is_three_circles() {
    // Coarse and fine alike: a chord of the finer one stays 0.02 mm inside, of the coarser 0.05 mm.
    for level in [4, 5] {
        let part = solids::ball(Vec3::new(4.0, -3.0, 30.0), 12.0, level);
        let drawing = drawn(&part, Vec3::new(60.0, 50.0, 60.0));
        same_lines("ball", &drawing, View::Above, &circle((4.0, -3.0), 12.0));
        same_lines("ball", &drawing, View::Front, &circle((4.0, 30.0), 12.0));
        same_lines("ball", &drawing, View::Right, &circle((-3.0, 30.0), 12.0));
    }
}

#[test]
fn a_frustum_is_two_circles_and_two_trapezia() {
    let part = solids::frustum(Vec3::new(2.0, 1.0, 20.0), Vec3::new(2.0, 1.0, 44.0), 16.0, 9.0, 240);
    let drawing = drawn(&part, Vec3::new(60.0, 50.0, 60.0));
    let mut above = circle((2.0, 1.0), 16.0);
    above.extend(circle((2.0, 1.0), 9.0));
    same_lines("frustum", &drawing, View::Above, &above);
    for (view, middle) in [(View::Front, 2.0), (View::Right, 1.0)] {
        let trapezium =
            closed(&[(middle - 16.0, 20.0), (middle + 16.0, 20.0), (middle + 9.0, 44.0), (middle - 9.0, 44.0)]);
        same_lines("frustum", &drawing, view, &trapezium);
    }
    // Wide end up, the rim below is hidden from above.
    let part = solids::frustum(Vec3::new(2.0, 1.0, 20.0), Vec3::new(2.0, 1.0, 44.0), 9.0, 16.0, 240);
    same_lines("turned over", &drawn(&part, Vec3::new(60.0, 50.0, 60.0)), View::Above, &circle((2.0, 1.0), 16.0));
}

/// An angle of two plates: a base 40 × 30 × 6 and a back 6 thick and 34 high at one end of it, with a bore of 8 through it.
fn bracket(back_on_the_right: bool) -> Mesh {
    let base = solids::cuboid(Vec3::new(-20.0, -15.0, 20.0), Vec3::new(20.0, 15.0, 26.0));
    let [from, to] = if back_on_the_right { [14.0, 20.0] } else { [-20.0, -14.0] };
    let back = solids::cuboid(Vec3::new(from, -15.0, 22.0), Vec3::new(to, 15.0, 60.0));
    let bore = solids::cylinder(Vec3::new(from - 3.0, 0.0, 45.0), Vec3::new(to + 3.0, 0.0, 45.0), 4.0, 180);
    let whole = boolean::unite(&[&base, &back]).expect("one body");
    boolean::subtract(&whole, &[&bore]).expect("bored")
}

#[test]
fn a_bracket_has_its_step_where_it_is_seen_and_only_there() {
    let block = Vec3::new(60.0, 50.0, 80.0);
    for right in [false, true] {
        let drawing = drawn(&bracket(right), block);
        let name = if right { "back on the right" } else { "back on the left" };
        let mirror = |x: f32| if right { -x } else { x };
        let mut above = rectangle((-20.0, -15.0), (20.0, 15.0));
        above.push([Vec2::new(mirror(-14.0), -15.0), Vec2::new(mirror(-14.0), 15.0)]);
        same_lines(name, &drawing, View::Above, &above);
        let corners = [(-20.0, 20.0), (20.0, 20.0), (20.0, 26.0), (-14.0, 26.0), (-14.0, 60.0), (-20.0, 60.0)];
        same_lines(name, &drawing, View::Front, &closed(&corners.map(|(x, z)| (mirror(x), z))));
        let mut side = rectangle((-15.0, 20.0), (15.0, 60.0));
        side.extend(circle((0.0, 45.0), 4.0));
        if !right {
            // The base reaches towards the eye: its upper edge stands before the back.
            side.push([Vec2::new(-15.0, 26.0), Vec2::new(15.0, 26.0)]);
        }
        same_lines(name, &drawing, View::Right, &side);
    }
}

/// The same shapes drawn from a mesh that was turned and moved and comes back by doubles: rounding draws no lines.
#[test]
fn a_mesh_that_went_round_by_a_far_place_is_drawn_the_same() {
    let there = DAffine3::from_rotation_translation(DQuat::from_rotation_y(0.7), DVec3::new(300.0, -120.0, 80.0));
    let part = bracket(false).transformed(&there).transformed(&there.inverse());
    let drawing = drawn(&part, Vec3::new(60.0, 50.0, 80.0));
    let corners = [(-20.0, 20.0), (20.0, 20.0), (20.0, 26.0), (-14.0, 26.0), (-14.0, 60.0), (-20.0, 60.0)];
    same_lines("moved", &drawing, View::Front, &closed(&corners));
}
