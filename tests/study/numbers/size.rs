//! Sizes against worked values.

use super::a_job::{Job, near};
use glam::Vec3;
use mouldbench::mesh::solids;
use mouldbench::plan::{Along, Dimension, Held, Scale};
use mouldbench::shop::Shop;
use mouldbench::study::findings::Remedy;
use mouldbench::study::numbers::size::{cancelling, dimension, growth, net, spread_mm};

#[test]
fn the_chain_from_master_to_cast() {
    // Linear expansion 3·10⁻⁴/K, handbook range of silicone rubber, from memory. 23 → 70 °C: 1.41 % in length, 4.2899 % in
    // volume.
    let free = growth(3.0e-4, 0.499, 23.0, 70.0, Held::Free);
    near(free[0], 1.0141, 1e-12);
    near((free[0] * free[1] * free[2] - 1.0) * 100.0, 4.2899, 1e-4);
    // A 100 mm master, set at 23, cast at 70, 0.3 % shrinkage: 101.10577.
    near(100.0 * net(free, 8e-5, 23.0, 23.0, 0.3)[0], 101.10577, 1e-9);
    // Set and cast at 40 on a master measured at 40: 99.7.
    near(100.0 * net(growth(3.0e-4, 0.499, 40.0, 40.0, Held::Free), 0.0, 40.0, 23.0, 0.3)[1], 99.7, 1e-9);
    // Set at 40 on a master that grew by 8·10⁻⁵/K, the cavity at 70, before the resin shrinks: 101.037224.
    near(100.0 * net(growth(3.0e-4, 0.499, 40.0, 70.0, Held::Free), 8e-5, 40.0, 23.0, 0.0)[2], 101.037224, 1e-6);
    // Between four stiff walls: nothing sideways, (1 + ν)/(1 − ν) = 2.992 times upwards at ν = 0.499 (linear elasticity).
    let held = growth(3.0e-4, 0.499, 23.0, 70.0, Held::FourSides);
    assert_eq!(held[..2], [1.0, 1.0]);
    near((held[2] - 1.0) / 0.0141, 2.992, 1e-3);
    near(cancelling([1.01, 1.01, 1.01]) * 1.01, 1.0, 1e-15);
    let n = [1.0, 1.0, 1.04];
    near((cancelling(n)).powi(3) * n[0] * n[1] * n[2], 1.0, 1e-12);
}

#[test]
fn a_dimension_before_and_after() {
    let limits = &Shop::bundled().limits;
    // Common practice: 0.25 mm to 100 mm, then 0.25 %.
    near(spread_mm(50.0, limits), 0.25, 0.0);
    near(spread_mm(200.0, limits), 0.5, 1e-12);
    let wanted = Dimension { name: "Over all".into(), length_mm: 100.0, along: Along::Height, across_cut: false };
    let d = dimension(&wanted, [9.0, 9.0, 1.01], 0.99, limits);
    near(d.master_mm, 99.0, 1e-12);
    near(d.cast_mm, 99.99, 1e-12);
    near(d.most_mm - d.least_mm, 0.5, 1e-12);
    // Across the cut comes flash of 0.02 to 0.15 mm.
    let across = dimension(&Dimension { across_cut: true, ..wanted }, [9.0, 9.0, 1.01], 0.99, limits);
    near(across.cast_mm - d.cast_mm, 0.085, 1e-12);
    near(across.least_mm - d.least_mm, 0.02, 1e-12);
    near(across.most_mm - d.most_mm, 0.15, 1e-12);
}

#[test]
fn a_dimension_that_misses_is_told_and_the_offered_master_puts_it_right() {
    let mesh = solids::cuboid(Vec3::new(700.0, 0.0, 0.0), Vec3::new(800.0, 60.0, 40.0));
    let dimension = Dimension { name: "Length".into(), length_mm: 100.0, ..Dimension::default() };
    let job = Job::new(&mesh).with(|plan, _| plan.dimensions.push(dimension));
    let findings = job.findings();
    let off = findings.iter().find(|f| f.code == "size-off").expect("1.1 % of 100 mm is told");
    let Some(Remedy::ScaleMaster(factor)) = off.remedies.first() else { panic!("{off:?}") };
    let master_factor = *factor;
    let put_right = job.with(|plan, _| plan.parts[0].scale = Scale::Nominal { master_factor });
    let report = put_right.report();
    near(report.size.dimensions[0].cast_mm, 100.0, 1e-9);
    assert!(!put_right.codes().contains(&"size-off"));
    // The same mesh read as a master of that scale gives the same cast: part and master are asked once.
    let master = put_right.with(|plan, _| plan.parts[0].scale = Scale::Master { factor: master_factor });
    near(master.report().size.dimensions[0].cast_mm, 100.0, 1e-9);
}
