//! Makes whole histories of invented jobs, from the plan to the certificate, in which everything is
//! as it should be; a test plants one fault in one of them.
//!
//! A history starts from a lawful record of the project, moved in time, with other serials and
//! readings by a seed, and goes on to receipt, treater, certificate and closed file.

use std::path::Path;

use packdown::audit::{Audited, Dossier, FailedTester, Given, PaperHeld, audit};
use packdown::custody::{Handover, RELEASED};
use packdown::job::{EntryBody, Job, OpenedBody, Plan};
use packdown::ledger::{DEMO_ORIGIN, DeviceKey, Draft, Log, sha256, to_hex, verify};
use packdown::papers::{Look, papers_of};
use packdown::procedure::{Entry, Outcome, Procedure, Settings};
use serde_json::{Value, json};

/// One line of a history.
#[derive(Debug, Clone)]
pub(crate) struct Line {
    pub(crate) entry: Value,
    pub(crate) outcome: Outcome,
}

/// A history: what a test changes before it is written down and audited.
#[derive(Clone)]
pub(crate) struct History {
    pub(crate) plan: Value,
    pub(crate) lines: Vec<Line>,
    /// How many lines come before the papers are issued; `None` where none are.
    pub(crate) issue_after: Option<usize>,
    /// Changes papers before their hashes are taken.
    pub(crate) before_issue: fn(&mut Vec<(String, Vec<u8>)>),
    /// Changes papers as they lie there afterwards.
    pub(crate) after_issue: fn(&mut Vec<PaperHeld>),
    /// Changes the bytes of the log after it was signed.
    pub(crate) tamper: fn(&mut Vec<u8>),
    /// Changes the checkpoint.
    pub(crate) checkpoint: fn(Option<String>) -> Option<String>,
    /// A hand-over with its own entry, after the papers; changed as the test likes.
    pub(crate) handover: Option<Value>,
    /// A second one behind it.
    pub(crate) handover_again: Option<Value>,
    /// What is wrong with the bundle that it came in.
    pub(crate) bundle_faults: Vec<String>,
    /// Hash of the settings at hand; jobs are opened with `as shipped`.
    pub(crate) settings: &'static str,
    /// Day of the audit.
    pub(crate) day: &'static str,
    /// A tester that failed later.
    pub(crate) failed: Option<FailedTester>,
    /// The lines before anything was planted, for papers that a fault would not let through.
    without_fault: Vec<Line>,
}

/// Numbers from a seed, the same on every machine.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    fn roll(&mut self, below: u64) -> u64 {
        // xorshift64, G. Marsaglia 2003.
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % below
    }
}

/// The folders of lawful records that histories start from.
pub(crate) const BASES: [&str; 3] = [
    "tests/cases/lawful-stack",
    "sample-jobs/harbour-lane-stack",
    "sample-jobs/flooded-garage",
];

impl History {
    /// A history without fault.
    pub(crate) fn clean(base: &str, seed: u64) -> Self {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(base);
        let read = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
        let mut dice = Dice::new(seed);
        let (mut plan_text, mut record) = (read("job.json"), read("record.jsonl"));
        let plan: Value = serde_json::from_str(&plan_text).unwrap();
        for module in plan["modules"].as_array().unwrap() {
            // Another serial of the same length, everywhere.
            let Some(old) = module["serial"].as_str() else {
                continue;
            };
            let tail = format!("{:03}", dice.roll(1_000));
            let (head, end) = old.split_at(old.len() - 4);
            let new = format!("{head}{tail}{}", end.chars().last().unwrap());
            plan_text = plan_text.replace(old, &new);
            record = record.replace(old, &new);
        }
        let old = plan["job"].as_str().unwrap();
        plan_text = plan_text.replace(&format!("\"{old}\""), &format!("\"{old}-{seed}\""));
        let mut plan: Value = serde_json::from_str(&plan_text).unwrap();
        let people = plan["people"].as_array_mut().unwrap();
        people.push(json!({"id": "wim", "name": "Wim Oakes", "competences": [
            {"role": "warehouse_receiver", "covers": "hold bays", "expires_on": "2028-03-31"}]}));
        people.push(json!({"id": "ruth", "name": "Ruth Abel", "competences": [
            {"role": "compliance_officer", "covers": "class 9", "expires_on": "2028-03-31"}]}));
        let mut lines: Vec<Value> = record
            .lines()
            .map(|line| serde_json::from_str(line).unwrap())
            .collect();
        for line in &mut lines {
            vary(line, &mut dice);
        }
        // Papers go out with the hand-over; a record that ends there goes on to the treater.
        let released = lines.iter().position(|line| line["step"] == "Z06").unwrap() + 1;
        let issue_after = Some(released);
        if released == lines.len() {
            lines.extend(custody(&plan, &lines));
        }
        let mut history = Self {
            plan,
            lines: Vec::new(),
            issue_after,
            before_issue: |_| {},
            after_issue: |_| {},
            tamper: |_| {},
            checkpoint: |text| text,
            handover: None,
            handover_again: None,
            bundle_faults: Vec::new(),
            settings: "as shipped",
            day: "2026-12-20",
            failed: None,
            without_fault: Vec::new(),
        };
        let mut job = history.job();
        for entry in lines {
            let taken = job.take(serde_json::from_value::<Entry>(entry.clone()).unwrap());
            let outcome = taken.judgement.outcome;
            assert!(
                matches!(outcome, Outcome::Passed | Outcome::Recorded),
                "{base} is not lawful: {:?} {:?}",
                taken.entry.step,
                taken.judgement.reasons
            );
            history.lines.push(Line { entry, outcome });
        }
        history.without_fault.clone_from(&history.lines);
        history
    }

    fn job(&self) -> Job {
        let plan = Plan::read(&self.plan.to_string()).unwrap();
        let procedure = Procedure::shipped(plan.procedure_name()).unwrap().unwrap();
        Job::open(plan, procedure, Settings::shipped().unwrap())
    }

    /// Place of the line of a step, of the first module where it is one module's.
    pub(crate) fn at(&self, step: &str) -> usize {
        self.lines
            .iter()
            .position(|line| line.entry["step"] == step)
            .unwrap_or_else(|| panic!("no {step}"))
    }

    /// The entry of a step.
    pub(crate) fn entry(&mut self, step: &str) -> &mut Value {
        let at = self.at(step);
        &mut self.lines[at].entry
    }

    /// An answer of a step; a pointer such as `/locks/0/holder`.
    pub(crate) fn set(&mut self, step: &str, pointer: &str, value: Value) {
        let evidence = &mut self.entry(step)["evidence"];
        let (parent, name) = pointer.rsplit_once('/').unwrap();
        let parent = evidence.pointer_mut(parent).unwrap();
        match parent {
            Value::Array(items) => items[name.parse::<usize>().unwrap()] = value,
            Value::Object(members) => {
                members.insert(name.to_owned(), value);
            }
            _ => panic!("{pointer} of {step}"),
        }
    }

    /// Takes an answer out.
    pub(crate) fn unset(&mut self, step: &str, pointer: &str) {
        let evidence = &mut self.entry(step)["evidence"];
        let (parent, name) = pointer.rsplit_once('/').unwrap();
        match evidence.pointer_mut(parent).unwrap() {
            Value::Array(items) => {
                items.remove(name.parse::<usize>().unwrap());
            }
            Value::Object(members) => {
                members.remove(name).unwrap();
            }
            _ => panic!("{pointer} of {step}"),
        }
    }

    /// Takes a step out.
    pub(crate) fn drop_step(&mut self, step: &str) {
        let at = self.at(step);
        self.lines.remove(at);
        if let Some(issue) = &mut self.issue_after
            && at < *issue
        {
            *issue -= 1;
        }
    }

    /// Puts an entry in, before the line at `at`.
    pub(crate) fn insert(&mut self, at: usize, entry: Value, outcome: Outcome) {
        self.lines.insert(at, Line { entry, outcome });
        if let Some(issue) = &mut self.issue_after
            && at < *issue
        {
            *issue += 1;
        }
    }

    /// Every line of a step, of all modules.
    pub(crate) fn each(&mut self, step: &str, mut change: impl FnMut(usize, &mut Value)) {
        let lines = self.lines.iter_mut();
        for (n, line) in lines.filter(|line| line.entry["step"] == step).enumerate() {
            change(n, &mut line.entry["evidence"]);
        }
    }

    /// Writes the history into a log, signs it, and reads it as an auditor does.
    pub(crate) fn dossier(&self) -> Result<Dossier, String> {
        let (bytes, checkpoint, papers) = self.written();
        let key = DeviceKey::demo();
        let record = verify(&bytes, checkpoint.as_deref(), &[key.verifier()]);
        let plan = Plan::read(&self.plan.to_string()).unwrap();
        Dossier::read(
            record,
            Given {
                source: "history".into(),
                procedure: Procedure::shipped(plan.procedure_name()).unwrap().unwrap(),
                settings: Settings::shipped().unwrap(),
                settings_sha256: self.settings.into(),
                papers,
                bundle_faults: self.bundle_faults.clone(),
                day: self.day.parse().unwrap(),
            },
        )
    }

    /// Ends with the hand-over, which gets an entry of its own: what a receiver answers.
    pub(crate) fn hand_over(&mut self) {
        self.lines.truncate(self.issue_after.unwrap());
        let modules = self.plan["modules"].as_array().unwrap().clone();
        let seals = self.entry("Z05")["evidence"]["seals"].clone();
        let at = self.entry("Z06")["at"].clone();
        let packages: Vec<Value> = modules
            .iter()
            .enumerate()
            .map(|(n, module)| {
                json!({"id": format!("P{}", n + 1), "seal": seals[n], "condition": "dry",
                    "modules": [{"identity": module["serial"], "serial_readable": true,
                        "soundness": "sound",
                        "last_entry": {"log": "x", "seq": 1, "leaf_hash": "00"}}]})
            })
            .collect();
        self.handover = Some(json!({"number": 1, "job": self.plan["job"], "at": at,
            "place": "kerb", "from": {"name": "Brightwell Electrical", "address": "Quarry Road"},
            "released_by": "Nora Quill",
            "to": {"name": "Tidewater Battery Recovery", "address": "Dock 9"},
            "taken_by": "Tom Garrow", "purpose": "recycling", "packages": packages, "papers": []}));
    }

    /// Bytes of the log, its checkpoint, and the papers.
    pub(crate) fn written(&self) -> (Vec<u8>, Option<String>, Vec<PaperHeld>) {
        let key = DeviceKey::demo();
        let mut log = Log::open(DEMO_ORIGIN).unwrap();
        let mut text = String::new();
        let mut job = self.job();
        let opened = OpenedBody {
            plan: job.plan().clone(),
            procedure: job.frame().procedure.id.clone(),
            procedure_sha256: job.frame().procedure.fingerprint.clone(),
            settings_sha256: "as shipped".into(),
            program: "packdown".into(),
            entries_from: "field record".into(),
        };
        let at = self.lines[0].entry["at"].as_str().unwrap().parse().unwrap();
        let draft = |at, actor: &str, kind: &str, body| Draft {
            time: at,
            actor: actor.into(),
            kind: kind.into(),
            body,
            refs: Vec::new(),
            photos: Vec::new(),
        };
        let body = serde_json::to_value(&opened).unwrap();
        text.push_str(
            &log.append(draft(at, "packdown", "job_opened", body))
                .unwrap()
                .line,
        );
        let mut held = Vec::new();
        for (n, line) in self.lines.iter().enumerate() {
            let entry: Entry = serde_json::from_value(line.entry.clone()).unwrap();
            let body = EntryBody {
                entry: entry.clone(),
                outcome: line.outcome,
                reasons: Vec::new(),
                notes: Vec::new(),
            };
            let body = serde_json::to_value(body).unwrap();
            let written = log
                .append(draft(entry.at, &entry.by, entry.kind.name(), body))
                .unwrap();
            text.push_str(&written.line);
            job.take_as_recorded(entry, line.outcome);
            if self.issue_after == Some(n + 1) {
                let mut issued = papers_of(&job, &log, 1, false, &Look::default())
                    .or_else(|_| {
                        papers_of(&self.job_without_fault(), &log, 1, false, &Look::default())
                    })
                    .unwrap();
                (self.before_issue)(&mut issued.files);
                let mut issue = issued.draft_entry().unwrap();
                // An entry that the gate refuses does not move a job's clock.
                issue.time = serde_json::from_value(line.entry["at"].clone()).unwrap();
                let written = log.append(issue).unwrap();
                text.push_str(&written.line);
                for (name, bytes) in issued.files {
                    let decisions = name == "decisions.json";
                    held.push(PaperHeld {
                        issue: 1,
                        there: true,
                        as_issued: true,
                        text: decisions.then(|| String::from_utf8(bytes).unwrap()),
                        name,
                    });
                }
                for handover in self.handover.iter().chain(&self.handover_again) {
                    let at = serde_json::from_value(handover["at"].clone()).unwrap();
                    let body = serde_json::from_value::<Handover>(handover.clone()).unwrap();
                    let body = serde_json::to_value(body).unwrap();
                    text.push_str(&log.append(draft(at, "piet", RELEASED, body)).unwrap().line);
                }
            }
        }
        (self.after_issue)(&mut held);
        let checkpoint = log.checkpoint(&key).unwrap().to_string();
        let mut bytes = text.into_bytes();
        (self.tamper)(&mut bytes);
        (bytes, (self.checkpoint)(Some(checkpoint)), held)
    }

    fn job_without_fault(&self) -> Job {
        let mut job = self.job();
        for line in self.without_fault.iter().take(self.issue_after.unwrap()) {
            job.take(serde_json::from_value::<Entry>(line.entry.clone()).unwrap());
        }
        job
    }

    /// The audit.
    pub(crate) fn audited(&self) -> Audited {
        audit(&self.dossier().unwrap(), self.failed.as_ref())
    }

    /// SHA-256 of the log, to compare two histories.
    pub(crate) fn fingerprint(&self) -> String {
        to_hex(&sha256(&self.written().0))
    }
}

/// Other readings, inside what is lawful.
fn vary(line: &mut Value, dice: &mut Dice) {
    for name in ["face_temperature_c", "positive_to_case_v"] {
        if let Some(value) = line["evidence"].get_mut(name)
            && let Some(number) = value.as_f64()
        {
            let more = dice.roll(20) as f64 / 100.0;
            *value = json!(((number + more) * 100.0).round() / 100.0);
        }
    }
}

/// From the receipt to the closed file.
fn custody(plan: &Value, lines: &[Value]) -> Vec<Value> {
    let serials: Vec<Value> = plan["modules"]
        .as_array()
        .unwrap()
        .iter()
        .map(|module| module["serial"].clone())
        .collect();
    let mass: f64 = lines
        .iter()
        .filter(|line| line["step"] == "M09")
        .map(|line| line["evidence"]["net_mass_kg"].as_f64().unwrap())
        .sum();
    let mass = json!((mass * 10.0).round() / 10.0);
    let released = lines.iter().find(|line| line["step"] == "Z06").unwrap();
    let at = released["at"].as_str().unwrap();
    let (day, offset) = (at.split_at(10).0, at.split_at(19).1);
    let next = |days: u64, time: &str| {
        let day: chrono::NaiveDate = day.parse().unwrap();
        let day = day.checked_add_days(chrono::Days::new(days)).unwrap();
        format!("{day}T{time}{offset}")
    };
    let driver = released["by"].clone();
    let step = |id: &str, at: String, by: Value, evidence: Value| json!({"kind": "step", "step": id, "at": at, "by": by, "evidence": evidence});
    vec![
        step(
            "Z07",
            next(0, "15:20:11"),
            json!("wim"),
            json!({"received_by_name": "Wim Oakes",
            "packages": 4, "seals_match": true, "highest_temperature_c": 12.4, "damage": "none"}),
        ),
        step(
            "Z08",
            next(2, "09:12:40"),
            json!("wim"),
            json!({"bay": "H2",
            "started_at": next(0, "15:31:00"), "ended_at": next(2, "09:10:00"),
            "temperatures_c": ["12.1", "11.8"]}),
        ),
        step(
            "Z09",
            next(2, "10:02:05"),
            json!("wim"),
            json!({"units": [{"unit": "U-7", "serials": serials}]}),
        ),
        step(
            "Z10",
            next(9, "08:15:30"),
            driver,
            json!({"delivered_mass_kg": mass,
            "serials": serials, "signed_by": "gate of the treater"}),
        ),
        step(
            "Z11",
            next(20, "11:40:00"),
            json!("ruth"),
            json!({"certificate": "RC-5521",
            "serials": serials, "treatment": "mechanical, then hydrometallurgy",
            "treated_mass_kg": mass}),
        ),
        step(
            "Z12",
            next(21, "09:00:41"),
            json!("ruth"),
            json!({
            "file_hash": "7d1f", "retention_years": 7}),
        ),
        step(
            "Z13",
            next(21, "09:48:12"),
            json!("ruth"),
            json!({"sample": 1,
            "audited_by": "Ruth Abel", "audit_findings": "none"}),
        ),
    ]
}
