//! What a job folds to, by small stories.
//!
//! A story is a list of facts, one a minute. Properties run over shuffled, doubled and partial copies of the same stories.

use std::collections::BTreeSet;

use proptest::prelude::*;

mod proof;
mod work;

use super::*;
use crate::cells::{CellFinding, Chemistry};
use crate::device::DeviceKind;
use crate::fact::{
    AccountLock, Answer, Assembly, BoardSide, CellAnswer, CellJudged, CellReturn, CellVerdict,
    ChosenTest, HeatExposure, HoldKind, Identifier, JobOutcome, Outcome, Phase, QuoteLine,
    SealedPasscode, Taken, TestCode, TestResult, Tracking, Withdrawal,
};
use crate::identifiers::IdentifierKind;
use crate::ids::{ContentHash, PersonId, StreamId, Subject};
use crate::money::{Currency, Money};
use crate::recorded::{Decoded, Recorded, Stamp};
use crate::{Fact, ShopId};

const JOB: JobId = JobId::from_bytes([7; 16]);

fn entry_id(number: u8) -> EntryId {
    EntryId::from_bytes([number; 16])
}

/// A fact recorded `number` minutes into the story, in the first desktop's stream.
fn at(number: u8, fact: Fact) -> Recorded {
    based_on(number, fact, &[])
}

fn based_on(number: u8, fact: Fact, seen: &[u8]) -> Recorded {
    Recorded {
        entry_id: entry_id(number),
        stamp: Stamp {
            hlc_ms: u64::from(number) * 60_000,
            hlc_counter: 0,
            stream_id: StreamId::from_bytes([1; 16]),
            stream_seq: u64::from(number),
        },
        actor_id: PersonId::from_bytes([9; 16]),
        subject: Subject::Job(JOB),
        based_on: seen.iter().copied().map(entry_id).collect(),
        decoded: Decoded::Known(Box::new(fact)),
    }
}

fn device() -> DeviceDescription {
    DeviceDescription {
        kind: DeviceKind::Phone,
        maker: "Arvo".to_owned(),
        model: "Nine".to_owned(),
        colour: String::new(),
    }
}

fn advice() -> JobAdvice {
    JobAdvice {
        shop_id: ShopId::from_bytes([3; 16]),
        parcel_id: ParcelId::from_bytes([4; 16]),
        device: device(),
        identifier: "00 123456 789012".to_owned(),
        fault: "does not charge".to_owned(),
        tried: String::new(),
        liquid: None,
        data_needed: true,
        accessories: Vec::new(),
        cell_answers: BTreeSet::from([CellAnswer::NotSeen]),
        shop_reference: String::new(),
        battery: crate::fact::AdvisedBattery::default(),
    }
}

fn arrival() -> Fact {
    Fact::JobArrived(JobArrival {
        parcel_id: ParcelId::from_bytes([4; 16]),
        note: String::new(),
    })
}

fn cell(findings: &[CellFinding]) -> Fact {
    Fact::CellChecked(CellCheck {
        findings: findings.iter().copied().collect(),
        voltage_mv: Some(3_820),
        cells_in_series: Some(1),
        surface_tenths_c: Some(215),
        room_tenths_c: Some(210),
        chemistry: Chemistry::LiIon,
        ..CellCheck::default()
    })
}

fn identity(text: &str) -> Fact {
    let identifier = Identifier {
        kind: IdentifierKind::Imei,
        text: text.to_owned(),
        warning: String::new(),
    };
    Fact::IdentityRecorded(Identity {
        identifiers: vec![identifier],
    })
}

fn signs() -> Fact {
    Fact::SignsRecorded(Signs {
        account_lock: AccountLock::Off,
        liquid_indicator_turned: false,
        screws_missing: 0,
        seal_broken: false,
        earlier_work: false,
        note: String::new(),
    })
}

fn chosen(code: &str, shows_fault: bool) -> ChosenTest {
    ChosenTest {
        code: TestCode(code.to_owned()),
        title: code.to_owned(),
        shows_fault,
        version: 1,
        definition_id: None,
    }
}

fn tests(tests: &[(&str, bool)]) -> Fact {
    Fact::TestsChosen(ChosenTests {
        tests: tests
            .iter()
            .map(|(code, fault)| chosen(code, *fault))
            .collect(),
    })
}

fn result(phase: Phase, code: &str, outcome: Outcome) -> Fact {
    Fact::TestResulted(TestResult {
        phase,
        code: TestCode(code.to_owned()),
        version: 1,
        title: code.to_owned(),
        outcome,
        note: String::new(),
        photos: Vec::new(),
        taken: Taken {
            assembly: Some(Assembly::Closed),
            ..Taken::default()
        },
    })
}

fn quote(minor: i64) -> Fact {
    let amount = Money::new(minor, Currency::EUR);
    Fact::QuoteSet(Quote {
        lines: vec![QuoteLine {
            text: "board work".to_owned(),
            amount,
        }],
        fee_if_refused: Money::zero(Currency::EUR),
        promised_date: String::new(),
        note: String::new(),
    })
}

fn answer(quote_number: u8, answer: Answer) -> Fact {
    let way = AnswerWay::Portal;
    Fact::DecisionMade(Decision {
        quote_entry_id: entry_id(quote_number),
        answer,
        way,
        note: "why?".to_owned(),
    })
}

fn step(neighbour_tests: &[&str]) -> Fact {
    let heat = HeatExposure {
        temperature_c: 380,
        seconds: 40,
        side: BoardSide::Top,
        neighbours: Vec::new(),
        neighbour_tests: neighbour_tests
            .iter()
            .map(|code| chosen(code, false))
            .collect(),
        ..HeatExposure::default()
    };
    Fact::StepRecorded(Step {
        text: "charge controller replaced".to_owned(),
        heat: Some(heat),
        ..Step::default()
    })
}

fn outcome(outcome: JobOutcome) -> Fact {
    Fact::OutcomeSet(OutcomeRecord {
        outcome,
        words: String::new(),
        warranty_days: 90,
    })
}

fn report() -> Fact {
    let file = ContentHash::from_bytes([5; 32]);
    Fact::ReportIssued(IssuedReport {
        file,
        size_bytes: 1,
        digest: file,
        pages: 1,
    })
}

fn shipment() -> Fact {
    let tracking = Tracking {
        carrier: String::new(),
        number: "X".to_owned(),
        warning: String::new(),
    };
    Fact::JobShipped(JobShipment {
        parcel_id: ParcelId::from_bytes([6; 16]),
        tracking,
    })
}

/// A whole job, from advice to return; its first `length` facts.
fn story(length: usize) -> Vec<Recorded> {
    let facts = [
        Fact::JobAdvised(advice()),
        arrival(),
        cell(&[CellFinding::NothingWrong]),
        identity("001234567890219"),
        Fact::BlockOverridden(Override {
            block: Block::IdentityDiffers,
            reason: "the shop wrote down the box's number".to_owned(),
            tests: Vec::new(),
        }),
        signs(),
        tests(&[("charge", true), ("sound", false)]),
        result(Phase::Before, "charge", Outcome::Fail),
        result(Phase::Before, "sound", Outcome::Pass),
        quote(8_900),
        answer(10, Answer::Agree),
        step(&["radio"]),
        result(Phase::After, "charge", Outcome::Pass),
        result(Phase::After, "sound", Outcome::Pass),
        result(Phase::After, "radio", Outcome::Pass),
        outcome(JobOutcome::Repaired),
        report(),
        Fact::JobPacked(JobParcel {
            parcel_id: ParcelId::from_bytes([6; 16]),
        }),
        shipment(),
    ];
    (1u8..)
        .zip(facts)
        .take(length)
        .map(|(number, fact)| at(number, fact))
        .collect()
}

fn fold(entries: &[Recorded]) -> Job {
    fold_job(JOB, entries)
}

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

#[track_caller]
fn check_block(entries: &[Recorded], station: Station, block: Block) {
    let missing = may_enter(&fold(entries), station);
    assert!(
        missing.iter().any(|missing| missing.block == block),
        "{station:?}: {missing:?}"
    );
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
fn a_cell_that_is_not_clear_keeps_the_job_from_work_whatever_is_overridden() {
    let mut entries = story(11);
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    let over = Override {
        block: Block::CellNotClear,
        reason: "in a hurry".to_owned(),
        tests: Vec::new(),
    };
    entries.push(at(51, Fact::BlockOverridden(over)));
    check_block(&entries, Station::Work, Block::CellNotClear);
    assert_eq!(fold(&entries).stage, Stage::Holding);
}

#[test]
fn a_look_at_a_cell_that_nobody_had_seen_lets_the_job_go_on() {
    let mut entries = story(11);
    entries.push(at(50, cell(&[CellFinding::WaterNearIt])));
    check_block(&entries, Station::Work, Block::CellNotClear);
    entries.push(at(51, cell(&[CellFinding::NothingWrong])));
    assert_eq!(may_enter(&fold(&entries), Station::Work), []);
}

#[test]
fn a_new_check_does_not_undo_a_swollen_cell_and_a_person_who_knows_batteries_does() {
    let mut entries = story(11);
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    entries.push(at(51, cell(&[CellFinding::NothingWrong])));
    check_block(&entries, Station::Work, Block::CellNotClear);
    let sound = Fact::CellJudged(CellJudged {
        verdict: CellVerdict::Sound,
        reason: "the back was loose, the cell is flat".to_owned(),
        rules: Vec::new(),
    });
    entries.push(based_on(52, sound, &[3, 50, 51]));
    assert_eq!(may_enter(&fold(&entries), Station::Work), []);
    assert_eq!(fold(&entries).holds, []);
}

#[test]
fn a_device_whose_cell_was_taken_out_goes_on_and_its_next_cell_is_looked_at_anew() {
    let mut entries = story(11);
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    assert_eq!(fold(&entries).holds, [HoldReason::CellInIsolation]);
    entries.push(at(51, removal()));
    let job = fold(&entries);
    assert!(job.is_without_cell());
    assert_eq!(job.holds, []);
    assert_eq!(may_enter(&job, Station::Work), []);
    entries.push(at(52, cell(&[CellFinding::Bent])));
    check_block(&entries, Station::Work, Block::CellNotClear);
}

fn removal() -> Fact {
    Fact::CellRemoved(CellRemoval {
        cell_id: crate::CellId::from_bytes([8; 16]),
        note: String::new(),
    })
}

#[test]
fn a_cell_that_is_not_diagnosed_keeps_the_device_from_its_return() {
    for finding in [
        CellFinding::NotSeen,
        CellFinding::WaterNearIt,
        CellFinding::HardDrop,
        CellFinding::LosesCharge,
    ] {
        let mut entries = story(18);
        entries.retain(|entry| !matches!(entry.fact(), Some(Fact::CellChecked(_))));
        entries.push(at(50, cell(&[finding])));
        check_block(&entries, Station::Outbound, Block::CellUndiagnosed);
        entries.push(at(51, removal()));
        assert_eq!(may_enter(&fold(&entries), Station::Outbound), []);
    }
}

#[test]
fn a_damaged_cell_goes_back_only_under_the_special_provisions() {
    let mut entries = story(18);
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    check_block(&entries, Station::Outbound, Block::CellNotClear);
    entries.push(at(
        51,
        Fact::CellReturned(CellReturn {
            provisions: "ADR 2025, special provision 376".to_owned(),
            paper_number: String::new(),
            date: "2026-11-25".to_owned(),
            note: String::new(),
        }),
    ));
    assert_eq!(may_enter(&fold(&entries), Station::Outbound), []);
    entries.push(at(52, cell(&[CellFinding::Hissing])));
    check_block(&entries, Station::Outbound, Block::CellNotClear);
    assert_eq!(fold(&entries).holds, [HoldReason::CellInIsolation]);
}

#[test]
fn a_damaged_cell_that_goes_back_is_looked_at_until_its_parcel_has_left() {
    let mut entries = story(18);
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    let before = fold(&entries).cell_state;
    entries.push(at(
        51,
        Fact::CellReturned(CellReturn {
            provisions: "ADR 2025, special provision 376".to_owned(),
            paper_number: String::new(),
            date: "2026-11-25".to_owned(),
            note: String::new(),
        }),
    ));
    let job = fold(&entries);
    assert!(job.cell_state.is_isolated() && job.cell_state.left.is_none());
    assert_eq!(job.cell_state.next_reading, before.next_reading);
    assert!(before.next_reading.is_some());
    assert_eq!(job.holds, [], "it may be packed");
}

#[test]
fn a_check_that_is_taken_back_after_its_cell_was_taken_out_asks_for_no_other() {
    let mut entries = story(11);
    entries.retain(|entry| !matches!(entry.fact(), Some(Fact::CellChecked(_))));
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    entries.push(at(51, removal()));
    entries.push(at(
        52,
        Fact::EntryWithdrawn(Withdrawal {
            entry_id: entry_id(50),
            reason: "another device".to_owned(),
        }),
    ));
    assert_eq!(may_enter(&fold(&entries), Station::Work), []);
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
fn an_answer_to_an_earlier_quote_does_not_agree_to_the_new_price() {
    let mut entries = story(11);
    entries.push(based_on(50, quote(19_900), &[10]));
    let job = fold(&entries);
    assert_eq!(job.agreement, Agreement::Waiting);
    assert_eq!(job.exceptions.len(), 1);
    check_block(&entries, Station::Work, Block::NotAgreed);
}

#[test]
fn two_quotes_set_apart_are_a_disagreement_that_one_more_edit_settles() {
    let mut entries = story(9);
    entries.push(at(50, quote(8_900)));
    entries.push(at(51, quote(9_900)));
    let job = fold(&entries);
    assert!(job.quote.is_disputed());
    assert_eq!(job.quote_total, Some(Money::new(9_900, Currency::EUR)));
    assert!(job.holds.contains(&HoldReason::Disagreement));
    entries.push(based_on(52, quote(8_900), &[50, 51]));
    assert!(!fold(&entries).quote.is_disputed());
}

#[test]
fn two_equal_quotes_set_apart_are_no_disagreement() {
    let mut entries = story(9);
    entries.extend([at(50, quote(8_900)), at(51, quote(8_900))]);
    assert!(!fold(&entries).quote.is_disputed());
}

#[test]
fn a_refused_quote_leads_straight_to_the_report() {
    let mut entries = story(10);
    entries.push(at(50, answer(10, Answer::Refuse)));
    let job = fold(&entries);
    assert_eq!(
        (job.stage, job.next),
        (Stage::Packing, Some(Station::Report))
    );
    check_block(&entries, Station::Work, Block::NotAgreed);
}

#[test]
fn a_question_holds_the_job_and_shows_the_question() {
    let mut entries = story(10);
    entries.push(at(50, answer(10, Answer::Ask)));
    assert_eq!(
        fold(&entries).holds,
        [HoldReason::ShopAsked {
            question: "why?".to_owned()
        }]
    );
}

#[track_caller]
fn check_cannot_close(entries: &[Recorded], outcome: JobOutcome, block: Block) {
    let missing = may_close(&fold(entries), outcome);
    assert!(
        missing.iter().any(|missing| missing.block == block),
        "{missing:?}"
    );
}

#[test]
fn repaired_needs_the_fault_fixed_the_neighbours_proved_and_nothing_worse() {
    check_cannot_close(&story(12), JobOutcome::Repaired, Block::FaultNotFixed);
    check_cannot_close(&story(13), JobOutcome::Repaired, Block::AfterMissing);
    check_cannot_close(&story(14), JobOutcome::Repaired, Block::NeighbourNotProved);
    let mut worse = story(15);
    worse.push(at(50, result(Phase::After, "sound", Outcome::Fail)));
    check_cannot_close(&worse, JobOutcome::Repaired, Block::MadeWorse);
    check_cannot_close(&worse, JobOutcome::RepairedInPart, Block::MadeWorse);
}

#[test]
fn a_result_that_could_not_be_had_is_never_a_pass() {
    let mut entries = story(15);
    let outcome = Outcome::NotTestable {
        why: "no SIM at hand".to_owned(),
    };
    entries.push(at(50, result(Phase::After, "radio", outcome)));
    check_cannot_close(&entries, JobOutcome::Repaired, Block::NeighbourNotProved);
}

#[test]
fn a_report_is_stale_once_a_result_follows_it() {
    let mut entries = story(17);
    assert!(fold(&entries).current_report().is_some());
    entries.push(at(50, result(Phase::After, "sound", Outcome::Pass)));
    check_block(&entries, Station::Outbound, Block::ReportMissing);
}

#[test]
fn a_withdrawn_entry_counts_no_more_and_stays_in_the_trail() {
    let mut entries = story(3);
    entries.push(at(
        50,
        Fact::EntryWithdrawn(Withdrawal {
            entry_id: entry_id(3),
            reason: "wrong device".to_owned(),
        }),
    ));
    assert_eq!(fold(&entries).cell(), None);
    let trail = trail(&entries);
    assert!(
        trail
            .iter()
            .any(|line| line.withdrawn && line.mark.entry_id == entry_id(3))
    );
}

#[test]
fn what_went_along_in_a_return_parcel_is_taken_back_no_more() {
    let kept = |entries: &[Recorded], number: u8| {
        let line = |line: &TrailLine| line.mark.entry_id == entry_id(number);
        let line = trail(entries).into_iter().find(line);
        line.expect("the line").kept_because.is_some()
    };
    let mut entries = story(3);
    assert!(!kept(&entries, 3), "it is still here");
    entries.push(at(50, shipment()));
    let note = crate::fact::Note {
        text: "a word afterwards".to_owned(),
    };
    entries.push(at(60, Fact::NoteRecorded(note)));
    assert!(kept(&entries, 3), "its papers rest on it");
    assert!(kept(&entries, 50));
    assert!(!kept(&entries, 60), "a slip of the pen after the leaving");
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
fn a_passcode_is_sealed_then_destroyed() {
    let sealed = Fact::PasscodeSealed(SealedPasscode {
        sealed: "AAAA".to_owned(),
    });
    let mut entries = vec![at(1, Fact::JobAdvised(advice())), at(2, sealed)];
    assert_eq!(
        fold(&entries).passcode,
        Passcode::Sealed {
            entry_id: entry_id(2)
        }
    );
    let destruction = crate::fact::PasscodeDestruction {
        sealed_entry_id: entry_id(2),
    };
    entries.push(at(3, Fact::PasscodeDestroyed(destruction)));
    assert_eq!(
        fold(&entries).passcode,
        Passcode::Destroyed { at_ms: 180_000 }
    );
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

#[test]
fn joints_follow_before_and_after() {
    use Verdict::{Fail, NotApplicable, NotTestable, Pass};
    for (before, after, joint) in [
        (Some(Fail), Some(Pass), Joint::Fixed),
        (Some(Fail), Some(Fail), Joint::StillFailing),
        (Some(Pass), Some(Fail), Joint::MadeWorse),
        (Some(Pass), Some(Pass), Joint::Steady),
        (Some(NotTestable), Some(Pass), Joint::NewlyTestable),
        (Some(NotTestable), Some(Fail), Joint::StillFailing),
        (None, Some(Pass), Joint::NewlyTestable),
        (Some(Pass), None, Joint::NotProved),
        (Some(Fail), Some(NotTestable), Joint::NotProved),
        (Some(NotApplicable), None, Joint::NotApplicable),
        (Some(NotTestable), Some(NotApplicable), Joint::NotApplicable),
        (Some(Pass), Some(NotApplicable), Joint::NotComparable),
    ] {
        assert_eq!(join(before, after), joint, "{before:?} then {after:?}");
    }
}

proptest! {
    #[test]
    fn the_order_and_number_of_deliveries_never_matter(
        order in Just((0..25usize).collect::<Vec<_>>()).prop_shuffle(),
        doubled in proptest::collection::vec(0..25usize, 0..10),
    ) {
        let mut entries = story(19);
        entries.extend([
            at(50, quote(9_900)),
            at(51, cell(&[CellFinding::Swollen])),
            based_on(52, quote(8_900), &[10]),
            at(53, Fact::EntryWithdrawn(Withdrawal { entry_id: entry_id(51), reason: "x".to_owned() })),
            at(54, signs()),
            at(55, result(Phase::After, "sound", Outcome::Fail)),
        ]);
        let shuffled: Vec<Recorded> = order.iter().chain(&doubled).map(|index| entries[*index].clone()).collect();
        prop_assert_eq!(fold(&shuffled), fold(&entries));
        prop_assert_eq!(trail(&shuffled), trail(&entries));
    }

    #[test]
    fn a_failing_result_never_helps_to_close(length in 12..16usize, code in prop::sample::select(vec!["charge", "sound", "radio"])) {
        let entries = story(length);
        let before = may_close(&fold(&entries), JobOutcome::Repaired).len();
        let mut more = entries;
        more.push(at(50, result(Phase::After, code, Outcome::Fail)));
        prop_assert!(may_close(&fold(&more), JobOutcome::Repaired).len() >= before.min(1));
        prop_assert!(!may_close(&fold(&more), JobOutcome::Repaired).is_empty());
    }
}
