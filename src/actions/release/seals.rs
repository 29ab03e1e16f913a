//! Seals: one on every package, the same in the record, at the vehicle and in what is said.

use std::collections::BTreeSet;

use super::load::Load;
use crate::citation::Reason;
use crate::job::Contents;

/// A seal that is whole is what custody rests on while nobody looks (EPA Region V 1978,
/// second-hand).
const CLAUSE: &str = "procedure Z05, Z06: seals are part of the hand-over";

/// The seal of a package, as sealed and as said; a reason where it has none or two.
pub(super) fn seal_of(load: &mut Load<'_>, package: &Contents) -> Option<String> {
    let said = load
        .said
        .seals
        .iter()
        .rfind(|(of, _)| *of == package.package)
        .map(|(_, seal)| seal.clone());
    match (said, package.seal.clone()) {
        (Some(said), Some(sealed)) if said != sealed => {
            load.refused.push(
                Reason::new(format!("seal on package {}", package.package), said)
                    .limit(format!("{sealed}, as it was sealed"))
                    .clause(CLAUSE)
                    .way_out(
                        "if it was opened, enter why and by whom, and seal it again in the record",
                    ),
            );
            None
        }
        (None, None) => {
            load.refused.push(
                Reason::new(format!("seal on package {}", package.package), "none")
                    .limit("a numbered seal on every package")
                    .clause(CLAUSE)
                    .way_out("seal it, and say it with --seal PACKAGE=NUMBER"),
            );
            None
        }
        (said, sealed) => said.or(sealed),
    }
}

impl Load<'_> {
    /// The seals that were read at the vehicle are those of the packages, no more and no fewer.
    pub(super) fn seals_of_the_record(&mut self, leaving: &[Contents]) {
        let all = self.open.job.contents();
        if leaving.len() != all.len() {
            // They were read for the whole load.
            return;
        }
        let Some(loaded) = self.loaded else {
            return;
        };
        let read: BTreeSet<&str> = loaded.texts("seals").into_iter().collect();
        let sealed: BTreeSet<&str> = all.iter().filter_map(|one| one.seal.as_deref()).collect();
        if !read.is_empty() && read != sealed {
            let list =
                |seals: &BTreeSet<&str>| seals.iter().copied().collect::<Vec<_>>().join(", ");
            self.refused.push(
                Reason::new("seals read at the vehicle", list(&read))
                    .limit(format!("those on the packages: {}", list(&sealed)))
                    .clause(CLAUSE)
                    .way_out("read them again on every package; correct the entry that is wrong"),
            );
        }
        let twice: Vec<&str> = sealed
            .iter()
            .copied()
            .filter(|seal| {
                all.iter()
                    .filter(|one| one.seal.as_deref() == Some(*seal))
                    .count()
                    > 1
            })
            .collect();
        if !twice.is_empty() {
            self.refused.push(
                Reason::new("seals on several packages", twice.join(", "))
                    .limit("a seal of its own on every package")
                    .clause(CLAUSE)
                    .way_out("read the seals again and correct the entry that is wrong"),
            );
        }
    }
}
