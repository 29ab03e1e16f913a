//! Rows of the inspection sheets, taken from a job's entries.

use super::manifest_of::charge_range;
use super::sheets::SheetRow;
use crate::battery::{Purpose, Soundness};
use crate::job::Job;
use crate::units::Decimal;

/// One row a module, in order of removal.
pub(super) fn sheet_rows(job: &Job) -> Vec<SheetRow> {
    (0..job.frame().modules.len())
        .map(|module| {
            let sheet = job.sheet(module);
            let rise = match (sheet.surface_temperature_c, sheet.ambient_temperature_c) {
                (Some(surface), Some(ambient)) => surface
                    .thousandths()
                    .zip(ambient.thousandths())
                    .map(|(a, b)| Decimal::from_thousandths(a.saturating_sub(b))),
                _ => None,
            };
            SheetRow {
                module: sheet.module,
                serial: sheet.serial,
                serial_proved: sheet.serial_proved,
                model: sheet.model,
                position: Some(sheet.position),
                photos: sheet.photos,
                surface_temperature_c: sheet.surface_temperature_c,
                ambient_temperature_c: sheet.ambient_temperature_c,
                temperature_rise_k: rise,
                terminal_voltage_v: sheet.terminal_voltage_v,
                positive_to_case_v: sheet.positive_to_case_v,
                negative_to_case_v: sheet.negative_to_case_v,
                insulation_ohm_per_v: sheet.insulation_ohm_per_v,
                cell_voltage_lowest_v: sheet.cell_voltage_lowest_v,
                cell_voltage_highest_v: sheet.cell_voltage_highest_v,
                energy_inside_wh: job
                    .energy_inside(module)
                    .map(|inside| (inside.low_wh, inside.high_wh)),
                charge_limit: sheet.state_of_charge.limit,
                charge_next: sheet.state_of_charge.reasons.clone(),
                state_of_charge: charge_range(sheet.state_of_charge),
                findings: sheet.findings,
                soundness: sheet.soundness.unwrap_or(Soundness::Undiagnosed),
                judged_by: sheet.judged_by,
                criteria_source: sheet.criteria_source,
                net_mass_kg: job.net_mass(module),
                lift_note: sheet.lift_note,
                terminal_covers: sheet.terminal_covers,
                package: sheet.package,
                packaging: sheet.packaging,
                seal: sheet.seal,
                reuse_gates: if job.plan().purpose == Purpose::Reuse {
                    job.reuse_words(module)
                } else {
                    Vec::new()
                },
            }
        })
        .collect()
}
