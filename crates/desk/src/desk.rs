//! One desktop of a lab: its logbook, its files, its key, and the person at it.
//!
//! Commands are built on the few ways in and out that stand here. Nothing is changed but by [`Desk::append`]; nothing is read
//! but through the store's snapshots. No window, no HTTP server and no other library's type shows through.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use domain::calendar::Zone;
use domain::cells::BenchLevel;
use domain::cells::bay::Cell;
use domain::cells::schedule::overdue_by;
use domain::house::{Lab, Person, Shop};
use domain::job::Job;
use domain::parcel::Parcel;
use domain::{
    CellId, ContentHash, EntryId, Fact, JobId, LabId, ParcelId, PersonId, Recorded, ShopId, Subject,
};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::commands::setup::{BackedUp, DesktopRow, SetupView, Verified};
use crate::commands::start::DeskState;
use crate::commands::{CellRow, JobRow, LabBrief, ParcelRow, PersonBrief, PhotoState, ShopBrief};
use crate::error::DeskError;
use crate::files::Files;
use crate::passcode::{KEY_BYTES, LabKey};
use crate::ports::Ports;
use crate::printing::Printers;
use crate::rows::{self, Rows, plain_code};
use crate::store::{Filter, LocalPhoto, NewEntry, Order, PhotoWhere, Store, StoreOptions, Summary};

/// A fact about a subject, with the edits it was based on.
pub(crate) type NewFact = (Subject, Fact, Vec<EntryId>);

/// Told to the screen after each change: what to read again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Changed {
    /// These subjects.
    Subjects {
        /// Which.
        subjects: Vec<Subject>,
    },
    /// The line about the server.
    Sync,
    /// Another folder is to be watched.
    Folder,
    /// A picture from the watched folder was taken in, or was refused.
    Picture {
        /// What happened, in a sentence.
        sentence: String,
    },
}

/// Called after each change, on the thread that made it. Breaks when nobody listens any more, and is then forgotten.
pub type Listener = Arc<dyn Fn(&Changed) -> ControlFlow<()> + Send + Sync>;

/// Where a desktop's things lie.
#[derive(Debug, Clone)]
pub struct DeskOptions {
    /// Folder of the logbook, the files and the papers.
    pub folder: PathBuf,
    /// A small file *outside* that folder by which a copied folder is told from the original.
    pub nonce_file: PathBuf,
}

impl DeskOptions {
    /// The usual places: everything in `folder`, and the small file beside it, so that a copy of the folder leaves it behind.
    pub fn beside(folder: &Path) -> Self {
        let mut name = folder.file_name().unwrap_or_default().to_os_string();
        name.push(".installation");
        Self {
            folder: folder.to_path_buf(),
            nonce_file: folder.with_file_name(name),
        }
    }
}

/// One desktop of a lab.
pub struct Desk {
    pub(crate) options: DeskOptions,
    pub(crate) ports: Ports,
    pub(crate) store: Arc<Store>,
    pub(crate) files: Arc<Files>,
    pub(crate) acting: Mutex<()>,
    pub(crate) listeners: Arc<Mutex<Vec<Listener>>>,
    pub(crate) sync: crate::connection::Connection,
    pub(crate) watch: crate::watch::Watch,
    pub(crate) printers: Arc<dyn Printers>,
}

/// The folder of papers that were made, within the lab's.
pub(crate) const PAPERS: &str = "papers";
const PERSON: &str = "person";
const LAB_KEY: &str = "lab_key";

pub(crate) fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Desk {
    /// Opens the desktop in its folder, or lays out a new one. Nothing is sent or watched until [`Desk::start`].
    pub fn open(options: DeskOptions, ports: Ports) -> Result<Self, DeskError> {
        let store_options = StoreOptions {
            data_dir: options.folder.clone(),
            nonce_file: options.nonce_file.clone(),
            desktop_name: "this desktop".to_owned(),
        };
        let store = Arc::new(Store::open(&store_options, ports.clone(), Arc::new(Rows))?);
        let files = Arc::new(Files::open(&options.folder)?);
        let listeners: Arc<Mutex<Vec<Listener>>> = Arc::default();
        let told = Arc::clone(&listeners);
        store.on_change(Arc::new(move |subjects: &[Subject]| {
            tell(
                &told,
                &Changed::Subjects {
                    subjects: subjects.to_vec(),
                },
            );
        }));
        Ok(Self {
            sync: crate::connection::Connection::new(Arc::clone(&store), Arc::clone(&files)),
            watch: crate::watch::Watch::new(),
            printers: crate::printing::of_this_system(),
            acting: Mutex::new(()),
            options,
            ports,
            store,
            files,
            listeners,
        })
    }

    /// Prints on these printers instead of the system's.
    #[must_use]
    pub fn with_printers(self, printers: Arc<dyn Printers>) -> Self {
        Self { printers, ..self }
    }

    /// Calls `listener` after each change.
    pub fn on_change(&self, listener: Listener) {
        lock(&self.listeners).push(listener);
    }

    /// Tells every listener.
    pub(crate) fn tell(&self, changed: &Changed) {
        tell(&self.listeners, changed);
    }

    /// Caps the logbook's file, or takes the cap away. What doesn't fit is refused as on a full disk.
    pub fn set_size_limit(&self, bytes_max: Option<u64>) -> Result<(), DeskError> {
        Ok(self.store.set_size_limit(bytes_max)?)
    }

    /// Waits until no other command is checking and recording.
    pub(crate) fn take_turn(&self) -> MutexGuard<'_, ()> {
        lock(&self.acting)
    }

    /// The logbook.
    pub(crate) fn store(&self) -> &Store {
        &self.store
    }

    /// Makes an id: UUIDv7.
    pub(crate) fn new_id(&self) -> Uuid {
        self.ports.new_uuid()
    }

    /// Fresh random bytes, fit for keys and nonces.
    pub(crate) fn random<const N: usize>(&self) -> [u8; N] {
        let mut bytes = [0; N];
        self.ports.randomness.fill(&mut bytes);
        bytes
    }

    // Recording.

    /// Records one fact that replaces none.
    pub(crate) fn record(&self, subject: Subject, fact: Fact) -> Result<(), DeskError> {
        self.record_all(vec![(subject, fact, Vec::new())])
    }

    /// Records facts as one action: all or none.
    pub(crate) fn record_all(&self, facts: Vec<NewFact>) -> Result<(), DeskError> {
        let entries = facts
            .into_iter()
            .map(|(subject, fact, based_on)| NewEntry::fact(subject, &fact).based_on(based_on));
        self.append(entries.collect())
    }

    /// Records entries as one action by the person at this desktop.
    pub(crate) fn append(&self, entries: Vec<NewEntry>) -> Result<(), DeskError> {
        self.store.append(self.person_id()?, entries)?;
        self.wake_sync();
        Ok(())
    }

    /// Records facts by a person who isn't signed in yet; only while a lab is founded.
    pub(crate) fn record_as(
        &self,
        actor_id: PersonId,
        facts: Vec<(Subject, Fact)>,
    ) -> Result<(), DeskError> {
        self.store.append(
            actor_id,
            facts
                .into_iter()
                .map(|(subject, fact)| NewEntry::fact(subject, &fact))
                .collect(),
        )?;
        Ok(())
    }

    // The lab and its people.

    /// The lab this desktop belongs to.
    pub fn lab_id(&self) -> Result<LabId, DeskError> {
        self.store.installation()?.lab_id.ok_or(DeskError::NoLab)
    }

    /// Makes a new lab of this desktop, with a key of its own.
    pub(crate) fn found(&self, desktop_name: &str) -> Result<LabId, DeskError> {
        let lab_id = LabId::new(self.new_id());
        self.store.set_lab(lab_id)?;
        self.store.set_desktop_name(desktop_name)?;
        self.store
            .keep_secret(LAB_KEY, &self.random::<KEY_BYTES>())?;
        Ok(lab_id)
    }

    /// The key under which passcodes are sealed.
    pub(crate) fn lab_key(&self) -> Result<LabKey, DeskError> {
        let secret = self.store.secret(LAB_KEY)?.ok_or(DeskError::WrongKey)?;
        <[u8; KEY_BYTES]>::try_from(secret.as_slice())
            .map(LabKey::new)
            .map_err(|_| DeskError::WrongKey)
    }

    /// Keeps the lab's key as another desktop gave it.
    pub(crate) fn keep_lab_key(&self, key: &[u8]) -> Result<(), DeskError> {
        self.store.keep_secret(LAB_KEY, key)?;
        Ok(())
    }

    /// The lab.
    pub fn lab(&self) -> Result<Lab, DeskError> {
        let lab_id = self.lab_id()?;
        Ok(domain::fold_lab(
            lab_id,
            &self.entries(Subject::Lab(lab_id))?,
        ))
    }

    /// The lab's zone; UTC as long as none is known.
    pub(crate) fn zone(&self) -> Result<Zone, DeskError> {
        let lab = self.lab()?;
        Ok(lab
            .description
            .value()
            .and_then(|description| description.zone.parse().ok())
            .unwrap_or_else(Zone::utc))
    }

    /// The day it is at the lab, as `2026-11-25`.
    pub(crate) fn today(&self) -> Result<String, DeskError> {
        let now_ms = i64::try_from(self.ports.clock.now_ms()).unwrap_or(i64::MAX);
        self.zone()?
            .local_date(now_ms)
            .map(|date| date.to_string())
            .map_err(DeskError::refused)
    }

    /// An instant in the lab's own time, for sentences: `2026-11-25, 14:05`.
    pub(crate) fn time_words(&self, at_ms: u64) -> Result<String, DeskError> {
        let at_ms = i64::try_from(at_ms).unwrap_or(i64::MAX);
        let local = self.zone()?.local(at_ms).map_err(DeskError::refused)?;
        Ok(local.strftime("%Y-%m-%d, %H:%M").to_string())
    }

    /// Who is at this desktop.
    pub(crate) fn person_id(&self) -> Result<PersonId, DeskError> {
        self.store.setting(PERSON)?.ok_or(DeskError::NoPerson)
    }

    /// Says who is at this desktop.
    pub(crate) fn set_person(&self, person_id: PersonId) -> Result<(), DeskError> {
        Ok(self.store.set_setting(PERSON, &person_id)?)
    }

    /// The person at this desktop.
    pub(crate) fn person(&self) -> Result<PersonBrief, DeskError> {
        let person_id = self.person_id()?;
        self.people()?
            .into_iter()
            .find(|person| person.person_id == person_id)
            .ok_or(DeskError::NoPerson)
    }

    /// Everyone who is known, by name, shops' users included.
    pub(crate) fn people(&self) -> Result<Vec<PersonBrief>, DeskError> {
        let mut people: Vec<PersonBrief> = self
            .rows::<Option<PersonBrief>>(&Filter::all("person"))?
            .into_iter()
            .flatten()
            .collect();
        people.sort_by(|a, b| a.name.cmp(&b.name));
        Ok(people)
    }

    /// Those of the people who are named by their ids.
    pub(crate) fn people_named(
        &self,
        ids: impl Iterator<Item = PersonId>,
    ) -> Result<Vec<PersonBrief>, DeskError> {
        let ids: BTreeSet<PersonId> = ids.collect();
        Ok(self
            .people()?
            .into_iter()
            .filter(|person| ids.contains(&person.person_id))
            .collect())
    }

    /// One person.
    pub(crate) fn person_fold(&self, person_id: PersonId) -> Result<Person, DeskError> {
        let entries = self.entries(Subject::Person(person_id))?;
        if entries.is_empty() {
            return Err(DeskError::NotFound { what: "person" });
        }
        Ok(domain::fold_person(person_id, &entries))
    }

    // Shops, parcels, jobs.

    /// Every shop, by name.
    pub(crate) fn shops(&self) -> Result<Vec<ShopBrief>, DeskError> {
        let mut shops: Vec<ShopBrief> = self.rows(&Filter::all("shop"))?;
        shops.sort_by(|a, b| a.name.cmp(&b.name));
        Ok(shops)
    }

    /// One shop in a line.
    pub(crate) fn shop_brief(&self, shop_id: ShopId) -> Result<Option<ShopBrief>, DeskError> {
        self.row(Subject::Shop(shop_id))
    }

    /// One shop.
    pub(crate) fn shop_fold(&self, shop_id: ShopId) -> Result<Shop, DeskError> {
        let entries = self.entries(Subject::Shop(shop_id))?;
        if entries.is_empty() {
            return Err(DeskError::NotFound { what: "shop" });
        }
        Ok(domain::fold_shop(shop_id, &entries))
    }

    /// The entries about a subject.
    pub(crate) fn entries(&self, subject: Subject) -> Result<Vec<Recorded>, DeskError> {
        Ok(self.store.entries_of(subject)?)
    }

    /// One job.
    pub(crate) fn job(&self, job_id: JobId) -> Result<Job, DeskError> {
        let entries = self.entries(Subject::Job(job_id))?;
        if entries.is_empty() {
            return Err(DeskError::NotFound { what: "job" });
        }
        Ok(domain::fold_job(job_id, &entries))
    }

    /// One parcel.
    pub(crate) fn parcel(&self, parcel_id: ParcelId) -> Result<Parcel, DeskError> {
        let entries = self.entries(Subject::Parcel(parcel_id))?;
        if entries.is_empty() {
            return Err(DeskError::NotFound { what: "parcel" });
        }
        Ok(domain::fold_parcel(parcel_id, &entries))
    }

    /// A job's row, with its shop's name.
    pub(crate) fn row_of(&self, job: &Job) -> Result<JobRow, DeskError> {
        let mut row = rows::job_row(job);
        if let Some(shop_id) = row.shop_id {
            row.shop_name = self
                .shop_brief(shop_id)?
                .map_or_else(String::new, |shop| shop.name);
        }
        Ok(row)
    }

    /// A job's row as it is kept.
    pub(crate) fn job_row(&self, job_id: JobId) -> Result<Option<JobRow>, DeskError> {
        let Some(mut row) = self.row::<JobRow>(Subject::Job(job_id))? else {
            return Ok(None);
        };
        if let Some(shop_id) = row.shop_id {
            row.shop_name = self
                .shop_brief(shop_id)?
                .map_or_else(String::new, |shop| shop.name);
        }
        Ok(Some(row))
    }

    /// Rows of jobs that a filter lets through, with their shops' names.
    pub(crate) fn job_rows(&self, filter: &Filter) -> Result<Vec<JobRow>, DeskError> {
        let names = self.shop_names()?;
        let mut rows: Vec<JobRow> = self.rows(filter)?;
        for row in &mut rows {
            row.shop_name = row
                .shop_id
                .and_then(|shop_id| names.get(&shop_id).cloned())
                .unwrap_or_default();
        }
        Ok(rows)
    }

    /// A parcel's row as it is kept, with its shop's name.
    pub(crate) fn parcel_row(&self, parcel_id: ParcelId) -> Result<Option<ParcelRow>, DeskError> {
        let Some(mut row) = self.row::<ParcelRow>(Subject::Parcel(parcel_id))? else {
            return Ok(None);
        };
        if let Some(shop_id) = row.shop_id {
            row.shop_name = self
                .shop_brief(shop_id)?
                .map_or_else(String::new, |shop| shop.name);
        }
        Ok(Some(row))
    }

    /// Rows of parcels that a filter lets through, with their shops' names.
    pub(crate) fn parcel_rows(&self, filter: &Filter) -> Result<Vec<ParcelRow>, DeskError> {
        let names = self.shop_names()?;
        let mut rows: Vec<ParcelRow> = self.rows(filter)?;
        for row in &mut rows {
            row.shop_name = row
                .shop_id
                .and_then(|shop_id| names.get(&shop_id).cloned())
                .unwrap_or_default();
        }
        Ok(rows)
    }

    fn shop_names(&self) -> Result<BTreeMap<ShopId, String>, DeskError> {
        Ok(self
            .shops()?
            .into_iter()
            .map(|shop| (shop.shop_id, shop.name))
            .collect())
    }

    /// How many rows a filter lets through.
    pub(crate) fn count(&self, filter: &Filter) -> Result<u32, DeskError> {
        Ok(u32::try_from(self.store.projection_count(filter)?).unwrap_or(u32::MAX))
    }

    /// What a scanned code stands for.
    pub(crate) fn look_up_code(&self, text: &str) -> Result<Vec<Subject>, DeskError> {
        let code = plain_code(text);
        if code.is_empty() {
            return Ok(Vec::new());
        }
        let mut subjects: Vec<Subject> = self
            .store
            .lookup_code(&code)?
            .into_iter()
            .map(|(_, subject)| subject)
            .collect();
        subjects.sort();
        subjects.dedup();
        Ok(subjects)
    }

    /// The jobs of devices that bear an identifier, however it is written.
    pub(crate) fn look_up_identifier(&self, text: &str) -> Result<Vec<Subject>, DeskError> {
        rows::identifier_code(text).map_or(Ok(Vec::new()), |code| self.look_up_code(&code.text))
    }

    fn rows<T: DeserializeOwned>(&self, filter: &Filter) -> Result<Vec<T>, DeskError> {
        self.store
            .projections(filter)?
            .iter()
            .map(parse_row)
            .collect()
    }

    fn row<T: DeserializeOwned>(&self, subject: Subject) -> Result<Option<T>, DeskError> {
        self.store
            .projection(subject)?
            .as_ref()
            .map(parse_row)
            .transpose()
    }

    /// Where each photo's bytes are.
    pub(crate) fn photo_states(
        &self,
        hashes: &[ContentHash],
    ) -> Result<BTreeMap<String, PhotoState>, DeskError> {
        let mut states = BTreeMap::new();
        for hash in hashes {
            let state = match self.store.photo(hash)?.map(|photo| photo.full) {
                Some(PhotoWhere::Verified) => PhotoState::Sent,
                Some(_) => PhotoState::Waiting,
                None if self.files.whole().contains(hash)? => PhotoState::Sent,
                None => PhotoState::Elsewhere,
            };
            states.insert(hash.to_string(), state);
        }
        Ok(states)
    }

    /// Queues a file that is kept here for sending.
    pub(crate) fn keep_file(
        &self,
        hash: ContentHash,
        size_bytes: u64,
        thumbnail: Option<(ContentHash, u64)>,
    ) -> Result<(), DeskError> {
        Ok(self.store.queue_photo(&LocalPhoto {
            hash,
            size_bytes,
            thumb: thumbnail,
        })?)
    }

    /// A paper that was made, by its file name.
    pub fn paper_bytes(&self, name: &str) -> Result<Vec<u8>, DeskError> {
        let path = self.paper_path(name)?;
        std::fs::read(&path).map_err(|_| DeskError::NotFound { what: "paper" })
    }

    /// Where a paper lies. A name with parts of a path in it is no paper's name.
    pub fn paper_path(&self, name: &str) -> Result<PathBuf, DeskError> {
        let is_plain =
            !name.is_empty() && !name.starts_with('.') && !name.contains(['/', '\\', ':']);
        if is_plain {
            Ok(self.options.folder.join(PAPERS).join(name))
        } else {
            Err(DeskError::NotFound { what: "paper" })
        }
    }

    // Views of the whole.

    /// What the screen shows around every place.
    pub(crate) fn state(&self) -> Result<DeskState, DeskError> {
        let installation = self.store.installation()?;
        let has_lab = installation.lab_id.is_some();
        let lab = if has_lab { self.lab_brief()? } else { None };
        let people: Vec<PersonBrief> = self
            .people()?
            .into_iter()
            .filter(|person| !person.of_a_shop)
            .collect();
        let person_id = self.store.setting::<PersonId>(PERSON)?;
        let staged = |tag: &'static str, stages: &[&str]| Filter {
            stages: stages.iter().map(|stage| (*stage).to_owned()).collect(),
            ..Filter::all(tag)
        };
        let sync = self.sync_line()?;
        let bay = self.what_stands_open()?;
        Ok(DeskState {
            person: people
                .iter()
                .find(|person| Some(person.person_id) == person_id)
                .cloned(),
            parcels_to_count: self.count(&staged("parcel", &["received"]))?,
            jobs_in_house: self.count(&staged(
                "job",
                &[
                    "receiving",
                    "inspecting",
                    "holding",
                    "repairing",
                    "proving",
                    "packing",
                    "shipping",
                ],
            ))?,
            jobs_to_pack: self.count(&staged("job", &["packing"]))?,
            cells_in_isolation: bay.in_isolation,
            cells_in_emergency: bay.in_emergency,
            readings_overdue: bay.overdue,
            next_reading_due_ms: bay.next_due_ms,
            disagreements: bay.disagreements,
            clock_warning: clock_warning(sync.clock_ahead_ms),
            unknown_entries: self.store.unknown_count()?,
            desktop_name: installation.desktop_name,
            folder: self.options.folder.display().to_string(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            lab,
            people,
            sync,
        })
    }

    /// One pass over open jobs and cells: disagreements, isolation, readings.
    fn what_stands_open(&self) -> Result<StandsOpen, DeskError> {
        let open = |tag| Filter {
            is_open: Some(true),
            ..Filter::all(tag)
        };
        let now_ms = self.ports.clock.now_ms();
        let mut stands = StandsOpen::default();
        for row in self.rows::<JobRow>(&open("job"))? {
            stands.disagreements += row.disagreements;
            if row.stage.in_house() {
                stands.cell(row.in_isolation, row.cell_level, row.reading_due_ms, now_ms);
            }
        }
        for row in self.rows::<CellRow>(&open("cell"))? {
            stands.cell(row.in_isolation, row.level, row.reading_due_ms, now_ms);
        }
        Ok(stands)
    }

    /// The instant it is, in milliseconds since 1970.
    pub(crate) fn now_ms(&self) -> u64 {
        self.ports.clock.now_ms()
    }

    /// One removed cell.
    pub(crate) fn cell(&self, cell_id: CellId) -> Result<Cell, DeskError> {
        let entries = self.entries(Subject::Cell(cell_id))?;
        if entries.is_empty() {
            return Err(DeskError::NotFound { what: "cell" });
        }
        Ok(domain::fold_cell(cell_id, &entries))
    }

    /// Rows of removed cells that a filter lets through, with their shops' names.
    pub(crate) fn cell_rows(&self, filter: &Filter) -> Result<Vec<CellRow>, DeskError> {
        let names = self.shop_names()?;
        let mut rows: Vec<CellRow> = self.rows(filter)?;
        for row in &mut rows {
            row.shop_name = row
                .shop_id
                .and_then(|shop_id| names.get(&shop_id).cloned())
                .unwrap_or_default();
        }
        Ok(rows)
    }

    /// A removed cell's row as it is kept.
    pub(crate) fn cell_row(&self, cell_id: CellId) -> Result<Option<CellRow>, DeskError> {
        self.row(Subject::Cell(cell_id))
    }

    fn lab_brief(&self) -> Result<Option<LabBrief>, DeskError> {
        let lab = self.lab()?;
        Ok(lab.description.value().map(|description| LabBrief {
            lab_id: lab.lab_id,
            name: description.name.clone(),
            zone: description.zone.clone(),
            currency: description.currency.clone(),
            country: description.country.clone(),
            phone: description.phone.clone(),
        }))
    }

    /// All that is set up.
    pub(crate) fn setup_view(&self) -> Result<SetupView, DeskError> {
        let lab = self.lab()?;
        let own = self.store.installation()?.stream_id;
        let streams = self.store.stream_heads()?;
        Ok(SetupView {
            lab: lab.description.value().cloned(),
            people: self
                .people()?
                .into_iter()
                .filter(|person| !person.of_a_shop)
                .collect(),
            tests: lab.catalogue().into_iter().cloned().collect(),
            server_url: self
                .store
                .enrolment()?
                .map_or_else(String::new, |enrolment| enrolment.server_url),
            desktops: streams
                .into_iter()
                .map(|head| DesktopRow {
                    this_one: head.stream.stream_id == own,
                    name: head.stream.name,
                    entries: head.head_seq,
                })
                .collect(),
            watched_folder: self.watched_folder()?,
            folder: self.options.folder.display().to_string(),
            entries: self.store.entry_count()?,
        })
    }

    /// Checks every entry of the logbook.
    pub(crate) fn verify(&self) -> Result<Verified, DeskError> {
        let reports = self.store.verify_all()?;
        Ok(Verified {
            entries: reports.iter().map(|report| report.head.seq).sum(),
            streams: u64::try_from(reports.len()).unwrap_or(u64::MAX),
            trouble: reports
                .iter()
                .filter_map(|report| {
                    report
                        .problem
                        .as_ref()
                        .map(|problem| format!("What “{}” wrote: {problem}.", report.name))
                })
                .collect(),
        })
    }

    /// Writes a backup into a folder: the logbook and every file.
    pub(crate) fn back_up(&self, folder: &Path) -> Result<BackedUp, DeskError> {
        let failed = |path: &Path, action| {
            let path = path.display().to_string();
            move |source| DeskError::File {
                path,
                action,
                source,
            }
        };
        if folder.starts_with(&self.options.folder) {
            return Err(DeskError::field(
                "path",
                "choose a folder outside the logbook's own, best on another disk",
            ));
        }
        std::fs::create_dir_all(folder.join("files")).map_err(failed(folder, "written"))?;
        let database = folder.join(crate::store::FILE_NAME);
        self.store.backup_to(&database)?;
        let copy = attachments::Store::open(folder.join("files"), attachments::Limits::default())?;
        let mut size_bytes = std::fs::metadata(&database)
            .map_err(failed(&database, "read"))?
            .len();
        let hashes = self.files.whole().hashes()?;
        for hash in &hashes {
            if !copy.contains(hash)? {
                copy.put_reader(self.files.whole().open_reader(hash)?)?;
            }
            size_bytes += copy.size(hash)?.unwrap_or(0);
        }
        Ok(BackedUp {
            path: folder.display().to_string(),
            entries: self.store.entry_count()?,
            files: u64::try_from(hashes.len()).unwrap_or(u64::MAX),
            size_bytes,
        })
    }
}

/// What the line round every place counts.
#[derive(Debug, Default)]
struct StandsOpen {
    disagreements: u32,
    in_isolation: u32,
    in_emergency: u32,
    overdue: u32,
    next_due_ms: Option<u64>,
}

impl StandsOpen {
    fn cell(
        &mut self,
        in_isolation: bool,
        level: Option<BenchLevel>,
        due_ms: Option<u64>,
        now_ms: u64,
    ) {
        self.in_isolation += u32::from(in_isolation);
        self.in_emergency += u32::from(level == Some(BenchLevel::Emergency));
        match due_ms {
            Some(due_ms) if overdue_by(due_ms, now_ms).is_some() => self.overdue += 1,
            Some(due_ms) => {
                self.next_due_ms = Some(self.next_due_ms.map_or(due_ms, |next| next.min(due_ms)));
            }
            None => {}
        }
    }
}

fn parse_row<T: DeserializeOwned>(summary: &Summary) -> Result<T, DeskError> {
    serde_json::from_str(&summary.summary_json).map_err(|source| DeskError::Request {
        command: "row".to_owned(),
        source,
    })
}

pub(crate) fn tell(listeners: &Mutex<Vec<Listener>>, changed: &Changed) {
    // Called outside the lock: a listener may itself add one.
    let told = lock(listeners).clone();
    for listener in told {
        if listener(changed).is_break() {
            lock(listeners).retain(|other| !Arc::ptr_eq(other, &listener));
        }
    }
}

/// Clocks of phones and computers that ask a time server agree within a second; five minutes is a clock that nobody sets.
/// Common practice, no source.
const CLOCK_TOLERANCE_MS: i64 = 5 * 60 * 1000;

fn clock_warning(ahead_ms: Option<i64>) -> String {
    let Some(ahead_ms) = ahead_ms.filter(|ahead_ms| ahead_ms.abs() > CLOCK_TOLERANCE_MS) else {
        return String::new();
    };
    // To the nearest whole: a clock that was set three days ahead by hand is a moment short of it by now.
    let ms = ahead_ms.abs();
    let nearest = |unit_ms: i64| (ms + unit_ms / 2) / unit_ms;
    let amount = match nearest(60_000) {
        minutes @ 0..120 => format!("{minutes} minutes"),
        120..2880 => format!("{} hours", nearest(3_600_000)),
        _ => format!("{} days", nearest(86_400_000)),
    };
    let way = if ahead_ms > 0 { "fast" } else { "slow" };
    format!(
        "This computer’s clock is {amount} {way}. Nothing is lost by it, but set it right: the times in lists and on papers are wrong."
    )
}

/// The order in which lists are read.
pub(crate) fn latest_first(tag: &'static str) -> Filter {
    Filter {
        order: Order::Latest,
        ..Filter::all(tag)
    }
}
