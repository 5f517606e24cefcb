//! The scan line: a scanned or typed text goes to the one thing it means.
//!
//! It never guesses silently. Several things it may mean are all named; nothing it means is said, with an offer to take it in.

use domain::identifiers;
use domain::scan::{Expecting, Meaning, understand};
use domain::{CellId, JobId, ParcelId, ShopId};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{CellRow, JobRow, ParcelRow};
use crate::desk::{Desk, latest_first};
use crate::error::DeskError;
use crate::store::Filter;

/// What was scanned or typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ScanText {
    /// Verbatim.
    pub text: String,
}

/// One thing a text may mean.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum ScanTarget {
    /// A job.
    Job {
        /// Which.
        job_id: JobId,
    },
    /// A parcel.
    Parcel {
        /// Which.
        parcel_id: ParcelId,
    },
    /// A cell that was taken out of its device.
    Cell {
        /// Which.
        cell_id: CellId,
    },
    /// A shop.
    Shop {
        /// Which.
        shop_id: ShopId,
    },
}

/// A thing with words for the list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ScanMatch {
    /// The thing.
    pub target: ScanTarget,
    /// What it is, in a line.
    pub words: String,
}

/// What a scan came to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ScanAnswer {
    /// The text that was understood, without symbology prefix.
    pub text: String,
    /// All it means here; go there at once when it is one.
    pub matches: Vec<ScanMatch>,
    /// What happened, in a sentence.
    pub sentence: String,
    /// A warning, such as a wrong check digit with the likely right reading; empty when none.
    pub warning: String,
    /// True when the text looks like a parcel's number that nobody announced: offer to take it in.
    pub offer_take_in: bool,
}

/// An identifier as read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct IdentifierReadings {
    /// What it may be, best first.
    pub readings: Vec<identifiers::Reading>,
    /// A warning to show beside the field; empty when the check digit is right or there is none.
    pub warning: String,
}

/// Finds what a scanned or typed text means.
pub fn scan(desk: &Desk, request: ScanText) -> Result<ScanAnswer, DeskError> {
    let scan = understand(&request.text, Expecting::Anything);
    if scan.text.is_empty() {
        return Err(DeskError::field(
            "text",
            "nothing was scanned; scan a label or type a word",
        ));
    }
    let mut matches: Vec<ScanMatch> = Vec::new();
    let mut warning = String::new();
    let mut looks_like_parcel = false;
    for meaning in &scan.meanings {
        match meaning {
            Meaning::Job { reference } => look_up(desk, &reference.compact(), &mut matches)?,
            Meaning::Cell { reference } => look_up(desk, &reference.compact(), &mut matches)?,
            Meaning::Parcel { reference } => look_up(desk, &reference.compact(), &mut matches)?,
            Meaning::Report { token, .. } | Meaning::Slip { token, .. } => {
                look_up(desk, token, &mut matches)?;
            }
            Meaning::Tracking { reading } => {
                looks_like_parcel = true;
                look_up(desk, &reading.number, &mut matches)?;
                warn(&mut warning, reading.check.warning("tracking number"));
            }
            Meaning::Identifier { reading } => {
                look_up(desk, &reading.match_key(), &mut matches)?;
                if reading.kind != identifiers::IdentifierKind::Serial {
                    warn(&mut warning, reading.check.warning(reading.kind.name()));
                }
            }
            Meaning::BrokenReference { message, .. } => warn(&mut warning, Some(message.clone())),
            // Words come last. A code that led somewhere is what was meant, and reading every row would make it wait.
            Meaning::Words { text } if matches.is_empty() => {
                search_words(desk, text, &mut matches)?;
            }
            Meaning::Gs1 { .. } | Meaning::Words { .. } => {}
        }
    }
    if matches.is_empty() {
        look_up(desk, &scan.text, &mut matches)?;
    } else {
        // A text that led somewhere needs no warning about what else it might have been.
        warning.clear();
    }
    let sentence = match matches.as_slice() {
        [] => format!("Nothing in this lab’s logbook answers to “{}”.", scan.text),
        [one] => one.words.clone(),
        several => format!("“{}” fits {} things; choose one.", scan.text, several.len()),
    };
    Ok(ScanAnswer {
        offer_take_in: matches.is_empty() && looks_like_parcel,
        text: scan.text,
        matches,
        sentence,
        warning,
    })
}

/// Reads an identifier and judges its check digit.
pub fn read_identifier(_: &Desk, request: ScanText) -> Result<IdentifierReadings, DeskError> {
    let readings = identifiers::readings(&request.text);
    let warning = readings
        .first()
        .and_then(|reading| reading.check.warning(reading.kind.name()))
        .unwrap_or_default();
    Ok(IdentifierReadings { readings, warning })
}

fn warn(warning: &mut String, more: Option<String>) {
    if let Some(more) = more.filter(|_| warning.is_empty()) {
        *warning = more;
    }
}

fn look_up(desk: &Desk, code: &str, matches: &mut Vec<ScanMatch>) -> Result<(), DeskError> {
    for subject in desk.look_up_code(code)? {
        if let Some(found) = found(desk, subject)?
            && !matches.iter().any(|known| known.target == found.target)
        {
            matches.push(found);
        }
    }
    Ok(())
}

fn found(desk: &Desk, subject: domain::Subject) -> Result<Option<ScanMatch>, DeskError> {
    Ok(match subject {
        domain::Subject::Job(job_id) => desk.job_row(job_id)?.map(|row| ScanMatch {
            target: ScanTarget::Job { job_id },
            words: job_words(&row),
        }),
        domain::Subject::Parcel(parcel_id) => desk.parcel_row(parcel_id)?.map(|row| ScanMatch {
            target: ScanTarget::Parcel { parcel_id },
            words: parcel_words(&row),
        }),
        domain::Subject::Cell(cell_id) => desk.cell_row(cell_id)?.map(|row| ScanMatch {
            target: ScanTarget::Cell { cell_id },
            words: cell_words(&row),
        }),
        domain::Subject::Shop(shop_id) => desk.shop_brief(shop_id)?.map(|shop| ScanMatch {
            target: ScanTarget::Shop { shop_id },
            words: format!("Shop {}", shop.name),
        }),
        domain::Subject::Person(_) | domain::Subject::Lab(_) => None,
    })
}

/// Most things shown for a word that fits many.
const MATCHES_MAX: usize = 12;

fn search_words(desk: &Desk, text: &str, matches: &mut Vec<ScanMatch>) -> Result<(), DeskError> {
    let wanted = text.to_lowercase();
    let words: Vec<&str> = wanted.split_whitespace().collect();
    let fits = |hay: &str| {
        let hay = hay.to_lowercase();
        words.iter().all(|word| hay.contains(word))
    };
    let shops = desk.shops()?;
    let matches_before = matches.len();
    for shop in &shops {
        if fits(&shop.name) {
            matches.push(ScanMatch {
                target: ScanTarget::Shop {
                    shop_id: shop.shop_id,
                },
                words: format!("Shop {}", shop.name),
            });
        }
    }
    // A shop that answers to all the words is meant itself, not each of its jobs.
    let shops = if matches.len() > matches_before {
        &[][..]
    } else {
        &shops
    };
    let wanted = Filter {
        words: super::rack::search_words(shops, &wanted),
        limit: MATCHES_MAX,
        ..latest_first("job")
    };
    for row in desk.job_rows(&wanted)? {
        if matches.len() < MATCHES_MAX
            && !matches
                .iter()
                .any(|known| known.target == ScanTarget::Job { job_id: row.job_id })
        {
            matches.push(ScanMatch {
                target: ScanTarget::Job { job_id: row.job_id },
                words: job_words(&row),
            });
        }
    }
    Ok(())
}

fn job_words(row: &JobRow) -> String {
    format!(
        "Job {}, {}, {}: {}",
        row.reference,
        row.device,
        row.shop_name,
        row.stage.word()
    )
}

fn cell_words(row: &CellRow) -> String {
    let stands = match (row.has_left, row.level) {
        (true, _) => "has left",
        (false, Some(level)) => level.word(),
        (false, None) => "not looked at",
    };
    format!(
        "Cell {}, taken out of {}: {stands}",
        row.reference, row.device
    )
}

fn parcel_words(row: &ParcelRow) -> String {
    let from = if row.shop_name.is_empty() {
        "an unknown shop"
    } else {
        &row.shop_name
    };
    let way = match row.direction {
        domain::parcel::Direction::Inward => "from",
        domain::parcel::Direction::Outward => "for",
    };
    format!(
        "Parcel {} {way} {from}: {}",
        row.reference,
        row.stage.word()
    )
}
