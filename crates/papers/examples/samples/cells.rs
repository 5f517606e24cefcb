//! Sample papers of the Cell bay.

use papers::model::{
    BayLabel, BayLabels, BayStock, Caution, CellLevel, HandoverRecord, Party, ReadingDue,
    SignatureLine, TrailRow,
};

use super::transport::{eight_cautions, rule};
use super::{lab, meta, mono, strings, text};

fn due(at: &str) -> ReadingDue {
    ReadingDue {
        at: at.to_owned(),
        ..ReadingDue::default()
    }
}

fn isolated() -> BayLabel {
    BayLabel {
        code: "WB:C:5T8YB3WAZ".to_owned(),
        reference: "5T8Y-B3WA-Z".to_owned(),
        level: CellLevel::Isolate,
        level_word: "isolate".to_owned(),
        what: "Cell of Vireo Lumen 6, Li-ion 3.87 V, 4300 mAh".to_owned(),
        of: "Glass & Signal, job 7K3M-2Q9X-T".to_owned(),
        place: "drum 2, outdoors box".to_owned(),
        since: "25 Nov 2026, 14:05".to_owned(),
        by: "Ana Ruiz".to_owned(),
        reasons: strings(&[
            "Swollen: the back was lifted.",
            "3.61 V at rest, 21.9 °C in a room of 21.0 °C.",
        ]),
        due: vec![
            ReadingDue {
                surface: "21.9".to_owned(),
                room: "21.0".to_owned(),
                voltage: "3.61".to_owned(),
                seen: "swollen, no smell".to_owned(),
                by: "AR".to_owned(),
                ..due("25 Nov, 14:05")
            },
            due("25 Nov, 15:05"),
            due("25 Nov, 18:05"),
            due("26 Nov, 14:05"),
        ],
        after_that: "then once a day, while it is here".to_owned(),
        blank_rows: 5,
        forbidden: "Do not charge, open, bend, press or pierce it.".to_owned(),
        emergency: "Smoke, hiss or heat: leave, close the door, call 999. Do not pick it up."
            .to_owned(),
        cautions: vec![Caution {
            title: "Times are common practice, not law".to_owned(),
            text: "Local fire code and a trained person come first.".to_owned(),
            source: "bench rules of 2026-11-25".to_owned(),
        }],
    }
}

pub(crate) fn bay_labels(stock: BayStock) -> BayLabels {
    BayLabels {
        meta: meta("Bay labels", "en"),
        stock,
        labels: vec![
            isolated(),
            BayLabel {
                level: CellLevel::Watch,
                level_word: "watch".to_owned(),
                what: "Мастерская «Северный паяльник»: Halcyon Wayfarer Pro Max Extended Battery Edition 2025".to_owned(),
                of: "Ηλεκτρονική Αυγή, Θεσσαλονίκη".to_owned(),
                place: "Cell bay, shelf 1".to_owned(),
                ..isolated()
            },
            BayLabel {
                level: CellLevel::Emergency,
                level_word: "emergency".to_owned(),
                reasons: strings(&["Smoke was seen."]),
                due: Vec::new(),
                blank_rows: 0,
                ..isolated()
            },
        ],
        ..BayLabels::default()
    }
}

pub(crate) fn handover_record() -> HandoverRecord {
    let row = |at: &str, what: &str, reading: &str, by: &str| TrailRow {
        at: at.to_owned(),
        what: what.to_owned(),
        reading: reading.to_owned(),
        by: by.to_owned(),
    };
    HandoverRecord {
        meta: meta("Handover of cell 5T8Y-B3WA-Z", "en"),
        lab: lab(),
        reference: "5T8Y-B3WA-Z".to_owned(),
        code: "WB:C:5T8YB3WAZ".to_owned(),
        to: Party {
            name: "Brackwater Cell Recovery".to_owned(),
            address: strings(&["Unit 4, Salt Lane", "Port Ellery EL7 1AB"]),
        },
        facts: vec![
            text("Handed over", "28 November 2026, 09:30"),
            text("By", "Ana Ruiz"),
            text("Collected by", "van, road"),
            mono("Gross mass", "1 240 g"),
        ],
        level: CellLevel::Isolate,
        level_words: "Damaged cell: swollen".to_owned(),
        cell: vec![
            text("Chemistry", "lithium ion"),
            mono("Rating", "3.87 V, 4300 mAh, 16.64 Wh"),
            text("Count", "1 cell, removed"),
            text("From", "Vireo Lumen 6, job 7K3M-2Q9X-T"),
        ],
        findings: strings(&[
            "Swollen: the back of the device was lifted.",
            "No leak, no smell, never warm here.",
        ]),
        packing: strings(&[
            "Terminals covered; alone in an inner packing that does not conduct; round it material that neither burns nor conducts and soaks up what leaks.",
        ]),
        trail: vec![
            row(
                "24 Nov 2026, 14:02",
                "found swollen at the cell check",
                "3.61 V, 21.9 °C, room 21.0 °C",
                "Ana Ruiz",
            ),
            row(
                "24 Nov 2026, 15:30",
                "removed from the device, into drum 2",
                "",
                "Ana Ruiz",
            ),
            row(
                "24 Nov 2026, 16:30",
                "reading",
                "3.60 V, 21.4 °C, room 21.2 °C",
                "Noor Haddad",
            ),
            row(
                "25 Nov 2026, 15:30",
                "reading",
                "3.60 V, 20.8 °C, room 20.9 °C",
                "Noor Haddad",
            ),
        ],
        rules: vec![
            rule(
                "A damaged cell goes by the rules for damaged cells, to a recycler too.",
                "49 CFR 173.185(f); PHMSA 24-0050",
                "December 2022; 2024",
                "text read",
            ),
            rule(
                "A cell with a breached case is not universal waste.",
                "40 CFR 273.13, 273.33",
                "as quoted by EPA",
                "read second-hand",
            ),
        ],
        unknowns: strings(&["Its state of charge, other than by its voltage."]),
        cautions: eight_cautions(),
        signatures: vec![
            SignatureLine {
                role: "Handed over by".to_owned(),
                name: "Ana Ruiz".to_owned(),
            },
            SignatureLine {
                role: "Taken over by".to_owned(),
                name: String::new(),
            },
        ],
        ..HandoverRecord::default()
    }
}
