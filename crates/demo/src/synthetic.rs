//! A big lab without a story: as many jobs and entries as are asked for, each with texts of its own.
//!
//! Written through the desk's store in large transactions, and folded by the desk itself when it is next opened. For measuring;
//! nothing in it went through the rules that commands keep.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use anyhow::{Context as _, Result, ensure};
use desk::commands::Nothing;
use desk::commands::shops::{SaveShop, save_shop};
use desk::commands::start::{FoundLab, found_lab, state};
use desk::ports::{Clock, Ports, SystemClock};
use desk::store::{NewEntry, Projection, Projector, Store, StoreOptions};
use desk::{Desk, DeskOptions};
use domain::cells::{CellCheck, CellFinding, Chemistry};
use domain::fact::{
    CellAnswer, DeviceDescription, Fact, JobAdvice, JobArrival, Note, Outcome, Phase, TestCode,
    TestResult,
};
use domain::{JobId, ParcelId, PersonId, Recorded, ShopId, Subject};

use crate::data::jobs::JOBS;
use crate::data::shops::SHOPS;
use crate::data::{numbers, people};
use crate::random::{Dice, RepeatableRandomness};

/// Jobs written in one transaction.
const JOBS_AT_ONCE: usize = 100;
/// Jobs that came in one parcel.
const JOBS_A_PARCEL: usize = 10;
/// Fewest entries of a job: announced, arrived, cell checked.
const ENTRIES_MIN: usize = 3;
/// Time between two entries.
const STEP_MS: u64 = 400_000;

/// What was written.
#[derive(Debug, Clone)]
pub struct Synthetic {
    /// Its jobs.
    pub jobs: Vec<JobId>,
    /// Its shops.
    pub shops: Vec<ShopId>,
    /// Entries in all, those of the founding included.
    pub entries: u64,
}

/// A clock that goes on by a step with every look.
struct StepClock(AtomicU64);

impl Clock for StepClock {
    fn now_ms(&self) -> u64 {
        self.0.fetch_add(STEP_MS, Ordering::SeqCst)
    }
}

/// Folds nothing: the desk, whose version is another, folds anew when it opens the file.
struct NoFold;

impl Projector for NoFold {
    fn fold_version(&self) -> u32 {
        0
    }

    fn project(&self, _: Subject, _: &[Recorded]) -> Projection {
        Projection::default()
    }
}

/// Writes a lab of about `entries` entries about `jobs` jobs into `folder`, and leaves it closed.
pub fn synthetic(folder: &Path, entries: usize, jobs: usize) -> Result<Synthetic> {
    ensure!(
        jobs > 0 && entries / jobs >= ENTRIES_MIN,
        "a job has at least {ENTRIES_MIN} entries; ask for more entries or for fewer jobs"
    );
    let span_ms = STEP_MS.saturating_mul(entries as u64 * 3);
    let begun_ms = SystemClock.now_ms().saturating_sub(span_ms);
    let ports = Ports {
        clock: Arc::new(StepClock(AtomicU64::new(begun_ms))),
        randomness: Arc::new(RepeatableRandomness::new(entries as u64)),
    };
    let (person_id, shops) = found(folder, &ports)?;
    let options = DeskOptions::beside(folder);
    let options = StoreOptions {
        data_dir: options.folder,
        nonce_file: options.nonce_file,
        desktop_name: "Synthetic".to_owned(),
    };
    let store =
        Store::open(&options, ports.clone(), Arc::new(NoFold)).context("opening the lab's file")?;
    let mut ids = Vec::with_capacity(jobs);
    let mut parcel_id = ParcelId::new(ports.new_uuid());
    let mut batch = Vec::new();
    for number in 0..jobs {
        if number % JOBS_A_PARCEL == 0 {
            parcel_id = ParcelId::new(ports.new_uuid());
        }
        let job_id = JobId::new(ports.new_uuid());
        let shop_id = shops[number / JOBS_A_PARCEL % shops.len()];
        // The rest is spread over the first jobs, so that the sum is as asked for.
        let count = entries / jobs + usize::from(number < entries % jobs);
        batch.extend(
            facts(number, count, shop_id, parcel_id)
                .iter()
                .map(|fact| NewEntry::fact(Subject::Job(job_id), fact)),
        );
        ids.push(job_id);
        if ids.len() % JOBS_AT_ONCE == 0 || ids.len() == jobs {
            store
                .append(person_id, std::mem::take(&mut batch))
                .context("writing a hundred jobs")?;
        }
    }
    let entries = store.entry_count().context("counting the entries")?;
    Ok(Synthetic {
        jobs: ids,
        shops,
        entries,
    })
}

fn found(folder: &Path, ports: &Ports) -> Result<(PersonId, Vec<ShopId>)> {
    let desk = Desk::open(DeskOptions::beside(folder), ports.clone())?;
    found_lab(
        &desk,
        FoundLab {
            lab: people::lab(),
            owner_name: people::OWNER.to_owned(),
            desktop_name: "Synthetic".to_owned(),
        },
    )?;
    let mut shops = Vec::new();
    for shop in &SHOPS {
        let request = SaveShop {
            shop_id: None,
            description: shop.description(),
            standing_limit: shop.standing_limit.to_owned(),
        };
        shops.push(save_shop(&desk, request)?.brief.shop_id);
    }
    let person = state(&desk, Nothing {})?
        .person
        .context("the founder is not at the desktop")?;
    Ok((person.person_id, shops))
}

/// The entries of one job.
fn facts(number: usize, count: usize, shop_id: ShopId, parcel_id: ParcelId) -> Vec<Fact> {
    let plan = &JOBS[number % JOBS.len()];
    let mut dice = Dice::new(number as u64);
    let device = DeviceDescription {
        kind: plan.model.kind,
        maker: plan.model.maker.to_owned(),
        model: plan.model.name.to_owned(),
        colour: plan.colour.to_owned(),
    };
    let advice = JobAdvice {
        shop_id,
        parcel_id,
        device,
        identifier: numbers::identifier(plan.model, u32::try_from(number % 20_000).unwrap_or(0)),
        fault: format!("{} ({number})", plan.words),
        tried: plan.tried.to_owned(),
        liquid: None,
        data_needed: dice.chance(0.7),
        accessories: plan
            .accessories
            .iter()
            .map(|item| (*item).to_owned())
            .collect(),
        cell_answers: [CellAnswer::NotSeen].into(),
        shop_reference: format!("S-{number}"),
        battery: domain::fact::AdvisedBattery::default(),
    };
    let check = CellCheck {
        findings: [CellFinding::NothingWrong].into(),
        voltage_mv: Some(3_600 + u32::try_from(dice.below(500)).unwrap_or(0)),
        cells_in_series: Some(1),
        surface_tenths_c: Some(214),
        room_tenths_c: Some(210),
        chemistry: Chemistry::LiIon,
        ..CellCheck::default()
    };
    let arrival = JobArrival {
        parcel_id,
        note: String::new(),
    };
    let mut facts = vec![
        Fact::JobAdvised(advice),
        Fact::JobArrived(arrival),
        Fact::CellChecked(check),
    ];
    let trials = plan.fault.remedy().trials;
    for index in 0..count.saturating_sub(ENTRIES_MIN) {
        facts.push(if index % 3 == 2 {
            Fact::NoteRecorded(Note {
                text: format!(
                    "Reading {} of job {number}: {} mV",
                    index,
                    1_700 + dice.below(200)
                ),
            })
        } else {
            let trial = &trials[index % trials.len()];
            Fact::TestResulted(TestResult {
                phase: if index < count / 2 {
                    Phase::Before
                } else {
                    Phase::After
                },
                code: TestCode(trial.code.to_owned()),
                version: 1,
                title: trial.code.to_owned(),
                outcome: if dice.chance(0.6) {
                    Outcome::Pass
                } else {
                    Outcome::Fail
                },
                note: format!("round {index}"),
                photos: Vec::new(),
                taken: domain::fact::Taken::default(),
            })
        });
    }
    facts
}

#[cfg(test)]
mod tests;
