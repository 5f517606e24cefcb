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

/// The lab's card after these facts, as the store keeps and reads it.
fn lab_card(facts: Vec<Fact>) -> Option<LabCard> {
    let subject = Subject::Lab(domain::LabId::from_bytes([7; 16]));
    let recorded: Vec<Recorded> = (1..)
        .zip(facts)
        .map(|(seq, fact)| recorded(seq, subject, fact))
        .collect();
    let Projection::Lab(card) = project(subject, &recorded) else {
        panic!("a lab has a card")
    };
    card.map(|card| {
        let body = serde_json::to_vec(&card).expect("a card is JSON");
        // Pages read the description alone from the same bytes.
        let description: LabDescription = serde_json::from_slice(&body).expect("a description");
        assert_eq!(description, card.description);
        serde_json::from_slice(&body).expect("a card")
    })
}

fn described() -> Fact {
    Fact::LabDescribed(LabDescription {
        name: "Tidewater Board Lab".to_owned(),
        address_lines: vec!["4 Quay Street".to_owned()],
        country: "AT".to_owned(),
        phone: String::new(),
        email: String::new(),
        zone: "Europe/Vienna".to_owned(),
        currency: "EUR".to_owned(),
        warranty_days: 90,
    })
}

#[test]
fn the_labs_card_carries_its_mark_and_its_foot_and_no_other_text() {
    use domain::fact::{LabMark, PaperTexts};
    let picture = MarkPicture {
        hash: attachments::hash_of(b"a mark"),
        size_bytes: 6,
        width_px: 400,
        height_px: 200,
    };
    let mark = LabMark {
        picture: Some(picture.clone()),
    };
    let texts = PaperTexts {
        warranty: "It covers the joints.".to_owned(),
        terms: "Parts are kept.".to_owned(),
        foot: "No. 4 455\nATU 204".to_owned(),
    };
    let own = |facts| lab_card(facts).expect("a description was recorded").own;
    assert_eq!(own(vec![described()]), LabOwn::default());
    let facts = vec![
        described(),
        Fact::LabMarkSet(mark),
        Fact::PaperTextsSet(texts),
    ];
    let wanted = LabOwn {
        mark: Some(picture),
        foot: "No. 4 455  ·  ATU 204".to_owned(),
    };
    assert_eq!(own(facts.clone()), wanted);
    let seen = serde_json::to_string(&lab_card(facts)).expect("a card is JSON");
    assert!(!seen.contains("Parts are kept") && !seen.contains("It covers"));
    assert_eq!(lab_card(vec![Fact::LabMarkSet(LabMark::default())]), None);
}
