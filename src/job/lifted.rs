//! How a module was lifted, with the index of a lift by hand.

use super::Job;
use crate::physics::{Foreseen, foreseen};
use crate::procedure::{Entry, modules_below};
use crate::units::Decimal;

impl Job {
    /// People and aid, and what the lifting equation says of the people alone.
    pub(super) fn lift_note(&self, entry: &Entry, module: usize) -> String {
        let persons = entry.evidence.number("persons");
        let mut note = persons.map_or("? persons".into(), |n| {
            if n == Decimal::whole(1) {
                "1 person".into()
            } else {
                format!("{n} persons")
            }
        });
        if let Some(aid) = entry.evidence.text("aid") {
            note.push_str(&format!(", aid {aid}"));
            return note;
        }
        let Some(mass) = self.net_mass(module) else {
            return note;
        };
        let lift = foreseen(
            mass,
            modules_below(self.frame(), module),
            self.plan().installation.lifting.as_ref(),
        );
        let people = persons
            .and_then(Decimal::as_whole)
            .and_then(|n| u32::try_from(n).ok())
            .unwrap_or(1);
        match (&lift, lift.of(people)) {
            (_, Some(index)) => note.push_str(&format!(
                "; lifting index {}.{}",
                index.tenths / 10,
                index.tenths % 10
            )),
            (Foreseen::OutOfReach, _) => note.push_str("; out of reach by hand"),
            _ => note.push_str("; lifting index not applicable here"),
        }
        note
    }
}
