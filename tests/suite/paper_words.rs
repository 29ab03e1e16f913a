//! The wording of papers: sentences stand in the tables of words and nowhere else, every place in
//! them is filled, and the receipt of a load says what the register says.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::tidy::walk;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Files of `src/papers/` whose sentences are no words of a printed paper.
const NOT_PAPERS: [(&str, &str); 21] = [
    ("words/", "the tables themselves"),
    ("pdf/", "the form of a PDF"),
    ("cell.rs", "signs of cells, one by one"),
    ("answers.rs", "answers at a terminal"),
    ("route_words.rs", "answers at a terminal"),
    ("summary.rs", "answers at a terminal"),
    (
        "rule_book.rs",
        "the rule book, in the language of the rules",
    ),
    (
        "rule_card.rs",
        "the rule book, in the language of the rules",
    ),
    (
        "audit_report.rs",
        "the audit's page, in the language of its checks",
    ),
    ("column.rs", "grammar of a table's cells, for programs"),
    ("tabular.rs", "descriptions of tables, for programs"),
    ("charge.rs", "descriptions of columns"),
    ("described.rs", "descriptions of columns"),
    ("custody", "the custody table, which is data"),
    ("manifest_table.rs", "descriptions of columns"),
    ("sheets.rs", "descriptions of columns"),
    ("materials/render.rs", "descriptions of columns"),
    ("spreadsheet.rs", "the sheet that explains a workbook"),
    ("epcis", "words of the vocabulary"),
    ("error.rs", "messages to a person at a terminal"),
    ("transport/declarations.rs", "the words of the law"),
];

/// Words of the law, and values of a table that stand on paper as they are.
const KNOWN: [&str; 2] = ["Cargo aircraft only", "energy and mass"];

/// What stands before a literal that is part of a refusal or of an error, not of a paper.
const NO_PAPER: [&str; 10] = [
    "Reason::new(",
    ".limit(",
    ".clause(",
    ".way_out(",
    "self.lack(",
    "template::html(",
    "clause_of(",
    "=> format!(\"IMDG",
    "Json {",
    // What a sum too large is of, in an error.
    "sum(",
];

/// The string literals of a source with the text before each.
fn literals(source: &str) -> Vec<(String, String)> {
    let code: String = source
        .split("#[cfg(test)]")
        .next()
        .unwrap()
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .map(|line| format!("{line}\n"))
        .collect();
    let mut found = Vec::new();
    let mut chars = code.char_indices();
    while let Some((start, c)) = chars.next() {
        if c == '\'' {
            // A quotation mark as a character is no literal.
            if code
                .get(start..)
                .is_some_and(|rest| rest.starts_with("'\"'"))
            {
                chars.nth(1);
            }
            continue;
        }
        if c != '"' {
            continue;
        }
        let mut text = String::new();
        while let Some((_, c)) = chars.next() {
            match c {
                '"' => break,
                '\\' => {
                    chars.next();
                    text.push(' ');
                }
                _ => text.push(c),
            }
        }
        let from = (0..=start.saturating_sub(400))
            .rev()
            .find(|at| code.is_char_boundary(*at))
            .unwrap_or(0);
        let before = code.get(from..start).unwrap();
        let before = before.rsplit([';']).next().unwrap();
        found.push((text, before.to_owned()));
    }
    found
}

/// Whether two words of letters follow each other, the second without a capital: a sentence, not a
/// name, a key or a mark.
fn is_sentence(text: &str) -> bool {
    let mut plain = String::new();
    let mut depth = 0;
    for c in text.chars() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            _ if depth == 0 => plain.push(c),
            _ => {}
        }
    }
    let words: Vec<&str> = plain.split_whitespace().collect();
    words.windows(2).any(|pair| {
        let letters = |word: &str| word.len() > 1 && word.chars().all(char::is_alphabetic);
        letters(pair[0].trim_end_matches([',', ';', ':']))
            && letters(pair[1].trim_end_matches([',', ';', ':', '.']))
            && pair[1].starts_with(char::is_lowercase)
    })
}

#[test]
fn sentences_of_papers_stand_in_the_tables_of_words() {
    let papers = root().join("src/papers");
    let mut files = Vec::new();
    walk(&papers, &mut files);
    let mut strays = Vec::new();
    for file in files {
        let name = file
            .strip_prefix(&papers)
            .unwrap()
            .to_string_lossy()
            .replace('\\', "/");
        if NOT_PAPERS.iter().any(|(known, _)| name.starts_with(known)) {
            continue;
        }
        for (text, before) in literals(&fs::read_to_string(&file).unwrap()) {
            let known = KNOWN.contains(&text.as_str());
            if !known && is_sentence(&text) && !NO_PAPER.iter().any(|mark| before.contains(mark)) {
                strays.push(format!("{name}: {text}"));
            }
        }
    }
    assert!(
        strays.is_empty(),
        "move these into src/papers/words/:\n{}",
        strays.join("\n")
    );
}

#[test]
fn the_search_for_sentences_finds_them() {
    let source = "fn a() { b(\"Keep them upright.\", c(\"un_3480\")); Reason::new(\"no such thing\", \"x\") }";
    let found: Vec<String> = literals(source)
        .into_iter()
        .filter(|(text, before)| {
            is_sentence(text) && !NO_PAPER.iter().any(|mark| before.contains(mark))
        })
        .map(|(text, _)| text)
        .collect();
    assert_eq!(found, ["Keep them upright."]);
}

fn packdown(arguments: &[&str], folder: &Path) -> (String, Option<i32>) {
    let out = Command::new(env!("CARGO_BIN_EXE_packdown"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap();
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    (
        text + &String::from_utf8_lossy(&out.stderr),
        out.status.code(),
    )
}

/// The words of every page of every sample job, and of the method statement.
#[test]
fn every_place_in_a_sentence_is_filled() {
    let temporary = tempfile::tempdir().unwrap();
    let mut pages = 0;
    for job in fs::read_dir(root().join("sample-jobs")).unwrap() {
        let job = job.unwrap().path();
        if !job.join("record.jsonl").exists() {
            continue;
        }
        let name = job.file_name().unwrap().to_string_lossy().into_owned();
        let path = job.to_string_lossy().into_owned();
        packdown(
            &["run", &path, "--out", &name, "--draft", "--papers", "all"],
            temporary.path(),
        );
        let mut files = Vec::new();
        walk(&temporary.path().join(&name), &mut files);
        for file in files
            .iter()
            .filter(|file| file.extension().is_some_and(|e| e == "html"))
        {
            pages += 1;
            let text = fs::read_to_string(file).unwrap();
            // The style sheet has braces of its own.
            let body = text.split("<body>").nth(1).unwrap();
            let place = body
                .split(['{', '}'])
                .next()
                .filter(|before| before.len() < body.len());
            assert!(place.is_none(), "{}: behind {place:?}", file.display());
        }
    }
    assert!(pages > 50, "{pages} pages");
}

/// Templates of papers lay out what they are given: no word of their own stands between the places.
#[test]
fn templates_of_papers_have_no_words_of_their_own() {
    let mut seen = 0;
    for file in fs::read_dir(root().join("templates/papers")).unwrap() {
        let file = file.unwrap().path();
        let name = file.file_name().unwrap().to_string_lossy().into_owned();
        // In the language of the checks and of the rules.
        if ["audit.html", "inspector.html", "rulebook.html"].contains(&name.as_str()) {
            continue;
        }
        seen += 1;
        let text = fs::read_to_string(&file).unwrap();
        let (_, body) = text.split_once("<body>").unwrap();
        let mut words = String::new();
        let mut rest = body;
        // What stands outside of marks, places and statements.
        while let Some(at) = rest.find(['<', '{']) {
            let (plain, behind) = rest.split_at(at);
            words.push_str(plain);
            let end = match behind.get(..2).unwrap_or(behind) {
                "{{" => "}}",
                "{%" => "%}",
                "{#" => "#}",
                _ => ">",
            };
            let (_, after) = behind.split_once(end).unwrap();
            words.push(' ');
            rest = after;
        }
        words.push_str(rest);
        let strays: Vec<&str> = words
            .split_whitespace()
            .filter(|word| !word.starts_with('&') && !["kWh", "kg"].contains(word))
            .filter(|word| word.chars().any(char::is_alphabetic))
            .collect();
        assert!(strays.is_empty(), "{name}: {strays:?}");
    }
    assert!(seen >= 9, "{seen} templates");
}

/// A German issue: its own words are German, the sentences of rules say that they are not, and the
/// tables are those of the English issue.
#[test]
fn papers_in_german_say_what_is_not() {
    let temporary = tempfile::tempdir().unwrap();
    let at = temporary.path();
    let job = root().join("sample-jobs/mill-street-swollen");
    let job = job.to_string_lossy().into_owned();
    let (said, code) = packdown(&["run", &job, "--out", "job"], at);
    assert_eq!(code, Some(0), "{said}");
    let (said, code) = packdown(&["issue", "job", "--language", "de", "--out", "de"], at);
    assert_eq!(code, Some(0), "{said}");
    let (said, code) = packdown(&["issue", "job", "--out", "en"], at);
    assert_eq!(code, Some(0), "{said}");
    let read = |name: &str| fs::read_to_string(at.join(name)).unwrap();
    for (page, wanted) in [
        ("manifest", "Packliste"),
        ("manifest", "erlaubt mit Auflagen"),
        ("manifest", "beschädigt"),
        ("transport-1", "Beförderungspapier"),
        ("transport-1", "Kisten aus Sperrholz (4D)"),
        ("cautions", "Plomben vergleichen"),
        ("cautions", "BESCHÄDIGT"),
        ("inspection", "Ladezustand"),
        ("package", "Bruttomasse"),
        ("inspection", "F10 aufgeblähte Zelle"),
        ("method", "Elektrofachkraft"),
        ("method", "Spannungsprüfer"),
        ("materials", "Stoffe für das Recycling"),
        ("materials", "Graphit"),
        ("materials", "Rückgewinnung von Lithium"),
        ("transport-1", "UN-Verpackung"),
    ] {
        let text = read(&format!("de/{page}.html"));
        assert!(text.contains(wanted), "{page}: {wanted}");
        assert!(text.contains("lang=\"de\""), "{page}");
    }
    for page in [
        "transport-1",
        "cautions",
        "inspection",
        "method",
        "materials",
    ] {
        let text = read(&format!("de/{page}.html"));
        assert!(
            text.contains("stehen in deren Sprache (Englisch)"),
            "{page}"
        );
    }
    // What the law words is never put into other words here.
    assert!(read("de/manifest.html").contains("LITHIUM BATTERIES FOR RECYCLING"));
    for table in ["manifest.csv", "sheets.csv", "materials.csv"] {
        assert_eq!(
            read(&format!("de/{table}")),
            read(&format!("en/{table}")),
            "{table}"
        );
    }
    let (said, code) = packdown(&["issue", "job", "--language", "xx"], at);
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("en") && said.contains("de"), "{said}");
}

/// Sentences and words of two or more of the English table, without those that have places.
fn english_sentences() -> Vec<String> {
    let table = fs::read_to_string(root().join("src/papers/words/en.rs")).unwrap();
    let table = table.replace("\\\n", "");
    literals(&table)
        .into_iter()
        .map(|(text, _)| text.split_whitespace().collect::<Vec<_>>().join(" "))
        .filter(|text| text.contains(' ') && !text.contains('{') && text.len() > 8)
        .collect()
}

/// No sentence of the English table stands on a page of another language of any sample job: what is
/// English there comes from rules, procedures and records.
#[test]
fn pages_of_other_languages_have_no_english_of_the_table() {
    // Rules, procedures and records say some of the same words, and stay as they are.
    let mut files = Vec::new();
    for folder in [
        "templates/procedures",
        "src/transport",
        "src/reference",
        "sample-jobs",
    ] {
        walk(&root().join(folder), &mut files);
    }
    let is_source = |file: &&PathBuf| !file.to_string_lossy().contains("expected");
    let kept: String = files
        .iter()
        .filter(is_source)
        .filter_map(|file| fs::read_to_string(file).ok())
        .collect();
    let mut english = english_sentences();
    english.retain(|sentence| !kept.contains(sentence.as_str()));
    assert!(english.len() > 150, "{}", english.len());
    let temporary = tempfile::tempdir().unwrap();
    let at = temporary.path();
    let mut strays = Vec::new();
    let mut pages = 0;
    for job in fs::read_dir(root().join("sample-jobs")).unwrap() {
        let job = job.unwrap().path();
        let name = job.file_name().unwrap().to_string_lossy().into_owned();
        let path = job.to_string_lossy().into_owned();
        packdown(&["run", &path, "--out", &name], at);
        for language in ["de", "es", "fr"] {
            let into = format!("{name}-{language}");
            let issue = ["issue", &name, "--draft", "--language", language];
            let (said, _) = packdown(&[&issue[..], &["--out", &into]].concat(), at);
            let mut files = Vec::new();
            walk(&at.join(&into), &mut files);
            assert!(!files.is_empty(), "{name}: {said}");
            let is_page = |file: &&PathBuf| file.extension().is_some_and(|e| e == "html");
            for file in files.iter().filter(is_page) {
                pages += 1;
                let text = fs::read_to_string(file).unwrap();
                let page = file.file_name().unwrap().to_string_lossy().into_owned();
                let said = format!("lang=\"{language}\"");
                assert!(text.contains(&said), "{name} {page}");
                let body = text.split("<body>").nth(1).unwrap();
                for sentence in &english {
                    if body.contains(sentence.as_str()) {
                        strays.push(format!("{language} {name} {page}: {sentence}"));
                    }
                }
            }
        }
    }
    assert!(pages > 150, "{pages} pages");
    assert!(strays.is_empty(), "{}", strays.join("\n"));
}
