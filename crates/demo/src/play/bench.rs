//! The bench, all of it without the server: cell check, look-over, tests before, quote, work, tests after, report.

use std::path::PathBuf;
use std::sync::Arc;

use anyhow::{Context as _, Result, ensure};
use desk::commands::PaperSize;
use desk::commands::bench::cell::{
    CellCheckInput, RecordCellCheck, preview_cell_check, record_cell_check,
};
use desk::commands::bench::closing::{MakeReport, SetOutcome, make_report, set_outcome};
use desk::commands::bench::look_over::{
    OpenPasscode, RecordAccessories, RecordCondition, RecordIdentity, RecordSigns, SealPasscode,
    open_passcode, record_accessories, record_condition, record_identity, record_signs,
    seal_passcode,
};
use desk::commands::bench::proof::{ChooseTests, RecordResult, choose_tests, record_result};
use desk::commands::bench::quote::{SetQuote, set_quote};
use desk::commands::bench::work::{RecordStep, StepOfProcedure, record_step};
use desk::commands::bench::{self, JobKey, JobView};
use desk::commands::procedures::{BeginProcedure, begin_procedure};
use desk::{Desk, PhotoTarget};
use domain::cells::{BenchLevel, CellFinding, Chemistry};
use domain::fact::{
    AccountLock, AnswerWay, Blemish, Condition, Face, JobOutcome, Phase, PhotoAdded, PhotoPlace,
    ProcedureCode, Signs, TestCode,
};
use domain::job::{Agreement, Joint};
use domain::{EntryId, JobId, PersonId, Subject};

use super::shop::device_identifier;
use super::steps::refusal;
use super::{Play, SHOP};
use crate::data::jobs::NINE;
use crate::data::people;
use crate::data::remedies::{Fault, Gives, Remedy};
use crate::history::{
    FEE_EURO, HOT_AIR, fitted, heat_input, input_of, neighbour_gives, quote_lines,
};
use crate::pictures::{self, BoardState, CellState, DeviceSide, Finish, Held, Picture};

/// The passcode that the shop's customer wrote on the bag.
const PASSCODE: &str = "482 915";
/// The seed of what the pictures show.
const THING: u64 = 0x9_0500;

fn remedy() -> &'static Remedy {
    Fault::MainRail.remedy()
}

fn view(desk: &Desk, job_id: JobId) -> Result<JobView> {
    Ok(bench::job(desk, JobKey { job_id })?)
}

/// Draws a picture and has the desk take it in.
fn photo(
    desk: &Desk,
    job_id: JobId,
    picture: Picture,
    (place, caption): (PhotoPlace, &str),
    beside: Option<&PhotoAdded>,
) -> Result<PhotoAdded> {
    let jpeg = pictures::draw(
        picture,
        THING,
        THING ^ caption.len() as u64,
        Held::WithPlace,
    );
    let beside = beside.map(|photo| photo.hash);
    let target = PhotoTarget {
        subject: Subject::Job(job_id),
        place,
        caption: caption.to_owned(),
        beside,
    };
    Ok(desk.take_photo(&jpeg, &target)?)
}

fn result(desk: &Desk, job_id: JobId, phase: Phase, code: &str, gives: Gives) -> Result<()> {
    let request = RecordResult {
        job_id,
        phase,
        code: TestCode(code.to_owned()),
        result: input_of(gives),
        note: String::new(),
        photos: Vec::new(),
        assembly: Some(domain::fact::Assembly::Closed),
        trace: None,
    };
    record_result(desk, request).with_context(|| format!("recording {code}"))?;
    Ok(())
}

fn outcome_request(job_id: JobId) -> SetOutcome {
    SetOutcome {
        job_id,
        outcome: JobOutcome::Repaired,
        words: remedy().told.to_owned(),
        warranty_days: String::new(),
    }
}

impl Play {
    pub(super) fn cell_and_look_over(&mut self) -> Result<()> {
        self.cell_check()?;
        self.look_over()?;
        self.passcode()
    }

    fn cell_check(&mut self) -> Result<()> {
        let (desk, job_id) = (Arc::clone(&self.desk), self.job()?);
        self.steps.step("Cell check, before any power", || {
            let check = CellCheckInput {
                findings: vec![CellFinding::NothingWrong],
                voltage: "3.71".to_owned(),
                cells_in_series: "1".to_owned(),
                surface: "21.6".to_owned(),
                room: "21.2".to_owned(),
                chemistry: Chemistry::LiIon,
                nominal_v: "3.85".to_owned(),
                capacity_mah: NINE.cell_mah.to_string(),
                charge_max_v: "4.40".to_owned(),
                ..CellCheckInput::default()
            };
            let request = RecordCellCheck { job_id, check };
            let promised = preview_cell_check(&desk, request.clone())?.level;
            record_cell_check(&desk, request)?;
            photo(
                &desk,
                job_id,
                Picture::Cell {
                    state: CellState::Flat,
                    mah: NINE.cell_mah,
                },
                (PhotoPlace::Cell, "Cell flat and dry"),
                None,
            )?;
            let cell = view(&desk, job_id)?
                .job
                .cell()
                .map(|cell| cell.judgement.clone())
                .context("the cell check was not recorded")?;
            ensure!(
                cell.level == promised && cell.level == BenchLevel::Clear,
                "the cell is at level {}",
                cell.level.word()
            );
            Ok((
                (),
                format!("{}; {}", cell.level.words(), cell.rules_revision),
            ))
        })
    }

    fn look_over(&mut self) -> Result<()> {
        let (desk, job_id) = (Arc::clone(&self.desk), self.job()?);
        self.steps.step(
            "Look-over: identity, marks on the case, pictures, accessories, signs",
            || {
                let read = device_identifier();
                record_identity(
                    &desk,
                    RecordIdentity {
                        job_id,
                        texts: vec![read.clone()],
                    },
                )?;
                let back = photo(
                    &desk,
                    job_id,
                    Picture::Device(NINE.kind, DeviceSide::BackWorn, Finish::Dark),
                    (PhotoPlace::Condition, "Corner dented"),
                    None,
                )?;
                let condition = Condition {
                    face: Face::Back,
                    x_permille: 930,
                    y_permille: 955,
                    blemish: Blemish::Dent,
                    note: "lower right corner".to_owned(),
                    photos: vec![back.hash],
                };
                record_condition(&desk, RecordCondition { job_id, condition })?;
                record_accessories(
                    &desk,
                    RecordAccessories {
                        job_id,
                        items: vec!["SIM tray".to_owned()],
                    },
                )?;
                let signs = Signs {
                    account_lock: AccountLock::Off,
                    liquid_indicator_turned: false,
                    screws_missing: 0,
                    seal_broken: false,
                    earlier_work: false,
                    note: String::new(),
                };
                let job = record_signs(&desk, RecordSigns { job_id, signs })?.job;
                ensure!(
                    job.identity_difference.is_none(),
                    "the device is not the one that was announced"
                );
                Ok(((), format!("IMEI {read} is the one announced")))
            },
        )
    }

    fn passcode(&mut self) -> Result<()> {
        let (desk, job_id) = (Arc::clone(&self.desk), self.job()?);
        self.steps.step(
            "The passcode is sealed; opening it takes a reason and is recorded",
            || {
                seal_passcode(
                    &desk,
                    SealPasscode {
                        job_id,
                        passcode: PASSCODE.to_owned(),
                    },
                )?;
                let said = refusal(
                    open_passcode(
                        &desk,
                        OpenPasscode {
                            job_id,
                            reason: " ".to_owned(),
                        },
                    ),
                    "opening a passcode without a reason",
                )?;
                let reason = "unlocking for the tests before".to_owned();
                let opened = open_passcode(&desk, OpenPasscode { job_id, reason })?;
                ensure!(
                    opened.passcode == PASSCODE,
                    "the passcode came back changed"
                );
                ensure!(
                    view(&desk, job_id)?.job.passcode_openings.len() == 1,
                    "the opening was not recorded"
                );
                Ok(((), format!("without a reason: {said}")))
            },
        )
    }

    pub(super) fn before_and_quote(&mut self) -> Result<()> {
        self.tests_before()?;
        self.work_needs_a_price()?;
        self.quote()
    }

    fn tests_before(&mut self) -> Result<()> {
        let (desk, job_id) = (Arc::clone(&self.desk), self.job()?);
        self.steps
            .step("Tests before, with a picture of the board", || {
                let code = |code: &str| TestCode(code.to_owned());
                let codes = remedy()
                    .trials
                    .iter()
                    .map(|trial| code(trial.code))
                    .collect();
                let shows_fault = remedy()
                    .trials
                    .iter()
                    .filter(|trial| trial.shows_fault)
                    .map(|trial| code(trial.code))
                    .collect();
                choose_tests(
                    &desk,
                    ChooseTests {
                        job_id,
                        codes,
                        shows_fault,
                    },
                )?;
                for trial in remedy().trials {
                    result(&desk, job_id, Phase::Before, trial.code, trial.before)?;
                }
                photo(
                    &desk,
                    job_id,
                    Picture::Board(BoardState::Scorched),
                    (
                        PhotoPlace::Before,
                        "Board before: scorched beside the power chip",
                    ),
                    None,
                )?;
                Ok(((), format!("{} tests", remedy().trials.len())))
            })
    }

    fn work_needs_a_price(&mut self) -> Result<()> {
        let (desk, job_id) = (Arc::clone(&self.desk), self.job()?);
        self.steps
            .step("Work is refused as long as there is no price", || {
                Ok((
                    (),
                    refusal(
                        record_step(&desk, step_request(job_id, 0, Vec::new())),
                        "work without an agreed price",
                    )?,
                ))
            })
    }

    fn quote(&mut self) -> Result<()> {
        let (desk, job_id) = (Arc::clone(&self.desk), self.job()?);
        self.steps.step(
            "Quote: within the shop’s standing limit, so agreed at once",
            || {
                let request = SetQuote {
                    job_id,
                    lines: quote_lines(SHOP.plan(), remedy().lines),
                    fee_if_refused: SHOP.plan().price(FEE_EURO),
                    promised_date: String::new(),
                    note: String::new(),
                };
                let job = set_quote(&desk, request)?.job;
                let agreed = matches!(
                    job.agreement,
                    Agreement::Agreed {
                        way: AnswerWay::StandingLimit,
                        ..
                    }
                );
                ensure!(
                    agreed,
                    "a price within the standing limit was not agreed at once"
                );
                Ok((
                    (),
                    job.quote_total.map_or_else(String::new, |total| {
                        format!(
                            "{total}, limit {} {}",
                            SHOP.plan().standing_limit,
                            SHOP.plan().currency
                        )
                    }),
                ))
            },
        )
    }

    pub(super) fn work_and_after(&mut self) -> Result<()> {
        self.work()?;
        self.closing_needs_proof()?;
        self.tests_after()
    }

    fn work(&mut self) -> Result<()> {
        let (desk, job_id) = (Arc::clone(&self.desk), self.job()?);
        let witness_id = self.lab_person(people::SECOND_PAIR)?;
        self.steps.step(
            "Work by a procedure: parts, heat, the neighbours that it opens, and a hold point with its witness",
            || {
                let begun = begin_procedure(&desk, hot_air(job_id))?.job.procedures;
                let begun_id = begun.last().context("no procedure was begun")?.mark.entry_id;
                for index in 0..remedy().steps.len() {
                    let mut photos = Vec::new();
                    if index == 0 {
                        let shown = (PhotoPlace::Work, "Pads cleaned, the part is off");
                        let board = Picture::Board(BoardState::PartOff);
                        photos.push(photo(&desk, job_id, board, shown, None)?.hash);
                    }
                    let mut request = step_request(job_id, index, photos);
                    request.in_procedure = request.heat.is_some().then(|| place(begun_id, 0, ""));
                    record_step(&desk, request)
                        .with_context(|| format!("step {} of the work", index + 1))?;
                }
                let said = refusal(
                    record_step(&desk, hold_point(job_id, begun_id, None)),
                    "a hold point without its witness",
                )?;
                record_step(&desk, hold_point(job_id, begun_id, Some(witness_id)))
                    .context("the hold point")?;
                let job = view(&desk, job_id)?.job;
                ensure!(
                    job.procedures.iter().all(|procedure| procedure.next.is_none()),
                    "the procedure was not walked to its end"
                );
                let neighbours: Vec<String> = job
                    .steps
                    .iter()
                    .filter_map(|step| step.value.heat.as_ref())
                    .flat_map(|heat| heat.neighbours.clone())
                    .collect();
                ensure!(!neighbours.is_empty(), "the heat opened no neighbour");
                Ok((
                    (),
                    format!(
                        "{} steps; neighbours to be proved: {}; without a witness: {said}",
                        job.steps.len(),
                        neighbours.join(", ")
                    ),
                ))
            },
        )
    }

    fn closing_needs_proof(&mut self) -> Result<()> {
        let (desk, job_id) = (Arc::clone(&self.desk), self.job()?);
        self.steps.step(
            "Closing as repaired is refused before the tests after",
            || {
                Ok((
                    (),
                    refusal(
                        set_outcome(&desk, outcome_request(job_id)),
                        "closing a job that is not proved",
                    )?,
                ))
            },
        )
    }

    fn tests_after(&mut self) -> Result<()> {
        let (desk, job_id) = (Arc::clone(&self.desk), self.job()?);
        self.steps.step(
            "Tests after, every neighbour’s too, in the closed device",
            || {
                let trials = remedy().trials;
                for trial in trials {
                    result(&desk, job_id, Phase::After, trial.code, trial.after)?;
                }
                let neighbours = remedy()
                    .steps
                    .iter()
                    .filter_map(|step| step.heat)
                    .flat_map(|heat| heat.tests);
                for code in
                    neighbours.filter(|code| !trials.iter().any(|trial| trial.code == **code))
                {
                    result(&desk, job_id, Phase::After, code, neighbour_gives(code))?;
                }
                let before = view(&desk, job_id)?
                    .job
                    .photos
                    .iter()
                    .find(|photo| photo.value.place == PhotoPlace::Before)
                    .map(|photo| photo.value.clone());
                photo(
                    &desk,
                    job_id,
                    Picture::Board(BoardState::Clean),
                    (PhotoPlace::After, "Board after: new part, cleaned"),
                    before.as_ref(),
                )?;
                photo(
                    &desk,
                    job_id,
                    Picture::Device(NINE.kind, DeviceSide::FrontOn, Finish::Dark),
                    (PhotoPlace::After, "Closed and running"),
                    None,
                )?;
                let job = view(&desk, job_id)?.job;
                let joint = |wanted: Joint| {
                    job.comparison
                        .iter()
                        .filter(|row| row.joint == wanted)
                        .count()
                };
                let (fixed, newly) = (joint(Joint::Fixed), joint(Joint::NewlyTestable));
                ensure!(
                    joint(Joint::MadeWorse) + joint(Joint::StillFailing) + joint(Joint::NotProved)
                        == 0,
                    "not every test is passed after the work"
                );
                Ok((
                    (),
                    format!("{fixed} fixed, {newly} newly testable, none worse"),
                ))
            },
        )
    }

    pub(super) fn outcome_and_report(&mut self) -> Result<()> {
        let (desk, job_id) = (Arc::clone(&self.desk), self.job()?);
        let report = self.steps.step("Outcome, and the return report", || {
            set_outcome(&desk, outcome_request(job_id))?;
            let paper = make_report(
                &desk,
                MakeReport {
                    job_id,
                    size: PaperSize::A4,
                },
            )?;
            ensure!(
                desk.paper_bytes(&paper.name)?.starts_with(b"%PDF-"),
                "the return report is no PDF"
            );
            let job = view(&desk, job_id)?.job;
            let issued = job
                .current_report()
                .context("the report is not recorded")?
                .value
                .clone();
            let said = format!("{} pages, {} KB", issued.pages, paper.size_bytes / 1000);
            Ok((PathBuf::from(paper.path), said))
        })?;
        self.report = Some(report);
        Ok(())
    }
}

/// What the second person sees after the part is on.
const SEEN: &str = "no bridge, all joints wetted, nothing around it moved";

fn hot_air(job_id: JobId) -> BeginProcedure {
    BeginProcedure {
        job_id,
        code: ProcedureCode(HOT_AIR.to_owned()),
    }
}

fn place(begun_id: EntryId, index: u32, result: &str) -> StepOfProcedure {
    StepOfProcedure {
        begun_id,
        index,
        passed: true,
        result: result.to_owned(),
    }
}

fn hold_point(job_id: JobId, begun_id: EntryId, witness_id: Option<PersonId>) -> RecordStep {
    RecordStep {
        text: format!("Seen under the microscope: {SEEN}"),
        witness_id,
        in_procedure: Some(place(begun_id, 1, SEEN)),
        ..RecordStep::on(job_id)
    }
}

fn step_request(job_id: JobId, index: usize, photos: Vec<domain::ContentHash>) -> RecordStep {
    let step = &remedy().steps[index];
    RecordStep {
        job_id,
        text: step.text.to_owned(),
        tool: step.tool.to_owned(),
        parts: fitted(step),
        heat: step.heat.as_ref().map(heat_input),
        witness_id: None,
        photos,
        ..RecordStep::on(job_id)
    }
}
