//! Traces as instruments write them, and what they come to.

use proptest::prelude::*;

use super::*;

#[track_caller]
fn check(text: &str, expected: &[(i64, i64, Option<i64>)]) -> Trace {
    let trace = parse_trace(text).unwrap();
    let found: Vec<_> = trace
        .samples
        .iter()
        .map(|sample| (sample.at_us, sample.current_na, sample.voltage_uv))
        .collect();
    assert_eq!(found, expected, "{:?}", trace.broken);
    trace
}

#[test]
fn commas_between_and_points_in_numbers() {
    let trace = check(
        "Time (s),Current (A),Voltage (V)\n0.0,0.010,4.0\n0.5,0.250,3.99\n",
        &[
            (0, 10_000_000, Some(4_000_000)),
            (500_000, 250_000_000, Some(3_990_000)),
        ],
    );
    assert!(trace.assumed.is_empty() && trace.broken.is_empty());
}

#[test]
fn semicolons_between_and_commas_in_numbers() {
    check(
        "Zeit [ms];Strom [mA]\n0;10,5\n500;250\n",
        &[(0, 10_500_000, None), (500_000, 250_000_000, None)],
    );
}

#[test]
fn tabs_or_spaces_between() {
    check(
        "t/s\tI/mA\n0\t1\n1\t2\n",
        &[(0, 1_000_000, None), (1_000_000, 2_000_000, None)],
    );
    check(
        "time_s  current_uA\n0  1\n1  2\n",
        &[(0, 1_000, None), (1_000_000, 2_000, None)],
    );
}

#[test]
fn columns_are_found_by_their_heads_in_any_order() {
    check(
        "Model;bench supply\nStarted;12:00\n\n\"Voltage\";\"Current (A)\";\"Time (s)\"\n4;0,1;10\n4;0,2;11\n",
        &[
            (0, 100_000_000, Some(4_000_000)),
            (1_000_000, 200_000_000, Some(4_000_000)),
        ],
    );
}

#[test]
fn a_time_of_day_is_a_time() {
    check(
        "Timestamp,Current (A)\n2026-11-25 23:59:58.500,0.1\n2026-11-25 23:59:59.750,0.2\n",
        &[(0, 100_000_000, None), (1_250_000, 200_000_000, None)],
    );
}

#[test]
fn numbers_with_exponents_are_read() {
    check(
        "Seconds,Amps\n0,1.5e-3\n1.0E0,2E-3\n",
        &[(0, 1_500_000, None), (1_000_000, 2_000_000, None)],
    );
}

#[test]
fn a_table_without_a_head_says_what_was_taken_for_granted() {
    let trace = check(
        "0,0.1\n1,0.2\n",
        &[(0, 100_000_000, None), (1_000_000, 200_000_000, None)],
    );
    assert!(
        trace.assumed[0].contains("has no head"),
        "{:?}",
        trace.assumed
    );
}

#[test]
fn a_head_without_a_unit_says_which_was_taken() {
    let trace = parse_trace("Time,Current\n0,0.1\n1,0.2\n").unwrap();
    assert_eq!(
        trace.assumed,
        [
            "The column “Time” names no unit; it is read in s.",
            "The column “Current” names no unit; it is read in A."
        ]
    );
}

#[test]
fn a_broken_row_is_named_by_its_line_and_the_rest_is_read() {
    let trace =
        parse_trace("Time (s),Current (A)\n0,0.1\n1,OVLD\n2\n1.5,0.2\n1.2,0.3\n3,0.4\n").unwrap();
    let broken: Vec<_> = trace
        .broken
        .iter()
        .map(|row| (row.line, row.why.as_str()))
        .collect();
    assert_eq!(
        broken,
        [
            (3, "its current “OVLD” is not a number"),
            (4, "it has 1 columns, and its current would be in column 2"),
            (
                6,
                "its time lies before the row above it; rows must follow in time"
            ),
        ]
    );
    assert_eq!((trace.samples.len(), trace.broken_count), (3, 3));
}

#[track_caller]
fn refuse(text: &str, sentence: &str) {
    let why = parse_trace(text).unwrap_err().to_string();
    assert!(why.contains(sentence), "{why}");
}

#[test]
fn a_file_that_is_no_trace_says_why() {
    refuse(" \n\n", "the file is empty");
    refuse(
        "Time (s),Power (W)\n0,1\n1,2\n",
        "has no column of current; name one in it, such as “Current (A)”",
    );
    refuse(
        "Time (s),Current (kg)\n0,1\n1,2\n",
        "“kg”, which is no unit of current",
    );
    refuse(
        "Time (s),Current (A)\n0,1\n1,x\n",
        "only 1 rows could be read, and a trace needs two; line 3: its current “x” is not a number",
    );
    refuse("a picture of a cat", "has no column of time");
}

#[test]
fn files_in_the_sets_of_letters_that_instruments_write_are_read() {
    let text = "Time (s),Current (µA)\n0,1\n1,2\n";
    let wide: Vec<u8> = [0xFFu8, 0xFE]
        .into_iter()
        .chain(text.encode_utf16().flat_map(u16::to_le_bytes))
        .collect();
    let old: Vec<u8> = text
        .chars()
        .map(|letter| u8::try_from(u32::from(letter)).unwrap())
        .collect();
    let marked: Vec<u8> = [0xEFu8, 0xBB, 0xBF]
        .into_iter()
        .chain(text.bytes())
        .collect();
    for bytes in [wide, old, marked, text.as_bytes().to_vec()] {
        assert_eq!(decode_text(&bytes), text);
    }
}

/// A start-up: off, a first level, a busy level with a spike, then idle.
fn start_up() -> Vec<Sample> {
    (0..600)
        .map(|index: i64| Sample {
            at_us: index * 100_000,
            current_na: match index {
                0..20 => 1_000_000,
                20..60 => 120_000_000,
                200 => 1_900_000_000,
                60..400 => 650_000_000,
                _ => 210_000_000,
            },
            voltage_uv: None,
        })
        .collect()
}

#[test]
fn a_start_up_shows_its_levels_peak_and_time() {
    let figures = figures(&start_up());
    assert_eq!(figures.peak_na, 1_900_000_000);
    assert_eq!(figures.peak_at_us, 20_000_000);
    assert_eq!(figures.rises_at_us, Some(2_000_000));
    let levels: Vec<_> = figures
        .stages
        .iter()
        .map(|stage| (stage.from_us / 1_000_000, stage.mean_na / 50_000_000))
        .collect();
    assert_eq!(levels, [(0, 0), (2, 2), (6, 13), (40, 4)]);
    let start_up_us = figures.start_up_us.unwrap();
    assert!(
        (37_800_000..=38_200_000).contains(&start_up_us),
        "{start_up_us}"
    );
}

#[test]
fn a_trace_that_never_rises_has_no_start_up() {
    let flat: Vec<_> = start_up().into_iter().take(20).collect();
    let figures = figures(&flat);
    assert_eq!((figures.rises_at_us, figures.start_up_us), (None, None));
}

#[test]
fn a_trace_that_goes_off_again_has_no_start_up() {
    let mut samples = start_up();
    for sample in &mut samples[400..] {
        sample.current_na = 0;
    }
    assert_eq!(figures(&samples).start_up_us, None);
}

#[test]
fn the_charge_is_the_area_by_the_trapezoid_rule() {
    let sample = |at_us, current_na| Sample {
        at_us,
        current_na,
        voltage_uv: None,
    };
    // From 0 A to 2 A over an hour: one ampere-hour.
    let ramp = [sample(0, 0), sample(3_600_000_000, 2_000_000_000)];
    assert_eq!(figures(&ramp).charge_nah, 1_000_000_000);
    let back = [sample(0, 0), sample(3_600_000_000, -2_000_000_000)];
    assert_eq!(figures(&back).charge_nah, -1_000_000_000);
}

#[test]
fn a_thinned_trace_keeps_its_peak_and_its_ends() {
    let samples = start_up();
    let thinned = thinned(&samples, 20);
    assert!(thinned.points.len() <= 84);
    assert!(thinned.points.contains(&(20_000_000, 1_900_000_000)));
    assert_eq!(thinned.points.first(), Some(&(0, 1_000_000)));
    assert_eq!(thinned.points.last(), Some(&(59_900_000, 210_000_000)));
}

proptest! {
    #[test]
    fn the_charge_of_two_parts_is_the_charge_of_the_whole(currents in proptest::collection::vec(-3_000_000_000i64..3_000_000_000, 3..50), cut in 1usize..48) {
        let samples: Vec<Sample> = (0i64..).zip(&currents).map(|(index, current_na)| Sample { at_us: index * 250_000, current_na: *current_na, voltage_uv: None }).collect();
        let cut = cut.min(samples.len() - 1);
        let parts = figures(&samples[..=cut]).charge_nah + figures(&samples[cut..]).charge_nah;
        prop_assert!((parts - figures(&samples).charge_nah).abs() <= 1);
    }

    #[test]
    fn the_stages_cover_the_trace_without_a_gap(currents in proptest::collection::vec(0i64..3_000_000_000, 5..200)) {
        let samples: Vec<Sample> = (0i64..).zip(&currents).map(|(index, current_na)| Sample { at_us: index * 130_000, current_na: *current_na, voltage_uv: None }).collect();
        let figures = figures(&samples);
        prop_assert!(!figures.stages.is_empty());
        prop_assert_eq!(figures.stages[0].from_us, 0);
        for pair in figures.stages.windows(2) {
            prop_assert_eq!(pair[0].to_us, pair[1].from_us);
        }
    }

    #[test]
    fn no_text_breaks_it(text in "[0-9a-zA-Z,;.: \n\t()-]{0,200}") {
        let _ = parse_trace(&text);
    }

    #[test]
    fn no_bytes_break_it(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let _ = parse_trace(&decode_text(&bytes));
    }
}
