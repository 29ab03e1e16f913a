//! A job begun after the manner of an earlier one: what is taken over, what is left open, what is
//! refused.

use packdown::job::Plan;

use crate::program::{Bench, Ran};

fn new(bench: &Bench, more: &[&str]) -> Ran {
    let mut arguments = vec![
        "new",
        "next",
        "--like",
        "job",
        "--name",
        "HL-8",
        "--on",
        "2027-06-15",
        "--site",
        "House at Harbour Lane 8",
        "--address",
        "Harbour Lane 8",
        "--country",
        "NO",
        "--battery",
        "the one under the stairs",
    ];
    arguments.extend(more);
    bench.run(&arguments)
}

#[test]
fn what_the_firm_brings_stays_and_what_is_the_sites_is_left_open() {
    let bench = Bench::with_lawful_job();
    let serials = "(01)09521234543213(21)NEW-1\n\nNEW-3\nNEW-4\n";
    bench.write("serials.txt", serials);
    let ran = new(&bench, &["--serials", "serials.txt"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let earlier = Plan::read(&bench.read("job/job.json")).unwrap();
    let plan = Plan::read(&bench.read("next/job.json")).unwrap();
    assert_eq!(plan.job, "HL-8");
    assert!(!plan.demo);
    assert_eq!(plan.people, earlier.people);
    assert_eq!(plan.instruments, earlier.instruments);
    assert_eq!(plan.installation.sources, earlier.installation.sources);
    assert_eq!(plan.installation.stored_energy_label_s, None);
    let named: Vec<_> = plan.modules.iter().map(|m| m.serial.as_deref()).collect();
    assert_eq!(named, [Some("NEW-1"), None, Some("NEW-3"), Some("NEW-4")]);
    for module in &plan.modules {
        assert_eq!(module.net_mass_kg, earlier.modules[0].net_mass_kg);
        assert_eq!(module.made_on, None);
        assert_eq!(module.recalled_for_safety, None);
    }
    assert!(plan.route.iter().all(|leg| leg.on.is_none()));
    assert!(ran.out.contains("serial of "), "{}", ran.out);
    // Nora's competence ends on 2027-05-31, a fortnight before the visit.
    assert!(
        ran.out.contains("ends on 2027-05-31, before the visit"),
        "{}",
        ran.out
    );
    assert_eq!(
        ran.out.contains("the earlier job is invented"),
        earlier.demo
    );
    // It is a plan that the next command takes.
    let planned = bench.run(&["plan", "next"]);
    assert!(planned.code <= 1, "{}{}", planned.out, planned.err);
}

#[test]
fn another_number_of_modules_wants_the_highest_voltage() {
    let bench = Bench::with_lawful_job();
    let ran = new(&bench, &["--modules", "6"]);
    assert_eq!(ran.code, 4, "{}", ran.out);
    assert!(ran.err.contains("--max-voltage"), "{}", ran.err);
    assert!(!bench.path("next/job.json").exists());
    let ran = new(&bench, &["--modules", "6", "--max-voltage", "87.6"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let plan = Plan::read(&bench.read("next/job.json")).unwrap();
    assert_eq!(plan.modules.len(), 6);
    assert_eq!(plan.installation.max_voltage_v.to_string(), "87.6 V");
    assert_eq!(plan.installation.nominal_voltage_v, None);
    let pack = plan.installation.sources.iter().find(|s| s.id == "stack");
    assert_eq!(
        pack.unwrap().nominal_voltage_v,
        plan.installation.max_voltage_v
    );
}

#[test]
fn a_folder_with_a_job_is_left_as_it_is() {
    let bench = Bench::with_lawful_job();
    assert_eq!(new(&bench, &["--modules", "4"]).code, 0);
    let before = bench.read("next/job.json");
    let ran = new(&bench, &["--modules", "4", "--max-voltage", "60"]);
    assert_eq!(ran.code, 4, "{}{}", ran.out, ran.err);
    assert!(ran.err.contains("a job was begun there"), "{}", ran.err);
    assert_eq!(bench.read("next/job.json"), before);
    // The same serial twice is no plan.
    bench.write("twice.txt", "A\nA\nB\nC\n");
    let mut arguments = vec!["new", "third", "--like", "job", "--name", "HL-9"];
    arguments.extend([
        "--on",
        "2027-01-04",
        "--site",
        "s",
        "--address",
        "a",
        "--country",
        "NO",
    ]);
    arguments.extend(["--battery", "b", "--serials", "twice.txt"]);
    let ran = bench.run(&arguments);
    assert_eq!(ran.code, 4, "{}", ran.out);
    assert!(ran.err.contains("modules.serial"), "{}", ran.err);
    assert!(!bench.path("third/job.json").exists());
}
