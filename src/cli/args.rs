//! What may be typed. The doc comments are the help.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::{Parser, Subcommand, ValueEnum};

use super::dock_args::{HoldCommand, ReceiveArgs, RegisterCommand, StockArgs};
use crate::papers::Language;
use crate::papers::pdf::Stock;
use crate::procedure::Kind;
use crate::store::{Leg, Said};
use crate::transport::Reader;

/// Take a stationary lithium battery out of service: safe order, readings, transport decision,
/// packing manifest, chain of custody.
///
/// The tool proposes; a named competent person decides. Local code, the maker's instructions and
/// licensed practice govern. Battery terminals cannot be made dead.
#[derive(Debug, Parser)]
#[command(
    name = "packdown",
    version,
    max_term_width = 100,
    propagate_version = true
)]
pub struct Cli {
    /// How to answer: text for people, plain for screen readers and pipes, json for programs;
    /// json where `calc` is asked, else text where it is not given
    #[arg(long, value_enum, global = true)]
    pub format: Option<Format>,

    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

impl Cli {
    /// The form asked for, or the command's own.
    pub(super) fn format(&self) -> Format {
        self.format.unwrap_or(match self.command {
            Command::Calc(_) => Format::Json,
            _ => Format::Text,
        })
    }
}

/// How to answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people.
    Text,
    /// One fact a line, no boxes.
    Plain,
    /// For programs.
    Json,
    /// A graph in Mermaid; only `procedure show`
    #[value(hide = true)]
    Mermaid,
    /// A graph in Graphviz; only `procedure show`
    #[value(hide = true)]
    Dot,
}

impl Cli {
    /// Whether the form asked for is one that the command has.
    #[must_use]
    pub fn has_its_format(&self) -> bool {
        match self.format() {
            Format::Text | Format::Plain | Format::Json => true,
            Format::Mermaid | Format::Dot => {
                matches!(self.command, Command::Procedure(ProcedureCommand::Show(_)))
            }
        }
    }
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Work through a removal: play a field record, or be asked step by step
    ///
    /// JOB is a folder with `job.json`. Where it holds `record.jsonl`, the record is played into
    /// the folder given with --out and the papers are written there. Without a record you are
    /// asked for the next open step; every answer is on disk before the next question.
    Run(RunArgs),
    /// Begin a job: write its plan after the manner of an earlier one
    ///
    /// People, instruments, firms, procedure, type of module, sources and isolating devices are
    /// taken over; what belongs to the other site, battery and consignment is left open and named.
    /// What does not reach the day of the visit is named as well.
    New(NewArgs),
    /// Print the method statement before the visit
    Plan(PlanArgs),
    /// Add one entry to a job's ledger
    ///
    /// `packdown show JOB --step C21` names the answers that a step asks for, who may give them and
    /// whether it is open. The entry is on disk before the answer is; one that is refused is kept
    /// too. Several people may write from several terminals; nobody is told what is not written.
    ///
    /// Leaves with 0 where the step passed, 1 where it did not or was refused.
    Step(StepArgs),
    /// Say where a job stands, what is open and why
    Show(ShowArgs),
    /// Issue the papers of a job that is entitled to them
    Issue(IssueArgs),
    /// Plan which module goes into which package, or pack bare instances; or judge a plan
    ///
    /// For a JOB with a ledger: from the decisions and the stock of packagings (`packagings.csv`) to
    /// packages, with where each module stands and why. With --instance: FILE holds bare questions,
    /// one object or one a line, `{"name":"van","cap":[1500,15000],"items":[[298,3263],[298,3263]]}` -
    /// what one package takes by each limit, what each item needs; the answer is one line for each.
    /// Both say how many packages no plan can go below.
    ///
    /// packagings.csv has a row for each design; an empty cell is not known, and a column that is not
    /// there is empty. Needed: id, kind, inner_length_mm, inner_width_mm, inner_height_mm,
    /// max_gross_kg, tare_kg, count. Where known: mark, gap_mm, cost, max_energy_wh, max_modules;
    /// outer_length_mm, outer_width_mm, outer_height_mm, stack_load_kg for carriers; yes or no for
    /// inner_each_alone, inner_fully_enclosed, inner_non_metallic, inner_leakproof,
    /// cushioning_non_combustible, cushioning_non_conductive, cushioning_absorbent,
    /// cushioning_thermal_insulation, liner_non_conductive; for critical batteries report,
    /// report_types, report_max_items, report_max_energy_wh, report_max_state_of_charge_percent.
    ///
    /// Sound modules stand in several layers where max_layers allows it and everything is known of
    /// the divider between them: divider_rests_on (modules, or packaging for a shelf), divider_mm,
    /// divider_kg, divider_bears_kg, divider_non_conductive. On modules it also needs what may stand
    /// on each (stack_load_kg) and terminals that are not on top (terminals_on_top no), or
    /// divider_clears_terminals.
    ///
    /// modules.csv says what was measured since the plan: module or model, length_mm, width_mm,
    /// height_mm, stack_load_kg, terminals_on_top.
    Pack(PackArgs),
    /// Hand a load over: an entry in the ledger, and one bundle file that goes with it
    ///
    /// Names, place, count, seals, condition and temperatures come from the entries of loading and
    /// signing over (Z05, Z06) where these passed; say here what is not there. Refuses, with
    /// reasons, a job that is not entitled, papers not issued, a seal missing, counts that differ,
    /// a leg that is forbidden or not determined; writes nothing then.
    ///
    /// The bundle `<job>-<number>.zip` needs no network: stick or mail. It holds the log, the
    /// signed checkpoint, papers, photographs, and a proof for each module.
    Release(ReleaseArgs),
    /// Sign, as the receiver's device, what a bundle shows of the giver's log
    ///
    /// Refuses a log that is not the continuation of what this device saw of it before. Send the
    /// file back to the giver, who takes it with `packdown release JOB --cosigned FILE`.
    Cosign(CosignArgs),
    /// Put the logs of several devices together, and show every contradiction
    ///
    /// Takes jobs, registers, bundles, and folders of them. Of each log the longest copy counts;
    /// two histories of one log are a fork: both are kept, both are shown, and people find out.
    /// In whatever order they come, the result is the same. Leaves with 5 where there is a
    /// conflict.
    Merge(MergeArgs),
    /// Write what is known of one module, with proofs, to be checked without the rest
    ///
    /// The text holds the module's entries, the hashes up to the root and the signed checkpoint
    /// (C2SP tlog-proof). `packdown verify FILE` checks it, and so does any tool for that form.
    Proof(ProofArgs),
    /// Walk the ledger of a job, a bundle or a proof, and name every break in it
    Verify(VerifyArgs),
    /// Audit jobs: what an auditor would write down, by weight, with the entry it rests on
    ///
    /// PATH is a job folder, a hand-over bundle, the register of a site that receives, or a folder that
    /// holds such, down to four levels. A register shows the other half of hand-overs.
    /// Every check is asked of every job; `--format json` lists them with question and clause. One
    /// job is in memory for each core, whatever their number.
    ///
    /// With --events: FILE is CSV with the columns of `packdown schema events`, any number of rows in
    /// any order. Looks for holes in the numbers, hand-overs by somebody who did not hold the module,
    /// clocks that run back, chains without the closing event, dispatch later than allowed.
    ///
    /// Leaves with 0 where nothing is found, 1 where something is, 4 where a file cannot be read.
    Audit(Box<AuditArgs>),
    /// Decide how each battery of a file may travel, with reasons
    ///
    /// FILE holds the facts: one JSON object, a JSON array, lines of JSON, or CSV with the dotted
    /// names as heads (`packdown schema facts`); `-` is standard input. What is absent or empty is
    /// not known. The answer has the form of the file: an object, an array, or a line a battery.
    ///
    /// Leaves with 0 where all may travel, 1 where a battery is forbidden or a described package
    /// refused, 3 where one of them is not determined, 4 where the file cannot be read.
    Classify(ClassifyArgs),
    /// Explain the decision for each battery in prose: duties, clauses, rows that decided
    Explain(ExplainArgs),
    /// Judge a battery on each leg of its way and name the package that is good on all of them
    ///
    /// Name the legs with --regime, in the order of the way, such as `--regime adr,imdg,cfr49:road`.
    /// Where no one package is good on all, it says what each leg would take.
    ///
    /// Leaves with 0 where there is one, 1 where a leg is forbidden or the legs contradict, 3 where a
    /// leg is not determined, 4 where the file cannot be read.
    Route(ExplainArgs),
    /// Read the UN mark of a packaging and say what is wrong with it
    CheckMark(MarkArgs),
    /// Say what a scanned text is: a GS1 key, an element string, a web address, a name
    ///
    /// TEXT is as the scanner sends it, with its symbology identifier if it has one, or as it stands
    /// on the label, `(00)095211411234567892`; `^` stands for FNC1. Leaves with 1 where a check digit
    /// or anything else is not in order.
    ReadCode(CodeArgs),
    /// Check a transport document for one battery: line, statements, quantity, points
    ///
    /// FILE is one JSON object (`packdown schema document`); - is standard input.
    CheckDocument(InputArgs),
    /// Check a load before it leaves: a vehicle, a wagon, a unit for the sea, a consignment by air
    ///
    /// FILE is one JSON object (`packdown schema load`); - is standard input.
    Load(InputArgs),
    /// The rows that decide
    #[command(subcommand)]
    Rules(RulesCommand),
    /// Prove or draw a procedure
    #[command(subcommand)]
    Procedure(ProcedureCommand),
    /// Receive a load at the dock: what was stated against what is scanned
    ///
    /// LOAD is a hand-over bundle (a zip or its folder), a hand-over as JSON, or the sender's own
    /// table as CSV, whose columns are guessed, shown and confirmed. A USB scanner types a line;
    /// `help` says what else may be typed. Each line is on disk before it is answered. A load may
    /// be refused.
    ///
    /// Leaves with 0 where everything is as stated, 1 where it is not, 3 where something was not
    /// looked at.
    Receive(ReceiveArgs),
    /// Held modules: readings due, readings taken, the way out with two signatures
    #[command(subcommand)]
    Hold(HoldCommand),
    /// What stands in which bay against its limits; moves, units, the way out
    ///
    /// Leaves with 1 where a limit is broken or a period is over.
    Stock(StockArgs),
    /// The register of a site that receives
    #[command(subcommand)]
    Register(RegisterCommand),
    /// Do one sum without a job: state of charge, energy, wait, discharge, lifting
    ///
    /// Reads one JSON object, an array of them, or one a line, and answers in the same shape.
    /// Answers JSON unless --format text is given, which adds the formula and its source. Fields:
    /// `packdown schema calc-NAME`.
    Calc(CalcArgs),
    /// Print the JSON schema of a file that people write
    Schema(SchemaArgs),
    /// The key of this device
    #[command(subcommand)]
    Key(KeyCommand),
}

/// `new`.
#[derive(Debug, clap::Args)]
pub struct NewArgs {
    /// Folder of the new job
    pub job: PathBuf,
    /// Folder of the earlier job
    #[arg(long, value_name = "JOB")]
    pub like: PathBuf,
    /// Name of the new job: letters, digits, hyphen
    #[arg(long)]
    pub name: String,
    /// Day of the visit
    #[arg(long, value_name = "DATE")]
    pub on: NaiveDate,
    /// What the site is called
    #[arg(long)]
    pub site: String,
    /// Its address, for the papers
    #[arg(long)]
    pub address: String,
    /// Its country, two letters
    #[arg(long, value_name = "CC")]
    pub country: String,
    /// What the site calls the battery
    #[arg(long, value_name = "WORDS")]
    pub battery: String,
    /// How many modules there are, where no serial is known
    #[arg(long, value_name = "NUMBER", conflicts_with = "serials")]
    pub modules: Option<usize>,
    /// Their serials, one a line, top module first; an empty line is one that is not known
    #[arg(long, value_name = "FILE")]
    pub serials: Option<PathBuf>,
    /// Highest direct voltage of the battery; due where it has another number of modules
    #[arg(long, value_name = "VOLT")]
    pub max_voltage: Option<String>,
}

/// `run`.
#[derive(Debug, clap::Args)]
pub struct RunArgs {
    /// Folder of the job
    pub job: PathBuf,
    /// Folder to write a played job to; it becomes a job folder itself
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Field record to play, instead of `record.jsonl` in the folder
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
    /// The maker's or your own procedure, instead of the one for the installation
    #[arg(long, value_name = "FILE")]
    pub procedure: Option<PathBuf>,
    /// Your own settings, instead of those that ship
    #[arg(long, value_name = "FILE")]
    pub settings: Option<PathBuf>,
    /// Print papers for a job that is not entitled to them, with a word across that says so
    #[arg(long)]
    pub draft: bool,
    /// Print papers in the same go: `all`, `none`, or a name such as `labels`, which may be given
    /// again; they are kept in `papers/issue-1`
    #[arg(long, value_name = "NAME", default_value = "none")]
    pub papers: Vec<String>,
}

/// `step`.
#[derive(Debug, clap::Args)]
pub struct StepArgs {
    /// Folder of the job
    pub job: PathBuf,
    /// What the entry is
    #[arg(long, default_value = "step", value_name = "KIND", value_parser = kinds())]
    pub kind: String,
    /// The step, such as C21
    #[arg(long, value_name = "ID")]
    pub step: Option<String>,
    /// The module, where it is one module's
    #[arg(long, value_name = "ID")]
    pub module: Option<String>,
    /// Who
    #[arg(long, value_name = "PERSON")]
    pub by: String,
    /// The second person
    #[arg(long, value_name = "PERSON")]
    pub with: Option<String>,
    /// When, with offset; now where it is absent
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// An answer; again for each. Names and forms: `packdown show JOB --step C21`; a value that
    /// begins with [ or { is read as JSON, `unknown` is an answer
    #[arg(long, value_name = "NAME=VALUE")]
    pub evidence: Vec<String>,
    /// Why
    #[arg(long, value_name = "WORDS")]
    pub reason: Option<String>,
    /// Late entries: when it happened
    #[arg(long, value_name = "TIME")]
    pub happened_at: Option<String>,
    /// Corrections: number of the entry in the record (its first is 1)
    #[arg(long, value_name = "NUMBER")]
    pub amends: Option<u32>,
    /// A photograph in the job's photos folder
    #[arg(long, value_name = "FILE")]
    pub photo: Vec<String>,
}

fn kinds() -> PossibleValuesParser {
    PossibleValuesParser::new(Kind::ALL.map(Kind::name))
}

/// `show`.
#[derive(Debug, clap::Args)]
pub struct ShowArgs {
    /// Folder of the job
    pub job: PathBuf,
    /// Say what this step asks, by the names that `packdown step` takes, who may do it, and why it
    /// is shut
    #[arg(long, value_name = "ID")]
    pub step: Option<String>,
    /// The module, where the step is one module's
    #[arg(long, value_name = "ID", requires = "step")]
    pub module: Option<String>,
}

/// `plan`.
#[derive(Debug, clap::Args)]
pub struct PlanArgs {
    /// Folder of the job
    pub job: PathBuf,
    /// Write the statement as a PDF as well
    #[arg(long, value_name = "FILE")]
    pub pdf: Option<PathBuf>,
    /// The language of the PDF's own words; the sentences of the procedure stay as its file has them
    #[arg(long, value_parser = languages(), default_value = "en", requires = "pdf")]
    pub language: Language,
    /// What the PDF is printed on; a4, or letter where people weigh in pounds
    #[arg(long, value_enum, requires = "pdf")]
    pub stock: Option<StockName>,
}

/// What a printer is loaded with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum StockName {
    /// 210 x 297 mm
    A4,
    /// 148 x 210 mm
    A5,
    /// 105 x 148 mm
    A6,
    /// 8.5 x 11 in
    Letter,
    /// 4 x 6 in
    #[value(name = "4x6")]
    FourBySix,
}

impl From<StockName> for Stock {
    fn from(name: StockName) -> Self {
        match name {
            StockName::A4 => Self::A4,
            StockName::A5 => Self::A5,
            StockName::A6 => Self::A6,
            StockName::Letter => Self::Letter,
            StockName::FourBySix => Self::FourBySix,
        }
    }
}

/// The languages that papers are printed in, by their codes.
pub(super) fn languages() -> impl TypedValueParser<Value = Language> {
    let names = Language::all()
        .map(|(code, language)| PossibleValue::new(code).help(language.english_name()));
    PossibleValuesParser::new(names).map(|code| Language::of(&code).unwrap_or_default())
}

/// `issue`.
#[derive(Debug, clap::Args)]
pub struct IssueArgs {
    /// Folder of the job
    pub job: PathBuf,
    /// Print papers for a job that is not entitled to them, with a word across that says so
    #[arg(long)]
    pub draft: bool,
    /// Make the papers issued before void: the same with VOID across and this reason, for everybody
    /// who holds them
    #[arg(long, value_name = "WHY", conflicts_with = "draft")]
    pub void: Option<String>,
    /// Issue only this paper, such as `manifest`; may be given again; a name that is not there is
    /// answered with those that are
    #[arg(long, value_name = "NAME")]
    pub paper: Vec<String>,
    /// What documents are printed on; a4, or letter where people weigh in pounds
    #[arg(long, value_enum)]
    pub stock: Option<StockName>,
    /// What labels are printed on; a5, or letter where people weigh in pounds
    #[arg(long, value_enum)]
    pub label_stock: Option<StockName>,
    /// The language of the papers' own words; sentences of rules and procedures stay as they are
    #[arg(long, value_parser = languages(), default_value = "en")]
    pub language: Language,
    /// Put copies of the files here too; the issue itself is kept in the job's `papers/` folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// `pack`.
#[derive(Debug, clap::Args)]
pub struct PackArgs {
    /// Folder of the job
    #[arg(required_unless_present = "instance", conflicts_with = "instance")]
    pub job: Option<PathBuf>,
    /// Bare instances to pack
    #[arg(long, value_name = "FILE")]
    pub instance: Option<PathBuf>,
    /// Packagings at hand, instead of `packagings.csv` in the folder
    #[arg(long, value_name = "FILE", conflicts_with = "instance")]
    pub stock: Option<PathBuf>,
    /// Pallets, overpacks and vehicles, instead of `carriers.csv` in the folder
    #[arg(long, value_name = "FILE", conflicts_with = "instance")]
    pub carriers: Option<PathBuf>,
    /// Sizes and what may stand on a module, measured since the plan, instead of `modules.csv`
    #[arg(long, value_name = "FILE", conflicts_with = "instance")]
    pub modules: Option<PathBuf>,
    /// Judge this plan instead: everything in one place, no limit passed, lawful
    #[arg(long, value_name = "PLAN")]
    pub check: Option<PathBuf>,
}

/// `release`.
#[derive(Debug, clap::Args)]
pub struct ReleaseArgs {
    /// Folder of the job
    pub job: PathBuf,
    /// For whom the load is meant; the consignee of the plan where it is not said
    #[arg(long, value_name = "NAME")]
    pub to: Option<String>,
    /// Address of a receiver who is not the consignee of the plan
    #[arg(long, value_name = "ADDRESS")]
    pub to_address: Option<String>,
    /// Country of the receiver, two letters
    #[arg(long, value_name = "CC")]
    pub to_country: Option<String>,
    /// Who hands over
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
    /// Who takes over
    #[arg(long, value_name = "NAME")]
    pub taken_by: Option<String>,
    /// The firm of who takes over
    #[arg(long, value_name = "FIRM")]
    pub taken_by_firm: Option<String>,
    /// Registration of the vehicle: small loads of one day on one vehicle count together
    #[arg(long, value_name = "NUMBER")]
    pub vehicle: Option<String>,
    /// Where
    #[arg(long, value_name = "PLACE")]
    pub place: Option<String>,
    /// When, with offset; the time of signing over where that passed, else now
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// How it is kept from here: in_hand, in_sight, locked_up, restricted_area, unbroken_seal
    #[arg(long, value_name = "HOW")]
    pub kept: Option<String>,
    /// How many packages were counted by both
    #[arg(long, value_name = "NUMBER")]
    pub count: Option<u32>,
    /// Only this package leaves now; may be repeated
    #[arg(long, value_name = "ID")]
    pub package: Vec<String>,
    /// Seal of a package; may be repeated
    #[arg(long, value_name = "ID=SEAL")]
    pub seal: Vec<String>,
    /// Condition of all packages, or of one; may be repeated
    #[arg(long, value_name = "[ID=]WORDS")]
    pub condition: Vec<String>,
    /// Warmest surface of the load in degrees C, or that of one package; may be repeated
    #[arg(long, value_name = "[ID=]NUMBER", allow_hyphen_values = true)]
    pub temperature: Vec<String>,
    /// Anything else
    #[arg(long, value_name = "WORDS")]
    pub remarks: Option<String>,
    /// Why packages that left before are handed over again
    #[arg(long, value_name = "WHY")]
    pub again: Option<String>,
    /// Folder for the bundle; the job's own where it is not said
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Write the bundle of an earlier hand-over again, and hand nothing over
    #[arg(long, value_name = "NUMBER", conflicts_with = "cosigned")]
    pub rewrite: Option<u32>,
    /// Take the receiver's cosignature into the ledger, and hand nothing over
    #[arg(long, value_name = "FILE")]
    pub cosigned: Option<PathBuf>,
    /// Trust this key of the receiver, in the form that `packdown key show` prints
    #[arg(long, value_name = "KEY", requires = "cosigned")]
    pub trust: Vec<String>,
}

/// `cosign`.
#[derive(Debug, clap::Args)]
pub struct CosignArgs {
    /// The bundle, or the folder that it was unpacked into
    pub bundle: PathBuf,
    /// File to write, for the giver
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Who takes the load over: signed beside the cosignature. With --site, the id in its `site.json`
    #[arg(long, value_name = "WHO")]
    pub by: Option<String>,
    /// Register of the site that receives, or its `site.json`: refuses who may not receive on the day
    #[arg(long, value_name = "DIR", requires = "by")]
    pub site: Option<PathBuf>,
    /// When, with offset; now where it is not said
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
}

/// `merge`.
#[derive(Debug, clap::Args)]
pub struct MergeArgs {
    /// Jobs, registers, bundles, or folders of them
    #[arg(required = true, value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// Folder to keep the merged logs in; what is there already counts too
    #[arg(long, value_name = "DIR")]
    pub into: Option<PathBuf>,
}

/// `proof`.
#[derive(Debug, clap::Args)]
pub struct ProofArgs {
    /// Folder of the job, or a bundle
    pub job: PathBuf,
    /// Serial of the module, or its id in the plan
    #[arg(long, value_name = "SERIAL")]
    pub module: String,
    /// File to write; standard output where it is not said
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Prove the hand-overs as well, which name everything that left together
    #[arg(long)]
    pub with_handovers: bool,
}

/// `verify`.
#[derive(Debug, clap::Args)]
pub struct VerifyArgs {
    /// Folder of the job; a bundle, packed or unpacked; or a file of proofs
    pub job: PathBuf,
    /// Trust this key as well, in the form that `packdown key show` prints
    #[arg(long, value_name = "KEY")]
    pub trust: Vec<String>,
    /// Compare with a printed paper, which nobody can rewrite: the ledger's size and root from its
    /// last line, 16 digits of the root or more; may be repeated
    #[arg(long, value_name = "SIZE:ROOT")]
    pub paper: Vec<String>,
}

/// `audit`.
#[derive(Debug, clap::Args)]
pub struct AuditArgs {
    /// Job folders, bundles, registers, or folders that hold such
    #[arg(value_name = "PATH", required_unless_present_any = ["bundles", "events"])]
    pub paths: Vec<PathBuf>,
    /// A folder of bundles or jobs
    #[arg(long, value_name = "DIR")]
    pub bundles: Option<PathBuf>,
    /// Day of the audit, to which deadlines are counted; today where it is absent
    #[arg(long, value_name = "DATE")]
    pub on: Option<NaiveDate>,
    /// Trust this key as well, in the form that `packdown key show` prints
    #[arg(long, value_name = "KEY")]
    pub trust: Vec<String>,
    /// Look at a share of the jobs, such as 5%; the seed is printed, and picks the same again
    #[arg(long, value_name = "SHARE")]
    pub sample: Option<String>,
    /// Seed of the sample
    #[arg(long, value_name = "NUMBER", requires = "sample")]
    pub seed: Option<u64>,
    /// A tester that failed its check: flag every dead test made with it since its last good one
    #[arg(long, value_name = "SERIAL", requires = "last_good")]
    pub tester_failed: Option<String>,
    /// Day of the last good check of that tester
    #[arg(long, value_name = "DATE", requires = "tester_failed")]
    pub last_good: Option<NaiveDate>,
    /// Write the findings to this file as CSV, - for standard output; a Data Package beside it says
    /// what each column is
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// Write a report to hand to an inspector, one HTML page; with --as-inspector, the answers
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
    /// Your own template for the report, instead of the one that ships
    #[arg(long, value_name = "FILE", requires = "html")]
    pub template: Option<PathBuf>,
    /// Ask what inspectors ask, in their order: training, packaging, papers; name what is missing
    #[arg(long, group = "view", conflicts_with = "csv")]
    pub as_inspector: bool,
    /// The whole file of one module, from the wall to the certificate
    #[arg(long, group = "view", value_name = "SERIAL", conflicts_with_all = ["csv", "html"])]
    pub module: Option<String>,
    /// Who is shown able for what, until when, and what each signed
    #[arg(long, group = "view", conflicts_with_all = ["csv", "html"])]
    pub training: bool,
    /// Until when each paper is kept, by rule and region
    #[arg(long, group = "view", conflicts_with_all = ["csv", "html"])]
    pub retention: bool,
    /// A job whose file may not go, however old; several by repeating it
    #[arg(long, value_name = "JOB", requires = "retention")]
    pub legal_hold: Vec<String>,
    /// Modules, mass and material by month: removed, packed, handed over, received, treated
    #[arg(long, group = "view", conflicts_with_all = ["csv", "html"])]
    pub masses: bool,
    /// Match a treater's certificate serial by serial; CSV with a column `serial`
    #[arg(long, group = "view", value_name = "FILE", conflicts_with_all = ["csv", "html"])]
    pub certificate: Option<PathBuf>,
    /// A table of custody events instead of jobs
    #[arg(long, value_name = "FILE", conflicts_with_all = ["paths", "bundles"])]
    pub events: Option<PathBuf>,
    /// What is asked of the table.
    #[command(flatten, next_help_heading = "With --events")]
    pub table: EventsArgs,
}

/// What is asked of a table of custody events.
#[derive(Debug, clap::Args)]
pub struct EventsArgs {
    /// Number of the event that closes a chain
    #[arg(long, value_name = "NUMBER", default_value_t = 10)]
    pub last_step: u32,
    /// Most days from removal to dispatch; a year is the longest for universal waste in the US (40
    /// CFR 273.15, 273.35)
    #[arg(long, value_name = "DAYS", default_value_t = 365)]
    pub deadline_days: u32,
    /// The kind of event that is the removal
    #[arg(long, value_name = "KIND", default_value = "removed")]
    pub removed: String,
    /// The kind of event that is the dispatch
    #[arg(long, value_name = "KIND", default_value = "dispatched")]
    pub dispatched: String,
    /// Pass over this column; several with commas or by repeating it
    #[arg(long, value_name = "COLUMN", value_delimiter = ',')]
    pub ignore: Vec<String>,
    /// Write every finding to this CSV file; the answer shows the first of each check
    #[arg(long, value_name = "FILE")]
    pub findings: Option<PathBuf>,
    /// Hash the chain of each module and print one root over all
    #[arg(long)]
    pub chain: bool,
    /// Compare the hash of each chain with this file, which --write-heads once wrote
    #[arg(long, value_name = "FILE")]
    pub heads: Option<PathBuf>,
    /// Write the hash of each chain to this file
    #[arg(long, value_name = "FILE")]
    pub write_heads: Option<PathBuf>,
}

/// What is said beside a file of facts.
#[derive(Debug, clap::Args)]
pub struct SaidArgs {
    /// Day of carriage, instead of the one in the file
    #[arg(long, value_name = "DATE")]
    pub on: Option<NaiveDate>,
    /// Judge for this leg instead of the one in the file: adr, rid, imdg, air:cargo_aircraft,
    /// cfr49:road and so on; several with commas or by repeating it
    #[arg(long, value_name = "REGIME[:MODE]", value_delimiter = ',')]
    pub regime: Vec<Leg>,
    /// Pass over this column of a CSV, which is no fact; several with commas or by repeating it
    #[arg(long, value_name = "COLUMN", value_delimiter = ',')]
    pub ignore: Vec<String>,
    /// Say what to do in the words of this region instead of those of the regime: us, uk, au, eu
    #[arg(long, value_name = "REGION")]
    pub reader: Option<Reader>,
}

impl SaidArgs {
    /// What is said, for an action.
    #[must_use]
    pub fn said(&self) -> Said {
        Said {
            on: self.on,
            legs: self.regime.clone(),
            ignored: self.ignore.clone(),
            reader: self.reader,
        }
    }
}

/// `classify`.
#[derive(Debug, clap::Args)]
pub struct ClassifyArgs {
    /// The facts, or - for standard input
    pub file: PathBuf,
    /// What is said beside the file.
    #[command(flatten)]
    pub said: SaidArgs,
    /// Say only what is otherwise on this day
    #[arg(long, value_name = "DATE", conflicts_with = "csv")]
    pub compare_on: Option<NaiveDate>,
    /// Write one CSV row for each answer to this file, - for standard output; any length of input
    /// in little memory; a Data Package beside it says what each column is
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
}

/// `explain` and `route`.
#[derive(Debug, clap::Args)]
pub struct ExplainArgs {
    /// The facts, or - for standard input
    pub file: PathBuf,
    /// What is said beside the file.
    #[command(flatten)]
    pub said: SaidArgs,
}

/// `check-mark`.
#[derive(Debug, clap::Args)]
pub struct MarkArgs {
    /// The mark as it stands on the packaging, such as "UN 4D/X90/S/25/GB/1234"
    #[arg(allow_hyphen_values = true)]
    pub mark: String,
}

/// `read-code`.
#[derive(Debug, clap::Args)]
pub struct CodeArgs {
    /// The scanned text
    #[arg(allow_hyphen_values = true)]
    pub text: String,
    /// Give the web address of the same identity (GS1 Digital Link) instead
    #[arg(long)]
    pub link: bool,
    /// Web address to put it below: your own, or the one that is the same for everybody
    #[arg(long, value_name = "URL", default_value = crate::ids::GS1_DOMAIN)]
    pub stem: String,
}

/// An input file.
#[derive(Debug, clap::Args)]
pub struct InputArgs {
    /// The file, or - for standard input
    pub file: PathBuf,
    /// Say what to do in the words of this region instead of those of the regime: us, uk, au, eu
    #[arg(long, value_name = "REGION")]
    pub reader: Option<Reader>,
}

/// `rules`.
#[derive(Debug, Subcommand)]
pub enum RulesCommand {
    /// List every row: name, what it says, how it is known
    List,
    /// Show one row: condition, effect, clauses, days, what it sets aside
    Show(RuleArgs),
    /// Print the whole rule book as a page to read and sign off
    Book(BookArgs),
}

/// A row.
#[derive(Debug, clap::Args)]
pub struct RuleArgs {
    /// Name of the row
    pub id: String,
}

/// `rules book`.
#[derive(Debug, clap::Args)]
pub struct BookArgs {
    /// Your own template, instead of the one that ships
    #[arg(long, value_name = "FILE")]
    pub template: Option<PathBuf>,
}

/// `procedure`.
#[derive(Debug, Subcommand)]
pub enum ProcedureCommand {
    /// Prove that nothing can be touched before it is made dead, or name the way round
    Check(ProcedureArgs),
    /// Draw the steps and what each needs
    ///
    /// Beside text and json there are --format mermaid and --format dot, for drawing programs.
    Show(ProcedureArgs),
    /// List the procedures that ship
    List,
    /// List the finding codes: what each means and what it makes of a module
    Findings,
}

/// A procedure.
#[derive(Debug, clap::Args)]
pub struct ProcedureArgs {
    /// Name of a shipped procedure, or a TOML file
    pub procedure: String,
}

/// `calc`.
#[derive(Debug, clap::Args)]
pub struct CalcArgs {
    /// Which sum, such as state-of-charge, energy, wait, discharge, lift, lift-tasks
    pub name: String,
    /// File of the input; - reads it from standard input. One object of JSON, an array, one object a
    /// line, or CSV of any length with the names of the fields as heads (instrument.digits for a
    /// field within another). JSON is answered whole or not at all; rows of CSV are answered as they
    /// are read, and one without an answer ends them: those above it stand, and it is named
    pub file: PathBuf,
}

/// `schema`.
#[derive(Debug, clap::Args)]
pub struct SchemaArgs {
    /// Which: job, record, facts (what classify takes), decision, route-answer, document,
    /// document-answer, load, load-answer, mark-answer, events, events-answer, site, handover,
    /// or calc- before the name of a sum
    pub name: String,
}

/// `key`.
#[derive(Debug, Subcommand)]
pub enum KeyCommand {
    /// Show the public half of this device's key; make the key where there is none
    Show,
}
