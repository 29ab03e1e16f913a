//! The energy that may still be inside a module: its rating by its charge and its health.

use super::Job;
use crate::physics::{EnergyBounds, module_energy};

impl Job {
    /// Least and most that a module may hold; `None` where nobody knows its rating. A module whose
    /// charge is not known holds the whole of it, and health that was not tested counts as 1.
    #[must_use]
    pub fn energy_inside(&self, module: usize) -> Option<EnergyBounds> {
        let rated = self.frame().modules.get(module)?.rated_energy_wh?;
        let charge = self.state_of_charge(module);
        let health = self
            .reuse_gates(module)
            .ok()
            .and_then(|gates| gates.health_percent);
        let kind = self.cell_kind();
        module_energy(
            kind,
            rated,
            (charge.low_percent, charge.high_percent),
            health,
        )
        .ok()
    }
}
