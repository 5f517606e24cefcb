//! How every run must end.

use std::collections::BTreeSet;

use domain::{EntryId, Fact};
use logbook::{Entry, recorded};
use sync_protocol::{Cursor, PhotoVariant, Pull, SyncProtocol};

use super::desktop::Desktop;
use super::world::{JOBS, World, job};

/// The server's whole log, read page by page as a new desktop would.
pub(super) fn server_log(world: &World) -> Vec<Entry> {
    let line = world.server.connection(&world.credential);
    let mut cursor = Cursor::start(line.heads().unwrap().log_epoch);
    let mut log = Vec::new();
    loop {
        match line.pull(&cursor).unwrap() {
            Pull::Page(page) if page.entries.is_empty() => return log,
            Pull::Page(page) => {
                log.extend(page.entries);
                cursor = page.cursor;
            }
            Pull::CursorUnknown { .. } => {
                panic!("the server does not know the start of its own log")
            }
        }
    }
}

fn desktop_log(desktop: &Desktop) -> Vec<Entry> {
    let store = desktop.store();
    let heads = store.stream_heads().unwrap();
    heads
        .iter()
        .flat_map(|head| {
            store
                .stream_entries(head.stream.stream_id, 1, usize::MAX)
                .unwrap()
        })
        .collect()
}

/// The bytes of a log, in one order for all.
///
/// A passcode that someone destroyed is gone everywhere, as long as the entry that says so is held anywhere. When that entry was
/// lost with the only file that held it, some copies have the sealed bytes and some don't, and both are right: those are left out.
fn bytes(mut log: Vec<Entry>) -> String {
    log.sort_by_key(|entry| (entry.stream_id, entry.stream_seq));
    let destroyed: BTreeSet<EntryId> = log
        .iter()
        .filter_map(|entry| recorded(entry).ok()?.fact().and_then(Fact::erases))
        .collect();
    for entry in log
        .iter_mut()
        .filter(|entry| entry.kind.as_str() == "passcode.sealed")
    {
        if destroyed.contains(&entry.entry_id) {
            assert_eq!(
                entry.payload, None,
                "a destroyed passcode is still here: {entry:?}"
            );
        }
        (entry.payload, entry.payload_salt) = (None, None);
    }
    serde_json::to_string_pretty(&log).unwrap()
}

/// The first lines that differ, with what stands around them.
fn first_difference(one: &str, other: &str) -> String {
    let at = one
        .lines()
        .zip(other.lines())
        .take_while(|(a, b)| a == b)
        .count();
    let around = |text: &str| {
        text.lines()
            .skip(at.saturating_sub(18))
            .take(20)
            .collect::<Vec<_>>()
            .join("\n")
    };
    format!("\n{}\nand\n{}", around(one), around(other))
}

/// Logs equal to the byte, folds equal, streams sound, nothing waiting, nothing lost, every photo whole at the server.
pub(super) fn all_equal(world: &World) {
    let log = server_log(world);
    let ids: BTreeSet<EntryId> = log.iter().map(|entry| entry.entry_id).collect();
    let lost: Vec<&EntryId> = world.held_at_the_end.difference(&ids).collect();
    assert!(lost.is_empty(), "entries were lost: {lost:?}");
    let expected = bytes(log);
    for (index, desktop) in world.desktops.iter().enumerate() {
        let held = bytes(desktop_log(desktop));
        assert!(
            held == expected,
            "desktop {index} holds another log than the server: {}",
            first_difference(&held, &expected)
        );
        let store = desktop.store();
        for report in store.verify_all().unwrap() {
            assert_eq!(report.problem, None, "desktop {index}");
        }
        store.check_integrity().unwrap();
        assert_eq!(
            store.outbox().unwrap().entries,
            0,
            "desktop {index} still waits for an answer"
        );
        for n in 0..JOBS {
            assert_eq!(
                store
                    .projection(job(n))
                    .unwrap()
                    .map(|summary| summary.summary_json),
                world.desktops[0]
                    .store()
                    .projection(job(n))
                    .unwrap()
                    .map(|summary| summary.summary_json),
                "desktop {index} shows another job {n}"
            );
        }
    }
    photos_are_whole(world);
}

fn photos_are_whole(world: &World) {
    let line = world.server.connection(&world.credential);
    for (hash, bytes) in world.album.all() {
        // Known only to a desktop that was since put back to before it: nobody can send it any more.
        if world
            .desktops
            .iter()
            .all(|desktop| desktop.store().photo(&hash).unwrap().is_none())
        {
            continue;
        }
        assert!(
            line.photo_download(&hash, PhotoVariant::Full).unwrap() == bytes,
            "photo {hash}"
        );
    }
}
