//! Days that run: to settle a discrepancy, and how long a module may stay.

use chrono::{Days, Months, NaiveDate};

use super::receipt::Clock;
use super::site::{Region, Site};
use super::tolerance::Tolerances;
use crate::battery::Purpose;

/// Text of the rule on discrepancies that was read.
const US_DISCREPANCY: &str = "40 CFR 264.72(b), (c), text of 1 July 2008 (read); a later, longer \
                              period is not used";
/// Text of the rule on the longest stay that was read.
const US_STAY: &str = "40 CFR 273.35(a), copy of 2 January 2025 (read); 273.15(a) for small \
                       handlers (second-hand)";

/// Whether a purpose in words is one for which the goods are waste; an unknown word counts so.
#[must_use]
pub fn is_waste(purpose: &str) -> bool {
    [
        Purpose::PrototypeTest,
        Purpose::Reuse,
        Purpose::SafetyReturn,
        Purpose::Use,
        Purpose::WarrantyReturn,
    ]
    .into_iter()
    .all(|kept| {
        let name = kept.words().replace(' ', "_");
        name != purpose && kept.words() != purpose
    })
}

/// The period to settle a discrepancy found on `received`. `of_count`: pieces differ.
#[must_use]
pub fn discrepancy_clock(
    site: &Site,
    tolerances: &Tolerances,
    purpose: &str,
    of_count: bool,
    received: NaiveDate,
) -> Clock {
    let (own_days, own) = match site.limits.discrepancy_days {
        Some(days) => (days, "site.json, discrepancy_days".to_owned()),
        None => (
            tolerances.discrepancy_days.whole(),
            tolerances.discrepancy_days.basis.clone(),
        ),
    };
    let after = |days: u32| {
        received
            .checked_add_days(Days::new(days.into()))
            .unwrap_or(NaiveDate::MAX)
    };
    let law = site.region == Region::Us && is_waste(purpose) && of_count;
    // With a site that sets a shorter period for itself, the shorter one runs. The project's own
    // default is no reason to shorten the law's.
    if law && site.limits.discrepancy_days.is_none_or(|days| days > 15) {
        return Clock {
            basis: "piece count of waste: settle with generator and carrier within 15 days of \
                    receipt, else a letter to the Regional Administrator (where it came under a \
                    manifest; kept for universal waste too)"
                .into(),
            clause: US_DISCREPANCY.into(),
            due: after(15),
        };
    }
    Clock {
        basis: format!("settle with the sender within {own_days} days of receipt"),
        clause: own,
        due: after(own_days),
    }
}

/// The last day of a module's stay, where any period runs.
#[must_use]
pub fn last_day_of_stay(site: &Site, purpose: &str, received: NaiveDate) -> Option<Clock> {
    let law = (site.region == Region::Us && is_waste(purpose)).then(|| Clock {
        basis: "universal waste: at most one year from receipt".into(),
        clause: US_STAY.into(),
        due: received
            .checked_add_months(Months::new(12))
            .unwrap_or(NaiveDate::MAX),
    });
    let own = site.limits.longest_stay_days.map(|days| Clock {
        basis: format!("the site keeps nothing longer than {days} days"),
        clause: "site.json, longest_stay_days".into(),
        due: received
            .checked_add_days(Days::new(days.into()))
            .unwrap_or(NaiveDate::MAX),
    });
    [law, own]
        .into_iter()
        .flatten()
        .min_by_key(|clock| clock.due)
}
