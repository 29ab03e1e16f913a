//! What a short circuit could drive on a site and how far its arc would burn, for a plan.
//!
//! The sums are those of `arc`; the resistance of a module is assumed where nobody declared one:
//! 12 mΩ iron phosphate, 20 mΩ others (chosen here). Screening figures: no fuse is counted, since
//! none is proven, and the maker's declared current goes before them.

use super::arc::{ArcInput, ShortCircuitInput, arc, short_circuit};
use super::curves::CellKind;
use super::domain::DomainError;
use crate::units::Decimal;

/// The modules that stand together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StandingModules {
    /// Kind of cell, for the resistance that is assumed.
    pub chemistry: CellKind,
    /// Highest voltage of the pack, volts.
    pub pack_voltage_v: Decimal,
    /// Modules of a string.
    pub in_series: u32,
    /// Strings in parallel.
    pub strings: u32,
}

/// The figures, in whole amperes and centimetres rounded up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SiteFault {
    /// Resistance assumed of one module, milliohms.
    pub module_resistance_mohm: u32,
    /// One module shorted, amperes.
    pub module_current_a: u32,
    /// The whole pack shorted, amperes.
    pub pack_current_a: u32,
    /// The arc of the whole pack; `None` outside the method, with why.
    pub arc: Result<SiteArc, String>,
}

/// The arc of the whole pack at maximum power, two seconds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SiteArc {
    /// Calories on a square centimetre at 45.7 cm, rounded up to 0.1.
    pub energy_cal_cm2: Decimal,
    /// Distance of 1.2 cal/cm², centimetres.
    pub boundary_cm: u32,
    /// Lowest glove class for the voltage.
    pub glove_class: Option<&'static str>,
    /// Least dc rating of a tester, volts.
    pub tester_least_v: Decimal,
}

/// The figures of a site.
///
/// # Errors
/// No voltage, no module, more than 1000 in a row.
pub fn site_fault(site: &StandingModules) -> Result<SiteFault, DomainError> {
    let mohm = if site.chemistry == CellKind::Lfp {
        12
    } else {
        20
    };
    let ohm = f64::from(mohm) / 1000.0;
    let series = site.in_series.max(1);
    let volts = site.pack_voltage_v.to_f64();
    let one = ShortCircuitInput {
        module_voltage_v: volts / f64::from(series),
        module_resistance_ohm: ohm,
        modules_in_series: 1,
        strings_in_parallel: 1,
        link_resistance_ohm: 0.0,
    };
    let module = short_circuit(&one)?;
    let pack = short_circuit(&ShortCircuitInput {
        modules_in_series: series,
        strings_in_parallel: site.strings.max(1),
        ..one
    })?;
    // The casts saturate.
    let up = |value: f64| libm::ceil(value - 1e-9) as u32;
    let found = if volts < 100.0 {
        Err("below 100 V the method is silent, which is not safe".to_owned())
    } else {
        arc(&ArcInput {
            system_voltage_v: volts,
            short_circuit_a: pack.current_a,
            duration_s: None,
            distance_cm: None,
            enclosed: false,
            tester_rating_v: None,
        })
        .map(|found| SiteArc {
            energy_cal_cm2: Decimal::from_thousandths(
                i64::from(up(found.incident_energy_cal_cm2 * 10.0)) * 100,
            ),
            boundary_cm: up(found.boundary_cm),
            glove_class: found.glove_class,
            tester_least_v: Decimal::from_thousandths(
                i64::from(up(found.tester_least_v * 10.0)) * 100,
            ),
        })
        .map_err(|error| error.to_string())
    };
    Ok(SiteFault {
        module_resistance_mohm: mohm,
        module_current_a: up(module.current_a),
        pack_current_a: up(pack.current_a),
        arc: found,
    })
}
