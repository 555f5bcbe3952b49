//! The open-topped plate against values recomputed by a finite-difference control and by hand.

use mouldbench::solve::plate::{open_top, rigidity};

#[test]
fn coefficients_of_an_open_topped_wall() {
    // w = α·q₀·b⁴/D and M = β·q₀·b², ν = 0.3, by h/b: recomputed apart from this program as Lévy series (Timoshenko &
    // Woinowsky-Krieger, Theory of Plates and Shells), the solver checked there on the uniform square.
    for (h, deflection, moment) in [
        (0.5, 0.002294, 0.01971),
        (2.0 / 3.0, 0.003037, 0.02651),
        (1.0, 0.003679, 0.03356),
        (1.5, 0.004454, 0.04598),
        (2.0, 0.005581, 0.05688),
    ] {
        let got = open_top(h, 0.3);
        assert!((got.deflection / deflection - 1.0).abs() < 0.005, "{h}: {got:?}");
        assert!((got.moment / moment - 1.0).abs() < 0.005, "{h}: {got:?}");
    }
    // Low walls bow most at the free edge, tall ones below the middle.
    assert_eq!(open_top(1.0, 0.3).at, 1.0);
    assert!((open_top(1.5, 0.3).at - 0.45).abs() < 0.03);
    assert!((open_top(2.0, 0.3).at - 0.4).abs() < 0.03);
}

#[test]
fn a_very_tall_plate_is_a_beam_across() {
    // Far from both ends a tall plate bends as a strip of the width: 5/384·q·b⁴/D under the local load. At h = 40·b the
    // load still falls along it, so that the largest comes near the foot: within two per cent of the strip there.
    let tall = open_top(40.0, 0.3);
    let strip = 5.0 / 384.0 * (1.0 - tall.at);
    assert!((tall.deflection / strip - 1.0).abs() < 0.02, "{tall:?} / {strip}");
    assert!(tall.deflection < 5.0 / 384.0 && tall.deflection > 0.9 * 5.0 / 384.0);
    // A very low one is hardly loaded.
    assert!(open_top(0.01, 0.3).deflection < 1e-4);
    // 6 mm of 3 GPa: 59.34 N·m.
    assert!((rigidity(3000.0, 6.0, 0.3) / 59_340.659 - 1.0).abs() < 1e-6);
}
