//! The procedures that come with the program: each reads, passes the proof and says what it must.

use std::collections::BTreeSet;

use packdown::citation::Known;
use packdown::procedure::{Act, Graph, People, Procedure, prove};

#[test]
fn every_shipped_procedure_reads_with_nothing_wrong() {
    assert_eq!(
        Procedure::shipped_ids(),
        [
            "ac-coupled-stack",
            "damaged-pack",
            "dc-coupled-hybrid",
            "rack"
        ]
    );
    assert!(Procedure::shipped("no-such").is_none());
    for id in Procedure::shipped_ids() {
        let text = Procedure::shipped_text(id).unwrap();
        let read = Procedure::read(text).unwrap_or_else(|error| panic!("{id}: {error}"));
        assert_eq!(read.id, id);
        assert_eq!(Procedure::shipped(id).unwrap().unwrap(), read);
    }
}

#[test]
fn every_shipped_procedure_passes_the_proof() {
    for id in Procedure::shipped_ids() {
        let procedure = Procedure::shipped(id).unwrap().unwrap();
        let escapes = match prove(&procedure) {
            Ok(proof) => {
                assert_eq!(proof.steps, procedure.steps.len());
                continue;
            }
            Err(escapes) => escapes,
        };
        let escapes: Vec<String> = escapes.iter().map(ToString::to_string).collect();
        panic!("{id} is not proved:\n{}", escapes.join("\n"));
    }
}

/// The trade's list of touching steps; each is one here (more may be).
#[test]
fn the_trades_touching_steps_are_touching() {
    for (id, steps) in [
        ("ac-coupled-stack", "A01 A02 A05 A19 M01 M07 M09 X15"),
        ("dc-coupled-hybrid", "B02 B04 B05 B06 B08 M01 M07 M09 X15"),
        ("rack", "R05 R06 R07 M01 M07 M09 X15"),
        ("damaged-pack", "X13 X15 M01 M07"),
    ] {
        let procedure = Procedure::shipped(id).unwrap().unwrap();
        for step in steps.split(' ') {
            assert!(procedure.step(step).unwrap().is_touching(), "{id} {step}");
        }
    }
}

/// The trade's standing test: these are ancestors of every touching step, by name.
#[test]
fn every_touching_step_has_the_trades_ancestors() {
    let sound = "C09 C11 C12 C13 C15 C16 C17 C18 C19 C20 C21 C22 C24 C25";
    for (id, ancestors) in [
        ("ac-coupled-stack", sound.to_owned()),
        ("dc-coupled-hybrid", format!("{sound} C14")),
        ("rack", format!("{sound} R01")),
        ("damaged-pack", "X05 X06 X08 X10 X11 X12".to_owned()),
    ] {
        let procedure = Procedure::shipped(id).unwrap().unwrap();
        let graph = Graph::new(&procedure.steps).unwrap();
        let mut seen = 0;
        for step in procedure.steps.iter().filter(|step| step.is_touching()) {
            seen += 1;
            for ancestor in ancestors.split(' ') {
                assert!(
                    graph.is_sure_before(ancestor, &step.id),
                    "{id}: {ancestor} {}",
                    step.id
                );
            }
        }
        assert!(seen >= 6, "{id}");
    }
    let procedure = Procedure::shipped("damaged-pack").unwrap().unwrap();
    let graph = Graph::new(&procedure.steps).unwrap();
    for ancestor in ["X06", "X08", "X11", "X14", "X19", "M07"] {
        assert!(graph.is_sure_before(ancestor, "X15"), "{ancestor}");
    }
    assert!(graph.is_sure_before("X17", "X18"));
}

#[test]
fn every_step_says_what_can_hurt_and_what_to_do_when_it_fails() {
    for id in Procedure::shipped_ids() {
        let procedure = Procedure::shipped(id).unwrap().unwrap();
        assert!(
            procedure
                .cautions
                .iter()
                .any(|text| text.contains("cannot be made dead")),
            "{id}"
        );
        for step in &procedure.steps {
            assert!(!step.hazard.is_empty(), "{id} {}", step.id);
            assert!(!step.if_fails.is_empty(), "{id} {}", step.id);
            assert!(step.does.ends_with('.'), "{id} {}", step.id);
            assert!(
                !step.evidence.is_empty(),
                "{id} {}: a tick is no evidence",
                step.id
            );
            for spec in &step.evidence {
                assert!(
                    spec.ask.ends_with(['?', '.', ')']),
                    "{id} {} {}",
                    step.id,
                    spec.ask
                );
                assert!(
                    spec.ask.len() <= 100,
                    "{id} {}: too long: {}",
                    step.id,
                    spec.ask
                );
            }
        }
    }
}

/// Every dead-proof step with two people in the trade's table has two here.
#[test]
fn steps_of_two_people_are_the_trades() {
    let two = "C05 C06 C08 C20 C21 C22 C23 C24 A02 A05 A06 X01 X02 X07 X08 X14 X15";
    let procedure = Procedure::shipped("ac-coupled-stack").unwrap().unwrap();
    for id in two.split(' ') {
        assert_eq!(procedure.step(id).unwrap().people, People::Two, "{id}");
    }
    for id in ["A04", "M09"] {
        assert_eq!(
            procedure.step(id).unwrap().people,
            People::TwoIfHeavy,
            "{id}"
        );
    }
}

/// Covers back with the same bolts, torque, supports, seals: common practice, no source; each is an
/// edge and a count.
#[test]
fn the_home_stack_knows_covers_bolts_supports_and_the_order_of_release() {
    let procedure = Procedure::shipped("ac-coupled-stack").unwrap().unwrap();
    let graph = Graph::new(&procedure.steps).unwrap();
    let order = [
        "C11", "C12", "A11", "C15", "C16", "C25", "A12", "A01", "A02", "A03", "A13", "A14", "A15",
        "A16", "A17", "A18", "A19", "A04", "A20", "M01", "M12", "A06", "A07",
    ];
    for pair in order.windows(2) {
        assert!(graph.is_sure_before(pair[0], pair[1]), "{pair:?}");
    }
    let same_as = |step: &str, name: &str| {
        let spec = procedure.step(step).unwrap().spec(name).unwrap();
        spec.limits[0].same_as.clone().unwrap()
    };
    assert_eq!(same_as("A13", "fasteners_in"), "A12.fasteners_out");
    assert_eq!(same_as("A17", "fasteners_in"), "A14.fasteners_out");
    assert_eq!(same_as("A03", "entries_closed"), "A03.entry_seals_cut");
    let lamp = procedure
        .step("C07")
        .unwrap()
        .spec("seconds_since_power_on")
        .unwrap();
    assert_eq!(lamp.limits[0].at_least.unwrap().to_string(), "60");
    assert_eq!(lamp.limits[0].known, Some(Known::CommonPractice));
}

#[test]
fn evidence_names_of_the_chain_are_those_the_gate_reads() {
    let names = |procedure: &Procedure, act: Act| -> BTreeSet<String> {
        let step = procedure
            .steps
            .iter()
            .find(|step| step.does_act(act))
            .unwrap();
        step.evidence.iter().map(|spec| spec.name.clone()).collect()
    };
    for id in ["ac-coupled-stack", "dc-coupled-hybrid", "rack"] {
        let procedure = Procedure::shipped(id).unwrap().unwrap();
        for (act, wanted) in [
            (Act::FindSources, "sources unexplained_conductor"),
            (Act::StopCurrent, "current_a instrument"),
            (Act::BlockRestart, "restart_blocked_by"),
            (Act::Isolate, "devices"),
            (Act::SeeBreak, "breaks"),
            (Act::Lock, "locks"),
            (Act::TryStart, "control started"),
            (Act::WaitStoredEnergy, "ended_at started_at"),
            (
                Act::ProveTesterBefore,
                "source stated_high_v stated_low_v tester voltage_ac_v voltage_dc_v",
            ),
            (Act::TestDead, "point_of_work readings tester"),
            (
                Act::ProveTesterAfter,
                "source stated_high_v stated_low_v tester voltage_ac_v voltage_dc_v",
            ),
            (Act::Bond, "nodes not_provided_reason provided"),
            (Act::CoverLive, "live_remains"),
            (
                Act::ReleaseWork,
                "expires_at live_work_release release_number scope",
            ),
            (Act::CoverPoles, "poles"),
        ] {
            let wanted: BTreeSet<String> = wanted.split(' ').map(str::to_owned).collect();
            assert_eq!(names(&procedure, act), wanted, "{id} {act:?}");
        }
    }
}
