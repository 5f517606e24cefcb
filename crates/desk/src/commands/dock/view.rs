//! What a screen is shown of parcels, inward and outward, put together from the folds. Nothing here changes anything.

pub use crate::views::{InParcel, ParcelDeviceRow, ParcelView};

use domain::job::Stage;
use domain::parcel::{Direction, Parcel};
use domain::{ParcelId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::commands::{ParcelRow, ShopBrief};
use crate::desk::Desk;
use crate::error::DeskError;

/// Parcels on the Dock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DockView {
    /// Received, not counted: what to do first.
    pub to_count: Vec<ParcelRow>,
    /// Announced, not here, oldest first.
    pub awaited: Vec<ParcelRow>,
    /// Counted lately, latest first.
    pub counted: Vec<ParcelRow>,
    /// All shops, for a parcel that nobody announced.
    pub shops: Vec<ShopBrief>,
}

impl Desk {
    /// One parcel with all that belongs to it.
    pub(crate) fn parcel_view(&self, parcel_id: ParcelId) -> Result<ParcelView, DeskError> {
        let entries = self.entries(Subject::Parcel(parcel_id))?;
        if entries.is_empty() {
            return Err(DeskError::NotFound { what: "parcel" });
        }
        let parcel = domain::fold_parcel(parcel_id, &entries);
        let trail = domain::job::trail(&entries);
        let shop = parcel
            .shop_id
            .map(|shop_id| self.shop_brief(shop_id))
            .transpose()?
            .flatten();
        let devices = self.parcel_devices(&parcel)?;
        let hashes: Vec<_> = parcel.photos.iter().map(|photo| photo.value.hash).collect();
        Ok(ParcelView {
            photo_states: self.photo_states(&hashes)?,
            people: self.people_named(trail.iter().map(|line| line.mark.actor_id))?,
            cautions: parcel_cautions(&parcel),
            not_ready: if parcel.direction == Direction::Outward {
                let mut sentences = crate::commands::outbound::not_ready(&parcel, &devices);
                sentences.extend(self.transport_view(&parcel)?.blocked);
                sentences
            } else {
                Vec::new()
            },
            parcel,
            shop,
            devices,
            trail,
        })
    }

    fn parcel_devices(&self, parcel: &Parcel) -> Result<Vec<ParcelDeviceRow>, DeskError> {
        let mut ids = parcel.expected.clone();
        ids.extend(
            parcel
                .inside
                .iter()
                .filter(|job_id| !parcel.expected.contains(job_id)),
        );
        let mut devices = Vec::new();
        for job_id in ids {
            let job = self.job(job_id)?;
            let advice = job.advice.as_ref().map(|advice| &advice.value);
            let state = match (parcel.direction, parcel.count.is_some()) {
                (Direction::Outward, _) => InParcel::Packed,
                (_, false) if job.stage == Stage::Advised => InParcel::Expected,
                _ if !parcel.expected.contains(&job_id) => InParcel::Extra,
                _ if parcel.inside.contains(&job_id) || job.arrived.is_some() => InParcel::Found,
                _ => InParcel::Missing,
            };
            devices.push(ParcelDeviceRow {
                state,
                cell_answers: advice.map_or(Vec::new(), |advice| {
                    advice.cell_answers.iter().copied().collect()
                }),
                accessories: advice.map_or(Vec::new(), |advice| advice.accessories.clone()),
                job: self.row_of(&job)?,
            });
        }
        Ok(devices)
    }
}

fn parcel_cautions(parcel: &Parcel) -> Vec<String> {
    let mut cautions = Vec::new();
    if parcel.danger {
        cautions.push(
            "Do not open this parcel and do not carry it. Keep people away, leave the room if it smokes or hisses, raise the alarm and call \
             the fire service."
                .to_owned(),
        );
    } else if parcel.direction == Direction::Inward && parcel.count.is_none() {
        cautions.push(
            "Before opening: feel for warmth, look for bulges, smell for solvent. If there is any, leave it closed and record it here."
                .to_owned(),
        );
    }
    cautions
}
