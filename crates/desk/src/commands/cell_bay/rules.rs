//! The lab's bench rules of today: what an entry that is judged carries, and whether a cell was judged by others.

use domain::cells::bay::CellState;
use domain::cells::book::{RuleBody, UsedRule};
use jiff::civil::Date;

use crate::desk::Desk;
use crate::error::DeskError;

impl Desk {
    /// The bench rules that are the lab's own today.
    pub(crate) fn bench_rules(&self) -> Result<Vec<UsedRule>, DeskError> {
        let lab = self.lab()?;
        if lab.rules.is_empty() {
            return Ok(Vec::new());
        }
        let today: Date = self.today()?.parse().map_err(DeskError::refused)?;
        Ok(lab.rule_book().bench_changes(today))
    }

    /// That limits are others than when a cell was last judged, in a sentence; `None` when they are the same, or when nobody has judged
    /// it yet.
    pub(crate) fn rules_changed(&self, state: &CellState) -> Result<Option<String>, DeskError> {
        let changed = state.limits_changed(&self.bench_rules()?);
        if changed.is_empty() {
            return Ok(None);
        }
        let lab = self.lab()?;
        let since = lab
            .rules
            .iter()
            .filter(|update| changed.contains(&update.value.row.id))
            .map(|update| update.mark.at_ms)
            .max();
        // A row that was taken back, or that began by itself on its day, has no entry that says when.
        let when = match since {
            Some(at_ms) => format!(" on {}", self.time_words(at_ms)?),
            None => String::new(),
        };
        let book = lab.rule_book();
        let rows = changed
            .iter()
            .filter_map(|id| book.latest().row(id, RuleBody::Bench));
        let texts: Vec<String> = rows.map(|row| format!("“{}”", row.text)).collect();
        Ok(Some(format!(
            "The lab's rules changed{when}: {} This cell was last judged before that: take a reading.",
            texts.join(" ")
        )))
    }
}
