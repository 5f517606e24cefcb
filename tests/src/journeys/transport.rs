//! A return parcel may go, may go by a trained shipper's decision, or may not go at all, whoever signs.

use desk::Desk;
use desk::commands::dock::{ParcelKey, ParcelView};
use desk::commands::outbound::{OpenReturnParcel, ShipParcel, WeighParcel};
use desk::commands::transport::{
    DecideTransport, RecordTraining, RecordTransport, TransportView, UpdateRule, decide_transport,
    record_training, record_transport, rule_book, transport_verdict, update_rule,
};
use desk::commands::{Nothing, outbound};
use desk::{DeskError, EdgeError};
use domain::ParcelId;
use domain::cells::book::RuleBody;
use domain::cells::transport::{Carrier, Mode, VerdictCode};
use domain::parcel::ParcelStage;

use crate::house::{
    House, TRACKING, add_shop, closed_job, goes_by_road, job, pack, refusal, tag_of,
};

struct Packed {
    house: House,
    parcel_id: ParcelId,
}

/// A weighed parcel with one sound phone in it.
fn packed() -> Packed {
    let house = House::founded();
    let desk = &house.desk;
    let shop_id = add_shop(desk, "Corner Phones", "DE", "EUR", "100");
    let job_id = closed_job(desk, shop_id, 1);
    let parcel_id = outbound::open_return_parcel(desk, OpenReturnParcel { shop_id })
        .unwrap()
        .parcel
        .parcel_id;
    pack(desk, parcel_id, job_id).unwrap();
    let _ = tag_of(&job(desk, job_id));
    let grams = "640".to_owned();
    outbound::weigh_parcel(desk, WeighParcel { parcel_id, grams }).unwrap();
    Packed { house, parcel_id }
}

impl Packed {
    fn desk(&self) -> &Desk {
        &self.house.desk
    }

    fn goes(&self, mode: Mode, carrier: Carrier) -> TransportView {
        let mut plan = goes_by_road(self.desk(), self.parcel_id).plan.unwrap();
        plan.mode = mode;
        plan.carrier = carrier;
        let parcel_id = self.parcel_id;
        record_transport(self.desk(), RecordTransport { parcel_id, plan }).unwrap()
    }

    fn ship(&self) -> Result<ParcelView, DeskError> {
        outbound::ship_parcel(
            self.desk(),
            ShipParcel {
                parcel_id: self.parcel_id,
                tracking: TRACKING.to_owned(),
                carrier: String::new(),
            },
        )
    }

    fn decide(&self, reason: &str) -> Result<TransportView, DeskError> {
        decide_transport(
            self.desk(),
            DecideTransport {
                parcel_id: self.parcel_id,
                reason: reason.to_owned(),
            },
        )
    }

    fn train(&self, until: &str) -> Result<(), EdgeError> {
        let person = rule_book(self.desk(), Nothing {}).unwrap().people[0]
            .person
            .person_id;
        record_training(
            self.desk(),
            RecordTraining {
                person_id: person,
                until: until.to_owned(),
                note: "Lithium by road and air, two days".to_owned(),
            },
        )
        .map(|_| ())
        .map_err(EdgeError::from)
    }

    fn verdict(&self) -> VerdictCode {
        let key = ParcelKey {
            parcel_id: self.parcel_id,
        };
        transport_verdict(self.desk(), key)
            .unwrap()
            .verdict
            .unwrap()
            .verdict
    }
}

#[test]
fn nobody_sends_what_must_not_go() {
    let packed = packed();
    packed.train("2030-01-01").unwrap();
    // 87 FR 73459: a used device is not mailed abroad; and USPS takes nothing under European rules.
    packed.goes(Mode::PostIntl, Carrier::Usps);
    assert_eq!(packed.verdict(), VerdictCode::Forbidden);
    let why = refusal(packed.decide("I have read the rule."));
    assert!(why.message.contains("leaves no choice"), "{}", why.message);
    let why = refusal(packed.ship());
    assert!(
        why.message.contains("must not go this way"),
        "{}",
        why.message
    );
}

#[test]
fn what_must_not_go_along_is_refused_as_it_is_scanned_with_the_lawful_way() {
    let packed = packed();
    let shop_id = job(
        packed.desk(),
        desk::commands::dock::parcel(
            packed.desk(),
            ParcelKey {
                parcel_id: packed.parcel_id,
            },
        )
        .unwrap()
        .devices[0]
            .job
            .job_id,
    )
    .shop_id
    .unwrap();
    let second = closed_job(packed.desk(), shop_id, 2);
    // 87 FR 73459, as above: it may not go abroad by that post, whatever else is inside.
    packed.goes(Mode::PostIntl, Carrier::Usps);
    let why = refusal(pack(packed.desk(), packed.parcel_id, second));
    assert_eq!(why.field.as_deref(), Some("scanned"));
    assert!(
        why.message.contains("must not go the way that was said")
            && why.message.contains("Instead, "),
        "{}",
        why.message
    );
    packed.goes(Mode::Ground, Carrier::None);
    pack(packed.desk(), packed.parcel_id, second).unwrap();
}

#[test]
fn a_hold_goes_by_the_decision_of_a_trained_person_and_by_no_other() {
    let packed = packed();
    packed.goes(Mode::Ground, Carrier::Other);
    assert_eq!(packed.verdict(), VerdictCode::Hold);
    assert!(
        refusal(packed.ship())
            .message
            .contains("waits for a trained shipper")
    );
    assert!(
        refusal(packed.decide("Asked the carrier."))
            .message
            .contains("training")
    );
    packed.train("2020-01-01").unwrap();
    assert!(
        refusal(packed.decide("Asked the carrier."))
            .message
            .contains("training")
    );
    packed.train("2030-01-01").unwrap();
    assert_eq!(
        refusal(packed.decide("  ")).field.as_deref(),
        Some("reason")
    );
    let decided = packed
        .decide("The carrier's page of today takes one phone.")
        .unwrap();
    assert!(decided.blocked.is_empty(), "{:?}", decided.blocked);
    let shipped = packed.ship().unwrap().parcel;
    assert_eq!(shipped.stage, ParcelStage::Shipped);
    assert_eq!(
        shipped.verdict.unwrap().value.verdict.verdict,
        VerdictCode::Hold
    );
    assert!(
        shipped
            .decision
            .unwrap()
            .value
            .reason
            .contains("page of today")
    );
}

#[test]
fn a_decision_covers_the_verdict_it_was_made_for_and_no_other() {
    let packed = packed();
    packed.train("2030-01-01").unwrap();
    packed.goes(Mode::Ground, Carrier::Other);
    packed
        .decide("The carrier's page of today takes one phone.")
        .unwrap();
    // Post in the country fires other rules.
    let other = packed.goes(Mode::PostDomestic, Carrier::Other);
    assert!(other.decision.is_none());
    assert!(
        refusal(packed.ship())
            .message
            .contains("waits for a trained shipper")
    );
}

#[test]
fn a_newer_row_of_the_owner_moves_the_verdict() {
    let packed = packed();
    goes_by_road(packed.desk(), packed.parcel_id);
    assert_eq!(packed.verdict(), VerdictCode::Ordinary);
    let book = rule_book(packed.desk(), Nothing {}).unwrap();
    let mut row = book
        .rows
        .into_iter()
        .map(|each| each.row)
        .find(|row| row.id == "SM.CELL.WH" && row.regime == RuleBody::Adr)
        .unwrap();
    row.value = Some(15_000_000);
    let update = |row: &domain::cells::book::BookRow| UpdateRule {
        row: row.clone(),
        reason: "A stricter edition, read today".to_owned(),
    };
    update_rule(packed.desk(), update(&row)).unwrap();
    assert_eq!(packed.verdict(), VerdictCode::Hold);
    row.value = Some(0);
    let why = refusal(update_rule(packed.desk(), update(&row)));
    assert!(
        why.message.contains("needs a number above zero"),
        "{}",
        why.message
    );
}

#[test]
fn a_training_that_is_no_day_is_refused_beside_its_field() {
    let packed = packed();
    assert_eq!(
        packed.train("next spring").unwrap_err().field.as_deref(),
        Some("until")
    );
}
