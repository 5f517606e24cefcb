//! The Cell bay: what lies in isolation, when to look at it again, and how it leaves.
//!
//! A device whose cell is still in it keeps its trail on its job; a cell that was taken out has a trail of its own. Nothing here
//! sends a person to a cell that is reacting: at level emergency only readings from a distance and a judgement are taken.

mod request;
mod rules;
mod view;

pub use request::{
    BayKey, CellReadingInput, HandOverCell, HoldCell, JudgeCell, PlaceInIsolation, RemoveCell,
    ReturnCell, TakeCellReading,
};
pub use view::{BayRow, CellBayView, CellView};

use domain::cells::bay::{CellState, LookKind, known_of};
use domain::cells::{
    BenchLevel, CellFinding, Judgement, parse_temperature_tenths_c, parse_voltage_mv,
};
use domain::fact::{
    CellHandOver, CellHold, CellJudged, CellOrigin, CellPlacement, CellReading, CellRemoval,
    CellReturn, CellVerdict, Fact, IsolationPlace, Role,
};
use domain::{CellId, EntryId, Subject};

use super::Nothing;
use super::bench::cell::{field, parse_cells, parse_findings};
use crate::desk::{Desk, latest_first};
use crate::error::DeskError;
use crate::store::Filter;
use view::{cell_bay_row, job_bay_row};

/// Cells that left and are still shown.
const LEFT_SHOWN_MAX: usize = 20;

/// Everything in isolation, and what is watched.
pub fn cell_bay(desk: &Desk, _: Nothing) -> Result<CellBayView, DeskError> {
    let now_ms = desk.now_ms();
    let open = |tag| Filter {
        is_open: Some(true),
        ..Filter::all(tag)
    };
    let mut rows = Vec::new();
    for row in desk.job_rows(&open("job"))? {
        if row.stage.in_house() && (row.in_isolation || row.reading_due_ms.is_some()) {
            rows.push(job_bay_row(desk, &row, now_ms)?);
        }
    }
    for row in desk.cell_rows(&open("cell"))? {
        if row.in_isolation || row.reading_due_ms.is_some() {
            rows.push(cell_bay_row(desk, &row, now_ms)?);
        }
    }
    rows.sort_by_key(|row| {
        (
            row.state.level != Some(BenchLevel::Emergency),
            row.state
                .next_reading
                .as_ref()
                .map_or(u64::MAX, |next| next.due_ms),
            row.reference.clone(),
        )
    });
    let (isolated, watched) = rows.into_iter().partition(|row| row.state.is_isolated());
    let mut left = desk.cell_rows(&Filter {
        is_open: Some(false),
        ..latest_first("cell")
    })?;
    left.truncate(LEFT_SHOWN_MAX);
    Ok(CellBayView {
        isolated,
        watched,
        left,
        now_ms,
    })
}

/// One thing in the bay.
pub fn cell(desk: &Desk, request: BayKey) -> Result<CellView, DeskError> {
    desk.cell_view(request.subject)
}

/// Judges a reading without recording it, with all that was seen before.
pub fn preview_cell_reading(desk: &Desk, request: TakeCellReading) -> Result<Judgement, DeskError> {
    let reading = parse_reading(request.reading)?;
    let state = desk.bay_state(request.subject)?;
    desk.judged_with(&state, LookKind::Reading, reading.as_check())
}

/// Records a reading. It judges the cell anew.
pub fn take_cell_reading(desk: &Desk, request: TakeCellReading) -> Result<CellView, DeskError> {
    let reading = parse_reading(request.reading)?;
    let empty = CellReading {
        note: reading.note.clone(),
        ..CellReading::default()
    };
    if reading == empty {
        return Err(DeskError::field(
            "findings",
            "say what is seen, or write at least one measurement; a look that found nothing new is “seen, nothing wrong” or “not seen”",
        ));
    }
    desk.in_the_house(request.subject)?;
    let reading = CellReading {
        rules: desk.bench_rules()?,
        ..reading
    };
    desk.record(request.subject, Fact::CellReadingTaken(reading))?;
    desk.cell_view(request.subject)
}

/// Puts a device or a cell in isolation, or elsewhere in it.
pub fn place_in_isolation(desk: &Desk, request: PlaceInIsolation) -> Result<CellView, DeskError> {
    let state = desk.in_the_house(request.subject)?;
    refuse_at_emergency(&state, "moved")?;
    let placement = placement(desk, request.place, &request.position)?;
    desk.record(request.subject, Fact::CellPlaced(placement))?;
    desk.cell_view(request.subject)
}

/// Records that a cell was taken out of its device: one entry on the job, and the first ones on the cell, all or none.
pub fn remove_cell(desk: &Desk, request: RemoveCell) -> Result<CellView, DeskError> {
    let subject = Subject::Job(request.job_id);
    let state = desk.in_the_house(subject)?;
    let job = desk.job(request.job_id)?;
    if job.is_without_cell() {
        return Err(DeskError::refused(
            "its cell was taken out already; check the next one first",
        ));
    }
    refuse_at_emergency(&state, "taken out")?;
    if state.looks.is_empty() {
        return Err(DeskError::refused(
            "nobody has looked at this cell; do the cell check before it is taken out",
        ));
    }
    let cell_id = CellId::new(desk.new_id());
    let origin = CellOrigin {
        job_id: request.job_id,
        shop_id: job.shop_id,
        device: job.device.value().map_or_else(String::new, |device| {
            format!("{} {}", device.maker, device.model)
                .trim()
                .to_owned()
        }),
        looks: state.looks,
        judged: state.judged,
        isolated_since_ms: state.isolated_since_ms,
    };
    let removal = CellRemoval {
        cell_id,
        note: request.note.trim().to_owned(),
    };
    let of_cell = Subject::Cell(cell_id);
    let placed = placement(desk, request.place, &request.position)?;
    desk.record_all(vec![
        (subject, Fact::CellRemoved(removal), Vec::new()),
        (of_cell, Fact::CellSetApart(origin), Vec::new()),
        (of_cell, Fact::CellPlaced(placed), Vec::new()),
    ])?;
    desk.cell_view(of_cell)
}

/// Judges a cell sound or damaged. Only a person with battery knowledge may, and sound only a cell that was seen and measured.
pub fn judge_cell(desk: &Desk, request: JudgeCell) -> Result<CellView, DeskError> {
    only_for(desk, Role::CellExpert, "judges a cell")?;
    let state = desk.in_the_house(request.subject)?;
    let reason = request.reason.trim().to_owned();
    if reason.is_empty() {
        return Err(DeskError::field(
            "reason",
            "say why: what was seen, or which of the maker's criteria it meets",
        ));
    }
    if request.verdict == CellVerdict::Sound {
        let missing = not_soundable(&state);
        if !missing.is_empty() {
            return Err(DeskError::refused(missing.join(" ")));
        }
    }
    // Only what stands on the cell can have been seen of it.
    let stands = state.seen_entries();
    let seen: Vec<EntryId> = request
        .seen
        .into_iter()
        .filter(|entry_id| stands.contains(entry_id))
        .collect();
    if seen.is_empty() {
        return Err(DeskError::refused(
            "nothing was recorded of this cell yet; look at it first",
        ));
    }
    let judged = CellJudged {
        verdict: request.verdict,
        reason,
        rules: desk.bench_rules()?,
    };
    desk.record_all(vec![(request.subject, Fact::CellJudged(judged), seen)])?;
    desk.cell_view(request.subject)
}

/// Hands a removed cell to a recycler.
pub fn hand_over_cell(desk: &Desk, request: HandOverCell) -> Result<CellView, DeskError> {
    let subject = Subject::Cell(request.cell_id);
    let state = desk.in_the_house(subject)?;
    refuse_at_emergency(&state, "handed over")?;
    let recycler = needed("recycler", &request.recycler, "say who takes the cell")?;
    let paper_number = needed(
        "paper_number",
        &request.paper_number,
        "write the number of the paper that goes with the cell",
    )?;
    let record = CellHandOver {
        recycler,
        paper_number,
        date: desk.day("date", &request.date)?,
        note: request.note.trim().to_owned(),
    };
    desk.record(subject, Fact::CellHandedOver(record))?;
    desk.cell_view(subject)
}

/// Sends a cell back under the provisions for damaged cells. Only a shipper, who is trained for lithium, may.
pub fn return_cell(desk: &Desk, request: ReturnCell) -> Result<CellView, DeskError> {
    only_for(
        desk,
        Role::Shipper,
        "sends a cell back under the special provisions",
    )?;
    let state = desk.in_the_house(request.subject)?;
    refuse_at_emergency(&state, "sent")?;
    if matches!(request.subject, Subject::Cell(_)) && request.paper_number.trim().is_empty() {
        return Err(DeskError::field(
            "paper_number",
            "write the number of the transport paper it goes with",
        ));
    }
    let record = CellReturn {
        provisions: needed(
            "provisions",
            &request.provisions,
            "name the provisions and their edition, such as ADR 2025, special provision 376",
        )?,
        paper_number: request.paper_number.trim().to_owned(),
        date: desk.day("date", &request.date)?,
        note: request.note.trim().to_owned(),
    };
    desk.record(request.subject, Fact::CellReturned(record))?;
    desk.cell_view(request.subject)
}

/// Says why a cell stays in isolation.
pub fn hold_cell(desk: &Desk, request: HoldCell) -> Result<CellView, DeskError> {
    desk.in_the_house(request.subject)?;
    let reason = needed("reason", &request.reason, "say what it stays for")?;
    desk.record(request.subject, Fact::CellHeld(CellHold { reason }))?;
    desk.cell_view(request.subject)
}

/// Refuses unless the person at this desktop has a role.
pub(crate) fn only_for(desk: &Desk, role: Role, does: &str) -> Result<(), DeskError> {
    let person = desk.person()?;
    if person.roles.contains(&role) {
        return Ok(());
    }
    let who = match role {
        Role::CellExpert => "a person with battery knowledge",
        Role::Shipper => "a shipper trained for lithium",
        _ => "a person with that task",
    };
    let able: Vec<String> = desk
        .people()?
        .into_iter()
        .filter(|person| person.roles.contains(&role) && !person.left)
        .map(|person| person.name)
        .collect();
    let way_out = if able.is_empty() {
        "the owner marks one under Setup, People".to_owned()
    } else {
        format!("here that is {}", able.join(", "))
    };
    Err(DeskError::refused(format!("only {who} {does}; {way_out}")))
}

fn placement(
    desk: &Desk,
    place: IsolationPlace,
    position: &str,
) -> Result<CellPlacement, DeskError> {
    Ok(CellPlacement {
        place,
        position: position.trim().to_owned(),
        rules: desk.bench_rules()?,
    })
}

fn needed(name: &'static str, text: &str, why: &str) -> Result<String, DeskError> {
    let text = text.trim();
    if text.is_empty() {
        Err(DeskError::field(name, why))
    } else {
        Ok(text.to_owned())
    }
}

fn refuse_at_emergency(state: &CellState, done: &str) -> Result<(), DeskError> {
    if state.level == Some(BenchLevel::Emergency) {
        return Err(DeskError::refused(format!(
            "this cell stands at emergency, so it is not {done}: leave it alone, and when it is at rest let a person with battery knowledge judge it"
        )));
    }
    Ok(())
}

/// What keeps a cell from being judged sound.
fn not_soundable(state: &CellState) -> Vec<String> {
    let known = known_of(&state.looks);
    let unseen = !state.looks.iter().any(|look| {
        !look.check.findings.is_empty() && !look.check.findings.contains(&CellFinding::NotSeen)
    });
    [
        (unseen, "Nobody has seen this cell; look at it first."),
        (
            known.voltage_mv.is_none(),
            "Its voltage at rest was not taken; measure it first.",
        ),
        (
            known.surface_tenths_c.is_none() || known.room_tenths_c.is_none(),
            "Its temperature was not compared with the room's; measure both first.",
        ),
    ]
    .into_iter()
    .filter(|(is_missing, _)| *is_missing)
    .map(|(_, sentence)| sentence.to_owned())
    .collect()
}

fn parse_reading(input: CellReadingInput) -> Result<CellReading, DeskError> {
    Ok(CellReading {
        findings: parse_findings(input.findings)?,
        voltage_mv: field("voltage", &input.voltage, parse_voltage_mv)?,
        cells_in_series: field("cells_in_series", &input.cells_in_series, parse_cells)?,
        surface_tenths_c: field("surface", &input.surface, parse_temperature_tenths_c)?,
        room_tenths_c: field("room", &input.room, parse_temperature_tenths_c)?,
        warmed_by: input.warmed_by,
        note: input.note.trim().to_owned(),
        rules: Vec::new(),
    })
}

/// A time span in words: `35 min`, `3 h 20 min`, `2 days 4 h`.
pub(crate) fn duration_words(ms: u64) -> String {
    let minutes = ms / 60_000;
    let (days, hours, rest) = (minutes / 1440, minutes / 60 % 24, minutes % 60);
    match (days, hours, rest) {
        (0, 0, rest) => format!("{rest} min"),
        (0, hours, 0) => format!("{hours} h"),
        (0, hours, rest) => format!("{hours} h {rest} min"),
        (1, 0, _) => "1 day".to_owned(),
        (1, hours, _) => format!("1 day {hours} h"),
        (days, 0, _) => format!("{days} days"),
        (days, hours, _) => format!("{days} days {hours} h"),
    }
}
