//! Bench numbers against worked values.

use mouldbench::plan::CastEntry;
use mouldbench::shop::{Resin, Shop, Silicone};
use mouldbench::study::quantities::{
    Mix, ShotVolumes, cast_over_master, growth, master_factor, mixed_density_g_cm3, pool_mm3, rod_diameter_mm, rubber,
    schedule, shortened, shot, uplift_n, weight_on_n,
};

fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "{got} for {expected}");
}

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
fn growth_of_the_cavity_and_the_master_that_cancels_it() {
    // 3·10⁻⁴/K over 47 K: 1.41 % in length, 4.2899 % in volume (handbook range of silicone rubber, from memory).
    let factor = growth(3.0e-4, 23.0, 70.0);
    near(factor, 1.0141, 1e-12);
    near((factor.powi(3) - 1.0) * 100.0, 4.2899, 1e-4);
    // A 100 mm master, rubber set at 23 °C, cast at 70 °C, resin shrinking 0.3 %: 101.10577 mm. Set and cast at the
    // same warmth: 99.7 mm.
    let resin = Resin { mould_c: 70.0, shrinkage_pct: 0.3, ..resin() };
    let mut habits = Shop::bundled().habits;
    (habits.rubber_expansion_per_k, habits.rubber_set_c) = (3.0e-4, 23.0);
    near(100.0 * cast_over_master(&resin, &habits), 101.10577, 1e-9);
    near(cast_over_master(&resin, &habits) * master_factor(&resin, &habits), 1.0, 1e-15);
    habits.rubber_set_c = 70.0;
    near(100.0 * cast_over_master(&resin, &habits), 99.7, 1e-9);
}

#[test]
fn casts_tools_and_days_by_hand() {
    let mut habits = Shop::bundled().habits;
    (habits.casts_a_day, habits.work_day_s) = (2, 28_800.0);
    let plan = |good, log: &[CastEntry], silicone: &Silicone, resin: &Resin| {
        let s = schedule(good, log, silicone, resin, resin.tool_life.0, &habits);
        (s.casts, s.tools, s.casts_a_day, s.rubber_days, s.days)
    };
    let (silicone, resin) = (silicone(), resin());
    // One night of cure, then 10 casts at two a day.
    assert_eq!(plan(10, &[], &silicone, &resin), (10, 1, 2, 1, 6));
    assert_eq!(plan(11, &[], &silicone, &resin), (11, 1, 2, 1, 7));
    assert_eq!(plan(0, &[], &silicone, &resin), (0, 0, 2, 1, 0));
    // Undercuts that halve the tool life of 15 to 25 leave 8 to 13 casts, and never less than one.
    assert_eq!(shortened((15, 25), 0.5), (8, 13));
    assert_eq!(shortened((1, 2), 0.1), (1, 1));
    // 20 casts a block: 45 take three blocks, 10 + 10 + 3 days of casting after the first night.
    assert_eq!(plan(45, &[], &silicone, &resin), (45, 3, 2, 1, 24));
    // Rubber that needs twelve days holds every further block up: ready on days 12 and 24.
    let slow = Silicone { cure_s: 12.0 * 86_400.0, ..silicone.clone() };
    assert_eq!(plan(21, &[], &slow, &resin), (21, 2, 2, 12, 25));
    // A resin that stays five hours in the oven gives one cast in a day of eight.
    let long = Resin { demould_s: 18_000.0, ..resin.clone() };
    assert_eq!(plan(3, &[], &silicone, &long), (3, 1, 1, 1, 4));
    let very_long = Resin { demould_s: 200_000.0, ..resin.clone() };
    assert_eq!(plan(3, &[], &silicone, &very_long).2, 1);
    // Fifteen shots made, one of them scrap: 14 good, five more in the block, the other 6 in a new one that is poured
    // on the first day: 3 days of casting, then 3.
    let mut log: Vec<CastEntry> = (1..=15).map(|shot| CastEntry { shot, good: true, ..CastEntry::default() }).collect();
    log[3].good = false;
    assert_eq!(plan(25, &log, &silicone, &resin), (11, 1, 2, 1, 6));
    assert_eq!(plan(19, &log, &silicone, &resin), (5, 0, 2, 1, 3));
    assert_eq!(plan(10, &log, &silicone, &resin), (0, 0, 2, 1, 0));
}
