//! Figures as they are printed: rounded once, with their unit, so that screen, paper and tests say the same.

/// What stands for a figure that is not known.
pub const UNKNOWN: &str = "–";

fn told(value: f64, words: impl FnOnce(f64) -> String) -> String {
    if value.is_finite() && value.abs() < 1e12 { words(value) } else { UNKNOWN.into() }
}

/// A length in millimetres to a tenth, without the unit.
pub fn bare_mm(value: f64) -> String {
    told(value, |v| {
        let text = format!("{v:.1}");
        if text == "-0.0" { "0.0".into() } else { text.replace('-', "−") }
    })
}

/// A depth in whole millimetres, never deeper than it is, without the unit.
pub fn whole_depth(value: f64) -> String {
    told(value, |v| format!("{:.0}", (v + 1e-6).floor().max(0.0)))
}

/// A length in millimetres to a tenth.
pub fn mm(value: f64) -> String {
    told(value, |v| format!("{} mm", bare_mm(v)))
}

/// A small length in millimetres to a hundredth.
pub fn fine_mm(value: f64) -> String {
    told(value, |v| format!("{v:.2} mm"))
}

/// A diameter.
pub fn diameter(value: f64) -> String {
    told(value, |v| format!("Ø {}", bare_mm(v)))
}

/// Three lengths of a box.
pub fn box_mm(size: [f64; 3]) -> String {
    let [a, b, c] = size.map(|v| told(v, |v| format!("{v:.0}")));
    format!("{a} × {b} × {c} mm")
}

/// A mass: to a tenth of a gram below 100 g, to a gram above.
pub fn mass(grams: f64) -> String {
    told(grams, |g| if g < 99.95 { format!("{g:.1} g") } else { format!("{g:.0} g") })
}

/// A force.
pub fn force(newtons: f64) -> String {
    told(newtons, |n| if n.abs() < 9.995 { format!("{n:.2} N") } else { format!("{n:.0} N") })
}

/// An area: mm² below ten cm², cm² to a tenth above.
pub fn area(mm2: f64) -> String {
    told(mm2, |a| if a < 999.5 { format!("{a:.0} mm²") } else { format!("{:.1} cm²", a / 100.0) })
}

/// A volume: mm³ below one cm³, cm³ to a tenth above.
pub fn volume(mm3: f64) -> String {
    told(mm3, |v| if v < 999.5 { format!("{v:.0} mm³") } else { format!("{:.1} cm³", v / 1000.0) })
}

/// A pot's volume in litres, rounded up to a tenth: a pot may be larger, never smaller.
pub fn litres(value: f64) -> String {
    told(value, |v| format!("{:.1} l", (v * 10.0 - 1e-6).ceil() / 10.0))
}

/// A time: seconds below two minutes, minutes and seconds below ten, minutes below two hours, hours above.
pub fn time(seconds: f64) -> String {
    told(seconds, |s| {
        if s < 119.5 {
            return format!("{s:.0} s");
        }
        if s < 599.5 {
            return match (s.round() as u32 / 60, s.round() as u32 % 60) {
                (minutes, 0) => format!("{minutes} min"),
                (minutes, rest) => format!("{minutes} min {rest} s"),
            };
        }
        if s < 7170.0 {
            return format!("{:.0} min", s / 60.0);
        }
        let hours = s / 3600.0;
        if (hours - hours.round()).abs() < 0.05 { format!("{hours:.0} h") } else { format!("{hours:.1} h") }
    })
}

/// A temperature.
pub fn celsius(value: f64) -> String {
    told(value, |v| format!("{v:.0} °C"))
}

/// An absolute pressure, in millibar.
pub fn pressure(pascals: f64) -> String {
    told(pascals, |p| {
        let mbar = p / 100.0;
        if mbar < 9.95 && (mbar - mbar.round()).abs() > 0.05 {
            format!("{mbar:.1} mbar")
        } else {
            format!("{mbar:.0} mbar")
        }
    })
}

/// The first characters of a digest.
pub fn short_digest(digest: &str) -> String {
    if digest.is_empty() { UNKNOWN.into() } else { digest.chars().take(12).collect() }
}
