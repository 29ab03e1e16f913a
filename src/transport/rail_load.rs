//! A load on the railway under RID: no relief for small loads, placards, express parcels.

use chrono::NaiveDate;

use crate::transport::load_form::Load;
use crate::transport::vehicle_load::Check;
use crate::transport::vehicle_rows::{
    Due, LoadLaw, NEXT_EDITION_FROM, NEXT_EDITION_RAIL, RAIL_EXPRESS,
};

impl Check {
    pub(super) fn rail(&mut self, load: &Load, on: NaiveDate) {
        self.sensible(load);
        self.mixed(load, "RID 2025, 7.5.2.1");
        self.duties(LoadLaw::Rid, Due::Always);
        if on >= NEXT_EDITION_FROM {
            self.due(&NEXT_EDITION_RAIL);
        }
        // What is not known counts as too heavy for an express parcel.
        let may_be_heavy = load.goods.iter().any(|goods| {
            goods
                .heaviest_package_gross_kg
                .or(goods.gross_mass_kg)
                .is_none_or(|gross| gross.as_thousandths() > RAIL_EXPRESS.thousandths())
        });
        if may_be_heavy {
            self.due(&RAIL_EXPRESS);
        }
    }
}
