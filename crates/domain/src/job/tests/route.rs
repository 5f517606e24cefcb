//! The stages and stations of a whole job, what is missing before each, and why a job waits.

use super::*;

#[track_caller]
fn check_stage(length: usize, stage: Stage, next: Option<Station>) {
    let job = fold(&story(length));
    assert_eq!(
        (job.stage, job.next),
        (stage, next),
        "after {length} facts: {:?}",
        job.route
    );
}

#[test]
fn a_job_passes_every_stage_from_advice_to_return() {
    check_stage(1, Stage::Advised, Some(Station::Dock));
    check_stage(2, Stage::Receiving, Some(Station::CellCheck));
    check_stage(3, Stage::Inspecting, Some(Station::LookOver));
    check_stage(4, Stage::Holding, Some(Station::LookOver));
    check_stage(6, Stage::Inspecting, Some(Station::Before));
    check_stage(9, Stage::Inspecting, Some(Station::Quote));
    check_stage(10, Stage::Holding, Some(Station::Quote));
    check_stage(11, Stage::Repairing, Some(Station::Work));
    check_stage(13, Stage::Proving, Some(Station::After));
    check_stage(15, Stage::Proving, Some(Station::Report));
    check_stage(16, Stage::Packing, Some(Station::Report));
    check_stage(17, Stage::Packing, Some(Station::Outbound));
    check_stage(18, Stage::Shipping, Some(Station::Outbound));
    check_stage(19, Stage::Returned, None);
}

#[test]
fn nothing_is_missing_along_the_whole_story() {
    for (length, station) in [
        (2, Station::CellCheck),
        (3, Station::LookOver),
        (6, Station::Before),
        (9, Station::Quote),
        (11, Station::Work),
        (12, Station::After),
        (16, Station::Report),
        (17, Station::Outbound),
    ] {
        assert_eq!(may_enter(&fold(&story(length)), station), [], "{station:?}");
    }
    assert_eq!(may_close(&fold(&story(15)), JobOutcome::Repaired), []);
}

#[test]
fn each_station_says_what_is_missing_before_it() {
    check_block(&story(1), Station::CellCheck, Block::NotArrived);
    check_block(&story(2), Station::LookOver, Block::CellNotChecked);
    check_block(&story(3), Station::Before, Block::IdentityMissing);
    check_block(&story(3), Station::Before, Block::SignsMissing);
    check_block(&story(6), Station::Quote, Block::TestsNotChosen);
    check_block(&story(7), Station::Quote, Block::BeforeMissing);
    check_block(&story(9), Station::Work, Block::QuoteMissing);
    check_block(&story(10), Station::Work, Block::NotAgreed);
    check_block(&story(11), Station::After, Block::NoWork);
    check_block(&story(15), Station::Outbound, Block::OutcomeMissing);
    check_block(&story(16), Station::Outbound, Block::ReportMissing);
    check_block(&story(19), Station::Work, Block::HasLeft);
}

#[test]
fn a_device_other_than_the_announced_one_blocks_as_a_swap() {
    let entries = story(4);
    let job = fold(&entries);
    assert_eq!(
        job.identity_difference.as_deref(),
        Some("The shop announced 00 123456 789012, but the device shows 001234567890219.")
    );
    check_block(&entries, Station::Before, Block::IdentityDiffers);
    assert_eq!(job.holds, [HoldReason::WrongItem]);
}

#[test]
fn an_identity_written_with_other_spaces_is_the_same() {
    let mut entries = story(3);
    entries.push(at(50, identity("00123456789012")));
    assert_eq!(fold(&entries).identity_difference, None);
}

#[test]
fn a_missing_device_holds_until_it_arrives_after_all() {
    let missed = Fact::JobMissed(JobArrival {
        parcel_id: ParcelId::from_bytes([4; 16]),
        note: String::new(),
    });
    let mut entries = vec![at(1, Fact::JobAdvised(advice())), at(2, missed)];
    assert_eq!(fold(&entries).holds, [HoldReason::MissingFromParcel]);
    entries.push(at(3, arrival()));
    let job = fold(&entries);
    assert_eq!((job.stage, job.missed), (Stage::Receiving, None));
}

#[test]
fn a_hold_lasts_until_it_is_lifted() {
    let mut entries = story(11);
    entries.push(at(
        50,
        Fact::HoldPlaced(Hold {
            kind: HoldKind::Part,
            note: "U2400".to_owned(),
        }),
    ));
    assert_eq!(
        fold(&entries).holds,
        [HoldReason::Part {
            note: "U2400".to_owned()
        }]
    );
    let lift = crate::fact::HoldLift {
        hold_entry_id: entry_id(50),
        note: String::new(),
    };
    entries.push(at(51, Fact::HoldLifted(lift)));
    assert_eq!(fold(&entries).holds, []);
}

#[test]
fn a_kind_that_must_be_read_makes_the_job_read_only() {
    let mut entries = story(11);
    let mut unknown = at(50, arrival());
    unknown.decoded = Decoded::Unknown {
        kind: "power.forbidden".to_owned(),
        must_not_ignore: true,
    };
    entries.push(unknown);
    let job = fold(&entries);
    assert_eq!((job.read_only, job.unknown_entries), (true, 1));
    check_block(&entries, Station::Work, Block::ReadOnly);
}

#[test]
fn work_after_shipping_is_an_exception_not_a_refusal() {
    let mut entries = story(19);
    entries.push(at(50, step(&[])));
    let job = fold(&entries);
    assert_eq!((job.steps.len(), job.exceptions.len()), (2, 1));
}
