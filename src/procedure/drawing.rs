//! Draws the precedence graph of a procedure for a person: text, Mermaid or DOT.
//!
//! The same procedure gives the same bytes. A dotted edge is a need that the plan may leave out,
//! or one of several alternatives; a thick box touches live or dead-proved parts.

use std::fmt::Write as _;

use crate::procedure::{Branch, Need, People, Per, Procedure, Step, When};

impl Procedure {
    /// Every step with what it needs, in working order.
    #[must_use]
    pub fn drawn_as_text(&self) -> String {
        let mut out = format!("{} - {}\n", self.id, self.title);
        let mut last = None;
        for step in &self.steps {
            if last != Some(step.branch) {
                last = Some(step.branch);
                line(&mut out, "", part(step.branch));
            }
            let needs: Vec<String> = step.needs.iter().map(ToString::to_string).collect();
            let needs = if needs.is_empty() {
                "(start)".to_owned()
            } else {
                needs.join(" ")
            };
            let mut notes = Vec::new();
            if step.is_touching() {
                notes.push("touching");
            }
            notes.extend(note_words(step));
            let notes = if notes.is_empty() {
                String::new()
            } else {
                format!(" [{}]", notes.join(", "))
            };
            line(
                &mut out,
                "  ",
                &format!("{:<4} {}{notes}", step.id, step.does),
            );
            line(&mut out, "       ", &format!("<- {needs}"));
        }
        out
    }

    /// For Mermaid (`flowchart`).
    #[must_use]
    pub fn drawn_as_mermaid(&self) -> String {
        let mut out = String::from("flowchart TD\n");
        for step in &self.steps {
            let words = step.does.replace('"', "#quot;");
            let node = format!("{}[\"{} {words}\"]", node(&step.id), step.id);
            line(&mut out, "  ", &node);
        }
        for step in &self.steps {
            for need in &step.needs {
                let arrow = match need {
                    Need::Step(_) => "-->",
                    Need::EveryModule(_) => "-->|every module|",
                    Need::IfPlanned(_) => "-.->|if planned|",
                    Need::AnyOf(_) => "-.->|any one|",
                };
                for id in need.ids() {
                    line(
                        &mut out,
                        "  ",
                        &format!("{} {arrow} {}", node(id), node(&step.id)),
                    );
                }
            }
        }
        let touching: Vec<String> = self
            .steps
            .iter()
            .filter(|step| step.is_touching())
            .map(|step| node(&step.id))
            .collect();
        if !touching.is_empty() {
            line(&mut out, "  ", "classDef touching stroke-width:3px");
            line(
                &mut out,
                "  ",
                &format!("class {} touching", touching.join(",")),
            );
        }
        out
    }

    /// For Graphviz.
    #[must_use]
    pub fn drawn_as_dot(&self) -> String {
        let mut out = String::from("digraph procedure {\n");
        line(&mut out, "  ", "node [shape=box];");
        for step in &self.steps {
            let words = quoted(&format!("{} {}", step.id, step.does));
            let pen = if step.is_touching() {
                ", penwidth=3"
            } else {
                ""
            };
            line(
                &mut out,
                "  ",
                &format!("{} [label={words}{pen}];", quoted(&step.id)),
            );
        }
        for step in &self.steps {
            for need in &step.needs {
                let style = match need {
                    Need::Step(_) => "",
                    Need::EveryModule(_) => " [label=\"every module\"]",
                    Need::IfPlanned(_) => " [style=dotted, label=\"if planned\"]",
                    Need::AnyOf(_) => " [style=dotted, label=\"any one\"]",
                };
                for id in need.ids() {
                    line(
                        &mut out,
                        "  ",
                        &format!("{} -> {}{style};", quoted(id), quoted(&step.id)),
                    );
                }
            }
        }
        out.push_str("}\n");
        out
    }
}

fn line(out: &mut String, indent: &str, text: &str) {
    // Writing to a string cannot fail.
    let _ = writeln!(out, "{indent}{text}");
}

const fn part(branch: Branch) -> &'static str {
    match branch {
        Branch::Main => "the work",
        Branch::Custody => "after the hand-over",
        Branch::RedFlag => "stop-work, at any time",
    }
}

fn note_words(step: &Step) -> Vec<&'static str> {
    let mut words = Vec::new();
    match step.people {
        People::One => {}
        People::Two => words.push("two people"),
        People::TwoIfHeavy => words.push("two people if heavy"),
    }
    if step.per == Per::Module {
        words.push("each module");
    }
    match step.when {
        When::Always => {}
        When::NotDamaged => words.push("if not damaged"),
        When::Damaged => words.push("if damaged"),
    }
    if step.optional {
        words.push("if planned");
    }
    words
}

/// A node name for Mermaid, which reads `end` and a dash in its own way.
fn node(id: &str) -> String {
    format!("s_{}", id.replace('-', "_"))
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
