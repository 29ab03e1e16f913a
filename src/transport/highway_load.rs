//! A load on highway, railway or vessel of the United States: materials of trade, large loads, loads
//! in bulk.

use crate::transport::decision::RequirementDue;
use crate::transport::document_words::digits_of;
use crate::transport::facts::Mode;
use crate::transport::load_form::Load;
use crate::transport::vehicle_load::Check;
use crate::transport::vehicle_rows::{
    Due, LoadLaw, TRADE_LOAD, TRADE_PACKAGE, US_BIG_LOAD, US_BULK,
};

impl Check {
    pub(super) fn us(&mut self, load: &Load, mode: Mode) {
        let law = match mode {
            Mode::Rail => LoadLaw::Railroad,
            Mode::Sea => LoadLaw::Vessel,
            _ => LoadLaw::Highway,
        };
        self.sensible(load);
        self.no_sodium(load);
        self.duties(law, Due::Always);
        let gross = load.goods.iter().try_fold(0_i64, |sum, goods| {
            goods
                .gross_mass_kg
                .and_then(|gross| sum.checked_add(gross.as_thousandths()))
        });
        // Materials of trade travel by motor vehicle only (49 CFR 171.8).
        if let Some(gross) = gross
            && law == LoadLaw::Highway
            && is_material_of_trade(load, gross)
        {
            self.answer.small_load = true;
            self.duties(law, Due::SmallLoad);
            return;
        }
        self.duties(law, Due::FullLoad);
        self.duties(LoadLaw::UnitedStates, Due::FullLoad);
        match gross {
            None => self.ask(
                "goods.gross_mass_kg",
                "what does the load weigh with its packaging",
                "49 CFR, 172.301(a)(3)",
            ),
            Some(gross) => self.big_load(load, gross),
        }
        self.bulk(load);
        self.other_goods(load);
        if law == LoadLaw::Vessel {
            self.vessel(load);
        }
    }

    /// The text that was read has no entry for sodium ion.
    fn no_sodium(&mut self, load: &Load) {
        for goods in &load.goods {
            if matches!(digits_of(&goods.un).as_str(), "3551" | "3552") {
                self.hold(
                    "entry",
                    &goods.un,
                    "the compliance officer says on what basis it travels: 49 CFR (text of Dec \
                     2022) has no entry for sodium ion batteries",
                );
            }
        }
    }

    /// Placards and segregation of other goods are not encoded.
    fn other_goods(&mut self, load: &Load) {
        for goods in &load.goods {
            if !matches!(
                digits_of(&goods.un).as_str(),
                "3090" | "3091" | "3480" | "3481" | "3536" | "3551" | "3552"
            ) {
                self.hold(
                    "placards and segregation of other goods",
                    &goods.un,
                    "the compliance officer decides by 49 CFR 172.504 and the segregation table of \
                     the mode, which are not encoded",
                );
            }
        }
    }

    /// 4,000 kg of one kind, from one site, with nothing else (49 CFR 172.301(a)(3), read).
    fn big_load(&mut self, load: &Load, gross: i64) {
        let one_kind = load
            .goods
            .windows(2)
            .all(|pair| matches!(pair, [a, b] if digits_of(&a.un) == digits_of(&b.un)));
        if gross >= US_BIG_LOAD.thousandths()
            && one_kind
            && load.loaded_at_one_site != Some(false)
            && load.other_freight != Some(true)
        {
            self.due(&US_BIG_LOAD);
        }
    }

    /// A package over 400 kg net is a bulk packaging (letter of interpretation 23-0052).
    fn bulk(&mut self, load: &Load) {
        let most = US_BULK.thousandths();
        for goods in &load.goods {
            match goods.heaviest_package_net_kg {
                Some(net) if net.as_thousandths() > most => {
                    self.answer.requirements.push(RequirementDue {
                        rule: US_BULK.id.into(),
                        says: format!("{} ({})", US_BULK.says.trim_end_matches('.'), goods.un)
                            .into(),
                        clause: US_BULK.cited().into(),
                    });
                }
                None if goods.net_mass_kg.as_thousandths() > most => self.ask(
                    "goods.heaviest_package_net_kg",
                    &format!("does one package of {} hold more than 400 kg", goods.un),
                    US_BULK.clause,
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
        && gross <= TRADE_LOAD.thousandths()
        && load.goods.iter().all(|goods| {
            goods.damaged == Some(false)
                && goods.critical != Some(true)
                && goods
                    .heaviest_package_gross_kg
                    .or(goods.gross_mass_kg)
                    .is_some_and(|package| package.as_thousandths() <= TRADE_PACKAGE.thousandths())
        })
}
