//! What has been found about one parcel so far: rules that fired, marks, papers, limits, and what is not known.
//!
//! Entries are only ever added. A rule or a limit that the book lacks is written down as missing and holds the parcel.

use std::collections::{BTreeMap, BTreeSet};

use super::answer::{Flag, LimitChecked, Mark, PackingStep, Paper, RuleFired, VerdictCode};
use super::question::{Carrier, Mode, Parcel, Regime};
use crate::cells::Certainty;
use crate::cells::book::{BookRow, InForce, RuleBody, RuleBook};

/// The notes about one parcel.
pub(super) struct Ledger<'a> {
    pub(super) parcel: &'a Parcel,
    book: InForce<'a>,
    pub(super) rules: Vec<RuleFired>,
    pub(super) marks: BTreeMap<String, Mark>,
    pub(super) flags: BTreeSet<Flag>,
    pub(super) papers: BTreeSet<Paper>,
    pub(super) limits: Vec<LimitChecked>,
    pub(super) unknowns: Vec<String>,
    /// By the order of the hands' work.
    pub(super) packing: BTreeMap<(u8, String), PackingStep>,
}

impl<'a> Ledger<'a> {
    pub(super) fn new(book: &'a RuleBook, parcel: &'a Parcel) -> Self {
        Self {
            parcel,
            book: book.on(parcel.ship_date),
            rules: Vec::new(),
            marks: BTreeMap::new(),
            flags: BTreeSet::new(),
            papers: BTreeSet::new(),
            limits: Vec::new(),
            unknowns: Vec::new(),
            packing: BTreeMap::new(),
        }
    }

    /// Whose rules decide about the way the parcel goes.
    pub(super) fn body(&self) -> RuleBody {
        match self.parcel.mode {
            Mode::AirPax | Mode::AirCargo => RuleBody::Air,
            Mode::PostDomestic | Mode::PostIntl if self.parcel.carrier == Carrier::Usps => {
                RuleBody::Usps
            }
            Mode::PostDomestic | Mode::PostIntl => RuleBody::Post,
            Mode::Ground => self.ground_body(),
        }
    }

    /// Whose rules decide on the road where the parcel starts.
    pub(super) fn ground_body(&self) -> RuleBody {
        match self.parcel.regime {
            Regime::UsHmr => RuleBody::UsHmr,
            Regime::Adr => RuleBody::Adr,
        }
    }

    /// The book as it is on the ship date.
    pub(super) fn book(&self) -> InForce<'a> {
        self.book
    }

    /// A row for this way of transport, or else for the road of this regime, or for everywhere.
    pub(super) fn row(&self, id: &str) -> Option<&'a BookRow> {
        let of = |body: RuleBody| self.book.nearest(body).row(id, body);
        of(self.body()).or_else(|| of(self.ground_body()))
    }

    /// A row of one regime, or for everywhere.
    pub(super) fn row_of(&self, id: &str, body: RuleBody) -> Option<&'a BookRow> {
        self.book.nearest(body).row(id, body)
    }

    /// The number of a row, if it is in force.
    pub(super) fn value(&self, id: &str) -> Option<i64> {
        self.row(id)?.value
    }

    /// A rule for this way of transport fires.
    pub(super) fn fire(&mut self, id: &str, verdict: VerdictCode, detail: impl Into<String>) {
        let row = self.row(id);
        self.write(id, row, verdict, &detail.into());
    }

    /// A rule of a certain body fires.
    pub(super) fn fire_of(
        &mut self,
        id: &str,
        body: RuleBody,
        verdict: VerdictCode,
        detail: impl Into<String>,
    ) {
        let row = self.row_of(id, body);
        self.write(id, row, verdict, &detail.into());
    }

    fn write(&mut self, id: &str, row: Option<&BookRow>, verdict: VerdictCode, detail: &str) {
        let Some(row) = row else {
            self.unknown(format!(
                "the rule book has no rule {id} for this way of transport"
            ));
            self.rules.push(RuleFired {
                id: id.to_owned(),
                verdict: verdict.max(VerdictCode::Hold),
                text: format!(
                    "Rule {id} is not in the rule book for this way of transport. {detail}"
                ),
                regime: self.body(),
                clause: String::new(),
                edition: String::new(),
                certainty: Certainty::OwnDerivation,
                source: String::new(),
                last_checked: self.parcel.ship_date,
            });
            return;
        };
        let text = match detail {
            "" => row.text.clone(),
            detail => format!("{} {detail}", row.text),
        };
        let fired = RuleFired {
            id: id.to_owned(),
            verdict,
            text,
            regime: row.regime,
            clause: row.clause.clone(),
            edition: row.edition.clone(),
            certainty: row.certainty,
            source: row.source.clone(),
            last_checked: row.last_checked,
        };
        if !self.rules.contains(&fired) {
            self.rules.push(fired);
        }
    }

    /// Compares a value with a limit and notes both. A value that is not known does not keep it, nor does any value keep a
    /// limit that the book lacks.
    pub(super) fn keeps(&mut self, id: &str, what: &str, value: Option<i64>) -> bool {
        let row = self.row(id);
        self.compare(id, row, what, value)
    }

    /// The same, with the limit of a certain body.
    pub(super) fn keeps_of(
        &mut self,
        id: &str,
        body: RuleBody,
        what: &str,
        value: Option<i64>,
    ) -> bool {
        let row = self.row_of(id, body);
        self.compare(id, row, what, value)
    }

    fn compare(&mut self, id: &str, row: Option<&BookRow>, what: &str, value: Option<i64>) -> bool {
        let Some((row, limit, unit)) = row.and_then(|row| Some((row, row.value?, row.unit?)))
        else {
            self.unknown(format!(
                "the rule book has no limit {id} for this way of transport"
            ));
            return false;
        };
        let within = value.is_some_and(|value| value <= limit);
        let checked = LimitChecked {
            id: id.to_owned(),
            what: what.to_owned(),
            value: value.map_or_else(|| "not known".to_owned(), |value| unit.shown(value)),
            limit: unit.shown(limit),
            within,
            clause: row.clause.clone(),
            certainty: row.certainty,
        };
        if !self.limits.contains(&checked) {
            self.limits.push(checked);
        }
        within
    }

    pub(super) fn flag(&mut self, flag: Flag) {
        self.flags.insert(flag);
    }

    pub(super) fn mark(&mut self, mark: Mark) {
        self.marks.insert(mark.code.clone(), mark);
    }

    pub(super) fn paper(&mut self, name: &str, text: impl Into<String>, clause: &str) {
        self.papers.insert(Paper {
            name: name.to_owned(),
            text: text.into(),
            clause: clause.to_owned(),
        });
    }

    pub(super) fn pack(&mut self, order: u8, text: impl Into<String>, clause: &str) {
        let text = text.into();
        self.packing
            .entry((order, text.clone()))
            .or_insert(PackingStep {
                text,
                clause: clause.to_owned(),
            });
    }

    pub(super) fn unknown(&mut self, sentence: impl Into<String>) {
        let sentence = sentence.into();
        if !self.unknowns.contains(&sentence) {
            self.unknowns.push(sentence);
        }
    }

    /// The worst verdict that any rule calls for.
    pub(super) fn worst(&self) -> VerdictCode {
        self.rules
            .iter()
            .map(|rule| rule.verdict)
            .max()
            .unwrap_or(VerdictCode::Hold)
    }
}
