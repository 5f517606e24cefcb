//! The rule book: every limit and rule about lithium cells, with its edition, its dates, its clause and how sure it is.
//!
//! The rows ship with the program as one data file that a person can review line by line, and the owner of a lab may add
//! newer rows. The row in force is picked by the ship date. Nothing here decides anything: who asks for a row that does not
//! exist gets none, and must then hold. A row is never changed in place; a newer one stands beside it.

mod row;
#[cfg(test)]
mod tests;
mod used;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use jiff::civil::Date;

pub(super) use row::scaled;
pub use row::{BookRow, RowKind, RowUnit, RuleBody};
pub(super) use used::BenchRules;
pub use used::UsedRule;

/// The rows that ship with the program, one a line.
const SHIPPED: &str = include_str!("rows.json");

/// Why a row can't be taken into the book.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BookError {
    /// The file is not a list of rows.
    #[error("the rule book can't be read: {detail}")]
    Unreadable {
        /// What the parser says.
        detail: String,
    },
    /// A row for something the program does not ask about.
    #[error("there is no row “{id}” for {} in the rule book; a newer row takes the id and the regime of the row it follows", regime.words())]
    UnknownRow {
        /// The id given.
        id: String,
        /// The regime given.
        regime: RuleBody,
    },
    /// A row whose kind or unit is not the one it follows.
    #[error("the row “{id}” must stay a {} {}", kind.word(), unit.map_or_else(|| "without a unit".to_owned(), |unit| format!("in the unit of {}", unit.shown(1))))]
    OtherKind {
        /// The row.
        id: String,
        /// What it was.
        kind: RowKind,
        /// The unit it was in.
        unit: Option<RowUnit>,
    },
    /// A number that is missing, or that no limit can have.
    #[error("the row “{id}” needs a number above zero")]
    NoValue {
        /// The row.
        id: String,
    },
    /// The last day lies before the first.
    #[error("the row “{id}” would end on {to}, before it begins on {from}")]
    EndsBeforeItBegins {
        /// The row.
        id: String,
        /// First day.
        from: Date,
        /// Last day.
        to: Date,
    },
    /// A row without an edition, a clause, a source or a text.
    #[error("the row “{id}” needs its {what}: a rule without it can't be checked by anyone")]
    Unsourced {
        /// The row.
        id: String,
        /// What is missing.
        what: &'static str,
    },
    /// A ship date for which the book holds no edition of a regime.
    #[error("the rules of {} in this program are for ship dates from {from} to {}; {date} lies outside, so a trained shipper must read the edition in force", regime.words(), to.map_or_else(|| "now".to_owned(), |to| to.to_string()))]
    OutsideEveryEdition {
        /// The regime.
        regime: RuleBody,
        /// The ship date asked for.
        date: Date,
        /// The first day the book knows.
        from: Date,
        /// The last day the book knows.
        to: Option<Date>,
    },
    /// A regime that the book has no edition of.
    #[error("this program holds no rules of {}", regime.words())]
    NoEdition {
        /// The regime.
        regime: RuleBody,
    },
}

/// All rows, old and new.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleBook {
    rows: Vec<BookRow>,
    /// Where the rows of a regime and an id stand. A judgement asks for dozens of rows, and a fold of the whole log judges every
    /// cell that was ever looked at.
    places: BTreeMap<RuleBody, BTreeMap<String, Vec<usize>>>,
    /// The newest day on which any row, and any bench rule, was compared with its source.
    checked: Option<Date>,
    bench_checked: Option<Date>,
}

static BOOK: LazyLock<RuleBook> = LazyLock::new(|| {
    RuleBook::parse(SHIPPED).expect("the shipped rows are read by a test before every release")
});

impl RuleBook {
    /// The book that ships with the program.
    pub fn shipped() -> &'static Self {
        &BOOK
    }

    /// Reads a book from its file: a JSON list of rows.
    pub fn parse(json: &str) -> Result<Self, BookError> {
        let rows = serde_json::from_str(json).map_err(|error| BookError::Unreadable {
            detail: error.to_string(),
        })?;
        Ok(Self::of(rows))
    }

    fn of(rows: Vec<BookRow>) -> Self {
        let mut places: BTreeMap<RuleBody, BTreeMap<String, Vec<usize>>> = BTreeMap::new();
        for (index, row) in rows.iter().enumerate() {
            let of_regime = places.entry(row.regime).or_default();
            of_regime.entry(row.id.clone()).or_default().push(index);
        }
        let bench = rows.iter().filter(|row| row.regime == RuleBody::Bench);
        Self {
            checked: rows.iter().map(|row| row.last_checked).max(),
            bench_checked: bench.map(|row| row.last_checked).max(),
            places,
            rows,
        }
    }

    /// This book with newer rows. A row that the book can't accept is left out: ask [`RuleBook::accepts`] before recording it.
    ///
    /// A newer row with the same id, regime and first day takes the place of the older one; any other stands beside it.
    #[must_use]
    pub fn with_updates(&self, updates: &[BookRow]) -> Self {
        let mut book = self.clone();
        for update in updates {
            if book.accepts(update).is_ok() {
                let mut rows = book.rows;
                rows.retain(|row| {
                    (&row.id, row.regime, row.effective_from)
                        != (&update.id, update.regime, update.effective_from)
                });
                rows.push(update.clone());
                book = Self::of(rows);
            }
        }
        book
    }

    /// Whether a row may be added: it follows a row that is there, in the same unit, with a source and dates that make sense.
    pub fn accepts(&self, update: &BookRow) -> Result<(), BookError> {
        let id = || update.id.clone();
        let followed = self
            .rows
            .iter()
            .find(|row| row.id == update.id && row.regime == update.regime)
            .ok_or_else(|| BookError::UnknownRow {
                id: id(),
                regime: update.regime,
            })?;
        if followed.kind != update.kind || followed.unit != update.unit {
            return Err(BookError::OtherKind {
                id: id(),
                kind: followed.kind,
                unit: followed.unit,
            });
        }
        if followed.value.is_some() && update.value.is_none_or(|value| value <= 0) {
            return Err(BookError::NoValue { id: id() });
        }
        if let Some(to) = update.effective_to
            && to < update.effective_from
        {
            return Err(BookError::EndsBeforeItBegins {
                id: id(),
                from: update.effective_from,
                to,
            });
        }
        let missing = [
            (&update.edition, "edition"),
            (&update.clause, "clause"),
            (&update.source, "source"),
            (&update.text, "text"),
        ];
        match missing.iter().find(|(text, _)| text.trim().is_empty()) {
            Some((_, what)) => Err(BookError::Unsourced { id: id(), what }),
            None => Ok(()),
        }
    }

    /// All rows: shipped ones in the order of the file, then the newer ones.
    pub fn rows(&self) -> &[BookRow] {
        &self.rows
    }

    /// The rows as they are on a ship date.
    pub fn on(&self, date: Date) -> InForce<'_> {
        InForce { book: self, date }
    }

    /// The rows that are in force for good: the newest of those without an end. For the bench, which asks for no ship date.
    pub fn latest(&self) -> InForce<'_> {
        self.on(Date::MAX)
    }

    /// The newest day on which any bench rule was compared with its source.
    const fn bench_checked(&self) -> Option<Date> {
        self.bench_checked
    }

    /// The newest day on which any row was compared with its source, as the name of this state of the book.
    pub fn revision(&self) -> String {
        match self.checked {
            Some(newest) => format!("rule book of {newest}"),
            None => "empty rule book".to_owned(),
        }
    }
}

/// The book as it is on one ship date.
#[derive(Debug, Clone, Copy)]
pub struct InForce<'a> {
    book: &'a RuleBook,
    date: Date,
}

impl<'a> InForce<'a> {
    /// The ship date.
    pub fn date(&self) -> Date {
        self.date
    }

    /// The row of an id for a regime, or else for every regime; the one that began last, if several are in force.
    pub fn row(&self, id: &str, regime: RuleBody) -> Option<&'a BookRow> {
        self.exactly(id, regime)
            .or_else(|| self.exactly(id, RuleBody::Any))
    }

    fn exactly(&self, id: &str, regime: RuleBody) -> Option<&'a BookRow> {
        let places = self.book.places.get(&regime)?.get(id)?;
        places
            .iter()
            .map(|place| &self.book.rows[*place])
            .filter(|row| row.is_in_force(self.date))
            .max_by_key(|row| row.effective_from)
    }

    /// The number of a row, in its unit.
    pub fn value(&self, id: &str, regime: RuleBody) -> Option<i64> {
        self.row(id, regime)?.value
    }

    /// Whether the book knows the regime on this date at all.
    pub fn edition(&self, regime: RuleBody) -> Result<&'a BookRow, BookError> {
        let editions: BTreeMap<Date, &BookRow> = self
            .book
            .rows
            .iter()
            .filter(|row| row.kind == RowKind::Edition && row.regime == regime)
            .map(|row| (row.effective_from, row))
            .collect();
        if let Some(row) = editions
            .values()
            .rev()
            .find(|row| row.is_in_force(self.date))
        {
            return Ok(row);
        }
        let (Some((from, _)), Some((_, last))) =
            (editions.first_key_value(), editions.last_key_value())
        else {
            return Err(BookError::NoEdition { regime });
        };
        Err(BookError::OutsideEveryEdition {
            regime,
            date: self.date,
            from: *from,
            to: last.effective_to,
        })
    }

    /// The same book on the nearest day that the regime's editions cover: for naming rules where the date itself has none.
    #[must_use]
    pub fn nearest(&self, regime: RuleBody) -> Self {
        let mut nearest = *self;
        if let Err(BookError::OutsideEveryEdition { from, to, .. }) = self.edition(regime) {
            nearest.date = match to {
                Some(to) if self.date > to => to,
                _ => from,
            };
        }
        nearest
    }
}
