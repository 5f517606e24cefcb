//! The bench rules as they were when somebody looked at a cell: those that ship, under the lab's own of that time.
//!
//! A fold sees one subject's entries and no lab, so an entry that is judged carries the rows that its lab had changed. They say what
//! was in force then; a row that is changed later changes nothing that was recorded before.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::{BookRow, RuleBody, RuleBook};
use crate::cells::Certainty;

/// A bench rule or limit of the lab's own, as it was in force when an entry was recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "UsedBenchRule"))]
pub struct UsedRule {
    /// The row's id.
    pub id: String,
    /// The number, in the row's unit; `None` for rules that compare nothing themselves.
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub value: Option<i64>,
    /// The edition of the text it was taken from.
    pub edition: String,
    /// Where it was read.
    pub source: String,
    /// How sure it is.
    pub certainty: Certainty,
    /// When somebody last compared it with its source.
    #[cfg_attr(feature = "ts-rs", ts(type = "string"))]
    pub last_checked: Date,
    /// What it says, for people.
    pub text: String,
}

impl UsedRule {
    fn of(row: &BookRow) -> Self {
        Self {
            id: row.id.clone(),
            value: row.value,
            edition: row.edition.clone(),
            source: row.source.clone(),
            certainty: row.certainty,
            last_checked: row.last_checked,
            text: row.text.clone(),
        }
    }
}

impl RuleBook {
    /// The bench rules and limits of this book that are in force on a day and differ from those that ship, in the order of their
    /// ids. A row of which none is in force that day goes on as it shipped.
    pub fn bench_changes(&self, day: Date) -> Vec<UsedRule> {
        let shipped = Self::shipped().latest();
        let today = self.on(day);
        let ids: std::collections::BTreeSet<&str> = self
            .rows()
            .iter()
            .filter(|row| row.regime == RuleBody::Bench)
            .map(|row| row.id.as_str())
            .collect();
        ids.into_iter()
            .filter_map(|id| today.row(id, RuleBody::Bench))
            .map(UsedRule::of)
            .filter(|used| {
                shipped
                    .row(&used.id, RuleBody::Bench)
                    .map(UsedRule::of)
                    .as_ref()
                    != Some(used)
            })
            .collect()
    }
}

/// What a rule says, and where from.
#[derive(Debug, Clone, Copy)]
pub(in crate::cells) struct Said<'a> {
    pub(in crate::cells) text: &'a str,
    pub(in crate::cells) source: &'a str,
    pub(in crate::cells) certainty: Certainty,
}

/// The bench rules that one judgement goes by: a book, and over it what an entry says was in force.
#[derive(Debug, Clone, Copy)]
pub(in crate::cells) struct BenchRules<'a> {
    book: &'a RuleBook,
    used: &'a [UsedRule],
}

impl<'a> BenchRules<'a> {
    /// The rules of a book, as they are for good.
    pub(in crate::cells) const fn of(book: &'a RuleBook) -> Self {
        Self { book, used: &[] }
    }

    /// The rules that ship, under those that an entry carries.
    pub(in crate::cells) fn used(used: &'a [UsedRule]) -> Self {
        Self {
            book: RuleBook::shipped(),
            used,
        }
    }

    fn own(self, id: &str) -> Option<&'a UsedRule> {
        self.used.iter().find(|used| used.id == id)
    }

    /// The number of a limit. A number that no limit can have is none.
    pub(in crate::cells) fn value(self, id: &str) -> Option<i64> {
        match self.own(id) {
            Some(used) => used.value.filter(|value| *value > 0),
            None => self.book.latest().value(id, RuleBody::Bench),
        }
    }

    /// The number of a limit that is needed to go on. Where an entry carries none that makes sense, the one that ships counts.
    pub(in crate::cells) fn amount(self, id: &str) -> i32 {
        let shipped = || RuleBook::shipped().latest().value(id, RuleBody::Bench);
        let value = self
            .value(id)
            .or_else(shipped)
            .expect("a test reads every bench limit of the shipped book");
        i32::try_from(value).unwrap_or(i32::MAX)
    }

    /// The same as a number of minutes, of millivolts or of anything else that is never below zero.
    pub(in crate::cells) fn count(self, id: &str) -> u32 {
        self.amount(id).unsigned_abs()
    }

    /// What a rule says.
    pub(in crate::cells) fn said(self, id: &str) -> Option<Said<'a>> {
        if let Some(used) = self.own(id) {
            return Some(Said {
                text: &used.text,
                source: &used.source,
                certainty: used.certainty,
            });
        }
        let row = self.book.latest().row(id, RuleBody::Bench)?;
        Some(Said {
            text: &row.text,
            source: &row.source,
            certainty: row.certainty,
        })
    }

    /// The name of these rules on judgements and papers.
    pub(in crate::cells) fn revision(self) -> String {
        let own = self.used.iter().map(|used| used.last_checked).max();
        let newest = self.book.bench_checked().max(own);
        let name = newest.map_or_else(
            || "no bench rules".to_owned(),
            |newest| format!("bench rules of {newest}"),
        );
        match self.used.len() {
            0 => name,
            own => format!("{name}, {own} of them the lab's own"),
        }
    }

    /// The ids of limits whose number is another under other rules.
    pub(in crate::cells) fn differing(self, other: Self) -> Vec<String> {
        let ids: std::collections::BTreeSet<&str> = self
            .used
            .iter()
            .chain(other.used)
            .map(|used| used.id.as_str())
            .collect();
        ids.into_iter()
            .filter(|id| self.value(id) != other.value(id))
            .map(str::to_owned)
            .collect()
    }
}
