//! Begins a job: writes its plan after the manner of an earlier one.

use std::path::Path;

use super::ActionError;
use crate::ids::read_scanned;
use crate::job::{NewJob, Plan};
use crate::store::{JobFolder, StoreError, read_text};

/// Lines of a list of serials that stand for one that is not known.
const NOT_KNOWN: [&str; 2] = ["", "unknown"];

/// What was written.
#[derive(Debug)]
pub struct JobBegun {
    /// The plan.
    pub plan: Plan,
    /// What is left open or wants a look.
    pub open: Vec<String>,
}

/// Writes `job.json` for `new` into `folder`, after the manner of the job in `like`.
///
/// # Errors
/// An earlier plan that cannot be used, facts that contradict each other, a folder that holds a job.
pub fn new_job(folder: &JobFolder, like: &Path, new: &NewJob) -> Result<JobBegun, ActionError> {
    let earlier = JobFolder::at(like);
    let (earlier_plan, _) = earlier.plan()?;
    let (plan, open) = earlier_plan.like(new).map_err(|why| StoreError::Plan {
        path: folder.file("job.json"),
        why,
    })?;
    let text = serde_json::to_string_pretty(&plan)? + "\n";
    folder.write_plan(&text)?;
    Ok(JobBegun { plan, open })
}

/// Serials out of a list, one a line, as a person or a scanner types them; an empty line stands for
/// one that is not known.
///
/// # Errors
/// A file that cannot be read.
pub fn serials_in(file: &Path) -> Result<Vec<Option<String>>, ActionError> {
    let text = read_text(file)?;
    let serials = text
        .trim_end()
        .lines()
        .map(|line| {
            let line = line.trim();
            if NOT_KNOWN.contains(&line) {
                return None;
            }
            Some(read_scanned(line).serial().unwrap_or(line).to_owned())
        })
        .collect();
    Ok(serials)
}
