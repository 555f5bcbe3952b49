//! Heating of a slab and a cube against their series.

use mouldbench::solve::conduction::{missing_in_brick, missing_in_slab, time_to_heat};

/// k = 0.2 W/(m·K), 1100 kg/m³, 1400 J/(kg·K).
const DIFFUSIVITY: f64 = 0.2 / (1100.0 * 1400.0) * 1e6;

#[test]
fn a_slab_and_a_cube_of_rubber() {
    // Carslaw & Jaeger, Conduction of Heat in Solids, §3.4, recomputed: a slab of 50 mm to 10, 5 and 1 % in 82.70, 105.24
    // and 157.55 min; Fourier number 1.312027 at 5 %, 0.502611 for a cube.
    let slab = [50.0, f64::INFINITY, f64::INFINITY];
    for (missing, minutes) in [(0.10, 82.70), (0.05, 105.24), (0.01, 157.55)] {
        let time = time_to_heat(slab, DIFFUSIVITY, missing) / 60.0;
        assert!((time - minutes).abs() < 0.01, "{missing}: {time} for {minutes}");
    }
    let fourier = |sides: [f64; 3]| time_to_heat(sides, DIFFUSIVITY, 0.05) * DIFFUSIVITY / 625.0;
    assert!((fourier(slab) - 1.312027).abs() < 2e-6, "{}", fourier(slab));
    // That of the cube takes the first term alone, which is good to its fifth figure there.
    assert!((fourier([50.0; 3]) - 0.502611).abs() < 1e-5, "{}", fourier([50.0; 3]));
    // Twice as thick takes four times as long, whatever the shape.
    let brick = [130.0, 90.0, 85.0];
    let twice = time_to_heat(brick.map(|s| 2.0 * s), DIFFUSIVITY, 0.05) / time_to_heat(brick, DIFFUSIVITY, 0.05);
    assert!((twice - 4.0).abs() < 1e-9);
    assert!(
        time_to_heat(brick, DIFFUSIVITY, 0.05) < time_to_heat([f64::INFINITY, f64::INFINITY, 85.0], DIFFUSIVITY, 0.05)
    );
    assert_eq!(missing_in_slab(0.0), 1.0);
    assert!((missing_in_slab(0.02) - 1.0).abs() < 1e-4);
    assert!(missing_in_brick(brick, DIFFUSIVITY, 1e7) < 1e-6);
}
