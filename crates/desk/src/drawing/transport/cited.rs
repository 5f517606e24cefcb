//! Rules as papers cite them: clause, edition, how sure they are and when they were last checked.
//!
//! A rule is never cited as surer than the book holds it.

use domain::cells::Certainty;
use domain::cells::book::{BookRow, RuleBody};
use domain::cells::transport::RuleFired;
use papers::model::RuleCited;

use super::Drawing;
use crate::drawing::words::day;

impl Drawing<'_> {
    /// Rows of the book as papers cite them: those of this regime, of the way, or of every regime.
    pub(super) fn cited(&self, ids: &[&str]) -> Vec<RuleCited> {
        let regimes = [
            RuleBody::UsHmr,
            RuleBody::Adr,
            RuleBody::Air,
            RuleBody::Usps,
        ];
        let mut cited = Vec::new();
        for id in ids {
            let mut rows = regimes
                .iter()
                .filter_map(|regime| self.in_force.row(id, *regime));
            // Several measures of one clause are cited once.
            if let Some(rule) = rows.next().map(row)
                && !cited.contains(&rule)
            {
                cited.push(rule);
            }
        }
        cited
    }
}

pub(super) fn fired(rule: &RuleFired) -> RuleCited {
    RuleCited {
        text: rule.text.clone(),
        clause: format!("{}: {}", rule.regime.words(), rule.clause),
        edition: rule.edition.clone(),
        certainty: certainty(rule.certainty).to_owned(),
        checked: checked(rule.last_checked),
    }
}

fn row(row: &BookRow) -> RuleCited {
    RuleCited {
        text: String::new(),
        clause: row.clause.clone(),
        edition: row.edition.clone(),
        certainty: certainty(row.certainty).to_owned(),
        checked: checked(row.last_checked),
    }
}

/// The words for how sure a rule is.
pub(in crate::drawing) const fn certainty(certainty: Certainty) -> &'static str {
    match certainty {
        Certainty::Primary => "the rule’s own text was read",
        Certainty::Secondary => "read second-hand",
        Certainty::FromMemory => "from memory, to be checked",
        Certainty::OwnDerivation => "derived here",
    }
}

pub(in crate::drawing) fn checked(date: jiff::civil::Date) -> String {
    format!("last checked {}", day(date))
}
