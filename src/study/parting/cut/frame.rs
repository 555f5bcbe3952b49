//! A frame to look along: two axes across, one along.

use glam::{DVec2, DVec3, Vec3};

/// A right-handed frame with its own origin, in `work`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Origin.
    pub origin: DVec3,
    /// First axis across.
    pub u: DVec3,
    /// Second axis across.
    pub v: DVec3,
    /// The axis along: heights are measured on it.
    pub w: DVec3,
}

impl Frame {
    /// The frame along `w` at `origin`, its first axis as near to `wanted` as can be.
    pub fn along(w: DVec3, wanted: DVec3, origin: DVec3) -> Frame {
        let w = w.normalize_or(DVec3::Z);
        let square = wanted - w * wanted.dot(w);
        let u = if square.length() > 1e-3 * wanted.length().max(1e-9) {
            square.normalize()
        } else {
            w.any_orthonormal_vector()
        };
        Frame { origin, u, v: w.cross(u), w }
    }

    /// A point of `work` in this frame.
    pub fn local(&self, p: Vec3) -> DVec3 {
        let d = p.as_dvec3() - self.origin;
        DVec3::new(d.dot(self.u), d.dot(self.v), d.dot(self.w))
    }

    /// A direction of `work`, across.
    pub fn across(&self, d: Vec3) -> DVec2 {
        let d = d.as_dvec3();
        DVec2::new(d.dot(self.u), d.dot(self.v))
    }

    /// A point of this frame in `work`.
    pub fn work(&self, p: DVec3) -> Vec3 {
        (self.origin + self.u * p.x + self.v * p.y + self.w * p.z).as_vec3()
    }
}
