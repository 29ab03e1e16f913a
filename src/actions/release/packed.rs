//! Packages and modules as they leave.

use super::ReleaseSaid;
use super::load::Load;
use super::seals::seal_of;
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::custody::{HandedModule, HandedPackage, LeafRef};
use crate::job::{Contents, Verdict, module_entries};
use crate::ledger::to_hex;
use crate::papers::names::package_code;
use crate::physics::CellKind;
use crate::units::{Decimal, Grams};

impl Load<'_> {
    /// Every package that leaves, with its modules.
    pub(super) fn packages(
        &mut self,
        leaving: &[Contents],
        verdicts: &[Verdict],
    ) -> Vec<HandedPackage> {
        self.seals_of_the_record(leaving);
        let said = self.said;
        let written = self
            .signed_over
            .and_then(|entry| entry.evidence.text("condition"));
        let mut packages = Vec::new();
        for one in leaving {
            let seal = seal_of(self, one);
            let condition = ReleaseSaid::of(&said.conditions, &one.package).map(String::as_str);
            let condition = condition.or(written).unwrap_or_default().to_owned();
            if condition.is_empty() {
                self.missing.push(
                    Reason::new(format!("condition of package {}", one.package), "not said")
                        .limit("in words, from looking at it")
                        .way_out("say it with --condition"),
                );
            }
            let job = self.job();
            let net = one
                .modules
                .iter()
                .map(|module| job.net_mass(*module))
                .try_fold(Grams::default(), |sum, mass| sum.plus(mass?));
            packages.push(HandedPackage {
                id: one.package.clone(),
                sscc: package_code(job, &one.package).sscc().map(str::to_owned),
                seal,
                net_mass_kg: net.map(Grams::decimal),
                gross_mass_kg: one.gross_mass_kg.map(Grams::decimal),
                condition,
                surface_temperature_c: said
                    .temperatures
                    .iter()
                    .rfind(|(of, _)| of.as_ref() == Some(&one.package))
                    .map(|(_, value)| *value),
                modules: one
                    .modules
                    .iter()
                    .filter_map(|module| self.module(*module, verdicts))
                    .collect(),
            });
        }
        packages
    }

    fn module(&self, module: usize, verdicts: &[Verdict]) -> Option<HandedModule> {
        let (job, log) = (self.job(), self.log());
        let planned = job.frame().modules.get(module)?;
        let (identity, serial_readable) = job.identity(module);
        let seq = *module_entries(log, &planned.id).last()?;
        let sheet = job.sheet(module);
        let charge = job.state_of_charge(module);
        let whole =
            charge.low_percent == Decimal::whole(0) && charge.high_percent == Decimal::whole(100);
        let entry = verdicts
            .iter()
            .find(|verdict| verdict.module == module && verdict.leg == 0)
            .and_then(|verdict| verdict.decision.entry.as_ref());
        let soundness = job.soundness(module);
        Some(HandedModule {
            identity,
            serial_readable,
            chemistry: serde_json::to_value(job.plan().installation.chemistry)
                .ok()
                .and_then(|word| word.as_str().map(str::to_owned)),
            cell_kind: Some(job.cell_kind()).filter(|kind| *kind != CellKind::Unknown),
            soundness: soundness.word().to_owned(),
            rated_energy_wh: planned.rated_energy_wh.map(|energy| energy.decimal()),
            net_mass_kg: job.net_mass(module).map(Grams::decimal),
            state_of_charge_low_percent: (!whole).then_some(charge.low_percent),
            state_of_charge_high_percent: (!whole).then_some(charge.high_percent),
            surface_temperature_c: sheet.surface_temperature_c,
            un: entry.map(|entry| entry.un.to_string()),
            shipping_name: entry.map(|entry| entry.proper_shipping_name.to_string()),
            hold: (soundness > Soundness::Sound).then(|| {
                format!("{soundness}: hold it apart until the check on receipt has passed")
            }),
            last_entry: LeafRef {
                log: log.origin().to_owned(),
                seq,
                leaf_hash: to_hex(&log.leaf(seq)?),
            },
        })
    }
}
