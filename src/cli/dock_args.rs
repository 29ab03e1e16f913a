//! What may be typed at the dock and in the store. The doc comments are the help.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Subcommand;

use super::args::{StockName, languages};
use crate::clock::Moment;
use crate::papers::Language;
use crate::physics::CellKind;
use crate::units::Decimal;

/// `register`.
#[derive(Debug, Subcommand)]
pub enum RegisterCommand {
    /// Open the register of a site, or record what changed in its site.json
    Open(RegisterOpenArgs),
    /// Say whether a register's ledger is whole and unchanged
    Verify(RegisterArgs),
    /// Give a module that came without a readable serial its serial
    MergeIdentity(MergeArgs),
    /// State what was read later from a plate or a scale
    State(StateArgs),
    /// Settle a discrepancy, which stops its clock
    Settle(SettleArgs),
}

/// A register.
#[derive(Debug, clap::Args)]
pub struct RegisterArgs {
    /// Folder with site.json (`packdown schema site`)
    pub register: PathBuf,
}

/// `register open`.
#[derive(Debug, clap::Args)]
pub struct RegisterOpenArgs {
    /// Folder with site.json (`packdown schema site`)
    pub register: PathBuf,
    /// When, with offset; now where it is absent
    #[arg(long, value_name = "TIME")]
    pub at: Option<Moment>,
}

/// Who writes, where and when.
#[derive(Debug, clap::Args)]
pub struct PenArgs {
    /// Folder of the register
    #[arg(long, value_name = "DIR", default_value = ".")]
    pub register: PathBuf,
    /// Who, as in site.json
    #[arg(long, value_name = "PERSON")]
    pub by: String,
    /// When, with offset; now where it is absent
    #[arg(long, value_name = "TIME")]
    pub at: Option<Moment>,
}

/// `register merge-identity`.
#[derive(Debug, clap::Args)]
pub struct MergeArgs {
    /// The identity that was given
    pub temporary: String,
    /// The serial
    pub serial: String,
    /// How that is known
    #[arg(long, value_name = "WORDS")]
    pub reason: String,
    /// Who, where, when.
    #[command(flatten)]
    pub pen: PenArgs,
}

/// `register state`.
#[derive(Debug, clap::Args)]
pub struct StateArgs {
    /// Which module
    pub identity: String,
    /// Chemistry, from the plate
    #[arg(long, value_name = "WORDS")]
    pub chemistry: Option<String>,
    /// Rated energy, from the plate
    #[arg(long, value_name = "WH")]
    pub energy_wh: Option<Decimal>,
    /// Net mass, from plate or scale
    #[arg(long, value_name = "KG")]
    pub mass_kg: Option<Decimal>,
    /// Volume of its container
    #[arg(long, value_name = "M3")]
    pub volume_m3: Option<Decimal>,
    /// Where it was read
    #[arg(long, value_name = "WORDS")]
    pub reason: String,
    /// Who, where, when.
    #[command(flatten)]
    pub pen: PenArgs,
}

/// `register settle`.
#[derive(Debug, clap::Args)]
pub struct SettleArgs {
    /// Name of the discrepancy, as `stock` shows it
    pub id: String,
    /// With whom and how
    #[arg(long, value_name = "WORDS")]
    pub reason: String,
    /// Who, where, when.
    #[command(flatten)]
    pub pen: PenArgs,
}

/// `receive`.
#[derive(Debug, clap::Args)]
pub struct ReceiveArgs {
    /// Hand-over bundle or folder, hand-over as JSON, or the sender's table as CSV
    #[arg(
        required_unless_present = "unannounced",
        conflicts_with = "unannounced"
    )]
    pub load: Option<PathBuf>,
    /// Who, where, when.
    #[command(flatten)]
    pub pen: PenArgs,
    /// Name of the driver or whoever brings it
    #[arg(long, value_name = "NAME")]
    pub delivered_by: String,
    /// Vehicle
    #[arg(long, value_name = "WORDS")]
    pub vehicle: Option<String>,
    /// Scans from a file instead of the terminal, and close
    #[arg(long, value_name = "FILE.csv")]
    pub scans: Option<PathBuf>,
    /// Bay for what is sound and fits; else it stays at the dock
    #[arg(long, value_name = "BAY")]
    pub bay: Option<String>,
    /// With --scans: leave the receipt open
    #[arg(long, requires = "scans")]
    pub keep_open: bool,
    /// Say the answer to each line in letters that are read from afar
    #[arg(long)]
    pub large: bool,
    /// No bell on a line that needs a person
    #[arg(long)]
    pub quiet: bool,
    /// Refuse the load, which is lawful; the reason is recorded
    #[arg(long, value_name = "WORDS")]
    pub refuse: Option<String>,
    /// A load that nobody announced: from whom it comes
    #[arg(long, value_name = "SENDER")]
    pub unannounced: Option<String>,
    /// Sender of a table, who is not named in it
    #[arg(long, value_name = "SENDER")]
    pub from: Option<String>,
    /// What a table or an unannounced load is for
    #[arg(long, value_name = "WORD", default_value = "recycling")]
    pub purpose: String,
    /// The guessed columns of the sender's table are right; they are remembered
    #[arg(long)]
    pub confirm: bool,
    /// A column of the sender's table is this fact; an empty fact passes it over
    #[arg(long, value_name = "HEAD=FACT")]
    pub column: Vec<String>,
}

/// `hold`.
#[derive(Debug, Subcommand)]
pub enum HoldCommand {
    /// Say who is held, why, which reading is due, what is missing before release
    List(HoldListArgs),
    /// Put a module into the hold that something was seen on
    Put(HoldPutArgs),
    /// Record a reading of a held module
    Reread(RereadArgs),
    /// Print the tags of held modules: which, why, when it is read next, who may let it out
    Tag(HoldTagArgs),
    /// Let a module out: two different people, a reason, the readings; a clock alone never does
    Clear(ClearArgs),
}

/// `hold list`.
#[derive(Debug, clap::Args)]
pub struct HoldListArgs {
    /// Folder of the register
    #[arg(long, value_name = "DIR", default_value = ".")]
    pub register: PathBuf,
    /// As of when; now where it is absent
    #[arg(long, value_name = "TIME")]
    pub at: Option<Moment>,
}

/// `hold tag`.
#[derive(Debug, clap::Args)]
pub struct HoldTagArgs {
    /// Which modules; all that are held where none is named
    pub identities: Vec<String>,
    /// Folder of the register
    #[arg(long, value_name = "DIR", default_value = ".")]
    pub register: PathBuf,
    /// As of when; now where it is absent
    #[arg(long, value_name = "TIME")]
    pub at: Option<Moment>,
    /// Folder for hold-tags.html and hold-tags.pdf
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    /// What they are printed on: a6, a5 and 4x6 take one a sheet, a4 four of A6, letter two
    #[arg(long, value_enum, default_value_t = StockName::A6)]
    pub stock: StockName,
    /// The language of the tags' own words
    #[arg(long, value_parser = languages(), default_value = "en")]
    pub language: Language,
}

/// `hold put`.
#[derive(Debug, clap::Args)]
pub struct HoldPutArgs {
    /// Which module
    pub identity: String,
    /// What was seen
    #[arg(long, value_name = "WORDS")]
    pub reason: String,
    /// Finding codes, F01 to F37
    #[arg(long, value_name = "CODE", value_delimiter = ',')]
    pub finding: Vec<String>,
    /// Who, where, when.
    #[command(flatten)]
    pub pen: PenArgs,
}

/// `hold reread`.
#[derive(Debug, clap::Args)]
pub struct RereadArgs {
    /// Which module
    pub identity: String,
    /// Warmest marked spot
    #[arg(long, value_name = "DEGC", allow_hyphen_values = true)]
    pub surface_c: Option<Decimal>,
    /// Air beside it
    #[arg(long, value_name = "DEGC", allow_hyphen_values = true)]
    pub air_c: Option<Decimal>,
    /// Same spot of a twin module that is quiet
    #[arg(long, value_name = "DEGC", allow_hyphen_values = true)]
    pub twin_c: Option<Decimal>,
    /// Pole to pole
    #[arg(long, value_name = "V")]
    pub voltage_v: Option<Decimal>,
    /// Lowest cell; two of them a day apart say what is lost
    #[arg(long, value_name = "V")]
    pub lowest_cell_v: Option<Decimal>,
    /// Kind of cell, from plate or papers
    #[arg(long, value_name = "KIND", value_parser = cell_kind)]
    pub cell_kind: Option<CellKind>,
    /// Gas on the meter
    #[arg(long, value_name = "YES_NO", value_parser = yes_no)]
    pub gas: Option<bool>,
    /// Smell
    #[arg(long, value_name = "YES_NO", value_parser = yes_no)]
    pub smell: Option<bool>,
    /// Smoke, vapour, hissing or popping
    #[arg(long, value_name = "YES_NO", value_parser = yes_no)]
    pub smoke: Option<bool>,
    /// Finding codes seen now
    #[arg(long, value_name = "CODE", value_delimiter = ',')]
    pub finding: Vec<String>,
    /// Serial of the instrument
    #[arg(long, value_name = "SERIAL")]
    pub instrument: Option<String>,
    /// Who, where, when.
    #[command(flatten)]
    pub pen: PenArgs,
}

/// `hold clear`.
#[derive(Debug, clap::Args)]
pub struct ClearArgs {
    /// Which module
    pub identity: String,
    /// The second person, as in site.json
    #[arg(long, value_name = "PERSON")]
    pub with: String,
    /// Why it may leave
    #[arg(long, value_name = "WORDS")]
    pub reason: String,
    /// Condition that the two decide: sound, suspect, undiagnosed, damaged; as the rules say where
    /// it is absent
    #[arg(long = "as", value_name = "CONDITION")]
    pub condition: Option<String>,
    /// Who, where, when.
    #[command(flatten)]
    pub pen: PenArgs,
}

/// `stock`.
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub struct StockArgs {
    /// Folder of the register
    #[arg(long, value_name = "DIR", default_value = ".")]
    pub register: PathBuf,
    /// As of when; now where it is absent
    #[arg(long, value_name = "TIME")]
    pub at: Option<Moment>,
    /// Name every module, oldest first
    #[arg(long)]
    pub items: bool,
    /// Write the sheet for the fire service to this file: what burns where now, as a PDF where the
    /// name ends in .pdf
    #[arg(long, value_name = "FILE.html")]
    pub fire_page: Option<PathBuf>,
    /// Write what was received and sent onward to this file, as EPCIS 2.0 events
    #[arg(long, value_name = "FILE.jsonld", conflicts_with = "fire_page")]
    pub epcis: Option<PathBuf>,
    /// Print this receipt to sign, as a page and as a PDF, into the folder of --out
    #[arg(long, value_name = "NAME", requires = "out", conflicts_with_all = ["fire_page", "epcis"])]
    pub receipt: Option<String>,
    /// Folder for the receipt
    #[arg(long, value_name = "DIR", requires = "receipt")]
    pub out: Option<PathBuf>,
    /// What receipt and fire page are printed on; a4, or letter for a site in the United States
    #[arg(long, value_enum)]
    pub stock: Option<StockName>,
    /// The language of their own words; what the register was told stays as it was said
    #[arg(long, value_parser = languages(), default_value = "en")]
    pub language: Language,
    /// What to do.
    #[command(subcommand)]
    pub command: Option<StockCommand>,
}

/// `stock` with a change.
#[derive(Debug, Subcommand)]
pub enum StockCommand {
    /// Move modules to a bay; a move that breaks a limit is refused
    Move(MoveArgs),
    /// Put modules together into one unit, like with like; serials are kept
    Consolidate(ConsolidateArgs),
    /// Send modules onward, with a hand-over bundle of their own; it ends their stay
    Dispatch(DispatchArgs),
    /// Take a treater's certificate: kept as it came, and matched serial by serial with what left
    Certificate(CertificateArgs),
}

/// `stock certificate`.
#[derive(Debug, clap::Args)]
pub struct CertificateArgs {
    /// The serials it names: CSV with a column `serial`
    pub list: PathBuf,
    /// The document itself, kept with its hash
    #[arg(long, value_name = "FILE")]
    pub document: Option<PathBuf>,
    /// Its number
    #[arg(long, value_name = "NUMBER")]
    pub number: String,
    /// Who treated
    #[arg(long, value_name = "NAME")]
    pub treater: String,
    /// The day on it
    #[arg(long, value_name = "DAY")]
    pub issued_on: Option<NaiveDate>,
    /// What was done, in the treater's words
    #[arg(long, value_name = "WORDS")]
    pub treatment: Option<String>,
    /// Who, where, when.
    #[command(flatten)]
    pub pen: PenArgs,
}

/// `stock move`.
#[derive(Debug, clap::Args)]
pub struct MoveArgs {
    /// Serials, `unit:NAME` or `package:R1/P1`
    #[arg(required = true)]
    pub what: Vec<String>,
    /// Bay
    #[arg(long, value_name = "BAY")]
    pub to: String,
    /// Who, where, when.
    #[command(flatten)]
    pub pen: PenArgs,
}

/// `stock consolidate`.
#[derive(Debug, clap::Args)]
pub struct ConsolidateArgs {
    /// Serials, `unit:NAME` or `package:R1/P1`
    #[arg(required = true)]
    pub what: Vec<String>,
    /// Name of the new unit
    #[arg(long, value_name = "NAME")]
    pub unit: String,
    /// Its seal
    #[arg(long, value_name = "NUMBER")]
    pub seal: Option<String>,
    /// Who, where, when.
    #[command(flatten)]
    pub pen: PenArgs,
}

/// `stock dispatch`.
#[derive(Debug, clap::Args)]
pub struct DispatchArgs {
    /// Serials, `unit:NAME` or `package:R1/P1`
    #[arg(required_unless_present = "rewrite", conflicts_with = "rewrite")]
    pub what: Vec<String>,
    /// To whom
    #[arg(long, value_name = "NAME", required_unless_present = "rewrite")]
    pub to: Option<String>,
    /// Address
    #[arg(long, value_name = "ADDRESS", required_unless_present = "rewrite")]
    pub address: Option<String>,
    /// Who takes it
    #[arg(long, value_name = "NAME", required_unless_present = "rewrite")]
    pub taken_by: Option<String>,
    /// What for
    #[arg(long, value_name = "WORD", default_value = "recycling")]
    pub purpose: String,
    /// Folder for the hand-over bundle; `dispatches/` of the register where it is absent
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Write the bundle of an earlier consignment again, counted from 1
    #[arg(long, value_name = "NUMBER")]
    pub rewrite: Option<usize>,
    /// Who, where, when.
    #[command(flatten)]
    pub pen: PenArgs,
}

fn yes_no(text: &str) -> Result<bool, String> {
    match text.to_ascii_lowercase().as_str() {
        "yes" | "y" => Ok(true),
        "no" | "n" => Ok(false),
        _ => Err("yes or no".into()),
    }
}

fn cell_kind(text: &str) -> Result<CellKind, String> {
    serde_json::from_value(text.to_ascii_lowercase().into())
        .map_err(|_| "lfp, nmc, nca, nco, lco, lto, sodium_ion or unknown".into())
}
