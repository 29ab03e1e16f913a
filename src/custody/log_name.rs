//! Which log a copy is a copy of: the device that writes it, and the one thing it is about.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::onward::CONSIGNMENT_OPENED;
use crate::ledger::Log;

/// The name of a log. A device writes one log for each job, one for a register, and one for each
/// consignment that leaves it again, all under the same origin.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct LogName {
    /// The device.
    pub origin: String,
    /// The job or consignment; `register` for the register of a site.
    pub about: String,
}

impl LogName {
    /// The name of a log, from its first entry; `None` for a log without one.
    #[must_use]
    pub fn of(log: &Log) -> Option<Self> {
        let first = log.entries().first().filter(|entry| entry.seq == 0)?;
        let plan = first.body.get("plan");
        let job = plan.and_then(|plan| plan.get("job")?.as_str());
        Some(Self {
            origin: log.origin().to_owned(),
            about: match first.kind.as_str() {
                "register_opened" => "register".to_owned(),
                CONSIGNMENT_OPENED => {
                    let name = first.body.get("consignment").and_then(|name| name.as_str());
                    name.unwrap_or(&first.id).to_owned()
                }
                _ => job.unwrap_or(&first.id).to_owned(),
            },
        })
    }
}

impl fmt::Display for LogName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} of {}", self.about, self.origin)
    }
}
