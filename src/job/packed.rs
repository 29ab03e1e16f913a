//! What the rules say of a package while it still stands open beside the one who packed it.

use std::collections::BTreeSet;

use super::Job;
use crate::procedure::{Act, Entry, Kind};
use crate::transport::{Answer, PackageAnswer, decide};

impl Job {
    /// Why what was just packed, marked or sealed may not travel so, in words; empty where nothing
    /// is against it yet, and for any other entry. It is said at issue again: told here, it costs a
    /// box, not a second visit.
    #[must_use]
    pub fn against_package(&self, entry: &Entry) -> Vec<String> {
        let frame = self.frame();
        let step = entry.step.as_deref().and_then(|id| frame.step(id));
        let is_packing = step.is_some_and(|step| {
            [Act::Pack, Act::MarkPackage, Act::EnterOnManifest]
                .iter()
                .any(|act| step.acts.contains(act))
        });
        let module = entry
            .module
            .as_deref()
            .and_then(|id| frame.modules.iter().position(|module| module.id == id));
        let (Kind::Step, true, Some(module)) = (entry.kind, is_packing, module) else {
            return Vec::new();
        };
        let mut told = BTreeSet::new();
        for leg in &self.plan().route {
            let decision = decide(&self.facts(module, leg));
            let against = if decision.package.answer == PackageAnswer::Refused {
                decision.package.reasons
            } else if decision.answer == Answer::Forbidden {
                decision.reasons
            } else {
                continue;
            };
            let edition = &decision.edition;
            told.extend(against.iter().map(|reason| format!("{edition}: {reason}")));
        }
        told.into_iter().collect()
    }
}
