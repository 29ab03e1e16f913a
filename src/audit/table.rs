//! The table of checks: what is asked, how much it weighs, where it is written, how that is known.
//! One row is one question. Rows of a subject stand together; the last one is asked only where
//! nothing more exact was found.

use super::checks::{
    charge, custody, dead_test, deadlines, equipment, isolation, made_safe, people, printed_points,
    readings, record, shipping, small_load,
};
use super::{Dossier, Found, Severity};
use crate::citation::Known;

/// What a check is about; the order is that in which an inspector asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// Training and competence.
    Training,
    /// Packaging and closure.
    Packaging,
    /// Papers.
    Papers,
    /// Isolation, locks, stored energy, dead test, release.
    Isolation,
    /// Instruments and gloves.
    Equipment,
    /// Custody, holds, seals, serials.
    Custody,
    /// Deadlines.
    Deadlines,
    /// The record itself.
    Record,
}

impl Subject {
    /// The words over a section.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Training => "training and competence",
            Self::Packaging => "packaging, marks and closure",
            Self::Papers => "papers",
            Self::Isolation => "isolation and proof of the dead state",
            Self::Equipment => "instruments and gloves",
            Self::Custody => "custody",
            Self::Deadlines => "deadlines",
            Self::Record => "the record itself",
        }
    }
}

/// One question that an auditor asks of a job.
#[derive(Debug, Clone, Copy)]
pub struct Check {
    /// Permanent name.
    pub id: &'static str,
    /// What it is about.
    pub subject: Subject,
    /// The question.
    pub question: &'static str,
    /// How grave a "no" is.
    pub severity: Severity,
    /// Where it is written.
    pub clause: &'static str,
    /// How that is known.
    pub known: Known,
    /// Answers it: nothing found is "yes", or not asked of this job.
    pub ask: fn(&Dossier) -> Vec<Found>,
}

impl Check {
    /// The clause with how it is known.
    #[must_use]
    pub fn shown_clause(&self) -> String {
        match self.known {
            Known::Read => self.clause.to_owned(),
            other => format!("{} ({})", self.clause, other.words()),
        }
    }
}

/// The check of that name.
#[must_use]
pub fn check(id: &str) -> Option<&'static Check> {
    CHECKS.iter().find(|check| check.id == id)
}

/// Name of the check that is asked only where nothing more exact was found.
pub const ASKED_LAST: &str = "record.plays_back";
/// A tester that failed later: asked only where one is named.
pub const LOOK_BACK: &str = "look_back.tester";
/// Two copies of one log that differ; found over all jobs together.
pub const FORK: &str = "ledger.fork";
/// One serial in two jobs; found over all jobs together.
pub const ELSEWHERE: &str = "identity.elsewhere";
/// Small loads of several jobs on one vehicle and day; found over all jobs together.
pub const VEHICLE: &str = "transport.vehicle";
/// A bundle whose parts do not hold together.
pub const BUNDLE: &str = "bundle.whole";
/// A folder or file that no job can be read from.
pub const UNREADABLE: &str = "ledger.readable";

const LOTO: &str = "29 CFR 1910.333(b)(2)(iii), read in the parallel text WAC 296-307-37811";
const PART_4: &str = "what an auditor accepts, procedure part 4";
const LIVE_DEAD_LIVE: &str = "NFPA 70E-2018, 120.5(7): live, dead, live";

macro_rules! checks {
    ($($id:literal $subject:ident $severity:ident $known:ident $clause:expr, $question:literal => $ask:expr;)*) => {
        /// Every check of a job, in the order in which they are asked.
        pub const CHECKS: &[Check] = &[$(Check {
            id: $id,
            subject: Subject::$subject,
            question: $question,
            severity: Severity::$severity,
            clause: $clause,
            known: Known::$known,
            ask: $ask,
        }),*];
    };
}

const fn asked_elsewhere(_: &Dossier) -> Vec<Found> {
    Vec::new()
}

checks! {
    // Training and competence.
    "people.competent" Training Critical Read "ADR 2025, 1.3; 29 CFR 1910.333(c)(2) and 49 CFR 172.704 from memory: shown able, valid on the day",
        "Was everybody shown able for what they signed, and in date on the day?" => people::competent;
    "people.second" Training Major ProjectDefault "rule G9 of the procedure",
        "Were two people there where two are needed?" => people::second;
    "people.on_plan" Training Minor ProjectDefault "people of the plan",
        "Is everybody who made an entry among the people of the job?" => people::on_plan;
    "training.interval" Training Minor Memory "49 CFR 172.704(c)(2): every three years",
        "Does any training count for longer than three years?" => people::interval;
    "review.independent" Training Minor Memory "29 CFR 1910.147(c)(6): the inspector is not the one who used the procedure",
        "Did another person audit the job than the one who tested it dead?" => people::independent;
    // Packaging, marks and closure.
    "transport.packaging" Packaging Major Read "packing instruction of the fresh decision",
        "Is the packaging one that the decision accepts?" => shipping::packaging;
    "transport.un" Packaging Major Read "ADR 2025, 5.2.1.1; 49 CFR 172.301 from memory: the UN number on the package",
        "Does the package carry the right UN number?" => shipping::un_number;
    "transport.marks" Packaging Major Read "ADR 2025, 5.2.1, 5.2.2; 49 CFR 172.300, 172.400 from memory",
        "Are all marks and labels of the decision on the package?" => shipping::marks;
    "transport.masses" Packaging Major ProjectDefault "gross is net and packaging",
        "Is each package heavier than what is in it?" => shipping::masses;
    "mass.as_planned" Packaging Note ProjectDefault "within a tenth of the plan",
        "Does each module weigh what was planned?" => shipping::mass_as_planned;
    // Papers.
    "papers.issued" Papers Major Read "ADR 2025, 5.4.0.1; 49 CFR 172.200 from memory",
        "Were papers issued for what was handed over?" => shipping::issued;
    "papers.unchanged" Papers Major ProjectDefault "hash of each paper in the log",
        "Are the papers the ones that were issued?" => shipping::unchanged;
    "papers.identity" Papers Major Secondary "OSHA, 1986, on certificates: date, signature, identity of the thing",
        "Do the papers name the serials that were read?" => shipping::identity;
    "papers.answer" Papers Critical Read "fresh decision under the edition in force on the day",
        "Would the same be decided today for that day?" => shipping::answer;
    "papers.entry" Papers Major Read "dangerous-goods list of the edition in force on the day",
        "Do the papers name the right UN number and shipping name?" => shipping::entry;
    "papers.instructions" Papers Major Read "packing instructions of the edition in force on the day",
        "Do the papers name the right packing instruction?" => shipping::instructions;
    "papers.marks" Papers Major Read "marks and labels of the edition in force on the day",
        "Do the papers ask for the right marks and labels?" => shipping::paper_marks;
    "papers.statements" Papers Major Read "ADR 2025, 5.4.1.1; 49 CFR 172.202, 172.203 from memory",
        "Do line and statements stand as the law writes them?" => shipping::statements;
    "transport.allowed" Papers Critical Read "fresh decision under the edition in force on the day",
        "Was nothing handed over that may not travel?" => shipping::allowed;
    "transport.points" Papers Major Read "ADR 2025, 1.1.3.6.3, 1.1.3.6.4; RID 2025, 1.1.3.6",
        "Was what went as a small load one, by its points?" => small_load::points;
    "transport.vehicle" Papers Major Read "ADR 2025, 1.1.3.6.3, 1.1.3.6.4: what one transport unit carries",
        "Were the small loads of all jobs on one vehicle and day one small load together?" => asked_elsewhere;
    "papers.points" Papers Major Read "ADR 2025, 5.4.1.1.1(f): quantity and points of each transport category",
        "Does the document of a small load give its masses and points?" => printed_points::printed;
    // Isolation and proof of the dead state.
    "isolation.sources" Isolation Critical Secondary "29 CFR 1910.147(d)(1); NFPA 70E-2018, 120.5(1): find all sources",
        "Is every source named, with the device that separates it?" => isolation::sources;
    "isolation.opened" Isolation Critical Read "29 CFR 1910.333(b)(2)(ii)(B), read in the parallel text WAC 296-307-37807",
        "Has every device a position and a time?" => isolation::opened;
    "isolation.break_seen" Isolation Major Secondary "NFPA 70E-2018, 120.5(3)",
        "Was every break seen, or an extra measure taken?" => isolation::break_seen;
    "isolation.locked" Isolation Critical Read LOTO,
        "Has every device lock and tag, holder and time?" => isolation::locked;
    "isolation.own_lock" Isolation Major CommonPractice "own lock, own key",
        "Is no lock on two devices?" => isolation::own_lock;
    "isolation.order" Isolation Critical ProjectDefault "order of the procedure, C13 to C18; 29 CFR 1910.147(d)(3), (4) from memory",
        "Was it opened, then locked, then tried?" => isolation::order;
    "isolation.locks_off" Isolation Major Read "29 CFR 1910.333(b)(2)(v), read in WAC 296-307-37817; 1910.147(e)(3)",
        "Came as many locks off as went on, each by its holder?" => isolation::locks_off;
    "energy.wait" Isolation Critical Read "29 CFR 1910.333(b)(2)(ii)(C), read in WAC 296-307-37807",
        "Was stored energy waited out, with start and end?" => made_safe::wait;
    "dead.done" Isolation Critical Read "29 CFR 1910.333(b)(2)(iv), read in WAC 296-307-37813",
        "Was it tested dead before anything was touched?" => dead_test::done;
    "dead.tester" Isolation Critical ProjectDefault PART_4,
        "Is the tester named by serial, and a two-pole tester?" => dead_test::tester_named;
    "dead.rating" Isolation Critical ProjectDefault PART_4,
        "Is the tester rated for the voltage that was there?" => dead_test::rating;
    "dead.proof_before" Isolation Critical Secondary LIVE_DEAD_LIVE,
        "Was the tester proved before?" => dead_test::proof_before;
    "dead.proof_after" Isolation Critical Secondary LIVE_DEAD_LIVE,
        "Was the tester proved after?" => dead_test::proof_after;
    "dead.source" Isolation Major Secondary LIVE_DEAD_LIVE,
        "Is the known source named, and did it show what it gives, on ac and dc?" => dead_test::source;
    "dead.matrix" Isolation Critical Secondary "NFPA 70E-2018, 120.5(7); EN 50110-1, third rule, all poles",
        "Was every pair of conductors tested, ac and dc?" => dead_test::full_matrix;
    "dead.volts" Isolation Major ProjectDefault PART_4,
        "Is every reading a number in volts?" => dead_test::in_volts;
    "dead.values" Isolation Critical Read "live above 50 V, 29 CFR 1910.333(a)(1), read in WAC 296-24-975; below it a setting of this project",
        "Is every reading within the limit?" => dead_test::values;
    "dead.order" Isolation Critical Secondary LIVE_DEAD_LIVE,
        "Do proof, test and proof follow each other, with one tester?" => dead_test::order;
    "remains.listed" Isolation Critical Secondary "NFPA 70E Article 320 (2021): the poles of a battery cannot be made dead",
        "Is what stays live listed, with voltage and cover?" => made_safe::remains;
    "release.written" Isolation Major Memory "EN 50110-1: permission to begin, by the person in control",
        "Was the work released in writing before it began?" => made_safe::release;
    "release.other_person" Isolation Minor ProjectDefault "rule G11 of the procedure",
        "Did another person release the work than the one who tested?" => made_safe::other_person;
    "release.live_links" Isolation Major ProjectDefault "setting live_work_release_v",
        "Is each link parted live named in a release?" => made_safe::live_links;
    "release.in_force" Isolation Major ProjectDefault "setting release_hours",
        "Was all work done within its release?" => made_safe::in_force;
    "count.modules" Isolation Major ProjectDefault "rule G1 of the procedure: planned = removed + left behind",
        "Do the modules add up?" => made_safe::count;
    // Instruments and gloves.
    "instruments.on_plan" Equipment Minor ProjectDefault PART_4,
        "Is every instrument on the plan?" => equipment::on_plan;
    "instruments.in_date" Equipment Major Read "DOE-HDBK-1092 on instrument recall; the interval is the owner's",
        "Was every instrument in date on the day?" => equipment::in_date;
    "gloves.in_date" Equipment Critical Secondary "29 CFR 1910.137, Table I-5: six months",
        "Were the gloves tested within six months?" => equipment::gloves_in_date;
    "gloves.air_test" Equipment Major Memory "29 CFR 1910.137(c)(2)(ii)",
        "Were the gloves blown up and looked over?" => equipment::air_test;
    "gloves.class" Equipment Critical Read "OSHA letter of 1994-08-12 on class 00; other classes by their ac figure",
        "Were the gloves good for the voltage?" => equipment::glove_class;
    "look_back.tester" Equipment Major ProjectDefault "look-back rule, procedure part 4",
        "Was no dead test made with a tester that failed later?" => asked_elsewhere;
    // Custody.
    "custody.signed" Custody Major Secondary "chain of custody: from, to, time, place, count, seals, condition",
        "Is each hand-over whole?" => custody::signed;
    "custody.count" Custody Critical Secondary "40 CFR 264.72: any difference in piece count",
        "Was the same count handed over and received as was packed?" => custody::count;
    "custody.serials" Custody Critical ProjectDefault PART_4,
        "Are the serials equal at both ends?" => custody::serials;
    "custody.seals" Custody Major ProjectDefault PART_4,
        "Is each package sealed once, and was every seal whole on the way?" => custody::seals;
    "custody.time" Custody Critical ProjectDefault "time between giving and taking",
        "Is there no gap in time between giving and taking?" => custody::time;
    "custody.place" Custody Critical ProjectDefault PART_4,
        "Did those take the goods to whom they were given?" => custody::place;
    "custody.open" Custody Major Memory "40 CFR 262.42(a)(1): ask after 35 days",
        "Was every hand-over answered by a receipt?" => custody::open;
    "identity.twice" Custody Critical ProjectDefault "one serial, one module",
        "Is no serial on two modules?" => custody::identity_twice;
    "identity.planned" Custody Note ProjectDefault "what is scanned on site decides",
        "Is each serial the one that was planned?" => custody::identity_planned;
    "identity.elsewhere" Custody Critical ProjectDefault "one serial, one removal",
        "Was no serial removed twice, in two jobs?" => asked_elsewhere;
    "hold.kept" Custody Critical Secondary "crash tests of 2011: fires after hours, one day, seven days, three weeks",
        "Was no damaged module sent on without its release from hold?" => custody::hold_kept;
    "hold.released" Custody Critical Secondary "crash tests of 2011: no fixed time proves safety",
        "Rests each release from hold on hours, readings and a signature?" => custody::hold_released;
    // A register's own.
    "register.receipts" Custody Minor ProjectDefault "a receipt is closed or refused on the day",
        "Was every receipt closed or refused?" => asked_elsewhere;
    "register.discrepancies" Custody Major Secondary "40 CFR 264.72: 15 days, then a letter; elsewhere the site's own",
        "Was every discrepancy settled in time?" => asked_elsewhere;
    "register.holds" Custody Critical ProjectDefault "clearing takes two people, a reason and readings",
        "Was nothing cleared from hold by one person, and nothing held sent on?" => asked_elsewhere;
    "register.stay" Deadlines Major Memory "40 CFR 273.15, 273.35: one year",
        "Did nothing stay on site longer than a year?" => asked_elsewhere;
    "register.certificates" Deadlines Major ProjectDefault "procedure Z11: matched serial by serial, 180 days after it left",
        "Is everything that was sent for treatment on one certificate, and nothing else?" => asked_elsewhere;
    "register.entries" Record Major ProjectDefault "each entry follows from those before it",
        "Can every entry of the register be?" => asked_elsewhere;
    // Deadlines.
    "deadline.accumulation" Deadlines Major Memory "40 CFR 273.15, 273.35: one year",
        "Was waste sent on within a year?" => deadlines::accumulation;
    "deadline.incident_report" Deadlines Major Read "49 CFR 171.16(a); ADR 2025, 1.8.5",
        "Was each incident reported in time?" => deadlines::incident_report;
    "deadline.certificate" Deadlines Minor ProjectDefault "certificate after delivery",
        "Did the treater send a certificate?" => deadlines::certificate;
    "certificate.serials" Deadlines Major ProjectDefault "procedure Z11: matched serial by serial",
        "Does the certificate name every serial?" => deadlines::certificate_serials;
    "certificate.mass" Deadlines Minor Secondary "40 CFR 264.72: more than 10 % in weight",
        "Is the mass on the certificate the mass that was removed?" => deadlines::certificate_mass;
    "deadline.retention" Deadlines Major Read "the longest period that applies; see the calendar",
        "Is the file kept as long as the longest rule asks?" => deadlines::retention;
    // The record itself.
    "ledger.readable" Record Critical ProjectDefault "a record that can be read",
        "Can the record be read at all?" => asked_elsewhere;
    "bundle.whole" Record Critical Read "RFC 8493: every file of a bag named with its hash",
        "Is every bundle whole, and do its parts say the same?" => record::bundle;
    "ledger.whole" Record Critical Read "RFC 6962: the tree over every line",
        "Is the log whole and unchanged?" => record::whole;
    "ledger.signed" Record Major Read "RFC 8032; C2SP signed note",
        "Is the log signed by a key that is trusted?" => record::signed;
    "ledger.fork" Record Critical Read "RFC 6962, 2.1.2: consistency of two heads",
        "Is every copy of the log the beginning of the longest one?" => asked_elsewhere;
    "ledger.tail" Record Note ProjectDefault "the last checkpoint covers every entry",
        "Does a signature cover the log to its end?" => record::tail;
    "ledger.clock" Record Minor ProjectDefault "the device's clock",
        "Was the clock of the device never set back?" => record::clock;
    "record.late" Record Minor Secondary "ISO 15489-1, 5.2.2.3: made at the time of the event",
        "Was everything written down within a day?" => record::late;
    "record.corrected_proof" Record Minor Read "ISO 15489-1, 5.2.2.3 (read in an extract); rule G13 of the procedure",
        "Was nothing written over that proves the dead state?" => record::corrected_proof;
    "record.corrected_after" Record Major ProjectDefault "papers rest on the entries before them",
        "Was nothing corrected after the papers went out?" => record::corrected_after;
    "record.refused" Record Note ProjectDefault "a finished job",
        "Does the record end with a finished job?" => record::refused;
    "readings.same_minute" Record Minor ProjectDefault PART_4,
        "Was each thing given its own time?" => readings::same_minute;
    "readings.repeated" Record Minor CommonPractice "readings differ in the last digit",
        "Do measured values differ from module to module?" => readings::repeated;
    "readings.round" Record Note CommonPractice "readings have the digits of the meter",
        "Have the readings the digits of a meter?" => readings::round;
    "readings.charge" Record Minor ProjectDefault "finding F37: a charge whose readings contradict each other is taken as full",
        "Do the readings of each module's charge agree, and did nobody pass over it where they do not?" => charge::contradicted;
    "record.rules" Record Note ProjectDefault "hashes of procedure and settings in the opening of the job",
        "Are procedure and settings at hand those of the day?" => record::rules;
    "record.plays_back" Record Major ProjectDefault "rules G1 to G13 of the procedure",
        "Would the gate have let every entry pass?" => record::plays_back;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_permanent_names_each_once() {
        let mut seen = std::collections::BTreeSet::new();
        for check in CHECKS {
            assert!(seen.insert(check.id), "{} twice", check.id);
            assert!(
                check.id.split('.').count() == 2
                    && check
                        .id
                        .bytes()
                        .all(|b| b.is_ascii_lowercase() || b"._".contains(&b)),
                "{}",
                check.id
            );
            assert!(check.question.ends_with('?'), "{}", check.id);
            assert!(!check.clause.is_empty(), "{}", check.id);
        }
        for id in [ASKED_LAST, LOOK_BACK, FORK, ELSEWHERE, UNREADABLE, VEHICLE] {
            assert!(check(id).is_some(), "{id}");
        }
        assert_eq!(CHECKS.last().map(|check| check.id), Some(ASKED_LAST));
    }

    #[test]
    fn what_is_only_remembered_is_never_critical_alone() {
        // A fact from memory may only make an answer stricter: it asks, it does not condemn.
        for check in CHECKS.iter().filter(|check| check.known == Known::Memory) {
            assert!(check.severity >= Severity::Major, "{}", check.id);
        }
    }
}
