//! The order of the shipped procedures against what published rules order, one test a rule.
//!
//! How each rule is known stands beside it; none of the full standards could be read.

use packdown::citation::Known;
use packdown::procedure::{Act, Graph, Procedure, Role};

fn sound() -> Vec<(Procedure, Graph)> {
    ["ac-coupled-stack", "dc-coupled-hybrid", "rack"]
        .into_iter()
        .map(|id| {
            let procedure = Procedure::shipped(id).unwrap().unwrap();
            let graph = Graph::new(&procedure.steps).unwrap();
            (procedure, graph)
        })
        .collect()
}

/// The steps that do `act` and that no plan may leave out.
fn doing(procedure: &Procedure, act: Act) -> Vec<String> {
    let steps: Vec<String> = procedure
        .steps
        .iter()
        .filter(|step| step.does_act(act) && !step.optional)
        .map(|step| step.id.clone())
        .collect();
    assert!(!steps.is_empty(), "{}: nobody does {act:?}", procedure.id);
    steps
}

/// Every step that does the earlier act is sure to come before every step that does the later.
fn assert_order(order: &[Act]) {
    for (procedure, graph) in sound() {
        for pair in order.windows(2) {
            for earlier in doing(&procedure, pair[0]) {
                for later in doing(&procedure, pair[1]) {
                    assert!(
                        graph.is_sure_before(&earlier, &later),
                        "{}: {earlier} is not sure before {later}",
                        procedure.id
                    );
                }
            }
        }
    }
}

/// 29 CFR 1910.333(b)(2)(ii), (iii), (iv), through WAC 296-307-37807, -37811, -37813 (read): safe
/// way decided, all sources disconnected, locked and tagged, then tried and tested. Point (iv)(A)
/// from memory.
#[test]
fn osha_1910_333_b_2_decide_disconnect_lock_try_test() {
    assert_order(&[
        Act::FindSources,
        Act::Isolate,
        Act::Lock,
        Act::TryStart,
        Act::TestDead,
    ]);
}

/// 29 CFR 1910.333(b)(2)(iv)(B) (second-hand): by a qualified person; above 600 V the tester is
/// checked just before and just after. Here it always is.
#[test]
fn osha_1910_333_b_2_iv_b_a_qualified_person_tests_and_the_tester_is_proved_twice() {
    assert_order(&[Act::ProveTesterBefore, Act::TestDead, Act::ProveTesterAfter]);
    for (procedure, _) in sound() {
        for step in &procedure.steps {
            let proves = [Act::ProveTesterBefore, Act::TestDead, Act::ProveTesterAfter]
                .into_iter()
                .any(|act| step.does_act(act));
            if proves {
                assert_eq!(step.role, [Role::QualifiedElectricalWorker], "{}", step.id);
            }
        }
    }
}

/// 29 CFR 1910.333(b)(2)(ii)(C) (through WAC, read): stored energy is out before the test says dead.
/// And (ii)(B): a control device is never the sole means; isolating devices are opened after the
/// stop command.
#[test]
fn osha_1910_333_b_2_ii_stop_is_not_isolation_and_stored_energy_comes_out_before_the_test() {
    assert_order(&[
        Act::StopCurrent,
        Act::Isolate,
        Act::WaitStoredEnergy,
        Act::TestDead,
    ]);
}

/// 29 CFR 1910.333(b)(2)(v), through WAC 296-307-37817 (read): gear out, people warned, own lock off.
#[test]
fn osha_1910_333_b_2_v_gear_out_people_warned_then_locks_off() {
    for (procedure, graph) in sound() {
        let step = procedure.step("Z03").unwrap();
        let names: Vec<&str> = step
            .evidence
            .iter()
            .map(|spec| spec.name.as_str())
            .collect();
        assert_eq!(names, ["bonds_out", "bonds_in", "people_warned", "locks"]);
        assert!(step.does_act(Act::RemoveLocks));
        // Nothing live is left loose before a lock comes off, and nothing is restored before.
        assert!(graph.is_sure_before("Z01", "Z03"));
        assert!(graph.is_sure_before("Z03", "Z04"));
    }
}

/// 29 CFR 1910.147(d)(1) to (6) (read): know, stop, isolate, lock, stored energy, verify.
#[test]
fn osha_1910_147_d_know_stop_isolate_lock_relieve_verify() {
    assert_order(&[
        Act::FindSources,
        Act::StopCurrent,
        Act::Isolate,
        Act::Lock,
        Act::WaitStoredEnergy,
        Act::TestDead,
    ]);
}

/// NFPA 70E-2018 120.5, steps 1, 2, 3, 6 and 7 (read in a trade article): find, load off and
/// disconnect, look where possible, lock, live-dead-live.
#[test]
fn nfpa_70e_2018_120_5_find_disconnect_look_lock_test() {
    assert_order(&[Act::FindSources, Act::StopCurrent, Act::SeeBreak, Act::Lock]);
    assert_order(&[
        Act::Lock,
        Act::ProveTesterBefore,
        Act::TestDead,
        Act::ProveTesterAfter,
    ]);
}

/// NFPA 70E-2018 120.5, step 8 (read in a trade article): earth where needed, after the test.
#[test]
fn nfpa_70e_2018_120_5_8_bonds_after_the_test() {
    for (_, graph) in sound() {
        assert!(graph.is_sure_before("C22", "C23"));
    }
}

/// EN 50110-1, the five rules in their order (read in a maker's guide to them): disconnect, secure,
/// verify dead, earth and short, guard against live parts nearby; then the release.
#[test]
fn en_50110_1_the_five_rules_in_their_order() {
    assert_order(&[
        Act::Isolate,
        Act::Lock,
        Act::TestDead,
        Act::CoverLive,
        Act::ReleaseWork,
    ]);
    for (procedure, graph) in sound() {
        let bond = procedure.step("C23").unwrap();
        assert!(graph.is_sure_before("C21", "C23"));
        // Where it is planned, the release waits for it.
        assert!(
            procedure
                .step("C25")
                .unwrap()
                .needs
                .iter()
                .any(|need| need.to_string() == "C23?")
        );
        assert!(bond.does.contains("Earth first, then short"));
    }
}

/// Conflict: 29 CFR 1910.147(d)(5) relieves stored energy after the locks, NFPA 70E-2018 120.5
/// steps 4 and 5 before them. The wait may run from the last opening and passes only after lock
/// and try, so both orders are met.
#[test]
fn conflict_of_orders_stored_energy_passes_only_after_lock_and_try() {
    assert_order(&[
        Act::Isolate,
        Act::Lock,
        Act::TryStart,
        Act::WaitStoredEnergy,
    ]);
    for (procedure, _) in sound() {
        // The start of the wait is asked for by itself: it may lie before the lock.
        assert!(procedure.step("C19").unwrap().spec("started_at").is_some());
    }
}

/// Conflict: EN 50110-1 rule 4 earths and shorts; a battery cannot be made dead (comment to NFPA
/// 70E Article 320, 2021, abstract read). Bonding takes no conductor with a battery.
#[test]
fn conflict_of_earthing_and_batteries_no_bond_where_a_battery_is() {
    for (procedure, _) in sound() {
        for step in procedure
            .steps
            .iter()
            .filter(|step| step.does_act(Act::Bond))
        {
            let nodes = step.spec("nodes").unwrap();
            let column = nodes
                .columns
                .iter()
                .find(|column| column.name == "has_battery")
                .unwrap();
            assert_eq!(column.limits[0].is.as_deref(), Some("no"));
            assert!(column.unknown.is_empty(), "not knowing is not no");
        }
    }
}

/// NEC 2020 480.7(C) (read): groups of at most 240 V dc; and the published gas and hold figures.
#[test]
fn published_limits_stand_in_the_settings_as_read() {
    let settings = packdown::procedure::Settings::shipped().unwrap();
    for (name, value) in [
        ("group_limit_v", "240"),
        ("carbon_monoxide_ppm", "35"),
        ("live_v", "50"),
        ("fence_distance_m", "1.07"),
        ("hold_hours", "72"),
    ] {
        assert_eq!(
            settings.get(name).unwrap().value.to_string(),
            value,
            "{name}"
        );
    }
}

/// No limit of a setting is shown as law, unless the setting's own source says where it is read.
#[test]
fn a_limit_from_the_settings_says_that_it_is_the_projects_own_or_names_its_source() {
    let settings = packdown::procedure::Settings::shipped().unwrap();
    for id in Procedure::shipped_ids() {
        let procedure = Procedure::shipped(id).unwrap().unwrap();
        for step in &procedure.steps {
            let all = step
                .evidence
                .iter()
                .flat_map(|spec| std::iter::once(spec).chain(&spec.columns));
            for spec in all {
                for limit in &spec.limits {
                    let setting = limit
                        .at_most_setting
                        .as_ref()
                        .or(limit.at_least_setting.as_ref())
                        .or(limit.magnitude_at_most_setting.as_ref())
                        .or(limit.above.as_ref().map(|above| &above.setting));
                    let Some(setting) = setting else { continue };
                    let own = matches!(
                        limit.known,
                        Some(Known::ProjectDefault | Known::CommonPractice)
                    );
                    let has_source = !settings.get(setting).unwrap().source.is_empty();
                    assert!(own || has_source, "{id} {} {}", step.id, spec.name);
                }
            }
        }
    }
}
