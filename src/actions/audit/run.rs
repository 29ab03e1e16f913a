//! Asks every check of every job, on all cores, and gives the answers in the order of the input.

use std::collections::BTreeMap;
use std::num::NonZero;
use std::path::{Path, PathBuf};
use std::sync::{Condvar, Mutex, PoisonError, mpsc};

use chrono::NaiveDate;

use super::load::{Read, Shelf, log_at};
use super::places::{Kind, Place, places};
use crate::actions::ActionError;
use crate::audit::{
    Audited, CertifiedBy, Dossier, Exchange, FailedTester, Sample, Summary, Together, audit,
    forked, unreadable,
};
use crate::ledger::Verifier;

/// How far ahead of the answers a thread may work: what bounds the memory.
const AHEAD: usize = 64;

/// What is to be audited, and as of when.
#[derive(Debug, Clone)]
pub struct AuditAsked {
    /// Jobs, bundles, or folders that hold such.
    pub paths: Vec<PathBuf>,
    /// The day to which deadlines are counted.
    pub day: NaiveDate,
    /// Keys to trust beside this device's own.
    pub trusted: Vec<Verifier>,
    /// A tester that failed its next check.
    pub failed: Option<FailedTester>,
    /// Only a sample of them.
    pub sample: Option<Sample>,
}

/// What was audited.
#[derive(Debug, Default)]
pub struct AuditRun {
    /// Everything that was found, counted.
    pub summary: Summary,
    /// Jobs and bundles that there are.
    pub there: usize,
    /// Of these looked at.
    pub looked_at: usize,
    /// What the registers of receivers gave; they are all looked at.
    pub registers: Vec<Audited>,
}

/// What a caller wants of each dossier beside its findings.
pub type Look<'a, T> = &'a (dyn Fn(&Dossier) -> T + Sync);
/// Takes the answer for each job, in the order of the input; `None` where it cannot be read.
pub type Take<'a, T> = &'a mut dyn FnMut(&Audited, Option<T>) -> Result<(), ActionError>;

/// Audits `asked`. `look` is called with every dossier on the thread that read it; `take` gets each
/// answer; `progress` how many of how many are done.
///
/// # Errors
/// A path without anything to audit, or what `take` gives. A job that cannot be read is a finding.
pub fn audit_jobs<T: Send>(
    asked: &AuditAsked,
    look: Look<'_, T>,
    take: Take<'_, T>,
    progress: &mut dyn FnMut(usize, usize),
) -> Result<AuditRun, ActionError> {
    let shelf = Shelf::new(asked.day, asked.trusted.clone())?;
    let (sites, mut jobs): (Vec<Place>, Vec<Place>) = places(&asked.paths)?
        .into_iter()
        .partition(|place| place.kind == Kind::Register);
    let mut registers = Vec::new();
    let mut receipts: BTreeMap<String, Vec<Exchange>> = BTreeMap::new();
    let mut certificates: BTreeMap<String, CertifiedBy> = BTreeMap::new();
    for site in &sites {
        let source = site.path.display().to_string();
        registers.push(match shelf.register(&site.path) {
            Ok(register) => {
                for receipt in register.receipts() {
                    receipts
                        .entry(receipt.job.clone())
                        .or_default()
                        .push(receipt);
                }
                certificates.extend(register.certified());
                register.audited()
            }
            Err(why) => unreadable(&source, &why),
        });
    }
    let there = jobs.len();
    if let Some(sample) = asked.sample {
        let names: Vec<String> = jobs.iter().map(|place| name_of(&place.path)).collect();
        let picked = sample.pick(&names);
        jobs = picked
            .into_iter()
            .filter_map(|n| jobs.get(n).cloned())
            .collect();
    }
    let mut run = AuditRun {
        there,
        looked_at: jobs.len(),
        ..AuditRun::default()
    };
    for register in &registers {
        run.summary.add_register(register);
    }
    run.registers = registers;
    let mut together = Together::default();
    let mut done = 0;
    in_order(
        &jobs,
        |place| match shelf.read(place) {
            Ok(Read::Consignment(sent)) => (sent.audited(&receipts), None),
            Ok(Read::Job(mut dossier)) => {
                dossier.add_receipts(&receipts);
                dossier.add_certificates(&certificates);
                let looked = look(&dossier);
                (audit(&dossier, asked.failed.as_ref()), Some(looked))
            }
            Err(why) => (unreadable(&place.path.display().to_string(), &why), None),
        },
        |(mut audited, looked)| {
            let beside = together.add(&audited);
            audited.findings.extend(beside.findings);
            let fork = beside.other_copy.and_then(|other| {
                let logs = log_at(Path::new(&audited.source)).zip(log_at(Path::new(&other)));
                let (one, two) = logs?;
                forked(&audited, &other, one.fork(&two)?)
            });
            match fork {
                Some(fork) => audited.findings.push(fork),
                None => together.tell_once(&mut audited),
            }
            audited.findings.sort();
            run.summary.add(&audited);
            done += 1;
            progress(done, jobs.len());
            take(&audited, looked)
        },
    )?;
    run.summary.finish();
    Ok(run)
}

fn name_of(path: &Path) -> String {
    path.file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}

/// Which item is next, and how many answers were given.
struct Turn {
    next: usize,
    given: usize,
}

/// Wakes the others where a thread stops in the middle of its work: they would wait for ever.
struct Bell<'a> {
    turn: &'a Mutex<Turn>,
    moved: &'a Condvar,
    items: usize,
}

impl Drop for Bell<'_> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            let mut turn = self.turn.lock().unwrap_or_else(PoisonError::into_inner);
            turn.next = self.items;
            self.moved.notify_all();
        }
    }
}

/// Does `work` on all cores and gives each answer to `take` in the order of `items`.
fn in_order<R: Send>(
    items: &[Place],
    work: impl Fn(&Place) -> R + Sync,
    mut take: impl FnMut(R) -> Result<(), ActionError>,
) -> Result<(), ActionError> {
    let threads = std::thread::available_parallelism()
        .map_or(1, NonZero::get)
        .min(items.len().max(1));
    let turn = Mutex::new(Turn { next: 0, given: 0 });
    let moved = Condvar::new();
    let (answers, answered) = mpsc::channel::<(usize, R)>();
    std::thread::scope(|scope| {
        for _ in 0..threads {
            let (answers, turn, moved, work) = (answers.clone(), &turn, &moved, &work);
            scope.spawn(move || {
                let _bell = Bell {
                    turn,
                    moved,
                    items: items.len(),
                };
                loop {
                    let n = {
                        let mut turn = turn.lock().unwrap_or_else(PoisonError::into_inner);
                        while turn.next >= turn.given.saturating_add(AHEAD)
                            && turn.next < items.len()
                        {
                            turn = moved.wait(turn).unwrap_or_else(PoisonError::into_inner);
                        }
                        let n = turn.next;
                        turn.next = turn.next.saturating_add(1);
                        n
                    };
                    let Some(item) = items.get(n) else { return };
                    if answers.send((n, work(item))).is_err() {
                        return;
                    }
                }
            });
        }
        drop(answers);
        let mut waiting: BTreeMap<usize, R> = BTreeMap::new();
        let mut given = 0;
        let mut result = Ok(());
        for (n, answer) in answered {
            waiting.insert(n, answer);
            while let Some(answer) = waiting.remove(&given) {
                given += 1;
                if result.is_ok() {
                    result = take(answer);
                }
            }
            let mut turn = turn.lock().unwrap_or_else(PoisonError::into_inner);
            turn.given = given;
            if result.is_err() {
                // Nobody needs the rest.
                turn.next = items.len();
            }
            moved.notify_all();
        }
        result
    })
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    fn items(count: usize) -> Vec<Place> {
        (0..count)
            .map(|n| Place {
                path: PathBuf::from(n.to_string()),
                kind: Kind::Job,
            })
            .collect()
    }

    fn number(place: &Place) -> usize {
        place.path.to_string_lossy().parse().unwrap()
    }

    #[test]
    fn answers_come_in_the_order_of_the_input_and_nobody_runs_far_ahead() {
        let items = items(1_000);
        let given = AtomicUsize::new(0);
        let furthest = AtomicUsize::new(0);
        let mut seen = Vec::new();
        in_order(
            &items,
            |place| {
                let n = number(place);
                let ahead = n.saturating_sub(given.load(Ordering::SeqCst));
                furthest.fetch_max(ahead, Ordering::SeqCst);
                // Some take much longer than others, the first of all.
                (0..if n.is_multiple_of(97) {
                    200_000
                } else {
                    10_u64
                })
                    .fold(n, |sum, _| sum)
            },
            |n| {
                seen.push(n);
                given.store(seen.len(), Ordering::SeqCst);
                Ok(())
            },
        )
        .unwrap();
        assert_eq!(seen, (0..1_000).collect::<Vec<_>>());
        assert!(furthest.load(Ordering::SeqCst) <= AHEAD + 1);
    }

    #[test]
    fn where_the_answers_cannot_be_taken_the_rest_is_not_worked_on() {
        let items = items(10_000);
        let worked = AtomicUsize::new(0);
        let result = in_order(
            &items,
            |_| {
                worked.fetch_add(1, Ordering::SeqCst);
            },
            |()| Err(ActionError::NotEntitled(Vec::new())),
        );
        assert!(result.is_err());
        assert!(worked.load(Ordering::SeqCst) < 1_000);
    }
}
