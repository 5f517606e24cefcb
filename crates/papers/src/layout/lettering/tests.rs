use super::*;

const STYLE: Style = Style {
    family: Family::TextBold,
    size: 1.0,
    colour: Colour(0, 0, 0),
};
const MM: f32 = 72.0 / 25.4;

fn check_lines(words: &str, height_mm: f32, width_mm: f32, expected: &[&str]) {
    let lettering = fit(words, STYLE, height_mm * MM, width_mm * MM).expect("it fits");
    let lines: Vec<String> = lettering
        .lines
        .iter()
        .map(|line| line.glyphs.iter().map(|glyph| glyph.character).collect())
        .collect();
    assert_eq!(lines, expected);
    assert!(lettering.width <= width_mm * MM);
}

/// 668 of 1000: `sCapHeight` in the `OS/2` table of the bundled bold face.
#[test]
fn capitals_of_twelve_millimetres_take_eighteen_millimetres_of_type() {
    let size = size_for("OVERPACK", Family::TextBold, 12.0 * MM).expect("letters");
    assert!((size - 12.0 * MM / 0.668).abs() < 0.01, "{size}");
}

#[test]
fn the_lowest_letter_decides() {
    let capitals = size_for("ION", Family::TextBold, 12.0).expect("letters");
    let mixed = size_for("Ion", Family::TextBold, 12.0).expect("letters");
    assert!(mixed > capitals * 1.3, "{mixed} {capitals}");
}

/// Round letters reach above the line of the flat ones, by 12 of 1000 in the bundled face.
#[test]
fn a_sign_does_not_decide() {
    let plain = size_for("ION", Family::TextBold, 12.0);
    assert_eq!(size_for("I—O-N,", Family::TextBold, 12.0), plain);
    assert_eq!(size_for("—", Family::TextBold, 12.0), None);
}

#[test]
fn greek_and_cyrillic_are_measured_in_the_face_that_has_them() {
    let size = size_for("ЛИТИЙ", Family::TextBold, 12.0).expect("letters");
    assert!((size - 12.0 / 0.714).abs() < 0.01, "{size}");
}

#[test]
fn words_break_into_a_block_that_is_well_to_cut_out() {
    check_lines("OVERPACK", 12.0, 182.0, &["OVERPACK"]);
    check_lines(
        "DAMAGED/DEFECTIVE LITHIUM\u{A0}ION BATTERY",
        12.0,
        182.0,
        &["DAMAGED/", "DEFECTIVE", "LITHIUM ION", "BATTERY"],
    );
}

#[test]
fn words_that_belong_together_stay_on_one_line() {
    check_lines(
        "LITHIUM\u{A0}ION BATTERIES—FORBIDDEN FOR\u{A0}TRANSPORT ABOARD PASSENGER AIRCRAFT",
        6.0,
        170.0,
        &[
            "LITHIUM ION",
            "BATTERIES—FORBIDDEN",
            "FOR TRANSPORT ABOARD",
            "PASSENGER AIRCRAFT",
        ],
    );
}

#[test]
fn a_line_break_in_the_words_is_kept() {
    check_lines(
        "Restricted Electronic Device\nSurface Transportation Only",
        6.0,
        182.0,
        &[
            "Restricted",
            "Electronic Device",
            "Surface Transportation Only",
        ],
    );
}

#[test]
fn a_word_that_is_too_wide_is_never_cut() {
    assert_eq!(fit("OVERPACK", STYLE, 12.0 * MM, 60.0 * MM), None);
}
