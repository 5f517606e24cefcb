//! The documentation page of the transport verdict, written from the table of fields, the engine's own words and the rule book.
//!
//! Its example is asked of the engine whenever the page is built, so that it can't grow old.

use std::sync::Arc;

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use domain::cells::book::{BookRow, RowKind, RuleBody, RuleBook};
use domain::cells::transport::{UnNumber, judge_parcel};
use jiff::civil::Date;

use super::super::App;
use super::super::portal::{Frame, PageError, certainty, html, today};
use super::fields::{CONTENT, Choice, Field, PARCEL, Shape};
use super::openapi::{FLAGS, VERDICTS};
use super::problem::VerdictProblem;
use super::{BODY_BYTES_MAX, read};

/// The members of the answer, in their order.
pub(super) const ANSWER: [(&str, &str); 18] = [
    (
        "verdict",
        "The worst that any rule calls for. From best to worst:",
    ),
    ("words", "The verdict in words."),
    ("un", "UN numbers of what is inside, as in the codes below."),
    (
        "proper_shipping_name",
        "The proper shipping name of each, in the same order.",
    ),
    (
        "packing_instruction",
        "The packing instructions that apply.",
    ),
    (
        "marks",
        "What must be printed: each with its code, its words, the lines to print exactly, the least size in millimetres, and where it goes. Empty when the parcel must not go.",
    ),
    ("papers", "Papers and records: name, text and clause."),
    ("flags", "What else there is to know, a code each."),
    (
        "rules",
        "Every rule that fired, the worst first: id, the verdict it calls for, text, clause, edition, certainty (primary, secondary, from_memory, own_derivation), source and the day of the last check.",
    ),
    (
        "limits",
        "Every value that was compared: what, value, limit, whether it is within, clause and certainty. A value that isn't known is not within.",
    ),
    (
        "alternatives",
        "Better lawful ways, the best first: the change, the verdict then, its words, and the codes of the marks needed then.",
    ),
    (
        "unknowns",
        "What is not known, or rests on less than the rule's own text.",
    ),
    (
        "cautions",
        "What stands on every verdict. Show it to the person who decides.",
    ),
    (
        "packing",
        "How it is packed, step by step. Empty when the parcel must not go.",
    ),
    ("regime", "The regime asked about."),
    ("mode", "The mode asked about."),
    ("ship_date", "The ship date that picked the rules."),
    ("book", "The state of the rule book."),
];

/// The codes that a member of the answer takes.
pub(super) fn answer_choices(name: &str) -> Vec<Choice> {
    let choice = |code: String, words: &str| Choice {
        code,
        words: words.to_owned(),
    };
    match name {
        "verdict" => VERDICTS
            .iter()
            .map(|verdict| choice(code_of(verdict), verdict.words()))
            .collect(),
        "flags" => FLAGS
            .iter()
            .map(|flag| choice(code_of(flag), flag.words()))
            .collect(),
        "un" => UN_NUMBERS
            .iter()
            .map(|(un, words)| choice(un.code().to_owned(), words))
            .collect(),
        "marks" => MARKS
            .iter()
            .map(|(code, words)| choice((*code).to_owned(), words))
            .collect(),
        _ => Vec::new(),
    }
}

const UN_NUMBERS: [(UnNumber, &str); 6] = [
    (UnNumber::Un3090, "lithium metal batteries"),
    (
        UnNumber::Un3091,
        "lithium metal batteries in or with equipment",
    ),
    (UnNumber::Un3480, "lithium ion batteries"),
    (
        UnNumber::Un3481,
        "lithium ion batteries in or with equipment",
    ),
    (UnNumber::Un3551, "sodium ion batteries"),
    (
        UnNumber::Un3552,
        "sodium ion batteries in or with equipment",
    ),
];

const MARKS: [(&str, &str); 10] = [
    (
        "LBM(UN3481)",
        "the battery mark, with the UN number that is named",
    ),
    ("T-PAX", "words: forbidden aboard passenger aircraft"),
    ("T-GND", "words: forbidden aboard aircraft and vessel"),
    ("T-DDR", "words: damaged or defective battery"),
    (
        "T-USPS",
        "words for the United States Postal Service: restricted device, surface only",
    ),
    ("L9", "the class 9 lithium battery label"),
    ("L9A", "the same label under ADR"),
    ("CAO", "the label for cargo aircraft only"),
    ("AWB-II", "a sentence for the air waybill"),
    (
        "OVERPACK",
        "the word OVERPACK, where marks can't be seen from outside",
    ),
];

/// A value as it is written in JSON.
fn code_of(value: &impl serde::Serialize) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(code)) => code,
        _ => String::new(),
    }
}

/// What the example is about.
const EXAMPLE_WORDS: &str = "Three used laptops, each with a battery of three cells marked 57.7 Wh, in one box by road in Europe. Somebody has looked \
     at the batteries and found them sound.";

/// The example's question, for this ship date.
fn question(today: Date) -> String {
    format!(
        r#"{{
  "regime": "ADR",
  "mode": "GROUND",
  "ship_date": "{today}",
  "purpose": "RETURN",
  "packages_per_consignment": 1,
  "gross_g_per_package": 7400,
  "chem": "LI_ION",
  "cells_per_unit": 3,
  "wh_label": 57.7,
  "config": "CONTAINED",
  "units_in_devices": 1,
  "spare_sets": 0,
  "devices_per_package": 3,
  "battery_net_g_per_package": 840,
  "findings": ["F00"],
  "inspected": "by a technician, {today}, 11.4 V, 21 °C",
  "soc_indicated_pct": 25,
  "device_status": "USED",
  "battery_original": true,
  "powered_off": true
}}"#
    )
}

/// The example's question, and the answer as the engine gives it now.
fn worked(book: &RuleBook, today: Date) -> (String, String) {
    let question = question(today);
    let answer = read::parcel(question.as_bytes()).map_or_else(
        |problem| problem.to_string(),
        |parcel| serde_json::to_string_pretty(&judge_parcel(book, &parcel)).unwrap_or_default(),
    );
    (question, answer)
}

/// The same as JSON values, for the OpenAPI document.
pub(super) fn example(book: &RuleBook, now_ms: i64) -> (serde_json::Value, serde_json::Value) {
    let (question, answer) = worked(book, today(now_ms));
    let read = |text: &str| serde_json::from_str(text).unwrap_or_default();
    (read(&question), read(&answer))
}

struct FieldRow {
    name: String,
    shape: String,
    is_needed: bool,
    words: String,
    choices: Vec<Choice>,
}

impl FieldRow {
    fn of(field: &Field, path: &str) -> Vec<Self> {
        let mut rows = vec![Self {
            name: format!("{path}{}", field.name),
            shape: field.shape.kind().to_owned(),
            is_needed: field.is_needed,
            words: field.words.to_owned(),
            choices: match &field.shape {
                Shape::One(choices) | Shape::Several(choices) => choices.clone(),
                _ => Vec::new(),
            },
        }];
        if let Shape::Object(inner) = &field.shape {
            let path = format!("{path}{}.", field.name);
            rows.extend(inner.iter().flat_map(|field| Self::of(field, &path)));
        }
        rows
    }

    fn answer((name, words): &(&str, &str)) -> Self {
        Self {
            name: (*name).to_owned(),
            shape: String::new(),
            is_needed: false,
            words: (*words).to_owned(),
            choices: answer_choices(name),
        }
    }
}

struct BookView {
    id: String,
    value: String,
    text: String,
    source: String,
}

impl BookView {
    fn of(row: &BookRow) -> Self {
        Self {
            id: row.id.clone(),
            value: row.value_text(),
            text: row.text.clone(),
            source: format!(
                "{}; {}; last checked {}.",
                row.clause,
                certainty(row.certainty),
                row.last_checked,
            ),
        }
    }
}

/// All rows of one regime that were taken from one edition.
struct EditionView {
    title: String,
    edition: String,
    dates: String,
    rows: Vec<BookView>,
}

/// The rows in force, by regime and edition, in the order of the book.
fn editions<'a>(rows: impl Iterator<Item = &'a BookRow>) -> Vec<EditionView> {
    let mut editions: Vec<EditionView> = Vec::new();
    for row in rows {
        let until = row
            .effective_to
            .map_or_else(String::new, |last| format!(" to {last}"));
        let view = EditionView {
            title: row.regime.words().to_owned(),
            edition: row.edition.clone(),
            dates: format!("for ship dates from {}{until}", row.effective_from),
            rows: Vec::new(),
        };
        let is_same = |known: &&mut EditionView| {
            known.title == view.title && known.edition == view.edition && known.dates == view.dates
        };
        match editions.iter_mut().find(is_same) {
            Some(known) => known.rows.push(BookView::of(row)),
            None => editions.push(EditionView {
                rows: vec![BookView::of(row)],
                ..view
            }),
        }
    }
    editions.sort_by(|one, other| one.title.cmp(&other.title));
    editions
}

#[derive(Template)]
#[template(path = "api.html")]
struct ApiPage {
    frame: Frame,
    base: String,
    is_public: bool,
    body_kib: usize,
    cautions: Vec<String>,
    example_words: &'static str,
    example_question: String,
    example_answer: String,
    parcel_fields: Vec<FieldRow>,
    content_fields: Vec<FieldRow>,
    answers: Vec<FieldRow>,
    problems: Vec<(StatusCode, &'static str, &'static str, String)>,
    today: String,
    editions: Vec<EditionView>,
}

/// `GET /api/v1/` and `GET /api/v1/transport-verdict`: for anybody, since nothing here is anyone's secret.
pub(in crate::http) async fn page(State(app): State<Arc<App>>) -> Result<Response, PageError> {
    let (lab, book) = app
        .run(|core| Ok::<_, PageError>((core.store().lab_name()?, core.rule_book()?)))
        .await??;
    let today = today(app.core.now_ms());
    let (example_question, example_answer) = worked(&book, today);
    let in_force = || {
        book.rows()
            .iter()
            .filter(|row| row.is_in_force(today) && row.regime != RuleBody::Bench)
    };
    html(&ApiPage {
        frame: Frame::public("Transport verdict for programs", lab),
        base: app.public_url.as_str().to_owned(),
        is_public: app.public_verdicts,
        body_kib: BODY_BYTES_MAX / 1024,
        cautions: in_force()
            .filter(|row| row.kind == RowKind::Caution)
            .map(|row| row.text.clone())
            .collect(),
        example_words: EXAMPLE_WORDS,
        example_question,
        example_answer,
        parcel_fields: PARCEL
            .iter()
            .flat_map(|field| FieldRow::of(field, ""))
            .collect(),
        content_fields: CONTENT
            .iter()
            .flat_map(|field| FieldRow::of(field, ""))
            .collect(),
        answers: ANSWER.iter().map(FieldRow::answer).collect(),
        problems: VerdictProblem::documented(),
        today: today.to_string(),
        editions: editions(in_force().filter(|row| row.kind != RowKind::Caution)),
    })
}
