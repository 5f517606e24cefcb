//! The first stations on the bench: cell check, look-over, tests before.

use anyhow::{Context as _, Result};
use desk::commands::bench::cell::{CellCheckInput, RecordCellCheck, record_cell_check};
use desk::commands::bench::closing::{OverrideBlock, override_block};
use desk::commands::bench::look_over::OpenPasscode;
use desk::commands::bench::look_over::{
    RecordAccessories, RecordCondition, RecordIdentity, RecordSigns, SealPasscode, open_passcode,
    record_accessories, record_condition, record_identity, record_signs, seal_passcode,
};
use desk::commands::bench::proof::{
    ChooseTests, RecordResult, ResultInput, choose_tests, record_result,
};
use desk::commands::bench::quote::{BoardReadingInput, RecordDiagnosis, record_diagnosis};
use desk::commands::bench::work::{PostMessage, post_message};
use domain::Subject;
use domain::cells::{CellFinding, Chemistry};
use domain::device::DeviceKind;
use domain::fact::{
    AccountLock, Blemish, Condition, Face, JobOutcome, Phase, PhotoPlace, Signs, TestCode,
};
use domain::job::Block;

use super::inward::announced_identifier;
use super::world::{Shown, World};
use crate::data::remedies::{Fault, Gives, Trial};
use crate::data::{Fate, JobPlan, Twist, jobs, numbers, people};
use crate::pictures::{BoardState, CellState, DeviceSide, Finish, Picture};
use crate::random::Dice;

/// Volts with three decimals.
fn volts(millivolts: u32) -> String {
    format!("{}.{:03}", millivolts / 1000, millivolts % 1000)
}

impl World {
    /// The look at the cell.
    pub(crate) fn check_cell(&mut self, key: &str) -> Result<()> {
        let plan = jobs::plan(key);
        let job_id = self.job_id(key)?;
        self.act_as_technician(key)?;
        let finding = match plan.fate {
            Fate::Swollen => CellFinding::Swollen,
            _ if key == super::bay::REMOVED => CellFinding::Bent,
            _ if plan.fault == Fault::Liquid => CellFinding::WaterNearIt,
            _ => CellFinding::NothingWrong,
        };
        let check = self.cell_input(plan, finding);
        record_cell_check(&self.desk, RecordCellCheck { job_id, check })?;
        let state = match finding {
            CellFinding::Swollen => CellState::Swollen,
            CellFinding::WaterNearIt => CellState::Wet,
            _ => CellState::Flat,
        };
        if state != CellState::Flat || matches!(plan.fate, Fate::Watched | Fate::CellChecked) {
            self.photo(&Shown {
                subject: Subject::Job(job_id),
                picture: Picture::Cell {
                    state,
                    mah: plan.model.cell_mah,
                },
                thing: self.thing(plan),
                place: PhotoPlace::Cell,
                caption: finding.words(),
                beside: None,
            })?;
        }
        if plan.fate == Fate::Swollen {
            let text = "The cell is swollen and lies in isolation. Please do not post another one like this. We will call you about the rest of the device.";
            post_message(
                &self.desk,
                PostMessage {
                    job_id,
                    text: text.to_owned(),
                },
            )?;
        }
        Ok(())
    }

    fn cell_input(&mut self, plan: &JobPlan, finding: CellFinding) -> CellCheckInput {
        let cells = u32::from(plan.model.cells);
        let each = match plan.fate {
            Fate::Watched => 2120,
            _ => 3_620 + u32::try_from(self.dice.below(420)).unwrap_or(0),
        };
        let room = 19 + self.dice.below(4);
        CellCheckInput {
            findings: vec![finding],
            voltage: volts(each * cells),
            cells_in_series: cells.to_string(),
            surface: format!("{}.{}", room, 2 + self.dice.below(7)),
            room: format!("{room}.1"),
            warmed_by: None,
            chemistry: Chemistry::LiIon,
            label_wh: String::new(),
            nominal_v: volts(3850 * cells),
            capacity_mah: plan.model.cell_mah.to_string(),
            charge_max_v: volts(4400 * cells),
            note: match plan.fate {
                Fate::Watched => "Deeply discharged. Not charged; readings to follow.".to_owned(),
                Fate::Swollen => "Back lifted about 4 mm at the lower edge.".to_owned(),
                _ => String::new(),
            },
            cells_in_parallel: "1".to_owned(),
        }
    }

    /// The cell of a device that met water, opened and looked at again: it may be worked on only then.
    pub(crate) fn check_cell_again(&mut self, key: &str) -> Result<()> {
        let plan = jobs::plan(key);
        self.act_as_technician(key)?;
        let mut check = self.cell_input(plan, CellFinding::NothingWrong);
        "Opened: the cell is dry, its terminals are clean.".clone_into(&mut check.note);
        record_cell_check(
            &self.desk,
            RecordCellCheck {
                job_id: self.job_id(key)?,
                check,
            },
        )?;
        Ok(())
    }

    /// Which device it is, and in what condition.
    pub(crate) fn look_over(&mut self, key: &str) -> Result<()> {
        let plan = jobs::plan(key);
        let job_id = self.job_id(key)?;
        self.act_as_technician(key)?;
        let read = match (plan.fate, plan.twist) {
            (Fate::Swapped, _) => numbers::identifier(plan.model, plan.number + 900),
            (_, Twist::WrongCheckDigit) => announced_identifier(plan),
            _ => numbers::identifier(plan.model, plan.number),
        };
        record_identity(
            &self.desk,
            RecordIdentity {
                job_id,
                texts: vec![read],
            },
        )?;
        self.record_case(plan)?;
        self.tick();
        let items = plan
            .accessories
            .iter()
            .map(|item| (*item).to_owned())
            .collect();
        record_accessories(&self.desk, RecordAccessories { job_id, items })?;
        self.tick();
        let signs = Signs {
            account_lock: AccountLock::Off,
            liquid_indicator_turned: plan.fault == Fault::Liquid,
            screws_missing: u8::from(!plan.tried.is_empty()),
            seal_broken: !plan.tried.is_empty(),
            earlier_work: plan.tried.contains("ew "),
            note: String::new(),
        };
        record_signs(&self.desk, RecordSigns { job_id, signs })?;
        if plan.twist == Twist::Passcode {
            self.tick();
            let passcode = format!("{:06}", Dice::for_name(9, key).below(1_000_000));
            seal_passcode(&self.desk, SealPasscode { job_id, passcode })?;
        }
        if plan.twist == Twist::Mistyped {
            self.pass_typing_error(key)?;
        }
        if plan.fate == Fate::Swapped {
            let text = "The number on the device is not the one you announced. Is this the right device? We wait for your answer.";
            post_message(
                &self.desk,
                PostMessage {
                    job_id,
                    text: text.to_owned(),
                },
            )?;
        }
        Ok(())
    }

    /// Marks on the case, with a picture of front or back.
    fn record_case(&mut self, plan: &JobPlan) -> Result<()> {
        let job_id = self.job_id(plan.key)?;
        let mut dice = Dice::for_name(3, plan.key);
        let cracked = dice.chance(0.4) && plan.fault != Fault::Wifi;
        let (side, face, blemish, note) = match (plan.fault, cracked) {
            (Fault::Display, _) if plan.words.contains("ines") => (
                DeviceSide::FrontStriped,
                Face::Front,
                Blemish::Scratch,
                "fine scratch beside the middle",
            ),
            (_, true) => (
                DeviceSide::FrontCracked,
                Face::Front,
                Blemish::Crack,
                "glass cracked, all pieces hold",
            ),
            (_, false) => (
                DeviceSide::BackWorn,
                Face::Back,
                Blemish::Dent,
                "corner dented",
            ),
        };
        let photo = self.photo(&Shown {
            subject: Subject::Job(job_id),
            picture: Picture::Device(plan.model.kind, side, Finish::named(plan.colour)),
            thing: self.thing(plan),
            place: PhotoPlace::Condition,
            caption: note,
            beside: None,
        })?;
        let place = |dice: &mut Dice| u16::try_from(120 + dice.below(760)).unwrap_or(500);
        let condition = Condition {
            face,
            x_permille: place(&mut dice),
            y_permille: place(&mut dice),
            blemish,
            note: note.to_owned(),
            photos: vec![photo.hash],
        };
        record_condition(&self.desk, RecordCondition { job_id, condition })?;
        self.tick();
        if dice.chance(0.5) {
            let condition = Condition {
                face: Face::BottomEdge,
                x_permille: place(&mut dice),
                y_permille: 500,
                blemish: Blemish::Scratch,
                note: "around the port".to_owned(),
                photos: Vec::new(),
            };
            record_condition(&self.desk, RecordCondition { job_id, condition })?;
        }
        Ok(())
    }

    /// The owner passes the difference between advice and device after a call.
    fn pass_typing_error(&mut self, key: &str) -> Result<()> {
        let job_id = self.job_id(key)?;
        self.act_as(people::OWNER)?;
        let reason = "Telephone call with the shop: they mistyped the last digit, the device is the right one.".to_owned();
        override_block(
            &self.desk,
            OverrideBlock {
                job_id,
                block: Block::IdentityDiffers,
                reason,
            },
        )
        .context("passing a typing error")?;
        Ok(())
    }

    /// Tests as it came, a picture of the board, and what is thought to be wrong.
    pub(crate) fn test_before(&mut self, key: &str) -> Result<()> {
        let plan = jobs::plan(key);
        let remedy = plan.fault.remedy();
        let job_id = self.job_id(key)?;
        self.act_as_technician(key)?;
        if plan.twist == Twist::Passcode {
            let reason = "tests before need the device unlocked".to_owned();
            open_passcode(&self.desk, OpenPasscode { job_id, reason })?;
            self.tick();
        }
        let trials = trials_for(plan);
        let code = |trial: &Trial| TestCode(trial.code.to_owned());
        let codes = trials.iter().map(code).collect();
        let shows_fault = trials
            .iter()
            .filter(|trial| trial.shows_fault)
            .map(code)
            .collect();
        choose_tests(
            &self.desk,
            ChooseTests {
                job_id,
                codes,
                shows_fault,
            },
        )?;
        let sound = plan.fate == Fate::Closed(JobOutcome::NoFaultFound);
        for trial in &trials {
            let gives = if sound { trial.after } else { trial.before };
            self.result(key, Phase::Before, trial.code, gives)?;
        }
        if sound {
            return Ok(());
        }
        self.photo(&Shown {
            subject: Subject::Job(job_id),
            picture: Picture::Board(remedy.board),
            thing: self.thing(plan),
            place: PhotoPlace::Before,
            caption: match remedy.board {
                BoardState::Scorched => "Board before: scorched part",
                BoardState::Corroded => "Board before: corrosion",
                BoardState::PartOff | BoardState::Clean => "Board before",
            },
            beside: None,
        })?;
        let readings = remedy.probes.iter().map(|probe| BoardReadingInput {
            point: probe.point.to_owned(),
            value: probe.value.to_owned(),
            unit: probe.unit,
            expected: probe.expected.to_owned(),
        });
        let diagnosis = RecordDiagnosis {
            job_id,
            text: remedy.diagnosis.to_owned(),
            suspect: remedy.suspect.to_owned(),
            readings: readings.collect(),
        };
        record_diagnosis(&self.desk, diagnosis)?;
        Ok(())
    }

    /// One result.
    pub(crate) fn result(
        &mut self,
        key: &str,
        phase: Phase,
        code: &str,
        gives: Gives,
    ) -> Result<()> {
        self.tick();
        let result = input_of(gives);
        let request = RecordResult {
            job_id: self.job_id(key)?,
            phase,
            code: TestCode(code.to_owned()),
            result,
            note: String::new(),
            photos: Vec::new(),
            assembly: Some(domain::fact::Assembly::Closed),
            trace: None,
        };
        record_result(&self.desk, request).with_context(|| format!("recording {code}"))?;
        Ok(())
    }
}

/// What is typed for a result.
pub(crate) fn input_of(gives: Gives) -> ResultInput {
    match gives {
        Gives::Pass => ResultInput::Pass,
        Gives::Fail => ResultInput::Fail,
        Gives::Reads(value, uncertainty) => ResultInput::Reading {
            value: value.to_owned(),
            uncertainty: uncertainty.to_owned(),
        },
        Gives::Says(words) => ResultInput::Choice {
            words: words.to_owned(),
        },
        Gives::Not(why) => ResultInput::NotTestable {
            why: why.to_owned(),
        },
    }
}

/// The tests of a job: those of its fault that its kind of device has.
pub(crate) fn trials_for(plan: &JobPlan) -> Vec<Trial> {
    let kind = plan.model.kind;
    let has = |trial: &&Trial| match trial.code {
        "radio.registration" | "radio.call" => kind == DeviceKind::Phone,
        "radio.position" | "sensor.motion" | "display.touch" | "keys.each" => {
            kind != DeviceKind::Laptop
        }
        "keys.sticks" => kind == DeviceKind::Handheld,
        _ => true,
    };
    plan.fault
        .remedy()
        .trials
        .iter()
        .filter(has)
        .copied()
        .collect()
}
