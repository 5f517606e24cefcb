//! Outbound: what is ready for the shop goes into one parcel, a wrong device does not, and it leaves.

use std::sync::Arc;

use anyhow::{Context as _, Result, ensure};
use desk::commands::bench::{self, JobKey};
use desk::commands::outbound::{
    OpenReturnParcel, PackDevice, PrintPackingSlip, ShipParcel, WeighParcel, open_return_parcel,
    outbound, pack_device, print_packing_slip, ship_parcel, weigh_parcel,
};
use desk::commands::transport::{RecordTransport, record_transport};
use desk::commands::{Nothing, PaperSize};
use domain::cells::transport::Verdict;
use domain::job::Passcode;
use domain::parcel::ParcelStage;
use domain::{JobId, ParcelId};

use super::Play;
use super::steps::refusal;
use crate::data::numbers;

/// A device of another shop that is still on the bench.
const WRONG: &str = "n10";
/// The number of the label of the return parcel.
const LABEL_NUMBER: u32 = 401;

impl Play {
    pub(super) fn return_parcel(&mut self) -> Result<()> {
        let (desk, shop_id, job_id) = (Arc::clone(&self.desk), self.shop_id, self.job()?);
        let wrong = bench::job(
            &desk,
            JobKey {
                job_id: self.lab.job(WRONG)?,
            },
        )?
        .job
        .reference;
        let parcel_id = self.steps.step(
            "Outbound: a wrong device is refused, with the reason",
            || {
                let parcel_id = open_return_parcel(&desk, OpenReturnParcel { shop_id })?
                    .parcel
                    .parcel_id;
                let said = refusal(
                    pack_device(
                        &desk,
                        PackDevice {
                            parcel_id,
                            scanned: wrong,
                        },
                    ),
                    "packing another shop’s device",
                )?;
                Ok((parcel_id, said))
            },
        )?;
        let desk = Arc::clone(&self.desk);
        self.steps.step(
            "Every device that is ready for this shop is scanned into its parcel",
            || {
                let groups = outbound(&desk, Nothing {})?.groups;
                let group = groups
                    .into_iter()
                    .find(|group| group.shop.shop_id == shop_id)
                    .context("nothing is ready for this shop")?;
                ensure!(
                    group.ready.iter().any(|row| row.job_id == job_id),
                    "the repaired device is not ready to go"
                );
                for row in &group.ready {
                    pack_device(
                        &desk,
                        PackDevice {
                            parcel_id,
                            scanned: row.reference.clone(),
                        },
                    )
                    .with_context(|| format!("packing {}", row.reference))?;
                }
                Ok(((), counted(group.ready.len())))
            },
        )?;
        self.send(parcel_id, job_id)
    }

    /// Weighs the parcel, says how it goes, and hands it to its carrier; what is missing is refused first.
    fn send(&mut self, parcel_id: ParcelId, job_id: JobId) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        self.steps.step(
            "Packing slip, weight, tracking number, shipped; the passcode is destroyed",
            || {
                let slip = print_packing_slip(
                    &desk,
                    PrintPackingSlip {
                        parcel_id,
                        size: PaperSize::A4,
                    },
                )?;
                ensure!(
                    desk.paper_bytes(&slip.name)?.starts_with(b"%PDF-"),
                    "the packing slip is no PDF"
                );
                let request = || ShipParcel {
                    parcel_id,
                    tracking: numbers::road_parcel(LABEL_NUMBER),
                    carrier: String::new(),
                };
                let said = refusal(
                    ship_parcel(&desk, request()),
                    "shipping a parcel that was not weighed",
                )?;
                weigh_parcel(
                    &desk,
                    WeighParcel {
                        parcel_id,
                        grams: "1240".to_owned(),
                    },
                )?;
                let unsaid = refusal(
                    ship_parcel(&desk, request()),
                    "shipping a parcel of which nobody said how it goes",
                )?;
                let verdict = record_transport(
                    &desk,
                    RecordTransport {
                        parcel_id,
                        plan: super::way_to(super::SHOP.plan().country),
                    },
                )?
                .verdict;
                ensure!(
                    verdict.as_ref().is_some_and(Verdict::may_go),
                    "the return parcel may not go: {verdict:?}"
                );
                let view = ship_parcel(&desk, request())?;
                ensure!(
                    view.parcel.stage == ParcelStage::Shipped,
                    "the parcel is {}",
                    view.parcel.stage.word()
                );
                let job = bench::job(&desk, JobKey { job_id })?.job;
                ensure!(
                    matches!(job.passcode, Passcode::Destroyed { .. }),
                    "the passcode outlived the device’s stay"
                );
                Ok((
                    (),
                    format!(
                        "before it was weighed: {said}; before its way was said: {unsaid}; verdict: {}",
                        verdict.map_or_else(String::new, |verdict| verdict.words)
                    ),
                ))
            },
        )
    }
}

fn counted(devices: usize) -> String {
    if devices == 1 {
        "one device".to_owned()
    } else {
        format!("{devices} devices")
    }
}
