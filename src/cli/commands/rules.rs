//! `packdown rules`: list the rows, show one, print the book.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, RulesCommand};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json};
use crate::papers::rule_card::RuleCard;

pub(super) fn rules(command: &RulesCommand, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    match command {
        RulesCommand::List => list(out)?,
        RulesCommand::Show(args) => {
            let card = actions::rule_card(&args.id)?;
            if out.format() == Format::Json {
                json(out, &card)?;
            } else {
                show(&card, out)?;
            }
        }
        RulesCommand::Book(args) => {
            let page = actions::rule_book(args.template.as_deref())?;
            out.text(&page)?;
        }
    }
    Ok(Exit::Done)
}

fn list(out: &mut dyn Answer) -> Result<(), CommandError> {
    let cards = actions::rule_cards();
    if out.format() == Format::Json {
        json(out, &cards)?;
        return Ok(());
    }
    for card in &cards {
        let flag = if card.verified {
            String::new()
        } else {
            format!(" [not verified: {}]", card.basis)
        };
        out.line(&format!("{}{flag}", card.id))?;
        out.line(&format!("    {}", card.says))?;
    }
    let open = cards.iter().filter(|card| !card.verified).count();
    out.line(&format!("{} rows, {open} not verified", cards.len()))?;
    Ok(())
}

fn show(card: &RuleCard, out: &mut dyn Answer) -> Result<(), CommandError> {
    out.line(&card.id)?;
    out.line(&format!("  {}", card.says))?;
    for (caption, texts) in [
        ("for", card.applies_to.as_slice()),
        ("where", std::slice::from_ref(&card.when)),
        ("then", card.effects.as_slice()),
        ("if not known", std::slice::from_ref(&card.if_unknown)),
        ("law", card.clauses.as_slice()),
        ("first day", card.valid_from.as_slice()),
        ("last day", card.valid_to.as_slice()),
        ("known", std::slice::from_ref(&card.basis)),
        ("sets aside", card.sets_aside.as_slice()),
        ("set aside by", card.set_aside_by.as_slice()),
    ] {
        for text in texts {
            out.line(&format!("  {caption}: {text}"))?;
        }
    }
    Ok(())
}
