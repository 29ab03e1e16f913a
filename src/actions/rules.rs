//! Shows the rows that decide: all of them, one, or the whole book.

use std::path::Path;

use super::ActionError;
use crate::papers::rule_book;
use crate::papers::rule_card::{self, RuleCard};
use crate::store::read_text;
use crate::transport::rule_set;

/// Every row, in the order of the rule set; those of waste law last.
#[must_use]
pub fn rule_cards() -> Vec<RuleCard> {
    rule_card::cards(rule_set())
}

/// The row of this name.
///
/// # Errors
/// No such row.
pub fn rule_card(id: &str) -> Result<RuleCard, ActionError> {
    let mut known = Vec::new();
    for card in rule_cards() {
        if card.id == id {
            return Ok(card);
        }
        known.push(card.id);
    }
    Err(ActionError::NoSuchRule {
        id: id.to_owned(),
        known,
    })
}

/// The rule book as a page, through the user's template where one is given.
///
/// # Errors
/// A template that cannot be read or does not work.
pub fn rule_book(template: Option<&Path>) -> Result<String, ActionError> {
    let template = template.map(read_text).transpose()?;
    Ok(rule_book::html(rule_set(), template.as_deref())?)
}
