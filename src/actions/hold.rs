//! The hold of a site: who is in it, which reading is due, and the way out.

use serde::Serialize;

use super::ActionError;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{
    ClearanceAsked, HOLDERS, Held, Reread, RunningCase, clear, held, no_such_reading, on_site,
    running_cases, verdict,
};
use crate::inspection::{DueState, HoldOutcome};
use crate::store::{RegisterFolder, plain};

/// A held module.
#[derive(Debug, Clone, Serialize)]
pub struct HoldShown {
    /// Which.
    pub identity: String,
    /// Bay; absent where it stands at the dock.
    pub bay: Option<String>,
    /// Why.
    pub reason: String,
    /// Condition, with what the readings raised.
    pub soundness: String,
    /// Since when.
    pub since: Moment,
    /// Readings so far.
    pub readings: usize,
    /// The last temperature with when it was taken.
    pub last: Option<(Moment, String)>,
    /// Readings that are due: when, and whether that is now.
    pub due: Vec<(Moment, bool)>,
    /// Release cannot be asked for before.
    pub not_before: Moment,
    /// `may_be_offered`, `stays_held`, `escalate`.
    pub outcome: &'static str,
    /// Why.
    pub reasons: Vec<Reason>,
}

/// The hold as it stands.
#[derive(Debug, Clone, Serialize)]
pub struct HoldList {
    /// Modules, the next reading first.
    pub held: Vec<HoldShown>,
    /// Discrepancies that are open, the first due first: name, what, last day, days left.
    pub discrepancies: Vec<RunningCase>,
}

impl HoldList {
    /// Whether a reading is due now, or something must not wait.
    #[must_use]
    pub fn calls(&self) -> bool {
        self.held
            .iter()
            .any(|one| one.outcome == "escalate" || one.due.iter().any(|(_, now)| *now))
            || self.discrepancies.iter().any(|case| case.days_left < 0)
    }
}

/// The hold as it stands at `now`.
///
/// # Errors
/// A register that cannot be opened.
pub fn hold_list(folder: &RegisterFolder, now: Moment) -> Result<HoldList, ActionError> {
    let open = folder.open()?;
    let mut shown: Vec<HoldShown> = Vec::new();
    for item in open.register.on_site() {
        let (Some(hold), Some(verdict)) = (&item.hold, verdict(item, &open.tolerances, now)) else {
            continue;
        };
        shown.push(HoldShown {
            identity: item.arrived.identity.clone(),
            bay: item.bay.clone(),
            reason: hold.reason.clone(),
            soundness: verdict.soundness.word().to_owned(),
            since: hold.since,
            readings: hold.readings.len(),
            last: hold.readings.iter().rev().find_map(|(at, reading)| {
                Some((*at, format!("{} °C", reading.surface_temperature_c?)))
            }),
            due: verdict
                .due
                .iter()
                .filter(|due| due.state != DueState::Taken)
                .map(|due| (due.at, due.state == DueState::Due))
                .collect(),
            not_before: verdict.not_before,
            outcome: match verdict.outcome {
                HoldOutcome::MayBeOffered => "may_be_offered",
                HoldOutcome::StaysHeld => "stays_held",
                HoldOutcome::Escalate => "escalate",
            },
            reasons: verdict.reasons,
        });
    }
    shown.sort_by_key(|one| {
        (
            one.outcome != "escalate",
            one.due.first().map_or(one.not_before, |(at, _)| *at),
        )
    });
    Ok(HoldList {
        held: shown,
        discrepancies: running_cases(&open.register, now.local_day()),
    })
}

/// Records a reading of a held module.
///
/// # Errors
/// A register that cannot be opened or is being written elsewhere.
pub fn reread(
    folder: &RegisterFolder,
    reading: Reread,
    at: Moment,
) -> Result<Result<Vec<Reason>, Vec<Reason>>, ActionError> {
    let by = reading.by.clone();
    let identity = reading.identity.clone();
    let (given, open) = folder.write(at, &by, |open| {
        let mut no = Vec::new();
        no.extend(
            open.site
                .competent(&by, &HOLDERS, at.local_day(), "read a held module")
                .err(),
        );
        let nothing = reading.surface_temperature_c.is_none()
            && reading.terminal_voltage_v.is_none()
            && reading.lowest_cell_v.is_none()
            && reading.gas.is_none()
            && reading.smell.is_none()
            && reading.smoke.is_none()
            && reading.findings.is_empty();
        if nothing {
            no.push(
                Reason::new("reading", "nothing was read")
                    .limit("surface, air, gas, smell and smoke, each time")
                    .way_out("--surface-c, --air-c, --gas, --smell, --smoke, --voltage-v, --lowest-cell-v"),
            );
        }
        no.extend(no_such_reading(&reading));
        for code in &reading.findings {
            no.extend(
                crate::inspection::finding(code)
                    .err()
                    .map(|why| Reason::new("finding", why.to_string())),
            );
        }
        match held(&open.register, &reading.identity) {
            Err(why) => no.push(why),
            Ok(item) => {
                let last = item
                    .hold
                    .as_ref()
                    .and_then(|hold| hold.readings.last().map(|(at, _)| *at).or(Some(hold.since)));
                if last.is_some_and(|last| at < last) {
                    no.push(
                        Reason::new("time of the reading", at.to_string())
                            .limit("after the one before it, and after the hold began")
                            .way_out("enter it with the time at which it was taken"),
                    );
                }
            }
        }
        if no.is_empty() {
            Ok(((), plain(vec![reading.into()])))
        } else {
            Err((no, Vec::new()))
        }
    })?;
    Ok(given.map(|()| {
        open.register
            .item(&identity)
            .and_then(|item| verdict(item, &open.tolerances, at))
            .map(|verdict| verdict.reasons)
            .unwrap_or_default()
    }))
}

/// Puts a module into the hold that something was seen on later.
///
/// # Errors
/// A register that cannot be opened or is being written elsewhere.
pub fn put_in_hold(
    folder: &RegisterFolder,
    holding: Held,
    at: Moment,
) -> Result<Result<Option<String>, Vec<Reason>>, ActionError> {
    let by = holding.by.clone();
    let (given, _) = folder.write(at, &by, |open| {
        let mut no = Vec::new();
        // Anybody of the site may stop a module: competence is asked of whoever lets it out.
        if open.site.people.iter().all(|person| person.id != by) {
            no.push(
                Reason::new(
                    "who may hold a module",
                    format!("`{by}` is nobody of this site"),
                )
                .limit("a person of site.json")
                .way_out(format!(
                    "name yourself as in site.json: {}",
                    open.site
                        .people
                        .iter()
                        .map(|person| person.id.as_str())
                        .collect::<Vec<_>>()
                        .join(", ")
                )),
            );
        }
        let item = match on_site(&open.register, &holding.identity) {
            Ok(item) => item,
            Err(why) => {
                no.push(why);
                return Err((no, Vec::new()));
            }
        };
        if item.hold.is_some() {
            no.push(
                Reason::new(holding.identity.clone(), "is held already")
                    .way_out("add a reading or a finding with `packdown hold reread`"),
            );
        }
        if !no.is_empty() {
            return Err((no, Vec::new()));
        }
        let mut after = open.register.clone();
        let mut events = vec![holding.clone().into()];
        // A fault here would be found as a misfit on reading; the hold itself must not fail.
        let _ = events
            .iter()
            .try_for_each(|event| after.apply(event, at, &by));
        let bay = after
            .item(&holding.identity)
            .and_then(|item| crate::custody::hold_bay(&open.site, &after, item).ok());
        if let Some(to) = &bay {
            events.push(
                crate::custody::Moved {
                    identities: vec![item.arrived.identity.clone()],
                    to: to.clone(),
                    by: by.clone(),
                }
                .into(),
            );
        }
        Ok((bay, plain(events)))
    })?;
    Ok(given)
}

/// Lets a module out of the hold.
///
/// # Errors
/// A register that cannot be opened or is being written elsewhere.
pub fn clear_hold(
    folder: &RegisterFolder,
    asked: &ClearanceAsked,
    at: Moment,
) -> Result<Result<String, Vec<Reason>>, ActionError> {
    let (given, _) = folder.write(at, &asked.by, |open| {
        clear(&open.register, &open.site, &open.tolerances, asked, at)
            .map(|cleared| {
                (
                    cleared.soundness.word().to_owned(),
                    plain(vec![cleared.into()]),
                )
            })
            .map_err(|reasons| (reasons, Vec::new()))
    })?;
    Ok(given)
}
