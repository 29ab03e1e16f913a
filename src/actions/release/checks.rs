//! What must agree before a load leaves: papers, packages, counts, decisions.

use std::collections::{BTreeMap, BTreeSet};

use super::load::Load;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{GIVERS, GIVERS_CLAUSE, Handover, PaperHanded};
use crate::job::{Contents, PAPERS_ISSUED, PapersBody, Verdict};
use crate::ledger::LogEntry;
use crate::procedure::Role;
use crate::transport::{Answer, PackageAnswer};

impl Load<'_> {
    /// The papers that go with the load: of each the newest issue.
    pub(super) fn papers(&mut self) -> Vec<PaperHanded> {
        let entries = self.log().entries();
        let mut newest: BTreeMap<String, (String, u32, bool, u64)> = BTreeMap::new();
        for (entry, body) in entries.iter().filter_map(|e| Some((e, papers_body(e)?))) {
            for (name, sha256) in body.papers {
                newest.insert(name, (sha256, body.issue, body.draft, entry.seq));
            }
        }
        let way_out = "`packdown issue` issues them; then hand over";
        let has_manifest = newest.keys().any(|name| name.starts_with("manifest."));
        if !has_manifest || newest.values().any(|(_, _, draft, _)| *draft) {
            self.refused.push(
                Reason::new(
                    "papers of the load",
                    if has_manifest { "drafts" } else { "not issued" },
                )
                .limit("an issue that is no draft, the manifest among it")
                .way_out(way_out),
            );
            return Vec::new();
        }
        let oldest = newest.values().map(|(_, _, _, seq)| *seq).min();
        let changed = entries
            .iter()
            .filter(|entry| Some(entry.seq) > oldest)
            .find(|entry| matches!(entry.kind.as_str(), "correction" | "late_entry"));
        if let Some(entry) = changed {
            let kind = entry.kind.replace('_', " ");
            self.refused.push(
                Reason::new(
                    "papers of the load",
                    format!("issued before the {kind} in entry {}", entry.seq),
                )
                .limit("papers that say what the record says")
                .way_out(way_out),
            );
        }
        newest
            .into_iter()
            .map(|(name, (sha256, issue, ..))| PaperHanded {
                name,
                sha256,
                issue,
            })
            .collect()
    }

    /// The packages that leave now.
    pub(super) fn leaving(&mut self, earlier: &[Handover]) -> Vec<Contents> {
        let left: BTreeSet<&str> = earlier
            .iter()
            .flat_map(|handover| &handover.packages)
            .map(|package| package.id.as_str())
            .collect();
        let all = self.job().contents();
        for id in &self.said.packages {
            if !all.iter().any(|one| one.package == *id) {
                let known: Vec<&str> = all.iter().map(|one| one.package.as_str()).collect();
                self.refused.push(
                    Reason::new("package", id.clone())
                        .limit(format!("one of {}", known.join(", ")))
                        .way_out("look at the label"),
                );
            }
        }
        let asked = |id: &String| self.said.packages.is_empty() || self.said.packages.contains(id);
        let again = self.said.again.is_some();
        let mut leaving = Vec::new();
        let mut gone = Vec::new();
        for one in all.into_iter().filter(|one| asked(&one.package)) {
            if left.contains(one.package.as_str()) && !again {
                gone.push(one.package);
            } else {
                leaving.push(one);
            }
        }
        if leaving.is_empty() || !self.said.packages.is_empty() && !gone.is_empty() {
            self.refused.push(
                Reason::new(
                    "packages to hand over",
                    if gone.is_empty() {
                        "none".to_owned()
                    } else {
                        format!("{} left before", gone.join(", "))
                    },
                )
                .limit("packages that have not left yet")
                .way_out(
                    "if they came back, say why with --again; `--rewrite NUMBER` writes the bundle \
                     of an earlier hand-over once more",
                ),
            );
        }
        leaving
    }

    /// Counts: packages as counted at the vehicle, modules as removed.
    pub(super) fn counted(&mut self, leaving: &[Contents]) {
        if leaving.is_empty() {
            return;
        }
        let counted = self.said.count.or_else(|| {
            let whole = self.signed_over?.evidence.number("packages")?.as_whole()?;
            u32::try_from(whole).ok()
        });
        // The entry of signing over counts the whole load; a part of it is counted anew.
        let packed = leaving.len();
        match counted {
            None => self.missing.push(
                Reason::new("packages counted at the hand-over", "not said")
                    .limit("counted by both")
                    .way_out("count them and say it with --count"),
            ),
            Some(counted) if usize::try_from(counted).ok() != Some(packed) => {
                self.refused.push(
                    Reason::new("packages counted at the hand-over", counted.to_string())
                        .limit(format!("{packed}, as the record packs them"))
                        .clause("procedure Z05, Z06: the count is part of the hand-over")
                        .way_out("count again; find the missing one before anything leaves"),
                );
            }
            Some(_) => {}
        }
        let job = self.job();
        let packed: BTreeSet<usize> = job
            .contents()
            .iter()
            .flat_map(|one| one.modules.clone())
            .collect();
        for module in 0..job.frame().modules.len() {
            if job.progress().is_lifted(job.frame(), module) && !packed.contains(&module) {
                self.refused.push(
                    Reason::new("module", job.identity(module).0)
                        .limit("every removed module in a package")
                        .way_out("pack it, or find where it is"),
                );
            }
        }
    }

    /// Whoever signs the load away is a person of the plan, trained for the carriage of dangerous goods
    /// and in date on the day. Who takes it over answers to his own firm.
    pub(super) fn signer(&mut self, name: &str) {
        let day = self
            .said
            .at
            .or_else(|| Some(self.signed_over?.at))
            .unwrap_or_else(Moment::present)
            .local_day();
        let same = |one: &str| one.to_lowercase() == name.to_lowercase();
        let crew = &self.job().plan().people;
        let known = crew.iter().find(|one| same(&one.name) || same(&one.id));
        let value = match known {
            _ if name.is_empty() => return,
            Some(person) if person.competence(&GIVERS, day).is_some() => return,
            Some(person) => {
                let mut had = person
                    .competences
                    .iter()
                    .filter(|one| GIVERS.contains(&one.role));
                match had.next_back() {
                    Some(had) => format!(
                        "{}: {} until {}",
                        person.name,
                        had.role.words(),
                        had.expires_on
                    ),
                    None => format!("{}: never shown able for dangerous goods", person.name),
                }
            }
            None => format!("{name} is nobody of the plan"),
        };
        self.refused.push(
            Reason::new("who hands over", value)
                .limit(format!(
                    "a person of the plan, {} in date on {day}",
                    Role::any_of(&GIVERS)
                ))
                .clause(GIVERS_CLAUSE)
                .way_out("somebody trained signs; or the person is trained, and the plan says so"),
        );
    }

    /// Every leg must be allowed for every module, with its package.
    pub(super) fn decisions(&mut self, leaving: &[Contents], verdicts: &[Verdict]) {
        let modules: BTreeSet<usize> = leaving.iter().flat_map(|one| one.modules.clone()).collect();
        for verdict in verdicts.iter().filter(|one| modules.contains(&one.module)) {
            let decision = &verdict.decision;
            let of_package = matches!(decision.answer, Answer::Allowed | Answer::AllowedWith);
            let (word, why) = match (decision.answer, decision.package.answer) {
                (Answer::Forbidden, _) => ("forbidden", &decision.reasons),
                (Answer::NotDetermined, _) => ("not determined", &decision.reasons),
                (_, PackageAnswer::Refused) => ("package refused", &decision.package.reasons),
                (_, PackageAnswer::NotDetermined) => {
                    ("package not determined", &decision.package.reasons)
                }
                _ => continue,
            };
            let first = why.first();
            let missing = decision.missing.join(", ");
            let unknown = word.contains("not determined");
            let reason = Reason::new(
                format!(
                    "{} on leg {} ({})",
                    self.job().identity(verdict.module).0,
                    verdict.leg + 1,
                    decision.edition
                ),
                match first {
                    Some(reason) if of_package || missing.is_empty() => {
                        format!("{word}: {}", reason.what)
                    }
                    _ => format!("{word}: {missing}"),
                },
            )
            .limit("allowed on every leg")
            .clause(
                first
                    .map(|reason| reason.clause.clone())
                    .unwrap_or_default(),
            )
            .way_out(first.map_or_else(
                || "enter the missing facts".to_owned(),
                |reason| reason.way_out.clone(),
            ));
            if unknown {
                self.missing.push(reason);
            } else {
                self.refused.push(reason);
            }
        }
    }
}

fn papers_body(entry: &LogEntry) -> Option<PapersBody> {
    let is_issue = entry.kind == PAPERS_ISSUED;
    is_issue
        .then(|| serde_json::from_value(entry.body.clone()).ok())
        .flatten()
}
