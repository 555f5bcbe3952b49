//! Rays and nearest points against brute force.

use super::awkward::{Dice, far_away, turn, zoo};
use glam::{DVec3, Vec3};
use mouldbench::mesh::Mesh;
use mouldbench::mesh::solids::{ball, cuboid, cylinder, torus};
use mouldbench::mesh::tree::{Cone, Facing, Feature, Tree, nearest_on_triangle};

/// Distance along the ray in double precision (Möller & Trumbore 1997), with the least weight of a corner: how far
/// inside the triangle the hit is.
fn hit_f64(corners: [DVec3; 3], origin: DVec3, direction: DVec3) -> Option<(f64, f64)> {
    let [a, b, c] = corners;
    let (e1, e2) = (b - a, c - a);
    let p = direction.cross(e2);
    let det = e1.dot(p);
    if det == 0.0 {
        return None;
    }
    let s = origin - a;
    let u = s.dot(p) / det;
    let q = s.cross(e1);
    let v = direction.dot(q) / det;
    Some((e2.dot(q) / det, u.min(v).min(1.0 - u - v)))
}

#[test]
fn first_hits_equal_brute_force() {
    for (name, mesh) in zoo() {
        let tree = Tree::of(&mesh);
        let (centre, size) = (mesh.bounds().centre(), mesh.bounds().diagonal());
        // Coordinates far from the origin are coarse, and so is the ray that is tested against them.
        let tolerance = 1e-4 + 1e-6 * f64::from(centre.length() + size);
        let mut dice = Dice(11);
        let mut hits = 0;
        for i in 0..300 {
            let origin = centre + dice.point(size * 0.7);
            // Every other ray is aimed near some triangle, so that thin and scattered meshes are met too.
            let some = (dice.roll() * mesh.triangles.len() as f64) as usize;
            let aimed = mesh.corners(some).into_iter().sum::<Vec3>() / 3.0 + dice.point(size * 0.02) - origin;
            let direction = if i % 2 == 0 { dice.direction() } else { aimed };
            let found = tree.first_hit(origin, direction, f32::INFINITY);
            let (o, d) = (origin.as_dvec3(), direction.as_dvec3());
            let all: Vec<(f64, f64)> =
                (0..mesh.triangles.len()).filter_map(|t| hit_f64(mesh.corners_f64(t), o, d)).collect();
            // A hit well inside a triangle must be found; a hit found must be one, give or take rounding.
            let sure = all.iter().filter(|h| h.1 > 1e-3 && h.0 > tolerance).map(|h| h.0).fold(f64::INFINITY, f64::min);
            let maybe =
                all.iter().filter(|h| h.1 > -1e-3 && h.0 > -tolerance).map(|h| h.0).fold(f64::INFINITY, f64::min);
            match found {
                Some(hit) => {
                    hits += 1;
                    let t = f64::from(hit.t);
                    assert!(t <= sure + tolerance && t >= maybe - tolerance, "{name}: {t} not in {maybe}..{sure}");
                    let corners = mesh.corners(hit.triangle as usize);
                    let on: Vec3 = (0..3).map(|k| corners[k] * hit.barycentric[k]).sum();
                    let at = origin + direction * hit.t;
                    assert!(f64::from(on.distance(at)) < 10.0 * tolerance, "{name}: {on} {at}");
                    let n = mesh.unit_normal(hit.triangle as usize);
                    if n.dot(direction).abs() > 1e-3 {
                        assert_eq!(hit.entering, n.dot(direction) < 0.0, "{name}");
                    }
                    assert!(tree.any_hit(origin, direction, hit.t * 1.001 + 1e-3));
                    let short = tree.first_hit(origin, direction, hit.t * 0.99);
                    assert!(short.is_none(), "{name}: nothing before the first hit");
                }
                None => assert!(sure.is_infinite(), "{name}: missed a hit at {sure}"),
            }
        }
        assert!(hits > 100, "{name}: only {hits} rays hit anything");
    }
}

#[test]
fn no_ray_slips_out_through_an_edge_or_a_vertex() {
    for mesh in [
        ball(Vec3::ZERO, 10.0, 3),
        cuboid(Vec3::splat(-10.0), Vec3::splat(10.0)),
        cylinder(Vec3::new(0.0, 0.0, -9.0), Vec3::new(0.0, 0.0, 9.0), 6.0, 500),
        ball(Vec3::ZERO, 10.0, 2).transformed(&turn(4)),
    ] {
        let tree = Tree::of(&mesh);
        let mut dice = Dice(3);
        for i in 0..mesh.triangles.len() * 3 {
            let [a, b] =
                [mesh.triangles[i / 3][i % 3], mesh.triangles[i / 3][(i + 1) % 3]].map(|v| mesh.positions[v as usize]);
            let origin = dice.point(0.5);
            for target in [a, a.midpoint(b), a.lerp(b, dice.roll() as f32)] {
                assert!(tree.any_hit(origin, target - origin, 2.0), "out through {target} from {origin}");
                assert!(tree.any_hit(origin, (target - origin) * 1e-3, f32::INFINITY));
            }
        }
    }
}

#[test]
fn rays_along_walls_and_axes_behave() {
    let cube = cuboid(Vec3::ZERO, Vec3::splat(10.0));
    let tree = Tree::of(&cube);
    let hit = tree.first_hit(Vec3::new(5.0, 4.0, -7.0), Vec3::Z, 100.0).expect("from below");
    assert!((hit.t - 7.0).abs() < 1e-5 && hit.entering);
    let hit = tree.first_hit(Vec3::new(5.0, 4.0, 3.0), Vec3::Z * 2.0, 100.0).expect("from inside");
    assert!((hit.t - 3.5).abs() < 1e-5 && !hit.entering);
    assert!(tree.first_hit(Vec3::new(5.0, 4.0, -7.0), -Vec3::Z, 100.0).is_none());
    assert!(tree.first_hit(Vec3::new(5.0, 4.0, -7.0), Vec3::Z, 6.9).is_none());
    assert!(!tree.any_hit(Vec3::new(10.1, 4.0, -7.0), Vec3::Z, 100.0));
    for bad in [Vec3::ZERO, Vec3::NAN, Vec3::new(f32::INFINITY, 0.0, 0.0)] {
        assert!(tree.first_hit(Vec3::ZERO, bad, 100.0).is_none());
    }
    assert!(tree.first_hit(Vec3::NAN, Vec3::Z, 100.0).is_none());
    assert!(Tree::of(&Mesh::default()).first_hit(Vec3::ZERO, Vec3::Z, 100.0).is_none());
    assert!(Tree::of(&Mesh::default()).nearest(Vec3::ZERO).is_none());
}

#[test]
fn all_hits_pass_in_and_out_in_turn() {
    let tree = Tree::of(&torus(30.0, 10.0, 48, 24));
    let mut hits = Vec::new();
    tree.all_hits(Vec3::new(-100.0, 1.234, 0.567), Vec3::X, f32::INFINITY, &mut hits);
    let pattern: Vec<bool> = hits.iter().map(|h| h.entering).collect();
    assert_eq!(pattern, [true, false, true, false]);
    assert!(hits.windows(2).all(|w| w[0].t < w[1].t));
    assert!((hits[0].t - 60.0).abs() < 0.3 && (hits[1].t - 80.0).abs() < 0.3);
    let exits = tree.first_hit_where(Vec3::new(-100.0, 1.234, 0.567), Vec3::X, f32::INFINITY, |h| !h.entering);
    assert_eq!(exits, Some(hits[1]));
}

#[test]
fn nearest_points_equal_brute_force() {
    for (name, mesh) in zoo() {
        let tree = Tree::of(&mesh);
        let (centre, size) = (mesh.bounds().centre(), mesh.bounds().diagonal());
        let tolerance = 1e-5 * f64::from(size) + 1e-6 * f64::from(centre.length());
        let mut dice = Dice(23);
        for i in 0..200 {
            let p = centre + dice.point(if i % 2 == 0 { size } else { size * 0.3 });
            let found = tree.nearest(p).expect("a mesh that is not empty");
            let best = (0..mesh.triangles.len())
                .map(|t| {
                    let c = mesh.corners_f64(t);
                    let (w, _) = nearest_on_triangle(p.as_dvec3(), c);
                    (c[0] * w.x + c[1] * w.y + c[2] * w.z).distance(p.as_dvec3())
                })
                .fold(f64::INFINITY, f64::min);
            assert!((f64::from(found.distance) - best).abs() < tolerance, "{name}: {} {best}", found.distance);
            assert!((f64::from(found.point.distance(p)) - best).abs() < 2.0 * tolerance, "{name}");
            assert_eq!(tree.nearest_within(p, found.distance * 0.99), None, "{name}");
            assert!(tree.nearest_within(p, found.distance * 1.01 + 1e-3).is_some(), "{name}");
        }
    }
}

#[test]
fn the_nearest_wall_that_faces_one_way_equals_brute_force() {
    for (name, mesh) in zoo() {
        let tree = Tree::of(&mesh);
        let facing = Facing::of(&tree);
        let (centre, size) = (mesh.bounds().centre(), mesh.bounds().diagonal());
        let tolerance = 1e-5 * f64::from(size) + 1e-6 * f64::from(centre.length());
        let mut dice = Dice(29);
        let (mut found_some, mut found_none) = (0, 0);
        for i in 0..200 {
            let p = centre + dice.point(if i % 2 == 0 { size } else { size * 0.3 });
            // From a needle to a half space and beyond, aimed anywhere or straight along some triangle's normal.
            let some = (dice.roll() * mesh.triangles.len() as f64) as usize;
            let own = mesh.unit_normal(some).normalize_or(Vec3::X);
            let axis = if i % 3 == 0 { own } else { dice.direction().normalize() };
            let cone = Cone { axis, cos: [0.999, 0.866, 0.3, 0.0, -0.7][i % 5] };
            let but = if i % 4 == 0 { some as u32 } else { u32::MAX };
            let best = (0..mesh.triangles.len())
                .filter(|&t| t as u32 != but && cone.holds_normal_of(&mesh.corners(t)))
                .map(|t| {
                    let c = mesh.corners_f64(t);
                    let (w, _) = nearest_on_triangle(p.as_dvec3(), c);
                    (c[0] * w.x + c[1] * w.y + c[2] * w.z).distance(p.as_dvec3())
                })
                .fold(f64::INFINITY, f64::min);
            match tree.nearest_facing(p, f32::INFINITY, &facing, cone, but) {
                Some(found) => {
                    found_some += 1;
                    assert!((f64::from(found.distance) - best).abs() < tolerance, "{name}: {} {best}", found.distance);
                    assert!(found.triangle != but && cone.holds_normal_of(&mesh.corners(found.triangle as usize)));
                    assert_eq!(tree.nearest_facing(p, found.distance * 0.99, &facing, cone, but), None, "{name}");
                }
                None => {
                    found_none += 1;
                    assert_eq!(best, f64::INFINITY, "{name}");
                }
            }
            let near = tree.nearest(p).expect("a mesh that is not empty").distance;
            assert!(tree.is_within(p, near * 1.01 + 1e-3) && !tree.is_within(p, near * 0.99), "{name}");
        }
        assert!(found_some > 20, "{name}: {found_some} found, {found_none} not");
    }
}

#[test]
fn nearest_on_one_triangle_is_the_best_of_many_samples() {
    let mut dice = Dice(41);
    for i in 0..300 {
        let mut c = [dice.point(5.0), dice.point(5.0), dice.point(5.0)].map(|p| p.as_dvec3());
        if i % 10 == 0 {
            c[2] = c[0].lerp(c[1], dice.roll() * 2.0 - 0.5); // no area
        }
        let p = dice.point(8.0).as_dvec3();
        let (w, feature) = nearest_on_triangle(p, c);
        assert!(w.min_element() >= -1e-12 && (w.element_sum() - 1.0).abs() < 1e-12);
        let d = (c[0] * w.x + c[1] * w.y + c[2] * w.z).distance(p);
        let zeros = w.to_array().iter().filter(|&&x| x == 0.0).count();
        match feature {
            Feature::Face => assert!(zeros == 0),
            Feature::Edge(k) => assert!(w[(k as usize + 2) % 3] == 0.0),
            Feature::Vertex(k) => assert!(w[k as usize] == 1.0),
        }
        for u in 0..=40 {
            for v in 0..=40 - u {
                let (u, v) = (f64::from(u) / 40.0, f64::from(v) / 40.0);
                let q = c[0] * u + c[1] * v + c[2] * (1.0 - u - v);
                assert!(q.distance(p) >= d - 1e-6, "sample {u} {v} is nearer: {} < {d}", q.distance(p));
            }
        }
    }
}

#[test]
fn boxes_find_the_triangles_that_meet_them() {
    use mouldbench::mesh::Bounds;
    for (name, mesh) in zoo() {
        let tree = Tree::of(&mesh);
        let mut dice = Dice(7);
        for _ in 0..20 {
            let at = mesh.bounds().centre() + dice.point(mesh.bounds().diagonal() * 0.4);
            let half = Vec3::splat(mesh.bounds().diagonal() * 0.1);
            let region = Bounds { min: at - half, max: at + half };
            let mut found = Vec::new();
            tree.each_in(region, |t, _| found.push(t));
            found.sort_unstable();
            let expected: Vec<u32> = (0..mesh.triangles.len() as u32)
                .filter(|&t| {
                    let b = Bounds::of(mesh.corners(t as usize));
                    b.min.cmple(region.max).all() && b.max.cmpge(region.min).all()
                })
                .collect();
            assert_eq!(found, expected, "{name}");
        }
    }
}

#[test]
fn far_from_the_origin_rays_still_find_the_wall() {
    let mesh = ball(Vec3::ZERO, 50.0, 4).transformed(&far_away(2));
    let tree = Tree::of(&mesh);
    let mut dice = Dice(2);
    let centre = Vec3::new(1e5, -7e4, 3e4);
    for _ in 0..500 {
        let hit = tree.first_hit(centre, dice.direction(), f32::INFINITY).expect("every ray leaves through the wall");
        assert!((hit.t - 50.0).abs() < 0.3 && !hit.entering);
    }
}
