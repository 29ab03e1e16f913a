//! The lift of one module as a plan foresees it, or as a crew made it: index alone and for a team.
//!
//! The equation itself stands in `niosh`; here are the posture that is assumed where the plan says
//! none, and the rounding to the safe side. Team: HSE L23 paragraph 120 (read), the strictest of
//! the published rules: two thirds of the sum for two, half for three, and nothing more for a
//! fourth. Domain: two hands, stable load, unrestricted posture, no stairs, no carrying.

use super::hands::{Hands, Units};
use super::niosh::{LiftInput, lift_unrounded, team_factor};
use crate::battery::{Coupling, LiftPlace};
use crate::units::{Decimal, Grams};

/// A lifting index for a number of people, in tenths, rounded up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TeamIndex {
    /// People.
    pub people: u32,
    /// Index in tenths.
    pub tenths: u32,
}

/// A lift that is foreseen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Foreseen {
    /// The equation does not apply, and why.
    NotApplicable(Vec<String>),
    /// Nothing may be lifted there: outside the reach of the method.
    OutOfReach,
    /// The index of one, two and three people.
    Index([TeamIndex; 3]),
}

impl Foreseen {
    /// The index of that many people; a fourth and further person add nothing.
    #[must_use]
    pub fn of(&self, people: u32) -> Option<TeamIndex> {
        match self {
            Self::Index(teams) => teams
                .iter()
                .find(|team| team.people == people.clamp(1, 3))
                .copied(),
            _ => None,
        }
    }

    /// The fewest people whose index is 1 or less, the goal of the method.
    #[must_use]
    pub fn people_at_goal(&self) -> Option<u32> {
        match self {
            Self::Index(teams) => teams
                .iter()
                .find(|team| team.tenths <= 10)
                .map(|team| team.people),
            _ => None,
        }
    }
}

/// The lift of a module of `mass` with `below` modules under it.
///
/// Assumed where `place` does not say it: hands 40 cm out, poor grip, no twist, the lowest module
/// gripped 10 cm from the floor and each under it 20 cm more, up to 140 cm, 40 cm of travel; one
/// lift in five minutes or fewer, up to an hour.
#[must_use]
pub fn foreseen(mass: Grams, below: u32, place: Option<&LiftPlace>) -> Foreseen {
    let assumed = LiftPlace::default();
    let place = place.unwrap_or(&assumed);
    let or = |value: Option<Decimal>, usual: f64| value.map_or(usual, Decimal::to_f64);
    let height =
        or(place.lowest_grip_cm, 10.0) + or(place.module_height_cm, 20.0) * f64::from(below);
    // A stack is not gripped above the shoulder: there it is taken from steps or a platform.
    let height = if place.module_height_cm.is_none() {
        height.min(140.0)
    } else {
        height
    };
    let hands = |v_cm: f64| Hands {
        h_cm: Some(or(place.hands_out_cm, 40.0)),
        v_cm: Some(v_cm),
        a_deg: or(place.twist_deg, 0.0),
        ..Hands::default()
    };
    let answer = lift_unrounded(&LiftInput {
        units: Units::Metric,
        load_kg: Some(mass.to_f64()),
        load_lb: None,
        origin: hands(height),
        destination: place.set_down_cm.map(|v| hands(v.to_f64())),
        travel_cm: place.set_down_cm.is_none().then_some(40.0),
        travel_in: None,
        lifts_per_min: Some(0.2),
        lifts_in_15_min: None,
        duration_h: Some(1.0),
        recovery_h: None,
        periods: Vec::new(),
        coupling: place.grip.unwrap_or(Coupling::Poor),
        insulating_gloves: false,
        team: 1,
        outside_scope: place.outside_scope.clone(),
        worksheet: false,
    });
    match answer {
        Err(refused) => Foreseen::NotApplicable(vec![refused.to_string()]),
        Ok((answer, _)) if !answer.applicable => Foreseen::NotApplicable(answer.reasons),
        Ok((_, index)) => index.map_or(Foreseen::OutOfReach, |alone| {
            Foreseen::Index([1, 2, 3].map(|people| {
                let index = alone / team_factor(people).unwrap_or(1.0);
                TeamIndex {
                    people,
                    // The cast saturates; a noise of the last bits is no tenth.
                    tenths: libm::ceil(index * 10.0 - 1e-9) as u32,
                }
            }))
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place() -> LiftPlace {
        LiftPlace {
            hands_out_cm: "25".parse().ok(),
            lowest_grip_cm: "75".parse().ok(),
            set_down_cm: "75".parse().ok(),
            grip: Some(Coupling::Good),
            ..LiftPlace::default()
        }
    }

    fn kg(text: &str) -> Grams {
        text.parse().unwrap()
    }

    #[test]
    fn the_load_constant_is_the_best_case() {
        // NIOSH 1991: 23 kg is the limit when every multiplier is 1.
        let alone = |mass| foreseen(kg(mass), 0, Some(&place())).of(1).unwrap().tenths;
        assert_eq!(alone("23"), 10);
        assert_eq!(alone("23.1"), 11);
        let far = LiftPlace {
            hands_out_cm: "64".parse().ok(),
            ..place()
        };
        assert_eq!(foreseen(kg("1"), 0, Some(&far)), Foreseen::OutOfReach);
    }

    #[test]
    fn a_team_lifts_by_the_strictest_published_rule() {
        // HSE L23 paragraph 120 (read): two thirds of the sum for two, half for three. 23 kg at
        // the best place: 1.00, 0.75, 0.67.
        let best = foreseen(kg("23"), 0, Some(&place()));
        let tenths = |people| best.of(people).unwrap().tenths;
        assert_eq!([tenths(1), tenths(2), tenths(3), tenths(4)], [10, 8, 7, 7]);
        assert_eq!(
            foreseen(kg("30"), 0, Some(&place())).people_at_goal(),
            Some(2)
        );
        assert_eq!(
            foreseen(kg("34"), 0, Some(&place())).people_at_goal(),
            Some(3)
        );
        assert_eq!(foreseen(kg("35"), 0, Some(&place())).people_at_goal(), None);
    }

    #[test]
    fn the_worked_module_of_48_kg() {
        // Own case of the worked cases, computed there with another program: 48 kg, H 40, from
        // 10 to 90 cm, poor: 5.26 alone, 3.94 for two, 3.51 for three.
        let stack = LiftPlace {
            set_down_cm: "90".parse().ok(),
            ..LiftPlace::default()
        };
        let lift = foreseen(kg("48"), 0, Some(&stack));
        let tenths = |people| lift.of(people).unwrap().tenths;
        assert_eq!([tenths(1), tenths(2), tenths(3)], [53, 40, 36]);
    }

    #[test]
    fn a_cellar_gives_no_figure() {
        let cellar = LiftPlace {
            outside_scope: vec![crate::battery::OutsideScope::RestrictedSpace],
            ..LiftPlace::default()
        };
        let lift = foreseen(kg("20"), 0, Some(&cellar));
        assert!(matches!(&lift, Foreseen::NotApplicable(why) if why[0].contains("restricted")));
        assert_eq!(lift.of(1), None);
    }
}
