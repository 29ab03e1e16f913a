//! Discrepancies whose clock runs, with the days that are left.

use chrono::NaiveDate;
use serde::Serialize;

use super::register::Register;

/// A discrepancy that is not settled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RunningCase {
    /// Name.
    pub id: String,
    /// What is different.
    pub what: String,
    /// Opened on.
    pub opened_on: NaiveDate,
    /// Last day.
    pub due: NaiveDate,
    /// Days left; negative where it is over.
    pub days_left: i64,
    /// What runs.
    pub basis: String,
    /// Where that is written.
    pub clause: String,
}

/// Every discrepancy that is not settled on `day`, the first due first.
#[must_use]
pub fn running_cases(register: &Register, day: NaiveDate) -> Vec<RunningCase> {
    register
        .open_cases()
        .into_iter()
        .map(|case| {
            let opened = &case.opened;
            RunningCase {
                id: opened.id.clone(),
                what: format!(
                    "{}: {}: {}",
                    opened.answer.words(),
                    opened.subject,
                    opened.reason.value
                ),
                opened_on: opened.opened_at.local_day(),
                due: opened.clock.due,
                days_left: (opened.clock.due - day).num_days(),
                basis: opened.clock.basis.clone(),
                clause: opened.clock.clause.clone(),
            }
        })
        .collect()
}
