//! What is said beside the record when a load is handed over.

use std::path::PathBuf;

use crate::clock::Moment;
use crate::custody::Keeping;
use crate::units::Decimal;

/// What is said beside the record. What is absent is taken from the record where it stands there.
#[derive(Debug, Clone, Default)]
pub struct ReleaseSaid {
    /// For whom the load is meant; the consignee of the plan where it is absent.
    pub to: Option<String>,
    /// Address of that receiver, where it is not the consignee of the plan.
    pub to_address: Option<String>,
    /// Country of that receiver, two letters.
    pub to_country: Option<String>,
    /// Who gives.
    pub by: Option<String>,
    /// Who takes.
    pub taken_by: Option<String>,
    /// The firm of who takes.
    pub taken_by_firm: Option<String>,
    /// Registration of the vehicle.
    pub vehicle: Option<String>,
    /// Where.
    pub place: Option<String>,
    /// When.
    pub at: Option<Moment>,
    /// How it is kept from here.
    pub kept: Option<Keeping>,
    /// How many packages were counted.
    pub count: Option<u32>,
    /// The packages that leave; all that have not left yet where there are none.
    pub packages: Vec<String>,
    /// Package and seal.
    pub seals: Vec<(String, String)>,
    /// Condition, of one package or of all.
    pub conditions: Vec<(Option<String>, String)>,
    /// Surface temperature in degrees C, of one package or the warmest of all.
    pub temperatures: Vec<(Option<String>, Decimal)>,
    /// Anything else.
    pub remarks: Option<String>,
    /// Why packages that have left before are handed over again.
    pub again: Option<String>,
    /// Where the bundle goes; the job's folder where it is absent.
    pub out: Option<PathBuf>,
}

impl ReleaseSaid {
    /// The value said of a package, else of all; the last one counts.
    pub(super) fn of<'v, T>(values: &'v [(Option<String>, T)], package: &str) -> Option<&'v T> {
        let own = values
            .iter()
            .rfind(|(of, _)| of.as_deref() == Some(package));
        let all = || values.iter().rfind(|(of, _)| of.is_none());
        own.or_else(all).map(|(_, value)| value)
    }
}
