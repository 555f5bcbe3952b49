//! The record of the pours: pots, weights, degassing and cure of a box of 100 × 60 × 40 in a block of 140 × 100 × 85.

use super::a_job::{Job, near};
use glam::Vec3;
use mouldbench::mesh::solids;
use mouldbench::study::numbers::figures::SiliconeReport;

fn job() -> Job {
    Job::new(&solids::cuboid(Vec3::ZERO, Vec3::new(100.0, 60.0, 40.0))).with(|plan, _| {
        (plan.block.wall_mm, plan.block.below_mm, plan.block.above_mm) = (Some(20.0), Some(15.0), Some(30.0));
    })
}

/// All that is poured is what is mixed, and every figure beside the pours is one of theirs.
fn adds_up(s: &SiliconeReport) {
    let sum =
        |of: &dyn Fn(&mouldbench::study::numbers::figures::PourReport) -> f64| s.pours.iter().map(of).sum::<f64>();
    near(sum(&|p| p.pot_a_g * f64::from(p.pots)), s.a_g, 1e-6);
    near(sum(&|p| p.pot_b_g * f64::from(p.pots)), s.b_g, 1e-6);
    near(sum(&|p| p.pot_g * f64::from(p.pots)), s.mass_g, 1e-6);
    near(sum(&|p| p.cure_s), s.cure_at_s, 1e-6);
    let largest = s.pours.iter().max_by(|a, b| a.mass_g.total_cmp(&b.mass_g)).expect("a pour");
    assert_eq!(s.pots, largest.pots);
    near(s.each_pot_litres, largest.pot_litres, 0.0);
}

#[test]
fn pots_and_pours_add_up_and_foam_is_where_the_rubber_is_degassed() {
    // 140·100·85 less 240 cm³ is 950 cm³ of rubber; 5 % stay in the pots: 1000 cm³ to mix.
    let cold = job().report().silicone;
    adds_up(&cold);
    let litres = |s: &SiliconeReport| s.pours.iter().map(|p| p.pot_litres * f64::from(p.pots)).sum::<f64>();
    let foam = job().plan.silicone(&job().shop).foam_factor;
    near(litres(&cold), 1.0 * foam, 1e-6);
    assert!(!cold.degas_in_box && cold.pours.len() == 1);
    // Pots of 2.5 litres: as many as the foam needs, 4 litres of it at a foam of four.
    let small = job().with(|_, shop| shop.habits.pot_litres = 2.5).report().silicone;
    adds_up(&small);
    assert_eq!(small.pours[0].pots, (foam / 2.5).ceil() as u32);
    // Degassed in the box there is no foam in the pot: one pot of a litre.
    let in_box = job()
        .with(|plan, shop| {
            plan.block.degas_in_box = true;
            shop.habits.pot_litres = 2.5;
        })
        .report()
        .silicone;
    adds_up(&in_box);
    assert!(in_box.degas_in_box && in_box.pours[0].pots == 1);
    near(litres(&in_box), 1.0, 1e-6);
}

#[test]
fn two_warm_pours_each_have_their_weight_and_their_cure() {
    let warm = |first: Option<f64>| {
        let job = job().with(|plan, _| {
            plan.block.first_pour_mm = first;
            plan.block.cure_c = Some(40.0);
        });
        job.report().silicone
    };
    let (one, two) = (warm(None), warm(Some(15.0)));
    adds_up(&one);
    adds_up(&two);
    assert_eq!((one.pours.len(), two.pours.len()), (1, 2));
    near(two.cure_c, 40.0, 0.0);
    near(two.pours[0].cure_s, one.pours[0].cure_s, 1e-9);
    assert!(two.pours[0].cure_s < two.cure_s, "warm is quicker than {} s", two.cure_s);
    // Up to the part's lowest face the first pour is all rubber: 140·100·15 of 950 cm³.
    near(two.pours[0].mass_g, two.mass_g * 210.0 / 950.0, 0.5);
}
