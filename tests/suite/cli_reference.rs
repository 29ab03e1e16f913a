//! `docs/cli.md` is the help of every command; it is regenerated here and must equal what is
//! committed. `PACKDOWN_BLESS=1` writes it anew.

use std::fs;
use std::path::PathBuf;

use clap::CommandFactory;

fn page() -> String {
    let mut page = String::from(
        "# Command line\n\nMade from the program's own help by `tests/suite/cli_reference.rs`; do \
         not edit.\n",
    );
    let mut command = packdown::cli::Cli::command().term_width(100);
    command.build();
    section(&mut command, "packdown", &mut page);
    page
}

fn section(command: &mut clap::Command, name: &str, page: &mut String) {
    let help = command.render_long_help().to_string();
    let help: Vec<&str> = help.lines().map(str::trim_end).collect();
    page.push_str(&format!(
        "\n## {name}\n\n```text\n{}\n```\n",
        help.join("\n").trim_end()
    ));
    for sub in command.get_subcommands_mut() {
        if sub.get_name() != "help" {
            let full = format!("{name} {}", sub.get_name());
            section(sub, &full, page);
        }
    }
}

#[test]
fn the_reference_is_the_help() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("docs/cli.md");
    let page = page();
    if std::env::var_os("PACKDOWN_BLESS").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, &page).unwrap();
    }
    let committed = fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(
        committed, page,
        "run the tests with PACKDOWN_BLESS=1 to write it anew"
    );
}

#[test]
fn every_command_has_its_line_in_the_readme() {
    let readme =
        fs::read_to_string(PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    for sub in packdown::cli::Cli::command().get_subcommands() {
        let name = sub.get_name();
        assert!(
            readme.contains(&format!("packdown {name}")),
            "README does not mention `{name}`"
        );
    }
}
