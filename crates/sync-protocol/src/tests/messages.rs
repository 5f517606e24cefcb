//! Messages as they are written and read.

use super::*;

#[test]
fn the_digest_depends_on_the_order() {
    let (a, b) = (hash(1, 1), hash(2, 1));
    let of = |entries: &[EntryHash]| {
        entries.iter().fold(LogDigest::EMPTY, |digest, entry| {
            advance_digest(&digest, entry)
        })
    };
    assert_ne!(of(&[a, b]), of(&[b, a]));
}

#[test]
fn an_unknown_reject_code_and_an_unknown_error_code_are_read() {
    assert_eq!(
        serde_json::from_str::<RejectCode>("\"of_a_newer_server\"").unwrap(),
        RejectCode::Other
    );
    assert_eq!(
        serde_json::from_str::<ErrorCode>("\"of_a_newer_server\"").unwrap(),
        ErrorCode::Other
    );
}

#[test]
fn answers_are_read_as_they_are_written() {
    let answer = PushAnswer {
        answers: vec![
            EntryAnswer::Stored,
            EntryAnswer::AlreadyKnown,
            EntryAnswer::Fork {
                known_hash: hash(1, 1),
                sent_hash: hash(1, 2),
            },
            EntryAnswer::MissingFrom { seq: 7 },
            EntryAnswer::Rejected {
                code: RejectCode::BadHash,
                message: "no".into(),
            },
        ],
        contiguous_seq: 6,
    };
    let json = serde_json::to_string(&answer).unwrap();
    assert_eq!(serde_json::from_str::<PushAnswer>(&json).unwrap(), answer);
    assert!(json.contains(r#"{"answer":"already_known"}"#), "{json}");
}

#[test]
fn every_code_has_its_own_word_and_the_word_is_its_json() {
    let codes = [
        ErrorCode::NotEnrolled,
        ErrorCode::CodeRefused,
        ErrorCode::OtherLab,
        ErrorCode::BadRequest,
        ErrorCode::OverLimit,
        ErrorCode::PhotoAbsent,
        ErrorCode::PhotoHashMismatch,
        ErrorCode::VersionUnsupported,
        ErrorCode::RateLimited,
        ErrorCode::Unavailable,
        ErrorCode::StorageFull,
        ErrorCode::ServerFault,
    ];
    for code in codes {
        assert_eq!(
            serde_json::to_string(&code).unwrap(),
            format!("\"{}\"", code.word())
        );
        // RFC 9457 section 3.1: `status` repeats the HTTP status; a code that a retry may mend is never a plain 400.
        assert!(code.is_permanent() || code.status() != 400);
    }
}

#[test]
fn a_photo_path_names_hash_and_variant() {
    let path = http_paths::photo_path(
        http_paths::PHOTO_UPLOAD,
        &ContentHash::from_bytes([0xab; 32]),
        PhotoVariant::Thumb,
    );
    assert_eq!(
        path,
        format!("/sync/v1/photos/{}/thumb/upload", "ab".repeat(32))
    );
    assert_eq!(PhotoVariant::from_word("thumb"), Some(PhotoVariant::Thumb));
    assert_eq!(PhotoVariant::from_word("huge"), None);
}

#[test]
fn a_credential_never_reaches_a_log() {
    let enrolled = Enrolled {
        lab_id: domain::LabId::from_bytes([1; 16]),
        lab_name: "Lab".into(),
        credential: "very-secret".into(),
        server_key: PublicKey::from_bytes([2; 32]),
        server_stream_id: stream(3),
        log_epoch: EPOCH,
    };
    assert!(!format!("{enrolled:?}").contains("very-secret"));
}
