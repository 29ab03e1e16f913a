//! What a procedure file says: its steps, what each needs, and the evidence that passes it.
//!
//! Files stand in `templates/procedures/`. A file names fragments to include (the trunk, the
//! module loop, the stop-work branch, the close-out) and adds the steps of its own variant.

use std::collections::BTreeMap;
use std::fmt;
use std::slice::from_ref;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::battery::Variant;
use crate::citation::Known;
use crate::units::{Decimal, Grams};

/// A procedure with all its fragments joined.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Procedure {
    /// Name on the command line and in the plan, kebab-case.
    pub id: String,
    /// For a person.
    pub title: String,
    /// The installations it is meant for.
    pub variant: Variant,
    /// Fragments that it is joined from, in order.
    pub includes: Vec<String>,
    /// Cautions that head every sheet printed from it.
    pub cautions: Vec<String>,
    /// The steps in the order in which they are shown.
    pub steps: Vec<Step>,
    /// SHA-256 of the joined source text, lower-case hex: what the ledger names.
    pub fingerprint: String,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Permanent id such as `C21`.
    pub id: String,
    /// What to do, one imperative sentence.
    #[serde(rename = "do")]
    pub does: String,
    /// What must have passed before.
    #[serde(default)]
    pub needs: Vec<Need>,
    /// Who may do it; any one of these.
    pub role: Vec<Role>,
    /// How many people.
    #[serde(default)]
    pub people: People,
    /// Once for the job, or once for each module.
    #[serde(default)]
    pub per: Per,
    /// Which modules it is for.
    #[serde(default)]
    pub when: When,
    /// Whether the plan may leave it out. A need written `C10?` then falls away.
    #[serde(default)]
    pub optional: bool,
    /// Called for only where an earlier answer is one of these; not known counts as called for.
    #[serde(default)]
    pub only_for: Option<OnlyFor>,
    /// Which part of the procedure it belongs to.
    #[serde(default)]
    pub branch: Branch,
    /// What it does in terms of the proof, in the order in which it does it.
    #[serde(default)]
    pub acts: Vec<Act>,
    /// What can hurt.
    #[serde(default)]
    pub hazard: String,
    /// What to do when it cannot be passed.
    #[serde(default)]
    pub if_fails: String,
    /// Cautions shown with the step.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Tools and instruments to have at hand.
    #[serde(default)]
    pub tools: Vec<String>,
    /// Protective equipment.
    #[serde(default)]
    pub protective: Vec<String>,
    /// Readings and findings that pass it.
    #[serde(default)]
    pub evidence: Vec<EvidenceSpec>,
}

impl Step {
    /// Whether the step does `act`.
    #[must_use]
    pub fn does_act(&self, act: Act) -> bool {
        self.acts.contains(&act)
    }

    /// Whether the step touches parts that must first be proved dead, or parts that never are.
    #[must_use]
    pub fn is_touching(&self) -> bool {
        self.acts.iter().any(|act| act.is_touching())
    }

    /// The evidence asked under `name`.
    #[must_use]
    pub fn spec(&self, name: &str) -> Option<&EvidenceSpec> {
        self.evidence.iter().find(|spec| spec.name == name)
    }
}

/// What must have passed before a step opens. `S` says which step is meant: its id, in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Need<S = String> {
    /// `C20`: this step. `@access` stands, in a fragment, for what the variant says under `alias`.
    Step(S),
    /// `C10?`: this step where the plan has it.
    IfPlanned(S),
    /// `M10|X16`: any one of these.
    AnyOf(Vec<S>),
    /// `M12*`: this step for every module, or the module left behind with a reason.
    EveryModule(S),
}

impl<S> Need<S> {
    /// The steps it names.
    pub(super) fn steps(&self) -> &[S] {
        match self {
            Self::Step(step) | Self::IfPlanned(step) | Self::EveryModule(step) => from_ref(step),
            Self::AnyOf(steps) => steps,
        }
    }

    /// The same need with each step told in another way.
    pub(super) fn told<T>(&self, tell: impl Fn(&S) -> T) -> Need<T> {
        match self {
            Self::Step(step) => Need::Step(tell(step)),
            Self::IfPlanned(step) => Need::IfPlanned(tell(step)),
            Self::AnyOf(steps) => Need::AnyOf(steps.iter().map(tell).collect()),
            Self::EveryModule(step) => Need::EveryModule(tell(step)),
        }
    }
}

impl Need {
    /// The ids it names.
    #[must_use]
    pub fn ids(&self) -> Vec<&str> {
        self.steps().iter().map(String::as_str).collect()
    }
}

impl FromStr for Need {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let is_id =
            |id: &str| !id.is_empty() && id.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-');
        let need = if let Some(id) = text.strip_suffix('?') {
            Self::IfPlanned(id.into())
        } else if let Some(id) = text.strip_suffix('*') {
            Self::EveryModule(id.into())
        } else if text.contains('|') {
            Self::AnyOf(text.split('|').map(str::to_owned).collect())
        } else if let Some(alias) = text.strip_prefix('@') {
            return if is_id(alias) {
                Ok(Self::Step(text.into()))
            } else {
                Err(format!("`{text}` is not an alias such as `@access`"))
            };
        } else {
            Self::Step(text.into())
        };
        if need.ids().into_iter().all(is_id) {
            Ok(need)
        } else {
            Err(format!(
                "`{text}` is not a need such as `C20`, `C10?`, `M12*` or `M10|X16`"
            ))
        }
    }
}

impl fmt::Display for Need {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Step(id) => f.write_str(id),
            Self::IfPlanned(id) => write!(f, "{id}?"),
            Self::EveryModule(id) => write!(f, "{id}*"),
            Self::AnyOf(ids) => f.write_str(&ids.join("|")),
        }
    }
}

impl<'de> Deserialize<'de> for Need {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?
            .parse()
            .map_err(de::Error::custom)
    }
}

impl Serialize for Need {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// Who a person is on the job.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Answers for the consignment and the file.
    ComplianceOfficer,
    /// Carries the goods.
    Driver,
    /// Releases a place after fire or vapour.
    FireOfficer,
    /// Lifts and places.
    Handler,
    /// Owns the site.
    Owner,
    /// Packs, marks and writes the papers; dangerous-goods trained.
    Packer,
    /// Is nominated in charge of the work on site.
    PersonInCharge,
    /// Plans at the desk.
    Planner,
    /// Isolates, tests and opens live links.
    QualifiedElectricalWorker,
    /// Watches, can cut off and rescue.
    SafetyWatch,
    /// Receives at the warehouse.
    WarehouseReceiver,
}

impl Role {
    /// The words on sheets.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::ComplianceOfficer => "compliance officer",
            Self::Driver => "driver",
            Self::FireOfficer => "fire officer",
            Self::Handler => "handler",
            Self::Owner => "owner",
            Self::Packer => "packer",
            Self::PersonInCharge => "person in charge of the work",
            Self::Planner => "planner",
            Self::QualifiedElectricalWorker => "qualified electrical worker",
            Self::SafetyWatch => "safety watch",
            Self::WarehouseReceiver => "warehouse receiver",
        }
    }

    /// The words for any one of `roles`: `handler or packer`.
    #[must_use]
    pub fn any_of(roles: &[Self]) -> String {
        let words: Vec<_> = roles.iter().map(|role| role.words()).collect();
        words.join(" or ")
    }
}

/// How many people a step needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum People {
    /// One is enough.
    #[default]
    One,
    /// Two distinct people, both signed in.
    Two,
    /// Two, or a lifting aid, where what is lifted is above [`People::ONE_PERSON_LIFT`].
    TwoIfHeavy,
}

impl People {
    /// 23 kg: the load constant of the revised NIOSH equation (1991), the most that one person
    /// lifts under ideal conditions. Read in a restatement.
    pub const ONE_PERSON_LIFT: Grams = Grams::thousandths(23_000);
}

/// How often a step is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Per {
    /// Once for the job.
    #[default]
    Job,
    /// Once for each module.
    Module,
}

/// Which modules a step of the loop is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum When {
    /// Every module.
    #[default]
    Always,
    /// Modules judged sound or suspect.
    NotDamaged,
    /// Modules judged undiagnosed, damaged or critical.
    Damaged,
}

/// Part of the procedure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Branch {
    /// The ordinary way.
    #[default]
    Main,
    /// Opened at any time by a red flag; not part of the ordinary way.
    RedFlag,
    /// After the hand-over: the driver, the warehouse, the officer.
    Custody,
}

/// What a step does in terms of the proof.
///
/// The first group is the chain that stands before every touching step, in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Act {
    /// Names every source that can feed the work area.
    FindSources,
    /// Brings the load to rest and proves that the current is gone.
    StopCurrent,
    /// Cuts off automatic and remote restart.
    BlockRestart,
    /// Opens isolating devices.
    Isolate,
    /// Sees the break where it can be seen.
    SeeBreak,
    /// Locks and tags.
    Lock,
    /// Tries to start, then returns the control to off.
    TryStart,
    /// Waits out stored energy.
    WaitStoredEnergy,
    /// Proves the tester before.
    ProveTesterBefore,
    /// Tests for absence of voltage.
    TestDead,
    /// Proves the tester after.
    ProveTesterAfter,
    /// Covers what stays live.
    CoverLive,
    /// Releases the work.
    ReleaseWork,

    /// Bonds or shorts the dead side. Never on a node with a battery.
    Bond,

    /// Parts a conductor.
    Disconnect,
    /// Opens a connector.
    OpenConnector,
    /// Splits a string or stack of modules.
    Split,
    /// Touches or meters a module whose terminals are live.
    TouchModule,
    /// Covers both poles of a module.
    CoverPoles,
    /// Lifts a module.
    LiftModule,

    /// Binds a module's identity.
    Identify,
    /// Judges a module's soundness.
    Judge,
    /// Puts container, cushioning and water at the lift point.
    PlaceContainer,
    /// Puts a module in its packaging.
    Pack,
    /// Marks and labels.
    MarkPackage,
    /// Enters a module on the manifest and seals its package.
    EnterOnManifest,
    /// Counts planned = removed + left.
    Count,
    /// Takes locks off.
    RemoveLocks,
    /// Hands the consignment to the next holder.
    Release,
    /// Takes a consignment over.
    Receive,
    /// Audits the finished job.
    Audit,

    /// Stops, leaves, calls for help.
    Withdraw,
    /// Holds and watches for the set hours before anybody returns.
    Watch,
    /// Allows to come back after a red flag.
    Return,
}

impl Act {
    /// The chain before every touching step, in order; each must be sure to have passed before
    /// the next. A damaged battery may take no command, so its chain is shorter: see
    /// [`prove`](crate::procedure::prove).
    pub const CHAIN: [Self; 13] = [
        Self::FindSources,
        Self::StopCurrent,
        Self::BlockRestart,
        Self::Isolate,
        Self::SeeBreak,
        Self::Lock,
        Self::TryStart,
        Self::WaitStoredEnergy,
        Self::ProveTesterBefore,
        Self::TestDead,
        Self::ProveTesterAfter,
        Self::CoverLive,
        Self::ReleaseWork,
    ];

    /// Whether the act touches parts that must be proved dead before, or live module parts.
    #[must_use]
    pub const fn is_touching(self) -> bool {
        matches!(
            self,
            Self::Disconnect
                | Self::OpenConnector
                | Self::Split
                | Self::TouchModule
                | Self::CoverPoles
                | Self::LiftModule
        )
    }

    /// The words on sheets and in refusals.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::FindSources => "name every source",
            Self::StopCurrent => "stop, and prove that the current is gone",
            Self::BlockRestart => "block automatic and remote restart",
            Self::Isolate => "open the isolating devices",
            Self::SeeBreak => "see the break",
            Self::Lock => "lock and tag",
            Self::TryStart => "try to start",
            Self::WaitStoredEnergy => "wait out stored energy",
            Self::ProveTesterBefore => "prove the tester before",
            Self::TestDead => "test for absence of voltage",
            Self::ProveTesterAfter => "prove the tester after",
            Self::CoverLive => "cover what stays live",
            Self::ReleaseWork => "release the work",
            Self::Bond => "bond the dead side",
            Self::Disconnect => "part a conductor",
            Self::OpenConnector => "open a connector",
            Self::Split => "split the string",
            Self::TouchModule => "touch a module",
            Self::CoverPoles => "cover both poles",
            Self::LiftModule => "lift a module",
            Self::Identify => "bind the module's identity",
            Self::Judge => "judge the module",
            Self::PlaceContainer => "put the container at the lift point",
            Self::Pack => "pack",
            Self::MarkPackage => "mark and label",
            Self::EnterOnManifest => "enter on the manifest",
            Self::Count => "count",
            Self::RemoveLocks => "take the locks off",
            Self::Release => "hand over",
            Self::Receive => "take over",
            Self::Audit => "audit the finished job",
            Self::Withdraw => "stop, leave, call",
            Self::Watch => "hold and watch",
            Self::Return => "be allowed to return",
        }
    }

    /// The name in procedure files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::FindSources => "find_sources",
            Self::StopCurrent => "stop_current",
            Self::BlockRestart => "block_restart",
            Self::Isolate => "isolate",
            Self::SeeBreak => "see_break",
            Self::Lock => "lock",
            Self::TryStart => "try_start",
            Self::WaitStoredEnergy => "wait_stored_energy",
            Self::ProveTesterBefore => "prove_tester_before",
            Self::TestDead => "test_dead",
            Self::ProveTesterAfter => "prove_tester_after",
            Self::CoverLive => "cover_live",
            Self::ReleaseWork => "release_work",
            Self::Bond => "bond",
            Self::Disconnect => "disconnect",
            Self::OpenConnector => "open_connector",
            Self::Split => "split",
            Self::TouchModule => "touch_module",
            Self::CoverPoles => "cover_poles",
            Self::LiftModule => "lift_module",
            Self::Identify => "identify",
            Self::Judge => "judge",
            Self::PlaceContainer => "place_container",
            Self::Pack => "pack",
            Self::MarkPackage => "mark_package",
            Self::EnterOnManifest => "enter_on_manifest",
            Self::Count => "count",
            Self::RemoveLocks => "remove_locks",
            Self::Release => "release",
            Self::Receive => "receive",
            Self::Audit => "audit",
            Self::Withdraw => "withdraw",
            Self::Watch => "watch",
            Self::Return => "return",
        }
    }
}

/// A reading or finding that a step needs.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EvidenceSpec {
    /// Name in the record, with its unit: `current_a`.
    pub name: String,
    /// The question as it is put to a person.
    pub ask: String,
    /// What kind of answer it is.
    pub kind: EvidenceKind,
    /// The choices of a `choice`, or the instrument kinds of an `instrument`.
    #[serde(default)]
    pub of: Vec<String>,
    /// Whether the step can pass without it.
    #[serde(default)]
    pub optional: bool,
    /// The safe consequence of the answer "unknown". Empty: unknown does not pass the step.
    #[serde(default)]
    pub unknown: String,
    /// The finding that the answer "unknown" amounts to.
    #[serde(default)]
    pub unknown_finding: Option<String>,
    /// Limits; all must hold.
    #[serde(default)]
    pub limits: Vec<Limit>,
    /// The columns of a `table`: one row for each thing asked about.
    #[serde(default)]
    pub columns: Vec<EvidenceSpec>,
}

/// Kind of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum EvidenceKind {
    /// A decimal number in the unit of the name.
    Number,
    /// A whole number.
    Whole,
    /// Free text.
    Text,
    /// Yes or no.
    YesNo,
    /// One of the words in `of`.
    Choice,
    /// A time with its offset.
    Time,
    /// A person of the plan, by id.
    Person,
    /// An instrument, glove or tool of the plan, by serial; `of` names the kinds that serve.
    Instrument,
    /// Finding codes, a list.
    Findings,
    /// Texts, a list.
    List,
    /// Rows with `columns`.
    Table,
}

/// A limit on an answer, with where it comes from.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Limit {
    /// The number must not be above.
    pub at_most: Option<Decimal>,
    /// The number must not be below.
    pub at_least: Option<Decimal>,
    /// The number without its sign must not be above.
    pub magnitude_at_most: Option<Decimal>,
    /// As `at_most`, the value standing in the settings under this name.
    pub at_most_setting: Option<String>,
    /// As `at_least`, from the settings.
    pub at_least_setting: Option<String>,
    /// As `magnitude_at_most`, from the settings.
    pub magnitude_at_most_setting: Option<String>,
    /// The answer must be this: `yes`, `no`, or one of the choices.
    pub is: Option<String>,
    /// The answer must equal that of another step: `A12.fasteners_out`.
    pub same_as: Option<String>,
    /// At most this setting above the answer of the same step under a name: `face_temperature_c`
    /// at most `module_rise_k` above `ambient_temperature_c`.
    pub above: Option<Above>,
    /// A reading beyond the limit also makes the proof of the dead state void.
    pub breaks_dead_proof: bool,
    /// A breach is a red flag: stop, leave, call.
    pub red_flag: bool,
    /// A breach is recorded as this finding and the step still passes.
    pub finding: Option<String>,
    /// Where the limit is written.
    pub clause: String,
    /// How it is known.
    pub known: Option<Known>,
}

/// What calls for an optional step.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct OnlyFor {
    /// The earlier answer: `X04.damage_kind`.
    pub answer: String,
    /// The answers that call for the step.
    pub is: Vec<String>,
}

/// A limit on a difference.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Above {
    /// The other answer of the same step.
    pub of: String,
    /// The setting that gives the greatest difference.
    pub setting: String,
}

/// A procedure file as it stands on disk, before its fragments are joined.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ProcedureFile {
    /// `MAJOR.MINOR` of the file's form.
    pub(super) format: String,
    /// Kebab-case name; a fragment has one too.
    pub(super) id: String,
    /// For a person.
    #[serde(default)]
    pub(super) title: String,
    /// Absent in a fragment.
    #[serde(default)]
    pub(super) variant: Option<Variant>,
    /// Fragments to join before this file's own steps.
    #[serde(default)]
    pub(super) include: Vec<String>,
    /// What `@name` in a need of a fragment stands for.
    #[serde(default)]
    pub(super) alias: BTreeMap<String, Vec<String>>,
    /// Cautions that head every sheet.
    #[serde(default)]
    pub(super) cautions: Vec<String>,
    /// Needs and acts added to a step of a fragment.
    #[serde(default)]
    pub(super) also: Vec<Also>,
    /// The file's own steps.
    #[serde(default, rename = "step")]
    pub(super) steps: Vec<Step>,
}

/// An addition to a step of an included fragment; nothing can be taken away.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Also {
    /// The step.
    pub(super) step: String,
    /// Further needs.
    #[serde(default)]
    pub(super) needs: Vec<Need>,
    /// Further evidence.
    #[serde(default)]
    pub(super) evidence: Vec<EvidenceSpec>,
    /// Further cautions.
    #[serde(default)]
    pub(super) cautions: Vec<String>,
    /// A step that the plan may otherwise leave out is compulsory here.
    #[serde(default)]
    pub(super) compulsory: bool,
}
