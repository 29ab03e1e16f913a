//! Follows a record as it stands: for reading one that this gate would not have let through.

use std::sync::Arc;

use super::step::after_pass;
use super::taken::{Judgement, Outcome, take, target};
use crate::procedure::frame::Frame;
use crate::procedure::progress::{Progress, Standing};
use crate::procedure::{Entry, Kind};

/// Takes `entry` as [`take`] does and gives the gate's own judgement; where the record says that
/// a step passed and the gate says otherwise, the record is followed.
///
/// For auditors only: a job that goes on is never built with this.
pub fn take_as_recorded(
    frame: &Frame,
    progress: &mut Progress,
    entry: &Arc<Entry>,
    recorded: Outcome,
) -> Judgement {
    let judgement = take(frame, progress, entry);
    let followed = recorded == Outcome::Passed
        && judgement.outcome != Outcome::Passed
        && matches!(entry.kind, Kind::Step | Kind::LateEntry);
    if followed
        && let Ok((place, slot)) = target(frame, entry)
        && let Some(step) = frame.step_at(place)
    {
        let mut notes = Vec::new();
        after_pass(frame, progress, entry, step, slot, &mut notes);
        progress.set_standing(place, slot, Standing::Passed(progress.len()));
    }
    judgement
}
