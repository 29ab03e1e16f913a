//! Planted faults: in a history without fault exactly one thing is made wrong; the audit finds that
//! and nothing else. What a published rule asks of a record is named beside its fault.

use std::collections::BTreeSet;

use packdown::audit::{
    ASKED_LAST, CHECKS, ELSEWHERE, FORK, FailedTester, Together, UNREADABLE, VEHICLE, forked,
};
use packdown::ledger::Log;
use packdown::procedure::Outcome;
use serde_json::{Value, json};

use crate::audit_histories::{BASES, History};

const LAWFUL: &str = BASES[0];
const HARBOUR: &str = BASES[1];
const FLOODED: &str = BASES[2];

/// A fault: the check that must find it, the history it is planted in, and how.
struct Plant {
    finds: &'static str,
    base: &'static str,
    what: &'static str,
    plant: fn(&mut History),
}

/// Faults of one check in one record; each line names what published text wants instead.
macro_rules! plants {
    ($($finds:literal $base:ident $what:literal => $plant:expr;)*) => {
        const PLANTS: &[Plant] = &[$(Plant { finds: $finds, base: $base, what: $what, plant: $plant }),*];
    };
}

plants! {
    // 29 CFR 1910.333(c)(2) and 49 CFR 172.704: shown able, in date on the day.
    "people.competent" LAWFUL "the tester's competence ended the day before" =>
        |h| h.plan["people"][0]["competences"][0]["expires_on"] = json!("2026-11-23");
    "people.competent" LAWFUL "the packer was never shown able" =>
        |h| { h.plan["people"][1]["competences"].as_array_mut().unwrap().pop(); };
    // ADR 1.3.1, 49 CFR 172.702: whoever signs the goods away is trained for their carriage.
    "people.competent" LAWFUL "signed away by somebody who is trained for other work only" =>
        |h| { h.plan["people"][0]["competences"].as_array_mut().unwrap().remove(2); };
    "people.competent" LAWFUL "signed away by somebody nobody knows" =>
        |h| h.set("Z06", "/released_by_name", json!("Zoe Nobody"));
    "people.second" LAWFUL "one person alone at the dead test" =>
        |h| { h.entry("C21").as_object_mut().unwrap().remove("with"); };
    "people.second" LAWFUL "the same person twice" => |h| h.entry("C24")["with"] = json!("nora");
    "people.on_plan" LAWFUL "a reading by somebody nobody knows" => |h| {
        let at = h.at("C18");
        let when = h.lines[at].entry["at"].clone();
        h.insert(at, json!({"kind": "reading", "at": when, "by": "zoe"}), Outcome::Recorded);
    };
    // 49 CFR 172.704(c)(2): recurrent training at least once every three years.
    "training.interval" LAWFUL "in the US, packer's training said to hold ten years" => |h| {
        h.plan["site"]["country"] = json!("US");
        h.plan["people"][1]["competences"][2]["expires_on"] = json!("2036-09-30");
    };
    "review.independent" LAWFUL "audited by the one who tested" =>
        |h| h.set("Z13", "/audited_by", json!("Nora Quill"));

    // P909 and 6.1.4: the packaging itself.
    "transport.packaging" LAWFUL "a packaging good for 60 kg gross" =>
        |h| h.set("M10", "/packaging_mark", json!("UN 4D/Y60/S/25/IRL/BW-114"));
    "transport.packaging" LAWFUL "a packaging code that the instruction does not name" =>
        |h| h.set("M10", "/packaging_mark", json!("UN 5H4/Y95/S/25/IRL/BW-114"));
    "transport.un" LAWFUL "the number of sodium batteries" =>
        |h| h.set("M11", "/un_number", json!("UN 3551"));
    "transport.marks" LAWFUL "no words for recycling on the box" =>
        |h| h.set("M11", "/marks", json!(["UN 3480"]));
    "transport.marks" LAWFUL "no label" => |h| h.set("M11", "/labels", json!([]));
    "transport.masses" LAWFUL "a box lighter than what is in it" =>
        |h| h.set("M12", "/gross_mass_kg", json!(48.0));
    "mass.as_planned" LAWFUL "a module of another mass" =>
        |h| h.set("M09", "/net_mass_kg", json!(42.1));

    // ADR 5.4.0.1: a transport document for every carriage.
    "papers.issued" LAWFUL "no papers" => |h| h.issue_after = None;
    "papers.unchanged" LAWFUL "a manifest that was written over" => |h| {
        h.after_issue = |papers| papers.iter_mut().find(|p| p.name == "manifest.csv").unwrap().as_issued = false;
    };
    "papers.unchanged" LAWFUL "a manifest that is gone" => |h| {
        h.after_issue = |papers| {
            let paper = papers.iter_mut().find(|p| p.name == "manifest.html").unwrap();
            (paper.there, paper.as_issued) = (false, false);
        };
    };
    "papers.identity" LAWFUL "another serial on the papers" =>
        |h| h.before_issue = |files| decided(files, "/modules/0/serial", json!("HL5-0000-0000"));
    "papers.answer" LAWFUL "papers that say forbidden" =>
        |h| h.before_issue = |files| decided(files, "/modules/0/decisions/0/answer", json!("forbidden"));
    // ADR 5.4.1.1.1 (a), (b): UN number and proper shipping name.
    "papers.entry" LAWFUL "papers under another number" =>
        |h| h.before_issue = |files| decided(files, "/modules/1/decisions/0/entry/un", json!("UN 3481"));
    "papers.instructions" LAWFUL "papers under another instruction" =>
        |h| h.before_issue = |files| decided(files, "/modules/1/decisions/0/packing_instructions", json!(["P903"]));
    "papers.marks" LAWFUL "papers that ask for no mark" =>
        |h| h.before_issue = |files| decided(files, "/modules/2/decisions/0/marks", json!([]));
    // ADR 5.4.1.1.3: WASTE before the name.
    "papers.statements" LAWFUL "a line without WASTE" =>
        |h| h.before_issue = |files| decided(files, "/modules/3/decisions/0/document/line",
            json!("UN 3480 LITHIUM ION BATTERIES, 9, (E)"));

    // 29 CFR 1910.147(d)(1), NFPA 70E 120.5(1): all sources found.
    "isolation.sources" LAWFUL "the backup bus is not named" =>
        |h| h.set("C09", "/sources/1", json!({"kind": "backup_bus", "present": false}));
    // 29 CFR 1910.333(b)(2)(ii)(B): disconnected from all sources.
    "isolation.opened" LAWFUL "a device without position" => |h| h.unset("C13", "/devices/1/position");
    "isolation.opened" LAWFUL "a device that nobody opened" => |h| h.unset("C13", "/devices/1");
    "isolation.break_seen" LAWFUL "break not seen, no extra measure" =>
        |h| h.unset("C17", "/locks/0/extra_measure");
    // 29 CFR 1910.333(b)(2)(iii): lock and tag; the narrow exceptions.
    "isolation.locked" LAWFUL "tag without lock" => |h| {
        h.unset("C17", "/locks/1/lock_number");
        h.unset("Z03", "/locks/1");
    };
    "isolation.locked" LAWFUL "lock without tag on three circuits" =>
        |h| h.unset("C17", "/locks/2/tag_number");
    "isolation.locked" LAWFUL "nothing on one device" => |h| {
        h.unset("C17", "/locks/2");
        h.unset("Z03", "/locks/2");
    };
    "isolation.locked" LAWFUL "nobody holds the key" => |h| h.unset("C17", "/locks/1/holder");
    "isolation.own_lock" LAWFUL "one lock on two devices" => |h| {
        h.set("C17", "/locks/2/lock_number", json!("L-205"));
        h.unset("Z03", "/locks/2");
    };
    // 29 CFR 1910.147(d)(3), (4): isolated, then locked.
    "isolation.order" LAWFUL "locked before it was opened" =>
        |h| h.set("C17", "/locks/1/fitted_at", json!("2026-11-24T08:30:03+00:00"));
    "isolation.order" LAWFUL "tried before it was locked" =>
        |h| h.set("C17", "/locks/1/fitted_at", json!("2026-11-24T08:54:03+00:00"));
    // 29 CFR 1910.147(e)(3): each device removed by the employee who applied it.
    "isolation.locks_off" LAWFUL "a lock that never came off" => |h| h.unset("Z03", "/locks/1");
    "isolation.locks_off" LAWFUL "a lock taken off by another" =>
        |h| h.set("Z03", "/locks/1/removed_by", json!("piet"));
    "isolation.locks_off" LAWFUL "a lock too many" =>
        |h| h.entry("Z03")["evidence"]["locks"].as_array_mut().unwrap().push(json!({"lock_number": "L-999",
            "holder": "nora", "removed_by": "nora", "removed_at": "2026-11-24T11:28:00+00:00"}));
    // 29 CFR 1910.333(b)(2)(ii)(C): stored energy released.
    "energy.wait" LAWFUL "no wait on record" => |h| h.drop_step("C19");
    "energy.wait" LAWFUL "four minutes for a label of five" =>
        |h| h.set("C19", "/ended_at", json!("2026-11-24T08:58:15+00:00"));
    "energy.wait" LAWFUL "no start" => |h| h.unset("C19", "/started_at");
    "energy.wait" LAWFUL "begun before the last device opened" => |h| {
        h.set("C19", "/started_at", json!("2026-11-24T08:42:00+00:00"));
    };
    // 29 CFR 1910.333(b)(2)(iv): verification of the de-energized condition.
    "dead.done" LAWFUL "no dead test" => |h| h.drop_step("C21");
    "dead.tester" LAWFUL "no serial of the tester" => |h| {
        for step in ["C20", "C21", "C22"] {
            h.unset(step, "/tester");
        }
    };
    "dead.tester" LAWFUL "tested with a clamp meter" => |h| {
        for step in ["C20", "C21", "C22"] {
            h.set(step, "/tester", json!("CM-5510"));
        }
    };
    "dead.rating" LAWFUL "a tester for 50 V" =>
        |h| h.plan["instruments"][0]["rated_dc_voltage_v"] = json!(50);
    "dead.rating" LAWFUL "a tester whose rating nobody knows" =>
        |h| { h.plan["instruments"][0].as_object_mut().unwrap().remove("rated_dc_voltage_v"); };
    // NFPA 70E 120.5(7): live, dead, live.
    "dead.proof_before" LAWFUL "no proof before" => |h| h.drop_step("C20");
    "dead.proof_after" LAWFUL "no proof after" => |h| h.drop_step("C22");
    "dead.source" LAWFUL "no known source named" => |h| h.unset("C22", "/source");
    "dead.source" LAWFUL "the proving unit showed 60 V" => |h| h.set("C20", "/voltage_dc_v", json!(60));
    "dead.source" LAWFUL "not proved on dc" => |h| h.unset("C20", "/voltage_dc_v");
    // EN 50110-1, third rule: all poles; procedure part 4: not only line to neutral; ac and dc.
    "dead.matrix" LAWFUL "only line to neutral" => |h| {
        let readings = h.entry("C21")["evidence"]["readings"].as_array_mut().unwrap();
        readings.retain(|row| row["pair"] != "L-PE" && row["pair"] != "N-PE");
    };
    "dead.matrix" LAWFUL "no dc at all" => |h| {
        let readings = h.entry("C21")["evidence"]["readings"].as_array_mut().unwrap();
        readings.retain(|row| row["supply"] == "ac");
    };
    // Procedure part 4: in volts, 0.0 written, not "OK".
    "dead.volts" LAWFUL "\"OK\" for a reading" => |h| h.set("C21", "/readings/2/voltage_v", json!("OK"));
    // 29 CFR 1910.333(a)(1): live above 50 V.
    "dead.values" LAWFUL "57 V, and passed" => |h| h.set("C21", "/readings/3/voltage_v", json!(57.1));
    "dead.order" LAWFUL "proved after, by the clock before the test" =>
        |h| h.entry("C22")["at"] = json!("2026-11-24T09:03:02+00:00");
    "dead.order" LAWFUL "another tester was proved" => |h| {
        let mut other = h.plan["instruments"][0].clone();
        other["serial"] = json!("VT-3121");
        h.plan["instruments"].as_array_mut().unwrap().push(other);
        h.set("C22", "/tester", json!("VT-3121"));
    };
    // NFPA 70E Article 320 (2021): battery poles cannot be made dead.
    "remains.listed" LAWFUL "the battery is not on the list of what stays live" =>
        |h| h.set("C24", "/live_remains/0/is_battery", json!(false));
    "remains.listed" LAWFUL "no cover named" => |h| h.unset("C24", "/live_remains/1/cover");
    // EN 50110-1: permission of the person in control, before the work.
    "release.written" LAWFUL "no release" => |h| h.drop_step("C25");
    "release.written" LAWFUL "a release without scope" => |h| h.unset("C25", "/scope");
    "release.other_person" HARBOUR "released by the one who tested" => |h| {
        h.plan["people"][1]["competences"].as_array_mut().unwrap().push(json!({
            "role": "person_in_charge", "covers": "home stacks", "expires_on": "2027-05-31"}));
        h.entry("C25")["by"] = json!("marit");
    };
    "release.live_links" HARBOUR "233 V parted live, no link named" =>
        |h| h.unset("C25", "/live_work_release");
    "release.in_force" LAWFUL "the release ran out at half past nine" =>
        |h| h.set("C25", "/expires_at", json!("2026-11-24T09:30:00+00:00"));
    "count.modules" LAWFUL "three counted, four removed" => |h| h.set("Z02", "/removed", json!(3));
    "count.modules" LAWFUL "nobody counted" => |h| h.drop_step("Z02");

    "instruments.on_plan" LAWFUL "a camera that nobody planned" =>
        |h| h.set("M03", "/instrument", json!("TC-9999"));
    // DOE-HDBK-1092: recalled on time.
    "instruments.in_date" LAWFUL "the tester was due the day before" =>
        |h| h.plan["instruments"][0]["calibration_due_on"] = json!("2026-11-22");
    "instruments.in_date" LAWFUL "the proving unit was due the day before" =>
        |h| h.plan["instruments"][1]["calibration_due_on"] = json!("2026-11-22");
    // 29 CFR 1910.137, Table I-5: six months.
    "gloves.in_date" LAWFUL "gloves tested seven months ago" => |h| {
        let gloves = h.plan["instruments"].as_array_mut().unwrap().iter_mut();
        gloves.filter(|one| one["kind"] == "gloves").for_each(|one| one["tested_on"] = json!("2026-04-20"));
    };
    // 29 CFR 1910.137(c)(2)(ii): an air test.
    "gloves.air_test" LAWFUL "no air test" => |h| h.set("C03", "/gloves_air_tested", json!(false));
    // OSHA letter of 1994-08-12: class 00 to 750 V dc.
    "gloves.class" LAWFUL "class 00 at 800 V dc" => |h| {
        h.plan["installation"]["max_voltage_v"] = json!(800);
        h.plan["installation"]["capacitors"].as_object_mut().unwrap().insert("from_v".into(), json!(58.4));
        h.set("C25", "/live_work_release", json!("LW-4: every link of the stack"));
    };
    // Procedure part 4, look-back rule: every dead test since the last good check.
    "look_back.tester" LAWFUL "the tester failed its next check" => |h| {
        h.failed = Some(FailedTester {
            serial: "VT-3120".into(),
            last_good: "2026-09-02".parse().unwrap(),
        });
    };

    // Procedure part 4: from, to, time, place, count, seals, condition.
    "custody.signed" LAWFUL "no place" => |h| h.unset("Z06", "/place");
    "custody.signed" LAWFUL "nobody named who took" => |h| h.unset("Z06", "/received_by_name");
    // 40 CFR 264.72: any difference in piece count.
    "custody.count" LAWFUL "three packages received of four" => |h| h.set("Z07", "/packages", json!(3));
    // Procedure part 4: serial set equal at both ends.
    "custody.serials" LAWFUL "a serial that was never removed delivered" =>
        |h| h.set("Z10", "/serials/0", json!("HL5-9999-9999"));
    "custody.seals" LAWFUL "one seal on two packages" => |h| {
        h.each("M12", |n, evidence| if n == 1 { evidence["seal"] = json!("S-40117") });
        h.set("Z05", "/seals/1", json!("S-40117"));
    };
    "custody.seals" LAWFUL "another seal was loaded" => |h| h.set("Z05", "/seals/2", json!("S-77777"));
    "custody.seals" LAWFUL "seals not those of the paper on arrival" =>
        |h| h.set("Z07", "/seals_match", json!(false));
    "custody.time" LAWFUL "five days on the way" => |h| {
        h.drop_step("Z08");
        h.entry("Z07")["at"] = json!("2026-11-29T16:20:11+00:00");
        let at = h.at("Z09");
        h.lines[at].entry["at"] = json!("2026-11-30T10:02:05+00:00");
    };
    // 40 CFR 262.42(a)(1): 35 days without the signed copy.
    "custody.open" LAWFUL "no receipt" => |h| {
        h.lines.truncate(h.issue_after.unwrap());
        h.day = "2027-01-31";
    };
    "identity.twice" LAWFUL "one serial on two modules" => |h| {
        let first = h.plan["modules"][0]["serial"].clone();
        h.each("M01", |n, evidence| if n == 1 { evidence["serial"] = first.clone() });
        h.plan["modules"][1].as_object_mut().unwrap().remove("serial");
        for step in ["Z10", "Z11"] {
            h.unset(step, "/serials/1");
        }
    };
    "identity.planned" LAWFUL "another module stood there" => |h| {
        h.set("M01", "/serial", json!("HL5-0001-0001"));
        for step in ["Z10", "Z11"] {
            h.set(step, "/serials/0", json!("HL5-0001-0001"));
        }
    };

    // Crash tests of 2011: fires after hours, one day, seven days, more than three weeks.
    "hold.released" FLOODED "let out by the clock alone" => |h| h.set("X18", "/watch_log", json!([]));
    "hold.released" FLOODED "let out after twenty hours" => |h| h.set("X18", "/hours", json!(20));
    "hold.kept" FLOODED "sent to the treater from quarantine" => |h| {
        h.drop_step("X18");
        let serials = h.dossier().unwrap().removed_identities();
        let end = h.lines.len();
        h.insert(end, json!({"kind": "step", "step": "Z10", "at": "2026-11-25T10:00:00+01:00", "by": "rolf",
            "evidence": {"delivered_mass_kg": 90, "serials": serials, "signed_by": "gate"}}), Outcome::Passed);
    };
    "transport.allowed" LAWFUL "nobody knows the chemistry" =>
        |h| h.plan["installation"]["chemistry"] = json!("unknown");

    // ADR 2025, 1.1.3.6.3, 1.1.3.6.4: category 2 counts three a kilogram, 1000 at most, and 333 kg
    // at most of it alone. Four by 83.4 kg are 333.6 kg and 1000.8 points; by 83.3, 333.2 kg, 999.6.
    "transport.points" LAWFUL "1000.8 points as a small load" => |h| small_load(h, json!(83.4));
    "transport.points" LAWFUL "999.6 points, yet more than 333 kg of category 2 alone" =>
        |h| small_load(h, json!(83.3));
    "transport.points" LAWFUL "a module of a small load that nobody weighed" => |h| {
        small_load(h, json!(49.5));
        h.each("M09", |n, evidence| if n == 1 { evidence.as_object_mut().unwrap().remove("net_mass_kg"); });
        h.plan["modules"][1].as_object_mut().unwrap().remove("net_mass_kg");
    };
    // ADR 2025, 5.4.1.1.1(f): the document gives quantity and points of each category. Four by 49.5 kg
    // are 198 kg, and by three 594 points.
    "papers.points" LAWFUL "a document with fewer points than the load has" => |h| {
        small_load(h, json!(49.5));
        h.before_issue = |files| {
            decided(files, "/small_loads/0/points", json!(495));
            decided(files, "/small_loads/0/categories/0/points", json!(495));
        };
    };
    "papers.points" LAWFUL "a document with the mass of one module less" => |h| {
        small_load(h, json!(49.5));
        h.before_issue = |files| decided(files, "/small_loads/0/categories/0/net_mass_kg", json!(148.5));
    };
    "papers.points" LAWFUL "a document that counts by another category" => |h| {
        small_load(h, json!(49.5));
        h.before_issue = |files| decided(files, "/small_loads/0/categories/0/category", json!("3"));
    };
    // RID 1.1.3.6: no relief by rail.
    "transport.points" LAWFUL "a small load by rail" => |h| {
        small_load(h, json!(49.5));
        h.plan["route"][0]["regime"] = json!("rid");
        h.plan["route"][0]["mode"] = json!("rail");
    };

    // 40 CFR 273.15: one year.
    "deadline.accumulation" LAWFUL "in the US, kept fourteen months" => |h| {
        h.plan["site"]["country"] = json!("US");
        let keep = h.at("Z10");
        h.lines.truncate(keep);
        h.day = "2028-01-24";
    };
    // 49 CFR 171.16(a): 30 days. ADR 1.8.5: one month.
    "deadline.incident_report" LAWFUL "smoke on the way, no report in a month" => |h| {
        let at = h.issue_after.unwrap();
        h.insert(at + 1, json!({"kind": "finding", "at": "2026-11-24T16:00:00+00:00", "by": "tom",
            "evidence": {"findings": ["F01"]}}), Outcome::Recorded);
        h.day = "2026-12-28";
    };
    "deadline.certificate" LAWFUL "no certificate in half a year" => |h| {
        let keep = h.at("Z11");
        h.lines.truncate(keep);
        h.day = "2027-07-01";
    };
    // Procedure Z11: a bulk certificate names no serial.
    "certificate.serials" LAWFUL "a certificate without one of the serials" => |h| h.unset("Z11", "/serials/3");
    "certificate.mass" LAWFUL "half the mass on the certificate" =>
        |h| h.set("Z11", "/treated_mass_kg", json!(99.0));
    "deadline.retention" LAWFUL "kept for two years" => |h| h.set("Z12", "/retention_years", json!(2));

    // RFC 8493, 3: every payload file with its hash in a manifest.
    "bundle.whole" LAWFUL "a file of the bundle that is not the one in its manifest" =>
        |h| h.bundle_faults = vec!["`data/custody.csv`: another hash".into()];
    // RFC 6962 and C2SP: the tree over every line, its head signed.
    "ledger.whole" LAWFUL "a line that was taken out" => |h| h.tamper = |bytes| {
        let text = String::from_utf8(bytes.clone()).unwrap();
        let kept: Vec<&str> = text.lines().filter(|line| !line.contains("\"A14\"")).collect();
        *bytes = (kept.join("\n") + "\n").into_bytes();
    };
    "ledger.signed" LAWFUL "not signed" => |h| h.checkpoint = |_| None;
    "ledger.tail" LAWFUL "torn within a line" => |h| h.tamper = |bytes| bytes.extend_from_slice(b"{\"actor\":\"no");
    "ledger.clock" LAWFUL "the clock was set back by two hours" => |h| {
        let at = h.at("Z13");
        h.lines[at].entry["at"] = json!("2026-12-15T07:00:00+00:00");
    };
    // ISO 15489-1, 5.2.2.3: records are made at the time of the event.
    "record.late" LAWFUL "written two days later" => |h| {
        let at = h.at("Z12");
        h.insert(at, json!({"kind": "late_entry", "at": "2026-12-14T12:00:00+00:00", "by": "ruth",
            "happened_at": "2026-12-12T09:00:00+00:00", "reason": "telephone call of the treater"}), Outcome::Recorded);
    };
    "record.corrected_proof" LAWFUL "a reading of the dead test written over" => |h| {
        let (test, at) = (h.at("C21"), h.at("C24"));
        let when = h.lines[at].entry["at"].clone();
        h.insert(at, json!({"kind": "correction", "at": when, "by": "nora", "amends": test + 1,
            "reason": "misread", "evidence": {"point_of_work": "terminal block, left side"}}), Outcome::Recorded);
    };
    "record.corrected_after" LAWFUL "a mass corrected after the papers went out" => |h| {
        let (lift, at) = (h.at("M09"), h.issue_after.unwrap());
        h.insert(at + 1, json!({"kind": "correction", "at": "2026-11-24T16:00:00+00:00", "by": "piet",
            "amends": lift + 1, "reason": "scale read again", "evidence": {"set_down_on": "pallet"}}), Outcome::Recorded);
    };
    "record.refused" LAWFUL "broken off where the driver was to open a live lead" => |h| {
        let keep = h.at("A01") + 1;
        h.lines.truncate(keep);
        h.lines.last_mut().unwrap().outcome = Outcome::Refused;
        h.lines.last_mut().unwrap().entry["by"] = json!("tom");
        h.issue_after = None;
    };
    // Procedure part 4: times all the same minute.
    "readings.same_minute" LAWFUL "all locks in one minute" => |h| {
        for (n, time) in ["08:46:03", "08:46:13", "08:46:23"].into_iter().enumerate() {
            h.set("C17", &format!("/locks/{n}/fitted_at"), json!(format!("2026-11-24T{time}+00:00")));
        }
    };
    "readings.repeated" LAWFUL "the same voltage on four modules" => |h| {
        h.each("M04", |_, evidence| evidence["terminal_voltage_v"] = json!(52.34));
    };
    "readings.round" LAWFUL "whole volts on four modules" => |h| {
        h.each("M04", |n, evidence| evidence["terminal_voltage_v"] = json!([52, 53, 52, 53][n]));
    };
    // The officer, who is also a qualified worker, judged it sound and names the finding.
    "readings.charge" LAWFUL "readings that contradict each other, judged sound by the officer" => |h| {
        h.plan["people"][0]["competences"].as_array_mut().unwrap().push(json!({
            "role": "compliance_officer", "covers": "class 9", "expires_on": "2028-03-31"}));
        contradict(h, "M06");
        h.set("M06", "/reasons", json!(["F37"]));
    };
    "record.rules" LAWFUL "other settings at hand" => |h| h.settings = "changed since";
    "record.plays_back" LAWFUL "three faces looked at by nobody: the current was 4 A" =>
        |h| h.set("C11", "/current_a", json!(4.0));
}

/// Before that step, the first module is read at 90 %, after some 20 % in M04; a module that stands
/// apart is never charged.
fn contradict(h: &mut History, before: &str) {
    let at = h.at(before);
    let when = h.lines[at].entry["at"].clone();
    let reading = json!({"kind": "reading", "module": "m1", "at": when, "by": "nora",
        "evidence": {"state_of_charge_percent": 90}});
    h.insert(at, reading, Outcome::Recorded);
}

/// What the check of the charge writes down.
fn of_the_charge(h: &History) -> Vec<String> {
    h.audited()
        .findings
        .iter()
        .filter(|finding| finding.check == "readings.charge")
        .map(|finding| format!("{}: {}", finding.what, finding.found))
        .collect()
}

#[test]
fn a_charge_that_is_contradicted_is_written_down_with_what_people_made_of_it() {
    let clean = History::clean(LAWFUL, 3);
    assert_eq!(of_the_charge(&clean), Vec::<String>::new());
    let holds = |found: &[String], words: &[&str]| {
        assert_eq!(found.len(), words.len(), "{found:#?}");
        for word in words {
            assert!(
                found.iter().any(|one| one.contains(word)),
                "{word}: {found:#?}"
            );
        }
    };
    let contradiction = "readings of its charge: they contradict each other (F37)";
    // Judged sound by somebody who names nothing: it counts as suspect.
    let mut passed_over = clean.clone();
    contradict(&mut passed_over, "M06");
    holds(
        &of_the_charge(&passed_over),
        &[contradiction, "nobody answers for the finding"],
    );
    // Packed for a leg by air, which asks for 30 % at most.
    let mut by_air = passed_over.clone();
    by_air.plan["route"][0] =
        json!({"regime": "air", "mode": "cargo_aircraft", "on": "2026-11-24"});
    holds(
        &of_the_charge(&by_air),
        &[
            contradiction,
            "nobody answers",
            "limit of 30 %: its charge may be anything",
        ],
    );
    // Read again after the papers went out.
    let mut late = clean.clone();
    let last = late.issue_after.unwrap();
    let when = late.lines[last - 1].entry["at"].clone();
    contradict(&mut late, "M06");
    let reading = late.at("M06") - 1;
    let mut line = late.lines.remove(reading);
    line.entry["at"] = when;
    late.lines.insert(last, line);
    late.issue_after = Some(last);
    holds(
        &of_the_charge(&late),
        &[contradiction, "nobody answers", "they were printed before"],
    );
    // A finding by hand that was taken back: a correction does not lift it.
    let mut back = clean;
    let at = back.at("M06");
    let when = back.lines[at].entry["at"].clone();
    back.insert(
        at,
        json!({"kind": "finding", "module": "m1", "at": when, "by": "nora",
        "evidence": {"findings": ["F37"]}}),
        Outcome::Recorded,
    );
    back.insert(
        at + 1,
        json!({"kind": "correction", "at": when, "by": "nora", "amends": at + 1,
        "reason": "the meter was on another module", "evidence": {"findings": ["F36"]}}),
        Outcome::Recorded,
    );
    holds(
        &of_the_charge(&back),
        &[
            contradiction,
            "nobody answers",
            "finding F37: taken back by a correction, which does not lift it",
        ],
    );
}

/// The load goes as a small load, each module of one mass.
fn small_load(h: &mut History, mass_kg: Value) {
    h.plan["route"][0]["small_load"] = json!(true);
    for module in h.plan["modules"].as_array_mut().unwrap() {
        module["net_mass_kg"] = mass_kg.clone();
    }
    h.each("M09", |_, evidence| {
        evidence["net_mass_kg"] = mass_kg.clone()
    });
    h.each("M12", |_, evidence| evidence["gross_mass_kg"] = json!(94));
    let all = json!((mass_kg.as_f64().unwrap() * 40.0).round() / 10.0);
    h.set("Z10", "/delivered_mass_kg", all.clone());
    h.set("Z11", "/treated_mass_kg", all);
}

/// Changes `decisions.json` before it is issued.
fn decided(files: &mut [(String, Vec<u8>)], pointer: &str, value: Value) {
    let (_, bytes) = files
        .iter_mut()
        .find(|(name, _)| name == "decisions.json")
        .unwrap();
    let mut decisions: Value = serde_json::from_slice(bytes).unwrap();
    *decisions
        .pointer_mut(pointer)
        .unwrap_or_else(|| panic!("no {pointer}")) = value;
    *bytes = serde_json::to_vec_pretty(&decisions).unwrap();
}

#[test]
fn a_history_without_fault_gives_no_finding() {
    for base in BASES {
        for seed in 1..=6 {
            let audited = History::clean(base, seed).audited();
            assert_eq!(audited.findings, [], "{base}, seed {seed}");
        }
    }
}

#[test]
fn histories_differ_by_seed_and_by_nothing_else() {
    let one = History::clean(LAWFUL, 1).fingerprint();
    assert_eq!(one, History::clean(LAWFUL, 1).fingerprint());
    assert_ne!(one, History::clean(LAWFUL, 2).fingerprint());
}

#[test]
fn each_planted_fault_is_found_and_nothing_else() {
    let mut wrong = Vec::new();
    let clean = BASES.map(|base| (base, History::clean(base, 100)));
    for one in PLANTS {
        let (_, clean) = clean.iter().find(|(base, _)| *base == one.base).unwrap();
        let mut history = clean.clone();
        (one.plant)(&mut history);
        let audited = history.audited();
        let found: BTreeSet<&str> = audited
            .findings
            .iter()
            .map(|finding| finding.check.as_str())
            .collect();
        if found != BTreeSet::from([one.finds]) {
            let shown: Vec<String> = audited
                .findings
                .iter()
                .map(|f| format!("    {}: {}: {} ({})", f.check, f.what, f.found, f.limit))
                .collect();
            wrong.push(format!(
                "{} ({}) gave {found:?}\n{}",
                one.finds,
                one.what,
                shown.join("\n")
            ));
        }
        for finding in &audited.findings {
            assert!(
                !finding.what.is_empty() && !finding.found.is_empty(),
                "{finding:?}"
            );
            assert!(
                !finding.limit.is_empty() && !finding.clause.is_empty(),
                "{finding:?}"
            );
            assert!(!finding.way_out.is_empty(), "{finding:?}");
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_check_has_a_fault_that_it_finds() {
    let planted: BTreeSet<&str> = PLANTS.iter().map(|one| one.finds).collect();
    // Found over several jobs, by rule of their own, or planted in the test below.
    let elsewhere = [
        FORK,
        ELSEWHERE,
        UNREADABLE,
        VEHICLE,
        "custody.place",
        "register.receipts",
        "register.discrepancies",
        "register.holds",
        "register.stay",
        "register.entries",
        "register.certificates",
    ];
    for check in CHECKS {
        assert!(
            planted.contains(check.id) || elsewhere.contains(&check.id),
            "nothing is planted for {}",
            check.id
        );
    }
    assert!(planted.contains(ASKED_LAST));
}

#[test]
fn two_copies_of_one_log_that_differ_are_a_fork_and_a_beginning_is_none() {
    let whole = History::clean(LAWFUL, 1);
    let mut shorter = History::clean(LAWFUL, 1);
    shorter.lines.truncate(90);
    let mut other = History::clean(LAWFUL, 1);
    other.set("Z11", "/certificate", json!("RC-9999"));
    let mut together = Together::default();
    let first = whole.audited();
    assert_eq!(together.add(&first).other_copy, None);
    assert_eq!(together.add(&first).other_copy, None, "the same copy again");
    for (history, forks) in [(&shorter, false), (&other, true)] {
        let audited = history.audited();
        let beside = together.add(&audited);
        assert_eq!(beside.other_copy.as_deref(), Some("history"));
        assert_eq!(beside.findings, [], "the same job is no other job");
        let (one, two) = (
            Log::read(&whole.written().0).0,
            Log::read(&history.written().0).0,
        );
        assert_eq!(one.fork(&two).is_some(), forks);
        if let Some(at) = one.fork(&two) {
            let finding = forked(&audited, "history", at).unwrap();
            assert_eq!(finding.check, FORK);
            assert!(
                finding.found.contains(&format!("entry {at}")),
                "{}",
                finding.found
            );
        }
    }
}

#[test]
fn what_a_copy_of_the_same_log_shows_again_is_told_once() {
    let mut faulty = History::clean(LAWFUL, 1);
    faulty.set("Z11", "/certificate", json!(null));
    let (mut first, mut copy) = (faulty.audited(), faulty.audited());
    assert!(!first.findings.is_empty());
    let before = first.findings.clone();
    let mut together = Together::default();
    together.add(&first);
    together.tell_once(&mut first);
    assert_eq!(first.findings, before);
    together.add(&copy);
    together.tell_once(&mut copy);
    assert_eq!(copy.findings, []);
    // Another job with the same fault is told.
    let mut other = History::clean(LAWFUL, 2);
    other.set("Z11", "/certificate", json!(null));
    let mut other = other.audited();
    together.tell_once(&mut other);
    assert!(!other.findings.is_empty());
}

#[test]
fn a_serial_removed_in_two_jobs_is_said() {
    let one = History::clean(LAWFUL, 5);
    let mut two = History::clean(LAWFUL, 6);
    let serial = one.plan["modules"][2]["serial"].clone();
    let old = two.plan["modules"][2]["serial"].clone();
    let put = |value: &mut Value| {
        *value = serde_json::from_str(
            &value
                .to_string()
                .replace(old.as_str().unwrap(), serial.as_str().unwrap()),
        )
        .unwrap();
    };
    put(&mut two.plan);
    two.lines.iter_mut().for_each(|line| put(&mut line.entry));
    let mut together = Together::default();
    assert_eq!(together.add(&one.audited()).findings, []);
    let beside = together.add(&two.audited());
    let found: Vec<&str> = beside.findings.iter().map(|f| f.check.as_str()).collect();
    assert_eq!(found, [ELSEWHERE]);
    assert!(beside.findings[0].what.contains(serial.as_str().unwrap()));
}

#[test]
fn an_incident_that_was_reported_in_time_is_no_finding() {
    // 49 CFR 171.16(a): 30 days from discovery; ADR 1.8.5: one month. A day later is late.
    for (country, sent, late) in [
        ("IE", "2026-12-24", false),
        ("IE", "2026-12-25", true),
        ("US", "2026-12-24", false),
        ("US", "2026-12-25", true),
    ] {
        let mut history = History::clean(LAWFUL, 9);
        history.plan["site"]["country"] = json!(country);
        // A red flag closes what would follow; here the load is still on its way.
        let at = history.issue_after.unwrap();
        history.lines.truncate(at);
        history.insert(
            at,
            json!({"kind": "finding", "at": "2026-11-24T16:00:00+00:00", "by": "tom",
                "evidence": {"findings": ["F01"]}}),
            Outcome::Recorded,
        );
        let end = history.lines.len();
        history.insert(
            end,
            json!({"kind": "reading", "at": format!("{sent}T18:00:00+00:00"), "by": "ruth",
                "evidence": {"incident_report_sent_at": format!("{sent}T17:00:00+00:00")}}),
            Outcome::Recorded,
        );
        history.day = "2026-12-28";
        let found: Vec<String> = history
            .audited()
            .findings
            .into_iter()
            .map(|f| f.check)
            .collect();
        let expected: &[&str] = if late {
            &["deadline.incident_report"]
        } else {
            &[]
        };
        assert_eq!(found, expected, "{country}, {sent}");
    }
}

#[test]
fn a_log_that_opens_no_job_cannot_be_audited_and_says_why() {
    let mut history = History::clean(LAWFUL, 1);
    history.tamper = |bytes| bytes.clear();
    assert!(history.dossier().unwrap_err().contains("no entry"));
}

/// ADR 2025, 1.1.3.6.3, 1.1.3.6.4: 333 kg of category 2 is the most, and the load of one vehicle is
/// what one hand-over lists.
#[test]
fn points_are_counted_over_what_one_hand_over_lists() {
    let mut history = History::clean(LAWFUL, 1);
    small_load(&mut history, json!(83.25));
    assert_eq!(history.audited().findings, [], "333 kg, 999 points");
    small_load(&mut history, json!(83.4));
    let found = history.audited().findings;
    assert_eq!(found[0].found, "points of the load 1000.8, 333.6 kg in all");
    assert_eq!(found[0].clause, "ADR 2025, 1.1.3.6.3; 1.1.3.6.4");
    // Three of the four in one hand-over are no more than 750.6 points.
    history.hand_over();
    let of_points = |history: &History| {
        let found = history.audited().findings.into_iter();
        let mut found = found.filter(|one| one.check == "transport.points");
        found.next().map(|one| one.found)
    };
    assert!(of_points(&history).is_some());
    let handover = history.handover.as_mut().unwrap();
    let left = handover["packages"].as_array_mut().unwrap().pop().unwrap();
    assert_eq!(of_points(&history), None);
    // Two journeys of one vehicle in a day are one transport unit for all that is known.
    let second = {
        let mut second = history.handover.clone().unwrap();
        second["number"] = json!(2);
        second["packages"] = json!([left.clone()]);
        second
    };
    history.handover_again = Some(second);
    assert_eq!(of_points(&history), None, "no vehicle was said");
    history.handover.as_mut().unwrap()["vehicle"] = json!("KL12345");
    history.handover_again.as_mut().unwrap()["vehicle"] = json!("KL12345");
    assert_eq!(
        of_points(&history).as_deref(),
        Some("points of the load 1000.8, 333.6 kg in all")
    );
    history.handover_again.as_mut().unwrap()["vehicle"] = json!("KL99999");
    assert_eq!(of_points(&history), None, "another vehicle");
    history.handover_again = None;
    // A module that the job does not know may weigh anything.
    let handover = history.handover.as_mut().unwrap();
    handover["packages"].as_array_mut().unwrap().push(left);
    handover["packages"][3]["modules"][0]["identity"] = json!("HL5-9999-9999");
    assert_eq!(
        of_points(&history).as_deref(),
        Some("not determined: HL5-9999-9999 is not of this job")
    );
}

/// ADR 2025, 1.1.3.6.3, 1.1.3.6.4: the limit is that of one transport unit, whoever loaded it. Eight by
/// 49.5 kg are 396 kg and 1188 points; eight by 41.6 are 332.8 kg, eight by 41.7 are 333.6 kg.
#[test]
fn small_loads_of_several_jobs_on_one_vehicle_and_day_count_together() {
    let on = |seed: u64, vehicle: &str, mass_kg: f64| {
        let mut history = History::clean(LAWFUL, seed);
        small_load(&mut history, json!(mass_kg));
        history.hand_over();
        history.handover.as_mut().unwrap()["vehicle"] = json!(vehicle);
        history
    };
    let said = |histories: &[&History]| -> Vec<String> {
        let mut together = Together::default();
        let findings = histories.iter().flat_map(|one| {
            let audited = one.audited();
            let own = |check: &str| check == "transport.points" || check == "papers.points";
            assert!(
                !audited
                    .findings
                    .iter()
                    .any(|f| own(&f.check) && f.found.contains("points of"))
            );
            together.add(&audited).findings
        });
        findings
            .map(|finding| {
                assert_eq!(finding.check, VEHICLE);
                assert!(
                    finding.clause.starts_with("ADR 2025, 1.1.3.6.3"),
                    "{finding:?}"
                );
                finding.found
            })
            .collect()
    };
    let (one, mut two) = (on(5, "KL 123-45", 49.5), on(6, "kl12345", 49.5));
    let names = |history: &History| history.plan["job"].as_str().unwrap().to_owned();
    let both = format!(
        "points of the load 1188, 396 kg counted: {}, {}",
        names(&one),
        names(&two)
    );
    assert_eq!(said(&[&one, &two]), [both.as_str()]);
    // Copies of one log are one load, and it is told once.
    assert_eq!(said(&[&one, &one]), [""; 0]);
    assert_eq!(said(&[&one, &two, &one, &two]), [both.as_str()]);
    assert_eq!(
        said(&[&one, &on(6, "KL99999", 49.5)]),
        [""; 0],
        "another vehicle"
    );
    assert_eq!(
        said(&[&on(5, "KL12345", 41.6), &on(6, "KL12345", 41.6)]),
        [""; 0]
    );
    assert_eq!(
        said(&[&on(5, "KL12345", 41.7), &on(6, "KL12345", 41.7)]).len(),
        1
    );
    // A full load that stood on it counts; two full loads are nobody's small load.
    two.plan["route"][0]["small_load"] = json!(false);
    assert_eq!(said(&[&one, &two]), [both.as_str()]);
    let mut full = one.clone();
    full.plan["route"][0]["small_load"] = json!(false);
    assert_eq!(said(&[&full, &two]), [""; 0]);
    // What one of them loaded cannot be counted: said once, and again where the rest is too much.
    let mut unknown = on(7, "KL12345", 41.6);
    unknown.each("M09", |n, evidence| {
        if n == 1 {
            evidence.as_object_mut().unwrap().remove("net_mass_kg");
        }
    });
    unknown.plan["modules"][1]
        .as_object_mut()
        .unwrap()
        .remove("net_mass_kg");
    let found = said(&[&unknown, &on(5, "KL12345", 41.6), &on(6, "KL12345", 41.6)]);
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(found[0].starts_with("not determined, "), "{found:?}");
    assert!(
        found[1].starts_with("points of the load 1372.8, "),
        "{found:?}"
    );
    // The next day is another load.
    let mut later = on(6, "KL12345", 49.5);
    later.handover.as_mut().unwrap()["at"] = json!("2026-11-25T08:00:00+00:00");
    assert_eq!(said(&[&one, &later]), [""; 0]);
}

/// Under ADR 2023, which is known second-hand only, a load can be too much and is never called small.
#[test]
fn under_the_edition_of_2023_a_load_can_only_be_found_too_much() {
    let of_points = |mass_kg: f64| {
        let mut history = History::clean(LAWFUL, 1);
        small_load(&mut history, json!(mass_kg));
        let then = |value: &mut Value| {
            *value = serde_json::from_str(&value.to_string().replace("2026-", "2024-")).unwrap();
        };
        then(&mut history.plan);
        history
            .lines
            .iter_mut()
            .for_each(|line| then(&mut line.entry));
        let found = history.audited().findings;
        let found = found
            .into_iter()
            .find(|one| one.check == "transport.points");
        found.map(|one| (one.found, one.clause)).unwrap()
    };
    let (found, clause) = of_points(83.4);
    assert_eq!(found, "points of the load 1000.8, 333.6 kg in all");
    assert!(
        clause.starts_with("ADR 2023, 1.1.3.6.3") && clause.contains("second-hand"),
        "{clause}"
    );
    assert_eq!(of_points(49.5).0, "not determined under ADR 2023");
}

/// ADR 2025, 3.3 SP 677: critical batteries are of transport category 0, never a small load.
#[test]
fn critical_batteries_are_no_small_load() {
    let mut history = History::clean(FLOODED, 1);
    history.plan["route"][0]["small_load"] = json!(true);
    assert_eq!(history.audited().findings, []);
    history.each("M06", |_, evidence| {
        evidence["soundness"] = json!("critical")
    });
    let found = history.audited().findings;
    let found = found.iter().find(|one| one.check == "transport.points");
    assert!(
        found
            .unwrap()
            .found
            .starts_with("critical batteries aboard, "),
        "{found:?}"
    );
}
