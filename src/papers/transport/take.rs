//! The transport document of a leg, taken from the job and its decisions. A needed fact that is
//! missing refuses the paper, and is named.

use super::content::{Declaration, Entry, Named, PackageRow, TransportDocument};
use super::declarations::declarations;
use super::enclosed::{enclosed, statements};
use super::kinds::count_of;
use crate::citation::Reason;
use crate::job::{Contents, Job, Leg, Verdict};
use crate::papers::plain_text;
use crate::papers::small_load::{by_category, counted};
use crate::papers::stamp::Stamp;
use crate::transport::{
    self, Answer, DocumentQuestion, DocumentStanding, PackageAnswer, PackageKind, Quantity, Regime,
};
use crate::units::{Decimal, Grams};

/// The document of leg number `n`, or what it lacks.
///
/// # Errors
/// Every fact that is missing and every answer that is not a yes, with the clause that wants it.
pub(crate) fn transport_document(
    job: &Job,
    verdicts: &[Verdict],
    n: usize,
    stamp: &Stamp,
) -> Result<TransportDocument, Vec<Reason>> {
    let Some(leg) = job.plan().route.get(n) else {
        return Err(vec![
            Reason::new("leg", (n + 1).to_string()).limit("a leg of the route"),
        ]);
    };
    let mut take = Take {
        job,
        leg,
        stamp,
        verdicts: verdicts.iter().filter(|one| one.leg == n).collect(),
        contents: job.contents(),
        lacks: Vec::new(),
    };
    let document = take.document(n);
    if take.lacks.is_empty() {
        Ok(document)
    } else {
        Err(take.lacks)
    }
}

struct Take<'a> {
    job: &'a Job,
    leg: &'a Leg,
    stamp: &'a Stamp,
    verdicts: Vec<&'a Verdict>,
    contents: Vec<Contents>,
    lacks: Vec<Reason>,
}

/// Modules that one description covers.
struct Alike {
    line: String,
    statements: Vec<String>,
    modules: Vec<usize>,
}

/// The points of 1.1.3.6 and how they come about.
#[derive(Default)]
struct SmallLoad {
    lines: Vec<String>,
    points: Option<Decimal>,
}

impl Take<'_> {
    fn lack(&mut self, what: impl Into<String>, value: &str, clause: &str, way_out: &str) {
        self.lacks
            .push(Reason::new(what, value).clause(clause).way_out(way_out));
    }

    /// The clause of this leg's law.
    fn law(&self, adr: &str, us: &str) -> String {
        match self.leg.regime {
            Regime::Adr => format!("ADR 2025, {adr}"),
            Regime::Rid => format!("RID 2025, {adr}"),
            Regime::Cfr49 => format!("49 CFR, {us}"),
            Regime::Imdg => "IMDG 42-24, 5.4.1 (from memory, unverified)".to_owned(),
            Regime::Air => {
                "ICAO Technical Instructions, 5;4.1 (from memory, unverified)".to_owned()
            }
        }
    }

    fn document(&mut self, n: usize) -> TransportDocument {
        let plan = self.job.plan();
        let w = self.stamp.words;
        self.answers();
        self.parties();
        let alike = self.alike();
        let entries: Vec<Entry> = alike.iter().map(|one| self.entry(one)).collect();
        if entries.is_empty() && self.lacks.is_empty() {
            self.lack(
                "packages",
                "none",
                "",
                "nothing is carried on this leg, so it needs no document",
            );
        }
        let small_load = self.small_load();
        self.check(&alike, &small_load);
        let each = self.each();
        let named = |party: &crate::job::Party| Named {
            name: plain_text(&party.name),
            address: plain_text(&party.address),
        };
        let mode = self.leg.mode.map_or("", |mode| w.states.mode(mode));
        let edition = self
            .verdicts
            .first()
            .map_or(self.leg.regime.name(), |one| one.decision.edition.as_ref());
        let emergency = match &plan.consignor.emergency_telephone {
            Some(number) => format!(
                "{}, {}",
                plain_text(number),
                plain_text(&plan.consignor.name)
            ),
            None => w.no_telephone.to_owned(),
        };
        TransportDocument {
            w: *w,
            size: self.stamp.stock.css(),
            is_signed: self.stamp.is_signed(),
            job: self.stamp.job.clone(),
            leg: format!("{} {} {} {}", w.leg, n + 1, w.of, plan.route.len()),
            across: self.stamp.across(),
            rules: format!("{edition} {mode}").trim_end().to_owned(),
            day: self.leg.on.unwrap_or(plan.planned_on).to_string(),
            from: plain_text(self.leg.from.as_deref().unwrap_or(&plan.site.address)),
            to: plain_text(self.leg.to.as_deref().unwrap_or(&plan.consignee.address)),
            consignor: named(&plan.consignor),
            consignee: named(&plan.consignee),
            carrier: plan.carrier.as_ref().map_or_else(
                || Named {
                    name: w.not_named.to_owned(),
                    address: String::new(),
                },
                named,
            ),
            emergency,
            totals: self.totals(),
            entries,
            small_load: small_load.lines,
            each,
            declarations: self.declarations(),
            travels_with: enclosed(self.job, self.leg, &self.verdicts, w),
            foot: self.stamp.foot(),
        }
    }

    fn declarations(&self) -> Vec<Declaration> {
        declarations(self.leg.regime)
    }

    /// Every module on the leg must be allowed, and its package accepted.
    fn answers(&mut self) {
        let mut lacks = Vec::new();
        for verdict in &self.verdicts {
            let decision = &verdict.decision;
            let (serial, _) = self.job.identity(verdict.module);
            let yes = matches!(decision.answer, Answer::Allowed | Answer::AllowedWith);
            let reasons = if yes && decision.package.answer == PackageAnswer::Accepted {
                continue;
            } else if yes {
                &decision.package.reasons
            } else {
                &decision.reasons
            };
            for reason in reasons {
                let mut reason = reason.clone();
                reason.what = format!("{serial}: {}", reason.what);
                lacks.push(reason);
            }
            if reasons.is_empty() {
                lacks.push(Reason::new(serial, "not determined how it may travel"));
            }
        }
        self.lacks.extend(lacks);
    }

    fn parties(&mut self) {
        let plan = self.job.plan();
        for (what, clause, party) in [
            ("consignor", "5.4.1.1.1(g)", &plan.consignor),
            ("consignee", "5.4.1.1.1(h)", &plan.consignee),
        ] {
            for (part, value) in [("name", &party.name), ("address", &party.address)] {
                if value.trim().is_empty() {
                    let clause = self.law(clause, "172.201; 172.301(d)");
                    self.lack(
                        format!("{part} of the {what}"),
                        "not known",
                        &clause,
                        "write it into job.json",
                    );
                }
            }
        }
        let has_number = plan
            .consignor
            .emergency_telephone
            .as_ref()
            .is_some_and(|number| number.chars().filter(char::is_ascii_digit).count() >= 7);
        if self.leg.regime == Regime::Cfr49 && !has_number {
            self.lack(
                "emergency telephone number of the consignor",
                "not known",
                "49 CFR, 172.604(a)",
                "a number answered by somebody who knows the goods, all the time they travel: \
                 consignor.emergency_telephone in job.json",
            );
        }
    }

    /// Modules by equal description, in the order of the plan.
    fn alike(&self) -> Vec<Alike> {
        let mut groups: Vec<Alike> = Vec::new();
        for verdict in &self.verdicts {
            let document = &verdict.decision.document;
            let statements = statements(self.leg.regime, &verdict.decision);
            let known = groups
                .iter_mut()
                .find(|group| group.line == document.line && group.statements == statements);
            match known {
                Some(group) => group.modules.push(verdict.module),
                None => groups.push(Alike {
                    line: document.line.to_string(),
                    statements,
                    modules: vec![verdict.module],
                }),
            }
        }
        groups
    }

    fn entry(&mut self, group: &Alike) -> Entry {
        let mut net = Grams::default();
        for module in &group.modules {
            match self.job.net_mass(*module) {
                Some(mass) => net = net.plus(mass).unwrap_or(net),
                None => {
                    let (serial, _) = self.job.identity(*module);
                    let clause = self.law("5.4.1.1.1(f)", "172.202(a)(5)");
                    self.lack(
                        format!("mass of {serial}"),
                        "not known",
                        &clause,
                        "weigh it and enter net_mass_kg",
                    );
                }
            }
        }
        if group.line.is_empty() {
            let clause = self.law("5.4.1.1.1", "172.202(a)");
            self.lack(
                "line of the transport document",
                "none",
                &clause,
                "see the decision",
            );
        }
        let mut kinds: Vec<(Option<String>, Option<PackageKind>, usize)> = Vec::new();
        let mut gross = Some(Grams::default());
        for contents in &self.contents {
            let Some(module) = contents.modules.iter().find(|m| group.modules.contains(m)) else {
                continue;
            };
            let facts = self
                .job
                .facts(*module, self.leg)
                .package
                .unwrap_or_default();
            let code = |mark: Option<&str>| {
                mark.and_then(transport::PackagingMark::read)
                    .map(|mark| mark.code)
            };
            let same = kinds.iter_mut().find(|(mark, kind, _)| {
                *kind == facts.kind && code(mark.as_deref()) == code(facts.mark.as_deref())
            });
            match same {
                Some((_, _, count)) => *count += 1,
                None => kinds.push((facts.mark, facts.kind, 1)),
            }
            gross = gross.and_then(|sum| sum.plus(contents.gross_mass_kg?));
        }
        let unpacked: Vec<String> = group
            .modules
            .iter()
            .filter(|module| !self.contents.iter().any(|one| one.modules.contains(module)))
            .map(|module| self.job.identity(*module).0)
            .collect();
        for serial in unpacked {
            let clause = self.law("5.4.1.1.1(e)", "172.202(a)(7)");
            self.lack(
                format!("package of {serial}"),
                "not known",
                &clause,
                "pack it, or leave it behind with a reason",
            );
        }
        let batteries = group.modules.len();
        Entry {
            line: plain_text(&group.line),
            statements: group.statements.iter().map(|s| plain_text(s)).collect(),
            packages: kinds
                .iter()
                .map(|(mark, kind, count)| {
                    let words = &self.stamp.words.kinds_of_packages;
                    count_of(*count, mark.as_deref(), *kind, words)
                })
                .collect(),
            batteries,
            net: self.stamp.mass(net),
            gross: self.stamp.mass_or_not(gross),
        }
    }

    /// The points of 1.1.3.6, where the plan relies on it.
    fn small_load(&mut self) -> SmallLoad {
        let mut load = SmallLoad::default();
        if self.leg.small_load != Some(true) {
            return load;
        }
        if self.leg.regime != Regime::Adr {
            self.lack(
                "relief for small loads",
                self.leg.regime.name(),
                "ADR 2025, 1.1.3.6",
                "it holds on the road under ADR only; take small_load out of the leg",
            );
            return load;
        }
        let w = self.stamp.words;
        let mut total = 0_i64;
        for (category, mass) in by_category(self.job, self.verdicts.iter().copied()) {
            let Some((factor, points)) = counted(&category, mass) else {
                self.lack(
                    "relief for small loads",
                    &format!("transport category {category}"),
                    "ADR 2025, 1.1.3.6.3",
                    "carry it as a full load",
                );
                continue;
            };
            total = total.saturating_add(points);
            load.lines.push(format!(
                "{} {category}: {mass} x {} {factor} = {} {}",
                w.category,
                w.factor,
                Decimal::from_thousandths(points),
                w.points
            ));
        }
        let points = Decimal::from_thousandths(total);
        // Whether they are few enough is asked with the words, in `check`.
        load.points = Some(points);
        load
    }

    /// The words are put before the check that an officer runs on a document of somebody else.
    fn check(&mut self, groups: &[Alike], small: &SmallLoad) {
        if !self.lacks.is_empty() {
            return;
        }
        for group in groups {
            let Some(module) = group.modules.first() else {
                continue;
            };
            let Some(net) = sum(group.modules.iter().map(|m| self.job.net_mass(*m))) else {
                continue;
            };
            let answer = transport::check_document(&DocumentQuestion {
                regime: None,
                mode: None,
                on: None,
                facts: self.job.facts(*module, self.leg),
                lines: vec![group.line.clone()],
                statements: group.statements.clone(),
                quantity: Some(Quantity {
                    net_mass_kg: net,
                    estimated: None,
                }),
                small_load: self.leg.small_load,
                points: small.points,
            });
            if answer.answer == DocumentStanding::Refused {
                self.lacks.extend(answer.reasons);
            }
        }
    }

    fn each(&self) -> Vec<PackageRow> {
        let on_leg = |module: &usize| self.verdicts.iter().any(|one| one.module == *module);
        self.contents
            .iter()
            .filter(|contents| contents.modules.iter().any(on_leg))
            .map(|contents| {
                let module = contents.modules.first().copied().unwrap_or_default();
                let net = sum(contents.modules.iter().map(|m| self.job.net_mass(*m)));
                let serials: Vec<String> = contents
                    .modules
                    .iter()
                    .map(|module| plain_text(&self.job.identity(*module).0))
                    .collect();
                PackageRow {
                    id: plain_text(&contents.package),
                    kind: self.stamp.words.term(&plain_text(
                        &self.job.packaging_words(module).unwrap_or_default(),
                    )),
                    serials: serials.join(", "),
                    net: self.stamp.mass_or_not(net),
                    gross: self.stamp.mass_or_not(contents.gross_mass_kg),
                    marks: self.marks(contents),
                }
            })
            .collect()
    }

    fn marks(&self, contents: &Contents) -> String {
        let mut marks: Vec<String> = Vec::new();
        let decided = self
            .verdicts
            .iter()
            .filter(|one| contents.modules.contains(&one.module));
        for verdict in decided {
            let words = verdict
                .decision
                .marks
                .iter()
                .map(|mark| mark.text.to_string());
            let labels = verdict.decision.labels.iter();
            let labels = labels.map(|label| format!("{} {label}", self.stamp.words.label_sheet));
            for mark in words.chain(labels) {
                if !marks.contains(&mark) {
                    marks.push(mark);
                }
            }
        }
        plain_text(&marks.join(", "))
    }

    fn totals(&self) -> String {
        let w = self.stamp.words;
        let on_leg = |module: &usize| self.verdicts.iter().any(|one| one.module == *module);
        let packages: Vec<&Contents> = self
            .contents
            .iter()
            .filter(|one| one.modules.iter().any(on_leg))
            .collect();
        let net = sum(self
            .verdicts
            .iter()
            .map(|one| self.job.net_mass(one.module)));
        let gross = sum(packages.iter().map(|one| one.gross_mass_kg));
        format!(
            "{}: {} {}, {} {}, {} {}, {} {}",
            w.total,
            packages.len(),
            w.packages,
            self.verdicts.len(),
            w.batteries_in_text,
            w.net_mass_in_text,
            self.stamp.mass_or_not(net),
            w.gross_mass_in_text,
            self.stamp.mass_or_not(gross)
        )
    }
}

/// The sum, where every mass is known.
fn sum(mut masses: impl Iterator<Item = Option<Grams>>) -> Option<Grams> {
    masses.try_fold(Grams::default(), |sum, mass| sum.plus(mass?))
}
