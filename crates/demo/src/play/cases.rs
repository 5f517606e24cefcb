//! The three weeks hold every case that the screens must show; whoever changes the tables learns here what is gone.

use std::collections::BTreeSet;
use std::sync::Arc;

use anyhow::{Result, ensure};
use desk::commands::Nothing;
use desk::commands::bench::{self, JobKey};
use desk::commands::dock::dock;
use desk::commands::rack::{RackFilter, rack};
use desk::commands::shops::shops;
use domain::cells::BenchLevel;
use domain::job::Stage;

use super::Play;

/// Stages that a device can be at while something is left to do, and the one after.
const STAGES: [Stage; 9] = [
    Stage::Advised,
    Stage::Receiving,
    Stage::Inspecting,
    Stage::Holding,
    Stage::Repairing,
    Stage::Proving,
    Stage::Packing,
    Stage::Shipping,
    Stage::Returned,
];

/// How each reason to wait begins.
const HOLDS: [&str; 7] = [
    "waits for the shop's decision",
    "the shop asks",
    "waits for a part",
    "on hold",
    "its cell is in isolation",
    "it was not in its parcel",
    "it is not the device that was announced",
];

/// Every outcome.
const OUTCOMES: [&str; 7] = [
    "repaired",
    "repaired in part",
    "no fault found",
    "not repairable",
    "beyond economic repair",
    "declined",
    "data only",
];

impl Play {
    pub(super) fn every_case_is_there(&mut self) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        let (comeback, wrong_digit) = (self.lab.job("n10")?, self.lab.job("l3")?);
        self.steps.step(
            "Every stage, hold and outcome is there to be looked at",
            || {
                let rows = rack(
                    &desk,
                    RackFilter {
                        with_returned: true,
                        ..RackFilter::default()
                    },
                )?
                .rows;
                for stage in STAGES {
                    ensure!(
                        rows.iter().any(|row| row.stage == stage),
                        "no job is {}",
                        stage.word()
                    );
                }
                for hold in HOLDS {
                    ensure!(
                        rows.iter()
                            .flat_map(|row| &row.holds)
                            .any(|held| held.starts_with(hold)),
                        "no job “{hold}”"
                    );
                }
                ensure!(
                    rows.iter().any(|row| row.disagreements > 0),
                    "no job on which people disagree"
                );
                let outcomes: BTreeSet<&str> =
                    rows.iter().map(|row| row.outcome.as_str()).collect();
                for outcome in OUTCOMES {
                    ensure!(outcomes.contains(outcome), "no job ended as {outcome}");
                }
                let levels: BTreeSet<_> = rows.iter().filter_map(|row| row.cell_level).collect();
                ensure!(levels.contains(&BenchLevel::Watch), "no cell is watched");
                let job = |job_id| bench::job(&desk, JobKey { job_id });
                ensure!(
                    job(comeback)?.earlier.len() == 1,
                    "the comeback is not joined to its earlier job"
                );
                let identity = job(wrong_digit)?.job.identity.value().cloned();
                let warned = identity.is_some_and(|identity| {
                    identity
                        .identifiers
                        .iter()
                        .any(|read| !read.warning.is_empty())
                });
                ensure!(warned, "the wrong check digit gives no warning");
                let dock = dock(&desk, Nothing {})?;
                ensure!(
                    !dock.awaited.is_empty() && !dock.to_count.is_empty(),
                    "no parcel is awaited, or none is to be counted"
                );
                ensure!(
                    shops(&desk, Nothing {})?
                        .rows
                        .iter()
                        .any(|row| row.refused_advice > 0),
                    "no advice was refused for its cell"
                );
                let photos: BTreeSet<_> = rows
                    .iter()
                    .filter(|row| row.arrived_at_ms.is_some())
                    .map(|row| row.job_id)
                    .collect();
                Ok((
                    (),
                    format!("{} jobs, {} of them arrived", rows.len(), photos.len()),
                ))
            },
        )
    }
}
