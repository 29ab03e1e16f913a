//! Judges every battery of an input for each leg, with reasons, and counts the answers.

use std::path::Path;

use serde::Serialize;

use crate::store::StoreError;
use crate::store::facts::{Form, Said, Source, each_of};
use crate::transport::{Answer, Decision, Facts, PackageAnswer, Reworded, decide};

/// How many came to which answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Tally {
    /// Answers given: batteries times legs.
    pub judged: u64,
    /// Allowed without any duty.
    pub allowed: u64,
    /// Allowed if everything named is done.
    pub allowed_with: u64,
    /// Not determined.
    pub not_determined: u64,
    /// Forbidden.
    pub forbidden: u64,
    /// Packages that were described and are refused.
    pub packages_refused: u64,
    /// Packages that were described and about which something is not known.
    pub packages_open: u64,
}

/// The worst that was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Worst {
    /// Nothing was refused and nothing is open.
    Allowed,
    /// A battery or a package is not determined.
    NotDetermined,
    /// A battery is forbidden, or a described package refused.
    Refused,
}

impl Tally {
    pub(super) fn count(&mut self, answer: Answer, package: Option<PackageAnswer>, times: u64) {
        self.judged += times;
        *match answer {
            Answer::Allowed => &mut self.allowed,
            Answer::AllowedWith => &mut self.allowed_with,
            Answer::NotDetermined => &mut self.not_determined,
            Answer::Forbidden => &mut self.forbidden,
        } += times;
        match package {
            Some(PackageAnswer::Refused) => self.packages_refused += times,
            Some(PackageAnswer::NotDetermined) => self.packages_open += times,
            Some(PackageAnswer::Accepted) | None => {}
        }
    }

    /// The worst of it.
    #[must_use]
    pub const fn worst(&self) -> Worst {
        if self.forbidden > 0 || self.packages_refused > 0 {
            Worst::Refused
        } else if self.not_determined > 0 || self.packages_open > 0 {
            Worst::NotDetermined
        } else {
            Worst::Allowed
        }
    }
}

/// The answer for the package, where one is described.
pub(super) fn described(facts: &Facts, decision: &Decision) -> Option<PackageAnswer> {
    facts.package.as_ref().map(|_| decision.package.answer)
}

/// Judges each battery of `input` and hands facts and decision to `each`, in order; gives the form
/// that the input has, and the count.
///
/// # Errors
/// An input that cannot be read; whatever `each` gives.
pub fn classify<E: From<StoreError>>(
    input: &Path,
    said: &Said,
    each: &mut dyn FnMut(Form, &Facts, Decision) -> Result<(), E>,
) -> Result<(Form, Tally), E> {
    let mut tally = Tally::default();
    let form = each_of(Source::open(input)?, said, &mut |form,
                                                         facts|
     -> Result<(), E> {
        for facts in said.legs_of(facts) {
            let decision = decide(&facts).for_reader(said.reader);
            tally.count(decision.answer, described(&facts, &decision), 1);
            each(form, &facts, decision)?;
        }
        Ok(())
    })?;
    Ok((form, tally))
}
