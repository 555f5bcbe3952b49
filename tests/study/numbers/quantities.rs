//! Bench numbers against worked values.

use super::a_job::{Job, near};
use mouldbench::shop::{Resin, Shop, Silicone};
use mouldbench::study::numbers::quantities::{
    Mix, ShotVolumes, cure_s, mixed_density_g_cm3, pool_mm3, pot_work_s, pots, rod_diameter_mm, rubber, shortened,
    shot, uplift_n, weight_on_n,
};

fn silicone() -> Silicone {
    Silicone {
        loss_share: 0.0,
        density_g_cm3: 1.08,
        foam_factor: 4.0,
        cure_s: 57_600.0,
        ..Shop::bundled().silicones[0].clone()
    }
}

fn resin() -> Resin {
    Resin {
        a_parts: 100.0,
        b_parts: 80.0,
        density_g_cm3: 1.1,
        demould_s: 3600.0,
        tool_life: (20, 25),
        shore_a: 0.0,
        bears_c: 75.0,
        ..Shop::bundled().resins[0].clone()
    }
}

#[test]
fn rubber_round_a_solid_block_by_hand() {
    // 120 × 90 × 70 less 100 × 60 × 40 is 516.0 cm³; at 1.08 g/cm³ 557.28 g; 10 : 1 by mass 506.62 + 50.66 g
    // (mensuration, worked by hand).
    let plain = rubber(756_000.0, 240_000.0, &silicone());
    near(plain.volume_mm3, 516_000.0, 1e-9);
    near(plain.mix.mass_g, 557.28, 1e-9);
    near(plain.mix.a_g, 506.62, 0.005);
    near(plain.mix.b_g, 50.66, 0.005);
    // Four times 516 cm³.
    near(plain.pot_litres, 2.064, 1e-9);
    // A twentieth of the mix stays in the pots: the rest is what the block needs.
    let lossy = rubber(756_000.0, 240_000.0, &Silicone { loss_share: 0.05, ..silicone() });
    near(lossy.mix.mass_g * 0.95, 557.28, 1e-9);
    near(lossy.in_block_g, 557.28, 1e-9);
    near(lossy.mix.a_g + lossy.mix.b_g, lossy.mix.mass_g, 1e-9);
    near(lossy.pot_litres, 2.064 / 0.95, 1e-9);
    // 10 : 1 by volume at 1.10 and 0.98 g/cm³ is 11000 : 980 by mass: 511.69 + 45.59 g, ten per cent less B.
    let by_volume = Mix::by_mass(557.28, 11_000.0, 980.0);
    near(by_volume.a_g, 511.69, 0.005);
    near(by_volume.b_g, 45.59, 0.005);
    assert_eq!(rubber(1.0, 2.0, &silicone()).mix.mass_g, 0.0);
}

#[test]
fn pots_pours_and_cure() {
    assert_eq!((pots(2.0, 10.0), pots(10.0, 10.0), pots(10.1, 10.0), pots(0.0, 10.0)), (1, 1, 2, 1));
    let habits = &Shop::bundled().habits;
    near(pot_work_s(600.0, habits), habits.rubber_mix_s + habits.rubber_degas_s + 600.0 / habits.rubber_pour_g_s, 1e-9);
    // 16 h at 23 °C and 8 h at 40: half way between, √(16·8) = 11.314 h. Nothing below and nothing above the known.
    let warm = Silicone { cure_s: 57_600.0, warm_cures: vec![(40.0, 28_800.0), (60.0, 10_800.0)], ..silicone() };
    near(cure_s(&warm, 31.5) / 3600.0, 128f64.sqrt(), 1e-9);
    near(cure_s(&warm, 23.0), 57_600.0, 1e-9);
    near(cure_s(&warm, 10.0), 57_600.0, 1e-9);
    near(cure_s(&warm, 40.0), 28_800.0, 1e-9);
    near(cure_s(&warm, 60.0), 10_800.0, 1e-9);
    near(cure_s(&warm, 90.0), 10_800.0, 1e-9);
}

#[test]
fn two_pours_and_a_batch_by_hand() {
    // 100 × 60 × 40 in 130 × 90 × 85 (15 below, 30 above): up to 25 mm the rubber is 130·90·25 − 60 000 = 232.5 of
    // 754.5 cm³; loss and density are alike for both.
    let far = glam::Vec3::new(900.0, 20.0, -600.0);
    let mesh = mouldbench::mesh::solids::cuboid(far, far + glam::Vec3::new(100.0, 60.0, 40.0));
    let job = Job::new(&mesh).with(|plan, shop| {
        plan.block.first_pour_mm = Some(25.0);
        plan.block.cure_c = Some(40.0);
        plan.materials.pigment_pct = 2.0;
        plan.diary.blocks_a_batch = 3;
        shop.habits.pot_litres = 1.0;
    });
    let s = job.report().silicone;
    near(s.volume_mm3, 754_500.0, 5.0);
    near(s.pours[0].mass_g / s.mass_g, 232.5 / 754.5, 1e-5);
    near(s.pours[0].mass_g + s.pours[1].mass_g, s.mass_g, 1e-9);
    near(s.pours[0].a_g / s.pours[0].b_g, 10.0, 1e-9);
    near(s.cure_at_s, 2.0 * 28_800.0, 1e-9);
    // 522 cm³ and a twentieth more, four times for the foam: 2.198 litres, three pots of one.
    near(s.each_pot_litres * 3.0, 522.0 / 0.95 * 4.0 / 1000.0, 1e-4);
    assert_eq!(s.pots, 3);
    near((s.pot_a_g + s.pot_b_g) * 3.0, s.pours[1].mass_g, 1e-9);
    let r = job.report().resin;
    near(r.pigment_g, r.shot_g * 0.02, 1e-12);
    near(r.batch_g, 3.0 * r.shot_g, 1e-12);
    near(r.filled_g + r.loss_g, r.shot_g, 1e-12);
    near(r.part_mm3 + r.feed_mm3 + r.vents_mm3, r.cavity_mm3, 1e-6);
    // 240 cm³ of part and a pool of none (no cup without a gate) at 1.1 g/cm³, 15 % more; 100:100.
    near(r.shot_g, 240.0 * 1.1 * 1.15, 1e-3);
    near(r.tolerance_g, r.shot_g / 2.0 * 0.02, 1e-9);
    near(r.cup_litres, r.batch_g / 1.1 / 1000.0 * 3.0, 1e-9);
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]

    /// Twice the size, walls and all, weighs eight times: masses are volumes.
    #[test]
    fn masses_go_with_the_cube(block in 1e5..1e7f64, share in 0.05..0.9f64, scale in 0.2..5.0f64) {
        let cube = scale.powi(3);
        let one = rubber(block, block * share, &silicone());
        let other = rubber(block * cube, block * share * cube, &silicone());
        near(other.mix.mass_g / one.mix.mass_g, cube, 1e-9 * cube);
        near(other.pot_litres / one.pot_litres, cube, 1e-9 * cube);
        let volumes = |k: f64| ShotVolumes { part_mm3: block * k, feed_mm3: 0.1 * block * k, vents_mm3: 0.0, pool_mm3: 1.0 * k };
        let ratio = shot(&volumes(cube), &resin(), 0.15).mix.a_g / shot(&volumes(1.0), &resin(), 0.15).mix.a_g;
        near(ratio, cube, 1e-9 * cube);
    }
}

#[test]
fn density_of_a_mix() {
    // 100 : 80 by mass of 1.05 and 1.20 g/cm³: 180/(100/1.05 + 80/1.20) = 1.111764706 (ideal mixing).
    near(mixed_density_g_cm3(100.0, 1.05, 80.0, 1.20), 1.111764706, 1e-9);
}

#[test]
fn a_shot_by_hand() {
    // Pools 5 deep over mouths of 12 and 2: 5·π/4·(144 + 4) = 581.1946 mm³.
    let pool = pool_mm3(5.0, [12.0, 2.0]);
    near(pool, 581.1946, 1e-4);
    let volumes = ShotVolumes { part_mm3: 30_000.0, feed_mm3: 9_000.0, vents_mm3: 418.8054, pool_mm3: pool };
    near(volumes.sum_mm3(), 40_000.0, 1e-3);
    // 40 cm³ at 1.1 g/cm³ is 44 g; a quarter more is 55 g, 100 : 80 makes 30.5556 + 24.4444 g.
    let shot = shot(&volumes, &resin(), 0.25);
    near(shot.part_g, 33.0, 1e-9);
    near(shot.filled_g, 44.0, 1e-5);
    near(shot.mix.mass_g, 55.0, 1e-5);
    near(shot.mix.a_g, 30.5556, 1e-4);
    near(shot.mix.b_g, 24.4444, 1e-4);
}

#[test]
fn a_hollow_master_floats_and_a_solid_one_sinks() {
    // Box 100 × 60 × 40, wall 2, 1.18 g/cm³: 54.82752 g; it displaces 259.2 g of rubber of 1.08: 2.004209 N up. Solid it
    // sinks with 0.2353596 N. Stuck flat to the floor under 100 mm of rubber: 6.3547092 N down (Archimedes; g 9.80665).
    let skin = 100.0 * 60.0 * 40.0 - 96.0 * 56.0 * 36.0;
    near(skin * 1.18 / 1000.0, 54.82752, 1e-9);
    near(uplift_n(240_000.0, 1.08, skin * 1.18 / 1000.0), 2.004209, 1e-6);
    near(uplift_n(240_000.0, 1.08, 240.0 * 1.18), -0.2353596, 1e-7);
    near(weight_on_n(6_000.0, 100.0, 1.08), 6.3547092, 1e-7);
}

#[test]
fn rods_that_do_not_buckle() {
    // Back from the diameter to Euler's load of a post fixed at one end, π²·E·π·d⁴/64/(2L)².
    let d = rod_diameter_mm(2.004209, 3, 60.0, 2500.0, 3.0);
    let load = std::f64::consts::PI.powi(3) * 2500.0 * d.powi(4) / 64.0 / (120.0f64).powi(2);
    near(load * 3.0, 2.004209 * 3.0, 1e-9);
    assert_eq!(rod_diameter_mm(-1.0, 1, 60.0, 2500.0, 3.0), 0.0);
}

#[test]
fn undercuts_shorten_a_tool_life() {
    // Half of 15 to 25 leaves 8 to 13 casts, and never less than one.
    assert_eq!(shortened((15, 25), 0.5), (8, 13));
    assert_eq!(shortened((1, 2), 0.1), (1, 1));
}
