//! Meshes that go wrong easily, for every test of this room to draw from.

use glam::{DAffine3, DQuat, DVec3, Vec3};
use mouldbench::mesh::Mesh;
use mouldbench::mesh::solids::{ball, cuboid, cylinder, frustum, torus};

/// A turn that puts no edge along an axis.
pub fn turn(seed: u64) -> DAffine3 {
    let s = seed as f64;
    DAffine3::from_quat(DQuat::from_euler(glam::EulerRot::XYZ, 0.3 + 1.7 * s, 1.1 + 0.9 * s, -0.7 + 2.3 * s))
}

/// A turn, then a long way off.
pub fn far_away(seed: u64) -> DAffine3 {
    DAffine3::from_translation(DVec3::new(1e5, -7e4, 3e4)) * turn(seed)
}

/// Small numbers from a seed, evenly spread over 0 to 1 (Weyl sequence mixed by SplitMix64, Steele et al. 2014).
pub struct Dice(pub u64);

impl Dice {
    pub fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ z >> 30).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ z >> 27).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ z >> 31) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn within(&mut self, low: f32, high: f32) -> f32 {
        low + (high - low) * self.roll() as f32
    }

    pub fn point(&mut self, half: f32) -> Vec3 {
        Vec3::new(self.within(-half, half), self.within(-half, half), self.within(-half, half))
    }

    pub fn direction(&mut self) -> Vec3 {
        loop {
            let p = self.point(1.0);
            if p.length() > 0.1 && p.length() <= 1.0 {
                return p.normalize();
            }
        }
    }
}

/// Open, touching, overlapping, degenerate and coarse meshes with a name each.
pub fn zoo() -> Vec<(&'static str, Mesh)> {
    let mut open = ball(Vec3::ZERO, 10.0, 2);
    open.triangles.truncate(300);
    let mut overlapping = cuboid(Vec3::splat(-10.0), Vec3::splat(5.0));
    overlapping.append(&cuboid(Vec3::splat(-5.0), Vec3::splat(12.0)));
    let mut edge_touching = cuboid(Vec3::ZERO, Vec3::splat(10.0));
    edge_touching.append(&cuboid(Vec3::new(10.0, 10.0, 0.0), Vec3::new(20.0, 20.0, 10.0)));
    let mut face_touching = cuboid(Vec3::ZERO, Vec3::splat(10.0));
    face_touching.append(&cuboid(Vec3::new(10.0, 0.0, 0.0), Vec3::new(20.0, 10.0, 10.0)));
    let mut slivers = cylinder(Vec3::ZERO, Vec3::new(0.0, 0.0, 60.0), 5.0, 64);
    slivers.triangles.push([0, 0, 1]);
    slivers.positions.push(Vec3::new(50.0, 50.0, 50.0));
    let mut doubled = ball(Vec3::ZERO, 10.0, 1);
    doubled.append(&doubled.clone());
    vec![
        ("cube of two triangles a wall", cuboid(Vec3::splat(-10.0), Vec3::splat(10.0))),
        ("thin plate", cuboid(Vec3::new(-50.0, -30.0, 0.0), Vec3::new(50.0, 30.0, 0.5))),
        ("ball", ball(Vec3::new(1.0, 2.0, 3.0), 10.0, 3)),
        ("torus", torus(30.0, 10.0, 24, 12)),
        ("frustum", frustum(Vec3::ZERO, Vec3::new(3.0, 4.0, 30.0), 20.0, 10.0, 48)),
        ("open", open),
        ("overlapping", overlapping),
        ("touching along an edge", edge_touching),
        ("touching along a face", face_touching),
        ("slivers and strays", slivers),
        ("same ball twice", doubled),
        ("turned and far", ball(Vec3::ZERO, 10.0, 2).transformed(&far_away(3))),
    ]
}
