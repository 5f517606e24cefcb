use domain::fact::{PasscodeDestruction, SealedPasscode};
use domain::{Fact, LabId, Subject};
use logbook::Entry;
use sync_protocol::limits::PageLimits;
use sync_protocol::{
    Cursor, EntryAnswer, Pull, PushEntries, RejectCode, SyncProtocol as _, advance_digest,
};

use super::*;
use crate::store::sqlite;
use crate::testing::{Bench, Desktop, shop};

fn cursor(bench: &Bench) -> Cursor {
    Cursor::start(bench.core.store().lab().expect("a lab").log_epoch)
}

/// Reads the whole log in pages of `size`, as a desktop does, and proves each page's digest.
fn read_all(bench: &Bench, desktop: &Desktop, size: usize) -> Vec<Entry> {
    let limits = PageLimits {
        entries_max: size,
        bytes_max: usize::MAX,
    };
    let connection =
        Connection::with_credential(bench.core.clone(), &desktop.credential).with_limits(limits);
    let mut at = cursor(bench);
    let mut all = Vec::new();
    loop {
        let Pull::Page(page) = connection.pull(&at).expect("the server answers") else {
            panic!("the cursor is known")
        };
        let digest = page.entries.iter().fold(at.digest, |digest, entry| {
            advance_digest(&digest, &entry.hash)
        });
        assert_eq!(
            digest, page.cursor.digest,
            "the running digest can be recomputed"
        );
        assert_eq!(
            page.cursor.log_position,
            at.log_position + page.entries.len() as u64,
            "positions have no gaps"
        );
        at = page.cursor;
        all.extend(page.entries);
        if at.log_position == page.log_position_end {
            return all;
        }
    }
}

fn shops(desktop: &mut Desktop, count: usize) -> Vec<Entry> {
    (0..count)
        .map(|number| {
            let subject = Subject::Shop(desktop.shop_id());
            desktop.seal(
                subject,
                &Fact::ShopDescribed(shop(&format!("Shop {number}"))),
            )
        })
        .collect()
}

fn code_of(answer: &EntryAnswer) -> Option<RejectCode> {
    match answer {
        EntryAnswer::Rejected { code, .. } => Some(*code),
        _ => None,
    }
}

#[test]
fn what_goes_up_comes_down_to_the_byte_at_every_edge_of_a_page() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let entries = shops(&mut desktop, 6);
    assert_eq!(desktop.push(entries.clone()), vec![EntryAnswer::Stored; 6]);
    for size in [1, 2, 3, 5, 6, 7] {
        assert_eq!(read_all(&bench, &desktop, size), entries, "pages of {size}");
    }
}

#[test]
fn an_entry_larger_than_a_page_travels_alone() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let entries = shops(&mut desktop, 3);
    desktop.push(entries.clone());
    let limits = PageLimits {
        entries_max: 10,
        bytes_max: 1,
    };
    let connection =
        Connection::with_credential(bench.core.clone(), &desktop.credential).with_limits(limits);
    let Pull::Page(page) = connection
        .pull(&cursor(&bench))
        .expect("the server answers")
    else {
        panic!("a page")
    };
    assert_eq!(page.entries, entries[..1]);
}

#[test]
fn the_same_push_again_stores_nothing_and_succeeds() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let entries = shops(&mut desktop, 3);
    desktop.push(entries[..2].to_vec());
    let answers = desktop.push(entries.clone());
    assert_eq!(
        answers,
        vec![
            EntryAnswer::AlreadyKnown,
            EntryAnswer::AlreadyKnown,
            EntryAnswer::Stored
        ]
    );
    assert_eq!(bench.core.store().lab().expect("a lab").log_position, 3);
}

#[test]
fn a_gap_is_answered_with_the_first_missing_position() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let entries = shops(&mut desktop, 4);
    desktop.push(entries[..1].to_vec());
    assert_eq!(
        desktop.push(entries[2..].to_vec()),
        vec![EntryAnswer::MissingFrom { seq: 2 }]
    );
    let push = PushEntries {
        stream: desktop.stream(),
        entries: entries[2..].to_vec(),
    };
    assert_eq!(
        desktop
            .connection
            .push(&push)
            .expect("an answer")
            .contiguous_seq,
        1
    );
}

#[test]
fn a_stream_with_two_writers_is_a_fork_and_nothing_of_the_second_is_stored() {
    let bench = Bench::new();
    let mut first = bench.desktop(1);
    let mut copy = Desktop::new(
        Connection::with_credential(bench.core.clone(), &first.credential),
        1,
    );
    copy.lab_id = first.lab_id;
    let entries = shops(&mut first, 2);
    first.push(entries.clone());
    let subject = Subject::Shop(copy.shop_id());
    let other = copy.seal(subject, &Fact::ShopDescribed(shop("Written by the copy")));
    let expected = EntryAnswer::Fork {
        known_hash: entries[0].hash,
        sent_hash: other.hash,
    };
    assert_eq!(copy.push(vec![other]), vec![expected]);
    assert_eq!(read_all(&bench, &first, 10), entries);
}

#[test]
fn an_entry_that_was_tampered_with_is_rejected_and_what_came_before_it_is_kept() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let entries = shops(&mut desktop, 3);
    let mut payload = entries.clone();
    payload[1].payload = Some(b"{}".to_vec());
    let answers = desktop.push(payload);
    assert_eq!(answers[0], EntryAnswer::Stored);
    assert_eq!(
        (answers.len(), code_of(&answers[1])),
        (2, Some(RejectCode::BadHash))
    );
    let mut signature = entries.clone();
    signature[1].signature = entries[0].signature;
    assert_eq!(
        code_of(&desktop.push(signature)[1]),
        Some(RejectCode::BadSignature)
    );
    let mut lab = entries.clone();
    lab[1].lab_id = LabId::from_bytes([7; 16]);
    assert_eq!(code_of(&desktop.push(lab)[1]), Some(RejectCode::WrongLab));
    assert_eq!(desktop.push(entries)[1], EntryAnswer::Stored);
}

#[test]
fn an_entry_s_id_can_t_be_used_for_something_else() {
    let bench = Bench::new();
    let (mut one, mut two) = (bench.desktop(1), bench.desktop(2));
    let entry = shops(&mut one, 1).remove(0);
    one.push(vec![entry.clone()]);
    let again = logbook::reissue(&entry, &two.head, &two.key).expect("a small entry");
    assert_eq!(
        two.push(vec![again.clone()]),
        vec![EntryAnswer::Stored],
        "a re-issue says the same"
    );
    two.head = logbook::Head {
        stream_id: again.stream_id,
        seq: 1,
        hash: again.hash,
    };
    let subject = Subject::Shop(two.shop_id());
    let mut draft = two.seal(subject, &Fact::ShopDescribed(shop("Another fact")));
    draft.entry_id = entry.entry_id;
    let head = logbook::Head {
        stream_id: again.stream_id,
        seq: 1,
        hash: again.hash,
    };
    let forged = logbook::reissue(&draft, &head, &two.key).expect("a small entry");
    assert_eq!(
        code_of(&two.push(vec![forged])[0]),
        Some(RejectCode::EntryIdReused)
    );
}

#[test]
fn a_key_of_a_stream_never_changes() {
    let bench = Bench::new();
    let mut one = bench.desktop(1);
    let entries = shops(&mut one, 1);
    one.push(entries.clone());
    let mut stream = one.stream();
    stream.public_key = logbook::public_key(&logbook::SigningKey::from_bytes(&[77; 32]));
    let push = PushEntries { stream, entries };
    let answers = one.connection.push(&push).expect("an answer").answers;
    assert_eq!(code_of(&answers[0]), Some(RejectCode::KeyMismatch));
}

#[test]
fn a_kind_that_nobody_knows_yet_is_kept_and_relayed() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let subject = Subject::Shop(desktop.shop_id());
    let entry = desktop.seal_bytes(subject, "hologram.rotated", 9, b"\x00not json".to_vec());
    assert_eq!(desktop.push(vec![entry.clone()]), vec![EntryAnswer::Stored]);
    assert_eq!(read_all(&bench, &desktop, 10), vec![entry]);
}

#[test]
fn a_destroyed_passcode_is_erased_whichever_of_the_two_entries_came_first() {
    let sealed = |desktop: &mut Desktop, subject| {
        desktop.seal(
            subject,
            &Fact::PasscodeSealed(SealedPasscode {
                sealed: "c2VjcmV0".to_owned(),
            }),
        )
    };
    let bench = Bench::new();
    let (mut one, mut two) = (bench.desktop(1), bench.desktop(2));
    let subject = Subject::Job(one.job_id());
    let other_subject = Subject::Job(one.job_id());
    let passcode = sealed(&mut one, subject);
    let destroyed = two.seal(
        subject,
        &Fact::PasscodeDestroyed(PasscodeDestruction {
            sealed_entry_id: passcode.entry_id,
        }),
    );
    two.push(vec![destroyed]);
    one.push(vec![passcode.clone()]);
    let second = sealed(&mut one, subject);
    one.push(vec![second.clone()]);
    let destroyed = two.seal(
        subject,
        &Fact::PasscodeDestroyed(PasscodeDestruction {
            sealed_entry_id: second.entry_id,
        }),
    );
    two.push(vec![destroyed]);
    let kept = sealed(&mut one, other_subject);
    one.push(vec![kept.clone()]);
    let foreign = two.seal(
        subject,
        &Fact::PasscodeDestroyed(PasscodeDestruction {
            sealed_entry_id: kept.entry_id,
        }),
    );
    two.push(vec![foreign]);
    let all = read_all(&bench, &one, 100);
    let payload_of = |id| {
        all.iter()
            .find(|entry| entry.entry_id == id)
            .expect("it is in the log")
            .payload
            .clone()
    };
    assert_eq!(payload_of(passcode.entry_id), None);
    assert_eq!(payload_of(second.entry_id), None);
    assert_eq!(
        payload_of(kept.entry_id),
        kept.payload,
        "another job's entry can't empty it"
    );
    for entry in all
        .iter()
        .filter(|entry| entry.stream_id == one.head.stream_id)
    {
        logbook::verify_entry(entry, &one.stream().public_key)
            .expect("an erased entry still verifies");
    }
    assert_eq!(
        one.push(vec![passcode]),
        vec![EntryAnswer::AlreadyKnown],
        "sending it again brings nothing back"
    );
    assert_eq!(read_all(&bench, &one, 100), all);
}

#[test]
fn a_joining_code_works_once_but_again_for_the_desktop_whose_answer_was_lost() {
    let bench = Bench::new();
    let code = bench.core.new_join_code().expect("a code");
    let mut first = Desktop::new(Connection::new(bench.core.clone()), 1);
    let enrolled = first.join(&code.to_lowercase().replace('-', " "), None);
    let again = first.join(&code, None);
    assert_ne!(
        enrolled.credential, again.credential,
        "the first secret may be in wrong hands"
    );
    assert!(
        Connection::with_credential(bench.core.clone(), &enrolled.credential)
            .heads()
            .is_err()
    );
    let other = Desktop::new(Connection::new(bench.core.clone()), 2);
    let refused = other
        .connection
        .enrol(&other.enrol(&code, None))
        .expect_err("the code was used");
    assert_eq!(refused.code(), Some(ErrorCode::CodeRefused));
    bench.clock.advance(25 * 3_600_000);
    let late = first
        .connection
        .enrol(&first.enrol(&code, None))
        .expect_err("the code is over a day old");
    assert_eq!(late.code(), Some(ErrorCode::CodeRefused));
}

#[test]
fn a_server_takes_on_the_first_desktop_s_lab_and_no_second_lab() {
    let bench = Bench::new();
    let lab_id = LabId::from_bytes([42; 16]);
    let join = |number, lab_id| {
        let code = bench.core.new_join_code().expect("a code");
        let desktop = Desktop::new(Connection::new(bench.core.clone()), number);
        desktop.connection.enrol(&desktop.enrol(&code, lab_id))
    };
    assert_eq!(
        join(1, Some(lab_id))
            .expect("a server without a lab takes it")
            .lab_id,
        lab_id
    );
    assert_eq!(
        join(2, None).expect("a new desktop gets the lab").lab_id,
        lab_id
    );
    let refused = join(3, Some(LabId::from_bytes([43; 16])))
        .expect_err("another lab's log must not be mixed in");
    assert_eq!(refused.code(), Some(ErrorCode::OtherLab));
}

#[test]
fn the_server_s_statement_about_its_log_is_signed() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    desktop.furnish();
    let heads = desktop.connection.heads().expect("the server answers");
    let key = bench.core.store().lab().expect("a lab").server_key;
    let at_ms = heads.witness.at_ms;
    let digest = sync_protocol::witness_digest(
        desktop.lab_id,
        heads.log_epoch,
        heads.log_position,
        &heads.digest,
        at_ms,
    );
    assert!(logbook::check_signature(
        &key,
        &digest,
        &heads.witness.signature
    ));
}

#[test]
fn a_restored_server_has_a_new_epoch_and_takes_back_what_it_lost() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let entries = shops(&mut desktop, 4);
    desktop.push(entries[..2].to_vec());
    let copy = tempfile::TempDir::new().expect("a folder");
    sqlite::backup(bench.folder.path(), copy.path()).expect("a backup");
    sqlite::backup(bench.folder.path(), copy.path()).expect("a second backup to the same place");
    desktop.push(entries[2..].to_vec());
    let old = bench.core.store().lab().expect("a lab");
    assert!(
        sqlite::restore(copy.path(), bench.folder.path()).is_err(),
        "a database that is there is never overwritten"
    );

    let folder = tempfile::TempDir::new().expect("a folder");
    sqlite::restore(copy.path(), folder.path()).expect("a restore");
    let restored = Bench::in_folder(folder, "http://portal.test");
    let new = restored.core.store().lab().expect("a lab");
    assert_ne!(
        (new.log_epoch, new.server_stream_id),
        (old.log_epoch, old.server_stream_id)
    );
    assert_eq!((new.server_key, new.log_position), (old.server_key, 2));
    let connection = Connection::with_credential(restored.core.clone(), &desktop.credential);
    let lost = Cursor {
        log_epoch: old.log_epoch,
        ..cursor(&bench)
    };
    let Pull::CursorUnknown {
        log_epoch,
        log_position,
    } = connection.pull(&lost).expect("an answer")
    else {
        panic!("the epoch is another")
    };
    assert_eq!((log_epoch, log_position), (new.log_epoch, 2));
    let push = PushEntries {
        stream: desktop.stream(),
        entries: entries.clone(),
    };
    let answers = connection.push(&push).expect("an answer").answers;
    assert_eq!(answers[2..], [EntryAnswer::Stored, EntryAnswer::Stored]);
    assert_eq!(read_all(&restored, &desktop, 3), entries);
}

#[test]
fn a_copied_file_is_noticed_by_its_digest_though_its_epoch_is_the_same() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let entries = shops(&mut desktop, 2);
    desktop.push(entries);
    let lab = bench.core.store().lab().expect("a lab");
    let elsewhere = logbook::LogDigest::from_bytes([5; 32]);
    for (log_position, digest) in [(2, elsewhere), (3, elsewhere), (0, elsewhere)] {
        let cursor = Cursor {
            log_epoch: lab.log_epoch,
            log_position,
            digest,
        };
        let pull = desktop.connection.pull(&cursor).expect("an answer");
        assert!(matches!(pull, Pull::CursorUnknown { .. }), "{cursor:?}");
    }
}

#[test]
fn what_a_full_quota_leaves_out_is_told_and_nothing_is_half_stored() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let entries = shops(&mut desktop, 3);
    let proved = prove(
        desktop.lab_id,
        &PushEntries {
            stream: desktop.stream(),
            entries: entries.clone(),
        },
    );
    let space = entries[0].wire_bytes_max() as u64 + 10;
    let answer = bench
        .core
        .store()
        .append(
            &bench.scope(),
            &proved.expect("sound entries"),
            space,
            bench.core.now_ms(),
        )
        .expect("an answer");
    assert_eq!(answer.answers[0], EntryAnswer::Stored);
    assert_eq!(
        (answer.answers.len(), code_of(&answer.answers[1])),
        (2, Some(RejectCode::OverLimit))
    );
    assert_eq!(answer.contiguous_seq, 1);
}

#[test]
fn a_desktop_whose_right_was_taken_away_is_out_at_once() {
    let bench = Bench::new();
    let desktop = bench.desktop(1);
    let store = bench.core.store();
    let listed = store.desktops(&bench.scope()).expect("the store answers");
    assert_eq!(
        listed
            .iter()
            .map(|row| row.name.as_str())
            .collect::<Vec<_>>(),
        ["Bench 1"]
    );
    assert!(desktop.connection.heads().is_ok());
    assert!(
        store
            .revoke_desktop(&bench.scope(), listed[0].desktop_id)
            .expect("the store answers")
    );
    let refused = desktop.connection.heads().expect_err("its right is gone");
    assert_eq!(refused.code(), Some(ErrorCode::NotEnrolled));
    assert!(
        !store
            .revoke_desktop(&bench.scope(), 99)
            .expect("the store answers")
    );
}

#[test]
fn photos_over_the_quota_are_refused_before_they_are_stored() {
    use sync_protocol::{FinishPhoto, PhotoVariant};

    let bench = Bench::new();
    let desktop = bench.desktop(1);
    let send = |bytes: &[u8]| {
        let hash = attachments::hash_of(bytes);
        desktop
            .connection
            .photo_part(&hash, PhotoVariant::Full, 0, bytes)?;
        let finish = FinishPhoto {
            size_bytes: bytes.len() as u64,
            content_hash: hash,
        };
        desktop
            .connection
            .photo_finish(&hash, PhotoVariant::Full, &finish)
    };
    send(b"one picture").expect("it fits");
    send(b"one picture").expect("the same again is the same");
    assert_eq!(
        bench
            .core
            .store()
            .files_bytes(&bench.scope())
            .expect("the store answers"),
        11
    );
    let large = vec![0; sync_protocol::limits::PHOTO_PART_BYTES_MAX + 1];
    assert_eq!(
        send(&large).expect_err("a part is bounded").code(),
        Some(ErrorCode::OverLimit)
    );
}
