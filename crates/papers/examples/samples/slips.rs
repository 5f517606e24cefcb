//! Sample slips and tags.

use papers::model::{
    CellLevel, HazardMark, InwardSlip, JobTag, JobTags, LabelGrid, OutcomeKind, PackedDevice,
    PackingSlip, PackingWording, PageSize, SlipDevice, SlipWording, TagStock, TransportMark,
};

use super::{lab, lithium_caution, meta, mono, shop, strings, text};

pub(crate) fn inward_slip() -> InwardSlip {
    InwardSlip {
        meta: meta("Inward slip 4H8W-Q2ZT-Z", "en"),
        wording: SlipWording::default(),
        lab: lab(),
        parcel_ref: "4H8W-Q2ZT-Z".to_owned(),
        code: "WB:P:4H8WQ2ZTZ".to_owned(),
        shop: shop(),
        facts: vec![
            text("Advised", "24 November 2026, 16:42"),
            text("Carrier", "Ellery Post, tracked"),
            mono("Tracking", "RR 473 124 829 GB"),
            text("Devices", "2"),
        ],
        devices: vec![
            SlipDevice {
                name: "Vireo Lumen 6 (phone)".to_owned(),
                identifier: "IMEI 490154203237518".to_owned(),
                fault: "Dead since it fell into a sink; charges nothing, no picture.".to_owned(),
                accessories: "Card tray".to_owned(),
                job_ref: "7K3M-2Q9X-T".to_owned(),
            },
            SlipDevice {
                name: "Ostrava Slate 11 (tablet)".to_owned(),
                identifier: "SN OS11-48820-QF".to_owned(),
                fault: "Touch stops working when warm.".to_owned(),
                accessories: "None".to_owned(),
                job_ref: "9D2V-7HNB-L".to_owned(),
            },
        ],
        packing: strings(&[
            "Switch each device off. Leave its cell in place; do not send spare or loose cells.",
            "Do not pack a device whose case bulges, leaks, smells or is hot: call the lab first.",
            "Wrap each device by itself so that no key can be pressed, and mark the wrap with its job reference.",
            "Use a rigid box with at least 3 cm of soft filling on all six sides; nothing may shift when shaken.",
            "Lay this sheet on top, close the box, and hand it over against a receipt with the tracking number.",
        ]),
        cautions: vec![lithium_caution()],
    }
}

pub(crate) fn packing_slip() -> PackingSlip {
    PackingSlip {
        meta: meta("Packing slip 8F5C-1KXA-K", "en"),
        wording: PackingWording::default(),
        lab: lab(),
        parcel_ref: "8F5C-1KXA-K".to_owned(),
        code: "WB:P:8F5C1KXAK".to_owned(),
        to: shop(),
        facts: vec![
            text("Packed", "25 November 2026, 15:10, R. Okafor"),
            text("Carrier", "Ellery Post, tracked, by road"),
            mono("Tracking", "RR 473 124 832 GB"),
            mono("Weight", "1.24 kg"),
        ],
        devices: vec![
            PackedDevice {
                job_ref: "7K3M-2Q9X-T".to_owned(),
                name: "Vireo Lumen 6 (phone)".to_owned(),
                identifier: "IMEI 490154203237518".to_owned(),
                accessories: "Card tray".to_owned(),
                outcome: OutcomeKind::Repaired,
                outcome_word: "Repaired".to_owned(),
                note: String::new(),
            },
            PackedDevice {
                job_ref: "9D2V-7HNB-L".to_owned(),
                name: "Ostrava Slate 11 (tablet)".to_owned(),
                identifier: "SN OS11-48820-QF".to_owned(),
                accessories: String::new(),
                outcome: OutcomeKind::Declined,
                outcome_word: "Declined".to_owned(),
                note: "Returned as it came; the quote was refused on 23 November.".to_owned(),
            },
            PackedDevice {
                job_ref: "2M6R-XJ4E-C".to_owned(),
                name: "Corvid Fieldbook 14 (laptop)".to_owned(),
                identifier: "SN CF14-0093-1177".to_owned(),
                accessories: "Power supply, sleeve".to_owned(),
                outcome: OutcomeKind::BeyondEconomicRepair,
                outcome_word: "Beyond economic repair".to_owned(),
                note: "The cell was removed and went to the recycler.".to_owned(),
            },
        ],
        marks: vec![TransportMark {
            title: "Lithium battery mark, UN 3481".to_owned(),
            text: "on one side of the box, not folded over an edge; not needed for up to 2 batteries in at most 2 boxes"
                .to_owned(),
            source: "ADR 2025, SP 188 (f)".to_owned(),
        }],
        cautions: vec![lithium_caution()],
        notes: strings(&["Count the devices before you sign. Tell the lab the same day if one is missing."]),
        terms: Vec::new(),
    }
}

fn tags() -> Vec<JobTag> {
    let tag = |code: &str, job_ref: &str, shop: &str, device: &str| JobTag {
        code: code.to_owned(),
        job_ref: job_ref.to_owned(),
        shop: shop.to_owned(),
        device: device.to_owned(),
        identifier: "490154203237518".to_owned(),
        bag: "bag 1 of 2".to_owned(),
        note: "received 20 Nov 2026".to_owned(),
        hazard: None,
    };
    let hazard = |level, word: &str, text: &str| {
        Some(HazardMark {
            level,
            word: word.to_owned(),
            text: text.to_owned(),
        })
    };
    vec![
        tag(
            "WB:J:7K3M2Q9XT",
            "7K3M-2Q9X-T",
            "Glass & Signal",
            "Vireo Lumen 6",
        ),
        JobTag {
            hazard: hazard(
                CellLevel::Isolate,
                "Isolate",
                "swollen: no charging, no post",
            ),
            bag: "bag 2 of 2".to_owned(),
            ..tag(
                "WB:J:9D2V7HNBL",
                "9D2V-7HNB-L",
                "Glass & Signal",
                "Ostrava Slate 11",
            )
        },
        JobTag {
            hazard: hazard(CellLevel::Watch, "Watch", "reading at 16:00 and 20:00"),
            ..tag(
                "WB:J:2M6RXJ4EC",
                "2M6R-XJ4E-C",
                "Ηλεκτρονική Αυγή, Θεσσαλονίκη",
                "Corvid Fieldbook 14",
            )
        },
        JobTag {
            hazard: hazard(CellLevel::Emergency, "Emergency", "leave the room, call"),
            ..tag(
                "WB:J:5T8YB3WAZ",
                "5T8Y-B3WA-Z",
                "Мастерская «Северный паяльник», Великий Новгород",
                "Halcyon Wayfarer Pro Max Extended Battery Edition 2025",
            )
        },
    ]
}

pub(crate) fn tags_on_roll() -> JobTags {
    JobTags {
        meta: meta("Job tags", "en"),
        stock: TagStock::Roll62,
        tags: tags(),
    }
}

pub(crate) fn tags_on_sheet(page_size: PageSize, start_position: u32) -> JobTags {
    let grid = LabelGrid::usual_for(page_size);
    JobTags {
        meta: meta("Job tags", "en"),
        stock: TagStock::Sheet {
            grid,
            start_position,
        },
        tags: tags(),
    }
}
