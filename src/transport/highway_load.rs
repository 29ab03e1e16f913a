//! A load on a highway of the United States: materials of trade, large loads, loads in bulk.

use crate::transport::decision::RequirementDue;
use crate::transport::document_words::digits_of;
use crate::transport::load_form::Load;
use crate::transport::vehicle_load::Check;
use crate::transport::vehicle_rows::{TRADE, US_ALWAYS, US_FULL};

impl Check {
    pub(super) fn us(&mut self, load: &Load) {
        self.sensible(load);
        self.duties(US_ALWAYS);
        let gross = load.goods.iter().try_fold(0_i64, |sum, goods| {
            goods
                .gross_mass_kg
                .and_then(|gross| sum.checked_add(gross.as_thousandths()))
        });
        if let Some(gross) = gross
            && is_material_of_trade(load, gross)
        {
            self.answer.small_load = true;
            self.duties(TRADE);
            return;
        }
        self.duties(US_FULL);
        match gross {
            None => self.ask(
                "goods.gross_mass_kg",
                "what does the load weigh with its packaging",
                "49 CFR, 172.301(a)(3)",
            ),
            Some(gross) => self.big_load(load, gross),
        }
        self.bulk(load);
    }

    /// 4,000 kg of one kind, from one site, with nothing else (49 CFR 172.301(a)(3), read).
    fn big_load(&mut self, load: &Load, gross: i64) {
        let one_kind = load
            .goods
            .windows(2)
            .all(|pair| matches!(pair, [a, b] if digits_of(&a.un) == digits_of(&b.un)));
        if gross >= 4_000_000
            && one_kind
            && load.loaded_at_one_site != Some(false)
            && load.other_freight != Some(true)
        {
            self.answer.requirements.push(RequirementDue {
                rule: "load-us-number-on-vehicle".to_owned(),
                says:
                    "4,000 kg or more of one number from one site, with nothing else aboard: the \
                       UN number stands on each side and each end of the vehicle."
                        .to_owned(),
                clause: "49 CFR text of 2016, 172.301(a)(3)".to_owned(),
            });
        }
    }

    /// A package over 400 kg net is a bulk packaging (letter of interpretation 23-0052).
    fn bulk(&mut self, load: &Load) {
        let clause = "49 CFR, 171.8; 172.504(f)(9); letter of interpretation 23-0052";
        for goods in &load.goods {
            match goods.heaviest_package_net_kg {
                Some(net) if net.as_thousandths() > 400_000 => {
                    self.answer.requirements.push(RequirementDue {
                        rule: "load-us-bulk-number".to_owned(),
                        says: format!(
                            "A package of more than 400 kg net ({}) is in bulk: its UN number \
                             stands on a placard, an orange panel or a white diamond.",
                            goods.un
                        ),
                        clause: clause.to_owned(),
                    });
                }
                None if goods.net_mass_kg.as_thousandths() > 400_000 => self.ask(
                    "goods.heaviest_package_net_kg",
                    &format!("does one package of {} hold more than 400 kg", goods.un),
                    clause,
                ),
                _ => {}
            }
        }
    }
}

/// 49 CFR 173.6 (read, text of 2013); the limit of 30 kg a package is second-hand. Whatever is not
/// known counts against the relief.
fn is_material_of_trade(load: &Load, gross: i64) -> bool {
    load.vehicle.private_carrier_for_own_trade == Some(true)
        && load.hazardous_waste == Some(false)
        && !load.goods.is_empty()
        && gross <= 200_000
        && load.goods.iter().all(|goods| {
            goods.damaged == Some(false)
                && goods.critical != Some(true)
                && goods
                    .heaviest_package_gross_kg
                    .or(goods.gross_mass_kg)
                    .is_some_and(|package| package.as_thousandths() <= 30_000)
        })
}
