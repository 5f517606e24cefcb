//! The papers of the Cell bay: the label at a cell in isolation, and the record that leaves with a cell for a recycler.
//!
//! A cell in its device and one that was taken out get the same label. What is not known is said, never left out, and nothing
//! here tells anybody to move, cover or touch a cell that reacts.

use domain::JobId;
use domain::cells::bay::{Cell, CellLeft, CellState, Diagnosis, Look, LookKind};
use domain::cells::book::{InForce, RuleBody, RuleBook};
use domain::cells::schedule::Plan;
use domain::cells::{BenchLevel, CellCheck, Chemistry};
use domain::fact::{CellPlacement, LabDescription};
use domain::reference::{CellRef, JobRef};
use jiff::civil::Date;
use papers::model::{self, BayStock, Labelled, ReadingDue, RuleCited, SignatureLine, TrailRow};

use super::came::{celsius, chemistry_words, level, rating_words, thousandths};
use super::report::words;
use super::transport::{certainty, checked};
use super::words::{Words, capital, day_of, device_name, joined};
use super::{lab_head, meta, setup, the_lab};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::views::{PaperFile, PaperSize};

/// Readings that are listed with their times, the next one first.
const DUE_SHOWN: usize = 3;
/// Reasons on a label; the rest stands on the screen.
const REASONS_SHOWN: usize = 4;
/// Rows to fill by pen on a roll. Common practice, no source.
const BLANK_ROWS: u32 = 6;

const FORBIDDEN: &str = "Do not charge, switch on, open, bend, press or pierce it.";
const EMERGENCY: &str = "Smoke, hiss, pop or heat: leave, close the door, raise the alarm, call the fire service. Do not \
                         pick it up, do not cover it.";

/// What a label is for, once its facts are gathered.
struct InBay<'a> {
    code: String,
    reference: String,
    what: String,
    of: String,
    state: &'a CellState,
    known: CellCheck,
    last_at_ms: u64,
}

impl Desk {
    /// Prints the bay label of a device whose cell is still in it.
    pub(crate) fn bay_label_of_job(
        &self,
        job_id: JobId,
        stock: BayStock,
        size: PaperSize,
    ) -> Result<PaperFile, DeskError> {
        let job = self.job(job_id)?;
        let device = job.device.value().map_or_else(
            || "Unknown device".to_owned(),
            |device| joined([device_name(device).as_str(), device.kind.word()], ", "),
        );
        let in_bay = InBay {
            code: JobRef::of(job_id).qr_text(),
            reference: job.reference.clone(),
            what: device,
            of: self.shop_name(job.shop_id)?,
            state: &job.cell_state,
            known: job
                .cell()
                .map(|cell| cell.check.clone())
                .unwrap_or_default(),
            last_at_ms: job.last_at_ms,
        };
        self.bay_label(&in_bay, stock, size)
    }

    /// Prints the bay label of a cell that was taken out.
    pub(crate) fn bay_label_of_cell(
        &self,
        cell: &Cell,
        stock: BayStock,
        size: PaperSize,
    ) -> Result<PaperFile, DeskError> {
        let origin = cell.origin.as_ref().map(|origin| &origin.value);
        let what = origin.map_or_else(
            || "Cell of an unknown device".to_owned(),
            |origin| format!("Cell of {}", origin.device),
        );
        let (job, shop) = match origin {
            Some(origin) => (
                format!("job {}", JobRef::of(origin.job_id)),
                self.shop_name(origin.shop_id)?,
            ),
            None => (String::new(), String::new()),
        };
        let in_bay = InBay {
            code: CellRef::of(cell.cell_id).qr_text(),
            reference: cell.reference.clone(),
            what,
            of: joined([shop.as_str(), job.as_str()], ", "),
            state: &cell.state,
            known: cell.known.clone(),
            last_at_ms: cell.last_at_ms,
        };
        self.bay_label(&in_bay, stock, size)
    }

    fn bay_label(
        &self,
        in_bay: &InBay<'_>,
        stock: BayStock,
        size: PaperSize,
    ) -> Result<PaperFile, DeskError> {
        let Some(bench_level) = in_bay.state.level else {
            return Err(DeskError::refused(
                "nobody has looked at this cell yet; do its cell check first, then print the label",
            ));
        };
        let words = words(self)?;
        let lab = the_lab(self)?;
        let label = label(in_bay, bench_level, &words);
        let labels = model::BayLabels {
            meta: meta(
                format!("Bay label {}", in_bay.reference),
                &lab,
                in_bay.last_at_ms,
            ),
            stock,
            labels: vec![label],
            ..model::BayLabels::default()
        };
        let suffix = match (stock, size) {
            (BayStock::Roll62, _) => "roll",
            (BayStock::Sheet, PaperSize::A4) => "a4",
            (BayStock::Sheet, PaperSize::Letter) => "letter",
        };
        let pdf = papers::bay_labels(&labels, &setup(size))?;
        self.write_paper(&format!("bay-{}-{suffix}.pdf", in_bay.reference), &pdf)
    }

    /// Prints the record that goes with a cell handed to a recycler.
    pub(crate) fn handover_record(
        &self,
        cell: &Cell,
        size: PaperSize,
    ) -> Result<PaperFile, DeskError> {
        let Some(CellLeft::HandedOver { record }) = &cell.state.left else {
            return Err(DeskError::refused(
                "this cell is still here; record who takes it first, then print the record that goes with it",
            ));
        };
        let words = words(self)?;
        let lab = the_lab(self)?;
        let book = self.lab()?.rule_book();
        let mut paper = handover(cell, record, &lab, &words, &book);
        paper.lab = self.own()?.on(paper.lab);
        let pdf = papers::handover_record(&paper, &setup(size))?;
        self.write_paper(&format!("handover-{}.pdf", cell.reference), &pdf)
    }
}

fn label(in_bay: &InBay<'_>, bench_level: BenchLevel, words: &Words) -> model::BayLabel {
    let state = in_bay.state;
    let cell = cell_words(&in_bay.known);
    let placed = state.placed.as_ref();
    let reasons = state.standing.iter().take(REASONS_SHOWN);
    let mut due = vec![last_reading(state, words)];
    due.extend(next_readings(state).into_iter().map(|at_ms| ReadingDue {
        at: short(&words.time(at_ms)),
        ..ReadingDue::default()
    }));
    let plan = state.next_reading.as_ref();
    model::BayLabel {
        code: in_bay.code.clone(),
        reference: in_bay.reference.clone(),
        level: level(bench_level),
        level_word: bench_level.word().to_owned(),
        what: in_bay.what.clone(),
        of: joined([in_bay.of.as_str(), &cell], "; "),
        place: placed.map_or_else(|| "not put anywhere yet".to_owned(), |it| place(&it.value)),
        since: state
            .isolated_since_ms
            .or_else(|| {
                state
                    .standing
                    .iter()
                    .map(|standing| standing.since_ms)
                    .min()
            })
            .map_or_else(String::new, |at_ms| words.time(at_ms)),
        by: placed.map_or_else(String::new, |placed| {
            words.name(placed.mark.actor_id).to_owned()
        }),
        reasons: reasons
            .map(|it| format!("{}.", capital(&it.reason.text)))
            .collect(),
        due: due
            .into_iter()
            .filter(|reading| !reading.at.is_empty())
            .collect(),
        after_that: plan.map_or_else(String::new, |plan| capital(&plan.plan_words)),
        blank_rows: if plan.is_some() { BLANK_ROWS } else { 0 },
        forbidden: FORBIDDEN.to_owned(),
        emergency: EMERGENCY.to_owned(),
        cautions: label_cautions(state),
    }
}

fn place(placement: &CellPlacement) -> String {
    joined([placement.place.words(), &placement.position], " ")
}

/// The row of the last look, filled in as far as it was measured.
fn last_reading(state: &CellState, words: &Words) -> ReadingDue {
    state.looks.last().map_or_else(ReadingDue::default, |look| {
        let bare = |tenths: Option<i32>| {
            tenths.map_or_else(String::new, |tenths| celsius(tenths).replace(" °C", ""))
        };
        ReadingDue {
            at: short(&words.time(look.mark.at_ms)),
            surface: bare(look.check.surface_tenths_c),
            room: bare(look.check.room_tenths_c),
            voltage: look.check.voltage_mv.map_or_else(String::new, hundredths),
            seen: findings(look).join(", "),
            by: words.name(look.mark.actor_id).to_owned(),
        }
    })
}

/// What is known of the cell itself.
fn cell_words(known: &CellCheck) -> String {
    let chemistry = match known.chemistry {
        Chemistry::Unknown => "",
        known => chemistry_words(known),
    };
    let words = joined([chemistry, &rating_words(&known.rating)], " ");
    if words.is_empty() {
        "cell of unknown kind".to_owned()
    } else {
        words
    }
}

/// A time without its year, for the narrow column of a label: a cell stays for days, not for years.
fn short(time: &str) -> String {
    let shorter = time
        .split_once(", ")
        .and_then(|(date, clock)| Some(format!("{}, {clock}", date.rsplit_once(' ')?.0)));
    shorter.unwrap_or_else(|| time.to_owned())
}

/// Volts with two decimals, as most meters of a bench show them.
fn hundredths(millivolts: u32) -> String {
    let rounded = (millivolts + 5) / 10;
    format!("{}.{:02}", rounded / 100, rounded % 100)
}

fn findings(look: &Look) -> Vec<&'static str> {
    look.check.findings.iter().map(|it| it.words()).collect()
}

/// The next readings by the plan in force, each as if the one before were taken when it is due.
fn next_readings(state: &CellState) -> Vec<u64> {
    let Some(next) = &state.next_reading else {
        return Vec::new();
    };
    let Some(plan) = Plan::of_id(&next.plan, state.rules()) else {
        return vec![next.due_ms];
    };
    let since = state
        .standing
        .iter()
        .filter(|standing| Some(standing.reason.level) == state.level)
        .map(|standing| standing.since_ms)
        .min()
        .unwrap_or(next.due_ms);
    let readings = std::iter::successors(Some(next.due_ms), |due| {
        Some(plan.next_due_ms(since, *due).max(due + 1))
    });
    readings.take(DUE_SHOWN).collect()
}

fn label_cautions(state: &CellState) -> Vec<model::Caution> {
    let revision = state
        .judgement
        .as_ref()
        .map_or_else(String::new, |judgement| judgement.rules_revision.clone());
    vec![model::Caution {
        title: "The times are common practice, no law".to_owned(),
        text: "Local fire code and people trained for it come first.".to_owned(),
        source: revision,
    }]
}

fn handover(
    cell: &Cell,
    record: &domain::job::Marked<domain::fact::CellHandOver>,
    lab: &LabDescription,
    words: &Words,
    book: &RuleBook,
) -> model::HandoverRecord {
    let state = &cell.state;
    let bench_level = state.level.unwrap_or(BenchLevel::Isolate);
    let origin = cell.origin.as_ref().map(|origin| &origin.value);
    let date = record.value.date.parse::<Date>().ok();
    let in_force = date.map_or_else(|| book.latest(), |date| book.on(date));
    let mut facts = vec![
        Labelled::text("Handed over", day_of(&record.value.date)),
        Labelled::text("Recorded by", words.by(&record.mark)),
    ];
    if !record.value.paper_number.is_empty() {
        facts.push(Labelled::mono("Paper number", &record.value.paper_number));
    }
    model::HandoverRecord {
        meta: meta(
            format!("Handover of cell {}", cell.reference),
            lab,
            cell.last_at_ms,
        ),
        lab: lab_head(lab),
        reference: cell.reference.clone(),
        code: CellRef::of(cell.cell_id).qr_text(),
        to: model::Party {
            name: record.value.recycler.clone(),
            address: Vec::new(),
        },
        facts,
        level: level(bench_level),
        level_words: format!("A cell that is {}", state.diagnosis.word()),
        cell: vec![
            Labelled::text("Chemistry", chemistry_words(cell.known.chemistry)),
            Labelled::mono("Rating", or_not_known(rating_words(&cell.known.rating))),
            Labelled::text(
                "From",
                origin.map_or_else(|| "not known".to_owned(), |origin| origin.device.clone()),
            ),
            Labelled::mono(
                "Job",
                origin.map_or_else(String::new, |origin| JobRef::of(origin.job_id).to_string()),
            ),
        ],
        findings: found(state),
        packing: packing(state.diagnosis),
        trail: trail(cell, words),
        rules: rules(state, in_force),
        unknowns: state
            .judgement
            .iter()
            .flat_map(|judgement| &judgement.unknowns)
            .map(|unknown| format!("{}.", capital(unknown)))
            .collect(),
        cautions: cautions(in_force),
        signatures: ["Handed over by", "Taken over by"]
            .map(|role| SignatureLine {
                role: role.to_owned(),
                name: String::new(),
            })
            .to_vec(),
        ..model::HandoverRecord::default()
    }
}

fn or_not_known(text: String) -> String {
    if text.is_empty() {
        "not known".to_owned()
    } else {
        text
    }
}

/// Everything that was found at any look, and what people judged.
fn found(state: &CellState) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for finding in state.looks.iter().flat_map(findings) {
        let sentence = format!("{}.", capital(finding));
        if !found.contains(&sentence) {
            found.push(sentence);
        }
    }
    found.extend(state.judged.iter().map(|judging| {
        format!(
            "Judged {} by a person with battery knowledge: {}",
            judging.verdict.word(),
            judging.reason
        )
    }));
    found
}

/// What the rules ask of the packing; how it was packed, the person who hands it over answers for.
fn packing(diagnosis: Diagnosis) -> Vec<String> {
    let mut asked = vec![
        "Terminals covered, so that nothing can short them (49 CFR 173.185(b) and (d), text of December 2022; ADR 2025, P909)."
            .to_owned(),
    ];
    if diagnosis != Diagnosis::Sound {
        asked.push(
            "Alone in an inner packing that closes it in and does not conduct; round it material that neither burns nor conducts \
             and that soaks up what leaks (49 CFR 173.185(f)(1) to (3), text of December 2022; ADR 2025, P908)."
                .to_owned(),
        );
        asked.push(
            "Outer packing, words, label and transport papers are for a shipper trained for dangerous goods to decide; road only."
                .to_owned(),
        );
    }
    asked
}

/// The cell's looks and what was done with it, oldest first.
fn trail(cell: &Cell, words: &Words) -> Vec<TrailRow> {
    let row = |mark: &domain::Mark, what: String, reading: String| {
        (
            mark.at_ms,
            TrailRow {
                at: words.time(mark.at_ms),
                what,
                reading,
                by: words.name(mark.actor_id).to_owned(),
            },
        )
    };
    let state = &cell.state;
    let mut rows: Vec<(u64, TrailRow)> = state
        .looks
        .iter()
        .map(|look| {
            let kind = match look.kind {
                LookKind::Check => "cell check",
                LookKind::Reading => "reading",
            };
            let seen = findings(look).join(", ");
            row(&look.mark, joined([kind, &seen], ": "), measured(look))
        })
        .collect();
    if let Some(origin) = &cell.origin {
        let what = format!("taken out of {}", origin.value.device);
        rows.push(row(&origin.mark, what, String::new()));
    }
    if let Some(placed) = &state.placed {
        rows.push(row(&placed.mark, place(&placed.value), String::new()));
    }
    rows.extend(state.judged.iter().map(|judging| {
        let what = format!("judged {}", judging.verdict.word());
        row(&judging.mark, what, String::new())
    }));
    if let Some(CellLeft::HandedOver { record }) = &state.left {
        let what = format!("handed to {}", record.value.recycler);
        rows.push(row(&record.mark, what, String::new()));
    }
    rows.sort_by_key(|(at_ms, _)| *at_ms);
    rows.into_iter().map(|(_, row)| row).collect()
}

fn measured(look: &Look) -> String {
    let parts = [
        look.check.voltage_mv.map(|mv| thousandths(mv, "V")),
        look.check.surface_tenths_c.map(celsius),
        look.check
            .room_tenths_c
            .map(|tenths| format!("room {}", celsius(tenths))),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Why the cell was kept, and the rules for damaged cells on the road.
fn rules(state: &CellState, in_force: InForce<'_>) -> Vec<RuleCited> {
    let bench = state.standing.iter().map(|standing| {
        let sure = certainty(standing.reason.certainty);
        let source = &standing.reason.source;
        RuleCited {
            text: format!("{}.", capital(&standing.reason.text)),
            clause: source.clone(),
            // Some sources say so themselves.
            certainty: if source.contains(sure) { "" } else { sure }.to_owned(),
            ..RuleCited::default()
        }
    });
    let road = if state.diagnosis == Diagnosis::Sound {
        vec![("R11", RuleBody::UsHmr), ("R11", RuleBody::Adr)]
    } else {
        vec![("R04", RuleBody::UsHmr), ("R05", RuleBody::Adr)]
    };
    let road = road
        .into_iter()
        .filter_map(|(id, regime)| in_force.row(id, regime))
        .map(|row| RuleCited {
            text: row.text.clone(),
            clause: format!("{}: {}", row.regime.words(), row.clause),
            edition: row.edition.clone(),
            certainty: certainty(row.certainty).to_owned(),
            checked: checked(row.last_checked),
        });
    bench.chain(road).collect()
}

/// The eight cautions of the book.
fn cautions(in_force: InForce<'_>) -> Vec<model::Caution> {
    ["C1", "C2", "C3", "C4", "C5", "C6", "C7", "C8"]
        .iter()
        .filter_map(|id| in_force.row(id, RuleBody::Any))
        .map(|row| model::Caution {
            title: String::new(),
            text: row.text.clone(),
            source: String::new(),
        })
        .collect()
}
