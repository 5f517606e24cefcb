//! A value that people replace: its heads, and whether they disagree.
//!
//! An edit names the edits it had seen. The *heads* are the edits that no other edit names. One head, or heads that say the
//! same, is the value. Different heads are a disagreement between people who could not see each other's edit; both stay
//! readable until someone settles it with an edit based on all of them. The clock decides only which of them is shown
//! meanwhile; it never makes one disappear.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::ids::EntryId;
use crate::recorded::{Mark, Recorded, Stamp};

/// One edit that no other edit has replaced.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Head<T> {
    /// Who set it and when.
    pub mark: Mark,
    /// What it was set to.
    pub value: T,
}

/// A replaceable value with everything needed to show a disagreement. The latest head comes first.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Register<T> {
    /// The unreplaced edits, latest first; empty when it was never set.
    pub heads: Vec<Head<T>>,
}

impl<T> Default for Register<T> {
    fn default() -> Self {
        Self { heads: Vec::new() }
    }
}

impl<T: Clone + PartialEq> Register<T> {
    /// Folds the edits of one register. `edits` may come in any order and more than once.
    pub fn fold<'a>(edits: impl IntoIterator<Item = (&'a Recorded, T)>) -> Self {
        let mut edits: Vec<(Stamp, &Recorded, T)> = edits
            .into_iter()
            .map(|(recorded, value)| (recorded.stamp, recorded, value))
            .collect();
        edits.sort_by_key(|(stamp, recorded, _)| std::cmp::Reverse((*stamp, recorded.entry_id)));
        edits.dedup_by(|a, b| a.1.entry_id == b.1.entry_id);
        let replaced: BTreeSet<EntryId> = edits
            .iter()
            .flat_map(|(_, recorded, _)| recorded.based_on.iter().copied())
            .collect();
        let heads = edits
            .into_iter()
            .filter(|(_, recorded, _)| !replaced.contains(&recorded.entry_id))
            .map(|(_, recorded, value)| Head {
                mark: Mark::from(recorded),
                value,
            })
            .collect();
        Self { heads }
    }

    /// The value to show: the agreed one, or the latest of those that disagree.
    pub fn value(&self) -> Option<&T> {
        self.heads.first().map(|head| &head.value)
    }

    /// Who set the value shown, and when.
    pub fn mark(&self) -> Option<&Mark> {
        self.heads.first().map(|head| &head.mark)
    }

    /// True when people who had not seen each other's edit set different values.
    pub fn is_disputed(&self) -> bool {
        self.heads
            .iter()
            .skip(1)
            .any(|head| head.value != self.heads[0].value)
    }

    /// What the next edit must name as seen, so that it replaces all that is here.
    pub fn based_on(&self) -> Vec<EntryId> {
        self.heads.iter().map(|head| head.mark.entry_id).collect()
    }
}
