//! Bending of a thin rectangular plate that is simply supported on three edges and free along the fourth, under a load
//! that falls linearly from the supported edge to nothing at the free one: Lévy's series (Timoshenko & Woinowsky-Krieger,
//! *Theory of Plates and Shells*, chapter 5).

use std::f64::consts::PI;

/// Terms of the series; the load is smooth, so that the sum settles with the fifth power of their number.
const TERMS: usize = 12;
/// Places along the height at which the largest value is looked for.
const PLACES: usize = 60;

/// The largest deflection and bending moment, without dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bending {
    /// Largest w·D/(q₀·b⁴), in the middle of the width.
    pub deflection: f64,
    /// Largest moment across the width, M/(q₀·b²).
    pub moment: f64,
    /// Height of the largest deflection as a share of the plate's, 0 at the loaded edge, 1 at the free one.
    pub at: f64,
}

/// Flexural rigidity E·t³/(12·(1 − ν²)), N·mm for a modulus in N/mm² and a thickness in mm.
pub fn rigidity(modulus: f64, thickness: f64, poisson: f64) -> f64 {
    modulus * thickness.powi(3) / (12.0 * (1.0 - poisson * poisson))
}

/// Bends a plate of width b (between the two supported sides) and height `height_over_width`·b.
pub fn open_top(height_over_width: f64, poisson: f64) -> Bending {
    let h = height_over_width;
    // W_m(x) for width 1, x from the loaded edge: [a1, a2, a3, a4] of e^(−αx), αx·e^(−αx), e^(−αy), αy·e^(−αy) with
    // y = h − x, beside the particular integral p·(1 − x/h). No term grows, however long the plate.
    let terms: Vec<(f64, f64, [f64; 4])> = (0..TERMS)
        .map(|i| {
            let m = (2 * i + 1) as f64;
            let alpha = m * PI;
            let p = 4.0 / (m * PI) / alpha.powi(4);
            (alpha, p, solve(alpha, h, p, poisson))
        })
        .collect();
    let mut best = Bending { deflection: 0.0, moment: 0.0, at: 0.0 };
    for i in 0..=PLACES {
        let share = i as f64 / PLACES as f64;
        let x = share * h;
        let (mut w, mut moment, mut sign) = (0.0, 0.0, 1.0);
        for (alpha, p, a) in &terms {
            let basis = Basis::at(*alpha, x, h);
            let shape = basis.sum(a, 0) + p * (1.0 - share);
            let bend = basis.sum(a, 2) * alpha * alpha;
            w += sign * shape;
            moment += sign * (alpha * alpha * shape - poisson * bend);
            sign = -sign;
        }
        if w > best.deflection {
            best.deflection = w;
            best.at = share;
        }
        best.moment = best.moment.max(moment);
    }
    best
}

/// Values of the four shapes and of their first three derivatives, over α to that power.
struct Basis([[f64; 4]; 4]);

impl Basis {
    fn at(alpha: f64, x: f64, h: f64) -> Basis {
        let (s, t) = (alpha * x, alpha * (h - x));
        let (e, f) = ((-s).exp(), (-t).exp());
        // The n-th derivative of s·e^(−s) is (−1)^n·(s − n)·e^(−s); those in t change sign once more.
        Basis(std::array::from_fn(|n| {
            let (k, sign) = (n as f64, if n % 2 == 0 { 1.0 } else { -1.0 });
            [sign * e, sign * (s - k) * e, f, (t - k) * f]
        }))
    }

    fn sum(&self, a: &[f64; 4], derivative: usize) -> f64 {
        (0..4).map(|i| a[i] * self.0[derivative][i]).fold(0.0, |x, y| x + y)
    }
}

/// The four constants of one term: at the loaded edge W = W″ = 0, at the free one no moment and no shear,
/// W″ = ν·α²·W and W‴ = (2 − ν)·α²·W′.
fn solve(alpha: f64, h: f64, p: f64, poisson: f64) -> [f64; 4] {
    let (foot, top) = (Basis::at(alpha, 0.0, h).0, Basis::at(alpha, h, h).0);
    let mut rows = [[0.0; 5]; 4];
    for i in 0..4 {
        rows[0][i] = foot[0][i];
        rows[1][i] = foot[2][i];
        rows[2][i] = top[2][i] - poisson * top[0][i];
        rows[3][i] = top[3][i] - (2.0 - poisson) * top[1][i];
    }
    // The particular integral p·(1 − x/h): p at the foot, 0 at the top, slope −p/h.
    rows[0][4] = -p;
    rows[3][4] = -(2.0 - poisson) * p / (h * alpha);
    for i in 0..4 {
        let pivot = (i..4).max_by(|&a, &b| rows[a][i].abs().total_cmp(&rows[b][i].abs())).unwrap_or(i);
        rows.swap(i, pivot);
        let above = rows[i];
        for row in rows.iter_mut().skip(i + 1) {
            let share = row[i] / above[i];
            for (value, from) in row.iter_mut().zip(above).skip(i) {
                *value -= share * from;
            }
        }
    }
    let mut a = [0.0; 4];
    for i in (0..4).rev() {
        let rest = (i + 1..4).map(|j| rows[i][j] * a[j]).fold(0.0, |x, y| x + y);
        a[i] = (rows[i][4] - rest) / rows[i][i];
    }
    a
}
