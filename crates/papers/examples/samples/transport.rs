//! Sample marks, words and instructions for parcels with lithium cells.

use papers::model::{
    BatteryMark, BatteryMarks, Caution, InstructionDevice, LimitChecked, MarkSize, Overridden,
    PackingInstruction, PackingStep, Party, RuleCited, SignatureLine, TransportMark, VerdictKind,
    WaybillSentence, WaybillSentences, WordLabel, WordLabels,
};

use super::{lab, meta, mono, shop, strings, text};

const CHECKED: &str = "last checked 25 November 2026";

pub(crate) fn rule(text: &str, clause: &str, edition: &str, certainty: &str) -> RuleCited {
    RuleCited {
        text: text.to_owned(),
        clause: clause.to_owned(),
        edition: edition.to_owned(),
        certainty: certainty.to_owned(),
        checked: CHECKED.to_owned(),
    }
}

fn size_rules() -> Vec<RuleCited> {
    vec![
        rule(
            "",
            "49 CFR 173.185(c)(3)(i)(A)",
            "text of December 2022",
            "text read",
        ),
        rule("", "ADR 5.2.1.9.2", "2025 edition", "text read"),
        rule(
            "",
            "UN number 12 mm: IATA guidance F.01, F.02",
            "2026",
            "read second-hand",
        ),
    ]
}

fn mark(un_numbers: &[u16], size: MarkSize) -> BatteryMark {
    BatteryMark {
        un_numbers: un_numbers.to_vec(),
        size,
        placement: "For package 1 of 2, on one side of the outer box.".to_owned(),
        rules: size_rules(),
        ..BatteryMark::default()
    }
}

/// One mark of each lawful size, with one and with two numbers.
pub(crate) fn battery_marks() -> BatteryMarks {
    BatteryMarks {
        meta: meta("Battery marks 4H8W-Q2ZT-Z", "en"),
        lab: lab().name,
        reference: "4H8W-Q2ZT-Z".to_owned(),
        marks: vec![
            mark(&[3481], MarkSize::Full),
            mark(&[3481, 3091], MarkSize::Full),
            mark(&[3481], MarkSize::Small),
            mark(&[3480, 3481], MarkSize::Small),
        ],
        ..BatteryMarks::default()
    }
}

/// A mark as the US rule still allows it until the end of 2026.
pub(crate) fn old_battery_mark() -> BatteryMarks {
    BatteryMarks {
        marks: vec![BatteryMark {
            telephone: "+1 555 010 0199".to_owned(),
            ..mark(&[3481], MarkSize::Full)
        }],
        ..battery_marks()
    }
}

fn label(words: &str, letter_height_mm: f32, placement: &str, rules: Vec<RuleCited>) -> WordLabel {
    WordLabel {
        words: words.to_owned(),
        letter_height_mm,
        placement: placement.to_owned(),
        rules,
    }
}

const OUTSIDE: &str = "On the outside of the outer packaging.";

/// Every kind of words.
pub(crate) fn word_labels() -> WordLabels {
    let ddr = || {
        rule(
            "",
            "49 CFR 173.185(f)(4)",
            "text of December 2022",
            "text read",
        )
    };
    let sp376 = || {
        rule(
            "",
            "ADR 3.3.1, SP 376",
            "2025 edition",
            "height read, English wording from memory",
        )
    };
    let height = || {
        rule(
            "",
            "49 CFR 173.185(c)(1)(v)",
            "text of December 2022",
            "text read",
        )
    };
    let postal = || {
        rule(
            "",
            "Federal Register 87 FR 73459, Postal Bulletin 22617",
            "30 November 2022",
            "text read; no letter height in it, so common practice",
        )
    };
    WordLabels {
        meta: meta("Words on parcel 4H8W-Q2ZT-Z", "en"),
        lab: lab().name,
        reference: "4H8W-Q2ZT-Z".to_owned(),
        labels: vec![
            label(
                "DAMAGED/DEFECTIVE LITHIUM\u{A0}ION BATTERY",
                12.0,
                OUTSIDE,
                vec![ddr()],
            ),
            label(
                "DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES",
                12.0,
                OUTSIDE,
                vec![sp376()],
            ),
            label(
                "LITHIUM\u{A0}ION BATTERIES—FORBIDDEN FOR\u{A0}TRANSPORT ABOARD PASSENGER AIRCRAFT",
                6.0,
                "Packages up to 30 kg gross.",
                vec![height()],
            ),
            label(
                "LITHIUM\u{A0}ION BATTERIES—FORBIDDEN FOR\u{A0}TRANSPORT ABOARD PASSENGER AIRCRAFT",
                12.0,
                "Packages above 30 kg gross.",
                vec![height()],
            ),
            label(
                "LITHIUM BATTERIES—FORBIDDEN FOR\u{A0}TRANSPORT ABOARD\u{A0}AIRCRAFT AND\u{A0}VESSEL",
                6.0,
                "Packages up to 30 kg gross, by road or rail only.",
                vec![height()],
            ),
            label(
                "RESTRICTED ELECTRONIC DEVICE\nSURFACE TRANSPORTATION ONLY",
                6.0,
                OUTSIDE,
                vec![postal()],
            ),
            label(
                "OVERPACK",
                12.0,
                "On the overpack, when the marks inside cannot be seen.",
                vec![rule(
                    "",
                    "49 CFR 173.185(c)(3)(iii); ADR SP 188(f)",
                    "December 2022; 2025",
                    "text read",
                )],
            ),
            label(
                "LITHIUM BATTERIES FOR\u{A0}RECYCLING",
                12.0,
                OUTSIDE,
                vec![rule(
                    "",
                    "ADR SP 377, P909",
                    "2025 edition",
                    "English wording from memory",
                )],
            ),
        ],
        ..WordLabels::default()
    }
}

/// Words that fit a sheet only across it.
pub(crate) fn wide_word_label() -> WordLabels {
    WordLabels {
        labels: vec![label(
            "BESCHÄDIGTE LITHIUMIONENBATTERIEN",
            12.0,
            OUTSIDE,
            vec![rule(
                "",
                "ADR SP 376",
                "2025 edition",
                "wording invented for this sample",
            )],
        )],
        ..word_labels()
    }
}

pub(crate) fn waybill_sentences() -> WaybillSentences {
    WaybillSentences {
        meta: meta("Air waybill sentence 4H8W-Q2ZT-Z", "en"),
        lab: lab(),
        reference: "4H8W-Q2ZT-Z".to_owned(),
        facts: vec![
            text("To", "Glass & Signal, Cantle Bay"),
            text("Carrier", "Ellery Air Parcel"),
            text("Packages", "3"),
            text("Ship date", "26 November 2026"),
        ],
        sentences: vec![WaybillSentence {
            text: "Lithium ion batteries in compliance with Section II of PI966".to_owned(),
            placement: "in the box for the nature and quantity of goods".to_owned(),
            rules: vec![rule(
                "Asked for when a mark is on the package.",
                "PI 966 Section II",
                "67th edition, 2026",
                "read second-hand",
            )],
        }],
        notes: strings(&[
            "It is the shipper’s own statement: whoever signs the waybill answers for it.",
            "When only some packages need it, say on the waybill how many.",
        ]),
        ..WaybillSentences::default()
    }
}

fn caution(title: &str, text: &str, source: &str) -> Caution {
    Caution {
        title: title.to_owned(),
        text: text.to_owned(),
        source: source.to_owned(),
    }
}

pub(crate) fn eight_cautions() -> Vec<Caution> {
    vec![
        caution(
            "A check list, not approval",
            "The person who signs as shipper decides and is responsible.",
            "49 CFR 171.1(b)(11), 173.22",
        ),
        caution(
            "Rules change",
            "Air and ADR editions turn on 1 January 2027; the US mark with a telephone number ends on 31 December 2026.",
            "each rule names its edition",
        ),
        caution(
            "Training",
            "Fully regulated and damaged-cell parcels need a shipper trained for dangerous goods; packers of small ones by air need \
             adequate instruction.",
            "49 CFR 172.704; IATA 1.5, 1.6, from memory",
        ),
        caution(
            "Others may be stricter",
            "The carrier’s or the post’s terms win, and so do local fire code and licensed practice.",
            "",
        ),
        caution(
            "Damaged, suspected or not diagnosed",
            "Not by air, not by post.",
            "49 CFR 173.185(f), December 2022; ADR 2025, SP 376",
        ),
        caution(
            "Condition",
            "A technician who knows batteries, or the maker’s criteria, judges it; photos and voltages are recorded.",
            "ADR 2025, SP 376",
        ),
        caution(
            "Smoke, hiss, heat",
            "Leave and call the fire service. This program is no emergency service.",
            "",
        ),
        caution("What is not known", "It is never taken for good.", ""),
    ]
}

fn step(title: &str, text: &str, source: &str) -> PackingStep {
    PackingStep {
        title: title.to_owned(),
        text: text.to_owned(),
        source: source.to_owned(),
    }
}

fn limit(what: &str, value: &str, limit: &str, is_within: bool, source: &str) -> LimitChecked {
    LimitChecked {
        what: what.to_owned(),
        value: value.to_owned(),
        limit: limit.to_owned(),
        result: match (is_within, value) {
            (true, _) => "within",
            (false, "not known") => "not known",
            (false, _) => "over",
        }
        .to_owned(),
        is_within,
        source: source.to_owned(),
    }
}

fn devices() -> Vec<InstructionDevice> {
    let device = |reference: &str, name: &str, cell: &str| InstructionDevice {
        reference: reference.to_owned(),
        name: name.to_owned(),
        identifier: "490154203237518".to_owned(),
        cell: cell.to_owned(),
        condition:
            "Clear: seen, 3.87 V, 21.4 °C in a room of 21.0 °C. Ana Ruiz, 24 Nov 2026, 14:02"
                .to_owned(),
        note: String::new(),
    };
    vec![
        device(
            "7K3M-2Q9X-T",
            "Vireo Lumen 6, phone",
            "Li-ion, 1 cell, 16.64 Wh, inside",
        ),
        device(
            "9D2V-7HNB-L",
            "Ostrava Slate 11, tablet",
            "Li-ion, 2 cells, 28.88 Wh, inside",
        ),
        InstructionDevice {
            note: "One spare battery beside it, in its own bag.".to_owned(),
            ..device(
                "2M6R-XJ4E-C",
                "Corvid Fieldbook 14, laptop",
                "Li-ion, 4 cells, 57.70 Wh, inside",
            )
        },
    ]
}

/// An ordinary parcel that needs the mark.
pub(crate) fn packing_instruction() -> PackingInstruction {
    PackingInstruction {
        meta: meta("Packing instruction 4H8W-Q2ZT-Z", "en"),
        lab: lab(),
        parcel_ref: "4H8W-Q2ZT-Z".to_owned(),
        code: "WB:P:4H8WQ2ZTZ".to_owned(),
        to: shop(),
        facts: vec![
            text("Way", "by road, rules of ADR"),
            text("Carrier", "Ellery Parcel"),
            text("Ship date", "26 November 2026"),
            text("Packages", "1 of 1"),
            mono("UN number", "UN 3481"),
            text("Shipping name", "Lithium ion batteries packed with equipment"),
            text("Packed by", "SP 188"),
        ],
        verdict: VerdictKind::Marked,
        verdict_words: "May go with the battery mark".to_owned(),
        verdict_text: "A spare battery lies beside its device, so the whole parcel counts as packed with equipment.".to_owned(),
        alternatives: strings(&[
            "Take the spare battery out: the two batteries and the cell in the devices still need the mark, since cells and batteries are mixed.",
        ]),
        devices: devices(),
        steps: vec![
            step("Check each device", "Scan its tag. Look at the case: nothing lifted, no smell, not warm. If in doubt, stop and call the second pair of eyes.", ""),
            step("Switch off", "Shut down, not sleep. Guard the switch so that it cannot come on by itself.", "49 CFR 173.185(b)(4)"),
            step("Spare battery", "Tape its terminals and put it in a bag of its own that does not conduct.", "49 CFR 173.185(b)(3); ADR SP 188(d)"),
            step("Cushion", "Each device in its own sleeve, so that nothing shifts or is pressed. No steel parts loose in the box.", "49 CFR 173.185(b)(4)"),
            step("Outer box", "Strong and rigid; with the spare in it, it must stand a drop of 1.2 m on any side.", "ADR SP 188(g)"),
            step("Papers", "Packing slip on top. Close and tape all edges.", ""),
            step("Battery mark", "Print at 100 %, measure the 100 mm line, cut along the corners, stick it flat on one side.", "ADR 5.2.1.9.2"),
            step("Weigh", "Write the gross mass here:                kg. At most 30 kg.", "ADR SP 188(h)"),
        ],
        limits: vec![
            limit("Energy of a cell", "16.64 Wh", "20 Wh", true, "ADR 2025, SP 188(a)"),
            limit("Energy of a battery", "57.70 Wh", "100 Wh", true, "ADR 2025, SP 188(b)"),
            limit("Gross mass", "not known", "30 kg", false, "ADR 2025, SP 188(h)"),
        ],
        marks: vec![TransportMark {
            title: "Battery mark, UN 3481".to_owned(),
            text: "100 × 100 mm, on one side of the box, not over an edge; sheet “battery mark”".to_owned(),
            source: "ADR 2025, SP 188(f), 5.2.1.9.2".to_owned(),
        }],
        papers: vec![TransportMark {
            title: "Packing slip".to_owned(),
            text: "inside, on top".to_owned(),
            source: String::new(),
        }],
        rules: vec![
            rule("With a spare beside its device, the parcel is handled as packed with equipment.", "ADR SP 390", "2025 edition", "text read"),
            rule("The battery mark is needed whatever the count.", "ADR SP 188(f)", "2025 edition", "text read"),
            rule("Cells and batteries mixed in one package: not addressed, so the mark.", "own rule", "25 November 2026", "our own derivation"),
        ],
        unknowns: strings(&[
            "The gross mass: weigh the closed box.",
            "The English wording of the ADR marks was not read in the official English text.",
        ]),
        cautions: eight_cautions(),
        overridden: None,
        signatures: vec![
            SignatureLine { role: "Packed by".to_owned(), name: "Noor Haddad".to_owned() },
            SignatureLine { role: "Shipper".to_owned(), name: String::new() },
        ],
        ..PackingInstruction::default()
    }
}

/// A damaged cell by road, with an override.
pub(crate) fn damaged_instruction() -> PackingInstruction {
    let plain = packing_instruction();
    PackingInstruction {
        verdict: VerdictKind::DamagedByRoad,
        verdict_words: "Road only, packed as a damaged cell; a trained shipper signs".to_owned(),
        verdict_text: "The cell is swollen. Never by air, never by post.".to_owned(),
        alternatives: strings(&["Take the cell out and hand it to a recycler here; the device alone may go by any way."]),
        devices: vec![InstructionDevice {
            condition: "Isolate: swollen, the back is lifted. 3.61 V, 21.9 °C in a room of 21.0 °C. Ana Ruiz, 24 Nov 2026, 14:02".to_owned(),
            note: "Do not charge, press or open it.".to_owned(),
            ..plain.devices[0].clone()
        }],
        limits: vec![limit("Energy of a cell", "21.29 Wh", "20 Wh", false, "49 CFR 173.185(c)(1)(i)")],
        overridden: Some(Overridden {
            what: "Held until the shop is back from its holiday".to_owned(),
            reason: "The shop’s own trained receiver waits for it on the 27th and confirmed by telephone.".to_owned(),
            by: "Ines Varga, trained until 14 March 2028, 25 Nov 2026, 16:40".to_owned(),
        }),
        signatures: vec![
            SignatureLine { role: "Packed by".to_owned(), name: String::new() },
            SignatureLine { role: "Shipper, trained for dangerous goods".to_owned(), name: "Ines Varga".to_owned() },
        ],
        ..plain
    }
}

/// A parcel that must not go.
pub(crate) fn forbidden_instruction() -> PackingInstruction {
    let plain = packing_instruction();
    PackingInstruction {
        verdict: VerdictKind::NotThisWay,
        verdict_words: "Not this way: do not send".to_owned(),
        verdict_text: "The cell of one device has not been diagnosed; by air that is forbidden."
            .to_owned(),
        steps: Vec::new(),
        marks: Vec::new(),
        papers: Vec::new(),
        limits: Vec::new(),
        signatures: Vec::new(),
        ..plain
    }
}

/// Long names in three scripts.
pub(crate) fn scripts_instruction() -> PackingInstruction {
    let plain = packing_instruction();
    let to = Party {
        name: "Ηλεκτρονική Αυγή, Επισκευές Κινητών και Υπολογιστών Θεσσαλονίκης".to_owned(),
        address: strings(&["Τσιμισκή 112, Θεσσαλονίκη 546 22"]),
    };
    let long =
        "Halcyon Wayfarer Pro Max Extended Battery Edition 2025 with a name that does not end soon";
    let devices = vec![
        InstructionDevice {
            name: long.to_owned(),
            ..plain.devices[0].clone()
        },
        InstructionDevice {
            condition: "Проверил Всеволод Константинович Преображенский-Покровский, 24 ноября 2026"
                .to_owned(),
            ..plain.devices[1].clone()
        },
    ];
    let signatures = vec![SignatureLine {
        role: "Packed by".to_owned(),
        name: "Всеволод Константинович Преображенский-Покровский".to_owned(),
    }];
    PackingInstruction {
        to,
        devices,
        signatures,
        ..plain
    }
}
