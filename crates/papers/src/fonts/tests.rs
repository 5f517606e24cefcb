use super::*;

fn check_face(family: Family, character: char, face: Face) {
    let found = find(family, character, false);
    assert_eq!((found.face, found.text), (face, character), "{character:?}");
}

#[test]
fn every_bundled_face_can_be_read() {
    assert!(check_bundled().is_ok());
}

#[test]
fn latin_text_is_set_in_the_text_face() {
    for character in "Az09€ĄŁőşŽß£".chars() {
        check_face(Family::Text, character, Face::Text);
        check_face(Family::TextBold, character, Face::TextBold);
    }
}

#[test]
fn identifiers_are_set_in_the_fixed_width_face() {
    for character in "0O1lI5S8B".chars() {
        check_face(Family::Mono, character, Face::Mono);
    }
}

#[test]
fn fixed_width_means_one_width() {
    let widths: Vec<f32> = "0O1lIWi."
        .chars()
        .map(|c| find(Family::Mono, c, false).advance)
        .collect();
    assert!(
        widths.iter().all(|width| (width - widths[0]).abs() < 0.001),
        "{widths:?}"
    );
}

#[test]
fn greek_and_cyrillic_fall_back_to_noto() {
    for character in "ηΘςжЩґ".chars() {
        check_face(Family::Text, character, Face::Noto);
        check_face(Family::MonoBold, character, Face::NotoBold);
    }
}

#[test]
fn arrows_and_operators_are_found() {
    for character in "→⇒∈".chars() {
        check_face(Family::Text, character, Face::Math);
    }
}

#[test]
fn the_micro_sign_is_drawn_like_the_letter_and_copied_as_itself() {
    let (sign, letter) = (
        find(Family::Text, 'µ', false),
        find(Family::Text, 'μ', false),
    );
    assert_eq!((sign.face, sign.glyph), (letter.face, letter.glyph));
    assert_eq!(sign.text, 'µ');
}

#[test]
fn a_character_that_no_face_has_becomes_a_visible_mark() {
    let found = find(Family::Text, '修', false);
    assert_eq!(found.text, '\u{FFFD}');
    assert!(found.glyph != 0 && found.advance > 300.0, "{found:?}");
}

#[test]
fn a_pair_with_white_between_is_kerned() {
    let glyph = |character| find(Family::Text, character, false).glyph;
    assert!(kerning(Face::Text, glyph('A'), glyph('V')) < -20.0);
    assert!(kerning(Face::Text, glyph('T'), glyph('o')) < -20.0);
    assert!(kerning(Face::Text, glyph('H'), glyph('H')).abs() < 1.0);
}

#[test]
fn the_subset_tags_are_six_capitals_and_differ() {
    let mut tags: Vec<&str> = FACES.iter().map(|face| face.resource_name()).collect();
    assert!(
        tags.iter()
            .all(|tag| tag.len() == 6 && tag.chars().all(|c| c.is_ascii_uppercase()))
    );
    tags.sort_unstable();
    tags.dedup();
    assert_eq!(tags.len(), FACES.len());
}

/// The capital height in the `OS/2` table of the bundled files: 668 of 1000 in the text faces, 714 in the fallback.
#[test]
fn a_capital_reaches_as_high_as_its_outline() {
    for (family, character, height) in [
        (Family::TextBold, 'H', 668.0),
        (Family::Mono, 'E', 668.0),
        (Family::TextBold, 'Ж', 714.0),
    ] {
        let found = find(family, character, false);
        let (above, below) = reach(found.face, found.glyph).expect("an outline");
        assert!(
            (above - height).abs() < 0.01 && below.abs() < 0.01,
            "{character}: {above} {below}"
        );
    }
    let space = find(Family::Text, ' ', false);
    assert_eq!(reach(space.face, space.glyph), None);
}
