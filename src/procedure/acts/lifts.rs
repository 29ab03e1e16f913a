//! What the lifting equation says of a lift that was made, as a caution.

use super::ruling::Rules;
use crate::physics::{Foreseen, foreseen};
use crate::procedure::Frame;
use crate::units::{Decimal, Grams};

/// Modules that stand under this one while it is lifted: those of a later position.
#[must_use]
pub fn modules_below(frame: &Frame, module: usize) -> u32 {
    u32::try_from(frame.modules.len().saturating_sub(module + 1)).unwrap_or(u32::MAX)
}

impl Rules<'_> {
    /// The index of the people who lifted it, where no aid carried it: above 3 is said.
    pub(super) fn lifting_index(&mut self, mass: Option<Decimal>, aided: bool) {
        let (Some(module), Some(mass)) = (self.slot, mass.and_then(|m| Grams::try_from(m).ok()))
        else {
            return;
        };
        if aided {
            return;
        }
        let people = self
            .evidence()
            .number("persons")
            .and_then(Decimal::as_whole)
            .and_then(|n| u32::try_from(n).ok())
            .unwrap_or(1);
        let lift = foreseen(
            mass,
            modules_below(self.frame, module),
            self.frame.installation.lifting.as_ref(),
        );
        let note = match (&lift, lift.of(people)) {
            (_, Some(index)) if index.tenths > 30 => format!(
                "lifting index {}.{} by {people}: above 3, nearly all workers at increased risk; use an \
                 aid (NIOSH 94-110 revised 9/2021, p. 20; team by HSE L23)",
                index.tenths / 10,
                index.tenths % 10
            ),
            (Foreseen::OutOfReach, _) => {
                "lifted by hand out of reach of the lifting equation; use an aid".to_owned()
            }
            (Foreseen::NotApplicable(why), _) => {
                format!("lifting equation not applicable: {}", why.join("; "))
            }
            _ => return,
        };
        let what = self.what("lift");
        self.ruling.notes.push(format!("{what}: {note}"));
    }
}
