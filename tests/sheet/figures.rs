//! Figures are rounded once and read as a person would write them.

use mouldbench::sheet::figures::*;

#[test]
fn figures_read_as_written_by_hand() {
    assert_eq!(mass(45.26), "45.3 g");
    assert_eq!(mass(99.96), "100 g");
    assert_eq!(mass(1498.7), "1499 g");
    assert_eq!(bare_mm(-0.04), "0.0");
    assert_eq!(bare_mm(-12.34), "−12.3");
    assert_eq!(mm(20.0), "20.0 mm");
    assert_eq!(volume(18.2), "18 mm³");
    assert_eq!(volume(1340.0), "1.3 cm³");
    assert_eq!(area(492.4), "492 mm²");
    assert_eq!(area(1234.0), "12.3 cm²");
    assert_eq!(time(90.0), "90 s");
    assert_eq!(time(119.6), "2 min");
    assert_eq!(time(181.4), "3 min 1 s");
    assert_eq!(time(360.0), "6 min");
    assert_eq!(time(599.6), "10 min");
    assert_eq!(time(4500.0), "75 min");
    assert_eq!(time(57600.0), "16 h");
    assert_eq!(time(9000.0), "2.5 h");
    assert_eq!(pressure(500.0), "5 mbar");
    assert_eq!(pressure(150.0), "1.5 mbar");
    assert_eq!(pressure(101325.0), "1013 mbar");
    // A pot may be larger, never smaller.
    assert_eq!(litres(6.0), "6.0 l");
    assert_eq!(litres(6.01), "6.1 l");
    assert_eq!(box_mm([160.0, 90.0, 110.4]), "160 × 90 × 110 mm");
    assert_eq!(short_digest("9f2c4e1ab7d05a66"), "9f2c4e1ab7d0");
    for unknown in [mass(f64::NAN), mm(f64::INFINITY), volume(f64::NAN), time(f64::NAN), short_digest("")] {
        assert_eq!(unknown, UNKNOWN);
    }
}
