//! Very different jobs: a bench job with everything that work can show and no photo, twelve pages, sixty photos, and people who
//! write a great deal.

use papers::model::{
    Caution, CellLevel, Comparison, ComparisonRow, HeatExposure, OutlineKind, PartUsed, Photo,
    Reading, ReturnReport, TraceChart, TraceCurve,
};

use super::report::{fail, finding, none, pass, photo_pair, row, step, typical_report, work_step};
use super::{picture, text};

/// No photo at all: heat with its warnings, hold points with their witnesses, a jumper, lots, answers that were chosen, two traces.
pub(crate) fn bench_report() -> ReturnReport {
    let mut report = typical_report();
    report.photos.clear();
    "4H8W-0TNB-7".clone_into(&mut report.job_ref);
    report.work = vec![
        step(
            "Diagnosis: the charge controller takes no current; its input is there, its output is not. Measured: charger input 5.08 V (expected 5.0 V); charger output 0.31 V (expected 3.8 V).",
            "U253",
            "D. Marsh, 23 Nov 2026, 10:02",
        ),
        step(
            "Charge controller off, pads cleaned, a new one on. (HP-03, hot air, 6 mm) Heat on U253: 390 °C on top of the part for 90 s, top side, SAC305; it reached J234, U236, U5200, so these were tested: Data through the port, Finds its network, Call both ways. Mind: A cell that is still attached can be heated through the board: take it off first. Mind: 390 °C on the package is above the 260 °C that a body of this size is classified for. Mind: 90 s within 5 °C of the peak are more than the 30 s that the part's maker allows for.",
            "U253",
            "D. Marsh, 23 Nov 2026, 10:31",
        ),
        step(
            "Under the microscope: no bridge, no ball missing, nothing around it lifted: all balls there, nothing moved (HP-03) Hold point, passed.",
            "",
            "D. Marsh, 23 Nov 2026, 10:40; seen by L. Adeyemi",
        ),
        step(
            "Jumper laid for an eaten trace. Jumper PP1V8, 0.02 mm wire: 274 mΩ read where 274 mΩ are expected, within 20 %.",
            "PP1V8",
            "D. Marsh, 23 Nov 2026, 11:05",
        ),
        step(
            "Fitted it from a lot. Mind: U253 from lot L-7: Level 3 of unknown history counts as used up: bake it first.",
            "U253",
            "D. Marsh, 23 Nov 2026, 11:20",
        ),
    ];
    report.heat.push(HeatExposure {
        part: "U253".to_owned(),
        temperature: "390 °C".to_owned(),
        duration: "90 s".to_owned(),
        side: "top side".to_owned(),
    });
    report.parts.push(PartUsed {
        designator: "U253".to_owned(),
        name: "Charge controller".to_owned(),
        origin: "new, lot L-7".to_owned(),
        quantity: "1".to_owned(),
    });
    report.comparison = bench_rows();
    report.traces = traces();
    report.not_tested.clear();
    report
}

fn in_words(reading: Reading) -> Reading {
    Reading {
        in_words: true,
        ..reading
    }
}

/// A test with answers of its own that failed before and passes after.
fn fixed_in_words(title: &str, before: &str, after: &str) -> ComparisonRow {
    let (before, after) = (in_words(fail(before)), in_words(pass(after)));
    row(title, "", before, after, Comparison::Fixed, "")
}

fn bench_rows() -> Vec<ComparisonRow> {
    use Comparison::{Fixed, NewlyTestable, Steady};
    vec![
        row(
            "Charging current",
            "shows the declared fault; limits 0.5 to 3.25 A",
            fail("0.03 ± 0.02 A"),
            pass("1.52 ± 0.05 A"),
            Fixed,
            "",
        ),
        fixed_in_words(
            "What it does on a charger",
            "says it charges, but the level stands",
            "charges fast, as its maker says",
        ),
        fixed_in_words("Picture", "lines", "good"),
        row(
            "Start-up time",
            "limits at most 60 s",
            none(),
            pass("31.2 ± 0.3 s"),
            NewlyTestable,
            "before: not testable, it does not start",
        ),
        row(
            "Data through the port",
            "shows harm by heat to J234, U236",
            pass(""),
            pass(""),
            Steady,
            "",
        ),
        row(
            "Warmth of the cell while charging",
            "limits at most 45 °C, guarded acceptance, w = U",
            none(),
            pass("31.4 ± 1.2 °C"),
            NewlyTestable,
            "",
        ),
    ]
}

/// A boot that stops, and one that settles.
fn traces() -> Vec<TraceChart> {
    let curve = |level: &dyn Fn(u16) -> f32| {
        let point = |at: u16| (f32::from(at) / 400.0, level(at));
        (0..=400).map(point).collect()
    };
    let wave = |at: u16| f32::from(at % 7) * 0.012;
    let chart = |test: &str, before: TraceCurve| {
        TraceChart {
        test: test.to_owned(),
        highest: "946 mA".to_owned(),
        begin: "0 s".to_owned(),
        length: "40 s".to_owned(),
        before,
        after: TraceCurve {
            points: curve(&|at| match at {
                0..30 => 0.0,
                30..90 => 0.2 + wave(at),
                90..260 => 0.62 + f32::from(at % 23) * 0.016,
                _ => 0.38 + wave(at),
            }),
            from: Some(0.075),
            to: Some(0.65),
            figures: "start-up 23 s (between the upright lines); highest 946 mA; 4.12 mAh drawn; boot-after.csv".to_owned(),
            absent: String::new(),
        },
    }
    };
    let stops = TraceCurve {
        points: curve(&|at| match at {
            0..30 => 0.0,
            30..70 => 0.19 + wave(at),
            _ => 0.02,
        }),
        from: Some(0.075),
        to: None,
        figures: "does not settle in this trace; highest 218 mA; 0.31 mAh drawn; boot-before.csv"
            .to_owned(),
        absent: String::new(),
    };
    let none = TraceCurve {
        absent: "no trace".to_owned(),
        ..TraceCurve::default()
    };
    vec![
        chart("Start-up time", stops),
        chart("Highest current at start", none),
    ]
}

/// A laptop that many people worked on for weeks.
pub(crate) fn twelve_pages_report() -> ReturnReport {
    let mut report = super::large_report();
    report.condition.outline = Some(OutlineKind::Laptop);
    report.work = (1..=44).map(work_step).collect();
    report.comparison = (1..=94).map(super::report::large_row).collect();
    report.traces = traces();
    report.photos = (1..=16).map(photo_pair).collect();
    report.not_tested = (1..=14)
        .map(|number| papers::model::NotTested {
            test: format!("Keyboard row {number}"),
            reason: "the keyboard was not sent along".to_owned(),
        })
        .collect();
    report
}

/// Thirty-two photos in pairs and twenty-eight without a partner, of both shapes.
pub(crate) fn sixty_photos_report() -> ReturnReport {
    let mut report = typical_report();
    report.photos = (1..=16).map(photo_pair).collect();
    report.more_photos = (0..28)
        .map(|number| {
            let (width, height) = if number % 5 == 4 {
                (480, 640)
            } else {
                (640, 480)
            };
            Photo {
                picture: picture(100 + number, width, height),
                caption: format!(
                    "Condition, case and screws, picture {} of 28, 20 Nov 2026, 09:40",
                    number + 1
                ),
            }
        })
        .collect();
    report
}

/// What people write when nothing stops them: each text is longer than a page of its column.
pub(crate) fn wordy_report() -> ReturnReport {
    let mut report = typical_report();
    let sentence = "The owner says that it fell, was dried on a heater, was opened by a neighbour, and came back with a part too many. ";
    let essay = |words: &str| format!("{words}: {}end of {words}.", sentence.repeat(45));
    report.condition.facts.push(text("Note", &essay("note")));
    if let Some(cell) = &mut report.cell_check {
        cell.level = CellLevel::Watch;
        cell.readings.push(text("Note", &essay("cell")));
    }
    report.parcel.push(finding(None, "", &essay("parcel")));
    report
        .work
        .push(step(&essay("step"), "", "D. Marsh, 23 Nov 2026, 11:05"));
    let long = essay("remark");
    report.comparison.push(row(
        "Long remark",
        "",
        fail(""),
        pass(""),
        Comparison::Fixed,
        &long,
    ));
    report.cautions.push(Caution {
        title: "Long".to_owned(),
        text: essay("caution"),
        source: String::new(),
    });
    if let Some(quote) = &mut report.quote {
        quote.lines[0].text = essay("price");
        quote.decision = essay("decision");
    }
    if let Some(photo) = report
        .photos
        .first_mut()
        .and_then(|pair| pair.before.as_mut())
    {
        photo.caption = essay("caption");
    }
    report
}
