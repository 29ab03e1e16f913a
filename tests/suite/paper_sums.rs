//! The masses of one job are the same on every paper: manifest, transport document of each leg, labels
//! of the packages, custody table, sheets, materials. Summed here from the rows, not by the program.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

type Row = BTreeMap<String, String>;

fn rows(file: &Path) -> Vec<Row> {
    let mut table = csv::Reader::from_path(file).unwrap();
    table.deserialize().map(|row| row.unwrap()).collect()
}

/// Grams of a figure in kilograms; `None` where the cell is empty.
fn grams(kilograms: &str) -> Option<i64> {
    if kilograms.is_empty() {
        return None;
    }
    let (whole, part) = kilograms.split_once('.').unwrap_or((kilograms, ""));
    assert!(part.len() <= 3, "{kilograms}");
    let whole: i64 = whole.parse().unwrap();
    let part: i64 = format!("{part:0<3}").parse().unwrap();
    Some(whole * 1_000 + part)
}

/// The mass behind `title` in a text, `net mass 198 kg`.
fn behind(text: &str, title: &str) -> Option<i64> {
    let (_, rest) = text.split_once(title)?;
    let end = rest.find(|c: char| !c.is_ascii_digit() && c != '.')?;
    grams(rest.get(..end)?)
}

/// The texts of a page without its marks, one a line.
fn texts(html: &str) -> Vec<String> {
    let body = html.split("<body>").nth(1).unwrap();
    body.split('<')
        .filter_map(|piece| Some(piece.split_once('>')?.1.trim().replace('\u{a0}', " ")))
        .filter(|text| !text.is_empty())
        .collect()
}

struct Job {
    name: String,
    folder: PathBuf,
    /// Net mass by serial, from the manifest's table.
    net: BTreeMap<String, Option<i64>>,
    /// Gross mass by package, and the serials in it.
    packages: BTreeMap<String, (Option<i64>, Vec<String>)>,
}

impl Job {
    fn net_of(&self, serials: &[String]) -> Option<i64> {
        let known = serials.iter().map(|serial| self.net[serial]);
        known.sum()
    }

    fn page(&self, name: &str) -> Option<Vec<String>> {
        let text = fs::read_to_string(self.folder.join("papers/issue-1").join(name)).ok()?;
        Some(texts(&text))
    }
}

fn jobs(into: &Path) -> Vec<Job> {
    let mut jobs = Vec::new();
    for sample in fs::read_dir(root().join("sample-jobs")).unwrap() {
        let sample = sample.unwrap().path();
        let name = sample.file_name().unwrap().to_string_lossy().into_owned();
        let folder = into.join(&name);
        Command::new(env!("CARGO_BIN_EXE_packdown"))
            .arg("run")
            .arg(&sample)
            .arg("--out")
            .arg(&folder)
            .args(["--draft", "--papers", "all"])
            .output()
            .unwrap();
        let mut net = BTreeMap::new();
        let mut packages: BTreeMap<String, (Option<i64>, Vec<String>)> = BTreeMap::new();
        for row in rows(&folder.join("manifest.csv")) {
            if row["module_is"] != "removed" {
                continue;
            }
            net.insert(row["serial"].clone(), grams(&row["net_mass_kg"]));
            let package = packages.entry(row["package_id"].clone()).or_default();
            package.0 = grams(&row["package_gross_mass_kg"]);
            package.1.push(row["serial"].clone());
        }
        jobs.push(Job {
            name,
            folder,
            net,
            packages,
        });
    }
    jobs
}

#[test]
fn every_paper_of_a_job_has_the_same_masses() {
    let temporary = tempfile::tempdir().unwrap();
    let jobs = jobs(temporary.path());
    let (mut documents, mut labels, mut events, mut totals) = (0, 0, 0, 0);
    for job in &jobs {
        let name = &job.name;
        let all: Vec<String> = job.net.keys().cloned().collect();
        let net = job.net_of(&all);
        let gross: Option<i64> = job.packages.values().map(|(gross, _)| *gross).sum();
        let manifest = job.page("manifest.html").unwrap().join(" ");
        if !all.is_empty() {
            totals += 1;
            let (_, total) = manifest.split_once("Total").unwrap();
            if let (Some(net), Some(gross)) = (net, gross) {
                assert_eq!(behind(total, "net "), Some(net), "{name}: {total}");
                assert_eq!(behind(total, "gross "), Some(gross), "{name}: {total}");
            }
        }
        // All modules of a sample travel on every leg.
        for leg in 1..4 {
            let Some(texts) = job.page(&format!("transport-{leg}.html")) else {
                continue;
            };
            documents += 1;
            let total = texts
                .iter()
                .find(|text| text.starts_with("Total: "))
                .unwrap();
            assert_eq!(
                behind(total, ", net mass "),
                net,
                "{name} leg {leg}: {total}"
            );
            assert_eq!(
                behind(total, ", gross mass "),
                gross,
                "{name} leg {leg}: {total}"
            );
            for (package, (gross, serials)) in &job.packages {
                let at = texts.iter().position(|text| text == package).unwrap();
                let row = texts[at..].join(" ");
                let masses: Vec<i64> = row
                    .split(" kg")
                    .take(2)
                    .map(|text| grams(text.rsplit([' ', '(']).next().unwrap()).unwrap())
                    .collect();
                assert_eq!(Some(masses[0]), job.net_of(serials), "{name} {package}");
                assert_eq!(Some(masses[1]), *gross, "{name} {package}");
            }
        }
        if let Some(texts) = job.page("package.html") {
            // A label's rows follow its name: gross mass, net mass, batteries.
            for (package, (gross, serials)) in &job.packages {
                labels += 1;
                let at = texts.iter().position(|text| text == package).unwrap();
                let after = |title: &str| {
                    let place = texts[at..].iter().position(|text| text == title).unwrap();
                    texts[at + place + 1].clone()
                };
                assert_eq!(behind(&after("Gross mass"), ""), *gross, "{name} {package}");
                assert_eq!(
                    behind(&after("Net mass"), ""),
                    job.net_of(serials),
                    "{name} {package}"
                );
                let batteries = after("Batteries");
                assert_eq!(batteries, serials.len().to_string(), "{name} {package}");
            }
        }
        for row in rows(&job.folder.join("custody.csv")) {
            if let (Some(mass), Some(Some(net))) =
                (grams(&row["net_mass_kg"]), job.net.get(&row["item_id"]))
            {
                events += 1;
                assert_eq!(mass, *net, "{name} {} {}", row["item_id"], row["event"]);
            }
        }
        for row in rows(&job.folder.join("sheets.csv")) {
            if let Some(net) = job.net.get(&row["serial"]) {
                assert_eq!(grams(&row["net_mass_kg"]), *net, "{name} {}", row["serial"]);
            }
        }
        let materials = job.folder.join("papers/issue-1/materials.json");
        if let Ok(text) = fs::read_to_string(materials) {
            let content: serde_json::Value = serde_json::from_str(&text).unwrap();
            let total = content["total"]["net_mass_kg"].to_string();
            assert_eq!(grams(total.trim_matches('"')), net, "{name}");
        }
        let decisions = fs::read_to_string(job.folder.join("decisions.json")).unwrap();
        let decisions: serde_json::Value = serde_json::from_str(&decisions).unwrap();
        for load in decisions["small_loads"].as_array().into_iter().flatten() {
            let categories = load["categories"].as_array().unwrap();
            let sum = categories
                .iter()
                .map(|one| grams(one["net_mass_kg"].to_string().trim_matches('"')));
            assert_eq!(sum.sum::<Option<i64>>(), net, "{name}");
        }
    }
    assert!(documents >= 8, "{documents} transport documents");
    assert!(labels >= 25, "{labels} labels");
    assert!(events >= 100, "{events} rows of custody");
    assert!(totals >= 8, "{totals} manifests");
}
