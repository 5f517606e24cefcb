//! Unit cases.

use proptest::prelude::*;
use uuid::Uuid;

use super::*;

/// A job whose last forty bits are these.
fn job(bits: u64) -> JobId {
    JobId::new(Uuid::from_u128(
        0x019a_bc00_0000_7000_8000_0000_0000_0000 | u128::from(bits),
    ))
}

/// A job by the eight symbols of its reference, worked out by place value and not by the code under test.
fn job_of_symbols(symbols: &str) -> JobId {
    let value = |symbol: char| {
        "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
            .find(symbol)
            .expect("a symbol") as u64
    };
    job(symbols
        .chars()
        .fold(0, |bits, symbol| bits * 32 + value(symbol)))
}

#[test]
fn a_reference_is_the_last_forty_bits_and_a_check_character() {
    let reference = JobRef::of(job_of_symbols("7K3M2Q9X"));
    // By ISO/IEC 7064 MOD 37,36, worked out apart from this program. The messages show it as the example.
    assert_eq!(reference.to_string(), "7K3M-2Q9X-T");
    assert_eq!(reference.compact().len(), 9);
    assert_eq!(reference.qr_text(), format!("WB:J:{}", reference.compact()));
    let upper_bits = JobId::new(Uuid::from_u128(0xFFFF_FFFF_FFFF_7FFF_8FFF_FF00_0000_0000));
    assert_eq!(JobRef::of(upper_bits), JobRef::of(job(0)));
}

#[test]
fn what_people_type_is_read() {
    let reference = JobRef::of(job_of_symbols("10K31Q0X"));
    let shown = reference.to_string();
    let check = shown.chars().last().expect("nine characters");
    for typed in [
        shown.clone(),
        shown.to_lowercase(),
        format!(" 1ok3 iqox {check} "),
        format!("LOK3LQOX{check}"),
    ] {
        assert_eq!(typed.parse::<JobRef>(), Ok(reference), "{typed}");
    }
}

#[test]
fn a_check_character_that_looks_like_another_is_read_either_way() {
    for look_alikes in ["0O", "1IL"] {
        for check in look_alikes.chars() {
            let reference = (0..4000)
                .map(|bits| JobRef::of(job(bits)))
                .find(|reference| reference.compact().ends_with(check))
                .expect("one of thousands ends so");
            for typed in look_alikes.chars() {
                let text = format!("{}{typed}", &reference.compact()[..8]);
                assert_eq!(text.parse::<JobRef>(), Ok(reference), "{text}");
            }
        }
    }
}

#[test]
fn a_wrong_check_character_is_refused_with_the_likely_right_reading() {
    let right = JobRef::of(job_of_symbols("7K3M2Q9X")).to_string();
    let swapped = right.replace("7K3M", "7KM3");
    let error = swapped.parse::<JobRef>().expect_err("swapped");
    let ReferenceError::Check { likely, .. } = &error else {
        panic!("{error}")
    };
    assert!(
        likely.iter().any(|reading| reading.text == right),
        "{error}"
    );
    assert!(error.to_string().contains("perhaps"), "{error}");
}

#[test]
fn what_is_no_reference_says_what_would_be_right() {
    assert!(matches!(
        "7K3M-2Q9X".parse::<JobRef>(),
        Err(ReferenceError::Length { length: 8, .. })
    ));
    assert!(matches!(
        "UK3M-2Q9X-C".parse::<JobRef>(),
        Err(ReferenceError::Symbol { character: 'U', .. })
    ));
    assert!(matches!(
        "7K3M-2Q9X-é".parse::<JobRef>(),
        Err(ReferenceError::Symbol {
            character: 'é', ..
        })
    ));
}

#[test]
fn a_code_of_another_kind_is_not_read() {
    let reference = ParcelRef::of(ParcelId::new(Uuid::from_u128(7)));
    assert_eq!(
        ParcelRef::from_qr(&reference.qr_text().to_lowercase()),
        Some(Ok(reference))
    );
    assert_eq!(JobRef::from_qr(&reference.qr_text()), None);
}

#[test]
fn a_reference_travels_as_it_is_shown() {
    let reference = JobRef::of(job(1));
    let json = serde_json::to_string(&reference).expect("a string");
    assert_eq!(json, format!("\"{reference}\""));
    assert_eq!(
        serde_json::from_str::<JobRef>(&json).expect("the same"),
        reference
    );
}

proptest! {
    #[test]
    fn every_reference_reads_back(bits in 0_u64..1 << 40) {
        let reference = JobRef::of(job(bits));
        prop_assert_eq!(reference.to_string().parse::<JobRef>(), Ok(reference));
        prop_assert_eq!(JobRef::from_qr(&reference.qr_text()), Some(Ok(reference)));
        prop_assert!(reference.belongs_to(job(bits)));
    }

    #[test]
    fn a_wrong_symbol_never_reads_as_the_right_reference(bits in 0_u64..1 << 40, place in 0_usize..8, symbol in 0_usize..32) {
        let reference = JobRef::of(job(bits));
        let mut typed = reference.compact().into_bytes();
        prop_assume!(typed[place] != SYMBOLS[symbol]);
        let check = typed[SYMBOL_COUNT];
        typed[place] = SYMBOLS[symbol];
        let typed = String::from_utf8(typed).expect("symbols");
        // Where the check character has look-alikes, the slip may hit one of them; it still finds another number.
        match typed.parse::<JobRef>() {
            Ok(other) => prop_assert!(other != reference && b"0O1IL".contains(&check)),
            Err(error) => {
                let is_check = matches!(error, ReferenceError::Check { .. });
                prop_assert!(is_check, "{}", error);
            }
        }
    }

    #[test]
    fn any_text_is_read_without_a_fall(text in "\\PC{0,12}") {
        let _ = text.parse::<ParcelRef>();
    }
}
