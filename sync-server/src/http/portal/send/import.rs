//! Devices from a CSV file (RFC 4180): one a row, columns by name in any order.
//!
//! A good row becomes a device on the list; a broken one is named by its line with the reason, and the good ones stay. A row
//! without answers about the battery is put on the list with those questions open: it can't be announced until they are
//! answered.

use std::collections::{BTreeMap, BTreeSet};

use domain::fact::CellAnswer;

use super::device_form::{DeviceForm, QUESTIONS};

/// What a file came to.
#[derive(Debug, Default)]
pub(super) struct Imported {
    /// Devices for the list.
    pub(super) devices: Vec<DeviceForm>,
    /// Devices whose cell forbids the post.
    pub(super) stopped: Vec<(DeviceForm, BTreeSet<CellAnswer>)>,
    /// What to tell the user, line by line.
    pub(super) lines: Vec<String>,
}

/// Columns that a file must have.
const NEEDED: [&str; 4] = ["kind", "maker", "model", "fault"];

/// Columns that are texts, apart from those.
const TEXTS: [&str; 12] = [
    "colour",
    "identifier",
    "shop_reference",
    "tried",
    "liquid_what",
    "liquid_when",
    "accessories",
    "lab_answer",
    "wh",
    "volts",
    "mah",
    "cells",
];

/// Most lines of report, so that a file of another kind doesn't fill the page.
const LINES_MAX: usize = 60;

/// Reads a file. At most `room` devices are taken.
pub(super) fn read(bytes: &[u8], room: usize) -> Imported {
    let mut imported = Imported::default();
    if bytes.is_empty() {
        imported
            .lines
            .push("No file was chosen, so nothing was added.".to_owned());
        return imported;
    }
    let Ok(text) = std::str::from_utf8(bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes)) else {
        imported.lines.push(
            "The file is not text in UTF-8. Save it as “CSV UTF-8” and choose it again.".to_owned(),
        );
        return imported;
    };
    // The reader counts a line at its line feed and takes the row as begun before it, one line too early after CR LF.
    let text = text.replace("\r\n", "\n");
    // Spreadsheets of many countries write semicolons, because their decimal sign is the comma.
    let first = text.lines().next().unwrap_or_default();
    let delimiter = if first.matches(';').count() > first.matches(',').count() {
        b';'
    } else {
        b','
    };
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let columns = match reader.headers() {
        Ok(headers) => columns_of(headers),
        Err(error) => {
            imported
                .lines
                .push(format!("The first line can't be read: {error}."));
            return imported;
        }
    };
    if let Some(missing) = NEEDED.iter().find(|name| !columns.contains_key(**name)) {
        imported.lines.push(format!(
            "The first line must name the columns, and “{missing}” is not among them. Needed are {}.",
            NEEDED.join(", ")
        ));
        return imported;
    }
    for row in reader.records() {
        read_row(&mut imported, row, &columns, room);
    }
    imported.lines.truncate(LINES_MAX);
    imported.lines.insert(
        0,
        format!(
            "{} added from the file.",
            super::super::words::devices(imported.devices.len())
        ),
    );
    imported
}

fn read_row(
    imported: &mut Imported,
    row: csv::Result<csv::StringRecord>,
    columns: &BTreeMap<String, usize>,
    room: usize,
) {
    let row = match row {
        Ok(row) => row,
        Err(error) => {
            let line = error.position().map_or(0, csv::Position::line);
            let reason = match error.kind() {
                csv::ErrorKind::UnequalLengths {
                    expected_len, len, ..
                } => {
                    format!("it has {len} columns and the first line has {expected_len}")
                }
                _ => "it can't be read".to_owned(),
            };
            imported
                .lines
                .push(format!("Line {line}: {reason}. Not added."));
            return;
        }
    };
    let line = row.position().map_or(0, csv::Position::line);
    if row.iter().all(str::is_empty) {
        return;
    }
    let form = DeviceForm::read_with(|name| {
        tidy(
            name,
            columns
                .get(name)
                .and_then(|at| row.get(*at))
                .unwrap_or_default(),
        )
    });
    let stopping = form.stopping_answers();
    if !stopping.is_empty() {
        imported.lines.push(format!(
            "Line {line}: {} must not be posted because of its battery. Call the lab. Not added.",
            form.name()
        ));
        imported.stopped.push((form, stopping));
        return;
    }
    // Open questions can be answered on the page; a wrong text can't be guessed.
    let broken = form
        .check()
        .err()
        .into_iter()
        .flatten()
        .find(|error| is_broken(&form, error.field));
    if let Some(error) = broken {
        imported
            .lines
            .push(format!("Line {line}: {} Not added.", error.message));
    } else if imported.devices.len() >= room {
        imported
            .lines
            .push(format!("Line {line}: the parcel is full. Not added."));
    } else {
        imported.devices.push(form);
    }
}

fn is_broken(form: &DeviceForm, field: &str) -> bool {
    let is_left_open = match field {
        "data_needed" => form.data_needed.is_empty(),
        "liquid" => form.liquid.is_empty(),
        "cell_seen" => form.cell_seen.is_empty(),
        "lab_answer" => form.lab_answer.is_empty(),
        field if QUESTIONS.iter().any(|question| question.field == field) => {
            form.answer(field).is_empty()
        }
        _ => false,
    };
    !is_left_open
}

/// Column names without case, spaces and underscores as people write them.
fn columns_of(headers: &csv::StringRecord) -> BTreeMap<String, usize> {
    let name = |text: &str| text.trim().to_lowercase().replace([' ', '-'], "_");
    let known = |name: &str| match name {
        "reference" | "number" => "shop_reference".to_owned(),
        "imei" | "serial" | "imei_or_serial" => "identifier".to_owned(),
        "color" => "colour".to_owned(),
        "data" | "keep_data" => "data_needed".to_owned(),
        "battery_seen" => "cell_seen".to_owned(),
        name => name.to_owned(),
    };
    headers
        .iter()
        .enumerate()
        .map(|(at, text)| (known(&name(text)), at))
        .collect()
}

/// Yes and no in their common spellings; texts and unknown words stay as they are.
fn tidy(name: &str, value: &str) -> String {
    let value: String = value
        .chars()
        .filter(|c| !c.is_control() || *c == '\n')
        .collect();
    if name == "kind" {
        return value.to_lowercase();
    }
    if NEEDED.contains(&name) || TEXTS.contains(&name) {
        return value;
    }
    match value.to_lowercase().as_str() {
        "yes" | "y" | "true" | "1" | "x" => "yes".to_owned(),
        "no" | "n" | "false" | "0" => "no".to_owned(),
        _ => value,
    }
}
