//! What can't be right about a question: each problem in one sentence, with what would be right.
//!
//! A problem never stops the judging: what can be judged still is, and the parcel is held.

use super::findings::{Condition, FindingCode};
use super::ledger::Ledger;
use super::question::{Carrier, Contents, Mode, Parcel, Regime};
use crate::cells::book::{BookError, RowUnit, RuleBody, RuleBook};

/// Why a question can't be answered as it stands.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParcelError {
    /// A number below zero.
    #[error("{value} is below zero; {field} is counted from 0")]
    Negative {
        /// The field.
        field: &'static str,
        /// What was given, with its unit.
        value: String,
    },
    /// A number that no parcel has.
    #[error("{value} can't be right for {field}: at most {most} is believed{}", meant.as_ref().map(|meant| format!("; did you mean {meant}?")).unwrap_or_default())]
    Absurd {
        /// The field.
        field: &'static str,
        /// What was given, with its unit.
        value: String,
        /// The most that is believed.
        most: String,
        /// What was probably meant.
        meant: Option<String>,
    },
    /// A count of none where there must be some.
    #[error("{field} is 0, but something must be in the package; count again")]
    Nothing {
        /// The field.
        field: &'static str,
    },
    /// The battery is said to be fine, and something else too.
    #[error(
        "the findings contradict each other: “{fine}” and “{other}” can't both be true; look again and take one away"
    )]
    Contradiction {
        /// The finding that says it is fine.
        fine: &'static str,
        /// The finding that says otherwise.
        other: &'static str,
    },
    /// No cells at all.
    #[error(
        "nothing is said about any cell or battery; a parcel without one needs no lithium verdict, any other needs its contents"
    )]
    NoContents,
    /// Both ways of writing the contents.
    #[error("give either a list of contents or the values of a single kind, not both")]
    ContentsTwice,
    /// A field that is none.
    #[error("“{name}” is not a field of the question; see the list of fields")]
    UnknownField {
        /// Its name.
        name: String,
    },
    /// A post and a way that is none.
    #[error("{} is a post: ask for post inside the country or post abroad", carrier.words())]
    PostByAnotherWay {
        /// The post.
        carrier: Carrier,
    },
    /// USPS under European road rules.
    #[error("USPS takes parcels in the United States only, and the question names {}", Regime::Adr.words())]
    UspsElsewhere,
    /// A button cell of several cells.
    #[error("a button cell is one cell, and the question counts {cells}")]
    ButtonOfSeveral {
        /// The number given.
        cells: i64,
    },
    /// No edition for the ship date.
    #[error(transparent)]
    Edition(#[from] BookError),
}

impl Parcel {
    /// What can't be right about the question; empty when nothing is. Each is one sentence for people.
    pub fn problems(&self, book: &RuleBook) -> Vec<ParcelError> {
        let ledger = Ledger::new(book, self);
        let mut problems: Vec<ParcelError> = Vec::new();
        problems.extend(
            ledger
                .book()
                .edition(ledger.body())
                .err()
                .map(ParcelError::from),
        );
        if self.contents.is_empty() {
            problems.push(ParcelError::NoContents);
        }
        if self.contents_given_twice {
            problems.push(ParcelError::ContentsTwice);
        }
        if self.carrier == Carrier::Usps {
            if !self.mode.is_post() {
                problems.push(ParcelError::PostByAnotherWay {
                    carrier: self.carrier,
                });
            }
            if self.regime == Regime::Adr {
                problems.push(ParcelError::UspsElsewhere);
            }
        }
        let numbers = self.numbers();
        let of_contents = self.contents.iter().flat_map(Contents::numbers);
        problems.extend(
            numbers
                .into_iter()
                .chain(of_contents)
                .filter_map(|number| number.problem(&ledger)),
        );
        problems.extend(self.contents.iter().flat_map(Contents::contradictions));
        problems
    }

    fn numbers(&self) -> Vec<Number> {
        let mut numbers = vec![
            Number::some(
                "packages_per_consignment",
                self.packages_per_consignment,
                PIECES,
            ),
            Number::some("gross_g_per_package", self.gross_g_per_package, GRAMS),
        ];
        if let Some(mark) = &self.printed_mark {
            numbers.push(Number::any("width_mm", mark.width_mm, LENGTH));
            numbers.push(Number::any("height_mm", mark.height_mm, LENGTH));
            numbers.push(Number::any("hatching_mm", mark.hatching_mm, LENGTH));
        }
        numbers
    }
}

/// The row that says what is believed of a kind of number, and how far off a slip of the unit would be.
type Belief = (&'static str, RowUnit, i64);

const PIECES: Belief = ("BELIEF.PIECES", RowUnit::Pieces, 1);
const GRAMS: Belief = ("BELIEF.G", RowUnit::G, 1000);
const LENGTH: Belief = ("BELIEF.MM", RowUnit::Mm, 1);
const PERCENT: Belief = ("BELIEF.PERCENT", RowUnit::Percent, 1);
const VOLTAGE: Belief = ("BELIEF.MV", RowUnit::Mv, 1000);
const CAPACITY: Belief = ("BELIEF.MAH", RowUnit::Mah, 1000);
const ENERGY: Belief = ("BELIEF.WH", RowUnit::Uwh, 1000);
const LITHIUM: Belief = ("BELIEF.LI.G", RowUnit::Ug, 1000);

/// One number of the question.
struct Number {
    field: &'static str,
    value: Option<i64>,
    belief: Belief,
    may_be_zero: bool,
}

impl Number {
    fn any(field: &'static str, value: Option<i64>, belief: Belief) -> Self {
        Self {
            field,
            value,
            belief,
            may_be_zero: true,
        }
    }

    /// A number that is not zero.
    fn some(field: &'static str, value: Option<i64>, belief: Belief) -> Self {
        Self {
            may_be_zero: false,
            ..Self::any(field, value, belief)
        }
    }

    fn problem(&self, ledger: &Ledger<'_>) -> Option<ParcelError> {
        let value = self.value?;
        let (row, unit, slip) = self.belief;
        let field = self.field;
        if value < 0 {
            return Some(ParcelError::Negative {
                field,
                value: unit.shown(value),
            });
        }
        if value == 0 && !self.may_be_zero {
            return Some(ParcelError::Nothing { field });
        }
        let most = ledger.row_of(row, RuleBody::Any)?.value?;
        (value > most).then(|| ParcelError::Absurd {
            field,
            value: unit.shown(value),
            most: unit.shown(most),
            meant: (slip > 1 && value % slip == 0 && value / slip <= most)
                .then(|| unit.shown(value / slip)),
        })
    }
}

impl Contents {
    fn numbers(&self) -> Vec<Number> {
        vec![
            Number::some("cells_per_unit", self.cells_per_unit, PIECES),
            Number::some("wh_label", self.wh_label.map(|wh| wh.0), ENERGY),
            Number::some("mv", self.mv, VOLTAGE),
            Number::some("mah", self.mah, CAPACITY),
            Number::some("mah_second", self.mah_second, CAPACITY),
            Number::some("li_grams", self.li_grams.map(|grams| grams.0), LITHIUM),
            Number::some("units_in_devices", self.units_in_devices, PIECES),
            Number::any("spare_sets", self.spare_sets, PIECES),
            Number::any("devices_per_package", self.devices_per_package, PIECES),
            Number::some(
                "battery_net_g_per_package",
                self.battery_net_g_per_package,
                GRAMS,
            ),
            Number::any("soc_rated_pct", self.soc_rated_pct, PERCENT),
            Number::any("soc_indicated_pct", self.soc_indicated_pct, PERCENT),
        ]
    }

    fn contradictions(&self) -> Vec<ParcelError> {
        let mut problems: Vec<ParcelError> = self
            .unread
            .keys()
            .map(|name| ParcelError::UnknownField { name: name.clone() })
            .collect();
        let first = |wanted: fn(Condition) -> bool| {
            self.findings
                .iter()
                .find(|code| code.condition().is_some_and(wanted))
        };
        let fine: Option<&FindingCode> = first(|condition| condition == Condition::Sound);
        let other = first(|condition| condition > Condition::Sound);
        if let Some((fine, other)) = fine.zip(other) {
            problems.push(ParcelError::Contradiction {
                fine: fine.words(),
                other: other.words(),
            });
        }
        if self.button
            && let Some(cells) = self.cells_per_unit
            && cells > 1
        {
            problems.push(ParcelError::ButtonOfSeveral { cells });
        }
        problems
    }
}

impl Mode {
    /// Whether the way is taken inside one country's own rules, so that the country it goes to must be known ground.
    pub(super) const fn is_domestic(self) -> bool {
        matches!(self, Self::Ground | Self::PostDomestic)
    }
}
