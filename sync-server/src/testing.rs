//! What the tests of this crate share: a server without sockets, a desktop that writes facts, and a browser.

use std::collections::{BTreeMap, BTreeSet};
use std::net::SocketAddr;
use std::sync::Arc;

use axum::Router;
use axum::body::Body;
use axum::extract::ConnectInfo;
use axum::http::{HeaderMap, Method, Request, StatusCode, header};
use domain::device::DeviceKind;
use domain::fact::{
    DeviceDescription, JobAdvice, JobArrival, LabDescription, Quote, QuoteLine, ShopDescription,
};
use domain::money::{Currency, Money};
use domain::{Fact, JobId, LabId, ParcelId, PersonId, ShopId, StreamId, Subject};
use logbook::{Draft, Entry, Head, Hlc, Kind, Salt, SigningKey, SubjectRef};
use sync_protocol::{Enrol, Enrolled, EntryAnswer, PushEntries, StreamInfo, SyncProtocol as _};
use tempfile::TempDir;
use tokio::sync::watch;
use tower::ServiceExt as _;
use uuid::Uuid;

use crate::auth::LabScope;
use crate::auth::credential;
use crate::clock::ManualClock;
use crate::config::{PublicUrl, Quotas};
use crate::core::{Connection, Core};
use crate::files::Files;
use crate::http::{App, router};
use crate::store::sqlite::SqliteStore;

/// 2026-11-25T09:00:00Z.
pub(crate) const NOW_MS: i64 = 1_795_597_200_000;

/// A server on a folder of its own.
pub(crate) struct Bench {
    pub(crate) folder: TempDir,
    pub(crate) core: Arc<Core>,
    pub(crate) clock: Arc<ManualClock>,
    pub(crate) router: Router,
    stopping: watch::Sender<bool>,
}

impl Bench {
    pub(crate) fn new() -> Self {
        Self::in_folder(
            TempDir::new().expect("a temporary folder"),
            "http://portal.test",
        )
    }

    /// A server whose owner has not opened the transport verdict to everybody.
    pub(crate) fn closed() -> Self {
        Self::with(
            TempDir::new().expect("a temporary folder"),
            "http://portal.test",
            false,
        )
    }

    pub(crate) fn https() -> Self {
        Self::in_folder(
            TempDir::new().expect("a temporary folder"),
            "https://portal.test",
        )
    }

    pub(crate) fn in_folder(folder: TempDir, public_url: &str) -> Self {
        Self::with(folder, public_url, true)
    }

    fn with(folder: TempDir, public_url: &str, public_verdicts: bool) -> Self {
        let clock = Arc::new(ManualClock::at(NOW_MS));
        let store = Arc::new(SqliteStore::open(folder.path()).expect("a store"));
        let files = Files::open(folder.path()).expect("a folder of files");
        let core =
            Arc::new(Core::new(store, files, clock.clone(), Quotas::default()).expect("a core"));
        let stopping = watch::Sender::new(false);
        let public_url = PublicUrl::parse(public_url).expect("a public address");
        let app = Arc::new(App::new(
            core.clone(),
            public_url,
            false,
            public_verdicts,
            stopping.subscribe(),
        ));
        Self {
            folder,
            core,
            clock,
            router: router(app),
            stopping,
        }
    }

    pub(crate) fn scope(&self) -> LabScope {
        credential::operator(self.core.store())
            .expect("the store answers")
            .expect("a desktop has joined")
    }

    /// A desktop that has joined with a new code.
    pub(crate) fn desktop(&self, number: u8) -> Desktop {
        let code = self.core.new_join_code().expect("a code");
        let mut desktop = Desktop::new(Connection::new(self.core.clone()), number);
        desktop.join(&code, None);
        desktop
    }

    pub(crate) fn browser(&self) -> Browser {
        Browser {
            router: self.router.clone(),
            cookies: BTreeMap::new(),
            form_token: String::new(),
        }
    }

    /// Ends whoever follows the log's position.
    pub(crate) fn stop(&self) {
        self.stopping.send_replace(true);
    }

    /// A browser signed in as a new user of `shop_id`.
    pub(crate) async fn user(&self, shop_id: ShopId, email: &str) -> Browser {
        let token = self
            .core
            .new_invite(&self.scope(), shop_id, "")
            .expect("an invite");
        let mut browser = self.browser();
        let path = format!("/invite/{}", token.reveal());
        assert_eq!(browser.get(&path).await.status, StatusCode::OK);
        let answer = browser
            .post(
                &path,
                &[
                    ("name", "Mira Oduya"),
                    ("email", email),
                    ("password", "copper and rosin"),
                ],
            )
            .await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
        browser.get("/devices").await;
        browser
    }
}

/// A desktop as far as the server sees one: a key, a stream, a connection.
pub(crate) struct Desktop {
    pub(crate) connection: Connection,
    pub(crate) key: SigningKey,
    pub(crate) head: Head,
    pub(crate) lab_id: LabId,
    pub(crate) credential: String,
    hlc: Hlc,
    ids: u32,
    number: u8,
}

impl Desktop {
    pub(crate) fn new(connection: Connection, number: u8) -> Self {
        Self {
            connection,
            key: SigningKey::from_bytes(&[number; 32]),
            head: Head::empty(StreamId::from_bytes([number; 16])),
            lab_id: LabId::from_bytes([0; 16]),
            credential: String::new(),
            hlc: Hlc {
                ms: u64::try_from(NOW_MS).expect("after 1970"),
                counter: 0,
            },
            ids: 0,
            number,
        }
    }

    pub(crate) fn stream(&self) -> StreamInfo {
        let name = format!("Bench {}", self.number);
        StreamInfo {
            stream_id: self.head.stream_id,
            public_key: logbook::public_key(&self.key),
            name,
        }
    }

    pub(crate) fn enrol(&self, code: &str, lab_id: Option<LabId>) -> Enrol {
        Enrol {
            protocol_version: 1,
            code: code.to_owned(),
            lab_id,
            stream: self.stream(),
        }
    }

    pub(crate) fn join(&mut self, code: &str, lab_id: Option<LabId>) -> Enrolled {
        let enrolled = self
            .connection
            .enrol(&self.enrol(code, lab_id))
            .expect("the code is good");
        self.lab_id = enrolled.lab_id;
        self.credential.clone_from(&enrolled.credential);
        enrolled
    }

    fn id(&mut self) -> Uuid {
        self.ids += 1;
        let mut bytes = [self.number; 16];
        bytes[12..].copy_from_slice(&self.ids.to_be_bytes());
        Uuid::from_bytes(bytes)
    }

    pub(crate) fn shop_id(&mut self) -> ShopId {
        ShopId::new(self.id())
    }

    pub(crate) fn job_id(&mut self) -> JobId {
        JobId::new(self.id())
    }

    pub(crate) fn parcel_id(&mut self) -> ParcelId {
        ParcelId::new(self.id())
    }

    /// Seals a fact as the next entry, without sending it.
    pub(crate) fn seal(&mut self, subject: Subject, fact: &Fact) -> Entry {
        self.seal_bytes(subject, fact.kind(), fact.version(), fact.encode())
    }

    pub(crate) fn seal_bytes(
        &mut self,
        subject: Subject,
        kind: &str,
        version: u16,
        payload: Vec<u8>,
    ) -> Entry {
        self.hlc = self.hlc.send(self.hlc.ms + 1000);
        let draft = Draft {
            entry_id: domain::EntryId::new(self.id()),
            lab_id: self.lab_id,
            actor_id: PersonId::from_bytes([9; 16]),
            kind: Kind::new(kind).expect("a kind"),
            kind_version: version,
            min_reader: 0,
            subject: SubjectRef::from(subject),
            based_on: Vec::new(),
            payload,
            payload_salt: Salt::from_bytes([self.number; 16]),
        };
        let entry = logbook::seal(draft, &self.head, self.hlc, &self.key).expect("a small draft");
        self.head = Head {
            stream_id: entry.stream_id,
            seq: entry.stream_seq,
            hash: entry.hash,
        };
        entry
    }

    pub(crate) fn push(&self, entries: Vec<Entry>) -> Vec<EntryAnswer> {
        let push = PushEntries {
            stream: self.stream(),
            entries,
        };
        self.connection
            .push(&push)
            .expect("the server answers")
            .answers
    }

    /// Writes and sends facts.
    pub(crate) fn write(&mut self, facts: &[(Subject, Fact)]) -> Vec<Entry> {
        let entries: Vec<Entry> = facts
            .iter()
            .map(|(subject, fact)| self.seal(*subject, fact))
            .collect();
        let answers = self.push(entries.clone());
        assert!(
            answers.iter().all(|answer| *answer == EntryAnswer::Stored),
            "{answers:?}"
        );
        entries
    }

    /// Describes the lab and two shops whose words all begin with their marker.
    pub(crate) fn furnish(&mut self) -> [ShopId; 2] {
        let lab = LabDescription {
            name: "Harbour Board Lab".to_owned(),
            address_lines: vec!["4 Quay Street".to_owned(), "9000 Porthaven".to_owned()],
            country: "AT".to_owned(),
            phone: "+43 5500 7788".to_owned(),
            email: "bench@harbour.example".to_owned(),
            zone: "Europe/Vienna".to_owned(),
            currency: "EUR".to_owned(),
            warranty_days: 90,
        };
        let shops = [self.shop_id(), self.shop_id()];
        let mut facts = vec![(Subject::Lab(self.lab_id), Fact::LabDescribed(lab))];
        for (shop_id, name) in shops
            .into_iter()
            .zip(["Northside Counter", "Southgate Phones"])
        {
            facts.push((Subject::Shop(shop_id), Fact::ShopDescribed(shop(name))));
        }
        self.write(&facts);
        shops
    }

    /// A device that its shop announced and that has arrived.
    pub(crate) fn job(&mut self, shop_id: ShopId, model: &str) -> JobId {
        let (job_id, parcel_id) = (self.job_id(), self.parcel_id());
        let subject = Subject::Job(job_id);
        self.write(&[
            (subject, Fact::JobAdvised(advice(shop_id, parcel_id, model))),
            (
                subject,
                Fact::JobArrived(JobArrival {
                    parcel_id,
                    note: String::new(),
                }),
            ),
        ]);
        job_id
    }

    /// A quote of two lines.
    pub(crate) fn quote(&mut self, job_id: JobId, note: &str) -> Entry {
        let amount = |minor| Money::new(minor, Currency::EUR);
        let quote = Quote {
            lines: vec![
                QuoteLine {
                    text: format!("Charging line, {note}"),
                    amount: amount(8_900),
                },
                QuoteLine {
                    text: "Cleaning".to_owned(),
                    amount: amount(1_250),
                },
            ],
            fee_if_refused: amount(1_900),
            promised_date: "2026-12-02".to_owned(),
            note: String::new(),
        };
        self.write(&[(Subject::Job(job_id), Fact::QuoteSet(quote))])
            .remove(0)
    }
}

pub(crate) fn shop(name: &str) -> ShopDescription {
    ShopDescription {
        name: name.to_owned(),
        address_lines: vec!["1 Market Row".to_owned()],
        country: "AT".to_owned(),
        phone: "+43 5500 1".to_owned(),
        email: "counter@shop.example".to_owned(),
        currency: "EUR".to_owned(),
    }
}

pub(crate) fn advice(shop_id: ShopId, parcel_id: ParcelId, model: &str) -> JobAdvice {
    JobAdvice {
        shop_id,
        parcel_id,
        device: DeviceDescription {
            kind: DeviceKind::Phone,
            maker: "Lumo".to_owned(),
            model: model.to_owned(),
            colour: "blue".to_owned(),
        },
        identifier: "490154203237518".to_owned(),
        fault: format!("{model} does not charge"),
        tried: String::new(),
        liquid: None,
        data_needed: true,
        accessories: Vec::new(),
        cell_answers: BTreeSet::new(),
        shop_reference: String::new(),
        battery: domain::fact::AdvisedBattery::default(),
    }
}

/// The form of a device whose battery was seen and is sound.
pub(crate) fn sound_device() -> Vec<(&'static str, &'static str)> {
    vec![
        ("burnt", "no"),
        ("hot", "no"),
        ("swollen", "no"),
        ("leaking", "no"),
        ("pierced", "no"),
        ("recalled", "no"),
        ("dropped", "no"),
        ("cell_seen", "yes"),
        ("wh", "17.3"),
        ("cells", "one"),
        ("kind", "phone"),
        ("maker", "Lumo"),
        ("model", "M2"),
        ("identifier", "490154203237518"),
        ("fault", "does not charge"),
        ("liquid", "no"),
        ("data_needed", "yes"),
        ("accessories", "case, cable"),
        ("then", "list"),
    ]
}

/// A browser: it keeps cookies and knows the form token of the last page it read.
pub(crate) struct Browser {
    router: Router,
    cookies: BTreeMap<String, String>,
    form_token: String,
}

/// What came back.
#[derive(Debug, Clone)]
pub(crate) struct Answer {
    pub(crate) status: StatusCode,
    pub(crate) headers: HeaderMap,
    pub(crate) body: Vec<u8>,
}

impl Answer {
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub(crate) fn location(&self) -> &str {
        self.headers
            .get(header::LOCATION)
            .map_or("", |value| value.to_str().expect("an address"))
    }
}

impl Browser {
    pub(crate) async fn get(&mut self, path: &str) -> Answer {
        self.send(Method::GET, path, None, Vec::new()).await
    }

    /// Sends a form with the token of the last page.
    pub(crate) async fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let token = self.form_token.clone();
        let fields: Vec<(&str, &str)> = fields
            .iter()
            .copied()
            .chain([("form_token", token.as_str())])
            .collect();
        self.post_as_is(path, &fields).await
    }

    /// Sends a form without adding a token.
    pub(crate) async fn post_as_is(&mut self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let body = fields
            .iter()
            .map(|(key, value)| format!("{}={}", encode(key), encode(value)))
            .collect::<Vec<_>>();
        let body = body.join("&").into_bytes();
        self.send(
            Method::POST,
            path,
            Some("application/x-www-form-urlencoded"),
            body,
        )
        .await
    }

    /// Sends a file.
    pub(crate) async fn upload(&mut self, path: &str, bytes: &[u8]) -> Answer {
        let part = |name: &str, more: &str| {
            format!("--line\r\ncontent-disposition: form-data; name=\"{name}\"{more}\r\n\r\n")
        };
        let mut body = format!("{}{}\r\n", part("form_token", ""), self.form_token).into_bytes();
        body.extend(part("file", "; filename=\"list.csv\"").into_bytes());
        body.extend(bytes);
        body.extend(b"\r\n--line--\r\n");
        self.send(
            Method::POST,
            path,
            Some("multipart/form-data; boundary=line"),
            body,
        )
        .await
    }

    pub(crate) async fn send(
        &mut self,
        method: Method,
        path: &str,
        kind: Option<&str>,
        body: Vec<u8>,
    ) -> Answer {
        let mut request = Request::builder().method(method).uri(path);
        if let Some(kind) = kind {
            request = request.header(header::CONTENT_TYPE, kind);
        }
        if !self.cookies.is_empty() {
            let line = self
                .cookies
                .iter()
                .map(|(key, value)| format!("{key}={value}"))
                .collect::<Vec<_>>()
                .join("; ");
            request = request.header(header::COOKIE, line);
        }
        let answer = call(
            &self.router,
            request.body(Body::from(body)).expect("a request"),
        )
        .await;
        self.keep_cookies(&answer);
        let text = answer.text();
        if let Some((_, rest)) = text.split_once("name=\"form_token\" value=\"") {
            self.form_token = rest.split('"').next().unwrap_or_default().to_owned();
        }
        answer
    }

    fn keep_cookies(&mut self, answer: &Answer) {
        for value in answer.headers.get_all(header::SET_COOKIE) {
            let line = value.to_str().expect("a cookie");
            let (pair, flags) = line.split_once(';').expect("a cookie with flags");
            let (key, value) = pair.split_once('=').expect("a named cookie");
            if flags.contains("Max-Age=0") {
                self.cookies.remove(key);
            } else {
                self.cookies.insert(key.to_owned(), value.to_owned());
            }
        }
    }
}

/// Sends one request through the router, as if from a loopback address.
pub(crate) async fn call(router: &Router, mut request: Request<Body>) -> Answer {
    request
        .extensions_mut()
        .insert(ConnectInfo(SocketAddr::from(([127, 0, 0, 1], 50_000))));
    let response = router
        .clone()
        .oneshot(request)
        .await
        .expect("a router always answers");
    let (parts, body) = response.into_parts();
    let body = axum::body::to_bytes(body, usize::MAX)
        .await
        .expect("the whole answer")
        .to_vec();
    Answer {
        status: parts.status,
        headers: parts.headers,
        body,
    }
}

fn encode(text: &str) -> String {
    text.bytes()
        .map(|byte| {
            if byte.is_ascii_alphanumeric() {
                char::from(byte).to_string()
            } else {
                format!("%{byte:02X}")
            }
        })
        .collect()
}
