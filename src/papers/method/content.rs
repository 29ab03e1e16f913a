//! The method statement before the visit: steps in order, people, tools, waits, lifts, cautions.

use serde::Serialize;

/// One step of the statement.
#[derive(Debug, Clone, Serialize)]
pub struct MethodStep {
    /// Id.
    pub step: String,
    /// What to do.
    pub does: String,
    /// Who.
    pub who: String,
    /// `1`, `2`, or `2 above 23 kg`.
    pub people: String,
    /// Once, or for each module.
    pub each_module: bool,
    /// Opened by a red flag only; not part of the ordinary way.
    pub red_flag: bool,
    /// What can hurt.
    pub hazard: String,
    /// What to do when it cannot be passed.
    pub if_fails: String,
    /// Cautions.
    pub cautions: Vec<String>,
    /// What will be asked.
    pub asked: Vec<String>,
}

/// A lift that is foreseen.
#[derive(Debug, Clone, Serialize)]
pub struct LiftForeseen {
    /// The module.
    pub module: String,
    /// Mass in kilograms, or `not known`.
    pub mass_kg: String,
    /// Lifting index for one person; `not known`, `not applicable` or `out of reach`.
    pub lifting_index: String,
    /// For two and for three people, by the strictest published rule; empty where there is none.
    pub lifting_index_of_teams: String,
    /// What to bring.
    pub advice: String,
}

/// The method statement.
#[derive(Debug, Clone, Serialize)]
pub struct Method {
    /// Job.
    pub job: String,
    /// Where, when, what.
    pub heading: String,
    /// Procedure.
    pub procedure: String,
    /// Cautions that come first.
    pub cautions: Vec<String>,
    /// Wait for stored energy, with what decides it.
    pub stored_energy_wait: String,
    /// Voltage of the whole pack and what follows.
    pub voltage: String,
    /// What a short circuit could drive and how far its arc would burn: screening figures.
    pub short_circuit: Vec<String>,
    /// What the route asks of the state of charge and which voltage would prove it; empty where it
    /// asks nothing.
    pub state_of_charge: Vec<String>,
    /// People with their roles and days.
    pub people: Vec<String>,
    /// People, instruments and gloves that are not in date on the planned day.
    pub not_in_date: Vec<String>,
    /// Instruments, gloves and tools of the plan.
    pub instruments: Vec<String>,
    /// Tools that the steps ask for.
    pub tools: Vec<String>,
    /// Protective equipment that the steps ask for.
    pub protective: Vec<String>,
    /// Lifts.
    pub lifts: Vec<LiftForeseen>,
    /// Steps in order.
    pub steps: Vec<MethodStep>,
    /// Settings that are this project's own and not law.
    pub own_numbers: Vec<String>,
    /// The same under the name of each owner.
    pub by_owner: Vec<OwnNumbers>,
}

/// Settings of one owner.
#[derive(Debug, Clone, Serialize)]
pub struct OwnNumbers {
    /// Who answers for them.
    pub owner: String,
    /// Name, value, unit, what for.
    pub lines: Vec<String>,
}
