//! Volumes above a level: one triangle against fine subdivision, sums against plain addition.

use mouldbench::solve::level_volume::{Facet, LevelSums};
use proptest::prelude::*;

/// The same integral by cutting the triangle into 4^depth equal ones and taking their mean heights.
fn by_cutting(h: [f64; 3], projected: f64, level: f64, depth: u32) -> f64 {
    if depth == 0 || h.iter().all(|&x| x >= level) || h.iter().all(|&x| x <= level) {
        return projected * ((h[0] + h[1] + h[2]) / 3.0 - level).max(0.0);
    }
    let [a, b, c] = h;
    let (ab, bc, ca) = ((a + b) / 2.0, (b + c) / 2.0, (c + a) / 2.0);
    [[a, ab, ca], [ab, b, bc], [ca, bc, c], [ab, bc, ca]]
        .into_iter()
        .map(|part| by_cutting(part, projected / 4.0, level, depth - 1))
        .sum()
}

#[test]
fn a_facet_by_hand() {
    // Heights 0, 0, 3 over area 2: mean 1. Above level 1 the tip is (2/3)² of the area with mean 2/3 above it.
    let facet = Facet { heights: [0.0, 3.0, 0.0], projected: 2.0 };
    assert_eq!(facet.above(0.0), 2.0);
    assert!((facet.above(1.0) - 2.0 * 4.0 / 9.0 * 2.0 / 3.0).abs() < 1e-15);
    assert_eq!(facet.above(3.0), 0.0);
    assert_eq!(facet.above(-1.0), 4.0);
    // Level: all or nothing; facing down: negative.
    let level = Facet { heights: [2.0; 3], projected: -1.5 };
    assert_eq!(level.above(2.0), 0.0);
    assert_eq!(level.above(1.0), -1.5);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn a_facet_against_fine_cutting(
        h in prop::array::uniform3(-5.0..5.0f64),
        tie in 0..4usize,
        level in -6.0..6.0f64,
    ) {
        let mut h = h;
        if tie < 3 {
            h[tie] = h[(tie + 1) % 3];
        }
        let exact = Facet { heights: h, projected: 3.0 }.above(level);
        let cut = by_cutting(h, 3.0, level, 9);
        // Only the strip of small triangles that the level cuts is off, by at most its own height share.
        prop_assert!((exact - cut).abs() < 1e-3, "{exact} {cut}");
    }

    #[test]
    fn sums_over_ranges_against_plain_addition(
        facets in prop::collection::vec((prop::array::uniform3(-5.0..5.0f64), -2.0..2.0f64), 1..700),
        cut in (0.0..1.0f64, 0.0..1.0f64),
        level in -6.0..6.0f64,
    ) {
        let facet = |i: usize| Facet { heights: facets[i].0, projected: facets[i].1 };
        let sums = LevelSums::new(facets.len(), 0.7, facet);
        let at = |share: f64| (share * (facets.len() + 1) as f64) as usize;
        let range = at(cut.0.min(cut.1))..at(cut.0.max(cut.1));
        let plain: f64 = range.clone().map(|i| facet(i).above(level)).sum();
        let fast = sums.above(range, level, &facet);
        prop_assert!((plain - fast).abs() < 1e-9, "{plain} {fast}");
    }
}
