//! How long stored energy takes to fall below a limit, for the wait before the dead test.
//!
//! `t = R·C·ln(V0/V)`, `E = ½·C·V0²`, `P0 = V0²/R`, `Q = C·V0`. Worst case: both tolerances at
//! their upper end. The result is a floor for the wait and never proof: a bleeder may be open.
//! The measured voltage decides.

use crate::battery::Capacitors;

/// What a charged capacitor does when it is left to its bleeder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StoredEnergy {
    /// Seconds until the limit; 0 where it starts below.
    pub wait_s: f64,
    /// Time constant in seconds, tolerances included.
    pub time_constant_s: f64,
    /// Joules at the start, with the capacitance's tolerance.
    pub energy_j: f64,
    /// Watts in the bleeder at the start, with the resistance that was given.
    pub first_power_w: f64,
    /// Coulombs at the start.
    pub charge_c: f64,
}

impl StoredEnergy {
    /// Whole seconds to wait, rounded up.
    #[must_use]
    pub fn whole_seconds(&self) -> i64 {
        // Beyond 10^9 s (30 years) the answer is "not by waiting"; the cast saturates.
        libm::ceil(self.wait_s.min(1e9)) as i64
    }
}

/// Why no wait can be computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CapacitorError {
    /// Resistance, capacitance and the limit must be above zero, the start not below.
    #[error(
        "resistance, capacitance and the voltage limit must be above 0 and the start voltage not below 0"
    )]
    OutOfDomain,
}

/// Seconds until `ohm` has brought `farad` from `from_v` to `to_v`, and what was stored.
///
/// # Errors
/// Values outside the domain: all must be above 0, `from_v` may be 0.
pub fn stored_energy(
    ohm: f64,
    farad: f64,
    from_v: f64,
    to_v: f64,
) -> Result<StoredEnergy, CapacitorError> {
    let positive = |value: f64| value.is_finite() && value > 0.0;
    if !(positive(ohm) && positive(farad) && positive(to_v) && from_v.is_finite() && from_v >= 0.0)
    {
        return Err(CapacitorError::OutOfDomain);
    }
    let time_constant_s = ohm * farad;
    let wait_s = if from_v <= to_v {
        0.0
    } else {
        time_constant_s * libm::log(from_v / to_v)
    };
    Ok(StoredEnergy {
        wait_s,
        time_constant_s,
        energy_j: 0.5 * farad * from_v * from_v,
        first_power_w: from_v * from_v / ohm,
        charge_c: farad * from_v,
    })
}

impl Capacitors {
    /// The worst case of these capacitors down to `to_v` volts.
    ///
    /// # Errors
    /// As [`stored_energy`].
    pub fn stored_energy_to(&self, to_v: f64) -> Result<StoredEnergy, CapacitorError> {
        let worst = |tolerance: f64| 1.0 + tolerance / 100.0;
        stored_energy(
            self.bleed_resistance_ohm.to_f64() * worst(self.resistance_tolerance_percent.to_f64()),
            self.capacitance_uf.to_f64()
                * 1e-6
                * worst(self.capacitance_tolerance_percent.to_f64()),
            self.from_v.to_f64(),
            to_v,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(value: f64, expected: f64, tolerance: f64) {
        assert!(
            (value - expected).abs() <= tolerance,
            "{value} is not {expected} ± {tolerance}"
        );
    }

    #[test]
    fn a_resistor_makers_design_example() {
        // Resistor maker's design tool no. 4 (2005): 195 uF, 1500 -> 320 V, 50 ohm:
        // t = 0.015062769 s, tau = 0.00975 s, P0 = 45 000 W, E = 219.375 J.
        let stored = stored_energy(50.0, 195e-6, 1500.0, 320.0).unwrap();
        near(stored.wait_s, 0.015_062_769, 1e-9);
        near(stored.time_constant_s, 0.009_75, 1e-12);
        near(stored.first_power_w, 45_000.0, 1e-9);
        near(stored.energy_j, 219.375, 1e-9);
    }

    #[test]
    fn two_published_calculator_pages() {
        // resicalc.com capacitor page: 10 kohm, 470 uF, 400 -> 50 V: 9.8 s; 400 V, 1000 uF: 80 J.
        near(
            stored_energy(10e3, 470e-6, 400.0, 50.0).unwrap().wait_s,
            9.8,
            0.05,
        );
        near(
            stored_energy(1.0, 1000e-6, 400.0, 50.0).unwrap().energy_j,
            80.0,
            1e-9,
        );
        // theprimecalculator.com: 100 uF, 10 kohm, 12 -> 1 V: 2.485 s.
        near(
            stored_energy(10e3, 100e-6, 12.0, 1.0).unwrap().wait_s,
            2.485,
            0.001,
        );
    }

    #[test]
    fn the_published_share_left_after_one_to_five_time_constants() {
        // lscsc.com: 36.8, 13.5, 5.0, 1.8, 0.7 % of the voltage.
        for (n, percent) in [(1.0, 36.8), (2.0, 13.5), (3.0, 5.0), (4.0, 1.8), (5.0, 0.7)] {
            let wait = stored_energy(1e3, 1e-3, 100.0, percent).unwrap().wait_s;
            near(wait, n, 0.04);
        }
    }

    #[test]
    fn five_minutes_is_not_always_enough() {
        // Own sum, checked by hand: 2 mF, 100 kohm, 800 -> 60 V = 518 s; E = 640 J.
        let stored = stored_energy(100e3, 2e-3, 800.0, 60.0).unwrap();
        assert_eq!(stored.whole_seconds(), 519);
        near(stored.wait_s, 518.0, 0.5);
        near(stored.energy_j, 640.0, 1e-9);
    }

    #[test]
    fn a_start_below_the_limit_needs_no_wait_and_nonsense_is_refused() {
        assert_eq!(
            stored_energy(1.0, 1.0, 40.0, 60.0).unwrap().whole_seconds(),
            0
        );
        for (r, c, from, to) in [
            (0.0, 1.0, 1.0, 1.0),
            (-1.0, 1.0, 1.0, 1.0),
            (1.0, 0.0, 1.0, 1.0),
            (1.0, 1.0, -1.0, 1.0),
            (1.0, 1.0, 1.0, 0.0),
            (f64::NAN, 1.0, 1.0, 1.0),
        ] {
            assert_eq!(
                stored_energy(r, c, from, to),
                Err(CapacitorError::OutOfDomain)
            );
        }
    }
}
