//! Dates of the civil (Gregorian) calendar as counted days, after the usual shift of the year to begin in March (the
//! reckoning of day counts by E. G. Richards, *Mapping Time*, 1998).

/// A day, counted from 1970-01-01.
pub fn day_of(year: i64, month: u32, day: u32) -> i64 {
    let y = if month <= 2 { year - 1 } else { year };
    let era = y.div_euclid(400);
    let of_era = y.rem_euclid(400);
    let month_from_march = i64::from((month + 9) % 12);
    let of_year = (153 * month_from_march + 2) / 5 + i64::from(day) - 1;
    era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468
}

/// Year, month and day of a counted day.
pub fn date_of(day: i64) -> (i64, u32, u32) {
    let z = day + 719_468;
    let era = z.div_euclid(146_097);
    let of_era = z.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let from_march = (5 * of_year + 2) / 153;
    let d = (of_year - (153 * from_march + 2) / 5 + 1) as u32;
    let m = if from_march < 10 { from_march + 3 } else { from_march - 9 } as u32;
    (year_of_era + era * 400 + i64::from(m <= 2), m, d)
}

/// Day of the week, 0 for Monday.
pub fn weekday(day: i64) -> usize {
    // 1970-01-01 was a Thursday.
    (day + 3).rem_euclid(7) as usize
}

/// Reads `YYYY-MM-DD`; none where there is no such date.
pub fn read(text: &str) -> Option<i64> {
    let mut parts = text.trim().split('-');
    let (y, m, d) = (parts.next()?, parts.next()?, parts.next()?);
    let digits = |s: &str, long: usize| s.len() == long && s.bytes().all(|b| b.is_ascii_digit());
    if parts.next().is_some() || !digits(y, 4) || !digits(m, 2) || !digits(d, 2) {
        return None;
    }
    let (y, m, d) = (y.parse().ok()?, m.parse().ok()?, d.parse().ok()?);
    if !(1..=12).contains(&m) || d == 0 {
        return None;
    }
    let day = day_of(y, m, d);
    (date_of(day) == (y, m, d)).then_some(day)
}

/// Writes `YYYY-MM-DD`.
pub fn write(day: i64) -> String {
    let (y, m, d) = date_of(day);
    format!("{y:04}-{m:02}-{d:02}")
}
