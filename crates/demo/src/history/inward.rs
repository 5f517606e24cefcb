//! Parcels on their way in: announced, taken in, looked at, counted.

use anyhow::{Context as _, Result};
use desk::commands::dock::{
    CountParcel, ExtraDevice, ParcelView, ReceiveParcel, RecordParcelFindings, count_parcel,
    receive_parcel, record_parcel_findings,
};
use domain::fact::{CellAnswer, DeviceDescription, JobAdvice, LiquidStory, PhotoPlace, Tracking};
use domain::{ParcelId, ShopId, Subject};

use super::world::{Shown, World};
use crate::data::parcels::{Arrival, Look, PARCELS};
use crate::data::remedies::Fault;
use crate::data::{JobPlan, ParcelPlan, Twist, jobs, numbers, people};
use crate::pictures::Picture;
use crate::random::Dice;

impl World {
    /// The tracking number of a parcel of the table.
    fn tracking_of(index: usize, plan: &ParcelPlan) -> String {
        numbers::tracking(
            u32::try_from(index).unwrap_or(0) + 3,
            plan.shop.plan().country,
        )
    }

    /// The shop announces a parcel on the portal.
    pub(crate) fn announce(&mut self, index: usize) -> Result<()> {
        let plan = &PARCELS[index];
        let Some(portal) = &self.portal else {
            return Ok(());
        };
        let tracking = Tracking {
            carrier: "Postal operator".to_owned(),
            number: Self::tracking_of(index, plan),
            warning: String::new(),
        };
        let advices = plan
            .jobs
            .iter()
            .map(|key| advice(jobs::plan(key)))
            .collect();
        let note = if plan.jobs.len() > 1 {
            "All in one box, each in its own bag."
        } else {
            ""
        };
        let parcel_id = portal.announce(plan.shop, note, tracking, advices)?;
        self.sync()?;
        self.parcels.insert(index, parcel_id);
        let view = self.parcel(index)?;
        self.remember_jobs(plan, &view.parcel.expected);
        Ok(())
    }

    fn remember_jobs(&mut self, plan: &ParcelPlan, ids: &[domain::JobId]) {
        for (key, job_id) in plan.jobs.iter().zip(ids) {
            self.jobs.insert(key, *job_id);
        }
    }

    /// The receiver scans the label and looks the parcel over.
    pub(crate) fn receive(&mut self, index: usize) -> Result<()> {
        let plan = &PARCELS[index];
        self.act_as(people::RECEIVER)?;
        let parcel_id = self.parcels.get(&index).copied();
        let shop_id = if parcel_id.is_none() {
            Some(self.shop(plan.shop)?)
        } else {
            None
        };
        let scanned = Self::tracking_of(index, plan);
        let view = receive_parcel(
            &self.desk,
            ReceiveParcel {
                parcel_id,
                scanned,
                shop_id,
            },
        )?;
        let parcel_id = view.parcel.parcel_id;
        self.parcels.insert(index, parcel_id);
        self.tick();
        let finding = RecordParcelFindings {
            parcel_id,
            findings: vec![plan.look.finding()],
            note: plan.look.note().to_owned(),
        };
        record_parcel_findings(&self.desk, finding)?;
        self.photo(&Shown {
            subject: Subject::Parcel(parcel_id),
            picture: Picture::Parcel(plan.look.picture()),
            thing: Dice::for_name(index as u64, "parcel").bits(),
            place: PhotoPlace::Parcel,
            caption: if plan.look == Look::Sound {
                "As it came"
            } else {
                plan.look.note()
            },
            beside: None,
        })?;
        Ok(())
    }

    /// The receiver counts what is inside.
    pub(crate) fn count(&mut self, index: usize) -> Result<()> {
        let plan = &PARCELS[index];
        if plan.state != Arrival::Counted {
            return Ok(());
        }
        self.act_as(people::RECEIVER)?;
        let before = self.parcel(index)?;
        let view = if before.parcel.expected.is_empty() {
            self.count_unannounced(plan, before.parcel.parcel_id)?
        } else {
            self.count_announced(plan, &before)?
        };
        if before.parcel.expected.is_empty() {
            self.remember_jobs(plan, &view.parcel.inside);
        }
        Ok(())
    }

    fn count_announced(&mut self, plan: &ParcelPlan, before: &ParcelView) -> Result<ParcelView> {
        let is_there = |key: &&'static str| jobs::plan(key).twist != Twist::Missing;
        let found: Vec<_> = plan
            .jobs
            .iter()
            .zip(&before.parcel.expected)
            .filter(|(key, _)| is_there(key))
            .map(|(_, id)| *id)
            .collect();
        let missing = before.parcel.expected.len() - found.len();
        let note = if missing > 0 {
            "Searched the padding twice; one device was not in the box."
        } else {
            ""
        };
        let request = CountParcel {
            parcel_id: before.parcel.parcel_id,
            found,
            extra: Vec::new(),
            note: note.to_owned(),
        };
        Ok(count_parcel(&self.desk, request)?)
    }

    fn count_unannounced(&mut self, plan: &ParcelPlan, parcel_id: ParcelId) -> Result<ParcelView> {
        let extra = plan
            .jobs
            .iter()
            .map(|key| {
                let job = jobs::plan(key);
                ExtraDevice {
                    kind: job.model.kind,
                    maker: job.model.maker.to_owned(),
                    model: job.model.name.to_owned(),
                    colour: job.colour.to_owned(),
                    fault: job.words.to_owned(),
                    identifier: announced_identifier(job),
                }
            })
            .collect();
        let note = "No advice, only a note in the box.".to_owned();
        count_parcel(
            &self.desk,
            CountParcel {
                parcel_id,
                found: Vec::new(),
                extra,
                note,
            },
        )
        .context("counting what nobody announced")
    }
}

/// The number as the shop typed it.
pub(crate) fn announced_identifier(job: &JobPlan) -> String {
    let right = numbers::identifier(job.model, job.number);
    match job.twist {
        Twist::WrongCheckDigit | Twist::Mistyped => numbers::with_wrong_check_digit(&right),
        _ => right,
    }
}

/// What the shop says about a device. Shop and parcel are filled in by the server.
fn advice(job: &JobPlan) -> JobAdvice {
    let liquid = (job.fault == Fault::Liquid).then(|| LiquidStory {
        what: "water".to_owned(),
        when: "four days ago".to_owned(),
    });
    let mut cell_answers: std::collections::BTreeSet<CellAnswer> = [CellAnswer::NotSeen].into();
    if liquid.is_some() {
        cell_answers.insert(CellAnswer::Wet);
    }
    JobAdvice {
        shop_id: ShopId::from_bytes([0; 16]),
        parcel_id: ParcelId::from_bytes([0; 16]),
        device: DeviceDescription {
            kind: job.model.kind,
            maker: job.model.maker.to_owned(),
            model: job.model.name.to_owned(),
            colour: job.colour.to_owned(),
        },
        identifier: announced_identifier(job),
        fault: job.words.to_owned(),
        tried: job.tried.to_owned(),
        liquid,
        data_needed: true,
        accessories: job
            .accessories
            .iter()
            .map(|item| (*item).to_owned())
            .collect(),
        cell_answers,
        shop_reference: format!("{}-{}", job.key.to_uppercase(), 700 + job.number),
        battery: domain::fact::AdvisedBattery::default(),
    }
}
