//! Colours: even ramp, contrast, round marks.

use mouldbench::view::furniture;
use mouldbench::view::palette::{self, Colour, Scale, Theme};

#[test]
fn the_ramp_rises_evenly_in_lightness() {
    let light: Vec<f32> = (0..=20).map(|i| palette::ramp(i as f32 / 20.0).lightness()).collect();
    let mean = (light[20] - light[0]) / 20.0;
    assert!(mean > 2.5, "from dark to light: {light:?}");
    for w in light.windows(2) {
        assert!((w[1] - w[0] - mean).abs() < 0.6 * mean, "uneven step {} among {mean}: {light:?}", w[1] - w[0]);
    }
    assert_eq!(palette::ramp(-3.0), palette::ramp(0.0));
    assert_eq!(palette::ramp(f32::NAN), palette::ramp(0.0));
    assert_eq!(palette::ramp(9.0), palette::ramp(1.0));
}

/// IEC 61966-2-1 and WCAG 2.2: white on black is 21, mid grey 188 is half the light, L* of 119 is 50.
#[test]
fn measures_of_colour_agree_with_their_standards() {
    assert!((palette::BLACK.contrast(palette::WHITE) - 21.0).abs() < 1e-4);
    assert!((Colour::new(188, 188, 188).linear()[0] - 0.5).abs() < 0.005);
    assert!((Colour::new(119, 119, 119).lightness() - 50.0).abs() < 0.2);
    for v in 0..=255u8 {
        let c = Colour::new(v, 255 - v, v / 2);
        assert_eq!(Colour::from_linear(c.linear()), c);
    }
}

/// WCAG 2.2, 1.4.3: at least 4.5 for text.
#[test]
fn letters_stand_out() {
    for theme in [Theme::LIGHT, Theme::DARK] {
        assert!(theme.ink.contrast(theme.ground_top) > 4.5 && theme.ink.contrast(theme.ground_bottom) > 4.5);
    }
    for c in [
        palette::FEED,
        palette::VENT,
        palette::INSERT,
        palette::TRAPPED_AIR,
        palette::HALF_1,
        palette::HALF_2,
        palette::BLUE,
    ] {
        assert!(c.contrast(furniture::text_on(c)) > 4.5, "{c:?}");
    }
}

#[test]
fn marks_and_scale_bars_are_round() {
    let round = |v: f64| {
        let m = v / 10f64.powf(v.log10().floor());
        [1.0, 2.0, 5.0, 10.0].iter().any(|k| (m - k).abs() < 1e-4)
    };
    for (low, high) in [(0.0, 1.0), (0.3, 7.9), (-5.0, 12.0), (118.0, 131.0), (0.0, 0.004)] {
        let marks = Scale { low, high }.marks(6);
        assert!((2..=6).contains(&marks.len()), "{low}..{high}: {marks:?}");
        assert!(marks.iter().all(|m| *m >= low - 1e-5 && *m <= high + 1e-5));
        let step = (marks[1] - marks[0]) as f64;
        assert!(round(step), "{low}..{high} in steps of {step}");
        assert!(marks.windows(2).all(|w| ((w[1] - w[0]) as f64 - step).abs() < 1e-4 * step.max(1e-3)));
    }
    for px_per_mm in [0.013, 0.7, 1.0, 6.3, 512.0] {
        let (mm, px) = furniture::scale_bar(px_per_mm, 120.0).expect("a scale");
        assert!(round(mm) && px <= 120.0 + 1e-6 && px > 120.0 / 2.6, "{mm} mm is {px} px");
        assert!((px - mm * px_per_mm).abs() < 1e-9);
    }
    assert_eq!(furniture::scale_bar(0.0, 120.0), None);
}
