//! What several timings share: a bumpy ball, and the fastest of some runs.

use glam::Vec3;
use mouldbench::mesh::{Mesh, solids};
use std::time::Instant;

/// A ball of about 50 mm with some hundred bumps; with `rough`, every vertex is moved besides by up to half of that many
/// millimetres and fine ripples are laid over it.
pub fn bumpy(level: u32, rough: Option<f64>) -> Mesh {
    let mut ball = solids::ball(Vec3::ZERO, 1.0, level);
    let mut chance = 0x9e37_79b9_7f4a_7c15u64;
    let mut noise = move || {
        chance ^= chance << 13;
        chance ^= chance >> 7;
        chance ^= chance << 17;
        (chance >> 11) as f64 / (1u64 << 53) as f64 - 0.5
    };
    for p in &mut ball.positions {
        let q = p.as_dvec3();
        let wave = (9.0 * q.x + 1.0).sin() * (8.0 * q.y + 2.0).sin() + (11.0 * q.z - 1.0).sin() * (7.0 * q.x).cos();
        let fine = (61.0 * q.x).sin() * (57.0 * q.y).sin() * (63.0 * q.z).sin();
        let (fine, moved) = rough.map_or((0.0, 0.0), |rough| (0.004 * fine, rough * noise()));
        *p = (q * (50.0 * (1.0 + 0.08 * wave + fine) + moved)).as_vec3();
    }
    ball
}

/// Seconds of the fastest of some runs.
pub fn best<T>(times: usize, mut work: impl FnMut() -> T) -> f64 {
    (0..times)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(work());
            start.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min)
}
