//! Unit cases. The published element strings are in the outside checks.

use proptest::prelude::*;

use super::*;

fn values(data: &str) -> Vec<(String, String)> {
    read(data)
        .expect(data)
        .into_iter()
        .map(|element| (element.ai, element.value))
        .collect()
}

fn pair(ai: &str, value: &str) -> (String, String) {
    (ai.to_owned(), value.to_owned())
}

#[test]
fn a_print_with_brackets_reads_as_the_scan_does() {
    let scanned = values("010629104150021321ABC123\u{1D}8002260531793113837");
    assert_eq!(
        values("(01)06291041500213(21)ABC123(8002)260531793113837"),
        scanned
    );
    assert_eq!(
        values("\u{1D}010629104150021321ABC123\u{1D}8002260531793113837"),
        scanned
    );
    assert_eq!(
        values("(00) 3 7610425 002123456 9"),
        [pair("00", "376104250021234569")]
    );
}

#[test]
fn a_wrong_check_digit_is_kept_with_a_warning() {
    let elements = read("00376104250021234568").expect("readable");
    assert_eq!(elements[0].value, "376104250021234568");
    assert!(
        elements[0]
            .check
            .likely_texts()
            .contains(&"376104250021234569")
    );
}

#[test]
fn a_key_with_a_tail_is_checked_up_to_its_check_digit() {
    // A returnable asset: 0, thirteen digits with the check digit, and a serial number.
    assert!(
        read("8003062910415002137X").expect("readable")[0]
            .check
            .is_right()
    );
    assert!(
        read("8003062910415002147X").expect("readable")[0]
            .check
            .is_wrong()
    );
}

#[test]
fn elements_of_a_fixed_length_need_no_separator() {
    assert_eq!(
        values("41006141410000120037610425002123456913261125"),
        [
            pair("410", "0614141000012"),
            pair("00", "376104250021234569"),
            pair("13", "261125")
        ]
    );
}

#[test]
fn what_cannot_be_told_apart_is_refused() {
    assert!(matches!(read(""), Err(Gs1Error::Empty)));
    assert!(matches!(
        read("8888"),
        Err(Gs1Error::UnknownIdentifier { .. })
    ));
    assert!(matches!(
        read("(8888)1"),
        Err(Gs1Error::UnknownIdentifier { .. })
    ));
    assert!(matches!(
        read("(00"),
        Err(Gs1Error::UnknownIdentifier { .. })
    ));
    assert!(matches!(
        read("37ABC"),
        Err(Gs1Error::Character { character: 'A', .. })
    ));
    assert_eq!(
        read("0006291041500213").expect_err("too short").to_string(),
        "the value “06291041500213” after (00) has 14 characters; it must have 18"
    );
}

proptest! {
    #[test]
    fn any_text_is_read_without_a_fall(data in "\\PC{0,40}") {
        let _ = read(&data);
        let _ = check(&data);
    }

    #[test]
    fn a_single_wrong_digit_is_always_noticed(body in "[0-9]{17}", place in 0_usize..18, step in 1_u8..10) {
        let mut digits: Vec<u8> = format!("{body}{}", check_digit(&body).expect("digits")).into_bytes();
        digits[place] = (digits[place] - b'0' + step) % 10 + b'0';
        let text = String::from_utf8(digits).expect("digits");
        prop_assert!(check(&text).is_wrong());
    }
}
