//! A server with a small invented lab, for looking at the portal and for its browser tests.
//!
//! Prints one line of JSON: the address and a one-time link for each of three shops (full, empty, one with long names). Runs
//! until its standard input ends. Nothing here is part of the server.

use std::collections::BTreeSet;
use std::io::{Read as _, Write as _};
use std::sync::Arc;

use anyhow::Context as _;
use domain::cells::{CellCheck, CellFinding, Rating};
use domain::device::DeviceKind;
use domain::fact::{
    AccountLock, AdvisedBattery, AdvisedCells, Answer, AnswerWay, Blemish, Condition, Decision,
    DeviceDescription, Face, IssuedReport, JobAdvice, JobArrival, JobOutcome, JobShipment,
    LabDescription, Message, MessageFrom, OutcomeRecord, ParcelAdvice, ParcelCount, ParcelFinding,
    ParcelFindingRecord, ParcelReceipt, PhotoAdded, PhotoPlace, Quote, QuoteLine, ShopDescription,
    Signs, Tracking,
};
use domain::money::{Currency, Money};
use domain::{
    ContentHash, EntryId, Fact, JobId, LabId, ParcelId, PersonId, ShopId, StreamId, Subject,
};
use logbook::{Draft, Head, Hlc, Kind, ReportSeal, Salt, SigningKey, SubjectRef};
use papers::model::{AttachedRecord, PageSetup, PaperMeta, ReturnReport};
use sync_protocol::{Enrol, FinishPhoto, PhotoVariant, PushEntries, StreamInfo, SyncProtocol as _};
use sync_server::auth::credential;
use sync_server::core::{Connection, Core};
use uuid::Uuid;

const HOUR_MS: u64 = 3_600_000;

/// A desktop that writes facts at times of its choosing.
struct Writer {
    connection: Connection,
    key: SigningKey,
    stream_id: StreamId,
    head: Head,
    lab_id: LabId,
    at_ms: u64,
    ids: u32,
}

impl Writer {
    fn join(core: &Arc<Core>, at_ms: u64) -> anyhow::Result<Self> {
        let (key, stream_id) = (
            SigningKey::from_bytes(&[7; 32]),
            StreamId::new(Uuid::from_bytes([7; 16])),
        );
        let connection = Connection::new(core.clone());
        let stream = StreamInfo {
            stream_id,
            public_key: logbook::public_key(&key),
            name: "Bench 1".to_owned(),
        };
        let join_code = core.new_join_code()?;
        let enrolled = connection.enrol(&Enrol {
            protocol_version: 1,
            code: join_code,
            lab_id: None,
            stream,
        })?;
        Ok(Self {
            connection,
            key,
            stream_id,
            head: Head::empty(stream_id),
            lab_id: enrolled.lab_id,
            at_ms,
            ids: 0,
        })
    }

    fn id(&mut self) -> Uuid {
        self.ids += 1;
        let mut bytes = [0x5A; 16];
        bytes[12..].copy_from_slice(&self.ids.wrapping_mul(0x9E37_79B1).to_be_bytes());
        Uuid::from_bytes(bytes)
    }

    /// Lets time pass, then records a fact.
    fn write(&mut self, hours: u64, subject: Subject, fact: &Fact) -> anyhow::Result<EntryId> {
        self.at_ms += hours * HOUR_MS + 60_000;
        let entry_id = EntryId::new(self.id());
        let draft = Draft {
            entry_id,
            lab_id: self.lab_id,
            actor_id: PersonId::new(Uuid::from_bytes([9; 16])),
            kind: Kind::new(fact.kind())?,
            kind_version: fact.version(),
            min_reader: 0,
            subject: SubjectRef::from(subject),
            based_on: Vec::new(),
            payload: fact.encode(),
            payload_salt: Salt::from_bytes([1; 16]),
        };
        let entry = logbook::seal(
            draft,
            &self.head,
            Hlc {
                ms: self.at_ms,
                counter: 0,
            },
            &self.key,
        )?;
        self.head = Head {
            stream_id: self.stream_id,
            seq: entry.stream_seq,
            hash: entry.hash,
        };
        let stream = StreamInfo {
            stream_id: self.stream_id,
            public_key: logbook::public_key(&self.key),
            name: String::new(),
        };
        self.connection.push(&PushEntries {
            stream,
            entries: vec![entry],
        })?;
        Ok(entry_id)
    }

    fn file(&self, hash: &ContentHash, variant: PhotoVariant, bytes: &[u8]) -> anyhow::Result<()> {
        self.connection.photo_part(hash, variant, 0, bytes)?;
        let finish = FinishPhoto {
            size_bytes: bytes.len() as u64,
            content_hash: attachments::hash_of(bytes),
        };
        self.connection.photo_finish(hash, variant, &finish)?;
        Ok(())
    }

    fn shop(&mut self, name: &str) -> anyhow::Result<ShopId> {
        let shop_id = ShopId::new(self.id());
        let card = ShopDescription {
            name: name.to_owned(),
            address_lines: vec!["1 Market Row".to_owned(), "4020 Linden".to_owned()],
            country: "AT".to_owned(),
            phone: "+43 5500 11".to_owned(),
            email: "counter@northside.example".to_owned(),
            currency: "EUR".to_owned(),
        };
        self.write(0, Subject::Shop(shop_id), &Fact::ShopDescribed(card))?;
        Ok(shop_id)
    }

    fn parcel(
        &mut self,
        shop_id: ShopId,
        devices: &[Device<'_>],
    ) -> anyhow::Result<(ParcelId, Vec<JobId>)> {
        let parcel_id = ParcelId::new(self.id());
        let job_ids: Vec<JobId> = devices.iter().map(|_| JobId::new(self.id())).collect();
        let advice = ParcelAdvice {
            shop_id,
            job_ids: job_ids.clone(),
            note: String::new(),
        };
        self.write(5, Subject::Parcel(parcel_id), &Fact::ParcelAdvised(advice))?;
        for (job_id, device) in job_ids.iter().zip(devices) {
            let advice = JobAdvice {
                shop_id,
                parcel_id,
                device: DeviceDescription {
                    kind: device.kind,
                    maker: device.maker.to_owned(),
                    model: device.model.to_owned(),
                    colour: String::new(),
                },
                identifier: device.identifier.to_owned(),
                fault: device.fault.to_owned(),
                tried: String::new(),
                liquid: None,
                data_needed: true,
                accessories: Vec::new(),
                cell_answers: BTreeSet::new(),
                shop_reference: device.shop_reference.to_owned(),
                battery: device.battery,
            };
            self.write(0, Subject::Job(*job_id), &Fact::JobAdvised(advice))?;
        }
        Ok((parcel_id, job_ids))
    }

    fn receive(
        &mut self,
        parcel_id: ParcelId,
        found: &[JobId],
        missing: &[JobId],
    ) -> anyhow::Result<()> {
        let parcel = Subject::Parcel(parcel_id);
        let tracking = Tracking {
            carrier: "Postal service of Norway".to_owned(),
            number: "RR473124829NO".to_owned(),
            warning: String::new(),
        };
        self.write(1, parcel, &Fact::ParcelTrackingSet(tracking))?;
        let receipt = ParcelReceipt {
            scanned: "RR473124829NO".to_owned(),
            read_point: "Dock".to_owned(),
        };
        self.write(14, parcel, &Fact::ParcelReceived(receipt))?;
        let findings = BTreeSet::from([ParcelFinding::Crushed, ParcelFinding::Retaped]);
        let finding = ParcelFindingRecord {
            findings,
            note: "One corner is pushed in; the padding held.".to_owned(),
        };
        self.write(0, parcel, &Fact::ParcelFindingRecorded(finding))?;
        let count = ParcelCount {
            found: found.to_vec(),
            missing: missing.to_vec(),
            extra: Vec::new(),
            note: String::new(),
        };
        self.write(0, parcel, &Fact::ParcelCounted(count))?;
        for job_id in found {
            let arrival = JobArrival {
                parcel_id,
                note: String::new(),
            };
            self.write(0, Subject::Job(*job_id), &Fact::JobArrived(arrival))?;
        }
        for job_id in missing {
            let arrival = JobArrival {
                parcel_id,
                note: String::new(),
            };
            self.write(0, Subject::Job(*job_id), &Fact::JobMissed(arrival))?;
        }
        Ok(())
    }

    /// Cell check, signs, a mark, photos: one that has arrived and one that has not.
    fn look_over(&mut self, job_id: JobId, seed: u8) -> anyhow::Result<()> {
        let job = Subject::Job(job_id);
        let check = CellCheck {
            findings: BTreeSet::from([CellFinding::NothingWrong]),
            voltage_mv: Some(3_820),
            cells_in_series: Some(1),
            surface_tenths_c: Some(214),
            room_tenths_c: Some(211),
            ..CellCheck::default()
        };
        self.write(1, job, &Fact::CellChecked(check))?;
        let signs = Signs {
            account_lock: AccountLock::Off,
            liquid_indicator_turned: false,
            screws_missing: 0,
            seal_broken: false,
            earlier_work: false,
            note: String::new(),
        };
        self.write(0, job, &Fact::SignsRecorded(signs))?;
        let picture = picture(seed)?;
        let hash = attachments::hash_of(&picture);
        self.file(&hash, PhotoVariant::Full, &picture)?;
        self.file(&hash, PhotoVariant::Thumb, &picture)?;
        let condition = Condition {
            face: Face::Back,
            x_permille: 300,
            y_permille: 200,
            blemish: Blemish::Crack,
            note: "from the camera down to the edge".to_owned(),
            photos: vec![hash],
        };
        self.write(0, job, &Fact::ConditionRecorded(condition))?;
        let absent = attachments::hash_of(&[seed]);
        for (hash, caption) in [(hash, "crack in the back"), (absent, "socket, close")] {
            let photo = PhotoAdded {
                hash,
                size_bytes: picture.len() as u64,
                width_px: 320,
                height_px: 240,
                place: PhotoPlace::Condition,
                caption: caption.to_owned(),
                beside: None,
            };
            self.write(0, job, &Fact::PhotoAdded(photo))?;
        }
        Ok(())
    }

    fn quote(&mut self, job_id: JobId, text: &str) -> anyhow::Result<EntryId> {
        let amount = |minor| Money::new(minor, Currency::EUR);
        let quote = Quote {
            lines: vec![
                QuoteLine {
                    text: text.to_owned(),
                    amount: amount(8_900),
                },
                QuoteLine {
                    text: "Cleaning of the board around the socket".to_owned(),
                    amount: amount(1_250),
                },
            ],
            fee_if_refused: amount(1_900),
            promised_date: "2026-12-02".to_owned(),
            note: "The data on it stays untouched.".to_owned(),
        };
        self.write(3, Subject::Job(job_id), &Fact::QuoteSet(quote))
    }

    fn say(&mut self, job_id: JobId, from: MessageFrom, text: &str) -> anyhow::Result<()> {
        let message = Message {
            from,
            text: text.to_owned(),
        };
        self.write(1, Subject::Job(job_id), &Fact::MessagePosted(message))?;
        Ok(())
    }
}

struct Device<'a> {
    kind: DeviceKind,
    maker: &'a str,
    model: &'a str,
    identifier: &'a str,
    fault: &'a str,
    shop_reference: &'a str,
    battery: AdvisedBattery,
}

/// One cell of 17.3 Wh, as it stands on a phone's battery.
const PHONE_BATTERY: AdvisedBattery = AdvisedBattery {
    rating: Rating {
        label_uwh: Some(17_300_000),
        nominal_mv: None,
        capacity_mah: None,
        charge_max_mv: None,
    },
    cells: Some(AdvisedCells::One),
};

/// Nobody read anything.
const UNREAD: AdvisedBattery = AdvisedBattery {
    rating: Rating {
        label_uwh: None,
        nominal_mv: None,
        capacity_mah: None,
        charge_max_mv: None,
    },
    cells: None,
};

const fn phone<'a>(maker: &'a str, model: &'a str, fault: &'a str) -> Device<'a> {
    Device {
        kind: DeviceKind::Phone,
        maker,
        model,
        identifier: "490154203237518",
        fault,
        shop_reference: "",
        battery: PHONE_BATTERY,
    }
}

/// A small drawing, so that the page has a real picture.
fn picture(seed: u8) -> anyhow::Result<Vec<u8>> {
    let (width, height) = (320_u16, 240_u16);
    let mut pixels = Vec::with_capacity(usize::from(width) * usize::from(height));
    for y in 0..height {
        for x in 0..width {
            let shade = 60 + (x / 4).wrapping_add(y / 3) % 120 + u16::from(seed % 40);
            let is_crack = (i32::from(x) - i32::from(y)).abs() < 3;
            pixels.push(if is_crack {
                235
            } else {
                u8::try_from(shade.min(255)).unwrap_or(u8::MAX)
            });
        }
    }
    let mut bytes = Vec::new();
    jpeg_encoder::Encoder::new(&mut bytes, 80)
        .encode(&pixels, width, height, jpeg_encoder::ColorType::Luma)
        .context("drawing a picture")?;
    Ok(bytes)
}

/// A finished job and the report that goes back with it.
struct Ended {
    job_id: JobId,
    digest: ContentHash,
}

fn full_shop(writer: &mut Writer, shop_id: ShopId) -> anyhow::Result<(JobId, Ended)> {
    let (sent, jobs) = writer.parcel(
        shop_id,
        &[
            phone(
                "Lumo",
                "M2 Plus",
                "Charges only when the plug is held to one side",
            ),
            phone("Lumo", "Arc 3", "No picture after a fall, sound works"),
            Device {
                kind: DeviceKind::Tablet,
                maker: "Aurel",
                model: "Slate 9",
                identifier: "AS9-0042-7716",
                fault: "Dead after a glass of water",
                shop_reference: "K-2231",
                battery: UNREAD,
            },
        ],
    )?;
    writer.receive(sent, &[jobs[0], jobs[1]], &[jobs[2]])?;
    writer.look_over(jobs[0], 3)?;
    writer.quote(jobs[0], "Charging socket and its line on the board")?;
    writer.say(
        jobs[0],
        MessageFrom::Lab,
        "The socket is torn off on one side. We would replace it and mend the line below it.",
    )?;
    writer.say(
        jobs[0],
        MessageFrom::Shop,
        "Thank you. The customer asks whether the photos on it are safe.\nWe answer by Friday.",
    )?;
    writer.look_over(jobs[1], 17)?;
    let quote = writer.quote(jobs[1], "Display line on the board")?;
    let decision = Decision {
        quote_entry_id: quote,
        answer: Answer::Agree,
        way: AnswerWay::Portal,
        note: String::new(),
    };
    writer.write(2, Subject::Job(jobs[1]), &Fact::DecisionMade(decision))?;
    let ended = ended(writer, shop_id)?;
    writer.parcel(
        shop_id,
        &[phone("Kestrel", "One", "Restarts while it charges")],
    )?;
    Ok((jobs[0], ended))
}

/// A return report with its record and the desktop's seal inside, drawn as the lab's are.
fn report(writer: &Writer, job_id: JobId) -> anyhow::Result<(Vec<u8>, ContentHash)> {
    let record = format!(
        r#"{{"form":"waybench return report, form 1","job_id":"{job_id}","outcome":"repaired"}}"#
    );
    let digest = attachments::hash_of(record.as_bytes());
    let seal = ReportSeal::make(&writer.key, writer.lab_id, writer.stream_id, digest);
    let attached = |name: &str, bytes| AttachedRecord {
        file_name: name.to_owned(),
        media_type: "application/json".to_owned(),
        description: name.to_owned(),
        bytes,
    };
    let model = ReturnReport {
        meta: PaperMeta {
            title: "Return report".to_owned(),
            author: "Harbour Board Lab".to_owned(),
            language: "en".to_owned(),
            made_at_ms: i64::try_from(writer.at_ms)?,
        },
        attachments: vec![
            attached("record.json", record.into_bytes()),
            attached("record.seal.json", serde_json::to_vec(&seal)?),
        ],
        ..ReturnReport::default()
    };
    Ok((
        papers::return_report(&model, &PageSetup::default())?,
        digest,
    ))
}

fn ended(writer: &mut Writer, shop_id: ShopId) -> anyhow::Result<Ended> {
    let (parcel_id, jobs) = writer.parcel(
        shop_id,
        &[Device {
            kind: DeviceKind::Laptop,
            maker: "Norden",
            model: "Carrel 14",
            identifier: "NB14-77120",
            fault: "Does not start",
            shop_reference: "K-2190",
            battery: UNREAD,
        }],
    )?;
    writer.receive(parcel_id, &jobs, &[])?;
    writer.look_over(jobs[0], 30)?;
    let quote = writer.quote(jobs[0], "Supply of the board")?;
    let decision = Decision {
        quote_entry_id: quote,
        answer: Answer::Agree,
        way: AnswerWay::Portal,
        note: String::new(),
    };
    let job = Subject::Job(jobs[0]);
    writer.write(2, job, &Fact::DecisionMade(decision))?;
    let outcome = OutcomeRecord {
        outcome: JobOutcome::Repaired,
        words: "The supply of the board was replaced. It starts in 14 s and charges at 2.9 A."
            .to_owned(),
        warranty_days: 90,
    };
    writer.write(30, job, &Fact::OutcomeSet(outcome))?;
    let (pdf, digest) = report(writer, jobs[0])?;
    let file = attachments::hash_of(&pdf);
    writer.file(&file, PhotoVariant::Full, &pdf)?;
    writer.write(
        0,
        job,
        &Fact::ReportIssued(IssuedReport {
            file,
            size_bytes: pdf.len() as u64,
            digest,
            pages: 2,
        }),
    )?;
    let tracking = Tracking {
        carrier: "Postal service of Norway".to_owned(),
        number: "RR473124829NO".to_owned(),
        warning: String::new(),
    };
    writer.write(
        4,
        job,
        &Fact::JobShipped(JobShipment {
            parcel_id: ParcelId::new(Uuid::from_bytes([3; 16])),
            tracking,
        }),
    )?;
    Ok(Ended {
        job_id: jobs[0],
        digest,
    })
}

fn long_shop(writer: &mut Writer, shop_id: ShopId) -> anyhow::Result<JobId> {
    let (parcel_id, jobs) = writer.parcel(
        shop_id,
        &[Device {
            kind: DeviceKind::Handheld,
            maker: "Θαλασσινή Ηλεκτρονική",
            model: "Ультрапортативный Наладонник 4000 Supercalifragilisticexpialidocious-Edition",
            identifier: "LONG-SERIAL-0123456789-ABCDEFGHIJKLMNOPQRSTUVWXYZ",
            fault: "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft: it shows nothing, hums, and smells of the sea since the customer took it on a boat for three weeks.",
            shop_reference: "REF-2026-11-25-0000000042",
            battery: UNREAD,
        }],
    )?;
    writer.receive(parcel_id, &jobs, &[])?;
    writer.look_over(jobs[0], 9)?;
    writer.quote(jobs[0], "Straightening, cleaning, and the replacement of seventeen parts around the handheld's supply that the sea has eaten")?;
    Ok(jobs[0])
}

fn main() -> anyhow::Result<()> {
    let folder = tempfile::TempDir::new().context("making a folder")?;
    let running = sync_server::start(sync_server::Config {
        public_verdicts: true,
        ..sync_server::Config::local(folder.path().to_owned())
    })?;
    let core = running.core();
    let now_ms = u64::try_from(core.now_ms())?;
    let mut writer = Writer::join(core, now_ms - 150 * HOUR_MS)?;
    let lab = LabDescription {
        name: "Harbour Board Lab".to_owned(),
        address_lines: vec!["4 Quay Street".to_owned(), "6900 Porthaven".to_owned()],
        country: "AT".to_owned(),
        phone: "+43 5500 7788".to_owned(),
        email: "bench@harbour.example".to_owned(),
        zone: "Europe/Vienna".to_owned(),
        currency: "EUR".to_owned(),
        warranty_days: 90,
    };
    let lab_id = writer.lab_id;
    writer.write(0, Subject::Lab(lab_id), &Fact::LabDescribed(lab))?;
    let full = writer.shop("Northside Counter")?;
    let empty = writer.shop("Southgate Phones")?;
    let long = writer
        .shop("Кондратьев и сыновья, Ремонт и продажа переносной техники – Παπαδόπουλος & Söhne")?;
    let (job, ended) = full_shop(&mut writer, full)?;
    let long_job = long_shop(&mut writer, long)?;
    let scope = credential::operator(core.store())?.context("a desktop has joined")?;
    let invite = |shop_id| {
        anyhow::Ok(format!(
            "{}/invite/{}",
            running.public_url(),
            core.new_invite(&scope, shop_id, "")?.reveal()
        ))
    };
    let line = serde_json::json!({
        "url": running.public_url(),
        "full": { "link": invite(full)?, "job": job.to_string(), "ended": ended.job_id.to_string() },
        "empty": { "link": invite(empty)? },
        "long": { "link": invite(long)?, "job": long_job.to_string() },
        "digest": ended.digest.to_string(),
    });
    writeln!(std::io::stdout(), "{line}")?;
    std::io::stdin()
        .read_to_end(&mut Vec::new())
        .context("waiting for the end of the input")?;
    running.stop();
    Ok(())
}
