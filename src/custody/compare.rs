//! Compares what was stated with what was found, line by line.
//!
//! A module is received where it was read by itself, or where its package was seen under the
//! stated, unbroken seal: custody under an unbroken seal is one of the five cases of the EPA
//! Region V manual of 1978. What was not looked at is said, and never counts as "none".

use std::collections::{BTreeMap, BTreeSet};

use super::found::{Found, gather};
use super::handover::{HandedModule, HandedPackage};
use super::judge_line::{Temperatures, damage, heat, mass, module_soundness, seal};
use super::line_words::{hold_of, missing, state_module, state_package, twice};
use super::receipt::{Answer, Expected, Line, Scan, SealState, Subject, stated_soundness};
use super::same_form;
use super::tolerance::Tolerances;
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::units::Decimal;

/// What a comparison gave.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Compared {
    /// The load, each package, each module; then what was not on the list.
    pub lines: Vec<Line>,
    /// What nobody looked at, in words.
    pub not_looked_at: Vec<String>,
}

impl Compared {
    /// Lines that are not as stated.
    pub fn discrepancies(&self) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(|line| !line.is_as_stated())
    }
}

/// Compares `expected` with `scans`, numbered from 1. `elsewhere` says where an identity stands
/// already, from before this receipt.
#[must_use]
pub fn compare(
    expected: &Expected<'_>,
    scans: &[Scan],
    tolerances: &Tolerances,
    elsewhere: &dyn Fn(&str) -> Option<String>,
) -> Compared {
    compare_those(expected, scans, tolerances, elsewhere, &|_| true)
}

/// The line of one thing, as [`compare`] would give it.
pub(super) fn compare_one(
    expected: &Expected<'_>,
    scans: &[Scan],
    tolerances: &Tolerances,
    elsewhere: &dyn Fn(&str) -> Option<String>,
    subject: &Subject,
) -> Option<Line> {
    // The line of a module looks at that of its package.
    let package = match subject {
        Subject::Module(identity) => expected
            .modules()
            .find(|(_, one)| one.identity == *identity),
        _ => None,
    };
    let package = package.map(|(package, _)| Subject::Package(package.id.clone()));
    compare_those(expected, scans, tolerances, elsewhere, &|one| {
        one == subject || Some(one) == package.as_ref()
    })
    .lines
    .into_iter()
    .find(|line| line.subject == *subject)
}

fn compare_those(
    expected: &Expected<'_>,
    scans: &[Scan],
    tolerances: &Tolerances,
    elsewhere: &dyn Fn(&str) -> Option<String>,
    wanted: &dyn Fn(&Subject) -> bool,
) -> Compared {
    let found = gather(scans);
    let air = found.values().filter_map(|one| one.air_c).next_back();
    let mut listed: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    for (package, module) in expected.modules() {
        let places = listed.entry(same_form(&module.identity)).or_default();
        places.push(&package.id);
    }
    let mut work = Work {
        expected,
        found: &found,
        listed,
        tolerances,
        elsewhere,
        wanted,
        air,
        not_looked_at: BTreeMap::new(),
        lines: Vec::new(),
    };
    if wanted(&Subject::Load) {
        work.load();
    }
    let mut packages = BTreeMap::new();
    for package in expected.packages() {
        if wanted(&Subject::Package(package.id.clone())) {
            let line = work.lines.len();
            let under_seal = work.package(package);
            // Two packages of one name: both must be under their seal.
            packages
                .entry(package.id.as_str())
                .and_modify(|(both, _)| *both &= under_seal)
                .or_insert((under_seal, line));
        }
    }
    for (package, module) in expected.modules() {
        if wanted(&Subject::Module(module.identity.clone())) {
            let of = packages.get(package.id.as_str()).copied();
            let of = of.filter(|_| !package.id.is_empty());
            work.module(package, module, of);
        }
    }
    work.not_on_the_list();
    for line in work.lines.iter_mut().filter(|line| line.answers.is_empty()) {
        line.answers.push(Answer::Received);
    }
    Compared {
        lines: work.lines,
        not_looked_at: work
            .not_looked_at
            .into_iter()
            .map(|(what, of)| format!("{what}: {}", of.join(", ")))
            .collect(),
    }
}

struct Work<'w> {
    expected: &'w Expected<'w>,
    found: &'w BTreeMap<Subject, Found>,
    /// Identities of the list in one form, with the packages they stand in.
    listed: BTreeMap<String, Vec<&'w str>>,
    tolerances: &'w Tolerances,
    elsewhere: &'w dyn Fn(&str) -> Option<String>,
    /// Of which things the lines are asked for.
    wanted: &'w dyn Fn(&Subject) -> bool,
    air: Option<Decimal>,
    not_looked_at: BTreeMap<&'static str, Vec<String>>,
    lines: Vec<Line>,
}

impl Work<'_> {
    fn blank(&mut self, what: &'static str, of: &str) {
        self.not_looked_at
            .entry(what)
            .or_default()
            .push(of.to_owned());
    }

    fn load(&mut self) {
        let packages = self
            .expected
            .packages()
            .iter()
            .filter(|package| !package.id.is_empty())
            .count();
        // Where nothing is packed, the pieces are modules.
        let (stated, pieces) = match packages {
            0 => (self.expected.modules().count(), "modules"),
            some => (some, "packages"),
        };
        let Some(count) = self.found.get(&Subject::Load).and_then(|one| one.count) else {
            self.blank("count of the pieces", "load");
            return;
        };
        let mut line = Line::new(Subject::Load, None);
        line.sent.insert(pieces.into(), stated.to_string());
        line.found.insert(pieces.into(), count.to_string());
        let differs = usize::try_from(count).unwrap_or(usize::MAX).cmp(&stated);
        let answer = match differs {
            std::cmp::Ordering::Less => Some(Answer::Missing),
            std::cmp::Ordering::Equal => None,
            std::cmp::Ordering::Greater => Some(Answer::Unexpected),
        };
        line.put(
            answer,
            Reason::new(
                format!("{pieces} counted"),
                format!("{count}, stated {stated}"),
            )
            .limit(format!(
                "{stated} as stated; any difference in pieces counts"
            ))
            .clause("40 CFR 264.72(b), text of 1 July 2008 (read), for waste in the US")
            .way_out("count again with the driver, write it on his copy, ring the sender"),
        );
        self.lines.push(line);
    }

    /// The line of a package; whether its modules count as seen under the seal.
    fn package(&mut self, package: &HandedPackage) -> bool {
        if package.id.is_empty() {
            // A list without packages: its modules stand for themselves.
            return false;
        }
        let subject = Subject::Package(package.id.clone());
        let mut line = Line::new(subject.clone(), None);
        let warmest = self.expected.warmest_of(package);
        state_package(package, warmest, &mut line.sent);
        let Some(found) = self.found.get(&subject) else {
            // A package nobody labelled is here where all of its modules were read.
            let all_read = !package.modules.is_empty()
                && package.modules.iter().all(|module| {
                    self.found
                        .contains_key(&Subject::Module(module.identity.clone()))
                });
            if all_read {
                line.how = Some("its modules were read one by one".into());
            } else {
                line.put(Some(Answer::Missing), missing(&package.id));
            }
            self.lines.push(line);
            return false;
        };
        found.state(&mut line.found);
        if found.sights > 1 {
            line.put(Some(Answer::Twice), twice(&package.id, found));
        }
        let sealed = seal(package, found, &mut line);
        if package.seal.is_some() && found.seal.is_none() {
            self.blank("seal", &package.id);
        } else if package.seal.is_some()
            && found
                .seal
                .as_ref()
                .is_some_and(|seal| seal.state == SealState::Intact && seal.number.is_none())
        {
            self.blank("number of the seal", &package.id);
        }
        if let Some(count) = found.count {
            let stated = package.modules.len();
            line.sent.insert("modules".into(), stated.to_string());
            line.found.insert("modules".into(), count.to_string());
            let counted = usize::try_from(count).unwrap_or(usize::MAX);
            let answer = match counted.cmp(&stated) {
                std::cmp::Ordering::Less => Some(Answer::Missing),
                std::cmp::Ordering::Equal => None,
                std::cmp::Ordering::Greater => Some(Answer::Unexpected),
            };
            line.put(
                answer,
                Reason::new(
                    "modules counted in the package",
                    format!("{count}, stated {stated}"),
                )
                .limit(format!("{stated} as stated"))
                .way_out("count again with a second person, ring the sender"),
            );
        }
        for (stated, scale, what) in [
            (package.gross_mass_kg, found.gross_mass_kg, "gross mass"),
            (package.net_mass_kg, found.net_mass_kg, "net mass"),
        ] {
            mass(what, stated, scale, self.tolerances, &mut line);
        }
        if package.gross_mass_kg.is_some() && found.gross_mass_kg.is_none() {
            self.blank("gross mass", &package.id);
        }
        self.heat(&package.id, warmest, found, &mut line);
        if found.damage.is_none() && found.findings.is_empty() {
            self.blank("visible damage", &package.id);
        }
        damage(found, &mut line);
        self.lines.push(line);
        sealed
    }

    fn heat(&mut self, of: &str, sent: Option<Decimal>, found: &Found, line: &mut Line) {
        let temperatures = Temperatures {
            sent,
            found: found.temperature_c,
            air: found.air_c.or(self.air),
        };
        if !heat(&temperatures, self.tolerances, line) {
            self.blank(
                if found.temperature_c.is_none() {
                    "temperature"
                } else {
                    "temperature at the release, or of the air, to compare with"
                },
                of,
            );
        }
    }

    /// The line of a module. `of` is its package: whether it is under its seal, and its line.
    fn module(
        &mut self,
        package: &HandedPackage,
        module: &HandedModule,
        of: Option<(bool, usize)>,
    ) {
        let under_seal = of.is_some_and(|(under_seal, _)| under_seal);
        let subject = Subject::Module(module.identity.clone());
        let mut line = Line::new(subject.clone(), Some(package.id.clone()));
        state_module(module, &mut line.sent);
        let found = self.found.get(&subject);
        let package_line = of.and_then(|(_, line)| self.lines.get(line)).cloned();
        match found {
            Some(found) => {
                line.how = Some("read by itself".into());
                found.state(&mut line.found);
                if let Some(stood_in) = found
                    .package
                    .as_ref()
                    .filter(|one| same_form(one) != same_form(&package.id))
                {
                    line.put(
                        Some(Answer::Unexpected),
                        Reason::new("package it stood in", stood_in.clone())
                            .limit(format!("{} as stated", package.id))
                            .way_out("look what else stands in both, and ask the sender"),
                    );
                }
                if found.sights > 1 {
                    line.put(Some(Answer::Twice), twice(&module.identity, found));
                }
                mass(
                    "net mass",
                    module.net_mass_kg,
                    found.net_mass_kg,
                    self.tolerances,
                    &mut line,
                );
                if found.temperature_c.is_some() {
                    self.heat(
                        &module.identity,
                        module.surface_temperature_c,
                        found,
                        &mut line,
                    );
                }
                damage(found, &mut line);
            }
            None if under_seal => {
                line.how = Some(format!(
                    "under the unbroken seal {} of {}",
                    package.seal.as_deref().unwrap_or(""),
                    package.id
                ));
            }
            None => line.put(Some(Answer::Missing), missing(&module.identity)),
        }
        self.listed_twice(module, &mut line);
        self.here_already(&module.identity, &mut line);
        if line.is_here() {
            let stated = stated_soundness(&module.soundness);
            let soundness = module_soundness(stated, found, package_line.as_ref(), &line);
            line.hold = hold_of(module, soundness, &line);
            line.soundness = Some(soundness);
        }
        self.lines.push(line);
    }

    /// One identity in two places of the sender's list.
    fn listed_twice(&self, module: &HandedModule, line: &mut Line) {
        let packages = self.listed.get(&same_form(&module.identity));
        if let Some(packages) = packages.filter(|packages| packages.len() > 1) {
            line.sent.insert("packages".into(), packages.join(", "));
            line.put(
                Some(Answer::Twice),
                Reason::new("places on the sender's list", packages.join(", "))
                    .limit("one serial, one place")
                    .way_out("read both plates; ask the sender which is which"),
            );
        }
    }

    fn here_already(&self, identity: &str, line: &mut Line) {
        if !line.is_here() {
            return;
        }
        if let Some(place) = (self.elsewhere)(identity) {
            line.found.insert("stands_already".into(), place.clone());
            line.put(
                Some(Answer::Twice),
                Reason::new("the same serial is here already", place)
                    .limit("one serial, one place")
                    .way_out("read both plates; one of them is another module"),
            );
        }
    }

    fn not_on_the_list(&mut self) {
        let listed: BTreeSet<Subject> = self
            .expected
            .packages()
            .iter()
            .map(|package| Subject::Package(package.id.clone()))
            .chain(
                self.expected
                    .modules()
                    .map(|(_, module)| Subject::Module(module.identity.clone())),
            )
            .chain([Subject::Load])
            .collect();
        let known: Vec<&str> = self
            .expected
            .modules()
            .map(|(_, module)| module.identity.as_str())
            .collect();
        let found = self.found;
        for (subject, found) in found
            .iter()
            .filter(|(subject, _)| !listed.contains(subject) && (self.wanted)(subject))
        {
            let mut line = Line::new(subject.clone(), found.package.clone());
            found.state(&mut line.found);
            let name = match subject {
                Subject::Load => continue,
                Subject::Package(name) | Subject::Module(name) => name.clone(),
            };
            let alike = super::look_alikes(&name, known.iter().copied());
            let mut reason = Reason::new(
                if found.temporary {
                    "module without a readable serial"
                } else {
                    "not on the sender's list"
                },
                name.clone(),
            )
            .limit("only what is listed")
            .way_out("set it apart, treat it as damaged until shown otherwise, ask the sender");
            if !alike.is_empty() {
                reason = reason.way_out(format!(
                    "looks like {}: read the plate again (0/O, 1/I, 5/S)",
                    alike.join(", ")
                ));
                line.found.insert("looks_like".into(), alike.join(", "));
            }
            line.put(Some(Answer::Unexpected), reason);
            if found.sights > 1 {
                line.put(Some(Answer::Twice), twice(&name, found));
            }
            damage(found, &mut line);
            let air = self.air;
            heat(
                &Temperatures {
                    sent: None,
                    found: found.temperature_c,
                    air: found.air_c.or(air),
                },
                self.tolerances,
                &mut line,
            );
            if matches!(subject, Subject::Module(_)) {
                self.here_already(&name, &mut line);
                // Nobody stated its condition: it cannot be diagnosed yet.
                let soundness = module_soundness(Soundness::Undiagnosed, Some(found), None, &line);
                line.soundness = Some(soundness);
                line.hold = Some("nobody stated what it is".into());
            }
            self.lines.push(line);
        }
    }
}
