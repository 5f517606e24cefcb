//! Sample return reports: a simple job, a large one, other scripts, long names.

use papers::model::{
    AttachedRecord, CellCheck, CellLevel, Comparison, ComparisonRow, Condition, Digest, Face,
    Finding, HeatExposure, Mark, NotTested, OtherValue, Outcome, OutcomeKind, OutlineKind,
    PartUsed, Party, Photo, PhotoPair, Quote, QuoteLine, Reading, ReadingKind, Reason,
    ReportDevice, ReturnReport, Stated, WorkStep,
};

use super::{lab, lithium_caution, meta, mono, picture, shop, strings, text};

const DIGEST: &str = "sha256:5f1d7a84db00d2fce00b31a7fc73224f6fc0f4b1d2ad4f0b7f2b1e8e6ac41f52";

pub(super) fn finding(number: Option<u32>, place: &str, text: &str) -> Finding {
    Finding {
        number,
        place: place.to_owned(),
        text: text.into(),
    }
}

pub(super) fn step(text: &str, designators: &str, by: &str) -> WorkStep {
    WorkStep {
        text: text.to_owned(),
        designators: designators.to_owned(),
        by: by.to_owned(),
    }
}

fn reading(kind: ReadingKind, word: &str, value: &str) -> Reading {
    Reading {
        kind,
        word: word.to_owned(),
        value: value.into(),
        in_words: false,
    }
}

pub(super) fn pass(value: &str) -> Reading {
    reading(ReadingKind::Pass, "pass", value)
}

pub(super) fn fail(value: &str) -> Reading {
    reading(ReadingKind::Fail, "fail", value)
}

pub(super) fn none() -> Reading {
    reading(ReadingKind::None, "not tested", "")
}

pub(super) fn row(
    test: &str,
    remark: &str,
    before: Reading,
    after: Reading,
    comparison: Comparison,
    note: &str,
) -> ComparisonRow {
    let word = match comparison {
        Comparison::Fixed => "fixed",
        Comparison::StillFailing => "still failing",
        Comparison::Worse => "worse",
        Comparison::Steady => "steady",
        Comparison::NewlyTestable => "newly testable",
        Comparison::NotProved => "not proved",
    };
    ComparisonRow {
        test: test.to_owned(),
        remark: remark.to_owned(),
        before,
        after,
        comparison,
        word: word.to_owned(),
        note: note.to_owned(),
    }
}

fn quote() -> Quote {
    let line = |text: &str, amount: &str| QuoteLine {
        text: text.to_owned(),
        amount: amount.to_owned(),
    };
    Quote {
        lines: vec![
            line("Board repair, charging circuit", "£ 64.00"),
            line("Charging controller, new, lot 2641-B", "£ 9.80"),
            line("Return carriage", "£ 6.50"),
        ],
        sum: "£ 80.30".into(),
        decision: "Agreed by Ines Calder, Glass & Signal, 20 November 2026, 14:05".to_owned(),
    }
}

fn digest() -> Digest {
    Digest {
        digest: DIGEST.to_owned(),
        url: "https://lab.marrowfinch.example/r/5f1d7a84db00d2fc".to_owned(),
        text: "The same record is kept on the lab's server; its digest shows that this paper was not altered.".to_owned(),
    }
}

fn comparison() -> Vec<ComparisonRow> {
    use Comparison::{Fixed, NewlyTestable, NotProved, Steady};
    vec![
        row(
            "Charging current",
            "declared fault; limit 1.2 to 2.1 A",
            fail("0.00 ± 0.01 A"),
            pass("1.82 ± 0.02 A"),
            Fixed,
            "",
        ),
        row(
            "Start-up time",
            "limit ≤ 25 s",
            none(),
            pass("14.2 ± 0.3 s"),
            NewlyTestable,
            "no start before: no charge",
        ),
        row(
            "Current asleep",
            "neighbour of U4021",
            none(),
            pass("6.1 ± 0.4 mA"),
            NewlyTestable,
            "",
        ),
        row(
            "Display and touch",
            "",
            pass(""),
            pass(""),
            Steady,
            "on an external supply before",
        ),
        row(
            "Rear camera focus",
            "",
            none(),
            none(),
            NotProved,
            "module missing",
        ),
    ]
}

/// A simple job: it fits one A4 page.
pub(crate) fn simple_report() -> ReturnReport {
    let mut report = typical_report();
    "The declared fault is fixed, every neighbour is proved, nothing is worse."
        .clone_into(&mut report.outcome.text);
    report.work.remove(0);
    report.comparison.truncate(3);
    report.not_tested.clear();
    report.photos.clear();
    report
}

pub(crate) fn typical_report() -> ReturnReport {
    ReturnReport {
        meta: meta("Return report 7K3M-2Q9X-T", "en"),
        lab: lab(),
        job_ref: "7K3M-2Q9X-T".to_owned(),
        shop: shop(),
        device: ReportDevice {
            kind: "phone".to_owned(),
            name: "Vireo Lumen 6".into(),
            identifiers: vec![mono("IMEI", "490154203237518"), mono("Serial", "VL6-22O0-1lI7")],
            fault: "“Dead since it fell into a sink; charges nothing, no picture.”".into(),
            accessories: "Card tray".to_owned(),
        },
        dates: vec![
            text("Received", "20 November 2026, 09:12"),
            text("Finished", "24 November 2026, 17:40"),
            text("Promised", "26 November 2026"),
            text("Turnaround", "3 business days"),
        ],
        outcome: Outcome {
            kind: OutcomeKind::Repaired,
            word: "Repaired".into(),
            text: "The declared fault is fixed. Every part next to the heated one was proved, and nothing is worse than \
                   it came."
                .to_owned(),
        },
        parcel: vec![finding(None, "", "Box sound, seal whole; 2 of 2 devices found.")],
        condition: condition(),
        cell_check: Some(cell_check()),
        work: vec![
            step("Opened, board taken out; corrosion at the charging connector cleaned.", "J4000", "D. Marsh, 23 Nov 2026, 10:20"),
            step("Charging controller replaced.", "U4021", "D. Marsh, 23 Nov 2026, 11:05; seen by L. Adeyemi"),
            step("Closed, all parts attached, tested as a whole.", "", "D. Marsh, 24 Nov 2026, 16:30"),
        ],
        heat: vec![HeatExposure {
            part: "U4021".to_owned(),
            temperature: "350 °C".to_owned(),
            duration: "25 s".to_owned(),
            side: "top".to_owned(),
        }],
        parts: vec![PartUsed {
            designator: "U4021".to_owned(),
            name: "Charging controller".to_owned(),
            origin: "new, lot 2641-B".to_owned(),
            quantity: "1".to_owned(),
        }],
        comparison: comparison(),
        not_tested: vec![NotTested {
            test: "Rear camera focus".to_owned(),
            reason: "the camera module was missing when the device came.".to_owned(),
        }],
        quote: Some(quote()),
        warranty: vec!["Six months on the work named here, from the day of return. Liquid and breakage are not covered.".into()],
        cautions: vec![lithium_caution()],
        digest: Some(digest()),
        photos: vec![photo_pair(1)],
        attachments: vec![AttachedRecord {
            file_name: "7K3M-2Q9X-T.json".to_owned(),
            media_type: "application/json".to_owned(),
            description: "The same record for machines".to_owned(),
            bytes: br#"{"job_ref":"7K3M-2Q9X-T"}"#.to_vec(),
        }],
        ..ReturnReport::default()
    }
}

fn condition() -> Condition {
    let mark = |number, face, x, y| Mark { number, face, x, y };
    Condition {
        outline: Some(OutlineKind::Phone),
        marks: vec![
            mark(1, Face::Front, 0.2, 0.8),
            mark(2, Face::Back, 0.78, 0.3),
            mark(3, Face::EdgeBottom, 0.5, 0.5),
        ],
        findings: vec![
            finding(
                Some(1),
                "front",
                "hairline crack from the lower left corner, 18 mm",
            ),
            finding(Some(2), "back", "scratches"),
            finding(Some(3), "bottom edge", "green deposit in the charging port"),
        ],
        facts: vec![
            text("Liquid marks", "both red"),
            text("Seal", "opened before"),
            text("Account lock", "off"),
        ],
    }
}

fn cell_check() -> CellCheck {
    CellCheck {
        level: CellLevel::Clear,
        word: "Clear".to_owned(),
        readings: vec![
            mono("Voltage", "3.61 ± 0.02 V"),
            mono("Surface, room", "21.4 °C, 21.0 °C"),
            mono("Rating", "3.87 V, 4300 mAh, 16.6 Wh"),
        ],
        reasons: vec![Reason {
            text: "Flat, dry, no smell; voltage within the maker's range.".to_owned(),
            source: "lab rule 3; common practice, no source".to_owned(),
        }],
        action: String::new(),
        by: "R. Okafor, 20 Nov 2026, 09:31".to_owned(),
    }
}

/// A large job: 40 tests, 16 photos, everything that can disagree does.
pub(crate) fn large_report() -> ReturnReport {
    let mut report = typical_report();
    "laptop".clone_into(&mut report.device.kind);
    report.device.name = "Corvid Fieldbook 14".into();
    "2M6R-XJ4E-C".clone_into(&mut report.job_ref);
    report.condition.outline = Some(OutlineKind::Laptop);
    report.outcome = Outcome {
        kind: OutcomeKind::RepairedInPart,
        word: Stated {
            text: "Repaired in part".to_owned(),
            others: vec![OtherValue { text: "Repaired".to_owned(), by: "L. Adeyemi, 24 Nov 2026, 18:02".to_owned() }],
        },
        text: "The machine starts and charges again. One memory channel still fails and the left speaker is worse.".to_owned(),
    };
    report.cell_check = Some(CellCheck {
        level: CellLevel::Isolate,
        word: "Isolate".to_owned(),
        reasons: vec![
            Reason {
                text: "Swollen: 2.1 mm over its thickness.".to_owned(),
                source: "49 CFR 173.185(f), December 2022".to_owned(),
            },
            Reason {
                text: "Smell of solvent at the vent.".to_owned(),
                source: "common practice, no source".to_owned(),
            },
        ],
        action: "Removed on 20 November, to the recycler on 23 November, drum 7.".to_owned(),
        ..cell_check()
    });
    report.work = (1..=14).map(work_step).collect();
    report.heat = (1..=9).map(heat).collect();
    report.comparison = (1..=40).map(large_row).collect();
    report.photos = (1..=8).map(photo_pair).collect();
    report.overrides = strings(&[
        "Repair begun while the cell was in isolation, by S. Marrow (owner): cell already removed, board on bench supply.",
    ]);
    report
        .warranty
        .push("The replaced cell carries its maker's twelve months.".into());
    report
}

pub(super) fn work_step(number: u32) -> WorkStep {
    let texts = [
        "Board taken out, cleaned in an ultrasonic bath with a neutral agent, rinsed and dried for two hours at 60 °C.",
        "Short on the main rail found by heat camera; the capacitor next to the input coil taken off and replaced.",
        "Jumper laid for an eaten trace, 0.1 mm enamelled wire, 42 mΩ measured where 39 mΩ are expected.",
    ];
    let text = texts[number as usize % texts.len()];
    step(
        text,
        &format!("C{}21, L{}02", 70 + number, 70 + number),
        "D. Marsh, 23 Nov 2026, 11:05; seen by L. Adeyemi",
    )
}

fn heat(number: u32) -> HeatExposure {
    HeatExposure {
        part: format!("U{number}100"),
        temperature: format!("{} °C", 330 + number * 5),
        duration: format!("{} s", 18 + number),
        side: if number.is_multiple_of(2) {
            "top"
        } else {
            "bottom"
        }
        .to_owned(),
    }
}

pub(super) fn large_row(number: u32) -> ComparisonRow {
    use Comparison::{Fixed, NewlyTestable, NotProved, Steady, StillFailing, Worse};
    let rail = format!("Rail {number}, {}.{} V", number * 3 / 10, number * 3 % 10);
    let limits = "limit 4.90 to 5.10 V";
    match number % 8 {
        0 => row(
            &rail,
            limits,
            fail("0.02 ± 0.01 V"),
            fail("0.03 ± 0.01 V"),
            StillFailing,
            "the memory channel is dead; the board would need a new controller",
        ),
        1 => row(
            &rail,
            limits,
            fail("0.02 ± 0.01 V"),
            pass("5.01 ± 0.02 V"),
            Fixed,
            "",
        ),
        2 => row(
            "Left speaker, distortion at 1 kHz",
            "neighbour of U72100; limit ≤ 3 %",
            pass("1.1 %"),
            fail("4.8 %"),
            Worse,
            "the cone was touched by heat; told to the shop on 24 November",
        ),
        3 => row(&rail, "", none(), pass("3.31 ± 0.02 V"), NewlyTestable, ""),
        4 => row(
            "Wireless range",
            "",
            pass("-52 dBm"),
            none(),
            NotProved,
            "antenna off the bench; guard band after JCGM 106:2012",
        ),
        5 => ComparisonRow {
            after: Reading {
                value: Stated {
                    text: "5.02 ± 0.02 V".to_owned(),
                    others: vec![OtherValue {
                        text: "4.88 V".to_owned(),
                        by: "L. Adeyemi, 24 Nov, 17:02".to_owned(),
                    }],
                },
                ..pass("")
            },
            ..row(&rail, limits, pass("5.00 ± 0.02 V"), pass(""), Steady, "")
        },
        _ => row(
            &rail,
            limits,
            pass("5.00 ± 0.02 V"),
            pass("5.01 ± 0.02 V"),
            Steady,
            "",
        ),
    }
}

pub(super) fn photo_pair(number: u8) -> PhotoPair {
    let photo = |seed: u8, caption: &str| {
        let (width, height) = if number.is_multiple_of(3) {
            (480, 640)
        } else {
            (640, 480)
        };
        Some(Photo {
            picture: picture(seed, width, height),
            caption: caption.to_owned(),
        })
    };
    PhotoPair {
        before: photo(
            number * 2,
            "Input stage as it came: green deposit around the coil",
        ),
        after: photo(
            number * 2 + 1,
            "The same place, cleaned, with the new capacitor",
        ),
    }
}

/// A job whose shop, fault and technician are written in Greek and Cyrillic, and one character no face has.
pub(crate) fn scripts_report() -> ReturnReport {
    let mut report = typical_report();
    report.shop = Party {
        name: "Ηλεκτρονική Αυγή".to_owned(),
        address: strings(&["Οδός Αγίου Δημητρίου 48", "546 32 Θεσσαλονίκη"]),
    };
    report.device.fault = "«После падения не заряжается, экран чёрный»".into();
    report.work.push(step(
        "Проверено в собранном виде: ёмкость 10 µF, сопротивление 4,7 Ω.",
        "C4011",
        "Олена Ґрунтова, 24 Nov 2026",
    ));
    report.parcel.push(finding(
        None,
        "",
        "Łódź, Győr, Ålesund, Čačak, İzmir, Đà Nẵng: names with their marks; → ≤ ≥ ≠ √ € ₴ ₽",
    ));
    report.parcel.push(finding(None, "", "Unknown here: 修 ✂"));
    report.photos = vec![PhotoPair {
        after: None,
        ..photo_pair(1)
    }];
    report
}

/// Names and words longer than anybody planned for.
pub(crate) fn long_names_report() -> ReturnReport {
    let mut report = typical_report();
    "Marrow, Finch, Adeyemi & Daughters Board-Level Repair and Data Recovery of Port Ellery"
        .clone_into(&mut report.lab.name);
    "Instandsetzungswerkstättengenossenschaft Niederoberammergauhausen an der Großen Laaber"
        .clone_into(&mut report.shop.name);
    report.device.name = Stated {
        text: "Halcyon Wayfarer Pro Max Extended Battery Edition 2025 (Northern Markets)"
            .to_owned(),
        others: vec![OtherValue {
            text: "Halcyon Wayfarer Pro".to_owned(),
            by: "R. Okafor, 20 Nov 2026, 09:20".to_owned(),
        }],
    };
    report.device.fault = "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaftstelefon geht nicht".into();
    report.device.identifiers.push(mono(
        "ICCID",
        "89 44 10 0000 0000 0000 1234567890123456789012345678901234567890",
    ));
    report.comparison.push(row(
        "Verbindungswiederherstellungsgeschwindigkeitsprüfung",
        "neighbour of U4021",
        fail("0.000001 ± 0.000001 mA at 3.300 V"),
        pass("12.345678 ± 0.000012 mA at 3.300 V"),
        Comparison::Fixed,
        "judged with its uncertainty: guard band after JCGM 106:2012, simple acceptance refused",
    ));
    report
}
