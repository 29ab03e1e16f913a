//! Where a quantity or a day can change a decision: the limits that the rows compare it with.
//! Between two neighbouring limits all values are alike to every row, so a long list needs one
//! decision for all of them.

use crate::transport::criteria::{Criteria, Fact, Value};
use crate::transport::rule_set::RuleSet;
use crate::transport::waste::waste_rules;

/// The limits that a row compares the fact of this dotted name with, or a part of it, in rising
/// order; empty where no row looks at it. The rows of waste law count too.
#[must_use]
pub fn limits_of(rules: &RuleSet, name: &str) -> Vec<Value> {
    let mut found = Vec::new();
    for rule in rules.rules() {
        collect(&rule.when, name, &mut found);
    }
    for rule in waste_rules() {
        collect(&rule.when, name, &mut found);
    }
    found.sort_unstable();
    found.dedup();
    found
}

fn collect(criteria: &Criteria, name: &str, found: &mut Vec<Value>) {
    match criteria {
        Criteria::Always | Criteria::Known(_) => {}
        Criteria::All(parts) | Criteria::Any(parts) => {
            for part in *parts {
                collect(part, name, found);
            }
        }
        Criteria::Not(part) | Criteria::Stated(part) => collect(part, name, found),
        Criteria::OneOf(fact, values) if concerns(*fact, name) => found.extend(*values),
        Criteria::Compare(fact, _, limit) if concerns(*fact, name) => found.push(*limit),
        Criteria::OneOf(..) | Criteria::Compare(..) => {}
    }
}

fn concerns(fact: Fact, name: &str) -> bool {
    name.strip_prefix(fact.name())
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::transport::rule_set::rule_set;

    #[test]
    fn the_limits_of_mass_are_those_of_the_rules() {
        // ADR 2025: 500 g (SP 636), 12 kg (P903, P909, LP903), 30 kg (P908): the rows name at least
        // the first two as conditions.
        let limits = limits_of(rule_set(), "item.net_mass_kg");
        for grams in [500, 12_000] {
            assert!(limits.contains(&Value::Thousandths(grams)), "{grams}");
        }
        assert!(limits.is_sorted());
        assert_eq!(limits_of(rule_set(), "item.net_mass"), []);
    }
}
