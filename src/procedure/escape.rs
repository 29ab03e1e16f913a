//! What a proof of a procedure says: the chain before each touching step, or the way round it.

use std::fmt;

use crate::procedure::{Act, Cycle};

/// One act of the chain and the step that does it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// The act.
    pub act: Act,
    /// The step's id.
    pub step: String,
}

/// What was proved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proof {
    /// The procedure's name.
    pub procedure: String,
    /// How many steps it has.
    pub steps: usize,
    /// The one start.
    pub start: String,
    /// Each touching step with the chain that is sure to stand before it.
    pub touching: Vec<(String, Vec<Link>)>,
    /// Each lifting step with the step that covers both poles before it.
    pub lifts: Vec<(String, String)>,
    /// Each bonding step; none may be on a conductor with a battery.
    pub bonds: Vec<String>,
}

/// A way round the proof, or another reason why there is none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Escape {
    /// Steps need each other.
    Circle(Cycle),
    /// Not exactly one step has no needs.
    Starts(Vec<String>),
    /// A step can be reached without an act that must stand before it.
    Without {
        /// The touching step.
        step: String,
        /// A way from the start to it along which the act never occurs.
        path: Vec<String>,
        /// The act.
        act: Act,
        /// The one step that does it, where it must be that one.
        by: Option<String>,
    },
    /// An act of the chain can be reached without the one that must stand before it.
    OutOfOrder {
        /// The touching step.
        step: String,
        /// The step of the chain that comes too early.
        rests_on: String,
        /// What it does.
        act: Act,
        /// A way from the start to it along which the earlier act never occurs.
        path: Vec<String>,
        /// The earlier act.
        without: Act,
    },
    /// Something that every removal has.
    Lacks(&'static str),
    /// A step that can never open, or one that is open to doubt.
    Flaw {
        /// The step.
        step: String,
        /// What is wrong, in words.
        what: String,
    },
}

impl Escape {
    /// The step that it is about, where it is about one.
    #[must_use]
    pub fn step(&self) -> Option<&str> {
        match self {
            Self::Circle(_) | Self::Starts(_) | Self::Lacks(_) => None,
            Self::Without { step, .. }
            | Self::OutOfOrder { step, .. }
            | Self::Flaw { step, .. } => Some(step),
        }
    }
}

impl fmt::Display for Escape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Circle(Cycle(path)) => {
                write!(
                    f,
                    "steps need each other in a circle: {}",
                    path.join(" -> ")
                )
            }
            Self::Starts(starts) if starts.is_empty() => f.write_str("no step can come first"),
            Self::Starts(starts) => write!(
                f,
                "one step comes first, and here {} have no needs: {}",
                starts.len(),
                starts.join(", ")
            ),
            Self::Without {
                step,
                path,
                act,
                by,
            } => {
                write!(
                    f,
                    "{step} can be reached by {} without: {}",
                    path.join(" -> "),
                    act.words()
                )?;
                match by {
                    Some(by) => write!(f, " ({by})"),
                    None => Ok(()),
                }
            }
            Self::OutOfOrder {
                step,
                rests_on,
                act,
                path,
                without,
            } => write!(
                f,
                "{step} rests on {rests_on} to {}; {rests_on} can be reached by {} without: {}",
                act.words(),
                path.join(" -> "),
                without.words()
            ),
            Self::Lacks(what) => write!(f, "the procedure has no {what}"),
            Self::Flaw { step, what } => write!(f, "{step} {what}"),
        }
    }
}

impl fmt::Display for Proof {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{}: {} steps, no circle, one start ({}), every step can open",
            self.procedure, self.steps, self.start
        )?;
        // Steps with the same chain stand in one line.
        let mut chains: Vec<(String, Vec<&str>)> = Vec::new();
        for (step, chain) in &self.touching {
            let words = in_words(chain);
            match chains.iter_mut().find(|(known, _)| *known == words) {
                Some((_, steps)) => steps.push(step),
                None => chains.push((words, vec![step])),
            }
        }
        writeln!(
            f,
            "{} touching steps; before each it is sure, in this order:",
            self.touching.len()
        )?;
        for (words, steps) in chains {
            writeln!(f, "  {}: {words}", steps.join(" "))?;
        }
        for (lift, cover) in &self.lifts {
            writeln!(
                f,
                "  {lift} lifts only after {cover} has covered both poles"
            )?;
        }
        for bond in &self.bonds {
            writeln!(f, "  {bond} bonds only a conductor without a battery")?;
        }
        Ok(())
    }
}

/// A chain in words; steps that do the same act stand together.
fn in_words(chain: &[Link]) -> String {
    let mut acts: Vec<(Act, Vec<&str>)> = Vec::new();
    for link in chain {
        match acts.last_mut() {
            Some((act, steps)) if *act == link.act => steps.push(&link.step),
            _ => acts.push((link.act, vec![&link.step])),
        }
    }
    let words: Vec<String> = acts
        .iter()
        .map(|(act, steps)| format!("{} ({})", act.words(), steps.join(" ")))
        .collect();
    words.join(", ")
}
