//! The training matrix: who is shown able for what, until when, and what each signed.
//!
//! The gate keeps the untrained from signing: a step by somebody without the role in date is refused,
//! and so is a load signed away by somebody who is not trained for dangerous goods.
//! This shows it, over all jobs, and who runs out next.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::checks::people::signer;
use super::inspector::SHIPPING_ROLES;
use super::{Dossier, Side};
use crate::custody::GIVERS;
use crate::procedure::{Competence, Person, Role};

/// Days before the last day at which a competence is said to run out. A setting of this project.
const SOON_DAYS: u64 = 90;

/// How a competence stands on the day of the audit.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum InDate {
    /// Past its last day: the gate refuses every step in this role.
    Expired,
    /// Within 90 days of it.
    RunsOut,
    /// In date.
    InDate,
}

impl InDate {
    /// The words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Expired => "EXPIRED, may not sign",
            Self::RunsOut => "runs out",
            Self::InDate => "in date",
        }
    }
}

/// One person in one role.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Trained {
    /// Name on papers.
    pub person: String,
    /// Firm; empty where the plan does not say.
    pub organisation: String,
    /// The role.
    pub role: String,
    /// The task and equipment it covers.
    pub covers: String,
    /// Last day.
    pub until: NaiveDate,
    /// How that stands on the day of the audit.
    pub stands: InDate,
    /// Steps and loads that the person signed in this role.
    pub signed: u64,
    /// Of these after the last day, by the record; each is a finding.
    pub signed_after: u64,
}

/// The matrix over all jobs.
#[derive(Debug, Default)]
pub struct TrainingMatrix {
    rows: BTreeMap<(bool, String, String, Role), Trained>,
}

impl TrainingMatrix {
    /// Adds what one job shows. A later last day of the same person and role counts.
    pub fn add(&mut self, rows: Vec<(Role, Trained)>) {
        for (role, row) in rows {
            let later = !SHIPPING_ROLES.contains(&role);
            let key = (later, row.person.clone(), row.organisation.clone(), role);
            match self.rows.get_mut(&key) {
                Some(known) => {
                    known.signed += row.signed;
                    known.signed_after += row.signed_after;
                    if row.until > known.until {
                        known.until = row.until;
                        known.stands = row.stands;
                        known.covers = row.covers;
                    }
                }
                None => {
                    self.rows.insert(key, row);
                }
            }
        }
    }

    /// The rows: roles of dangerous goods first, as an inspector asks; then by person.
    #[must_use]
    pub fn rows(self) -> Vec<Trained> {
        self.rows.into_values().collect()
    }
}

/// What one job shows of its people.
#[must_use]
pub fn trained(dossier: &Dossier) -> Vec<(Role, Trained)> {
    let mut found = Vec::new();
    for person in &dossier.frame().people {
        for competence in &person.competences {
            let signed: Vec<NaiveDate> = dossier
                .passed()
                .filter(|one| one.entry.by == person.id)
                .filter(|one| {
                    // The role by which the gate lets the person pass: the first that fits.
                    let day = one.entry.at.local_day();
                    dossier
                        .step_of(one)
                        .and_then(|step| {
                            person.competence(&step.role, day).or_else(|| {
                                person
                                    .competences
                                    .iter()
                                    .find(|had| step.role.contains(&had.role))
                            })
                        })
                        .is_some_and(|used| used == competence)
                })
                .map(|one| one.entry.at.local_day())
                .chain(signed_away(dossier, person, competence))
                .collect();
            let after = signed
                .iter()
                .filter(|day| **day > competence.expires_on)
                .count();
            found.push((
                competence.role,
                Trained {
                    person: person.name.clone(),
                    organisation: person.organisation.clone().unwrap_or_default(),
                    role: competence.role.words().to_owned(),
                    covers: competence.covers.clone(),
                    until: competence.expires_on,
                    stands: stands(competence.expires_on, dossier.day),
                    signed: u64::try_from(signed.len()).unwrap_or(u64::MAX),
                    signed_after: u64::try_from(after).unwrap_or(u64::MAX),
                },
            ));
        }
    }
    found
}

/// Days of the loads that the person signed away in this role.
fn signed_away<'d>(
    dossier: &'d Dossier,
    person: &'d Person,
    competence: &'d Competence,
) -> impl Iterator<Item = NaiveDate> + 'd {
    let gave = dossier
        .exchanges
        .iter()
        .filter(|one| one.side == Side::Gave);
    gave.filter(|one| signer(dossier, &one.from).is_some_and(|by| by.id == person.id))
        .map(|one| one.at.local_day())
        .filter(|day| {
            let any = || {
                person
                    .competences
                    .iter()
                    .find(|had| GIVERS.contains(&had.role))
            };
            person.competence(&GIVERS, *day).or_else(any) == Some(competence)
        })
}

fn stands(until: NaiveDate, day: NaiveDate) -> InDate {
    let soon = day.checked_add_days(Days::new(SOON_DAYS));
    if until < day {
        InDate::Expired
    } else if soon.is_some_and(|soon| until < soon) {
        InDate::RunsOut
    } else {
        InDate::InDate
    }
}
