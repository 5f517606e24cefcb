//! The hybrid clock, and what random inputs show.

use super::*;

fn hlc(ms: u64, counter: u32) -> Hlc {
    Hlc { ms, counter }
}

#[test]
fn a_later_wall_clock_is_taken_and_the_counter_starts_again() {
    assert_eq!(hlc(10, 4).send(11), hlc(11, 0));
}

#[test]
fn an_equal_or_earlier_wall_clock_counts_on() {
    assert_eq!(hlc(10, 4).send(10), hlc(10, 5));
    assert_eq!(hlc(10, 4).send(3), hlc(10, 5));
}

#[test]
fn a_full_counter_carries_into_the_milliseconds() {
    assert_eq!(hlc(10, u32::MAX).send(10), hlc(11, 0));
    assert_eq!(hlc(10, u32::MAX).send(9), hlc(11, 0));
}

#[test]
fn a_clock_three_days_ahead_moves_ours_by_ten_minutes_at_most() {
    let wall_ms = 1_764_000_000_000;
    let three_days_ms = 3 * 24 * 60 * 60 * 1000;
    let after = hlc(wall_ms, 0).receive(hlc(wall_ms + three_days_ms, 5), wall_ms);
    assert_eq!(after, hlc(wall_ms + ADOPTION_MAX_MS, 1));
}

#[test]
fn a_clock_nine_minutes_ahead_is_adopted() {
    let ahead = hlc(9 * 60 * 1000, 7);
    assert_eq!(hlc(0, 0).receive(ahead, 0), hlc(9 * 60 * 1000, 8));
}

#[test]
fn a_wall_clock_set_back_never_turns_ours_back() {
    let ours = hlc(1_000_000_000, 3);
    assert_eq!(ours.receive(hlc(5, 0), 10), hlc(1_000_000_000, 4));
}

proptest! {
    #[test]
    fn each_event_is_later_than_all_before(
        steps in prop::collection::vec((any::<bool>(), 0_u64..2_000_000, 0_u64..2_000_000, any::<u32>()), 1..60)
    ) {
        let mut now = Hlc::default();
        for (is_send, wall_ms, remote_ms, counter) in steps {
            let before = now;
            now = if is_send { now.send(wall_ms) } else { now.receive(hlc(remote_ms, counter), wall_ms) };
            prop_assert!(now > before);
            prop_assert!(now.ms >= wall_ms);
            prop_assert!(now.ms <= before.ms.max(wall_ms + ADOPTION_MAX_MS) + 1);
        }
    }

    #[test]
    fn any_single_changed_byte_of_a_payload_is_seen(payload in prop::collection::vec(any::<u8>(), 1..200), at in any::<prop::sample::Index>(), flip in 1_u8..) {
        let mut entry = seal(Draft { payload, ..draft(1) }, &Head::empty(stream(1)), hlc(1, 0), &key()).unwrap();
        let payload = entry.payload.as_mut().unwrap();
        let at = at.index(payload.len());
        payload[at] ^= flip;
        prop_assert!(verify_entry(&entry, &public_key(&key())).is_err());
    }

    #[test]
    fn an_entry_survives_json(payload in prop::collection::vec(any::<u8>(), 0..200), based_on in 0_u128..5) {
        let based_on = (0..based_on).map(|n| EntryId::new(uuid(n))).collect();
        let entry = seal(Draft { based_on, payload, ..draft(1) }, &Head::empty(stream(1)), hlc(1, 0), &key()).unwrap();
        let json = serde_json::to_string(&entry).unwrap();
        prop_assert_eq!(serde_json::from_str::<Entry>(&json).unwrap(), entry);
    }
}
