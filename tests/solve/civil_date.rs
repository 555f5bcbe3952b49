//! Counted days against the calendar.

use mouldbench::solve::civil_date::{date_of, day_of, read, weekday, write};

#[test]
fn known_days() {
    // POSIX counts from 1970-01-01, a Thursday; 2000-01-01 was day 10 957, a Saturday; 2000-02-29 and 2400-02-29 exist.
    assert_eq!((day_of(1970, 1, 1), weekday(0)), (0, 3));
    assert_eq!((day_of(2000, 1, 1), weekday(10_957)), (10_957, 5));
    assert_eq!(read("2026-01-02").map(weekday), Some(4));
    for good in ["2000-02-29", "2400-02-29", "2028-02-29", "1999-12-31"] {
        assert_eq!(read(good).map(write).as_deref(), Some(good));
    }
    for bad in
        ["", "2026-2-03", "2026-02-30", "1900-02-29", "2026-13-01", "2026-00-10", "2026-01-00", "2026-01-02-03", "x"]
    {
        assert_eq!(read(bad), None, "{bad}");
    }
    // Every day of eight centuries comes back, one after the other.
    let mut before = date_of(day_of(1800, 1, 1) - 1);
    for day in day_of(1800, 1, 1)..day_of(2600, 1, 1) {
        let now = date_of(day);
        assert!(now > before && day_of(now.0, now.1, now.2) == day, "{now:?}");
        before = now;
    }
}
