//! What the invented lab knows of its boards, how it works, and what lies in its drawers.
//!
//! Positions and sizes are invented; that a radio part lies behind a charge controller is common practice, no source.

use std::collections::BTreeSet;

use anyhow::{Context as _, Result};
use desk::Desk;
use desk::commands::bench::heat::{HeatInput, PreviewStep, preview_step};
use desk::commands::boards::{
    SaveBoard, SaveBoardPart, SetNearness, save_board, save_board_part, set_nearness,
};
use desk::commands::lots::{BagEvent, SaveLot, SetLotBag, save_lot, set_lot_bag};
use desk::commands::procedures::{SaveProcedure, save_procedure};
use domain::JobId;
use domain::device::DeviceKind;
use domain::fact::{BoardCode, BoardSide, LotNumber, ProcedureStep, TestCode};
use domain::rework::MoistureLevel;

use super::world::World;
use crate::data::Model;
use crate::data::jobs::JOBS;
use crate::data::remedies::HeatPlan;
use crate::history::heat_input;

/// Replacing a part with hot air, as the lab does it.
pub(crate) const HOT_AIR: &str = "HP-03";

struct Known {
    designator: &'static str,
    description: &'static str,
    side: BoardSide,
    /// Length, width, thickness in millimetres.
    body: [&'static str; 3],
    moisture: Option<MoistureLevel>,
    serves: &'static [&'static str],
}

const PARTS: &[Known] = &[
    Known {
        designator: "U253",
        description: "charge controller",
        side: BoardSide::Top,
        body: ["2.6", "2.6", "0.6"],
        moisture: Some(MoistureLevel::L1),
        serves: &["charge.current"],
    },
    Known {
        designator: "J234",
        description: "bottom connector",
        side: BoardSide::Top,
        body: ["9.2", "3.1", "1.1"],
        moisture: None,
        serves: &["port.data"],
    },
    Known {
        designator: "U236",
        description: "sound codec",
        side: BoardSide::Top,
        body: ["4.8", "3.7", "0.6"],
        moisture: Some(MoistureLevel::L1),
        serves: &["audio.microphones"],
    },
    Known {
        designator: "U801",
        description: "cellular transceiver",
        side: BoardSide::Bottom,
        body: ["7", "7", "0.9"],
        moisture: Some(MoistureLevel::L3),
        serves: &["radio.registration", "radio.call"],
    },
    Known {
        designator: "C282",
        description: "capacitor on the main rail",
        side: BoardSide::Top,
        body: ["1", "0.5", "0.5"],
        moisture: None,
        serves: &[],
    },
    Known {
        designator: "U282",
        description: "power management",
        side: BoardSide::Top,
        body: ["6.1", "5.9", "0.8"],
        moisture: Some(MoistureLevel::L3),
        serves: &["charge.current"],
    },
    Known {
        designator: "L236",
        description: "coil of the main converter",
        side: BoardSide::Top,
        body: ["2", "1.6", "1"],
        moisture: None,
        serves: &["charge.current"],
    },
];

const NEAR: &[(&str, &str, &str)] = &[
    ("U253", "J234", ""),
    ("U253", "U236", ""),
    ("U253", "U801", "seen in a cut through a donor board"),
    ("C282", "U282", ""),
    ("C282", "L236", ""),
];

/// The board of a model, as it is called here.
fn board_code(model: &Model) -> String {
    let name: String = model
        .name
        .to_uppercase()
        .chars()
        .filter(|c| c.is_alphanumeric())
        .collect();
    format!("MB-{name}-1")
}

/// Writes down the board of a model.
pub(crate) fn describe_board(desk: &Desk, model: &Model) -> Result<()> {
    let code = board_code(model);
    save_board(
        desk,
        SaveBoard {
            code: code.clone(),
            name: format!("Main board, {} {}", model.maker, model.name),
            maker: model.maker.to_owned(),
            models: vec![model.name.to_owned()],
            note: String::new(),
            retired: false,
        },
    )?;
    let board = BoardCode(code);
    for part in PARTS {
        let [length, width, thickness] = part.body.map(str::to_owned);
        save_board_part(
            desk,
            SaveBoardPart {
                board: board.clone(),
                designator: part.designator.to_owned(),
                description: part.description.to_owned(),
                side: part.side,
                length,
                width,
                thickness,
                moisture: part.moisture,
                serves: part
                    .serves
                    .iter()
                    .map(|code| TestCode((*code).to_owned()))
                    .collect(),
                gone: false,
            },
        )
        .with_context(|| format!("describing {}", part.designator))?;
    }
    for (one, other, note) in NEAR {
        set_nearness(
            desk,
            SetNearness {
                board: board.clone(),
                one: (*one).to_owned(),
                other: (*other).to_owned(),
                near: true,
                note: (*note).to_owned(),
            },
        )?;
    }
    Ok(())
}

/// A step's heat with all that the board's knowledge adds to it.
pub(crate) fn offered_heat(
    desk: &Desk,
    job_id: JobId,
    part: &str,
    plan: &HeatPlan,
) -> Result<HeatInput> {
    let mut heat = HeatInput {
        part: part.to_owned(),
        cell_off: Some(true),
        alloy: "SAC305".to_owned(),
        ..heat_input(plan)
    };
    let preview = preview_step(
        desk,
        PreviewStep {
            job_id,
            heat: Some(heat.clone()),
            parts: Vec::new(),
            jumper: None,
        },
    )?;
    for near in preview.neighbours {
        if !heat.neighbours.contains(&near.designator) {
            heat.neighbours.push(near.designator);
        }
    }
    for test in preview.tests {
        if !heat.neighbour_tests.contains(&test.code) {
            heat.neighbour_tests.push(test.code);
        }
    }
    Ok(heat)
}

impl World {
    /// Boards, procedures and lots, written down by the owner before the first parcel.
    pub(crate) fn furnish(&mut self) -> Result<()> {
        let mut described = BTreeSet::new();
        for model in JOBS.iter().map(|plan| plan.model) {
            if model.kind == DeviceKind::Phone && described.insert(model.name) {
                self.tick();
                describe_board(&self.desk, model)?;
            }
        }
        let step = |text: &str, hold_point: bool| ProcedureStep {
            text: text.to_owned(),
            hold_point,
            needs_witness: hold_point,
        };
        save_procedure(
            &self.desk,
            SaveProcedure {
                code: HOT_AIR.to_owned(),
                name: "Replace a part with hot air".to_owned(),
                steps: vec![
                    step(
                        "Cell off, board held, neighbours shielded; part off, pads cleaned, part on.",
                        false,
                    ),
                    step(
                        "Under the microscope: no bridge, no ball missing, nothing around it lifted or moved.",
                        true,
                    ),
                ],
                retired: false,
            },
        )?;
        for (lot, description, moisture, thickness, opened) in [
            (
                "BL-2608",
                "backlight driver",
                Some(MoistureLevel::L3),
                "0.6",
                true,
            ),
            (
                "AS-2607",
                "antenna switch",
                Some(MoistureLevel::L1),
                "0.5",
                true,
            ),
            (
                "TR-2606",
                "cellular transceiver",
                Some(MoistureLevel::L3),
                "0.9",
                false,
            ),
            ("CL-2609", "capacitor 10 µF 6.3 V 0402", None, "", false),
        ] {
            self.tick();
            save_lot(
                &self.desk,
                SaveLot {
                    lot: lot.to_owned(),
                    description: description.to_owned(),
                    moisture,
                    label_hours: String::new(),
                    thickness: thickness.to_owned(),
                    history_unknown: lot == "TR-2606",
                    used_up: false,
                },
            )?;
            if opened {
                set_lot_bag(
                    &self.desk,
                    SetLotBag {
                        lot: LotNumber(lot.to_owned()),
                        event: BagEvent::Opened,
                        at: String::new(),
                    },
                )?;
            }
        }
        Ok(())
    }
}
