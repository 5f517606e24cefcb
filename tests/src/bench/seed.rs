//! A lab as three busy years leave it: 20,000 jobs of ten entries, one in forty still in the house, every payload its own.
//!
//! Written through the store in large transactions, since nobody waits for the making of it; folded afterwards by the desk itself.

use std::collections::BTreeSet;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use desk::DeskOptions;
use desk::ports::{Clock, Ports, SystemClock, SystemRandomness};
use desk::store::{NewEntry, Projection, Projector, Store, StoreOptions};
use domain::cells::{CellCheck, CellFinding, Chemistry, Rating};
use domain::device::DeviceKind;
use domain::fact::{
    ChosenTest, ChosenTests, DeviceDescription, Fact, Identifier, Identity, JobAdvice, JobArrival,
    JobShipment, Note, Outcome, ParcelReceipt, ParcelShop, Phase, Quote, QuoteLine, TestResult,
    Tracking,
};
use domain::identifiers::IdentifierKind;
use domain::money::{Currency, Money};
use domain::reading::{Limits, Reading, Unit};
use domain::{JobId, ParcelId, PersonId, Recorded, ShopId, Subject};

use super::Scale;
use crate::house::{
    Desktop, FAULT_TEST, add_shop, code, entry_count, found, imei, no_signs, state_of,
};

/// Jobs written in one transaction.
const JOBS_AT_ONCE: usize = 100;
/// Jobs that came in one parcel.
const JOBS_A_PARCEL: u32 = 10;
/// One job in so many is still in the house.
const ONE_IN_HOUSE: u32 = 40;
/// Entries of the one job that is opened to see how long it takes.
const LONG_JOB_ENTRIES: u32 = 200;
/// Time between two entries: 200,000 of them in three years.
const STEP_MS: u64 = 473_000;

/// The lab, closed, and what is in it.
pub(super) struct Lab {
    /// The desktop that wrote it all.
    pub(super) desk: Desktop,
    /// Its jobs; the last one is the long one.
    pub(super) jobs: Vec<JobId>,
    /// Its shops.
    pub(super) shops: Vec<ShopId>,
    /// Who wrote it all.
    pub(super) person_id: PersonId,
    /// Tracking numbers of parcels.
    pub(super) tracking: Vec<String>,
    /// Entries in all.
    pub(super) entries: u64,
}

/// Folds nothing: the desk folds anew when it next opens the file, because the version is another.
pub(super) struct NoFold;

impl Projector for NoFold {
    fn fold_version(&self) -> u32 {
        0
    }

    fn project(&self, _: Subject, _: &[Recorded]) -> Projection {
        Projection::default()
    }
}

/// A clock that is set by hand.
struct SetClock(AtomicU64);

impl Clock for SetClock {
    fn now_ms(&self) -> u64 {
        self.0.fetch_add(STEP_MS, Ordering::SeqCst)
    }
}

/// Opens the file of a desktop that is closed.
pub(super) fn store_of(folder: &std::path::Path, ports: Ports) -> Store {
    let options = DeskOptions::beside(folder);
    let options = StoreOptions {
        data_dir: options.folder,
        nonce_file: options.nonce_file,
        desktop_name: "Bench one".to_owned(),
    };
    Store::open(&options, ports, Arc::new(NoFold)).expect("the file is a lab's")
}

/// Makes the lab.
pub(super) fn lab(scale: Scale) -> Lab {
    let mut desk = Desktop::new();
    let years_ago = SystemClock
        .now_ms()
        .saturating_sub(STEP_MS * u64::from(scale.jobs) * 10);
    found(&desk);
    let shops: Vec<ShopId> = [
        ("Corner Phones", "PT"),
        ("Northside Counter", "AT"),
        ("Till and Tin", "IE"),
        ("Lantern Repairs", "FI"),
    ]
    .map(|(name, country)| add_shop(&desk, name, country, "EUR", ""))
    .to_vec();
    let person_id = state_of(&desk)
        .person
        .expect("the owner founded it")
        .person_id;
    desk.close();
    let ports = Ports {
        clock: Arc::new(SetClock(AtomicU64::new(years_ago))),
        randomness: Arc::new(SystemRandomness),
    };
    let store = store_of(&desk.folder(), ports.clone());
    let mut writer = Writer {
        ports,
        shops: &shops,
        jobs: Vec::new(),
        tracking: Vec::new(),
        parcel_id: ParcelId::from_bytes([0; 16]),
    };
    let mut number = 0;
    while number < scale.jobs {
        let mut entries = Vec::new();
        for _ in 0..JOBS_AT_ONCE.min((scale.jobs - number) as usize) {
            entries.extend(writer.job(number));
            number += 1;
        }
        store.append(person_id, entries).expect("there is room");
    }
    store
        .append(person_id, writer.long_job())
        .expect("there is room");
    let Writer { jobs, tracking, .. } = writer;
    drop(store);
    // Counted without opening the desk, whose first fold is measured.
    let store = store_of(&desk.folder(), Ports::system());
    let entries = store.entry_count().expect("the file is a lab's");
    drop(store);
    Lab {
        desk,
        jobs,
        shops,
        person_id,
        tracking,
        entries,
    }
}

impl Lab {
    /// Opens the desktop that wrote it.
    pub(super) fn open(&mut self) {
        self.desk.open();
        assert_eq!(entry_count(&self.desk), self.entries);
    }
}

struct Writer<'a> {
    ports: Ports,
    shops: &'a [ShopId],
    jobs: Vec<JobId>,
    tracking: Vec<String>,
    parcel_id: ParcelId,
}

impl Writer<'_> {
    /// The ten entries of one job, and those of its parcel when it is the first in it.
    fn job(&mut self, number: u32) -> Vec<NewEntry> {
        let shop_id = self.shops[number as usize / JOBS_A_PARCEL as usize % self.shops.len()];
        let mut entries = Vec::new();
        if number.is_multiple_of(JOBS_A_PARCEL) {
            entries.extend(self.parcel(number, shop_id));
        }
        let job_id = JobId::new(self.ports.new_uuid());
        self.jobs.push(job_id);
        let arrival = JobArrival {
            parcel_id: self.parcel_id,
            note: String::new(),
        };
        let mut facts = vec![
            Fact::JobAdvised(advice(number, shop_id, self.parcel_id)),
            Fact::JobArrived(arrival),
            Fact::CellChecked(cell(number)),
            Fact::IdentityRecorded(identity(number)),
            Fact::SignsRecorded(no_signs()),
            Fact::TestsChosen(chosen()),
            Fact::TestResulted(result(number, Phase::Before)),
            Fact::QuoteSet(quote(number)),
        ];
        if number.is_multiple_of(ONE_IN_HOUSE) {
            facts.push(note(number, 1));
            facts.push(note(number, 2));
        } else {
            facts.push(Fact::TestResulted(result(number, Phase::After)));
            facts.push(Fact::JobShipped(JobShipment {
                parcel_id: self.parcel_id,
                tracking: tracking(number + 1),
            }));
        }
        entries.extend(
            facts
                .iter()
                .map(|fact| NewEntry::fact(Subject::Job(job_id), fact)),
        );
        entries
    }

    fn parcel(&mut self, number: u32, shop_id: ShopId) -> [NewEntry; 3] {
        self.parcel_id = ParcelId::new(self.ports.new_uuid());
        let subject = Subject::Parcel(self.parcel_id);
        let tracking = tracking(number);
        self.tracking.push(tracking.number.clone());
        let receipt = ParcelReceipt {
            scanned: tracking.number.clone(),
            read_point: "Dock".to_owned(),
        };
        [
            Fact::ParcelReceived(receipt),
            Fact::ParcelShopSet(ParcelShop { shop_id }),
            Fact::ParcelTrackingSet(tracking),
        ]
        .map(|fact| NewEntry::fact(subject, &fact))
    }

    /// One job with far more entries than the rest: results, notes and messages in turn.
    fn long_job(&mut self) -> Vec<NewEntry> {
        // A number that is a multiple of all the others': it opens a parcel, and stays in the house.
        let number = JOBS_A_PARCEL * ONE_IN_HOUSE * 1_000;
        let mut entries = self.job(number);
        let subject = Subject::Job(*self.jobs.last().expect("it was pushed just now"));
        let own = entries
            .iter()
            .filter(|entry| entry.subject == subject)
            .count();
        for round in u32::try_from(own).expect("ten")..LONG_JOB_ENTRIES {
            let fact = match round % 3 {
                0 => Fact::TestResulted(result(round, Phase::Before)),
                1 => note(number, round),
                _ => Fact::MessagePosted(domain::fact::Message {
                    from: domain::fact::MessageFrom::Lab,
                    text: format!("Round {round}: measured again, the value holds."),
                }),
            };
            entries.push(NewEntry::fact(subject, &fact));
        }
        entries
    }
}

const MODELS: [&str; 8] = [
    "K1",
    "K2 lite",
    "K4",
    "K4 mini",
    "Heron 7",
    "Heron 7 plus",
    "Wren",
    "Plover tab",
];
const FAULTS: [&str; 6] = [
    "does not charge",
    "no sound in calls",
    "black screen, vibrates",
    "gets warm and drains",
    "no service",
    "touch jumps at the lower edge",
];

fn pick<'a>(list: &[&'a str], number: u32) -> &'a str {
    list[number as usize % list.len()]
}

fn advice(number: u32, shop_id: ShopId, parcel_id: ParcelId) -> JobAdvice {
    JobAdvice {
        shop_id,
        parcel_id,
        device: DeviceDescription {
            kind: DeviceKind::Phone,
            maker: "Kestrel".to_owned(),
            model: pick(&MODELS, number / 7).to_owned(),
            colour: pick(&["slate", "sand", "moss"], number).to_owned(),
        },
        identifier: imei(number),
        fault: format!("{}, since order {number}", pick(&FAULTS, number / 3)),
        tried: String::new(),
        liquid: None,
        data_needed: number.is_multiple_of(2),
        accessories: vec!["SIM tray".to_owned()],
        cell_answers: BTreeSet::new(),
        shop_reference: format!("R-{number}"),
        battery: domain::fact::AdvisedBattery::default(),
    }
}

fn cell(number: u32) -> CellCheck {
    CellCheck {
        findings: [CellFinding::NothingWrong].into(),
        voltage_mv: Some(3_600 + number % 500),
        cells_in_series: Some(1),
        surface_tenths_c: Some(220),
        room_tenths_c: Some(210),
        warmed_by: None,
        chemistry: Chemistry::LiIon,
        rating: Rating {
            label_uwh: Some(15_400_000),
            nominal_mv: None,
            capacity_mah: None,
            charge_max_mv: Some(4_400),
        },
        note: String::new(),
        ..CellCheck::default()
    }
}

fn identity(number: u32) -> Identity {
    Identity {
        identifiers: vec![Identifier {
            kind: IdentifierKind::Imei,
            text: imei(number),
            warning: String::new(),
        }],
    }
}

fn chosen() -> ChosenTests {
    ChosenTests {
        tests: vec![ChosenTest {
            code: code(FAULT_TEST),
            title: "Charging current".to_owned(),
            shows_fault: true,
            version: 1,
            definition_id: None,
        }],
    }
}

fn result(number: u32, phase: Phase) -> TestResult {
    let limits = Limits {
        low_micro: Some(500_000),
        high_micro: Some(3_250_000),
    };
    let micro = match phase {
        Phase::Before => 80_000,
        Phase::After => 1_500_000,
    } + i64::from(number % 1_000);
    TestResult {
        phase,
        code: code(FAULT_TEST),
        version: 1,
        title: "Charging current".to_owned(),
        outcome: Outcome::Reading {
            reading: Reading {
                micro,
                unit: Unit::Ampere,
                uncertainty_micro: Some(20_000),
            },
            limits,
            rule: domain::judging::DecisionRule::SimpleAcceptance,
        },
        note: String::new(),
        photos: Vec::new(),
        taken: domain::fact::Taken::default(),
    }
}

fn quote(number: u32) -> Quote {
    Quote {
        lines: vec![QuoteLine {
            text: "Charging line, part and work".to_owned(),
            amount: Money::new(6_900 + i64::from(number % 90) * 100, Currency::EUR),
        }],
        fee_if_refused: Money::new(1_500, Currency::EUR),
        promised_date: String::new(),
        note: String::new(),
    }
}

fn note(number: u32, round: u32) -> Fact {
    Fact::NoteRecorded(Note {
        text: format!(
            "Seen again in round {round} of order {number}; nothing new around the connector."
        ),
    })
}

/// A number by UPU S10: serial of eight digits, check digit by weights 8 6 4 2 3 5 9 7.
fn tracking(number: u32) -> Tracking {
    let serial = format!("{:08}", 10_000_000 + number);
    let sum: u32 = serial
        .bytes()
        .zip([8, 6, 4, 2, 3, 5, 9, 7])
        .map(|(digit, weight)| u32::from(digit - b'0') * weight)
        .sum();
    let check = match 11 - sum % 11 {
        10 => 0,
        11 => 5,
        digit => digit,
    };
    Tracking {
        carrier: "post".to_owned(),
        number: format!("RR{serial}{check}GB"),
        warning: String::new(),
    }
}
