//! Whether a module is to be discharged before it travels, and by which plan.

use super::Job;
use crate::citation::Reason;
use crate::inspection::{LimitVerdict, triage};
use crate::physics::{
    ChargedModule, CrewLoad, DischargePlan, LoadFault, MakerCurve, module_discharge,
};
use crate::units::Decimal;

/// Warmest surface at which a discharge may begin, degrees Celsius (chosen here).
const HOTTEST_C: i32 = 45;
/// Coldest module and air at which a discharge may begin, degrees Celsius (chosen here).
const COLDEST_C: i32 = 5;
/// Distance of cells above which each must be seen during a discharge, millivolts (chosen here).
const APART_MV: i64 = 100;
const RULE: &str = "list of this project (project default, not law)";

/// What is to be done about a module's charge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Discharging {
    /// No leg of the route sets a limit.
    NotAsked,
    /// The limit is proven as it stands.
    Proven,
    /// It holds little enough already; only a reading that proves it is missing.
    OnlyRead,
    /// It is never discharged here, and why.
    Never(Vec<Reason>),
    /// Facts are missing.
    NotKnown(Vec<Reason>),
    /// It may be offered for discharge; a named competent person decides.
    Plan {
        /// The discharge from the most it may hold.
        plan: Box<DischargePlan>,
        /// Its cells lie so far apart that each must be seen all the time.
        every_cell_seen: bool,
    },
}

impl Job {
    /// What is to be done about the charge of a module before it travels.
    #[must_use]
    pub fn discharging(&self, module: usize) -> Discharging {
        let charge = self.state_of_charge(module);
        let Some((limit, verdict)) = charge.limit else {
            return Discharging::NotAsked;
        };
        if verdict == LimitVerdict::Proven {
            return Discharging::Proven;
        }
        let never = self.never_discharged(module);
        if !never.is_empty() {
            return Discharging::Never(never);
        }
        match self.planned_discharge(module, charge.high_percent, limit) {
            Err(reasons) => Discharging::NotKnown(reasons),
            Ok(None) => Discharging::OnlyRead,
            Ok(Some(plan)) => {
                let cell = |name| self.newest(module, name).and_then(Decimal::thousandths);
                let apart = cell("cell_voltage_highest_v")
                    .zip(cell("cell_voltage_lowest_v"))
                    .is_some_and(|(high, low)| high - low > APART_MV);
                Discharging::Plan {
                    plan: Box::new(plan),
                    every_cell_seen: apart,
                }
            }
        }
    }

    /// The discharge of a full module, for the plan of the visit: the first that has the facts.
    #[must_use]
    pub fn foreseen_discharge(&self) -> Option<DischargePlan> {
        let limit = self.charge_limit_percent()?;
        (0..self.frame().modules.len()).find_map(|module| {
            self.planned_discharge(module, Decimal::whole(100), limit)
                .ok()?
        })
    }

    /// Why the load that the crew has is not used for this discharge; empty where it is, or where
    /// there is none.
    #[must_use]
    pub fn load_refused(&self, plan: &DischargePlan) -> Vec<Reason> {
        let (Some(load), Some(found)) = (&self.plan().discharge_load, &plan.by_load) else {
            return Vec::new();
        };
        let what = format!("load {} ({})", load.name, load.draws.words());
        let refused = |value: String, limit: String, clause: &str, way_out: String| {
            Reason::new(&what, value)
                .limit(limit)
                .clause(clause)
                .way_out(way_out)
        };
        let other = format!(
            "bring a load that draws {} A at the most: a resistor of {} ohm or more that bears {} W",
            plan.current_a, plan.resistor_ohm, plan.load_w
        );
        match found {
            Err(why) => vec![refused(
                why.clone(),
                "a load that the module can feed".into(),
                RULE,
                other,
            )],
            Ok(found) => found
                .faults
                .iter()
                .map(|fault| match fault {
                    LoadFault::Power(watt) => refused(
                        format!("{watt} W"),
                        format!("{} W, what it bears", load.max_power_w),
                        "plate of the load",
                        other.clone(),
                    ),
                    LoadFault::Current(ampere) => refused(
                        format!("{ampere} A"),
                        format!("{} A: 0.2 of the rated capacity", plan.current_a),
                        RULE,
                        other.clone(),
                    ),
                    LoadFault::Rise(kelvin) => refused(
                        format!("warms the module by {kelvin} K"),
                        "10 K".into(),
                        RULE,
                        other.clone(),
                    ),
                    LoadFault::CellMinimum => refused(
                        "a cell comes to its least voltage before the target".into(),
                        format!("{} V a cell under load", plan.least_cell_v),
                        RULE,
                        other.clone(),
                    ),
                })
                .collect(),
        }
    }

    fn planned_discharge(
        &self,
        module: usize,
        high_percent: Decimal,
        limit_percent: Decimal,
    ) -> Result<Option<DischargePlan>, Vec<Reason>> {
        let planned = self.frame().modules.get(module);
        let cells = planned.and_then(|one| one.cells_in_series);
        let capacity = planned.and_then(|one| one.rated_capacity_ah);
        let (Some(cells), Some(capacity)) = (cells, capacity) else {
            let missing = [
                ("cells in series", cells.is_none()),
                ("rated capacity", capacity.is_none()),
            ];
            return Err(missing
                .into_iter()
                .filter(|(_, is_missing)| *is_missing)
                .map(|(what, _)| {
                    Reason::new(what, "not known")
                        .limit("known before a discharge is planned")
                        .clause(RULE)
                        .way_out("read the plate, or ask the maker, and put it into the plan")
                })
                .collect());
        };
        module_discharge(&ChargedModule {
            chemistry: self.cell_kind(),
            cells,
            capacity_ah: capacity.decimal(),
            high_percent,
            limit_percent,
            curve: self
                .plan()
                .installation
                .cell_curve_csv
                .clone()
                .map(MakerCurve::Csv),
            load: self.plan().discharge_load.as_ref().map(|load| CrewLoad {
                draws: load.draws,
                max_power_w: load.max_power_w,
            }),
        })
        .map_err(|error| {
            vec![
                Reason::new("discharge", error.to_string())
                    .limit("a chemistry with a curve")
                    .clause(RULE)
                    .way_out("get the maker's own table of rested cell voltages"),
            ]
        })
    }

    /// What was read last under a name: in a reading, else in the steps of the module.
    fn newest(&self, module: usize, name: &str) -> Option<Decimal> {
        self.readings(module)
            .filter_map(|entry| entry.evidence.number(name))
            .last()
            .or_else(|| self.answering(module, name)?.evidence.number(name))
    }

    /// Why a module is never discharged by a technician; empty where nothing forbids it.
    fn never_discharged(&self, module: usize) -> Vec<Reason> {
        let found = triage(self.judged_soundness(module), &self.findings(module));
        let mut reasons = found.no_discharge;
        if reasons.is_empty() && found.soundness.is_damaged_in_law() {
            reasons.push(
                Reason::new("discharge, soundness", found.soundness.word())
                    .limit("sound or suspect, as somebody judged it")
                    .clause("steps X12 and X18 of the procedure (project default, not law)")
                    .way_out(
                        "leave the charge in it: treat it as full, and let a specialist decide",
                    ),
            );
        }
        let surface = self.newest(module, "face_temperature_c");
        if let Some(surface) = surface.filter(|surface| *surface > Decimal::whole(HOTTEST_C)) {
            reasons.push(
                Reason::new("discharge, surface", format!("{surface} °C"))
                    .limit(format!("{HOTTEST_C} °C at most"))
                    .clause(RULE)
                    .way_out("step away and watch it; it is read again when it has cooled"),
            );
        }
        for (what, celsius) in [
            ("discharge, surface", surface),
            (
                "discharge, air",
                self.newest(module, "ambient_temperature_c"),
            ),
        ] {
            if let Some(celsius) = celsius.filter(|celsius| *celsius < Decimal::whole(COLDEST_C)) {
                reasons.push(
                    Reason::new(what, format!("{celsius} °C"))
                        .limit(format!("{COLDEST_C} °C at least"))
                        .clause(RULE)
                        .way_out(
                            "bring it to a warmer place and let it warm through, then read again",
                        ),
                );
            }
        }
        reasons
    }
}
