//! A load at the dock, from opening its receipt to closing or refusing it.
//!
//! Each function takes the register as it stands and gives the entries to write, or the reasons
//! why not. Nothing here writes.

use std::collections::{BTreeMap, BTreeSet};

use super::compare::{Compared, compare, compare_one};
use super::deadline::discrepancy_clock;
use super::event::{LoadRefused, ReceiptOpened, RegisterEvent, Scanned};
use super::figures::of_scan;
use super::found::gather;
use super::receipt::{Answer, Discrepancy, Expected, Line, Scan, Sides, Subject};
use super::register::{Receipt, ReceiptState, Register};
use super::site::Site;
use super::tolerance::Tolerances;
use super::{look_alikes, same_form, temporary_identity};
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::procedure::Role;

/// Who may receive (procedure step Z07).
pub const RECEIVERS: [Role; 2] = [Role::WarehouseReceiver, Role::ComplianceOfficer];

/// What became of the wish to open a receipt.
#[derive(Debug, Clone, PartialEq)]
pub enum Opening {
    /// A new receipt.
    New(RegisterEvent),
    /// It was begun before and is open: go on with it.
    GoesOn(String),
}

/// Opens a receipt for what `opened` states, or goes on with the one that is open for it.
///
/// # Errors
/// The person may not receive, or the same hand-over was received before. In the second case the
/// events are written all the same, so that the first receiver is told too.
pub fn open(
    register: &Register,
    site: &Site,
    tolerances: &Tolerances,
    opened: ReceiptOpened,
    by: &str,
    now: Moment,
) -> Result<Opening, (Vec<Reason>, Vec<RegisterEvent>)> {
    site.competent(by, &RECEIVERS, now.local_day(), "receive a load")
        .map_err(|no| (vec![no], Vec::new()))?;
    let Some((name, earlier)) = same_load(register, &opened) else {
        return Ok(Opening::New(opened.into()));
    };
    if earlier.state == ReceiptState::Open {
        return Ok(Opening::GoesOn(name.clone()));
    }
    let ended = earlier
        .ended_at
        .map_or_else(String::new, |at| at.to_string());
    let ended_by = earlier.ended_by.clone().unwrap_or_default();
    let word = if earlier.state == ReceiptState::Refused {
        "refused"
    } else {
        "received"
    };
    let reason = Reason::new(
        format!(
            "hand-over {} of job {}",
            opened.handover.number, opened.handover.job
        ),
        format!("{word} before as {name} on {ended} by {ended_by}"),
    )
    .limit("one hand-over is received once")
    .way_out(format!(
        "ask {ended_by}; if another load came under the same paper, receive it with --unannounced"
    ));
    // The second try is an entry too: whoever looks at the first receipt sees it.
    let mut sent = Sides::new();
    sent.insert("job".into(), opened.handover.job.clone());
    sent.insert("hand_over".into(), opened.handover.number.to_string());
    sent.insert("first_receipt".into(), format!("{name} by {ended_by}"));
    let mut found = Sides::new();
    found.insert("again_by".into(), by.to_owned());
    found.insert("again_at".into(), now.to_string());
    found.insert("source".into(), opened.source.clone());
    let again = 1 + register
        .cases
        .keys()
        .filter(|id| id.starts_with(&format!("{name}/twice/load")))
        .count();
    let event = Discrepancy {
        id: format!("{name}/twice/load-{again}"),
        receipt: name.clone(),
        subject: Subject::Load,
        answer: Answer::Twice,
        sent,
        found,
        reason: reason.clone(),
        opened_at: now,
        clock: discrepancy_clock(
            site,
            tolerances,
            &opened.handover.purpose,
            true,
            now.local_day(),
        ),
    };
    Err((vec![reason], vec![event.into()]))
}

/// The receipt that was opened for the same hand-over.
fn same_load<'r>(
    register: &'r Register,
    opened: &ReceiptOpened,
) -> Option<(&'r String, &'r Receipt)> {
    register.receipts.iter().find(|(_, earlier)| {
        let before = &earlier.opened;
        match (&before.released, &opened.released) {
            (Some(before), Some(now)) => before.leaf_hash == now.leaf_hash,
            _ if before.source.is_empty() || opened.source.is_empty() => {
                // Unannounced loads are told apart by nothing: only an open one is gone on with.
                before.source == opened.source
                    && earlier.state == ReceiptState::Open
                    && before.handover.from.name == opened.handover.from.name
            }
            _ => before.handover == opened.handover,
        }
    })
}

/// What is said at once when something is scanned.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Heard {
    /// In words, worst first; empty where it is as stated.
    pub at_once: Vec<String>,
    /// Whether one of them must stop the hand.
    pub alarm: bool,
    /// The one word that is read from afar: the worst answer, else that it is received.
    pub word: &'static str,
    /// Packages and modules of the list that are here so far.
    pub here: usize,
    /// Packages and modules on the list.
    pub listed: usize,
}

/// The entry of one more scan, and what is said at once.
///
/// # Errors
/// The receipt is not open, or the scan takes back one that is not there.
pub fn scan(
    register: &Register,
    site: &Site,
    tolerances: &Tolerances,
    receipt: &str,
    mut scan: Scan,
) -> Result<(RegisterEvent, Subject, Heard), Vec<Reason>> {
    let open = open_receipt(register, receipt).map_err(|no| vec![no])?;
    if scan.temporary && scan.subject == Subject::Module(String::new()) {
        let given = open.scans.iter().filter(|one| one.temporary).count();
        scan.subject = Subject::Module(temporary_identity(&site.site, receipt, given + 1));
    }
    let number = u32::try_from(open.scans.len() + 1).unwrap_or(u32::MAX);
    if let Some(withdrawn) = scan.withdraws {
        let there = withdrawn >= 1 && withdrawn < number;
        let still = !open
            .scans
            .iter()
            .any(|one| one.withdraws == Some(withdrawn));
        if !there || !still {
            return Err(vec![
                Reason::new("scan to take back", withdrawn.to_string())
                    .limit(format!("one of 1 to {} that still counts", number - 1))
                    .way_out("`list` shows them"),
            ]);
        }
    }
    let slips = of_scan(&scan);
    if !slips.is_empty() {
        return Err(slips);
    }
    let subject = scan.subject.clone();
    let mut scans = open.scans.clone();
    scans.push(scan.clone());
    let heard = hear(register, open, receipt, &scans, &subject, &scan, tolerances);
    let event = Scanned {
        receipt: receipt.to_owned(),
        number,
        scan,
    };
    Ok((event.into(), subject, heard))
}

/// The entries of many scans, without what is said at once.
///
/// # Errors
/// The receipt is not open, or a figure that cannot be. Nothing is taken then.
pub fn scan_all(
    register: &Register,
    site: &Site,
    receipt: &str,
    scans: Vec<Scan>,
) -> Result<Vec<RegisterEvent>, Vec<Reason>> {
    let open = open_receipt(register, receipt).map_err(|no| vec![no])?;
    let slips: Vec<Reason> = scans.iter().flat_map(of_scan).collect();
    if !slips.is_empty() {
        return Err(slips);
    }
    let mut given = open.scans.iter().filter(|one| one.temporary).count();
    let next = open.scans.len() + 1;
    Ok((next..)
        .zip(scans)
        .map(|(number, mut scan)| {
            if scan.temporary && scan.subject == Subject::Module(String::new()) {
                given += 1;
                scan.subject = Subject::Module(temporary_identity(&site.site, receipt, given));
            }
            Scanned {
                receipt: receipt.to_owned(),
                number: u32::try_from(number).unwrap_or(u32::MAX),
                scan,
            }
            .into()
        })
        .collect())
}

fn hear(
    register: &Register,
    open: &Receipt,
    name: &str,
    scans: &[Scan],
    subject: &Subject,
    scan: &Scan,
    tolerances: &Tolerances,
) -> Heard {
    let expected = Expected::from(&open.opened.handover);
    let others = Elsewhere::of(register, name);
    let all = compare(&expected, scans, tolerances, &|identity| {
        others.place(identity)
    });
    let packages = expected.packages().iter().map(|one| &one.id);
    let packages = packages.filter(|id| !id.is_empty()).cloned();
    let modules = expected.modules().map(|(_, one)| one.identity.clone());
    let listed: BTreeSet<Subject> = packages
        .map(Subject::Package)
        .chain(modules.map(Subject::Module))
        .collect();
    let here = |line: &&Line| listed.contains(&line.subject) && line.is_here();
    let mut heard = Heard {
        word: "NOTED",
        here: all.lines.iter().filter(here).count(),
        listed: listed.len(),
        ..Heard::default()
    };
    if scan.withdraws.is_some() {
        heard.word = "TAKEN BACK";
        return heard;
    }
    if scan.sight {
        heard.word = "RECEIVED";
    }
    let line_after = |scans: &[Scan]| {
        let elsewhere = |identity: &str| others.place(identity);
        compare_one(&expected, scans, tolerances, &elsewhere, subject)
    };
    let Some(line) = line_after(scans) else {
        return heard;
    };
    let before = line_after(&open.scans);
    for (answer, reason) in line.answers.iter().zip(&line.reasons) {
        // What is still missing is said at the end, not at each scan; what was said is not said
        // again.
        let said = before
            .as_ref()
            .is_some_and(|line| line.reasons.iter().any(|one| one.value == reason.value));
        if *answer == Answer::Received
            || said
            || (*answer == Answer::Missing && *subject != Subject::Load)
        {
            continue;
        }
        if !heard.alarm {
            heard.word = answer.words();
        }
        heard.alarm = true;
        let way = &reason.way_out;
        heard
            .at_once
            .push(format!("{}: {} -> {way}", answer.words(), reason.value));
    }
    if let Subject::Module(identity) = subject {
        let others = expected
            .modules()
            .map(|(_, module)| module.identity.as_str())
            .chain(register.items.values().map(|i| i.arrived.identity.as_str()));
        let mut alike = look_alikes(identity, others);
        alike.sort_unstable();
        alike.dedup();
        if !alike.is_empty() && before.is_none() && !line.found.contains_key("looks_like") {
            heard
                .at_once
                .push(format!("looks like {} (0/O, 1/I, 5/S)", alike.join(", ")));
        }
        if let Some(hold) = &line.hold
            && before.as_ref().is_none_or(|line| line.hold.is_none())
        {
            if !heard.alarm {
                heard.word = "HOLD";
            }
            heard.alarm |= line.soundness >= Some(Soundness::Suspect);
            heard.at_once.push(format!("HOLD: {hold}"));
        }
    }
    heard
}

/// Where identities stand already from other receipts, or are seen in other open ones.
struct Elsewhere<'r> {
    register: &'r Register,
    receipt: &'r str,
    /// Modules scanned in other open receipts, in one form, with the receipt.
    scanned: BTreeMap<String, &'r str>,
}

impl<'r> Elsewhere<'r> {
    fn of(register: &'r Register, receipt: &'r str) -> Self {
        let mut scanned = BTreeMap::new();
        let open = register
            .receipts
            .iter()
            .filter(|(name, other)| *name != receipt && other.state == ReceiptState::Open);
        for (name, other) in open {
            for subject in gather(&other.scans).keys() {
                if let Subject::Module(identity) = subject {
                    let first = scanned.entry(same_form(identity));
                    first.or_insert(name.as_str());
                }
            }
        }
        Self {
            register,
            receipt,
            scanned,
        }
    }

    fn place(&self, identity: &str) -> Option<String> {
        if let Some(item) = self.register.item(identity)
            && item.gone.is_none()
            && item.receipt != self.receipt
        {
            let place = match &item.bay {
                Some(bay) => format!("bay {bay}"),
                None => "the dock".into(),
            };
            return Some(format!(
                "in {place} since receipt {} of {}",
                item.receipt,
                item.received_at.local_day()
            ));
        }
        let name = self.scanned.get(&same_form(identity))?;
        Some(format!("scanned in the open receipt {name}"))
    }
}

/// What a receipt amounts to as it stands.
///
/// # Errors
/// There is no such receipt.
pub fn standing(
    register: &Register,
    tolerances: &Tolerances,
    receipt: &str,
) -> Result<Compared, Reason> {
    let open = open_receipt(register, receipt)?;
    let others = Elsewhere::of(register, receipt);
    Ok(compare(
        &Expected::from(&open.opened.handover),
        &open.scans,
        tolerances,
        &|identity| others.place(identity),
    ))
}

pub(super) fn open_receipt<'r>(
    register: &'r Register,
    receipt: &str,
) -> Result<&'r Receipt, Reason> {
    register
        .receipts
        .get(receipt)
        .filter(|one| one.state == ReceiptState::Open)
        .ok_or_else(|| {
            Reason::new("receipt", receipt)
                .limit("one that is open")
                .way_out("open it with `packdown receive`")
        })
}

/// Refuses the load, with the lines as far as they were looked at.
///
/// # Errors
/// The person may not, no reason is given, or the receipt is not open.
pub fn refuse(
    register: &Register,
    site: &Site,
    tolerances: &Tolerances,
    receipt: &str,
    by: &str,
    reason: &str,
    now: Moment,
) -> Result<Vec<RegisterEvent>, Vec<Reason>> {
    let person = site
        .competent(by, &RECEIVERS, now.local_day(), "refuse a load")
        .map_err(|no| vec![no])?;
    if reason.trim().chars().count() < 3 {
        return Err(vec![
            Reason::new("reason for the refusal", format!("`{reason}`"))
                .limit("in words")
                .way_out("say why: the driver and the sender read it"),
        ]);
    }
    let open = open_receipt(register, receipt).map_err(|no| vec![no])?;
    let compared = standing(register, tolerances, receipt).map_err(|no| vec![no])?;
    Ok(vec![
        LoadRefused {
            receipt: receipt.to_owned(),
            refused_by: person.name.clone(),
            delivered_by: open.opened.delivered_by.clone(),
            reason: reason.to_owned(),
            lines: compared.lines,
        }
        .into(),
    ])
}
