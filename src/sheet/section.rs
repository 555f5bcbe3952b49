//! Thin lines that hatch what a plane cuts (ISO 128-3).

use glam::DVec2;

/// Lines at 45° a step apart through what `pieces` enclose and `without` do not, inside the circle about the origin.
pub fn hatched(pieces: &[[DVec2; 2]], without: &[[DVec2; 2]], step: f64, radius: f64) -> Vec<[DVec2; 2]> {
    let along = DVec2::new(1.0, 1.0).normalize();
    let across = DVec2::new(-along.y, along.x);
    let count = (radius / step).floor().clamp(0.0, 2000.0) as i64;
    let mut out = Vec::new();
    for k in -count..=count {
        // Half a step off the origin, where corners like to lie.
        let level = (k as f64 + 0.5) * step;
        let reach = (radius * radius - level * level).max(0.0).sqrt();
        let crossings = |pieces: &[[DVec2; 2]], own: bool| -> Vec<(f64, bool)> {
            let mut all = Vec::new();
            for [a, b] in pieces {
                let (ha, hb) = (a.dot(across) - level, b.dot(across) - level);
                if (ha >= 0.0) != (hb >= 0.0) {
                    let (ta, tb) = (a.dot(along), b.dot(along));
                    all.push((ta + (tb - ta) * (ha / (ha - hb)), own));
                }
            }
            all
        };
        let mut all = crossings(pieces, true);
        all.extend(crossings(without, false));
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut inside, mut taken) = (false, false);
        let mut from: Option<f64> = None;
        for (t, own) in all {
            if own {
                inside = !inside;
            } else {
                taken = !taken;
            }
            match (inside && !taken, from) {
                (true, None) => from = Some(t),
                (false, Some(start)) => {
                    let (a, b) = (start.max(-reach), t.min(reach));
                    if b > a {
                        out.push([along * a + across * level, along * b + across * level]);
                    }
                    from = None;
                }
                _ => {}
            }
        }
    }
    out
}

/// The stretch of a piece inside the circle of `radius` about the origin.
pub fn in_circle([a, b]: [DVec2; 2], radius: f64) -> Option<[DVec2; 2]> {
    let d = b - a;
    let (qa, qb, qc) = (d.length_squared(), a.dot(d), a.length_squared() - radius * radius);
    let root = qb * qb - qa * qc;
    if qa <= 0.0 || root <= 0.0 {
        return None;
    }
    let (from, to) = (((-qb - root.sqrt()) / qa).max(0.0), ((-qb + root.sqrt()) / qa).min(1.0));
    (from < to).then(|| [a + d * from, a + d * to])
}
