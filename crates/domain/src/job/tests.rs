//! What a job folds to, by small stories.
//!
//! A story is a list of facts, one a minute. Properties run over shuffled, doubled and partial copies of the same stories.

use std::collections::BTreeSet;

mod cell;
mod closing;
mod proof;
mod quote;
mod route;
mod trail;
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

/// Takes an entry back.
fn withdrawn(number: u8) -> Fact {
    Fact::EntryWithdrawn(Withdrawal {
        entry_id: entry_id(number),
        reason: "another device".to_owned(),
    })
}

fn fold(entries: &[Recorded]) -> Job {
    fold_job(JOB, entries)
}

#[track_caller]
fn check_block(entries: &[Recorded], station: Station, block: Block) {
    let missing = may_enter(&fold(entries), station);
    assert!(
        missing.iter().any(|missing| missing.block == block),
        "{station:?}: {missing:?}"
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
