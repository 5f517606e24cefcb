use super::*;

const STYLE: Style = Style {
    family: Family::Text,
    size: 10.0,
    colour: Colour(0, 0, 0),
};
const MONO: Style = Style {
    family: Family::Mono,
    size: 10.0,
    colour: Colour(0, 0, 0),
};

fn text_of(line: &Line) -> String {
    line.glyphs.iter().map(|glyph| glyph.character).collect()
}

fn check_wrap(text: &str, style: Style, width: f32, expected: &[&str]) {
    let lines = wrap(&[Span::new(text, style)], width);
    let texts: Vec<String> = lines.iter().map(text_of).collect();
    assert_eq!(texts, expected);
    for line in &lines {
        assert!(
            line.width <= width + 0.02,
            "{} is wider than {width}: {}",
            text_of(line),
            line.width
        );
    }
}

#[test]
fn lines_end_at_spaces() {
    check_wrap(
        "charging controller replaced",
        STYLE,
        95.0,
        &["charging controller", "replaced"],
    );
}

#[test]
fn a_word_wider_than_the_column_is_broken_not_cut() {
    let word = "Donaudampfschifffahrtsgesellschaft";
    let lines = wrap(&[Span::new(word, STYLE)], 60.0);
    let joined: String = lines.iter().map(text_of).collect();
    assert!(lines.len() > 2);
    assert_eq!(joined, word);
}

#[test]
fn a_line_break_in_the_text_is_kept() {
    check_wrap("one\ntwo", STYLE, 200.0, &["one", "two"]);
    check_wrap("one\n\ntwo", STYLE, 200.0, &["one", "", "two"]);
}

#[test]
fn a_unit_stays_with_its_number() {
    check_wrap(
        "dried for two hours at 60 °C in air",
        STYLE,
        112.0,
        &["dried for two hours at", "60 °C in air"],
    );
}

#[test]
fn a_reference_is_not_broken_at_its_hyphens() {
    check_wrap("see 7K3M-2Q9X-T", MONO, 90.0, &["see", "7K3M-2Q9X-T"]);
}

#[test]
fn a_compound_word_may_end_a_line_at_its_hyphen() {
    check_wrap("board-level", STYLE, 32.0, &["board-", "level"]);
}

#[test]
fn an_address_ends_a_line_after_a_part_of_it() {
    check_wrap(
        "https://lab.example/r/5f1d",
        MONO,
        150.0,
        &["https://lab.example/r/", "5f1d"],
    );
}

#[test]
fn letters_and_their_marks_are_composed() {
    let line = single_line(&[Span::new("Gyo\u{30B}r", STYLE)]);
    assert_eq!(text_of(&line), "Győr");
}

#[test]
fn a_greek_word_is_set_in_one_face() {
    let line = single_line(&[Span::new("Ωμέγα", STYLE)]);
    let faces: Vec<Face> = line.glyphs.iter().map(|glyph| glyph.face).collect();
    assert!(faces.iter().all(|face| *face == Face::Noto), "{faces:?}");
}

#[test]
fn an_ohm_in_latin_text_stays_in_the_text_face() {
    let line = single_line(&[Span::new("42 mΩ", STYLE)]);
    assert!(line.glyphs.iter().all(|glyph| glyph.face == Face::Text));
}

#[test]
fn control_characters_become_spaces_and_joiners_vanish() {
    let line = single_line(&[Span::new("a\tb\u{200B}c\u{FEFF}", STYLE)]);
    assert_eq!(text_of(&line), "a bc");
}

#[test]
fn a_character_without_a_face_is_replaced_never_dropped() {
    assert_eq!(
        text_of(&single_line(&[Span::new("a修b", STYLE)])),
        "a\u{FFFD}b"
    );
}

#[test]
fn kerning_makes_a_pair_narrower_than_its_letters() {
    let alone = width_of("A", STYLE) + width_of("V", STYLE);
    assert!(width_of("AV", STYLE) < alone - 0.2);
}

#[test]
fn a_label_that_is_full_ends_in_an_ellipsis() {
    let lines = wrap_within(
        &[Span::new("Halcyon Wayfarer Pro Max Extended", STYLE)],
        80.0,
        1,
    );
    assert_eq!(lines.len(), 1);
    assert!(text_of(&lines[0]).ends_with('…'));
    assert!(lines[0].width <= 80.0);
}

#[test]
fn a_text_that_fits_has_no_ellipsis() {
    let lines = wrap_within(&[Span::new("Vireo Lumen 6", STYLE)], 80.0, 1);
    assert_eq!(text_of(&lines[0]), "Vireo Lumen 6");
}

#[test]
fn no_text_gives_no_line() {
    assert!(wrap(&[Span::new("", STYLE)], 50.0).is_empty());
    assert!(wrap(&[], 50.0).is_empty());
}
