//! A bug of the program ends it with a message and exit code 70, from any thread.

use std::process::Command;

/// Set in the process that this test starts of itself.
const CHILD: &str = "PACKDOWN_TEST_RUNS_INTO_A_BUG";

#[test]
fn a_bug_says_so_and_leaves_with_70() {
    if std::env::var_os(CHILD).is_some() {
        packdown::cli::end_on_a_bug();
        let ended = std::thread::spawn(|| panic!("seven is not eight")).join();
        unreachable!("the thread should have ended the process: {ended:?}");
    }
    let ran = Command::new(std::env::current_exe().unwrap())
        .args([
            "--exact",
            "bug::a_bug_says_so_and_leaves_with_70",
            "--nocapture",
        ])
        .env(CHILD, "yes")
        .output()
        .unwrap();
    let said = String::from_utf8(ran.stderr).unwrap();
    assert_eq!(ran.status.code(), Some(70), "{said}");
    for words in [
        "a bug of the program",
        "seven is not eight",
        "what was written before is whole",
        "do now:",
    ] {
        assert!(said.contains(words), "no `{words}` in:\n{said}");
    }
}
