//! The proof against a plain oracle, on a family of broken procedures.
//!
//! The oracle is written in another style: to ask whether one step is sure to come before another,
//! it plays every step except the first one, over and over, and looks whether the second opens.

use std::collections::BTreeSet;

use packdown::procedure::{Act, Branch, Cycle, Escape, Graph, Need, Procedure, Step, prove};

const SOUND: [&str; 3] = ["ac-coupled-stack", "dc-coupled-hybrid", "rack"];

fn shipped(id: &str) -> Procedure {
    Procedure::shipped(id).unwrap().unwrap()
}

fn step<'a>(procedure: &'a mut Procedure, id: &str) -> &'a mut Step {
    procedure
        .steps
        .iter_mut()
        .find(|step| step.id == id)
        .unwrap()
}

/// The steps that can be passed when none of `never` ever is, and every optional step is left out
/// wherever a need allows it.
fn played_without<'a>(procedure: &'a Procedure, never: &[&str]) -> BTreeSet<&'a str> {
    let mut passed: BTreeSet<&str> = BTreeSet::new();
    loop {
        let more: Vec<&str> = procedure
            .steps
            .iter()
            .filter(|step| !never.contains(&step.id.as_str()) && !passed.contains(step.id.as_str()))
            .filter(|step| {
                step.needs.iter().all(|need| match need {
                    Need::Step(id) | Need::EveryModule(id) => passed.contains(id.as_str()),
                    Need::IfPlanned(_) => true,
                    Need::AnyOf(ids) => ids.iter().any(|id| passed.contains(id.as_str())),
                })
            })
            .map(|step| step.id.as_str())
            .collect();
        if more.is_empty() {
            return passed;
        }
        passed.extend(more);
    }
}

fn is_sure(procedure: &Procedure, earlier: &str, later: &str) -> bool {
    earlier != later && !played_without(procedure, &[earlier]).contains(later)
}

fn doing(procedure: &Procedure, act: Act) -> Vec<&Step> {
    procedure
        .steps
        .iter()
        .filter(|step| step.does_act(act) && !(act == Act::Isolate && step.optional))
        .collect()
}

/// The releasing step, where the chain of a sound battery holds up to it: each act by its own step,
/// each sure before the next; every isolating step before the lock, one of them before the look.
fn released_after_the_chain(procedure: &Procedure) -> Option<&str> {
    let isolates = doing(procedure, Act::Isolate);
    let locks = doing(procedure, Act::Lock);
    let mut before: Option<&Step> = None;
    for act in Act::CHAIN {
        if act == Act::Isolate {
            let block = before?;
            let all_fit = isolates.iter().all(|isolate| {
                is_sure(procedure, &block.id, &isolate.id)
                    && locks
                        .iter()
                        .any(|lock| is_sure(procedure, &isolate.id, &lock.id))
            });
            if isolates.is_empty() || !all_fit {
                return None;
            }
            continue;
        }
        let steps = doing(procedure, act);
        let [only] = steps.as_slice() else {
            return None;
        };
        let fits = match (act, before) {
            (_, None) => true,
            (Act::SeeBreak, Some(_)) => isolates
                .iter()
                .any(|isolate| is_sure(procedure, &isolate.id, &only.id)),
            (_, Some(earlier)) => is_sure(procedure, &earlier.id, &only.id),
        };
        if !fits {
            return None;
        }
        before = Some(only);
    }
    before.map(|release| release.id.as_str())
}

/// The path really goes from a start to its end along needs, and no step on it waits for the act.
fn assert_true_path(procedure: &Procedure, path: &[String], act: Act, by: Option<&str>) {
    let never: Vec<&str> = match by {
        Some(by) => vec![by],
        None => procedure
            .steps
            .iter()
            .filter(|step| step.does_act(act))
            .map(|step| step.id.as_str())
            .collect(),
    };
    let opens = played_without(procedure, &never);
    let needs = |id: &str| -> Vec<&str> {
        let step = procedure.steps.iter().find(|step| step.id == id).unwrap();
        step.needs.iter().flat_map(Need::ids).collect()
    };
    assert!(
        needs(&path[0]).is_empty(),
        "{path:?} does not begin at a start"
    );
    for pair in path.windows(2) {
        assert!(
            needs(&pair[1]).contains(&pair[0].as_str()),
            "{pair:?} is no edge"
        );
    }
    for id in path {
        assert!(
            opens.contains(id.as_str()),
            "{id} on {path:?} waits for {act:?}"
        );
    }
}

fn assert_escapes_are_true(procedure: &Procedure, escapes: &[Escape]) {
    for escape in escapes {
        match escape {
            Escape::Without {
                step,
                path,
                act,
                by,
            } => {
                assert_eq!(path.last(), Some(step));
                assert_true_path(procedure, path, *act, by.as_deref());
            }
            Escape::OutOfOrder {
                rests_on,
                act,
                path,
                without,
                ..
            } => {
                assert_eq!(path.last(), Some(rests_on));
                let first = procedure.step(&path[0]).unwrap();
                let may_come_first = |need: &Need| matches!(need, Need::IfPlanned(_));
                assert!(first.needs.iter().all(may_come_first), "{path:?}");
                assert!(procedure.step(rests_on).unwrap().does_act(*act));
                assert!(
                    path.iter()
                        .all(|id| !procedure.step(id).unwrap().does_act(*without))
                        || *without == Act::Isolate
                );
            }
            Escape::Circle(_) | Escape::Starts(_) | Escape::Lacks(_) | Escape::Flaw { .. } => {}
        }
    }
}

fn is_about_the_chain(escape: &Escape) -> bool {
    match escape {
        Escape::Without { act, .. } => Act::CHAIN.contains(act),
        Escape::OutOfOrder { .. } => true,
        Escape::Circle(_) | Escape::Starts(_) | Escape::Lacks(_) | Escape::Flaw { .. } => false,
    }
}

#[test]
fn the_graph_is_sure_of_what_the_oracle_is_sure_of() {
    for id in Procedure::shipped_ids() {
        let procedure = shipped(id);
        let graph = Graph::new(&procedure.steps).unwrap();
        for earlier in &procedure.steps {
            let opens = played_without(&procedure, &[earlier.id.as_str()]);
            for later in &procedure.steps {
                let sure = earlier.id != later.id && !opens.contains(later.id.as_str());
                assert_eq!(
                    graph.is_sure_before(&earlier.id, &later.id),
                    sure,
                    "{id}: {} before {}",
                    earlier.id,
                    later.id
                );
            }
        }
    }
}

#[test]
fn with_any_edge_removed_the_proof_says_what_the_oracle_says() {
    for id in SOUND {
        let whole = shipped(id);
        let mut broken = BTreeSet::new();
        let mut kept = 0;
        for (at, step) in whole.steps.iter().enumerate() {
            for (need_at, need) in step.needs.iter().enumerate() {
                let mut procedure = whole.clone();
                procedure.steps[at].needs.remove(need_at);
                let escapes = prove(&procedure).err().unwrap_or_default();
                assert_escapes_are_true(&procedure, &escapes);
                let named: BTreeSet<&str> = escapes
                    .iter()
                    .filter(|escape| is_about_the_chain(escape))
                    .filter_map(Escape::step)
                    .collect();
                let unreleased = released_after_the_chain(&procedure)
                    .map(|release| played_without(&procedure, &[release]));
                for touching in procedure.steps.iter().filter(|step| step.is_touching()) {
                    let escapes = unreleased
                        .as_ref()
                        .is_none_or(|open| open.contains(touching.id.as_str()));
                    assert_eq!(
                        named.contains(touching.id.as_str()),
                        escapes,
                        "{id} without {} <- {need}: {}",
                        step.id,
                        touching.id
                    );
                }
                if named.is_empty() {
                    kept += 1;
                } else {
                    broken.insert(format!("{}<-{need}", step.id));
                }
            }
        }
        // The spine of the chain, by name: not one of these edges may go.
        for edge in [
            "C11<-C09", "C12<-C11", "C13<-C12", "C15<-C13", "C16<-C15", "C17<-C16", "C18<-C17",
            "C19<-C18", "C20<-C19", "C21<-C20", "C22<-C21", "C24<-C22", "C25<-C24",
        ] {
            assert!(broken.contains(edge), "{id}: {edge} may go, says the proof");
        }
        assert!(kept > 20, "{id}: the proof refuses everything");
    }
}

#[test]
fn with_any_act_of_the_chain_removed_every_touching_step_is_named() {
    for id in SOUND {
        let whole = shipped(id);
        for act in Act::CHAIN {
            let mut procedure = whole.clone();
            for step in &mut procedure.steps {
                step.acts.retain(|done| *done != act);
            }
            let escapes = prove(&procedure).unwrap_err();
            assert_escapes_are_true(&procedure, &escapes);
            let named: BTreeSet<&str> = escapes
                .iter()
                .filter(|escape| matches!(escape, Escape::Without { act: missing, .. } if *missing == act))
                .filter_map(Escape::step)
                .collect();
            let touching: BTreeSet<&str> = procedure
                .steps
                .iter()
                .filter(|step| step.is_touching())
                .map(|step| step.id.as_str())
                .collect();
            assert_eq!(named, touching, "{id} without {act:?}");
        }
    }
}

#[test]
fn in_a_damaged_battery_each_act_of_its_own_chain_is_missed() {
    let whole = shipped("damaged-pack");
    for act in [
        Act::FindSources,
        Act::Isolate,
        Act::Lock,
        Act::WaitStoredEnergy,
        Act::ProveTesterBefore,
        Act::TestDead,
        Act::ProveTesterAfter,
        Act::CoverLive,
        Act::ReleaseWork,
        Act::CoverPoles,
        Act::PlaceContainer,
        Act::Withdraw,
        Act::Watch,
        Act::Return,
    ] {
        let mut procedure = whole.clone();
        for step in &mut procedure.steps {
            step.acts.retain(|done| *done != act);
        }
        let escapes = prove(&procedure).unwrap_err();
        assert!(
            escapes.iter().any(|escape| matches!(
                escape,
                Escape::Without { step, act: missing, .. } if step == "X15" && *missing == act
            )),
            "{act:?}"
        );
    }
}

#[test]
fn in_a_damaged_battery_each_edge_of_the_way_back_counts() {
    for (from, need, without) in [
        ("X06", "X05", "be allowed to return (X05)"),
        ("X08", "X06", "hold and watch (X06)"),
        ("X10", "X08", "be allowed to return (X08)"),
        ("X11", "X10", "name every source"),
        ("X12", "X11", "name every source"),
        ("X15", "X14", "put the container at the lift point"),
    ] {
        let mut procedure = shipped("damaged-pack");
        step(&mut procedure, from)
            .needs
            .retain(|known| known.to_string() != need);
        if from == "X10" {
            // X09 leads to X12 as well.
            step(&mut procedure, "X09").needs = vec![Need::Step("X04".into())];
        }
        let text: Vec<String> = prove(&procedure)
            .unwrap_err()
            .iter()
            .map(ToString::to_string)
            .collect();
        assert!(
            text.iter()
                .any(|line| line.contains(&format!("without: {without}"))),
            "{from} <- {need}:\n{}",
            text.join("\n")
        );
    }
}

#[test]
fn the_path_is_named_in_words() {
    let mut procedure = shipped("ac-coupled-stack");
    step(&mut procedure, "C22").needs = vec![Need::Step("C20".into())];
    let escapes = prove(&procedure).unwrap_err();
    let first = escapes
        .iter()
        .find(|escape| escape.step() == Some("A01"))
        .unwrap();
    assert_eq!(
        first.to_string(),
        "A01 can be reached by C01 -> C03 -> C05 -> C06 -> C09 -> C11 -> C12 -> A11 -> C15 -> C16 \
         -> C17 -> C18 -> C19 -> C20 -> C22 -> C24 -> C25 -> A12 -> A01 without: test for absence \
         of voltage"
    );
}

#[test]
fn an_order_turned_round_is_named() {
    let mut procedure = shipped("ac-coupled-stack");
    // Lock before anything is open.
    step(&mut procedure, "C17").needs = vec![Need::Step("C12".into())];
    step(&mut procedure, "C18").needs = vec![Need::Step("C17".into()), Need::Step("C16".into())];
    let escapes = prove(&procedure).unwrap_err();
    assert_eq!(
        escapes[0].to_string(),
        "A01 rests on C17 to lock and tag; C17 can be reached by C01 -> C03 -> C05 -> C06 -> C09 \
         -> C11 -> C12 -> C17 without: see the break"
    );
}

#[test]
fn one_of_two_ways_without_the_proof_is_an_escape() {
    // Presence is not enough: A01 after the release, or after the stop alone.
    let mut procedure = shipped("ac-coupled-stack");
    step(&mut procedure, "A12").needs = vec![Need::AnyOf(vec!["C25".into(), "C12".into()])];
    let escapes = prove(&procedure).unwrap_err();
    assert!(escapes.iter().any(|escape| escape.to_string()
        == "A01 can be reached by C01 -> C03 -> C05 -> C06 -> C09 -> C11 -> C12 -> A12 -> A01 \
            without: open the isolating devices"));
    // Nor is a need that the plan may leave out.
    let mut procedure = shipped("ac-coupled-stack");
    step(&mut procedure, "C18").needs =
        vec![Need::IfPlanned("C17".into()), Need::Step("C16".into())];
    assert!(prove(&procedure).is_err());
}

#[test]
fn acts_of_one_step_count_in_the_order_of_the_list() {
    let mut procedure = shipped("damaged-pack");
    step(&mut procedure, "X11").acts.swap(1, 2);
    let escapes = prove(&procedure).unwrap_err();
    assert!(!escapes.is_empty());
    let mut procedure = shipped("damaged-pack");
    step(&mut procedure, "X10").acts.reverse();
    assert!(prove(&procedure).is_err());
}

#[test]
fn a_lift_before_both_poles_are_covered_is_named() {
    let mut procedure = shipped("rack");
    step(&mut procedure, "M08").needs = vec![Need::Step("M06".into())];
    let escapes = prove(&procedure).unwrap_err();
    assert_eq!(escapes.len(), 1);
    let text = escapes[0].to_string();
    assert!(text.starts_with("M09 can be reached by C01 -> "), "{text}");
    assert!(
        text.ends_with("M06 -> M08 -> M09 without: cover both poles"),
        "{text}"
    );
}

#[test]
fn nothing_comes_between_the_test_and_the_proofs_of_the_tester() {
    let mut procedure = shipped("rack");
    step(&mut procedure, "C23").needs = vec![Need::Step("C21".into())];
    step(&mut procedure, "C22")
        .needs
        .push(Need::Step("C23".into()));
    step(&mut procedure, "C23").optional = false;
    step(&mut procedure, "C25")
        .needs
        .retain(|need| need.to_string() != "C23?");
    let escapes = prove(&procedure).unwrap_err();
    assert!(
        escapes.iter().any(
            |escape| escape.to_string() == "C21 is parted from the proofs of the tester by C23"
        )
    );
}

#[test]
fn a_bond_that_does_not_ask_for_a_battery_is_refused() {
    let mut procedure = shipped("rack");
    for spec in &mut step(&mut procedure, "C23").evidence {
        spec.columns.retain(|column| column.name != "has_battery");
    }
    let escapes = prove(&procedure).unwrap_err();
    assert_eq!(escapes.len(), 1);
    assert!(
        escapes[0]
            .to_string()
            .starts_with("C23 bonds a conductor and does not ask")
    );
    let mut procedure = shipped("rack");
    for spec in &mut step(&mut procedure, "C23").evidence {
        for column in &mut spec.columns {
            column.unknown = "taken as no".into();
        }
    }
    assert!(prove(&procedure).is_err());
}

#[test]
fn circles_second_starts_and_steps_that_never_open_are_named() {
    let mut procedure = shipped("rack");
    step(&mut procedure, "C19")
        .needs
        .push(Need::Step("C22".into()));
    let escapes = prove(&procedure).unwrap_err();
    let [Escape::Circle(Cycle(path))] = escapes.as_slice() else {
        panic!("{escapes:?}");
    };
    assert_eq!(path.first(), path.last());
    assert_eq!(path.join(" "), "C19 C20 C21 C22 C19");

    let mut procedure = shipped("rack");
    step(&mut procedure, "C04").needs.clear();
    assert_eq!(
        prove(&procedure).unwrap_err()[0].to_string(),
        "one step comes first, and here 2 have no needs: C01, C04"
    );

    for (from, need, wanted) in [
        (
            "C11",
            Need::Step("C10".into()),
            "C11 can never open where the plan leaves `C10` out; write `C10?`",
        ),
        (
            "R05",
            Need::Step("X05".into()),
            "R05 can never open on a quiet day: `X05` belongs to stop-work",
        ),
        (
            "R10",
            Need::Step("M12".into()),
            "R10 is done once and needs `M12`, which is done for each module; write `M12*`",
        ),
        (
            "M12",
            Need::Step("M10".into()),
            "M12 can never open for some modules: `M10` is not done for all of them",
        ),
        (
            "R09",
            Need::EveryModule("R08".into()),
            "R09 needs `R08` of every module, and it is done once",
        ),
        (
            "M12",
            Need::EveryModule("M09".into()),
            "M12 is done for one module and waits for all: `M09*`",
        ),
        (
            "R09",
            Need::Step("R99".into()),
            "R09 can never open: there is no step `R99`",
        ),
    ] {
        let mut procedure = shipped("rack");
        step(&mut procedure, from).needs.push(need);
        let text: Vec<String> = prove(&procedure)
            .unwrap_err()
            .iter()
            .map(ToString::to_string)
            .collect();
        assert_eq!(text, [wanted]);
    }
}

#[test]
fn an_act_that_is_only_ticked_is_not_proved() {
    let text = |procedure: &Procedure| -> Vec<String> {
        let escapes = prove(procedure).unwrap_err();
        escapes.iter().map(ToString::to_string).collect()
    };
    let mut procedure = shipped("rack");
    step(&mut procedure, "C21")
        .evidence
        .retain(|spec| spec.name != "readings");
    assert_eq!(
        text(&procedure),
        ["C21 is to test for absence of voltage and does not ask for `readings`"]
    );
    let mut procedure = shipped("rack");
    for spec in &mut step(&mut procedure, "C21").evidence {
        spec.unknown = "fine".into();
    }
    assert!(text(&procedure).contains(
        &"C21 is to test for absence of voltage and can pass without `readings`".to_owned()
    ));
    let mut procedure = shipped("rack");
    for spec in &mut step(&mut procedure, "C21").evidence {
        for column in &mut spec.columns {
            column.optional = column.name == "voltage_v";
        }
    }
    assert_eq!(
        text(&procedure),
        ["C21 is to test for absence of voltage and can pass without `readings.voltage_v`"]
    );
}

#[test]
fn the_proof_prints_what_was_proved() {
    let proof = prove(&shipped("dc-coupled-hybrid")).unwrap().to_string();
    let lines: Vec<&str> = proof.lines().collect();
    assert_eq!(
        lines,
        [
            "dc-coupled-hybrid: 75 steps, no circle, one start (C01), every step can open",
            "12 touching steps; before each it is sure, in this order:",
            "  B02 B04 B05 B06 B07 B08 M01 M04 M05 M07 M09 X15: name every source (C09), stop, \
             and prove that the current is gone (C11), block automatic and remote restart (C12), \
             open the isolating devices (C13 C14 C15), see the break (C16), lock and tag (C17), \
             try to start (C18), wait out stored energy (C19), prove the tester before (C20), \
             test for absence of voltage (C21), prove the tester after (C22), cover what stays \
             live (C24), release the work (C25)",
            "  M09 lifts only after M07 has covered both poles",
            "  X15 lifts only after M07 has covered both poles",
            "  C23 bonds only a conductor without a battery",
        ]
    );
}

#[test]
fn a_file_that_hides_what_it_does_is_not_proved() {
    let mut procedure = shipped("rack");
    for step in &mut procedure.steps {
        step.acts.retain(|act| !act.is_touching());
    }
    let text: Vec<String> = prove(&procedure)
        .unwrap_err()
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(
        text[0],
        "the procedure has no step with an act that parts, splits, opens, touches or lifts; a \
         removal does"
    );
    assert!(text.contains(
        &"R06 asks when a pole was opened and covered, and names no act that touches".to_owned()
    ));

    let mut procedure = shipped("rack");
    procedure
        .steps
        .retain(|step| step.branch != Branch::RedFlag);
    assert_eq!(
        prove(&procedure).unwrap_err()[0].to_string(),
        "the procedure has no step that stops work, leaves and calls (`withdraw`) and needs \
         nothing before"
    );
}
