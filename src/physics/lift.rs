//! What one person may lift, for the plan and for the lift of a module.
//!
//! The equation itself stands in `niosh`; here are the posture that the plan assumes and the
//! rounding to the safe side. Domain: two hands, stable load, no stairs, no carrying: stairs and
//! carrying are outside it and always need a second look.

use super::niosh::{self, Coupling, Units};
use crate::units::Grams;

/// One lift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// Horizontal distance of the hands from the ankles, cm; below 25 counts as 25.
    pub horizontal_cm: f64,
    /// Height of the hands at the start, cm.
    pub vertical_cm: f64,
    /// Vertical travel, cm; below 25 counts as 25.
    pub travel_cm: f64,
    /// Asymmetry, degrees.
    pub asymmetry_deg: f64,
    /// Frequency multiplier.
    pub frequency: f64,
    /// How the hands hold it.
    pub coupling: Coupling,
}

impl Lift {
    /// A module taken from a stack in front of the body and set down beside: hands 40 cm out,
    /// at `height_cm`, one lift in five minutes or fewer for up to an hour (FM 1.00), no handles
    /// (poor coupling, CM 0.90). The posture is chosen here as the usual one for a deep case.
    #[must_use]
    pub fn from_a_stack(height_cm: f64) -> Self {
        Self {
            horizontal_cm: 40.0,
            vertical_cm: height_cm,
            travel_cm: 40.0,
            asymmetry_deg: 0.0,
            frequency: 1.0,
            coupling: Coupling::Poor,
        }
    }

    /// Recommended weight limit for one person, kg; 0 outside the reach of the equation.
    #[must_use]
    pub fn recommended_weight_limit_kg(&self) -> f64 {
        if self.vertical_cm < 0.0 {
            return 0.0;
        }
        let hands = (self.horizontal_cm, self.vertical_cm, self.asymmetry_deg);
        let (_, limit) = niosh::end(
            Units::Metric,
            hands,
            self.travel_cm,
            self.frequency,
            self.coupling,
            false,
        );
        limit
    }
}

/// Mass over the recommended weight limit, for one person; infinite where nothing may be lifted.
#[must_use]
pub fn lifting_index(mass_kg: f64, lift: &Lift) -> f64 {
    let limit = lift.recommended_weight_limit_kg();
    if limit > 0.0 {
        mass_kg / limit
    } else {
        f64::INFINITY
    }
}

/// A lift from a stack as the plan foresees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Foreseen {
    /// Lifting index for one person, in tenths, rounded up.
    pub index_tenths: u32,
    /// People that share the mass at 23 kg each.
    pub people: u32,
}

/// The lift of a module of `mass` with `below` modules under it. The lowest one is gripped 10 cm
/// from the floor, and each module under it adds 20 cm, up to 140 cm: heights assumed here.
#[must_use]
pub fn foreseen(mass: Grams, below: u32) -> Foreseen {
    let height_cm = (10.0 + 20.0 * f64::from(below)).min(140.0);
    let kg = mass.to_f64();
    let tenths = libm::ceil(lifting_index(kg, &Lift::from_a_stack(height_cm)) * 10.0);
    // Masses are above 0 and the limit is above 6 kg at these heights; the cast saturates.
    Foreseen {
        index_tenths: tenths as u32,
        people: team_share(kg),
    }
}

/// How many people share `mass_kg` so that each has at most 23 kg of it; at least one.
///
/// Sharing is never even, so this is a floor for the plan; the person in charge decides.
#[must_use]
pub fn team_share(mass_kg: f64) -> u32 {
    libm::ceil(mass_kg / 23.0).clamp(1.0, 99.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worked_module_of_the_equation() {
        // Own sum from the published formula (NIOSH 1991 as restated at ccohs.ca): H 40, V 40,
        // D 40, A 0, FM 0.94, CM 0.95 -> 10.7 kg; a 25 kg module there is LI 2.3.
        let lift = Lift {
            frequency: 0.94,
            coupling: Coupling::Fair,
            ..Lift::from_a_stack(40.0)
        };
        assert!((lift.recommended_weight_limit_kg() - 10.7).abs() < 0.05);
        assert!((lifting_index(25.0, &lift) - 2.3).abs() < 0.05);
    }

    #[test]
    fn the_load_constant_is_the_best_case() {
        // NIOSH 1991: 23 kg is the limit when every multiplier is 1.
        let best = Lift {
            horizontal_cm: 25.0,
            vertical_cm: 75.0,
            travel_cm: 25.0,
            asymmetry_deg: 0.0,
            frequency: 1.0,
            coupling: Coupling::Good,
        };
        assert!((best.recommended_weight_limit_kg() - 23.0).abs() < 1e-9);
        assert!(
            Lift {
                horizontal_cm: 64.0,
                ..best
            }
            .recommended_weight_limit_kg()
            .abs()
                < 1e-12
        );
    }

    #[test]
    fn a_hundred_kilograms_take_five() {
        assert_eq!(team_share(100.0), 5);
        assert_eq!(team_share(23.0), 1);
        assert_eq!(team_share(23.1), 2);
    }
}
