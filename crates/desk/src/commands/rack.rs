//! The Rack: every job, by what is due.

use domain::ShopId;
use domain::cells::schedule::overdue_by;
use domain::job::Stage;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{JobRow, ShopBrief};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::rows::tag;
use crate::store::{Filter, SearchWord};

/// What to show.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, TS)]
pub struct RackFilter {
    /// Only this shop's jobs.
    pub shop_id: Option<ShopId>,
    /// Only jobs at this stage.
    pub stage: Option<Stage>,
    /// Only jobs that hold all of these words.
    pub words: String,
    /// True to show returned and destroyed jobs too.
    pub with_returned: bool,
}

/// How many jobs are at a stage.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct StageCount {
    /// The stage.
    pub stage: Stage,
    /// Its jobs.
    pub jobs: u32,
}

/// The Rack.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RackView {
    /// Jobs, the most pressing first.
    pub rows: Vec<JobRow>,
    /// Jobs that fit but are not shown, because there are too many.
    pub rows_left_out: u32,
    /// How many jobs are at each stage, whatever the filter.
    pub stages: Vec<StageCount>,
    /// The day it is at the lab, as `2026-11-25`, for telling what is late.
    pub today: String,
    /// All shops, for the filter.
    pub shops: Vec<ShopBrief>,
}

/// Most rows in one answer: more can't be read, and a window stays quick with these.
const ROWS_MAX: usize = 500;

const STAGES: [Stage; 10] = [
    Stage::Advised,
    Stage::Receiving,
    Stage::Inspecting,
    Stage::Holding,
    Stage::Repairing,
    Stage::Proving,
    Stage::Packing,
    Stage::Shipping,
    Stage::Returned,
    Stage::Destroyed,
];

/// Every job, by what is due: promises first, then those that have been here longest.
pub fn rack(desk: &Desk, filter: RackFilter) -> Result<RackView, DeskError> {
    let shops = desk.shops()?;
    let mut stages = Vec::new();
    for stage in STAGES {
        let jobs = desk.count(&Filter {
            stages: vec![tag(&stage)],
            ..Filter::all("job")
        })?;
        stages.extend((jobs > 0).then_some(StageCount { stage, jobs }));
    }
    let wanted = Filter {
        // Without a stage every stage is named, so that a job whose beginning was taken back stays out.
        stages: filter
            .stage
            .map_or(STAGES.to_vec(), |stage| vec![stage])
            .iter()
            .map(tag)
            .collect(),
        shop_id: filter.shop_id,
        is_open: (filter.stage.is_none() && !filter.with_returned).then_some(true),
        words: search_words(&shops, &filter.words),
        ..Filter::all("job")
    };
    let mut rows = desk.job_rows(&wanted)?;
    let now_ms = desk.now_ms();
    for row in &mut rows {
        if let Some(late_ms) = row
            .reading_due_ms
            .and_then(|due_ms| overdue_by(due_ms, now_ms))
        {
            let late = super::cell_bay::duration_words(late_ms);
            row.holds
                .insert(0, format!("a reading of its cell is overdue by {late}"));
        }
    }
    // An empty promise sorts last: '~' stands behind every digit.
    let due = |row: &JobRow| {
        if row.promised_date.is_empty() {
            "~".to_owned()
        } else {
            row.promised_date.clone()
        }
    };
    rows.sort_by_cached_key(|row| {
        (
            !row.stage.in_house(),
            due(row),
            row.arrived_at_ms.unwrap_or(row.last_at_ms),
        )
    });
    let left_out = rows.len().saturating_sub(ROWS_MAX);
    rows.truncate(ROWS_MAX);
    Ok(RackView {
        rows,
        rows_left_out: u32::try_from(left_out).unwrap_or(u32::MAX),
        stages,
        today: desk.today()?,
        shops,
    })
}

/// The words of a text, each with the shops whose name holds it.
pub(super) fn search_words(shops: &[ShopBrief], text: &str) -> Vec<SearchWord> {
    let word = |word: &str| {
        let named = |shop: &&ShopBrief| shop.name.to_lowercase().contains(word);
        SearchWord {
            text: word.to_owned(),
            or_of_shops: shops
                .iter()
                .filter(named)
                .map(|shop| shop.shop_id)
                .collect(),
        }
    };
    text.to_lowercase().split_whitespace().map(word).collect()
}
