//! What the entries amount to: inspection sheets, facts for the transport decision, packages.

use std::collections::BTreeMap;

use super::{Job, Leg};
use crate::battery::Soundness;
use crate::inspection::{Sheet, StateOfCharge};
use crate::procedure::{Act, Entry, Evidence};
use crate::transport::{
    self, Configuration, Cushioning, Decision, Facts, Inner, Item, PackageKind, Verified,
};
use crate::units::{Decimal, Grams, MilliPercent};

/// A package with what the record says went into it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contents {
    /// Id of the package in the job.
    pub package: String,
    /// Numbers of the modules in it, in order of removal.
    pub modules: Vec<usize>,
    /// Mass with packaging, where it was weighed.
    pub gross_mass_kg: Option<Grams>,
    /// Marks on it.
    pub marks: Vec<String>,
    /// Labels on it.
    pub labels: Vec<String>,
    /// Seal.
    pub seal: Option<String>,
}

/// How one module may travel on one leg.
#[derive(Debug, Clone)]
pub struct Verdict {
    /// Number of the module.
    pub module: usize,
    /// Number of the leg.
    pub leg: usize,
    /// The decision.
    pub decision: Decision,
}

impl Job {
    /// Serial as read, or a job serial, and whether it was read from the module itself.
    #[must_use]
    pub fn identity(&self, module: usize) -> (String, bool) {
        if let Some(Some(serial)) = self.progress().serial(module) {
            return (serial.to_owned(), true);
        }
        let id = self
            .frame()
            .modules
            .get(module)
            .map_or("", |module| module.id.as_str());
        (format!("{}-{id}", self.plan().job), false)
    }

    /// The evidence of the entry that passed a step with `act` for a module.
    pub(super) fn act_evidence(&self, act: Act, module: usize) -> Option<&Entry> {
        self.progress()
            .passed_doing(self.frame(), act, Some(module))
            .last()
    }

    /// The last entry that passed a step of the module and answers `name`.
    pub(super) fn answering(&self, module: usize, name: &str) -> Option<&Entry> {
        let frame = self.frame();
        frame
            .procedure
            .steps
            .iter()
            .enumerate()
            .filter(|(_, step)| step.per == crate::procedure::Per::Module)
            .filter_map(|(place, _)| self.progress().passed_entry(place, Some(module)))
            .rfind(|entry| entry.evidence.answer(name).is_some())
    }

    fn answer(&self, module: usize, name: &str) -> Option<&Evidence> {
        Some(&self.answering(module, name)?.evidence)
    }

    fn number(&self, module: usize, name: &str) -> Option<Decimal> {
        self.answer(module, name)?.number(name)
    }

    fn text(&self, module: usize, name: &str) -> Option<String> {
        self.answer(module, name)?.text(name).map(str::to_owned)
    }

    /// The module's mass as it was weighed in the job.
    #[must_use]
    pub fn weighed_mass(&self, module: usize) -> Option<Grams> {
        self.number(module, "net_mass_kg")
            .and_then(|mass| Grams::try_from(mass).ok())
    }

    /// The module's mass: as weighed, else as planned.
    #[must_use]
    pub fn net_mass(&self, module: usize) -> Option<Grams> {
        self.weighed_mass(module)
            .or_else(|| self.frame().modules.get(module)?.net_mass_kg)
    }

    /// Soundness for papers and decisions: as judged, and never better than the findings allow
    /// today; a module that nobody judged is undiagnosed.
    #[must_use]
    pub fn soundness(&self, module: usize) -> Soundness {
        self.judged_soundness(module)
            .unwrap_or(Soundness::Undiagnosed)
    }

    /// The same, where the state of charge of the module is at hand.
    #[must_use]
    pub fn soundness_by(&self, module: usize, charge: &StateOfCharge) -> Soundness {
        self.judged_by(module, charge)
            .unwrap_or(Soundness::Undiagnosed)
    }

    /// The package that the module went into.
    #[must_use]
    pub fn package_of(&self, module: usize) -> Option<String> {
        self.text(module, "package")
    }

    /// The layer of that package that it stands in, from the floor, where somebody said.
    #[must_use]
    pub fn layer_of(&self, module: usize) -> Option<u32> {
        let layer = self.number(module, "layer")?.thousandths()?;
        u32::try_from(layer / 1000).ok()
    }

    /// The seal of that package, as written down for the module.
    #[must_use]
    pub fn seal_of(&self, module: usize) -> Option<String> {
        self.text(module, "seal")
    }

    /// Type designation on the plate: as read, else as planned.
    #[must_use]
    pub fn model_of(&self, module: usize) -> Option<String> {
        let planned = self.frame().modules.get(module);
        self.text(module, "model")
            .or_else(|| planned?.model.clone())
    }

    /// The inspection sheet of a module.
    #[must_use]
    pub fn sheet(&self, module: usize) -> Sheet {
        let planned = self.frame().modules.get(module);
        let (serial, serial_proved) = self.identity(module);
        let judge = self.act_evidence(Act::Judge, module);
        let lift = self.act_evidence(Act::LiftModule, module);
        let covers = self.act_evidence(Act::CoverPoles, module);
        let charge = self.state_of_charge(module);
        let id = planned.map_or(String::new(), |module| module.id.clone());
        let photos = self
            .taken()
            .iter()
            .filter(|taken| taken.entry.module.as_deref() == Some(id.as_str()))
            .flat_map(|taken| &taken.entry.photos)
            .filter_map(|photo| photo.sha256.clone())
            .collect();
        Sheet {
            module: id,
            serial,
            serial_proved,
            model: self.model_of(module),
            position: planned.map_or(0, |module| module.position),
            photos,
            surface_temperature_c: self.number(module, "face_temperature_c"),
            ambient_temperature_c: self.number(module, "ambient_temperature_c"),
            terminal_voltage_v: self.number(module, "terminal_voltage_v"),
            positive_to_case_v: self.number(module, "positive_to_case_v"),
            negative_to_case_v: self.number(module, "negative_to_case_v"),
            insulation_ohm_per_v: self.insulation(module),
            cell_voltage_lowest_v: self.number(module, "cell_voltage_lowest_v"),
            cell_voltage_highest_v: self.number(module, "cell_voltage_highest_v"),
            findings: self
                .findings_by(module, &charge)
                .into_iter()
                .map(str::to_owned)
                .collect(),
            soundness: self.judged_by(module, &charge),
            state_of_charge: charge,
            judged_by: judge.map(|entry| self.frame().name_of(&entry.by).to_owned()),
            criteria_source: judge.and_then(|entry| {
                let source = entry
                    .evidence
                    .text("criteria_source")
                    .unwrap_or("not stated");
                let judged_as = entry.evidence.text("judged_as")?.replace('_', " ");
                Some(format!("{source} ({judged_as})"))
            }),
            net_mass_kg: self.net_mass(module).map(Grams::decimal),
            lift_note: lift.map(|entry| self.lift_note(entry, module)),
            terminal_covers: covers.map(|entry| {
                let rows = entry.evidence.rows("poles");
                rows.iter()
                    .filter_map(|row| {
                        Some(format!("{}: {}", row.text("pole")?, row.text("cover")?))
                    })
                    .collect::<Vec<_>>()
                    .join("; ")
            }),
            package: self.package_of(module),
            packaging: self.packaging_words(module),
            seal: self.seal_of(module),
            removed: self.progress().is_lifted(self.frame(), module),
        }
    }

    /// The packaging in words: its UN mark, or its kind.
    #[must_use]
    pub fn packaging_words(&self, module: usize) -> Option<String> {
        let kind = self.text(module, "packaging_kind")?.replace('_', " ");
        Some(match self.text(module, "packaging_mark") {
            Some(mark) => format!("{kind} {mark}")
                .replace("un packaging UN ", "UN packaging ")
                .replace("un packaging", "UN packaging"),
            None => kind,
        })
    }

    /// The facts of a module for one leg.
    #[must_use]
    pub fn facts(&self, module: usize, leg: &Leg) -> Facts {
        self.facts_among(module, leg, &self.contents())
    }

    /// The same, where the contents of the packages are at hand.
    fn facts_among(&self, module: usize, leg: &Leg, packages: &[Contents]) -> Facts {
        let planned = self.frame().modules.get(module);
        let installation = &self.plan().installation;
        let charge = self.state_of_charge(module);
        let percent = |value: Decimal| MilliPercent::try_from(value).ok();
        let findings = self.progress().findings(Some(module));
        let looked = self.answer(module, "leak").is_some();
        let item = Item {
            chemistry: Some(installation.chemistry),
            cathode: Some(installation.cathode),
            rated_energy_wh: planned.and_then(|module| module.rated_energy_wh),
            net_mass_kg: self.net_mass(module),
            casing: planned.and_then(|module| module.casing),
            tested_type: planned.and_then(|module| module.tested_type),
            made_on: planned.and_then(|module| module.made_on),
            energy_marked_on_case: planned.and_then(|module| module.energy_marked_on_case),
            configuration: Some(Configuration::Alone),
            soundness: Some(self.soundness_by(module, &charge)),
            recalled_for_safety: if findings.contains(&"F31") {
                Some(true)
            } else {
                planned.and_then(|module| module.recalled_for_safety)
            },
            still_a_battery: Some(true),
            leaking: looked.then(|| findings.contains(&"F08")),
            state_of_charge_percent: percent(charge.low_percent)
                .zip(percent(charge.high_percent))
                .map(|(low, high)| transport::StateOfCharge { low, high }),
            purpose: Some(self.plan().purpose),
            ..Item::default()
        };
        Facts {
            id: planned.map(|module| module.id.clone()),
            mode: leg.mode,
            on: Some(leg.on.unwrap_or(self.plan().planned_on)),
            item,
            package: self.package_facts(module, packages),
            approvals: Some(self.plan().approvals.clone()),
            ..Facts::new(leg.regime)
        }
    }

    fn package_facts(&self, module: usize, packages: &[Contents]) -> Option<transport::Package> {
        let package = self.text(module, "package")?;
        let contents = packages.iter().find(|one| one.package == package)?;
        let yes_no = |name: &str| self.answer(module, name).and_then(|e| e.yes_no(name));
        let net = contents
            .modules
            .iter()
            .map(|module| self.net_mass(*module))
            .try_fold(Grams::default(), |sum, mass| sum.plus(mass?));
        Some(transport::Package {
            kind: self
                .text(module, "packaging_kind")
                .and_then(|kind| serde_json::from_value::<PackageKind>(kind.into()).ok()),
            mark: self.text(module, "packaging_mark"),
            items: u32::try_from(contents.modules.len()).ok(),
            net_mass_kg: net,
            gross_mass_kg: contents.gross_mass_kg,
            inner: Some(Inner {
                each_alone: yes_no("inner_each_alone"),
                fully_enclosed: yes_no("inner_fully_enclosed"),
                non_metallic: yes_no("inner_non_metallic"),
                leakproof: yes_no("inner_leakproof"),
            }),
            cushioning: Some(Cushioning {
                non_combustible: yes_no("cushioning_non_combustible"),
                non_conductive: yes_no("cushioning_non_conductive"),
                absorbent: yes_no("cushioning_absorbent"),
                thermal_insulation: yes_no("cushioning_thermal_insulation"),
            }),
            liner_non_conductive: yes_no("liner_non_conductive"),
            short_circuit_protected: yes_no("short_circuit_protected"),
            secured: yes_no("secured"),
            load_on_terminals: yes_no("load_on_terminals"),
            verified: self.text(module, "verified_report").map(|report| Verified {
                report: Some(report),
                ..Verified::default()
            }),
            packed_on: self
                .act_evidence(Act::Pack, module)
                .map(|entry| entry.at.local_day()),
            ..transport::Package::default()
        })
    }

    /// Packages by id, with what the record says went into them.
    #[must_use]
    pub fn contents(&self) -> Vec<Contents> {
        let mut packages: BTreeMap<String, Contents> = BTreeMap::new();
        for module in 0..self.frame().modules.len() {
            let Some(package) = self.text(module, "package") else {
                continue;
            };
            let contents = packages.entry(package.clone()).or_insert_with(|| Contents {
                package,
                modules: Vec::new(),
                gross_mass_kg: None,
                marks: Vec::new(),
                labels: Vec::new(),
                seal: None,
            });
            contents.modules.push(module);
            let gross = self
                .number(module, "gross_mass_kg")
                .and_then(|mass| Grams::try_from(mass).ok());
            // A package weighed again after more went in: the last reading is the heavier one.
            contents.gross_mass_kg = contents.gross_mass_kg.max(gross);
            contents.seal = self.text(module, "seal").or_else(|| contents.seal.take());
            for (list, name) in [
                (&mut contents.marks, "marks"),
                (&mut contents.labels, "labels"),
            ] {
                let answers = self
                    .answer(module, name)
                    .map(|e| e.texts(name))
                    .unwrap_or_default();
                for answer in answers {
                    if !list.iter().any(|one| one == answer) {
                        list.push(answer.to_owned());
                    }
                }
            }
        }
        packages.into_values().collect()
    }

    /// How every removed module may travel on every leg.
    #[must_use]
    pub fn verdicts(&self) -> Vec<Verdict> {
        let mut verdicts = Vec::new();
        let packages = self.contents();
        for module in 0..self.frame().modules.len() {
            if self.progress().left_behind(module).is_some() {
                continue;
            }
            for (leg, on) in self.plan().route.iter().enumerate() {
                let decision = transport::decide(&self.facts_among(module, on, &packages));
                verdicts.push(Verdict {
                    module,
                    leg,
                    decision,
                });
            }
        }
        verdicts
    }
}
