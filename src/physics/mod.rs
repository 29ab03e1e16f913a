//! Pure sums. The only place with floats; every function gives the same bits on every machine.

mod annex_vii;
mod arc;
mod capacitor_wait;
mod charge_reasons;
mod crew_load;
mod curves;
mod discharge;
mod domain;
mod energy;
mod figure;
mod gas;
mod hands;
mod health;
mod insulation;
mod json_line;
mod lift;
mod lifting_time;
mod materials;
mod module_charge;
mod module_discharge;
mod niosh;
mod niosh_tasks;
mod recycling;
mod rested_reading;
mod reuse;
mod self_discharge;
mod site_fault;
mod state_of_charge;
mod trend;
mod wait;

pub use annex_vii::{AnnexParameter, annex_vii};
pub use arc::{ArcAnswer, ArcInput, ShortCircuitAnswer, ShortCircuitInput, arc, short_circuit};
pub use capacitor_wait::{StoredLimit, VoltageLimit, WaitAnswer, WaitInput, capacitor_wait};
pub use charge_reasons::ChargeReason;
pub use crew_load::{ByLoad, CrewLoad, Draws, LoadFault, LoadPoint};
pub use curves::{CellKind, Curve, published, published_named};
pub use discharge::{AtLoad, DischargeAnswer, DischargeInput, Ended, Load, discharge};
pub use domain::{DomainError, in_plain_words};
pub use energy::{EnergyAnswer, EnergyBounds, EnergyInput, energy, module_energy};
pub use figure::Figure;
pub use gas::{ExposureLimit, Gas, GasAnswer, GasInput, gas};
pub use hands::{Hands, Units};
pub use health::{HealthAnswer, HealthInput, ResistanceStep, ReuseFacts, health};
pub use insulation::{
    CaseInsulation, CaseReadings, InsulationAnswer, InsulationClass, InsulationInput,
    case_insulation, insulation, resistor_to_choose_ohm,
};
pub use json_line::put_json;
pub use lift::{Foreseen, TeamIndex, foreseen};
pub use lifting_time::{Duration, Period, duration_class, frequency_multiplier};
pub use materials::{
    Material, MaterialRange, MaterialsAnswer, MaterialsInput, TabledCell, materials,
    module_materials,
};
pub use module_charge::{
    Counted, MeterRecord, ModuleCharge, ModuleEvidence, module_charge, proving_cell_voltage,
};
pub use module_discharge::{
    ChargedModule, DischargeMark, DischargePlan, READ_EVERY_MIN, module_discharge,
};
pub use niosh::{LiftAnswer, LiftEnd, LiftInput, lift};
pub use niosh_tasks::{Task, TaskAnswer, TasksAnswer, TasksInput, lift_tasks};
pub use recycling::{
    Fraction, LeftOut, MaterialFlow, Rate, Recycled, RecyclingAnswer, RecyclingInput, Target,
    recycling_rates, recycling_targets,
};
pub use rested_reading::{
    CoulombCount, CurvePoint, LastCurrent, MakerCurve, ManagementValue, Meter, RestedReading,
    StableReadings,
};
pub use reuse::{
    GateState, PartialDischarge, ReuseEvidence, ReuseGates, TwoReadings, loss_of_charge,
    reuse_gates,
};
pub use self_discharge::{
    SelfDischargeAnswer, SelfDischargeInput, SelfDischargeOutcome, self_discharge,
};
pub use site_fault::{SiteArc, SiteFault, StandingModules, site_fault};
pub use state_of_charge::{ChargeVerdict, ErrorTerms, Proof, state_of_charge};
pub use trend::{
    TemperatureReading, TrendAnswer, TrendInput, TrendOutcome, WatchLook, trend, watch_rules,
};
pub use wait::{CapacitorError, StoredEnergy, stored_energy};
