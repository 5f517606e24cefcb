use domain::{Decoded, EntryId, Fact, JobId, ParcelId, PersonId, ShopId, Stamp, StreamId};
use proptest::prelude::*;

use super::*;
use crate::testing::advice;

fn recorded(seq: u64, subject: Subject, fact: Fact) -> Recorded {
    let stream_id = StreamId::from_bytes([1; 16]);
    let mut id = [0; 16];
    id[8..].copy_from_slice(&seq.to_be_bytes());
    Recorded {
        entry_id: EntryId::from_bytes(id),
        stamp: Stamp {
            hlc_ms: 1_000 + seq,
            hlc_counter: 0,
            stream_id,
            stream_seq: seq,
        },
        actor_id: PersonId::from_bytes([2; 16]),
        subject,
        based_on: Vec::new(),
        decoded: Decoded::Known(Box::new(fact)),
    }
}

/// The entries of one job: advice, arrival, a note, a message.
fn entries() -> (Subject, Vec<Recorded>) {
    use domain::fact::{JobArrival, Message, MessageFrom, Note};
    let (shop_id, parcel_id) = (ShopId::from_bytes([3; 16]), ParcelId::from_bytes([4; 16]));
    let subject = Subject::Job(JobId::from_bytes([5; 16]));
    let facts = [
        Fact::JobAdvised(advice(shop_id, parcel_id, "M2")),
        Fact::JobArrived(JobArrival {
            parcel_id,
            note: String::new(),
        }),
        Fact::NoteRecorded(Note {
            text: "for the lab only".to_owned(),
        }),
        Fact::MessagePosted(Message {
            from: MessageFrom::Lab,
            text: "hello".to_owned(),
        }),
    ];
    let recorded = (1..)
        .zip(facts)
        .map(|(seq, fact)| recorded(seq, subject, fact))
        .collect();
    (subject, recorded)
}

#[test]
fn a_note_of_the_lab_is_not_in_what_a_shop_sees() {
    let (subject, entries) = entries();
    let Projection::Job(Some(view)) = project(subject, &entries) else {
        panic!("the job has a shop")
    };
    let seen = serde_json::to_string(&view.job).expect("a view is JSON");
    assert!(
        seen.contains("hello") && !seen.contains("for the lab only"),
        "{seen}"
    );
}

proptest! {
    /// The order of arrival and repeated delivery never change what a shop sees.
    #[test]
    fn what_a_shop_sees_does_not_depend_on_the_order_of_arrival(order in prop::collection::vec(0_usize..4, 0..12)) {
        let (subject, entries) = entries();
        let mut shuffled: Vec<Recorded> = order.iter().map(|at| entries[*at].clone()).collect();
        shuffled.extend(entries.iter().rev().cloned());
        prop_assert_eq!(project(subject, &shuffled), project(subject, &entries));
    }
}

/// The names of all fields of a JSON value, with those within.
fn shape(value: &serde_json::Value) -> String {
    match value {
        serde_json::Value::Object(fields) => {
            let fields = fields
                .iter()
                .map(|(name, value)| format!("{name}{}", shape(value)));
            format!("({})", fields.collect::<Vec<_>>().join(" "))
        }
        serde_json::Value::Array(values) => values.first().map(shape).unwrap_or_default(),
        _ => String::new(),
    }
}

#[test]
fn a_view_of_another_shape_needs_another_version() {
    use domain::fact::ParcelAdvice;

    let (subject, entries) = entries();
    let Projection::Job(Some(view)) = project(subject, &entries) else {
        panic!("the job has a shop")
    };
    let parcel = Subject::Parcel(ParcelId::from_bytes([4; 16]));
    let advised = ParcelAdvice {
        shop_id: ShopId::from_bytes([3; 16]),
        job_ids: Vec::new(),
        note: String::new(),
    };
    let Projection::Parcel(Some(parcel)) =
        project(parcel, &[recorded(1, parcel, Fact::ParcelAdvised(advised))])
    else {
        panic!("the parcel has a shop")
    };
    let json =
        |value: serde_json::Result<serde_json::Value>| shape(&value.expect("a view is JSON"));
    let found = (
        VIEW_VERSION,
        json(serde_json::to_value(&view.job)),
        json(serde_json::to_value(&parcel)),
    );
    assert_eq!(
        found,
        (2, JOB_SHAPE.to_owned(), PARCEL_SHAPE.to_owned()),
        "raise VIEW_VERSION together with the shape here"
    );
}

const JOB_SHAPE: &str = "(accessories battery(cells rating(capacity_mah charge_max_mv label_uwh nominal_mv)) cell_warning conditions device fault identifier job_id last_at_ms messages(at_ms from text) needed outcome outcome_words parcel_id photos quote reference report return_tracking route(at_ms state station) shop_id shop_reference stage warranty_days where_it_is)";
const PARCEL_SHAPE: &str = "(begun_at_ms direction expected extra findings inside missing notes parcel_id photos received_at_ms reference shipped_at_ms shop_id stage tracking)";
