//! From the text of a bench supply to samples.
//!
//! Tables come with a comma, semicolon, tab or spaces between columns, with a decimal point or comma, with lines of other things
//! before the head, and with units in the head. The head decides what a column is; a table without one is read as time in
//! seconds, current in amperes, voltage in volts, and says so.

use super::Sample;

/// Most rows that are kept in mind at once: a trace of an hour at 50 rows a second, with room.
pub(super) const ROWS_MAX: usize = 250_000;
/// Most broken rows that are listed one by one; more are counted.
const BROKEN_LISTED_MAX: usize = 50;

/// A row that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BrokenRow {
    /// Its line in the file, from 1.
    pub line: u32,
    /// What was wrong with it, in a sentence.
    pub why: String,
}

/// A trace as read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trace {
    /// The rows that could be read, in the order of time.
    pub samples: Vec<Sample>,
    /// The first rows that could not be read.
    pub broken: Vec<BrokenRow>,
    /// How many could not be read.
    pub broken_count: u32,
    /// What was taken for granted about the table, in sentences; empty when its head said all.
    pub assumed: Vec<String>,
}

/// Why a file is no trace.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TraceError {
    /// Nothing in it.
    #[error("the file is empty; record the trace again, or choose another file")]
    Empty,
    /// No column of the kind.
    #[error("the head “{head}” has no column of {missing}; name one in it, such as “{example}”")]
    NoColumn {
        /// The head as it stands.
        head: String,
        /// “time” or “current”.
        missing: &'static str,
        /// A head that would do.
        example: &'static str,
    },
    /// A unit that a column can't have.
    #[error(
        "the column “{column}” is in “{unit}”, which is no unit of {quantity}; write {example}"
    )]
    ColumnUnit {
        /// The column's head.
        column: String,
        /// The unit as written.
        unit: String,
        /// “time”, “current” or “voltage”.
        quantity: &'static str,
        /// Units that would do.
        example: &'static str,
    },
    /// Too few rows to see anything.
    #[error("only {rows} rows could be read, and a trace needs two; {hint}")]
    TooFewRows {
        /// How many could be read.
        rows: usize,
        /// What was wrong with the first row that could not.
        hint: String,
    },
    /// Too many rows.
    #[error(
        "the file has more than {ROWS_MAX} rows; export it with fewer rows a second, or in parts"
    )]
    TooManyRows,
}

/// Reads a file's bytes as text: UTF-8, UTF-16 with its mark, or else the old Western European set that many instruments write.
pub fn decode_text(bytes: &[u8]) -> String {
    let wide = |bytes: &[u8], pair: fn([u8; 2]) -> u16| {
        let units = bytes.chunks_exact(2).map(|two| pair([two[0], two[1]]));
        char::decode_utf16(units)
            .map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER))
            .collect()
    };
    match bytes {
        [0xFF, 0xFE, rest @ ..] => wide(rest, u16::from_le_bytes),
        [0xFE, 0xFF, rest @ ..] => wide(rest, u16::from_be_bytes),
        [0xEF, 0xBB, 0xBF, rest @ ..] => String::from_utf8_lossy(rest).into_owned(),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => text.to_owned(),
            // ISO 8859-1 numbers its letters as Unicode does.
            Err(_) => bytes.iter().map(|byte| char::from(*byte)).collect(),
        },
    }
}

/// How the columns are parted and how decimals are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Shape {
    between: Option<char>,
    decimal_comma: bool,
}

impl Shape {
    /// A semicolon or tab parts columns wherever it stands; then a comma is a decimal comma. Without them a comma parts columns.
    fn of(lines: &[&str]) -> Self {
        let count = |letter: char| lines.iter().filter(|line| line.contains(letter)).count();
        let most = |letter: char| count(letter) * 2 > lines.len();
        let between = [';', '\t', ','].into_iter().find(|letter| most(*letter));
        Self {
            between,
            decimal_comma: between != Some(','),
        }
    }

    fn cells<'a>(self, line: &'a str) -> Vec<&'a str> {
        let clean = |cell: &'a str| cell.trim().trim_matches('"').trim();
        match self.between {
            Some(letter) => line.split(letter).map(clean).collect(),
            None => line.split_whitespace().map(clean).collect(),
        }
    }
}

/// A column's place and its size in the smallest unit, as a power of ten.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Column {
    at: usize,
    power: i32,
    clock: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Columns {
    time: Column,
    current: Column,
    voltage: Option<Column>,
}

/// Reads a trace.
pub fn parse_trace(text: &str) -> Result<Trace, TraceError> {
    let lines: Vec<(u32, &str)> = (1u32..)
        .zip(text.lines())
        .filter(|(_, line)| !line.trim().is_empty())
        .collect();
    if lines.is_empty() {
        return Err(TraceError::Empty);
    }
    if lines.len() > ROWS_MAX {
        return Err(TraceError::TooManyRows);
    }
    let body: Vec<&str> = lines.iter().map(|(_, line)| *line).collect();
    let shape = Shape::of(&body);
    let mut assumed = Vec::new();
    let (columns, first_row) = columns(&lines, shape, &mut assumed)?;
    let mut trace = Trace {
        samples: Vec::with_capacity(lines.len()),
        broken: Vec::new(),
        broken_count: 0,
        assumed,
    };
    for (line, row) in &lines[first_row..] {
        match sample(row, shape, &columns) {
            Ok(sample) => match trace.samples.last() {
                Some(last) if sample.at_us < last.at_us => trace.broke(
                    *line,
                    "its time lies before the row above it; rows must follow in time".to_owned(),
                ),
                _ => trace.samples.push(sample),
            },
            Err(why) => trace.broke(*line, why),
        }
    }
    if trace.samples.len() < 2 {
        let hint = trace.broken.first().map_or_else(
            || "export more of it".to_owned(),
            |row| format!("line {}: {}", row.line, row.why),
        );
        return Err(TraceError::TooFewRows {
            rows: trace.samples.len(),
            hint,
        });
    }
    let begin_us = trace.samples[0].at_us;
    for sample in &mut trace.samples {
        sample.at_us -= begin_us;
    }
    Ok(trace)
}

impl Trace {
    fn broke(&mut self, line: u32, why: String) {
        self.broken_count += 1;
        if self.broken.len() < BROKEN_LISTED_MAX {
            self.broken.push(BrokenRow { line, why });
        }
    }
}

/// Finds the head: the last line before the first row of numbers that has letters. Answers the columns and the first row.
fn columns(
    lines: &[(u32, &str)],
    shape: Shape,
    assumed: &mut Vec<String>,
) -> Result<(Columns, usize), TraceError> {
    let is_row = |line: &str| {
        let cells = shape.cells(line);
        cells.len() >= 2
            && cells
                .iter()
                .take(2)
                .all(|cell| number(cell, 0, shape).is_ok() || clock_us(cell).is_some())
    };
    let first_row = lines
        .iter()
        .position(|(_, line)| is_row(line))
        .unwrap_or(lines.len().min(1));
    let head = lines[..first_row]
        .iter()
        .rev()
        .map(|(_, line)| *line)
        .find(|line| shape.cells(line).len() >= 2);
    let Some(head) = head else {
        assumed.push(
            "The table has no head, so it is read as time in seconds, current in amperes, voltage in volts.".to_owned(),
        );
        let width = lines
            .get(first_row)
            .map_or(0, |(_, line)| shape.cells(line).len());
        let column = |at, power| Column {
            at,
            power,
            clock: false,
        };
        let columns = Columns {
            time: column(0, 6),
            current: column(1, 9),
            voltage: (width > 2).then(|| column(2, 6)),
        };
        return Ok((columns, first_row));
    };
    let cells = shape.cells(head);
    let time = TIME.find(&cells, assumed)?;
    let current = CURRENT.find(&cells, assumed)?;
    let voltage = VOLTAGE.find(&cells, assumed)?;
    let missing = |quantity: &Quantity| TraceError::NoColumn {
        head: head.trim().to_owned(),
        missing: quantity.name,
        example: quantity.example,
    };
    Ok((
        Columns {
            time: time.ok_or_else(|| missing(&TIME))?,
            current: current.ok_or_else(|| missing(&CURRENT))?,
            voltage,
        },
        first_row,
    ))
}

/// A quantity that a column can hold: the words its head begins with and its units, as powers of ten of the smallest.
struct Quantity {
    name: &'static str,
    example: &'static str,
    words: &'static [&'static str],
    units: &'static [(&'static str, i32)],
    /// Its unit when the head says none.
    usual: (&'static str, i32),
}

const TIME: Quantity = Quantity {
    name: "time",
    example: "Time (s)",
    words: &[
        "time",
        "t",
        "seconds",
        "second",
        "elapsed",
        "zeit",
        "timestamp",
        "milliseconds",
        "sec",
    ],
    units: &[
        ("s", 6),
        ("sec", 6),
        ("seconds", 6),
        ("ms", 3),
        ("milliseconds", 3),
        ("us", 0),
        ("µs", 0),
        ("hh:mm:ss", i32::MIN),
    ],
    usual: ("s", 6),
};
const CURRENT: Quantity = Quantity {
    name: "current",
    example: "Current (A)",
    words: &[
        "current", "i", "amps", "amp", "ampere", "amperes", "strom", "iout", "curr",
    ],
    units: &[
        ("A", 9),
        ("amps", 9),
        ("ampere", 9),
        ("mA", 6),
        ("uA", 3),
        ("µA", 3),
        ("nA", 0),
    ],
    usual: ("A", 9),
};
const VOLTAGE: Quantity = Quantity {
    name: "voltage",
    example: "Voltage (V)",
    words: &["voltage", "v", "u", "volts", "volt", "spannung", "vout"],
    units: &[
        ("V", 6),
        ("volts", 6),
        ("volt", 6),
        ("mV", 3),
        ("uV", 0),
        ("µV", 0),
    ],
    usual: ("V", 6),
};

impl Quantity {
    /// The column whose head begins with one of the words. Its unit stands in brackets, after a slash, or behind it.
    fn find(
        &self,
        cells: &[&str],
        assumed: &mut Vec<String>,
    ) -> Result<Option<Column>, TraceError> {
        for (at, cell) in cells.iter().enumerate() {
            let (word, unit) = head_parts(cell);
            if !self.words.contains(&word.to_lowercase().as_str()) {
                continue;
            }
            let own_unit = if unit.is_empty() { word } else { unit };
            let known = self.units.iter().find(|(name, _)| {
                *name == own_unit || (name.len() > 2 && name.eq_ignore_ascii_case(own_unit))
            });
            let power = match known {
                Some((_, power)) => *power,
                None if unit.is_empty() => {
                    assumed.push(format!(
                        "The column “{cell}” names no unit; it is read in {}.",
                        self.usual.0
                    ));
                    self.usual.1
                }
                None => {
                    return Err(TraceError::ColumnUnit {
                        column: (*cell).to_owned(),
                        unit: unit.to_owned(),
                        quantity: self.name,
                        example: self.example,
                    });
                }
            };
            return Ok(Some(Column {
                at,
                power: if power == i32::MIN { 6 } else { power },
                clock: power == i32::MIN || self.name == TIME.name,
            }));
        }
        Ok(None)
    }
}

/// “Current (mA)”, “Current [mA]”, “I/mA”, “current_mA”: the word and the unit.
fn head_parts(cell: &str) -> (&str, &str) {
    if let Some((word, unit)) = cell.split_once(['(', '[', '/']) {
        return (word.trim(), unit.trim().trim_end_matches([')', ']']).trim());
    }
    match cell.rsplit_once([' ', '_']) {
        Some((word, unit)) if unit.len() <= 3 => (
            word.split([' ', '_']).next().unwrap_or(word).trim(),
            unit.trim(),
        ),
        Some((word, _)) => (word.split([' ', '_']).next().unwrap_or(word).trim(), ""),
        None => (cell.trim(), ""),
    }
}

fn sample(row: &str, shape: Shape, columns: &Columns) -> Result<Sample, String> {
    let cells = shape.cells(row);
    let cell = |column: &Column, what: &str| {
        cells
            .get(column.at)
            .copied()
            .filter(|cell| !cell.is_empty())
            .ok_or_else(|| {
                format!(
                    "it has {} columns, and its {what} would be in column {}",
                    cells.len(),
                    column.at + 1
                )
            })
    };
    let read = |column: &Column, what: &str| {
        let text = cell(column, what)?;
        if column.clock
            && let Some(at_us) = clock_us(text)
        {
            return Ok(at_us);
        }
        number(text, column.power, shape).map_err(|why| format!("its {what} “{text}” {why}"))
    };
    Ok(Sample {
        at_us: read(&columns.time, "time")?,
        current_na: read(&columns.current, "current")?,
        // A row without its voltage still tells its current.
        voltage_uv: columns
            .voltage
            .as_ref()
            .and_then(|column| read(column, "voltage").ok()),
    })
}

/// `12:03:44.250` in microseconds of the day.
fn clock_us(text: &str) -> Option<i64> {
    // A date before the time of day says nothing about a start-up.
    let text = text.rsplit([' ', 'T']).next()?;
    let mut parts = text.split(':');
    let (hours, minutes, seconds) = (parts.next()?, parts.next()?, parts.next()?);
    if parts.next().is_some() {
        return None;
    }
    let hours: i64 = hours
        .parse()
        .ok()
        .filter(|hours| (0..100).contains(hours))?;
    let minutes: i64 = minutes
        .parse()
        .ok()
        .filter(|minutes| (0..60).contains(minutes))?;
    let seconds_us = decimal(&seconds.replace(',', "."), 6).ok()?;
    (0..60_000_000)
        .contains(&seconds_us)
        .then_some((hours * 3_600 + minutes * 60) * 1_000_000 + seconds_us)
}

fn number(text: &str, power: i32, shape: Shape) -> Result<i64, &'static str> {
    if shape.decimal_comma {
        decimal(&text.replacen(',', ".", 1), power)
    } else {
        decimal(text, power)
    }
}

/// A decimal number, perhaps with an exponent, times a power of ten, rounded to a whole number, halves away from zero.
fn decimal(text: &str, power: i32) -> Result<i64, &'static str> {
    const NONE: &str = "is not a number";
    const LARGE: &str = "is larger than any bench supply gives";
    let (mantissa, exponent) = match text.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, exponent.parse::<i32>().map_err(|_| NONE)?),
        None => (text, 0),
    };
    let (negative, digits) = match mantissa.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest),
        None => (false, mantissa.strip_prefix('+').unwrap_or(mantissa)),
    };
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
    let all_digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if (whole.is_empty() && fraction.is_empty()) || !all_digits(whole) || !all_digits(fraction) {
        return Err(NONE);
    }
    // Digits beyond the eighteenth are far below what the value is rounded to.
    let kept: String = format!("{whole}{fraction}");
    let kept = kept.trim_start_matches('0');
    let cut = kept.len().min(18);
    let value: i128 = if cut == 0 {
        0
    } else {
        kept[..cut].parse().map_err(|_| NONE)?
    };
    let places = i64::try_from(kept.len() - cut).map_err(|_| LARGE)?
        - i64::try_from(fraction.len()).map_err(|_| LARGE)?
        + i64::from(exponent)
        + i64::from(power);
    let size = if places >= 0 {
        let ten = u32::try_from(places)
            .ok()
            .and_then(|places| 10i128.checked_pow(places));
        match ten {
            _ if value == 0 => 0,
            Some(ten) => value.checked_mul(ten).ok_or(LARGE)?,
            None => return Err(LARGE),
        }
    } else {
        u32::try_from(-places)
            .ok()
            .and_then(|places| 10i128.checked_pow(places))
            .map_or(0, |ten| (value + ten / 2) / ten)
    };
    let size = i64::try_from(size).map_err(|_| LARGE)?;
    Ok(if negative { -size } else { size })
}
