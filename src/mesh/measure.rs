//! Volume, area, centroid and normals.

use super::Mesh;
use glam::{DVec3, Vec3};
use rayon::prelude::*;

/// Triangles summed together before the sums are added: fixed, so that results do not depend on the threads.
const CHUNK: usize = 1 << 14;

/// What a closed mesh measures.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Measures {
    /// Enclosed volume, mm³; negative where the surface is turned inside out. Means nothing for an open mesh.
    pub volume_mm3: f64,
    /// Surface area, mm².
    pub area_mm2: f64,
    /// Centroid of the volume, mm; of the surface where the volume is zero.
    pub centroid_mm: DVec3,
}

/// Running sums about a local origin.
#[derive(Clone, Copy, Default)]
struct Sums {
    volume: f64,
    volume_moment: DVec3,
    area: f64,
    area_moment: DVec3,
}

impl Sums {
    fn add(mut self, other: Sums) -> Sums {
        self.volume += other.volume;
        self.volume_moment += other.volume_moment;
        self.area += other.area;
        self.area_moment += other.area_moment;
        self
    }

    /// Adds the tetrahedron from the origin to the triangle.
    fn with(mut self, [a, b, c]: [DVec3; 3]) -> Sums {
        let double_area_normal = (b - a).cross(c - a);
        let volume = a.dot(double_area_normal) / 6.0;
        let area = double_area_normal.length() * 0.5;
        let sum = a + b + c;
        self.volume += volume;
        self.volume_moment += sum * (volume / 4.0);
        self.area += area;
        self.area_moment += sum * (area / 3.0);
        self
    }

    fn measures(self, origin: DVec3) -> Measures {
        // A volume that is rounding only, as of two equal bodies one of which is inside out, has no centroid.
        let centroid_mm = if self.volume.abs() > 1e-12 * self.area.powf(1.5) {
            origin + self.volume_moment / self.volume
        } else if self.area > 0.0 {
            origin + self.area_moment / self.area
        } else {
            origin
        };
        Measures { volume_mm3: self.volume, area_mm2: self.area, centroid_mm }
    }
}

impl Measures {
    /// Measures a mesh with the divergence theorem, in double precision about the middle of its box.
    pub fn of(mesh: &Mesh) -> Measures {
        let origin = mesh.bounds().centre().as_dvec3();
        let chunks: Vec<Sums> = mesh
            .triangles
            .par_chunks(CHUNK)
            .map(|part| {
                part.iter().fold(Sums::default(), |sums, t| {
                    sums.with(t.map(|v| mesh.positions[v as usize].as_dvec3() - origin))
                })
            })
            .collect();
        chunks.into_iter().fold(Sums::default(), Sums::add).measures(origin)
    }

    /// Measures each group of triangles by itself; `group_of_triangle` is numbered from 0 below `groups`.
    pub fn of_groups(mesh: &Mesh, group_of_triangle: &[u32], groups: u32) -> Vec<Measures> {
        // Each about the middle of its own box, so that small groups far apart lose nothing.
        let mut bounds = vec![super::Bounds::EMPTY; groups as usize];
        for (t, &group) in group_of_triangle.iter().enumerate() {
            let b = &mut bounds[group as usize];
            *b = mesh.corners(t).into_iter().fold(*b, super::Bounds::with);
        }
        let origins: Vec<DVec3> = bounds.iter().map(|b| b.centre().as_dvec3()).collect();
        let mut sums = vec![Sums::default(); groups as usize];
        for (t, &group) in mesh.triangles.iter().zip(group_of_triangle) {
            let (sum, origin) = (&mut sums[group as usize], origins[group as usize]);
            *sum = sum.with(t.map(|v| mesh.positions[v as usize].as_dvec3() - origin));
        }
        sums.into_iter().zip(origins).map(|(s, origin)| s.measures(origin)).collect()
    }
}

/// The angle at each corner of a triangle, radians; zero for a corner between edges of no length.
pub fn corner_angles([a, b, c]: [Vec3; 3]) -> [f32; 3] {
    let angle = |u: Vec3, v: Vec3| u.cross(v).length().atan2(u.dot(v));
    [angle(b - a, c - a), angle(c - b, a - b), angle(a - c, b - c)]
}

/// The unit normal of each vertex, the sum of the normals of its triangles weighted by their corner angle there.
///
/// This is the pseudonormal whose sign tells inside from outside at a vertex (Bærentzen & Aanæs, 2005). Zero for a
/// vertex that no triangle with area uses.
pub fn vertex_normals(mesh: &Mesh) -> Vec<Vec3> {
    let weighted: Vec<(Vec3, [f32; 3])> = (0..mesh.triangles.len())
        .into_par_iter()
        .map(|t| (mesh.unit_normal(t), corner_angles(mesh.corners(t))))
        .collect();
    let mut normals = vec![Vec3::ZERO; mesh.positions.len()];
    for (t, (normal, angles)) in mesh.triangles.iter().zip(&weighted) {
        for k in 0..3 {
            normals[t[k] as usize] += *normal * angles[k];
        }
    }
    normals.par_iter_mut().for_each(|n| *n = n.normalize_or_zero());
    normals
}
