//! The true sizes once more, measured as a person with a ruler would: poppler draws the page at 254 dots per inch, which is
//! ten dots a millimetre, and the dots are counted. Poppler also says which text lies inside a mark.

use super::*;

/// Dots of a drawn millimetre at 254 dots per inch.
const DOTS: f64 = 10.0;
/// A dot on either side is the drawing's own rounding.
const TOLERANCE_MM: f64 = 0.2;

/// A drawn page.
struct Picture {
    width: usize,
    height: usize,
    /// Red, green, blue, row by row from the top.
    dots: Vec<[u8; 3]>,
}

impl Picture {
    fn of(paper: &Printed, page: usize, grey: bool) -> Self {
        let stem = paper.folder.path().join(format!("drawn-{page}-{grey}"));
        let page = page.to_string();
        let mut arguments: Vec<&Path> = vec!["-r".as_ref(), "254".as_ref(), "-singlefile".as_ref()];
        arguments
            .extend(["-f".as_ref(), page.as_ref(), "-l".as_ref(), page.as_ref()] as [&Path; 4]);
        if grey {
            arguments.push("-gray".as_ref());
        }
        arguments.extend([paper.file.as_ref(), stem.as_ref()] as [&Path; 2]);
        run("pdftoppm", &arguments);
        Self::read(&fs::read(stem.with_extension(if grey { "pgm" } else { "ppm" })).unwrap())
    }

    /// Netpbm's binary forms: `P5` or `P6`, width, height and 255 as text, then the dots.
    fn read(bytes: &[u8]) -> Self {
        let mut at = 0;
        let mut words = Vec::new();
        while words.len() < 4 {
            let end = at
                + bytes[at..]
                    .iter()
                    .position(u8::is_ascii_whitespace)
                    .unwrap();
            words.push(std::str::from_utf8(&bytes[at..end]).unwrap());
            at = end + 1;
        }
        let channels = if words[0] == "P6" { 3 } else { 1 };
        let dots = bytes[at..].chunks(channels);
        Self {
            width: words[1].parse().unwrap(),
            height: words[2].parse().unwrap(),
            dots: dots
                .map(|dot| [dot[0], dot[channels / 2], dot[channels - 1]])
                .collect(),
        }
    }

    /// Left, top, right and bottom in millimetres of all dots of a kind inside a part of the page, given in millimetres.
    fn bounds(&self, part: [f64; 4], kind: impl Fn([u8; 3]) -> bool) -> Option<[f64; 4]> {
        let mut found: Option<[usize; 4]> = None;
        for (index, dot) in self.dots.iter().enumerate() {
            let (x, y) = (index % self.width, index / self.width);
            #[expect(
                clippy::cast_precision_loss,
                reason = "a page has a few thousand dots a side"
            )]
            let (x_mm, y_mm) = (x as f64 / DOTS, y as f64 / DOTS);
            let inside = x_mm >= part[0] && y_mm >= part[1] && x_mm < part[2] && y_mm < part[3];
            if inside && kind(*dot) {
                let bounds = found.unwrap_or([x, y, x + 1, y + 1]);
                found = Some([
                    bounds[0].min(x),
                    bounds[1].min(y),
                    bounds[2].max(x + 1),
                    bounds[3].max(y + 1),
                ]);
            }
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "a page has a few thousand dots a side"
        )]
        found.map(|bounds| bounds.map(|dots| dots as f64 / DOTS))
    }

    fn page(&self) -> [f64; 4] {
        #[expect(
            clippy::cast_precision_loss,
            reason = "a page has a few thousand dots a side"
        )]
        let size = (self.width as f64 / DOTS, self.height as f64 / DOTS);
        [0.0, 0.0, size.0, size.1]
    }
}

fn is_red([red, green, blue]: [u8; 3]) -> bool {
    red > 150 && green < 110 && blue < 110
}

fn is_black(dot: [u8; 3]) -> bool {
    dot.iter().all(|channel| *channel < 100)
}

fn check_mm(what: &str, found: f64, expected: f64) {
    assert!(
        (found - expected).abs() <= TOLERANCE_MM,
        "{what}: {found} mm, not {expected} mm"
    );
}

/// The upper half of a page of two marks, in millimetres.
fn upper_half(picture: &Picture) -> [f64; 4] {
    let page = picture.page();
    [0.0, 0.0, page[2], page[3] / 2.0 - 16.0]
}

/// 49 CFR 173.185(c)(3)(i)(A), text of December 2022, and ADR 2025, 5.2.1.9.2: 100 x 100 mm or 100 x 70 mm, red hatching of at
/// least 5 mm.
#[test]
fn a_drawn_battery_mark_has_its_lawful_size() {
    for setup in [A4, LETTER] {
        let paper =
            Printed::new(&papers::battery_marks(&samples::battery_marks(), &setup).unwrap());
        for (page, height_mm) in [(1, 100.0), (2, 70.0)] {
            let picture = Picture::of(&paper, page, false);
            let red = picture
                .bounds([0.0, 0.0, 140.0, 30.0 + height_mm], is_red)
                .unwrap();
            check_mm("width", red[2] - red[0], 100.0);
            check_mm("height", red[3] - red[1], height_mm);
            // Along the middle of each side, the red ends where the inside begins.
            let middle = f64::midpoint(red[1], red[3]);
            let left = [red[0], middle - 8.0, red[0] + 20.0, middle + 8.0];
            let left = picture.bounds(left, is_red).unwrap();
            assert!(
                left[2] - left[0] >= 5.0,
                "the hatching is {} mm",
                left[2] - left[0]
            );
            let top = [40.0, red[1], 60.0, red[1] + 20.0];
            let top = picture.bounds(top, is_red).unwrap();
            assert!(
                top[3] - top[1] >= 5.0,
                "the hatching is {} mm",
                top[3] - top[1]
            );
        }
    }
}

/// 12 mm: IATA guidance F.01 and F.02 of 2026, read second-hand.
#[test]
fn a_drawn_un_number_is_twelve_millimetres_high() {
    let paper = Printed::new(&papers::battery_marks(&samples::battery_marks(), &A4).unwrap());
    let picture = Picture::of(&paper, 1, false);
    let red = picture.bounds(upper_half(&picture), is_red).unwrap();
    // The number stands in the last 25 mm inside the hatching; the flat N decides, round letters reach a little further.
    let foot = [red[0] + 6.0, red[3] - 25.0, red[2] - 6.0, red[3] - 6.0];
    let number = picture.bounds(foot, is_black).unwrap();
    let height = number[3] - number[1];
    assert!((12.0..=12.6).contains(&height), "{height} mm");
    let letter_n = [foot[0] + 24.0, foot[1], foot[0] + 34.0, foot[3]];
    let letter = picture.bounds(letter_n, is_black).unwrap();
    check_mm("the letter N", letter[3] - letter[1], 12.0);
}

/// 6 mm and 12 mm: 49 CFR 173.185(c)(1)(v), (c)(3)(iii) and (f)(4), text of December 2022.
#[test]
fn drawn_words_have_their_letter_height() {
    for (index, height_mm) in [(0, 12.0), (2, 6.0), (6, 12.0), (7, 12.0)] {
        let all = samples::word_labels();
        let one = papers::model::WordLabels {
            labels: vec![all.labels[index].clone()],
            ..all
        };
        let paper = Printed::new(&papers::word_labels(&one, &LETTER).unwrap());
        let picture = Picture::of(&paper, 1, false);
        // The first line up to where a stroke, which is higher than letters, may follow; the corner lines are grey.
        let area = [18.0, 22.0, 110.0, 26.0 + height_mm * 1.2];
        let line = picture.bounds(area, is_black).unwrap();
        let height = line[3] - line[1];
        // Round letters reach 1.8 % beyond the flat ones at either end.
        assert!(
            height >= height_mm - 0.05 && height <= height_mm * 1.04 + TOLERANCE_MM,
            "{height} mm, not {height_mm} mm"
        );
    }
}

#[test]
fn a_grey_printer_still_shows_the_stripes() {
    let paper = Printed::new(&papers::battery_marks(&samples::battery_marks(), &A4).unwrap());
    let grey = Picture::of(&paper, 1, true);
    let dark = grey
        .bounds([0.0, 22.0, 130.0, 30.0], |dot| dot[0] < 130)
        .unwrap();
    assert!(dark[2] - dark[0] > 90.0, "{dark:?}");
}

/// `pdftotext` with a box in dots at 72 to the inch: all that a reader finds inside the mark. PHMSA letter 19-0083: nothing may be
/// added inside.
#[test]
fn inside_the_mark_a_reader_finds_the_un_number_alone() {
    for setup in [A4, LETTER] {
        let paper =
            Printed::new(&papers::battery_marks(&samples::battery_marks(), &setup).unwrap());
        let picture = Picture::of(&paper, 1, false);
        let red = picture.bounds(upper_half(&picture), is_red).unwrap();
        let points = |mm: f64| format!("{:.0}", mm / 25.4 * 72.0);
        let sides = [points(red[0]), points(red[1]), points(100.0)];
        let text = run(
            "pdftotext",
            &[
                "-f".as_ref(),
                "1".as_ref(),
                "-l".as_ref(),
                "1".as_ref(),
                "-x".as_ref(),
                sides[0].as_ref(),
                "-y".as_ref(),
                sides[1].as_ref(),
                "-W".as_ref(),
                sides[2].as_ref(),
                "-H".as_ref(),
                sides[2].as_ref(),
                paper.file.as_ref(),
                "-".as_ref(),
            ],
        );
        assert_eq!(text.trim(), "UN 3481");
    }
}

#[test]
fn every_sheet_of_true_sizes_tells_to_measure_it_and_to_check_the_edition() {
    for setup in [A4, LETTER] {
        for paper in [
            papers::battery_marks(&samples::battery_marks(), &setup).unwrap(),
            papers::word_labels(&samples::word_labels(), &setup).unwrap(),
        ] {
            let told = [
                "Print at 100 %",
                "must be 100 mm long",
                "Check against the edition in force.",
            ];
            check_text(&Printed::new(&paper), &told);
        }
    }
}

#[test]
fn words_come_back_as_the_rule_gives_them() {
    let text = Printed::new(&papers::word_labels(&samples::word_labels(), &A4).unwrap()).text();
    // A line may end after a stroke or a dash; the words themselves are whole.
    let text = text
        .replace("DAMAGED/ ", "DAMAGED/")
        .replace("BATTERIES— ", "BATTERIES—");
    for words in [
        "DAMAGED/DEFECTIVE LITHIUM ION BATTERY",
        "DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES",
        "LITHIUM ION BATTERIES—FORBIDDEN FOR TRANSPORT ABOARD PASSENGER AIRCRAFT",
        "LITHIUM BATTERIES—FORBIDDEN FOR TRANSPORT ABOARD AIRCRAFT AND VESSEL",
        "RESTRICTED ELECTRONIC DEVICE SURFACE TRANSPORTATION ONLY",
        "OVERPACK",
    ] {
        assert!(text.contains(words), "{words:?} is missing from: {text}");
    }
}

#[test]
fn an_instruction_tells_everything_a_packer_and_a_shipper_need() {
    let paper = Printed::new(
        &papers::packing_instruction(&samples::damaged_instruction(), &LETTER).unwrap(),
    );
    check_text(
        &paper,
        &[
            "Road only, packed as a damaged cell; a trained shipper signs",
            "Check each device",
            "Limits checked",
            "What we do not know",
            "What is not known. It is never taken for good.",
            "Set aside by a trained person",
            "Ines Varga, trained until 14 March 2028",
            "Shipper, trained for dangerous goods",
            "last checked 25 November 2026",
            "Check against the edition in force.",
        ],
    );
    check_codes(&paper, &["WB:P:4H8WQ2ZTZ"]);
    let scripts = papers::packing_instruction(&samples::scripts_instruction(), &A4).unwrap();
    check_text(
        &Printed::new(&scripts),
        &["Ηλεκτρονική Αυγή", "Преображенский-Покровский"],
    );
}

#[test]
fn bay_labels_and_the_handover_record_can_be_read_back() {
    for stock in [BayStock::Roll62, BayStock::Sheet] {
        let labels = Printed::new(&papers::bay_labels(&samples::bay_labels(stock), &A4).unwrap());
        check_text(
            &labels,
            &[
                "ISOLATE",
                "WATCH",
                "EMERGENCY",
                "5T8Y-B3WA-Z",
                "outdoors",
                "Северный",
            ],
        );
        check_codes(&labels, &["WB:C:5T8YB3WAZ"; 3]);
    }
    let record =
        Printed::new(&papers::handover_record(&samples::handover_record(), &LETTER).unwrap());
    let told = [
        "Brackwater Cell Recovery",
        "3.60 V, 21.4 °C, room 21.2 °C",
        "Taken over by",
    ];
    check_text(&record, &told);
    check_codes(&record, &["WB:C:5T8YB3WAZ"]);
}
