//! The Rack: every job, by what is due.

use domain::ShopId;
use domain::job::Stage;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{JobRow, ShopBrief};
use crate::desk::Desk;
use crate::error::DeskError;

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
    let all = desk.job_rows(&crate::store::Filter::all("job"))?;
    let count = |stage: Stage| u32::try_from(all.iter().filter(|row| row.stage == stage).count()).unwrap_or(u32::MAX);
    let stages = STAGES.into_iter().map(|stage| StageCount { stage, jobs: count(stage) }).filter(|count| count.jobs > 0).collect();
    let words: Vec<String> = filter.words.split_whitespace().map(str::to_lowercase).collect();
    let mut rows: Vec<JobRow> = all.into_iter().filter(|row| fits(row, &filter, &words)).collect();
    // An empty promise sorts last: '~' stands behind every digit.
    let due = |row: &JobRow| if row.promised_date.is_empty() { "~".to_owned() } else { row.promised_date.clone() };
    rows.sort_by_cached_key(|row| (!row.stage.in_house(), due(row), row.arrived_at_ms.unwrap_or(row.last_at_ms)));
    let left_out = rows.len().saturating_sub(ROWS_MAX);
    rows.truncate(ROWS_MAX);
    Ok(RackView {
        rows,
        rows_left_out: u32::try_from(left_out).unwrap_or(u32::MAX),
        stages,
        today: desk.today()?,
        shops: desk.shops()?,
    })
}

fn fits(row: &JobRow, filter: &RackFilter, words: &[String]) -> bool {
    let gone = matches!(row.stage, Stage::Returned | Stage::Destroyed);
    let stage_fits = match filter.stage {
        Some(stage) => row.stage == stage,
        None => filter.with_returned || !gone,
    };
    if !stage_fits || filter.shop_id.is_some_and(|shop_id| row.shop_id != Some(shop_id)) {
        return false;
    }
    let hay = format!("{} {} {} {} {}", row.reference, row.shop_name, row.device, row.fault, row.identifiers.join(" ")).to_lowercase();
    words.iter().all(|word| hay.contains(word.as_str()))
}
