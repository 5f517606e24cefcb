//! Work at the bench, and what it asks for afterwards: a device that may be worked on, and steps that heat a part.

mod boards;
mod heat;
mod jumpers;
mod lots;
mod procedures;

use desk::Desk;
use desk::commands::bench::work::{HeatInput, RecordStep};
use domain::JobId;
use domain::fact::JobOutcome;
use domain::job::{Block, may_close};

use crate::house::{
    House, IMEI, agree_by_word, check_cell, job, look_over, quote, take_in, test_before,
};

const MODEL: &str = "K4";

/// A device that may be worked on.
fn on_the_bench(house: &House) -> JobId {
    let desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, MODEL, IMEI);
    check_cell(desk, job_id);
    look_over(desk, job_id, IMEI);
    test_before(desk, job_id);
    quote(desk, job_id, "89");
    agree_by_word(desk, job_id);
    job_id
}

fn heat(part: &str) -> HeatInput {
    HeatInput {
        part: part.to_owned(),
        temperature_c: "350".to_owned(),
        seconds: "40".to_owned(),
        cell_off: Some(true),
        ..HeatInput::default()
    }
}

fn heating(job_id: JobId, heat: HeatInput) -> RecordStep {
    RecordStep {
        text: "Replaced the charge controller".to_owned(),
        heat: Some(heat),
        ..RecordStep::on(job_id)
    }
}

fn closing_blocks(desk: &Desk, job_id: JobId) -> Vec<Block> {
    may_close(&job(desk, job_id), JobOutcome::Repaired)
        .into_iter()
        .map(|missing| missing.block)
        .collect()
}
