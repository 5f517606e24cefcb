//! Price, answer, work, tests after, and the end of a job.

use anyhow::{Context as _, Result, ensure};
use desk::commands::PaperSize;
use desk::commands::bench::closing::{MakeReport, SetOutcome, make_report, set_outcome};
use desk::commands::bench::quote::{
    QuoteLineInput, RecordDecision, SetQuote, record_decision, set_quote,
};
use desk::commands::bench::work::{
    HeatInput, PlaceHold, RecordNote, RecordStep, StepOfProcedure, place_hold, record_note,
    record_step,
};
use desk::commands::procedures::{BeginProcedure, begin_procedure};
use domain::Subject;
use domain::fact::{
    Answer, FittedPart, HoldKind, JobOutcome, Phase, PhotoAdded, PhotoPlace, ProcedureCode,
    TestCode,
};
use domain::job::{Agreement, TestReason};

use super::looking::trials_for;
use super::story::shop_of;
use super::workshop::{HOT_AIR, offered_heat};
use super::world::{Shown, World};
use crate::data::remedies::{Fault, Gives, HeatPlan, Remedy, StepPlan};
use crate::data::shops::ShopPlan;
use crate::data::{Fate, jobs, people};
use crate::pictures::{BoardState, DeviceSide, Finish, Picture};

/// The fee for a device that goes back as it came, in euro.
pub(crate) const FEE_EURO: u32 = 18;

/// A quote as it is typed, in the shop's currency.
pub(crate) fn quote_lines(shop: &ShopPlan, lines: &[(&str, u32)]) -> Vec<QuoteLineInput> {
    lines
        .iter()
        .map(|(text, euro)| QuoteLineInput {
            text: (*text).to_owned(),
            amount: shop.price(*euro),
        })
        .collect()
}

/// A step's heat as it is typed.
pub(crate) fn heat_input(heat: &HeatPlan) -> HeatInput {
    HeatInput {
        temperature_c: heat.temperature_c.to_owned(),
        seconds: heat.seconds.to_owned(),
        side: heat.side,
        neighbours: heat
            .neighbours
            .iter()
            .map(|part| (*part).to_owned())
            .collect(),
        neighbour_tests: heat
            .tests
            .iter()
            .map(|code| TestCode((*code).to_owned()))
            .collect(),
        ..HeatInput::default()
    }
}

/// The part that a step's heat is on: the one it fits, or the suspected one that it takes off.
pub(crate) fn heated_part(step: &StepPlan, remedy: &Remedy) -> &'static str {
    step.parts
        .first()
        .map_or(remedy.suspect, |part| part.designator)
}

/// A step's parts as they are typed.
pub(crate) fn fitted(step: &StepPlan) -> Vec<FittedPart> {
    let part = |part: &crate::data::remedies::PartPlan| FittedPart {
        designator: part.designator.to_owned(),
        description: part.description.to_owned(),
        source: part.source,
        lot: part.lot.to_owned(),
    };
    step.parts.iter().map(part).collect()
}

impl World {
    /// The owner names a price.
    pub(crate) fn quote(&mut self, key: &str, day: u32) -> Result<()> {
        self.act_as(people::OWNER)?;
        let request = self.quote_request(key, day)?;
        set_quote(&self.desk, request)?;
        self.sync()
    }

    pub(crate) fn quote_request(&self, key: &str, day: u32) -> Result<SetQuote> {
        let shop = shop_of(key);
        let remedy = jobs::plan(key).fault.remedy();
        Ok(SetQuote {
            job_id: self.job_id(key)?,
            lines: quote_lines(shop, remedy.lines),
            fee_if_refused: shop.price(FEE_EURO),
            promised_date: self
                .days
                .date_after(day, promise_days(jobs::plan(key).number))?,
            note: String::new(),
        })
    }

    /// The shop answers: on the portal, or by telephone where there is none. A price within its limit is agreed already.
    pub(crate) fn answer(&mut self, key: &str, answer: Answer) -> Result<()> {
        let view = self.job(key)?;
        if matches!(view.job.agreement, Agreement::Agreed { .. }) {
            return Ok(());
        }
        let quote_entry_id = view
            .job
            .quote
            .mark()
            .context("no price has been named")?
            .entry_id;
        let note = match answer {
            Answer::Agree => "",
            Answer::Refuse => "Too much for this device, please send it back.",
            Answer::Ask => "Would a new antenna be enough? The customer asks for a lower price.",
        };
        self.tick();
        if let Some(portal) = &self.portal {
            portal.answer(
                shop_of(key).key,
                (view.job.job_id, quote_entry_id),
                answer,
                note,
            )?;
            self.sync()?;
        } else {
            let note = format!("by telephone. {note}").trim().to_owned();
            record_decision(
                &self.desk,
                RecordDecision {
                    job_id: view.job.job_id,
                    answer,
                    note,
                },
            )?;
        }
        Ok(())
    }

    /// The job waits for something.
    pub(crate) fn hold(&mut self, key: &str) -> Result<()> {
        self.act_as_technician(key)?;
        let (kind, note) = match jobs::plan(key).fate {
            Fate::ForPart => (HoldKind::Part, "backlight driver, ordered, due in two days"),
            _ => (
                HoldKind::Other,
                "the customer's own charger, to see the fault as the customer sees it",
            ),
        };
        place_hold(
            &self.desk,
            PlaceHold {
                job_id: self.job_id(key)?,
                kind,
                note: note.to_owned(),
            },
        )?;
        Ok(())
    }

    /// The work.
    pub(crate) fn work(&mut self, key: &str) -> Result<()> {
        let plan = jobs::plan(key);
        let job_id = self.job_id(key)?;
        if plan.fault == Fault::Liquid {
            self.check_cell_again(key)?;
        }
        self.act_as_technician(key)?;
        let witness_id = self.person(people::SECOND_PAIR)?;
        let remedy = plan.fault.remedy();
        let heated = remedy.steps.iter().any(|step| step.heat.is_some());
        let mut begun_id = None;
        if heated {
            let begin = BeginProcedure {
                job_id,
                code: ProcedureCode(HOT_AIR.to_owned()),
            };
            let view = begin_procedure(&self.desk, begin)?;
            begun_id = view.job.procedures.last().map(|begun| begun.mark.entry_id);
        }
        for (index, step) in plan.fault.remedy().steps.iter().enumerate() {
            self.tick();
            let mut photos = Vec::new();
            if index == 0
                && step.heat.is_some()
                && plan.fault.remedy().board == BoardState::Scorched
            {
                let photo = self.photo(&Shown {
                    subject: Subject::Job(job_id),
                    picture: Picture::Board(BoardState::PartOff),
                    thing: self.thing(plan),
                    place: PhotoPlace::Work,
                    caption: "Pads cleaned, the part is off",
                    beside: None,
                })?;
                photos.push(photo.hash);
            }
            let request = RecordStep {
                job_id,
                text: step.text.to_owned(),
                tool: step.tool.to_owned(),
                parts: fitted(step),
                heat: step
                    .heat
                    .as_ref()
                    .map(|heat| offered_heat(&self.desk, job_id, heated_part(step, remedy), heat))
                    .transpose()?,
                in_procedure: begun_id.filter(|_| step.heat.is_some()).map(|begun_id| {
                    StepOfProcedure {
                        begun_id,
                        index: 0,
                        passed: true,
                        result: String::new(),
                    }
                }),
                photos,
                ..RecordStep::on(job_id)
            };
            record_step(&self.desk, request).with_context(|| format!("step {}", index + 1))?;
        }
        if let Some(begun_id) = begun_id {
            self.tick();
            let result = "no bridge, all balls there, nothing around it moved";
            let seen = RecordStep {
                text: format!("Seen under the microscope: {result}"),
                witness_id: Some(witness_id),
                in_procedure: Some(StepOfProcedure {
                    begun_id,
                    index: 1,
                    passed: true,
                    result: result.to_owned(),
                }),
                ..RecordStep::on(job_id)
            };
            record_step(&self.desk, seen).context("the hold point")?;
        }
        Ok(())
    }

    /// The tests again, and every neighbour's.
    pub(crate) fn test_after(&mut self, key: &str) -> Result<()> {
        let plan = jobs::plan(key);
        self.act_as_technician(key)?;
        let in_part = plan.fate == Fate::Closed(JobOutcome::RepairedInPart);
        let all = trials_for(plan);
        let last = if plan.fate == Fate::Proving {
            2
        } else {
            all.len()
        };
        for trial in &all[..last.min(all.len())] {
            let gives = if in_part && trial.shows_fault {
                Gives::Fail
            } else {
                trial.after
            };
            self.result(key, Phase::After, trial.code, gives)?;
        }
        if plan.fate == Fate::Proving {
            return Ok(());
        }
        let opened: Vec<String> = self
            .job(key)?
            .job
            .comparison
            .iter()
            .filter(|row| row.reason == TestReason::Neighbour && row.after.is_none())
            .map(|row| row.code.0.clone())
            .collect();
        for code in opened {
            self.result(key, Phase::After, &code, neighbour_gives(&code))?;
        }
        self.show_after(key)
    }

    fn show_after(&mut self, key: &str) -> Result<()> {
        let plan = jobs::plan(key);
        let job_id = self.job_id(key)?;
        let before: Option<PhotoAdded> = self
            .job(key)?
            .job
            .photos
            .iter()
            .find(|photo| photo.value.place == PhotoPlace::Before)
            .map(|photo| photo.value.clone());
        self.photo(&Shown {
            subject: Subject::Job(job_id),
            picture: Picture::Board(BoardState::Clean),
            thing: self.thing(plan),
            place: PhotoPlace::After,
            caption: "Board after: fresh part, cleaned",
            beside: before.as_ref(),
        })?;
        if plan.number.is_multiple_of(3) {
            self.photo(&Shown {
                subject: Subject::Job(job_id),
                picture: Picture::Device(
                    plan.model.kind,
                    DeviceSide::FrontOn,
                    Finish::named(plan.colour),
                ),
                thing: self.thing(plan),
                place: PhotoPlace::After,
                caption: "Closed and running",
                beside: None,
            })?;
        }
        Ok(())
    }

    /// The outcome and the return report.
    pub(crate) fn close(&mut self, key: &str) -> Result<()> {
        let plan = jobs::plan(key);
        let job_id = self.job_id(key)?;
        let outcome = match plan.fate {
            Fate::Closed(outcome) => outcome,
            _ => JobOutcome::Declined,
        };
        self.act_as_technician(key)?;
        if outcome == JobOutcome::NotRepairable {
            record_note(
                &self.desk,
                RecordNote {
                    job_id,
                    text: "Inner layers burnt through over 6 mm; not to be bridged safely."
                        .to_owned(),
                },
            )?;
            self.tick();
        }
        let words = match outcome {
            JobOutcome::Repaired => plan.fault.remedy().told,
            JobOutcome::RepairedInPart => {
                "The stick works again. The shoulder key's own flex is torn; it needs a new housing part that nobody sells."
            }
            JobOutcome::NoFaultFound => {
                "The trigger key worked in every test, 200 times, warm and cold. Please describe when it fails."
            }
            JobOutcome::NotRepairable => {
                "The board is burnt through its inner layers beside the processor's supply. It can't be repaired safely."
            }
            JobOutcome::BeyondEconomicRepair => {
                "Coffee reached the processor and its memory; the repair would cost more than the device is worth."
            }
            JobOutcome::Declined => {
                "Returned unrepaired as you asked. Nothing was changed on the board."
            }
            JobOutcome::DataOnly => {
                "The device was brought to run once and the photos were copied to the drive in the parcel. It should not be used further."
            }
        };
        let request = SetOutcome {
            job_id,
            outcome,
            words: words.to_owned(),
            warranty_days: String::new(),
        };
        set_outcome(&self.desk, request)
            .with_context(|| format!("closing as {}", outcome.words()))?;
        self.tick();
        let paper = make_report(
            &self.desk,
            MakeReport {
                job_id,
                size: PaperSize::A4,
            },
        )
        .context("making the return report")?;
        ensure!(paper.size_bytes > 0, "the return report is empty");
        self.sync()
    }
}

/// How many business days are promised: more where more is to be done; here by the device's number.
const fn promise_days(number: u32) -> u32 {
    6 + number % 4 * 2
}

/// What a neighbour's test gives when nothing was harmed.
pub(crate) fn neighbour_gives(code: &str) -> Gives {
    match code {
        "charge.current" => Gives::Reads("1.37", "0.05"),
        "audio.loudspeaker" => Gives::Says("clear at full volume"),
        "display.image" => Gives::Says("good"),
        _ => Gives::Pass,
    }
}
