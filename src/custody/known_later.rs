//! What becomes known of a module after it came: its serial, facts from its plate or a scale, the
//! certificate of who treated it.

use super::event::{CertificateTaken, FactsStated};
use super::register::{Certified, Register};
use super::same_form;
use crate::clock::Moment;

impl Register {
    /// A certificate names modules that left the site; what never did is not this register's.
    pub(super) fn certify(&mut self, taken: &CertificateTaken, at: Moment) -> Result<(), String> {
        if self
            .certificates
            .iter()
            .any(|(_, before)| before.number == taken.number && before.treater == taken.treater)
        {
            return Err(format!(
                "certificate {} of {} came in before",
                taken.number, taken.treater
            ));
        }
        self.certificates.push((at, taken.clone()));
        for serial in &taken.serials {
            let Ok(item) = self.item_mut(serial) else {
                continue;
            };
            if item.gone.is_some() {
                item.certified.push(Certified {
                    at,
                    number: taken.number.clone(),
                    treater: taken.treater.clone(),
                });
            }
        }
        Ok(())
    }

    pub(super) fn merge(&mut self, temporary: &str, serial: &str) -> Result<(), String> {
        let form = same_form(serial);
        if self
            .items
            .get(&form)
            .is_some_and(|item| item.gone.is_none())
        {
            return Err(format!("`{serial}` stands here already"));
        }
        let before = same_form(temporary);
        let mut item = self
            .items
            .remove(&before)
            .ok_or_else(|| format!("there is no identity `{temporary}`"))?;
        for key in self.borne.values_mut().filter(|key| **key == before) {
            key.clone_from(&form);
        }
        self.borne.insert(before, form.clone());
        item.also.push(std::mem::replace(
            &mut item.arrived.identity,
            serial.to_owned(),
        ));
        item.arrived.temporary = false;
        self.items.insert(form, item);
        Ok(())
    }

    pub(super) fn state(&mut self, stated: &FactsStated) -> Result<(), String> {
        let arrived = &mut self.on_site_mut(&stated.identity)?.arrived;
        if stated.chemistry.is_some() {
            arrived.chemistry.clone_from(&stated.chemistry);
        }
        arrived.rated_energy_wh = stated.rated_energy_wh.or(arrived.rated_energy_wh);
        arrived.net_mass_kg = stated.net_mass_kg.or(arrived.net_mass_kg);
        arrived.volume_m3 = stated.volume_m3.or(arrived.volume_m3);
        Ok(())
    }
}
