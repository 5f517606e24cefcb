//! Parcels that go back.

use anyhow::{Context as _, Result, ensure};
use desk::commands::outbound::{
    OpenReturnParcel, PackDevice, PrintPackingSlip, ShipParcel, WeighParcel, open_return_parcel,
    outbound, pack_device, print_packing_slip, ship_parcel, weigh_parcel,
};
use desk::commands::transport::{RecordTransport, record_transport};
use desk::commands::{Nothing, PaperSize};
use domain::Subject;
use domain::fact::PhotoPlace;

use super::world::{Shown, World};
use crate::data::parcels::ReturnPlan;
use crate::data::{numbers, people};
use crate::pictures::Picture;
use crate::random::Dice;

impl World {
    /// All that is ready for a shop is packed; the parcel is shipped, if the plan says so.
    pub(crate) fn send_back(&mut self, index: usize, plan: ReturnPlan) -> Result<()> {
        self.act_as(people::SHIPPER)?;
        let shop_id = self.shop(plan.shop)?;
        let groups = outbound(&self.desk, Nothing {})?.groups;
        let ready = groups
            .into_iter()
            .find(|group| group.shop.shop_id == shop_id)
            .map_or(Vec::new(), |group| group.ready);
        ensure!(
            !ready.is_empty(),
            "no device of {} is ready on day {}",
            plan.shop.plan().name,
            plan.day
        );
        let parcel_id = open_return_parcel(&self.desk, OpenReturnParcel { shop_id })?
            .parcel
            .parcel_id;
        for row in &ready {
            self.tick();
            let request = PackDevice {
                parcel_id,
                scanned: row.reference.clone(),
            };
            pack_device(&self.desk, request)
                .with_context(|| format!("packing {}", row.reference))?;
        }
        if !plan.shipped {
            return Ok(());
        }
        self.photo(&Shown {
            subject: Subject::Parcel(parcel_id),
            picture: Picture::Packing,
            thing: Dice::for_name(index as u64, "return").bits(),
            place: PhotoPlace::Packing,
            caption: "Each in its own bag, padded all round",
            beside: None,
        })?;
        print_packing_slip(
            &self.desk,
            PrintPackingSlip {
                parcel_id,
                size: PaperSize::A4,
            },
        )?;
        self.tick();
        let grams = 340 + 410 * ready.len();
        weigh_parcel(
            &self.desk,
            WeighParcel {
                parcel_id,
                grams: grams.to_string(),
            },
        )?;
        record_transport(
            &self.desk,
            RecordTransport {
                parcel_id,
                plan: crate::play::way_to(plan.shop.plan().country),
            },
        )?;
        self.tick();
        let tracking = numbers::road_parcel(u32::try_from(index).unwrap_or(0) + 90);
        ship_parcel(
            &self.desk,
            ShipParcel {
                parcel_id,
                tracking,
                carrier: String::new(),
            },
        )?;
        self.sync()
    }
}
