//! Numbers as they are said in findings.

/// A volume: cubic centimetres from one on, else whole cubic millimetres, tenths below ten.
pub fn volume(mm3: f64) -> String {
    match mm3 {
        v if v >= 1000.0 => format!("{:.1} cm³", v / 1000.0),
        v if v >= 10.0 => format!("{v:.0} mm³"),
        v => format!("{v:.1} mm³"),
    }
}

/// An area: square centimetres from ten on, else square millimetres.
pub fn area(mm2: f64) -> String {
    if mm2 >= 1000.0 { format!("{:.1} cm²", mm2 / 100.0) } else { format!("{mm2:.0} mm²") }
}

/// A length with one decimal.
pub fn length(mm: f64) -> String {
    format!("{mm:.1} mm")
}
