//! A phase as an operational period: when it begins and ends, as the forms write it.

use time::{Date, Duration, Month, PrimitiveDateTime, Time};

use crate::model::{Phase, Verified};

/// A phase on the clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Period {
    /// When it begins, or `None` where the plan says nothing that can be read as a time.
    start: Option<PrimitiveDateTime>,
    /// What the plan says.
    said: String,
    length: Duration,
}

impl Period {
    /// Reads the period of a phase.
    pub fn of(phase: &Phase) -> Self {
        Self {
            start: read(&phase.start),
            said: phase.start.clone(),
            length: Duration::minutes((phase.hours * 60.0).round() as i64),
        }
    }

    /// Tells whether the plan says when it begins, as a time that can be counted from.
    pub fn has_start(&self) -> bool {
        self.start.is_some()
    }

    /// Returns dates and times as block 3 of the forms takes them: month/day/year and a 24-hour clock.
    ///
    /// Source: FEMA ICS forms booklet, 502-2 (2010): 24-hour clock, month/day/year.
    pub fn words(&self) -> String {
        let hours = self.length.as_seconds_f64() / 3600.0;
        let hours = (hours * 100.0).round() / 100.0;
        match self.start.map(|from| (from, from.checked_add(self.length))) {
            Some((from, Some(to))) => format!(
                "From {} {} to {} {} ({hours} h)",
                date(from),
                clock(from),
                date(to),
                clock(to)
            ),
            Some((from, None)) => format!("From {} {} for {hours} h", date(from), clock(from)),
            None if self.said.trim().is_empty() => {
                format!("{hours} h; begins ______________")
            }
            None => format!("From {} for {hours} h", self.said.trim()),
        }
    }

    /// Returns the time on the clock so many hours after the beginning; "9:00 h from the start" where nobody
    /// said when it begins.
    pub fn after(&self, hours: f64) -> String {
        let later = Duration::minutes((hours * 60.0).floor() as i64);
        match self
            .start
            .and_then(|from| Some((from, from.checked_add(later)?)))
        {
            // Within a day of the beginning the clock alone says which time is meant.
            Some((from, then)) if then - from < Duration::DAY => clock(then),
            Some((_, then)) => format!("{} {}", date(then), clock(then)),
            None => {
                let minutes = later.whole_minutes();
                format!("{}:{:02} h from the start", minutes / 60, minutes % 60)
            }
        }
    }
}

/// Writes a day kept as YYYY-MM-DD as the forms do, month/day/year, with its time where one is kept;
/// what is no day stays as it is.
pub fn day_words(text: &str) -> String {
    if let Some(at) = read(text) {
        return format!("{} {}", date(at), clock(at));
    }
    read(&format!("{} 00:00", text.trim())).map_or_else(|| text.trim().to_owned(), date)
}

/// Writes when something was signed, with the time of day where it is noted.
pub fn signed_when(signed: &Verified) -> String {
    let words = format!("{} {}", day_words(&signed.on), signed.at);
    words.trim().to_owned()
}

fn read(text: &str) -> Option<PrimitiveDateTime> {
    let (day, hour) = text.trim().split_once([' ', 'T'])?;
    let mut parts = day.split('-').map(str::parse::<i32>);
    let (year, month, day) = (
        parts.next()?.ok()?,
        parts.next()?.ok()?,
        parts.next()?.ok()?,
    );
    let month = Month::try_from(u8::try_from(month).ok()?).ok()?;
    let date = Date::from_calendar_date(year, month, u8::try_from(day).ok()?).ok()?;
    let mut parts = hour.trim().split(':').map(str::parse::<u8>);
    let time = Time::from_hms(parts.next()?.ok()?, parts.next()?.ok()?, 0).ok()?;
    Some(PrimitiveDateTime::new(date, time))
}

fn date(at: PrimitiveDateTime) -> String {
    format!(
        "{:02}/{:02}/{:04}",
        u8::from(at.month()),
        at.day(),
        at.year()
    )
}

fn clock(at: PrimitiveDateTime) -> String {
    format!("{:02}:{:02}", at.hour(), at.minute())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn period(start: &str, hours: f64) -> Period {
        Period {
            start: read(start),
            said: start.to_owned(),
            length: Duration::minutes((hours * 60.0).round() as i64),
        }
    }

    #[test]
    fn a_period_goes_over_midnight_and_over_leap_days() {
        assert_eq!(
            period("2031-10-18 19:00", 12.0).words(),
            "From 10/18/2031 19:00 to 10/19/2031 07:00 (12 h)"
        );
        // 2028 is a leap year (Gregorian calendar).
        assert_eq!(
            period("2028-02-28 22:30", 26.5).words(),
            "From 02/28/2028 22:30 to 03/01/2028 01:00 (26.5 h)"
        );
    }

    #[test]
    fn what_is_no_time_is_printed_as_it_is() {
        assert_eq!(
            period("after lunch", 4.0).words(),
            "From after lunch for 4 h"
        );
        assert_eq!(period("", 4.0).words(), "4 h; begins ______________");
        assert_eq!(
            period("2031-02-30 10:00", 1.0).words(),
            "From 2031-02-30 10:00 for 1 h"
        );
    }

    #[test]
    fn days_are_written_as_the_forms_write_them() {
        assert_eq!(day_words("2031-10-18"), "10/18/2031");
        assert_eq!(day_words("2031-10-18 07:05"), "10/18/2031 07:05");
        assert_eq!(day_words("yesterday"), "yesterday");
        assert_eq!(day_words(""), "");
    }

    #[test]
    fn times_into_the_period_round_down_so_that_nobody_changes_late() {
        let p = period("2031-10-18 19:00", 12.0);
        assert_eq!(p.after(2.999), "21:59");
        assert_eq!(p.after(9.0), "04:00");
        assert_eq!(p.after(25.0), "10/19/2031 20:00");
        assert_eq!(period("", 12.0).after(9.5), "9:30 h from the start");
    }
}
