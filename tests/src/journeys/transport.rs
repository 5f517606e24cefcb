//! A return parcel may go, may go by a trained shipper's decision, or may not go at all, whoever signs.

use desk::Desk;
use desk::commands::bench::cell::{CellCheckInput, RecordCellCheck, record_cell_check};
use desk::commands::bench::closing::{Withdraw, withdraw};
use desk::commands::dock::{ParcelKey, ParcelView};
use desk::commands::outbound::{OpenReturnParcel, ShipParcel, WeighParcel};
use desk::commands::transport::{
    DecideTransport, RecordTraining, RecordTransport, TransportView, UpdateRule, decide_transport,
    record_training, record_transport, rule_book, transport_verdict, update_rule,
};
use desk::commands::{Nothing, outbound};
use desk::{DeskError, EdgeError};
use domain::cells::book::RuleBody;
use domain::cells::transport::{Carrier, Mode, VerdictCode};
use domain::parcel::ParcelStage;
use domain::{JobId, ParcelId, Subject};

use crate::house::{
    House, ROAD_LABEL, TRACKING, add_shop, closed_job, goes_by_road, job, pack, refusal, sound_cell,
};

struct Packed {
    house: House,
    parcel_id: ParcelId,
    job_ids: Vec<JobId>,
}

/// A weighed parcel with one sound phone in it.
fn packed() -> Packed {
    packed_with(1, "")
}

/// A weighed parcel with sound phones in it, the cells of each so many side by side.
fn packed_with(devices: usize, in_parallel: &str) -> Packed {
    let house = House::founded();
    let desk = &house.desk;
    let shop_id = add_shop(desk, "Corner Phones", "DE", "EUR", "100");
    let parcel_id = outbound::open_return_parcel(desk, OpenReturnParcel { shop_id })
        .unwrap()
        .parcel
        .parcel_id;
    let mut job_ids = Vec::new();
    for number in 1..=devices {
        let job_id = closed_job(desk, shop_id, u32::try_from(number).unwrap());
        if !in_parallel.is_empty() {
            let check = CellCheckInput {
                cells_in_parallel: in_parallel.to_owned(),
                ..sound_cell()
            };
            record_cell_check(desk, RecordCellCheck { job_id, check }).unwrap();
        }
        pack(desk, parcel_id, job_id).unwrap();
        job_ids.push(job_id);
    }
    let grams = "640".to_owned();
    outbound::weigh_parcel(desk, WeighParcel { parcel_id, grams }).unwrap();
    Packed {
        house,
        parcel_id,
        job_ids,
    }
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
        self.ship_under(ROAD_LABEL)
    }

    fn ship_under(&self, tracking: &str) -> Result<ParcelView, DeskError> {
        outbound::ship_parcel(
            self.desk(),
            ShipParcel {
                parcel_id: self.parcel_id,
                tracking: tracking.to_owned(),
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
    let shop_id = job(packed.desk(), packed.job_ids[0]).shop_id.unwrap();
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

/// A weighed parcel with a sound device in it, whose battery has so many cells in series.
fn packed_with_battery(in_series: &str) -> Packed {
    let packed = packed();
    if in_series == "2" {
        // What was first measured was of one cell; it is taken back, so that no voltage jumps.
        let subject = Subject::Job(packed.job_ids[0]);
        let entry_id = job(packed.desk(), packed.job_ids[0]).cell_checks[0]
            .mark
            .entry_id;
        check(&packed, "100", "2", "1");
        let reason = "one cell was taken for two".to_owned();
        let take_back = Withdraw {
            subject,
            entry_id,
            reason,
        };
        withdraw(packed.desk(), take_back).unwrap();
    }
    packed
}

/// What a cell check of the packed phone says of its battery: printed energy, and cells in series and side by side.
fn check(packed: &Packed, label_wh: &str, in_series: &str, in_parallel: &str) -> VerdictCode {
    let check = CellCheckInput {
        label_wh: label_wh.to_owned(),
        cells_in_series: in_series.to_owned(),
        cells_in_parallel: in_parallel.to_owned(),
        voltage: if in_series == "2" { "7.64" } else { "3.82" }.to_owned(),
        charge_max_v: String::new(),
        ..sound_cell()
    };
    let job_id = packed.job_ids[0];
    record_cell_check(packed.desk(), RecordCellCheck { job_id, check }).unwrap();
    goes_by_road(packed.desk(), packed.parcel_id);
    packed.verdict()
}

#[test]
fn two_cells_side_by_side_are_a_battery_and_one_alone_is_a_cell() {
    use VerdictCode::{Hold, Ordinary};
    // ADR 2025, special provision 188: 20 Wh for a cell, 100 Wh for a battery; a battery of one cell is a cell.
    let one_in_series = [
        ("19.999999", "1", "1", Ordinary),
        ("20", "1", "1", Ordinary),
        ("20.000001", "1", "1", Hold),
        ("20.000001", "1", "2", Ordinary),
        ("99.999999", "1", "2", Ordinary),
        ("100", "1", "2", Ordinary),
        ("100.000001", "1", "2", Hold),
    ];
    let two_in_series = [
        ("100", "2", "1", Ordinary),
        ("100.000001", "2", "1", Hold),
        ("100", "2", "3", Ordinary),
    ];
    for battery in [&one_in_series[..], &two_in_series[..]] {
        let packed = packed_with_battery(battery[0].1);
        for (label_wh, in_series, in_parallel, wanted) in battery {
            let given = check(&packed, label_wh, in_series, in_parallel);
            assert_eq!(given, *wanted, "{label_wh} Wh, {in_series}S{in_parallel}P");
        }
    }
}

#[test]
fn cells_side_by_side_that_nobody_counted_do_not_make_a_battery() {
    let packed = packed();
    assert_eq!(check(&packed, "20.000001", "1", ""), VerdictCode::Hold);
}

#[test]
fn the_battery_mark_counts_packs_of_cells_side_by_side_as_batteries() {
    // ADR 2025, special provision 188 f): no mark up to four cells or two batteries in equipment.
    let marked = |devices: usize, in_parallel: &str| {
        let packed = packed_with(devices, in_parallel);
        goes_by_road(packed.desk(), packed.parcel_id);
        packed.verdict() == VerdictCode::Marked
    };
    assert!(!marked(4, "1"));
    assert!(marked(5, "1"));
    assert!(!marked(2, "2"));
    assert!(marked(3, "2"));
}

#[test]
fn a_parcel_that_goes_by_road_is_not_shipped_under_a_posts_number() {
    let packed = packed();
    goes_by_road(packed.desk(), packed.parcel_id);
    let why = refusal(packed.ship_under(TRACKING));
    assert_eq!(why.field.as_deref(), Some("tracking"));
    assert!(
        why.message.contains(TRACKING)
            && why.message.contains("by road")
            && why.message.contains("as by post"),
        "{}",
        why.message
    );
    let job_id = packed.job_ids[0];
    assert!(job(packed.desk(), job_id).shipped.is_none());
    packed.ship_under(ROAD_LABEL).unwrap();
    assert!(job(packed.desk(), job_id).shipped.is_some());
}

#[test]
fn a_training_that_is_no_day_is_refused_beside_its_field() {
    let packed = packed();
    assert_eq!(
        packed.train("next spring").unwrap_err().field.as_deref(),
        Some("until")
    );
}
