//! The true sizes, measured in the finished files: paths and letters are read back from the page's content, letters by the
//! outlines in the embedded font.

use std::collections::BTreeMap;

use lopdf::content::Operation;
use lopdf::{Dictionary, Document, Object, ObjectId};

use super::*;
use crate::model::{BatteryMark, MarkSize, WordLabel, WordLabels};

const POINTS_PER_MM: f32 = 72.0 / 25.4;
/// A tenth of a millimetre.
const TOLERANCE_MM: f32 = 0.1;
const RED: [f32; 3] = [0.824, 0.059, 0.118];
const BLACK: [f32; 3] = [0.0; 3];
const WHITE: [f32; 3] = [1.0; 3];

/// A rectangle in millimetres from the lower left corner of the page.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Bounds {
    left: f32,
    bottom: f32,
    right: f32,
    top: f32,
}

impl Bounds {
    fn of(points: &[(f32, f32)]) -> Self {
        let empty = Self {
            left: f32::MAX,
            bottom: f32::MAX,
            right: f32::MIN,
            top: f32::MIN,
        };
        points.iter().fold(empty, |bounds, &(x, y)| Self {
            left: bounds.left.min(x),
            bottom: bounds.bottom.min(y),
            right: bounds.right.max(x),
            top: bounds.top.max(y),
        })
    }

    fn size(self) -> (f32, f32) {
        (self.right - self.left, self.top - self.bottom)
    }

    fn holds(self, (x, y): (f32, f32)) -> bool {
        (self.left..=self.right).contains(&x) && (self.bottom..=self.top).contains(&y)
    }
}

/// A filled or drawn path with its colour.
#[derive(Debug)]
struct Shape {
    colour: [f32; 3],
    filled: bool,
    points: Vec<(f32, f32)>,
}

/// A run of letters on one baseline.
#[derive(Debug)]
struct Run {
    at: (f32, f32),
    /// Of each letter that has an outline, its top above the baseline in millimetres.
    tops: Vec<f32>,
}

#[derive(Default)]
struct PageRead {
    shapes: Vec<Shape>,
    runs: Vec<Run>,
}

fn number(object: &Object) -> f32 {
    object.as_float().expect("a number") / POINTS_PER_MM
}

fn colour(operation: &Operation) -> [f32; 3] {
    let channel = |index: usize| operation.operands[index].as_float().expect("a channel");
    [channel(0), channel(1), channel(2)]
}

fn point(operands: &[Object]) -> (f32, f32) {
    (number(&operands[0]), number(&operands[1]))
}

/// The embedded font programs of a page, by their resource names.
fn fonts(document: &Document, page: ObjectId) -> BTreeMap<Vec<u8>, Vec<u8>> {
    let get = |dictionary: &Dictionary, key: &[u8]| -> Object {
        let object = dictionary.get(key).expect("the key is there");
        let (_, object) = document.dereference(object).expect("it leads somewhere");
        object.clone()
    };
    document
        .get_page_fonts(page)
        .expect("fonts")
        .into_iter()
        .map(|(name, font)| {
            let descendant = get(font, b"DescendantFonts").as_array().expect("a list")[0].clone();
            let (_, descendant) = document.dereference(&descendant).expect("a font");
            let descriptor = get(
                descendant.as_dict().expect("a dictionary"),
                b"FontDescriptor",
            );
            let file = get(descriptor.as_dict().expect("a dictionary"), b"FontFile2");
            let file = file.as_stream().expect("a stream");
            let bytes = file
                .decompressed_content()
                .unwrap_or_else(|_| file.content.clone());
            (name, bytes)
        })
        .collect()
}

fn glyphs(operation: &Operation) -> Vec<u16> {
    let items = operation.operands[0].as_array().expect("a list");
    let strings = items.iter().filter_map(|item| item.as_str().ok());
    strings
        .flat_map(|bytes| {
            bytes
                .chunks(2)
                .map(|pair| u16::from_be_bytes([pair[0], pair[1]]))
        })
        .collect()
}

fn read_pages(bytes: &[u8]) -> Vec<PageRead> {
    let document = read(bytes);
    document
        .get_pages()
        .into_values()
        .map(|page| read_page(&document, page))
        .collect()
}

fn read_page(document: &Document, page: ObjectId) -> PageRead {
    let programs = fonts(document, page);
    let mut result = PageRead::default();
    let (mut fill, mut stroke) = ([0.0; 3], [0.0; 3]);
    let mut points: Vec<(f32, f32)> = Vec::new();
    let mut shapes: Vec<Vec<(f32, f32)>> = Vec::new();
    let (mut font, mut size, mut at) = (Vec::new(), 0.0, (0.0, 0.0));
    for operation in document
        .get_and_decode_page_content(page)
        .expect("content")
        .operations
    {
        match operation.operator.as_str() {
            "rg" => fill = colour(&operation),
            "RG" => stroke = colour(&operation),
            "m" => {
                shapes.extend((!points.is_empty()).then(|| std::mem::take(&mut points)));
                points.push(point(&operation.operands));
            }
            "l" => points.push(point(&operation.operands)),
            "c" => points.push(point(&operation.operands[4..])),
            "f" | "f*" | "b" | "b*" | "B" | "B*" | "s" | "S" => {
                shapes.push(std::mem::take(&mut points));
                let filled = operation.operator.to_lowercase().starts_with(['f', 'b']);
                let colour = if filled { fill } else { stroke };
                let done = std::mem::take(&mut shapes).into_iter();
                result.shapes.extend(done.map(|points| Shape {
                    colour,
                    filled,
                    points,
                }));
            }
            "Tf" => {
                font = operation.operands[0].as_name().expect("a name").to_vec();
                size = operation.operands[1].as_float().expect("a size") / POINTS_PER_MM;
            }
            "Tm" => at = point(&operation.operands[4..]),
            "TJ" => {
                let face = ttf_parser::Face::parse(&programs[&font], 0).expect("a font program");
                let em = f32::from(face.units_per_em());
                let boxes = glyphs(&operation)
                    .into_iter()
                    .filter_map(|glyph| face.glyph_bounding_box(ttf_parser::GlyphId(glyph)));
                let tops = boxes
                    .map(|bounds| f32::from(bounds.y_max) / em * size)
                    .collect();
                result.runs.push(Run { at, tops });
            }
            _ => {}
        }
    }
    result
}

fn is_near(a: f32, b: f32) -> bool {
    (a - b).abs() <= TOLERANCE_MM
}

/// The marks on a page, from the top: the outer bounds of each hatching.
fn marks(page: &PageRead) -> Vec<Bounds> {
    let grounds = page.shapes.iter().filter(|shape| {
        let (width, _) = Bounds::of(&shape.points).size();
        shape.filled && shape.colour == WHITE && is_near(width, 100.0)
    });
    grounds.map(|shape| Bounds::of(&shape.points)).collect()
}

/// Measures the first mark of a paper of one mark.
fn check_mark(size: MarkSize, setup: &PageSetup, width_mm: f32, height_mm: f32) {
    let paper = samples::battery_marks();
    let paper = BatteryMarks {
        marks: vec![BatteryMark {
            size,
            ..paper.marks[0].clone()
        }],
        ..paper
    };
    let pages = read_pages(&battery_marks(&paper, setup).expect("marks"));
    let page = &pages[0];
    let red: Vec<&Shape> = page
        .shapes
        .iter()
        .filter(|shape| shape.colour == RED)
        .collect();
    assert!(
        red.len() > 20 && red.iter().all(|shape| shape.filled),
        "{} stripes",
        red.len()
    );
    let all: Vec<(f32, f32)> = red.iter().flat_map(|shape| shape.points.clone()).collect();
    let outer = Bounds::of(&all);
    let (width, height) = outer.size();
    assert!(
        is_near(width, width_mm) && is_near(height, height_mm),
        "{width} x {height} mm"
    );
    assert!(
        width >= width_mm - 0.001 && height >= height_mm - 0.001,
        "{width} x {height} mm"
    );
    // The inside is painted over the stripes; what is left of them all around is the hatching.
    let inner = page
        .shapes
        .iter()
        .filter(|shape| shape.colour == WHITE && shape.filled)
        .map(|shape| Bounds::of(&shape.points))
        .find(|bounds| bounds.size().0 < width - 1.0 && bounds.size().0 > width / 2.0)
        .expect("the inside of the mark");
    for thickness in [
        inner.left - outer.left,
        outer.right - inner.right,
        inner.bottom - outer.bottom,
        outer.top - inner.top,
    ] {
        assert!(
            (5.0..6.0).contains(&thickness),
            "the hatching is {thickness} mm thick"
        );
    }
}

/// 49 CFR 173.185(c)(3)(i)(A), text of December 2022; ADR 2025, 5.2.1.9.2.
#[test]
fn the_battery_mark_is_a_hundred_millimetres_wide_and_high() {
    check_mark(MarkSize::Full, &A4, 100.0, 100.0);
    check_mark(MarkSize::Full, &LETTER, 100.0, 100.0);
}

/// The same clauses, for a package that is too small.
#[test]
fn the_small_battery_mark_is_a_hundred_by_seventy_millimetres() {
    check_mark(MarkSize::Small, &A4, 100.0, 70.0);
    check_mark(MarkSize::Small, &LETTER, 100.0, 70.0);
}

/// 12 mm: IATA guidance F.01 and F.02 of 2026, read second-hand. PHMSA letter 19-0083: nothing may be added inside.
#[test]
fn inside_a_mark_stand_only_un_numbers_of_twelve_millimetres() {
    for setup in [A4, LETTER] {
        let sample = samples::battery_marks();
        let mut counts = Vec::new();
        for page in read_pages(&battery_marks(&sample, &setup).expect("marks")) {
            for mark in marks(&page) {
                let inside: Vec<&Run> = page.runs.iter().filter(|run| mark.holds(run.at)).collect();
                for run in &inside {
                    // UN and four digits; the space between has no outline.
                    assert_eq!(run.tops.len(), 6, "{run:?}");
                    let lowest = run.tops.iter().copied().fold(f32::MAX, f32::min);
                    assert!((12.0..=12.1).contains(&lowest), "{lowest} mm");
                }
                counts.push(inside.len());
            }
        }
        assert_eq!(counts, [1, 2, 1, 2], "UN numbers in each mark");
    }
}

#[test]
fn nothing_but_the_symbol_is_black_in_a_mark_and_all_of_it_lies_inside_the_hatching() {
    for page in read_pages(&battery_marks(&samples::battery_marks(), &A4).expect("marks")) {
        for mark in marks(&page) {
            let black = page
                .shapes
                .iter()
                .filter(|shape| shape.colour == BLACK && mark.holds(shape.points[0]));
            let shapes: Vec<Bounds> = black.map(|shape| Bounds::of(&shape.points)).collect();
            assert_eq!(
                shapes.len(),
                9,
                "three cells, their terminals, a stump, a splinter, a flame"
            );
            for bounds in shapes {
                assert!(bounds.left > mark.left + 5.5 && bounds.right < mark.right - 5.5);
                assert!(bounds.bottom > mark.bottom + 5.5 && bounds.top < mark.top - 5.5);
            }
        }
    }
}

#[test]
fn a_telephone_number_is_only_in_the_mark_that_asks_for_it() {
    let pages = read_pages(&battery_marks(&samples::old_battery_mark(), &A4).expect("marks"));
    let mark = marks(&pages[0])[0];
    let inside = pages[0]
        .runs
        .iter()
        .filter(|run| mark.holds(run.at))
        .count();
    assert_eq!(inside, 2, "the UN number and the telephone number");
}

#[test]
fn three_un_numbers_take_two_marks() {
    let sample = samples::battery_marks();
    let paper = BatteryMarks {
        marks: vec![BatteryMark {
            un_numbers: vec![3480, 3481, 3091],
            ..sample.marks[0].clone()
        }],
        ..sample
    };
    let pages = read_pages(&battery_marks(&paper, &A4).expect("marks"));
    assert_eq!(pages.iter().map(|page| marks(page).len()).sum::<usize>(), 2);
}

/// The lowest letter of the words, for each label in turn.
fn letter_heights(labels: &WordLabels, setup: &PageSetup) -> Vec<f32> {
    labels
        .labels
        .iter()
        .map(|label| {
            let one = WordLabels {
                labels: vec![label.clone()],
                ..labels.clone()
            };
            let pages = read_pages(&word_labels(&one, setup).expect("words"));
            let tall = pages[0]
                .runs
                .iter()
                .filter(|run| run.tops.iter().any(|top| *top > 5.5));
            let tops: Vec<f32> = tall.flat_map(|run| run.tops.clone()).collect();
            let highest = tops.iter().copied().fold(0.0, f32::max);
            // A hyphen or a dash is no letter, and lies lower than any.
            let letters = tops.into_iter().filter(|top| *top > highest * 0.6);
            letters.fold(f32::MAX, f32::min)
        })
        .collect()
}

fn check_letters(words: &str, letter_height_mm: f32) {
    let label = WordLabel {
        words: words.to_owned(),
        letter_height_mm,
        ..WordLabel::default()
    };
    let labels = WordLabels {
        labels: vec![label],
        ..WordLabels::default()
    };
    for setup in [A4, LETTER] {
        let height = letter_heights(&labels, &setup)[0];
        assert!(
            height >= letter_height_mm && is_near(height, letter_height_mm),
            "{words}: {height} mm"
        );
    }
}

/// 12 mm: 49 CFR 173.185(f)(4), text of December 2022; ADR 2025, 3.3.1 and SP 376 (English wording from memory).
#[test]
fn the_words_for_damaged_batteries_are_twelve_millimetres_high() {
    check_letters("DAMAGED/DEFECTIVE LITHIUM ION BATTERY", 12.0);
    check_letters("DAMAGED/DEFECTIVE LITHIUM METAL BATTERY", 12.0);
    check_letters("DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES", 12.0);
    check_letters("DAMAGED/DEFECTIVE SODIUM ION BATTERIES", 12.0);
}

/// 6 mm up to 30 kg gross, 12 mm above: 49 CFR 173.185(c)(1)(v), text of December 2022.
#[test]
fn the_words_about_aircraft_are_six_or_twelve_millimetres_high() {
    for height in [6.0, 12.0] {
        check_letters(
            "LITHIUM ION BATTERIES—FORBIDDEN FOR TRANSPORT ABOARD PASSENGER AIRCRAFT",
            height,
        );
        check_letters(
            "LITHIUM BATTERIES—FORBIDDEN FOR TRANSPORT ABOARD AIRCRAFT AND VESSEL",
            height,
        );
    }
}

/// 12 mm: 49 CFR 173.185(c)(3)(iii), text of December 2022; ADR 2025, SP 188(f).
#[test]
fn the_word_overpack_is_twelve_millimetres_high() {
    check_letters("OVERPACK", 12.0);
}

#[test]
fn words_in_other_scripts_get_their_height_too() {
    check_letters("ПОВРЕЖДЁННЫЕ ЛИТИЙ-ИОННЫЕ БАТАРЕИ", 12.0);
    check_letters("ΜΠΑΤΑΡΙΕΣ ΛΙΘΙΟΥ", 12.0);
}

#[test]
fn words_in_mixed_letters_get_the_height_in_their_small_ones() {
    check_letters("Surface Transportation Only", 6.0);
}

#[test]
fn all_words_of_the_sample_stay_on_the_sheet() {
    for setup in [A4, LETTER] {
        let document = read(&word_labels(&samples::word_labels(), &setup).expect("words"));
        let pages = document.get_pages();
        for (page, found) in pages
            .values()
            .zip(pages.values().map(|page| read_page(&document, *page)))
        {
            let (width, height) = media_box(&document, *page);
            for run in found.runs {
                assert!(run.at.0 >= 13.9 && run.at.0 < width - 13.9, "{run:?}");
                assert!(run.at.1 >= 7.0 && run.at.1 < height - 7.0, "{run:?}");
            }
        }
    }
}

fn media_box(document: &Document, page: ObjectId) -> (f32, f32) {
    let page = document.get_dictionary(page).expect("a page");
    let media_box = page
        .get(b"MediaBox")
        .and_then(Object::as_array)
        .expect("a box");
    (number(&media_box[2]), number(&media_box[3]))
}

#[test]
fn words_too_wide_for_an_upright_sheet_are_printed_across_it() {
    for (setup, width_mm) in [(A4, 297.0), (LETTER, 279.4)] {
        let document = read(&word_labels(&samples::wide_word_label(), &setup).expect("words"));
        let page = *document.get_pages().values().next().expect("a page");
        let (width, height) = media_box(&document, page);
        assert!(
            is_near(width, width_mm) && height < width,
            "{width} x {height}"
        );
    }
}

#[test]
fn every_sheet_of_true_sizes_has_a_line_of_a_hundred_millimetres() {
    for setup in [A4, LETTER] {
        let papers = [
            battery_marks(&samples::battery_marks(), &setup).expect("marks"),
            word_labels(&samples::word_labels(), &setup).expect("words"),
            word_labels(&samples::wide_word_label(), &setup).expect("words"),
        ];
        for page in papers.iter().flat_map(|paper| read_pages(paper)) {
            let lines = page.shapes.iter().filter(|shape| {
                let (width, height) = Bounds::of(&shape.points).size();
                !shape.filled && height < 0.01 && is_near(width, 100.0)
            });
            assert_eq!(lines.count(), 1);
        }
    }
}

fn check_refusal(result: Result<Vec<u8>, PaperError>, message: &str) {
    assert_eq!(result.expect_err("refused").to_string(), message);
}

fn one_mark(mark: BatteryMark) -> Result<Vec<u8>, PaperError> {
    let paper = BatteryMarks {
        marks: vec![mark],
        ..samples::battery_marks()
    };
    battery_marks(&paper, &A4)
}

#[test]
fn a_mark_that_would_not_be_lawful_is_refused() {
    check_refusal(
        one_mark(BatteryMark::default()),
        "a battery mark needs a UN number, such as 3481",
    );
    check_refusal(
        one_mark(BatteryMark {
            un_numbers: vec![34_810],
            ..BatteryMark::default()
        }),
        "34810 is no UN number; it should have four digits, such as 3481",
    );
    let telephone = "+44 1632 960 117 between nine and five only".to_owned();
    check_refusal(
        one_mark(BatteryMark {
            un_numbers: vec![3481],
            telephone,
            ..BatteryMark::default()
        }),
        "the telephone number “+44 1632 960 117 between nine and five only” is too long for the mark; use at most 24 digits and signs",
    );
    check_refusal(
        battery_marks(&BatteryMarks::default(), &A4),
        "there is no mark to print; choose at least one",
    );
}

fn one_label(words: &str, letter_height_mm: f32) -> Result<Vec<u8>, PaperError> {
    let words = words.to_owned();
    let label = WordLabel {
        words,
        letter_height_mm,
        ..WordLabel::default()
    };
    word_labels(
        &WordLabels {
            labels: vec![label],
            ..WordLabels::default()
        },
        &A4,
    )
}

#[test]
fn words_that_cannot_be_printed_at_their_height_are_refused_never_shrunk() {
    check_refusal(
        one_label("RINDFLEISCHETIKETTIERUNGSÜBERWACHUNG", 12.0),
        "“RINDFLEISCHETIKETTIERUNGSÜBERWACHUNG” in letters of 12 mm does not fit the sheet; use a larger sheet or a printed label",
    );
    check_refusal(
        one_label("—", 12.0),
        "“—” holds no letter to measure; give the words of the rule",
    );
    for height in [0.0, -6.0, 61.0, f32::NAN] {
        let error = one_label("OVERPACK", height).expect_err("refused");
        assert!(matches!(error, PaperError::LetterHeight { .. }), "{error}");
    }
    check_refusal(
        word_labels(&WordLabels::default(), &A4),
        "there is no mark to print; choose at least one",
    );
}
