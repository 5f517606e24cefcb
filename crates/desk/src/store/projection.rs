//! What is folded from the log, kept so that lists and scans are quick. All of it can be thrown away.

use std::num::NonZero;

use domain::{Decoded, Recorded, ShopId, Subject};
use rusqlite::types::Value;
use rusqlite::{Connection, OptionalExtension as _, Row, params, params_from_iter};

use super::error::StoreError;
use super::rows::{bytes, integer, natural};
use super::{READERS_KEPT_MAX, Reading, Store, Writing, schema};

const DOING: &str = "folding";

/// Subjects folded in one transaction while catching up. At about 0.1 ms each for jobs of 20 entries, 200 take 20 ms, so that a
/// scan never waits longer than that behind a fold.
const FOLDS_PER_TRANSACTION: usize = 200;

/// Fewer subjects than this are folded by the thread that asks: starting others would take longer.
const FOLDS_WORTH_SHARING: usize = 32;

/// Turns a subject's entries into a row. The trade's folds stand behind it; the store knows none of them.
pub trait Projector: Send + Sync {
    /// Raised whenever [`Projector::project`] would give another row for the same entries. All rows are then made anew.
    fn fold_version(&self) -> u32;

    /// Folds one subject. `entries` come in display order, each once.
    fn project(&self, subject: Subject, entries: &[Recorded]) -> Projection;
}

/// A row to be listed, found and opened.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Projection {
    /// What lists show, as JSON of the projector's own type.
    pub summary_json: String,
    /// Where a job or parcel is.
    pub stage: Option<String>,
    /// Whose it is.
    pub shop_id: Option<ShopId>,
    /// When it is due, milliseconds since 1970.
    pub due_ms: Option<i64>,
    /// False when nothing is left to do.
    pub is_open: bool,
    /// Lower-case words by which people look for it.
    pub search_text: String,
    /// What a scanner may read for it.
    pub codes: Vec<Code>,
}

/// Something a scanner may read. Normalised by the projector, and by whoever looks it up, in the same way.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Code {
    /// What kind of code it is, such as `tracking` or `imei`.
    pub kind: String,
    /// Its text.
    pub text: String,
}

/// A projection as it is read back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Summary {
    /// The subject.
    pub subject: Subject,
    /// The projector's JSON.
    pub summary_json: String,
    /// Where it is.
    pub stage: Option<String>,
    /// Whose it is.
    pub shop_id: Option<ShopId>,
    /// When it is due.
    pub due_ms: Option<i64>,
    /// Whether anything is left to do.
    pub is_open: bool,
    /// Time of its latest entry.
    pub last_ms: u64,
    /// Entries about it that need a newer program.
    pub unknown_count: u64,
}

/// Which rows to list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Filter {
    /// The subject's tag, such as `job`.
    pub tag: &'static str,
    /// Only these stages; empty for all.
    pub stages: Vec<String>,
    /// Only this shop's.
    pub shop_id: Option<ShopId>,
    /// Only open ones, or only closed ones.
    pub is_open: Option<bool>,
    /// Only rows that each of these words finds.
    pub words: Vec<SearchWord>,
    /// In which order.
    pub order: Order,
    /// At most so many.
    pub limit: usize,
    /// After so many.
    pub offset: usize,
}

/// A word that a row must answer to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SearchWord {
    /// It stands in the row's search text ...
    pub text: String,
    /// ... or the row is one of these shops'. A row doesn't hold its shop's name, which may change.
    pub or_of_shops: Vec<ShopId>,
}

/// The order of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// What is due first comes first; without a due time, last.
    Due,
    /// What changed last comes first.
    Latest,
}

impl Filter {
    /// All rows of a tag, by due time.
    pub const fn all(tag: &'static str) -> Self {
        Self {
            tag,
            stages: Vec::new(),
            shop_id: None,
            is_open: None,
            words: Vec::new(),
            order: Order::Due,
            limit: usize::MAX,
            offset: 0,
        }
    }
}

/// How far catching up has come.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FoldProgress {
    /// Subjects folded by this call.
    pub changed: Vec<Subject>,
    /// Subjects still to be folded.
    pub left: u64,
}

impl Store {
    /// Returns the rows a filter lets through.
    pub fn projections(&self, filter: &Filter) -> Result<Vec<Summary>, StoreError> {
        self.read(|reading| reading.projections(filter))
    }

    /// Returns how many rows a filter lets through, whatever its limit.
    pub fn projection_count(&self, filter: &Filter) -> Result<u64, StoreError> {
        self.read(|reading| {
            let (conditions, values) = conditions(filter);
            let sql = format!("SELECT COUNT(*) FROM projections WHERE {conditions}");
            reading
                .connection
                .prepare_cached(&sql)
                .and_then(|mut statement| {
                    statement.query_row(params_from_iter(values), |row| row.get(0))
                })
                .map(natural)
                .map_err(StoreError::database("listing"))
        })
    }

    /// Returns one subject's row.
    pub fn projection(&self, subject: Subject) -> Result<Option<Summary>, StoreError> {
        self.read(|reading| reading.projection(subject))
    }

    /// Returns what a scanned text stands for, with the kind of code it is. Several answers mean that a person must choose.
    pub fn lookup_code(&self, text: &str) -> Result<Vec<(String, Subject)>, StoreError> {
        self.read(|reading| reading.lookup_code(text))
    }

    /// Returns how many entries need a newer program: those of unknown kinds, and those about unknown things.
    pub fn unknown_count(&self) -> Result<u64, StoreError> {
        self.read(|reading| {
            reading
                .connection
                .query_row(
                    "SELECT (SELECT COALESCE(SUM(unknown_count), 0) FROM projections WHERE unknown_count > 0)
                          + (SELECT COUNT(*) FROM entries WHERE subject_tag NOT IN ('lab', 'person', 'shop', 'parcel', 'job') AND subject_tag <> 'cell')",
                    [],
                    |row| row.get(0),
                )
                .map(natural)
                .map_err(StoreError::database("counting unknown kinds"))
        })
    }

    /// Folds some of the subjects that entries from elsewhere touched. Call until nothing is left.
    pub fn fold_stale(&self) -> Result<FoldProgress, StoreError> {
        let progress = self.transact(DOING, |writing| {
            let subjects = stale(&writing.tx, FOLDS_PER_TRANSACTION)?;
            for folded in &self.folded(&subjects)? {
                folded.write(&writing.tx)?;
            }
            let left: i64 = writing
                .tx
                .query_row("SELECT COUNT(*) FROM stale", [], |row| row.get(0))
                .map_err(StoreError::database(DOING))?;
            Ok::<_, StoreError>(FoldProgress {
                changed: subjects,
                left: natural(left),
            })
        })?;
        self.announce(&progress.changed);
        Ok(progress)
    }

    /// Folds subjects, many of them on all the machine's processors, each with a snapshot of its own. Only for a write that adds no
    /// entry: it keeps others from adding some, so that every snapshot shows the log as the write sees it.
    fn folded(&self, subjects: &[Subject]) -> Result<Vec<Folded>, StoreError> {
        let fold = |subjects: &[Subject]| {
            self.read(|reading| {
                let each = subjects.iter();
                each.map(|subject| reading.folded(&*self.projector, *subject))
                    .collect::<Result<Vec<Folded>, StoreError>>()
            })
        };
        let threads = std::thread::available_parallelism()
            .map_or(1, NonZero::get)
            .min(READERS_KEPT_MAX);
        if threads == 1 || subjects.len() < FOLDS_WORTH_SHARING {
            return fold(subjects);
        }
        std::thread::scope(|scope| {
            let shares = subjects.chunks(subjects.len().div_ceil(threads));
            let at_work: Vec<_> = shares
                .map(|share| scope.spawn(move || fold(share)))
                .collect();
            let mut all = Vec::with_capacity(subjects.len());
            for worker in at_work {
                let folded = worker
                    .join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic));
                all.extend(folded?);
            }
            Ok(all)
        })
    }

    /// Throws every projection away and folds the whole log again.
    pub fn refold(&self) -> Result<(), StoreError> {
        self.transact(DOING, |writing| {
            writing
                .tx
                .execute_batch(schema::PROJECTIONS)
                .map_err(StoreError::database(DOING))?;
            writing
                .tx
                .execute_batch(
                    "INSERT INTO stale (subject_tag, subject_id)
                     SELECT DISTINCT subject_tag, subject_id FROM entries
                     WHERE subject_tag IN ('lab', 'person', 'shop', 'parcel', 'job', 'cell')",
                )
                .map_err(StoreError::database(DOING))?;
            writing
                .tx
                .execute(
                    "UPDATE installation SET fold_version = ?1 WHERE one = 1",
                    [writing.projector.fold_version()],
                )
                .map_err(StoreError::database(DOING))
        })?;
        while self.fold_stale()?.left > 0 {}
        Ok(())
    }

    /// Folds anew after an upgrade, and goes on with what an earlier run left unfolded.
    pub(super) fn settle_fold_version(&self) -> Result<(), StoreError> {
        let folded: u32 = self.read(|reading| {
            reading
                .connection
                .query_row(
                    "SELECT fold_version FROM installation WHERE one = 1",
                    [],
                    |row| row.get(0),
                )
                .map_err(StoreError::database(DOING))
        })?;
        if folded != self.projector.fold_version() {
            return self.refold();
        }
        while self.fold_stale()?.left > 0 {}
        Ok(())
    }
}

/// A subject's row, ready to be written.
struct Folded {
    subject: Subject,
    projection: Projection,
    unknown_count: u64,
    last_ms: u64,
}

impl Folded {
    fn write(&self, connection: &Connection) -> Result<(), StoreError> {
        write_row(connection, self).map_err(StoreError::database(DOING))
    }
}

impl Reading<'_> {
    fn folded(&self, projector: &dyn Projector, subject: Subject) -> Result<Folded, StoreError> {
        let entries = self.entries_of(subject)?;
        let unknown = entries
            .iter()
            .filter(|entry| matches!(entry.decoded, Decoded::Unknown { .. }));
        Ok(Folded {
            subject,
            projection: projector.project(subject, &entries),
            unknown_count: unknown.count() as u64,
            last_ms: entries.last().map_or(0, |entry| entry.stamp.hlc_ms),
        })
    }

    /// Returns the rows a filter lets through.
    pub fn projections(&self, filter: &Filter) -> Result<Vec<Summary>, StoreError> {
        let (conditions, mut values) = conditions(filter);
        let order = match filter.order {
            Order::Due => "due_ms IS NULL, due_ms, last_ms DESC, subject_id",
            Order::Latest => "last_ms DESC, subject_id",
        };
        let sql = format!(
            "SELECT {SUMMARY_COLUMNS} FROM projections WHERE {conditions} ORDER BY {order} LIMIT ? OFFSET ?"
        );
        values.push(Value::Integer(
            i64::try_from(filter.limit).unwrap_or(i64::MAX),
        ));
        values.push(Value::Integer(
            i64::try_from(filter.offset).unwrap_or(i64::MAX),
        ));
        self.connection
            .prepare_cached(&sql)
            .and_then(|mut statement| {
                let rows = statement.query_map(params_from_iter(values), summary)?;
                rows.filter_map(Result::transpose).collect()
            })
            .map_err(StoreError::database("listing"))
    }

    /// Returns one subject's row.
    pub fn projection(&self, subject: Subject) -> Result<Option<Summary>, StoreError> {
        self.connection
            .prepare_cached(&format!(
                "SELECT {SUMMARY_COLUMNS} FROM projections WHERE subject_tag = ?1 AND subject_id = ?2"
            ))
            .and_then(|mut statement| {
                statement.query_row(params![subject.tag(), subject.id_bytes()], summary).optional()
            })
            .map(Option::flatten)
            .map_err(StoreError::database("opening it"))
    }

    /// Returns what a scanned text stands for, with the kind of code it is.
    pub fn lookup_code(&self, text: &str) -> Result<Vec<(String, Subject)>, StoreError> {
        self.connection
            .prepare_cached(
                "SELECT kind, subject_tag, subject_id FROM codes WHERE code = ?1 ORDER BY kind, subject_tag, subject_id",
            )
            .and_then(|mut statement| {
                let rows = statement.query_map([text], |row| {
                    let kind: String = row.get(0)?;
                    let subject = Subject::from_parts(row.get_ref(1)?.as_str()?, bytes(row, 2)?);
                    Ok(subject.map(|subject| (kind, subject)))
                })?;
                rows.filter_map(Result::transpose).collect()
            })
            .map_err(StoreError::database("looking a code up"))
    }
}

impl Writing<'_> {
    /// Folds one subject and writes its row.
    pub(super) fn fold(&self, subject: Subject) -> Result<(), StoreError> {
        let folded = self.reading().folded(self.projector, subject)?;
        folded.write(&self.tx)
    }

    /// Marks a subject to be folded later.
    pub(super) fn mark_stale(&self, tag: &str, id: &[u8; 16]) -> Result<(), StoreError> {
        if Subject::from_parts(tag, *id).is_none() {
            return Ok(());
        }
        self.tx
            .prepare_cached(
                "INSERT INTO stale (subject_tag, subject_id)
                 SELECT ?1, ?2 WHERE NOT EXISTS (SELECT 1 FROM stale WHERE subject_tag = ?1 AND subject_id = ?2)",
            )
            .and_then(|mut statement| statement.execute(params![tag, id]))
            .map(drop)
            .map_err(StoreError::database(DOING))
    }
}

const SUMMARY_COLUMNS: &str = "subject_tag, subject_id, summary_json, stage, shop_id, due_ms, is_open, last_ms, unknown_count";

fn summary(row: &Row<'_>) -> Result<Option<Summary>, rusqlite::Error> {
    let Some(subject) = Subject::from_parts(row.get_ref(0)?.as_str()?, bytes(row, 1)?) else {
        return Ok(None);
    };
    Ok(Some(Summary {
        subject,
        summary_json: row.get(2)?,
        stage: row.get(3)?,
        shop_id: row.get::<_, Option<[u8; 16]>>(4)?.map(ShopId::from_bytes),
        due_ms: row.get(5)?,
        is_open: row.get(6)?,
        last_ms: natural(row.get(7)?),
        unknown_count: natural(row.get(8)?),
    }))
}

/// The WHERE part of a filter with its values, placeholders in order.
fn conditions(filter: &Filter) -> (String, Vec<Value>) {
    let mut sql = "subject_tag = ?".to_owned();
    let mut values = vec![Value::Text(filter.tag.to_owned())];
    if let Some(is_open) = filter.is_open {
        sql.push_str(" AND is_open = ?");
        values.push(Value::Integer(i64::from(is_open)));
    }
    if !filter.stages.is_empty() {
        let marks = vec!["?"; filter.stages.len()].join(", ");
        sql.push_str(" AND stage IN (");
        sql.push_str(&marks);
        sql.push(')');
        values.extend(filter.stages.iter().cloned().map(Value::Text));
    }
    if let Some(shop_id) = filter.shop_id {
        sql.push_str(" AND shop_id = ?");
        values.push(Value::Blob(shop_id.as_bytes().to_vec()));
    }
    for word in &filter.words {
        sql.push_str(" AND (instr(search_text, ?) > 0");
        values.push(Value::Text(word.text.to_lowercase()));
        if !word.or_of_shops.is_empty() {
            let marks = vec!["?"; word.or_of_shops.len()].join(", ");
            sql.push_str(" OR shop_id IN (");
            sql.push_str(&marks);
            sql.push(')');
            let shops = word.or_of_shops.iter();
            values.extend(shops.map(|shop| Value::Blob(shop.as_bytes().to_vec())));
        }
        sql.push(')');
    }
    (sql, values)
}

fn stale(connection: &Connection, count_max: usize) -> Result<Vec<Subject>, StoreError> {
    connection
        .prepare_cached(
            "SELECT subject_tag, subject_id FROM stale ORDER BY subject_tag, subject_id LIMIT ?1",
        )
        .and_then(|mut statement| {
            let rows =
                statement.query_map([i64::try_from(count_max).unwrap_or(i64::MAX)], |row| {
                    Ok(Subject::from_parts(
                        row.get_ref(0)?.as_str()?,
                        bytes(row, 1)?,
                    ))
                })?;
            rows.filter_map(Result::transpose).collect()
        })
        .map_err(StoreError::database(DOING))
}

fn write_row(connection: &Connection, folded: &Folded) -> Result<(), rusqlite::Error> {
    let Folded {
        subject,
        projection,
        unknown_count,
        last_ms,
    } = folded;
    let key = params![subject.tag(), subject.id_bytes()];
    connection
        .prepare_cached(
            "INSERT INTO projections (subject_tag, subject_id, summary_json, stage, shop_id, due_ms, is_open, last_ms,
                 unknown_count, search_text)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)
             ON CONFLICT (subject_tag, subject_id) DO UPDATE SET summary_json = ?3, stage = ?4, shop_id = ?5, due_ms = ?6,
                 is_open = ?7, last_ms = ?8, unknown_count = ?9, search_text = ?10",
        )?
        .execute(params![
            subject.tag(),
            subject.id_bytes(),
            projection.summary_json,
            projection.stage,
            projection.shop_id.map(|shop| *shop.as_bytes()),
            projection.due_ms,
            projection.is_open,
            integer(*last_ms),
            integer(*unknown_count),
            projection.search_text,
        ])?;
    connection
        .prepare_cached("DELETE FROM codes WHERE subject_tag = ?1 AND subject_id = ?2")?
        .execute(key)?;
    let mut codes: Vec<&Code> = projection.codes.iter().collect();
    codes.sort_unstable();
    codes.dedup();
    for code in codes {
        connection
            .prepare_cached(
                "INSERT INTO codes (code, kind, subject_tag, subject_id) VALUES (?1, ?2, ?3, ?4)",
            )?
            .execute(params![
                code.text,
                code.kind,
                subject.tag(),
                subject.id_bytes()
            ])?;
    }
    connection
        .prepare_cached("DELETE FROM stale WHERE subject_tag = ?1 AND subject_id = ?2")?
        .execute(params![subject.tag(), subject.id_bytes()])?;
    Ok(())
}
