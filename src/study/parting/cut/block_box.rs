//! The block as a box in `work`: its six walls, and how far it is to them.

use crate::mesh::{Mesh, solids};
use glam::{DAffine3, DMat3, DVec2, DVec3, Vec3};

/// The block of rubber in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BlockBox {
    /// From `work` to the box: origin in the middle of the floor, Z up.
    pub box_from_work: DAffine3,
    /// Length, width, height, millimetres.
    pub size_mm: DVec3,
}

/// A wall of the block, named as one stands before it with the block's first axis to the right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Wall {
    /// Towards −Y.
    Front,
    /// Towards +X.
    Right,
    /// Towards +Y.
    Back,
    /// Towards −X.
    Left,
    /// Towards +Z.
    Top,
    /// Towards −Z.
    Floor,
}

impl Wall {
    /// All six: the four sides in the order in which a strip of paper goes round them, then top and floor.
    pub const ALL: [Wall; 6] = [Wall::Front, Wall::Right, Wall::Back, Wall::Left, Wall::Top, Wall::Floor];

    /// Its name in words.
    pub fn name(self) -> &'static str {
        match self {
            Wall::Front => "front",
            Wall::Right => "right",
            Wall::Back => "back",
            Wall::Left => "left",
            Wall::Top => "top",
            Wall::Floor => "floor",
        }
    }

    /// Its place in [`Wall::ALL`].
    pub fn index(self) -> usize {
        self as usize
    }

    /// Rightwards, upwards and outwards as one looks at the wall from outside, in the box; the top is seen with the front
    /// wall below it, the floor with the front wall above it.
    pub fn axes(self) -> [DVec3; 3] {
        match self {
            Wall::Front => [DVec3::X, DVec3::Z, -DVec3::Y],
            Wall::Right => [DVec3::Y, DVec3::Z, DVec3::X],
            Wall::Back => [-DVec3::X, DVec3::Z, DVec3::Y],
            Wall::Left => [-DVec3::Y, DVec3::Z, -DVec3::X],
            Wall::Top => [DVec3::X, DVec3::Y, DVec3::Z],
            Wall::Floor => [DVec3::X, -DVec3::Y, -DVec3::Z],
        }
    }
}

impl BlockBox {
    /// Lowest corner in the box.
    pub fn low(&self) -> DVec3 {
        DVec3::new(-0.5 * self.size_mm.x, -0.5 * self.size_mm.y, 0.0)
    }

    /// Highest corner in the box.
    pub fn high(&self) -> DVec3 {
        self.low() + self.size_mm
    }

    /// Width and height of a wall, millimetres.
    pub fn wall_size_mm(&self, wall: Wall) -> [f64; 2] {
        let [right, up, _] = wall.axes();
        [right.abs().dot(self.size_mm), up.abs().dot(self.size_mm)]
    }

    /// The lower left corner of a wall seen from outside, in the box.
    pub fn wall_corner(&self, wall: Wall) -> DVec3 {
        let [right, up, out] = wall.axes();
        let middle = 0.5 * (self.low() + self.high());
        let half = 0.5 * self.size_mm;
        middle + out * out.abs().dot(half) - right * right.abs().dot(half) - up * up.abs().dot(half)
    }

    /// A place on a wall in `work`; `at_mm` from its lower left corner seen from outside.
    pub fn on_wall(&self, wall: Wall, at_mm: DVec2) -> DVec3 {
        let [right, up, _] = wall.axes();
        self.work_from_box().transform_point3(self.wall_corner(wall) + right * at_mm.x + up * at_mm.y)
    }

    /// Outward direction of a wall, in `work`.
    pub fn out_in_work(&self, wall: Wall) -> DVec3 {
        self.work_from_box().transform_vector3(wall.axes()[2])
    }

    /// From the box to `work`.
    pub fn work_from_box(&self) -> DAffine3 {
        self.box_from_work.inverse()
    }

    /// The eight corners in `work`.
    pub fn corners(&self) -> [DVec3; 8] {
        let (low, high, back) = (self.low(), self.high(), self.work_from_box());
        std::array::from_fn(|i| {
            let pick = |k: usize| if i >> k & 1 == 0 { low[k] } else { high[k] };
            back.transform_point3(DVec3::new(pick(0), pick(1), pick(2)))
        })
    }

    /// The block as a closed mesh in `work`.
    pub fn mesh(&self) -> Mesh {
        let mut mesh = solids::cuboid(Vec3::ZERO, Vec3::ONE);
        let work_from_unit =
            self.work_from_box() * DAffine3::from_mat3_translation(DMat3::from_diagonal(self.size_mm), self.low());
        mesh.positions =
            mesh.positions.iter().map(|p| work_from_unit.transform_point3(p.as_dvec3()).as_vec3()).collect();
        mesh
    }

    /// How far inside all walls a point of `work` lies; negative outside.
    pub fn depth(&self, p: DVec3) -> f64 {
        let q = self.box_from_work.transform_point3(p);
        (q - self.low()).min(self.high() - q).min_element()
    }

    /// How far behind a wall a point of `work` lies, millimetres; negative before it.
    pub fn behind(&self, wall: Wall, p: DVec3) -> f64 {
        let q = self.box_from_work.transform_point3(p);
        (self.wall_corner(wall) - q).dot(wall.axes()[2])
    }

    /// How far it is from a point of `work` along a unit direction to the wall by which it leaves the block, and that
    /// wall; 0 from outside.
    pub fn way_out(&self, p: DVec3, direction: DVec3) -> (f64, Wall) {
        let q = self.box_from_work.transform_point3(p);
        let d = self.box_from_work.transform_vector3(direction);
        let (low, high) = (self.low(), self.high());
        let walls = [[Wall::Left, Wall::Right], [Wall::Front, Wall::Back], [Wall::Floor, Wall::Top]];
        let mut best = (f64::INFINITY, Wall::Top);
        for k in 0..3 {
            if d[k].abs() < 1e-12 {
                continue;
            }
            let (t, wall) =
                if d[k] > 0.0 { ((high[k] - q[k]) / d[k], walls[k][1]) } else { ((low[k] - q[k]) / d[k], walls[k][0]) };
            if t < best.0 {
                best = (t, wall);
            }
        }
        (best.0.max(0.0), best.1)
    }
}
