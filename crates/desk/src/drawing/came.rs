//! The left page: the parcel, the condition and the cell, as they came.

use domain::cells::{BenchLevel, CellFinding, Chemistry, Rating, WarmedBy, energy_text};
use domain::device::DeviceKind;
use domain::fact::{AccountLock, Blemish, Face, ParcelFinding, ParcelFindingRecord, Signs};
use domain::job::JudgedCell;
use domain::parcel::Parcel;
use papers::model::{self, CellLevel, Finding, Labelled, Mark, OutlineKind, Reason};

use super::report::Told;
use super::words::{capital, counted, joined};

fn plain(text: impl Into<String>) -> Finding {
    Finding {
        text: text.into().into(),
        ..Finding::default()
    }
}

/// What was seen on the parcel and at the count.
pub(super) fn parcel(told: &Told<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    match told.parcel {
        Some(parcel) => {
            findings.push(plain(carried(parcel)));
            findings.extend(parcel.findings.iter().map(|record| {
                plain(format!(
                    "{} ({})",
                    seen(&record.value),
                    told.words.by(&record.mark)
                ))
            }));
            findings.extend(count(parcel).map(plain));
        }
        None => findings.push(plain("Nothing is known of the parcel it came in.")),
    }
    let job = told.job;
    // With nothing announced at all the count says so already.
    let is_said = told
        .parcel
        .is_some_and(|parcel| parcel.count.is_some() && parcel.expected.is_empty());
    if job.unannounced && !is_said {
        findings.push(plain("Nobody had announced this device."));
    }
    if let Some(arrived) = job
        .arrived
        .as_ref()
        .filter(|arrived| !arrived.value.note.is_empty())
    {
        findings.push(plain(&*arrived.value.note));
    }
    findings
}

fn carried(parcel: &Parcel) -> String {
    let carrier = parcel
        .tracking
        .value()
        .map_or_else(String::new, |tracking| {
            format!(
                ", {}",
                joined([tracking.carrier.as_str(), tracking.number.as_str()], " ")
            )
        });
    format!("Parcel {}{carrier}.", parcel.reference)
}

fn seen(record: &ParcelFindingRecord) -> String {
    let words: Vec<&str> = record
        .findings
        .iter()
        .map(|finding| finding_words(*finding))
        .collect();
    let text = joined([words.join(", ").as_str(), record.note.as_str()], ": ");
    capital(&text)
}

const fn finding_words(finding: ParcelFinding) -> &'static str {
    match finding {
        ParcelFinding::Sound => "sound",
        ParcelFinding::Crushed => "crushed or dented",
        ParcelFinding::Wet => "wet",
        ParcelFinding::Opened => "opened",
        ParcelFinding::Retaped => "taped again",
        ParcelFinding::Torn => "torn or holed",
        ParcelFinding::Bulging => "bulging",
        ParcelFinding::Warm => "warm",
        ParcelFinding::Smoking => "smoking or smelling of solvent",
        ParcelFinding::Other => "other",
    }
}

/// Numbers only: what else was in the parcel is told on the other devices' papers.
fn count(parcel: &Parcel) -> Option<String> {
    let count = &parcel.count.as_ref()?.value;
    let (announced, extra) = (parcel.expected.len(), count.extra.len());
    let found = match (announced, extra) {
        (0, extra) => format!(
            "{} inside; none was announced.",
            counted(extra, "device", "devices")
        ),
        (announced, 0) => format!(
            "{} of {} found.",
            count.found.len(),
            counted(announced, "announced device", "announced devices")
        ),
        (announced, extra) => format!(
            "{} of {} found, and {extra} more inside.",
            count.found.len(),
            counted(announced, "announced device", "announced devices")
        ),
    };
    Some(joined([found.as_str(), count.note.as_str()], " "))
}

/// Marks on the case, numbered as on the outline, and the other signs.
pub(super) fn condition(told: &Told<'_>) -> model::Condition {
    let job = told.job;
    let numbered = || (1_u32..).zip(&job.conditions);
    let marks: Vec<Mark> = numbered()
        .map(|(number, condition)| Mark {
            number,
            face: face(condition.value.face),
            x: f32::from(condition.value.x_permille) / 1000.0,
            y: f32::from(condition.value.y_permille) / 1000.0,
        })
        .collect();
    let mut findings: Vec<Finding> = numbered()
        .map(|(number, condition)| Finding {
            number: Some(number),
            place: face_words(condition.value.face).to_owned(),
            text: mark_words(condition.value.blemish, &condition.value.note).into(),
        })
        .collect();
    if findings.is_empty() {
        findings.push(plain("No mark on the case was recorded."));
    }
    let outline =
        (!marks.is_empty()).then(|| outline(job.device.value().map(|device| device.kind)));
    model::Condition {
        outline,
        marks,
        findings,
        facts: facts(told),
    }
}

fn facts(told: &Told<'_>) -> Vec<Labelled> {
    let mut facts = Vec::new();
    if let Some(advice) = told.job.advice.as_ref().map(|advice| &advice.value) {
        if let Some(liquid) = &advice.liquid {
            facts.push(Labelled::text(
                "Liquid, as told",
                joined([liquid.what.as_str(), liquid.when.as_str()], ", "),
            ));
        }
        if !advice.tried.is_empty() {
            facts.push(Labelled::text("Tried before, as told", &advice.tried));
        }
    }
    if let Some(signs) = told.job.signs.value() {
        facts.extend(sign_facts(signs));
    }
    let stated = told.words.stated(&told.job.signs, |signs| {
        sign_facts(signs)
            .iter()
            .map(|fact| format!("{}: {}", fact.label, fact.value))
            .collect::<Vec<_>>()
            .join("; ")
    });
    facts.extend(
        stated
            .others
            .iter()
            .map(|other| Labelled::text("Not settled", format!("{} ({})", other.text, other.by))),
    );
    facts
}

fn sign_facts(signs: &Signs) -> Vec<Labelled> {
    let lock = match signs.account_lock {
        AccountLock::Off => "off",
        AccountLock::On => "on",
        AccountLock::NotKnown => "could not be told",
    };
    let yes_no =
        |is_so: bool, yes: &str, no: &str| if is_so { yes.to_owned() } else { no.to_owned() };
    let screws = match signs.screws_missing {
        0 => "none missing".to_owned(),
        screws => format!("{screws} missing"),
    };
    let mut facts = vec![
        Labelled::text("Account lock", lock),
        Labelled::text(
            "Liquid indicators",
            yes_no(signs.liquid_indicator_turned, "turned", "not turned"),
        ),
        Labelled::text(
            "Seal",
            yes_no(signs.seal_broken, "missing or broken", "whole"),
        ),
        Labelled::text("Screws", screws),
        Labelled::text(
            "Earlier work",
            yes_no(signs.earlier_work, "signs of it", "no sign"),
        ),
    ];
    if !signs.note.is_empty() {
        facts.push(Labelled::text("Note", &signs.note));
    }
    facts
}

const fn outline(kind: Option<DeviceKind>) -> OutlineKind {
    match kind {
        Some(DeviceKind::Tablet) => OutlineKind::Tablet,
        Some(DeviceKind::Laptop) => OutlineKind::Laptop,
        Some(DeviceKind::Handheld) => OutlineKind::Handheld,
        Some(DeviceKind::Phone) | None => OutlineKind::Phone,
    }
}

const fn face(face: Face) -> model::Face {
    match face {
        Face::Front => model::Face::Front,
        Face::Back => model::Face::Back,
        Face::TopEdge => model::Face::EdgeTop,
        Face::BottomEdge => model::Face::EdgeBottom,
        Face::LeftEdge => model::Face::EdgeLeft,
        Face::RightEdge => model::Face::EdgeRight,
    }
}

const fn face_words(face: Face) -> &'static str {
    match face {
        Face::Front => "front",
        Face::Back => "back",
        Face::TopEdge => "top edge",
        Face::BottomEdge => "bottom edge",
        Face::LeftEdge => "left edge",
        Face::RightEdge => "right edge",
    }
}

fn mark_words(blemish: Blemish, note: &str) -> String {
    let word = match blemish {
        Blemish::Scratch => "scratch",
        Blemish::Crack => "crack",
        Blemish::Dent => "dent",
        Blemish::Chip => "chip",
        Blemish::Bend => "bend",
        Blemish::MissingPart => "missing piece",
        Blemish::Stain => "stain or corrosion",
        Blemish::Lifted => "loose or lifted",
        Blemish::Other if note.is_empty() => "other mark",
        Blemish::Other => "",
    };
    joined([word, note], ", ")
}

/// The cell check that counts, with its reasons and the edition of the rules.
pub(super) fn cell_check(told: &Told<'_>) -> Option<model::CellCheck> {
    let cell = told.job.cell()?;
    let judgement = &cell.judgement;
    let reasons = judgement.reasons.iter();
    let action = if judgement.level == BenchLevel::Clear {
        String::new()
    } else {
        format!("{}.", capital(judgement.level.words()))
    };
    Some(model::CellCheck {
        level: level(judgement.level),
        word: capital(judgement.level.word()),
        readings: cell_readings(told, cell),
        reasons: reasons
            .map(|reason| Reason {
                text: capital(&reason.text),
                source: reason.source.clone(),
            })
            .collect(),
        action,
        by: format!(
            "{}; judged by {}",
            told.words.by(&cell.mark),
            judgement.rules_revision
        ),
    })
}

pub(super) const fn level(level: BenchLevel) -> CellLevel {
    match level {
        BenchLevel::Clear => CellLevel::Clear,
        BenchLevel::Watch => CellLevel::Watch,
        BenchLevel::Isolate => CellLevel::Isolate,
        BenchLevel::Emergency => CellLevel::Emergency,
    }
}

fn cell_readings(told: &Told<'_>, cell: &JudgedCell) -> Vec<Labelled> {
    let check = &cell.check;
    let seen: Vec<&str> = check
        .findings
        .iter()
        .map(|finding: &CellFinding| finding.words())
        .collect();
    let mut lines = vec![Labelled::text("Seen", seen.join("; "))];
    if let Some(voltage_mv) = check.voltage_mv {
        let cells = match check.cells_in_series {
            Some(cells) if cells > 1 => format!(" over {cells} cells"),
            _ => String::new(),
        };
        lines.push(Labelled::mono(
            "At rest",
            format!("{}{cells}", thousandths(voltage_mv, "V")),
        ));
    }
    let surface = check
        .surface_tenths_c
        .map(|tenths| format!("surface {}", celsius(tenths)));
    let room = check
        .room_tenths_c
        .map(|tenths| format!("room {}", celsius(tenths)));
    if surface.is_some() || room.is_some() {
        let both: Vec<String> = surface.into_iter().chain(room).collect();
        lines.push(Labelled::mono("Temperature", both.join(", ")));
    }
    if let Some(warmed_by) = check.warmed_by {
        lines.push(Labelled::text("Warmed before by", warmed_words(warmed_by)));
    }
    lines.push(Labelled::text(
        "Chemistry",
        chemistry_words(check.chemistry),
    ));
    let rating = rating_words(&check.rating);
    if !rating.is_empty() {
        lines.push(Labelled::mono("Rating", rating));
    }
    if !cell.judgement.unknowns.is_empty() {
        lines.push(Labelled::text(
            "Not known",
            cell.judgement.unknowns.join("; "),
        ));
    }
    if !check.note.is_empty() {
        lines.push(Labelled::text("Note", &check.note));
    }
    lines.extend(told.job.cells_removed.iter().map(|removed| {
        let by = told.words.by(&removed.mark);
        Labelled::text(
            "Taken out",
            joined([removed.value.note.as_str(), by.as_str()], "; "),
        )
    }));
    let earlier = told.job.cell_checks.len() - 1;
    lines.extend(told.job.cell_checks[..earlier].iter().map(|earlier| {
        Labelled::text(
            "Earlier",
            format!(
                "{} ({})",
                earlier.judgement.level.word(),
                told.words.by(&earlier.mark)
            ),
        )
    }));
    lines
}

/// What is printed on a cell, as far as it is known; empty when nothing is.
pub(super) fn rating_words(rating: &Rating) -> String {
    let parts = [
        rating.nominal_mv.map(|mv| thousandths(mv, "V")),
        rating.capacity_mah.map(|mah| format!("{mah} mAh")),
        rating.energy_uwh().map(energy_text),
        rating
            .charge_max_mv
            .map(|mv| format!("charged to {} at most", thousandths(mv, "V"))),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    parts.join(", ")
}

pub(super) fn thousandths(value: u32, unit: &str) -> String {
    format!("{}.{:03} {unit}", value / 1000, value % 1000)
}

pub(super) fn celsius(tenths: i32) -> String {
    let sign = if tenths < 0 { "−" } else { "" };
    format!(
        "{sign}{}.{} °C",
        tenths.unsigned_abs() / 10,
        tenths.unsigned_abs() % 10
    )
}

const fn warmed_words(warmed_by: WarmedBy) -> &'static str {
    match warmed_by {
        WarmedBy::Journey => "the sun or a warm vehicle",
        WarmedBy::Running => "running",
        WarmedBy::Charging => "charging",
    }
}

pub(super) const fn chemistry_words(chemistry: Chemistry) -> &'static str {
    match chemistry {
        Chemistry::Unknown => "not known",
        Chemistry::LiIon => "lithium ion",
        Chemistry::LiMetal => "lithium metal",
        Chemistry::NaIon => "sodium ion",
        Chemistry::Hybrid => "lithium metal and lithium ion",
    }
}
