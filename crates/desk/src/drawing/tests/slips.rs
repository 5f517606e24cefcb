//! Job tags and packing slips, made through the commands and read back.

use domain::ParcelId;

use super::bench::{Bench, bench, closed};
use super::{check, text_of};
use crate::commands::dock::{PrintJobTags, TagStock, print_job_tags};
use crate::commands::outbound::{
    OpenReturnParcel, PackDevice, PrintPackingSlip, WeighParcel, open_return_parcel, pack_device,
    print_packing_slip, weigh_parcel,
};
use crate::commands::{PaperFile, PaperSize};
use crate::error::DeskError;

pub(super) fn tags(
    bench: &Bench,
    stock: TagStock,
    first_label: u32,
) -> Result<PaperFile, DeskError> {
    print_job_tags(
        &bench.desk,
        PrintJobTags {
            job_ids: vec![bench.job_id],
            stock,
            first_label,
        },
    )
}

#[test]
fn a_tag_names_the_job_the_shop_and_the_device() {
    let bench = bench();
    let reference = bench.desk.job(bench.job_id).unwrap().reference;
    for (stock, suffix) in [
        (TagStock::Roll62Mm, "roll"),
        (TagStock::SheetA4, "a4"),
        (TagStock::SheetLetter, "letter"),
    ] {
        let paper = tags(&bench, stock, 2).unwrap();
        assert_eq!(paper.name, format!("tag-{reference}-{suffix}.pdf"));
        let Some(text) = text_of(&paper.path) else {
            return;
        };
        check(
            &text,
            &[
                &reference,
                "Corner & Sons",
                "Vireo Lumen 6",
                "in 20 Nov 2026",
            ],
        );
    }
}

#[test]
fn a_label_that_is_not_on_the_sheet_is_refused() {
    for (stock, first_label, labels) in [
        (TagStock::SheetA4, 0, 24),
        (TagStock::SheetA4, 25, 24),
        (TagStock::SheetLetter, 11, 10),
    ] {
        let error = tags(&bench(), stock, first_label).unwrap_err();
        assert_eq!(
            error.to_string(),
            format!("Label {first_label} is not on the sheet; choose one from 1 to {labels}.")
        );
    }
}

pub(super) fn packed(bench: &Bench) -> ParcelId {
    bench.report(PaperSize::A4);
    let job = bench.desk.job(bench.job_id).unwrap();
    let parcel_id = open_return_parcel(
        &bench.desk,
        OpenReturnParcel {
            shop_id: job.shop_id.unwrap(),
        },
    )
    .unwrap()
    .parcel
    .parcel_id;
    pack_device(
        &bench.desk,
        PackDevice {
            parcel_id,
            scanned: job.reference,
        },
    )
    .unwrap();
    weigh_parcel(
        &bench.desk,
        WeighParcel {
            parcel_id,
            grams: "412".to_owned(),
        },
    )
    .unwrap();
    parcel_id
}

#[test]
fn a_packing_slip_lists_devices_weight_and_what_to_mind() {
    let bench = closed();
    let parcel_id = packed(&bench);
    for size in [PaperSize::A4, PaperSize::Letter] {
        let paper = print_packing_slip(&bench.desk, PrintPackingSlip { parcel_id, size }).unwrap();
        let parcel = bench.desk.parcel(parcel_id).unwrap();
        assert_eq!(paper.name, format!("packing-slip-{}.pdf", parcel.reference));
        let Some(text) = text_of(&paper.path) else {
            return;
        };
        check(
            &text,
            &[
                &parcel.reference,
                "1 Market Row",
                "412 g",
                "Vireo Lumen 6",
                "Repaired in part",
                "card tray",
            ],
        );
        check(
            &text,
            &[
                "Lithium cells in 1 device",
                "no transport document",
                "trained for it",
                domain::cells::RULES_REVISION,
            ],
        );
    }
}
