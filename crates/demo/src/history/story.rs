//! When everything happens: the tables laid out in time.

use anyhow::{Context as _, Result};
use domain::fact::{Answer, JobOutcome};

use super::clock::{DAY_MINUTES, WorkTime};
use super::world::World;
use crate::data::parcels::{Arrival, PARCELS, REFUSED_ADVICE, RETURNS};
use crate::data::shops::{SHOPS, ShopKey, ShopPlan};
use crate::data::{Fate, LAST_DAY, Twist, jobs};
use crate::random::Dice;

/// One thing that happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Event {
    Announce(usize),
    Receive(usize),
    Count(usize),
    CheckCell(&'static str),
    Isolate(&'static str),
    ReadCell(&'static str),
    RemoveCell(&'static str),
    HandOver(&'static str),
    LookOver(&'static str),
    TestBefore(&'static str),
    Quote(&'static str),
    Dispute(&'static str),
    Answer(&'static str, Answer),
    Hold(&'static str),
    Work(&'static str),
    TestAfter(&'static str),
    Close(&'static str),
    Ask(&'static str),
    RefuseAdvice,
    SendBack(usize),
}

/// Which part of the tables is played.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cast {
    /// Which parcels come in.
    pub(crate) plays: fn(usize) -> bool,
    /// Which parcels go back.
    pub(crate) returns: fn(usize) -> bool,
}

/// Lays the story out: every event with its time, in order.
pub(crate) fn lay_out(cast: Cast, seed: u64) -> Vec<(WorkTime, Event)> {
    let mut events = Vec::new();
    for (index, plan) in PARCELS
        .iter()
        .enumerate()
        .filter(|(index, _)| (cast.plays)(*index))
    {
        let mut dice = Dice::for_name(seed, plan.jobs.first().copied().unwrap_or("parcel"));
        let spread =
            |dice: &mut Dice, minutes: u64| u32::try_from(dice.below(minutes)).unwrap_or(0);
        if plan.announced {
            events.push((
                WorkTime::on(plan.day, 380 + spread(&mut dice, 140)),
                Event::Announce(index),
            ));
        }
        if plan.state == Arrival::Awaited {
            continue;
        }
        let received = WorkTime::on(plan.day + 1, 25 + spread(&mut dice, 50));
        events.push((received, Event::Receive(index)));
        if plan.state == Arrival::Received {
            continue;
        }
        let counted = received.plus(12 + spread(&mut dice, 15));
        events.push((counted, Event::Count(index)));
        for key in plan
            .jobs
            .iter()
            .filter(|key| jobs::plan(key).twist != Twist::Missing)
        {
            lay_out_job(&mut events, key, counted, seed);
        }
    }
    let (_, day, _) = REFUSED_ADVICE;
    if (cast.plays)(PARCELS.len() - 1) {
        events.push((WorkTime::on(day, 300), Event::RefuseAdvice));
    }
    for (index, plan) in RETURNS
        .iter()
        .enumerate()
        .filter(|(index, _)| (cast.returns)(*index))
    {
        events.push((
            WorkTime::on(plan.day, DAY_MINUTES - 45),
            Event::SendBack(index),
        ));
    }
    let checks: Vec<(WorkTime, &'static str)> = events
        .iter()
        .filter_map(|(time, event)| match event {
            Event::CheckCell(key) => Some((*time, *key)),
            _ => None,
        })
        .collect();
    for (time, key) in checks {
        super::bay::lay_out_cell(&mut events, key, time);
    }
    events.sort_by_key(|(time, _)| *time);
    events
}

/// The stations of one job, as far as its fate goes.
fn lay_out_job(
    events: &mut Vec<(WorkTime, Event)>,
    key: &'static str,
    counted: WorkTime,
    seed: u64,
) {
    let plan = jobs::plan(key);
    let shop = shop_of(key);
    let mut dice = Dice::for_name(seed, key);
    let mut time = counted;
    let mut then = |minutes: u32, event: Event| {
        time = time.plus(minutes + u32::try_from(dice.below(45)).unwrap_or(0));
        events.push((time, event));
    };
    let fate = plan.fate;
    if matches!(fate, Fate::Counted | Fate::Awaited) {
        return;
    }
    then(40, Event::CheckCell(key));
    if matches!(fate, Fate::CellChecked | Fate::Swollen | Fate::Watched) {
        return;
    }
    then(60, Event::LookOver(key));
    if matches!(fate, Fate::LookedOver | Fate::Swapped) {
        return;
    }
    then(80, Event::TestBefore(key));
    match fate {
        Fate::Tested => return,
        Fate::OnHold => return then(30, Event::Hold(key)),
        Fate::Closed(
            JobOutcome::NoFaultFound | JobOutcome::NotRepairable | JobOutcome::BeyondEconomicRepair,
        ) => {
            return then(200, Event::Close(key));
        }
        Fate::Disputed => return then(60, Event::Dispute(key)),
        _ => {}
    }
    then(60, Event::Quote(key));
    if fate == Fate::Quoted {
        return;
    }
    if fate == Fate::Asked {
        return then(180, Event::Answer(key, Answer::Ask));
    }
    let wait = if shop.standing_limit.is_empty() {
        240
    } else {
        150
    };
    if fate == Fate::Refused {
        then(wait, Event::Answer(key, Answer::Refuse));
        return then(90, Event::Close(key));
    }
    then(wait, Event::Answer(key, Answer::Agree));
    match fate {
        Fate::Agreed => return,
        Fate::ForPart => return then(60, Event::Hold(key)),
        _ => {}
    }
    if key == "l1" {
        then(30, Event::Ask(key));
    }
    then(110, Event::Work(key));
    if fate == Fate::Worked {
        return;
    }
    then(120, Event::TestAfter(key));
    if fate == Fate::Proving {
        return;
    }
    then(40, Event::Close(key));
}

/// The shop that a job is of.
pub(crate) fn shop_of(key: &str) -> &'static ShopPlan {
    let parcel = PARCELS
        .iter()
        .find(|parcel| parcel.jobs.contains(&key))
        .expect("every job is in a parcel");
    SHOPS
        .iter()
        .find(|shop| shop.key == parcel.shop)
        .expect("every parcel is of a shop of the table")
}

impl World {
    /// Plays the story; `tell` hears of each day as it begins.
    pub(crate) fn play(&mut self, cast: Cast, seed: u64, tell: &dyn Fn(u32)) -> Result<()> {
        let mut today = None;
        for (time, event) in lay_out(cast, seed) {
            if today != Some(time.day()) {
                today = Some(time.day());
                tell(time.day());
            }
            self.clock.move_to(self.days.at_ms(time)?);
            self.happen(event, time.day()).with_context(|| {
                format!(
                    "in the story, {event:?} on day {} of {LAST_DAY}",
                    time.day()
                )
            })?;
        }
        Ok(())
    }

    fn happen(&mut self, event: Event, day: u32) -> Result<()> {
        match event {
            Event::Announce(index) => self.announce(index),
            Event::Receive(index) => self.receive(index),
            Event::Count(index) => self.count(index),
            Event::CheckCell(key) => self.check_cell(key),
            Event::Isolate(key) => self.isolate(key),
            Event::ReadCell(key) => self.read_cell(key),
            Event::RemoveCell(key) => self.take_cell_out(key),
            Event::HandOver(_) => self.hand_cell_over(),
            Event::LookOver(key) => self.look_over(key),
            Event::TestBefore(key) => self.test_before(key),
            Event::Quote(key) => self.quote(key, day),
            Event::Dispute(key) => self.dispute(key, day),
            Event::Answer(key, answer) => self.answer(key, answer),
            Event::Hold(key) => self.hold(key),
            Event::Work(key) => self.work(key),
            Event::TestAfter(key) => self.test_after(key),
            Event::Close(key) => self.close(key),
            Event::Ask(key) => self.ask(key),
            Event::RefuseAdvice => self.refuse_advice(),
            Event::SendBack(index) => self.send_back(index, RETURNS[index]),
        }
    }

    /// The shop writes, and the lab answers.
    fn ask(&mut self, key: &str) -> Result<()> {
        let job_id = self.job_id(key)?;
        if let Some(portal) = &self.portal {
            portal.write(
                ShopKey::Lasta,
                job_id,
                "Када стиже назад? Муштерија пита сваки дан.",
            )?;
            self.sync()?;
        }
        self.act_as(crate::data::people::OWNER)?;
        let text = "It is on the bench now and goes back with the next parcel.".to_owned();
        desk::commands::bench::work::post_message(
            &self.desk,
            desk::commands::bench::work::PostMessage { job_id, text },
        )?;
        Ok(())
    }

    fn refuse_advice(&mut self) -> Result<()> {
        let (shop, _, device) = REFUSED_ADVICE;
        if let Some(portal) = &self.portal {
            portal.refuse(shop, device)?;
            self.sync()?;
        }
        Ok(())
    }
}
