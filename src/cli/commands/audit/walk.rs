//! One walk over the jobs, whatever is asked of them.

use std::io::{self, IsTerminal as _, Write as _};

use crate::actions::{self, AuditAsked, AuditRun};
use crate::audit::{FailedTester, Sample};
use crate::cli::advice::CommandError;
use crate::cli::args::AuditArgs;
use crate::clock::Moment;
use crate::ledger::Verifier;

/// What is asked, from the command line.
pub(super) fn asked(args: &AuditArgs) -> Result<AuditAsked, CommandError> {
    let trusted: Vec<Verifier> = args
        .trust
        .iter()
        .map(|text| {
            text.parse()
                .map_err(|error| CommandError::Argument(format!("--trust: {error}")))
        })
        .collect::<Result<_, _>>()?;
    let sample = match &args.sample {
        None => None,
        Some(share) => {
            // Any number will do that nobody chose; it is printed, and picks the same again.
            let drawn = u64::try_from(Moment::present().unix_ms()).unwrap_or(0) % 1_000_000;
            let sample = Sample::new(share, args.seed.unwrap_or(drawn))
                .map_err(|error| CommandError::Argument(format!("--sample: {error}")))?;
            Some(sample)
        }
    };
    let failed = args
        .tester_failed
        .clone()
        .zip(args.last_good)
        .map(|(serial, last_good)| FailedTester { serial, last_good });
    Ok(AuditAsked {
        paths: args.paths.iter().chain(&args.bundles).cloned().collect(),
        day: args.on.unwrap_or_else(|| Moment::present().local_day()),
        trusted,
        failed,
        sample,
    })
}

/// Audits with a bar on a terminal.
pub(super) fn run<T: Send>(
    asked: &AuditAsked,
    look: actions::Look<'_, T>,
    take: actions::Take<'_, T>,
) -> Result<AuditRun, CommandError> {
    let watched = io::stderr().is_terminal();
    let mut last = usize::MAX;
    let run = actions::audit_jobs(asked, look, take, &mut |done, of| {
        let percent = done * 100 / of.max(1);
        if watched && of > 20 && percent != last {
            last = percent;
            let bar: String = (0..25)
                .map(|n| if n * 4 < percent { '#' } else { '.' })
                .collect();
            // Nobody is helped where the terminal cannot be written.
            let _ = write!(io::stderr(), "\r[{bar}] {done} of {of} jobs ");
        }
    });
    if last != usize::MAX {
        let _ = write!(io::stderr(), "\r{:60}\r", "");
    }
    Ok(run?)
}
