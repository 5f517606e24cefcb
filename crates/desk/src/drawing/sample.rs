//! Papers of an invented job, by which a lab sees how its mark and its texts print. They are drawn by the same code as real ones.

use domain::fact::LabDescription;
use papers::model::{
    CellCheck, CellLevel, Comparison, ComparisonRow, Condition, Digest, Finding, InwardSlip, Lab,
    Labelled, Outcome, OutcomeKind, PackedDevice, PackingSlip, PaperMeta, Party, Reading,
    ReadingKind, ReportDevice, ReturnReport, SlipDevice, Stated, WorkStep,
};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::own::Own;
use super::{lab_head, meta, setup};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::views::{PaperFile, PaperSize};

/// A paper that can be looked at before there is a job for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum PreviewedPaper {
    /// The return report.
    Report,
    /// The packing slip.
    PackingSlip,
    /// The inward slip, as a shop prints it.
    InwardSlip,
}

/// Stands in place of every reference, so that no sample is taken for a real paper.
const SAMPLE: &str = "SAMPLE";

impl Desk {
    /// Draws a paper of an invented job with the lab's own head, foot and texts.
    pub(crate) fn preview(
        &self,
        paper: PreviewedPaper,
        size: PaperSize,
    ) -> Result<PaperFile, DeskError> {
        let lab = self.lab()?;
        let (Some(description), Some(mark)) = (lab.description.value(), lab.description.mark())
        else {
            return Err(DeskError::NoLab);
        };
        let sample = Sample {
            own: self.own()?,
            lab: description,
            at_ms: mark.at_ms,
        };
        let setup = setup(size);
        let (name, pdf) = match paper {
            PreviewedPaper::Report => (
                "sample-report.pdf",
                papers::return_report(&sample.report(), &setup)?,
            ),
            PreviewedPaper::PackingSlip => (
                "sample-packing-slip.pdf",
                papers::packing_slip(&sample.packing_slip(), &setup)?,
            ),
            PreviewedPaper::InwardSlip => (
                "sample-inward-slip.pdf",
                papers::inward_slip(&sample.inward_slip(), &setup)?,
            ),
        };
        self.write_paper(name, &pdf)
    }
}

struct Sample<'a> {
    own: Own,
    lab: &'a LabDescription,
    at_ms: u64,
}

impl Sample<'_> {
    fn meta(&self, title: &str) -> PaperMeta {
        meta(title.to_owned(), self.lab, self.at_ms)
    }

    fn head(&self) -> Lab {
        self.own.on(lab_head(self.lab))
    }

    fn report(&self) -> ReturnReport {
        let days = self.lab.warranty_days;
        let said = format!(
            "On the work named here, for {days} calendar days from the day it was closed. Rights that the law gives are not touched."
        );
        let said = if days == 0 {
            "None is given on this work beyond the rights that the law gives.".to_owned()
        } else {
            said
        };
        ReturnReport {
            meta: self.meta("Sample of a return report"),
            lab: self.head(),
            job_ref: SAMPLE.to_owned(),
            shop: shop(),
            device: ReportDevice {
                kind: "phone".to_owned(),
                name: "Vireo Lumen 6".into(),
                identifiers: vec![Labelled::mono("IMEI", "490154203237518")],
                fault: "“does not charge since it fell into a sink”".into(),
                accessories: "card tray".to_owned(),
            },
            dates: vec![
                Labelled::text("Received", "a Monday, 09:12"),
                Labelled::text("Closed", "the Wednesday after, 16:40"),
            ],
            outcome: Outcome {
                kind: OutcomeKind::Repaired,
                word: "Repaired".into(),
                text: "This job is invented: it shows how your papers print.".to_owned(),
            },
            condition: Condition {
                findings: vec![
                    finding("back: scratches"),
                    finding("bottom edge: green deposit in the charging port"),
                ],
                ..Condition::default()
            },
            cell_check: Some(CellCheck {
                level: CellLevel::Clear,
                word: "Clear".to_owned(),
                readings: vec![Labelled::mono("Voltage", "3.61 V")],
                ..CellCheck::default()
            }),
            work: vec![
                step("Opened, board taken out; corrosion at the charging connector cleaned."),
                step("Charging controller replaced, with its two capacitors."),
                step("Closed, all parts attached, tested as a whole."),
            ],
            comparison: vec![
                row(
                    "Charging current",
                    reading(ReadingKind::Fail, "fail", "0.00 A"),
                    reading(ReadingKind::Pass, "pass", "1.82 A"),
                    Comparison::Fixed,
                    "fixed",
                ),
                row(
                    "Display and touch",
                    reading(ReadingKind::Pass, "pass", ""),
                    reading(ReadingKind::Pass, "pass", ""),
                    Comparison::Steady,
                    "steady",
                ),
            ],
            warranty: self.own.warranty(vec![Stated::from(said)], days > 0),
            terms: self.own.terms(),
            digest: Some(Digest {
                digest: "sha256 of the job’s record".to_owned(),
                url: "urn:waybench:sample".to_owned(),
                text: "A report shows here where its record is kept.".to_owned(),
            }),
            ..ReturnReport::default()
        }
    }

    fn packing_slip(&self) -> PackingSlip {
        PackingSlip {
            meta: self.meta("Sample of a packing slip"),
            lab: self.head(),
            parcel_ref: SAMPLE.to_owned(),
            code: SAMPLE.to_owned(),
            to: shop(),
            facts: vec![
                Labelled::text("Devices", "1"),
                Labelled::mono("Weight", "412 g"),
            ],
            devices: vec![PackedDevice {
                job_ref: SAMPLE.to_owned(),
                name: "Vireo Lumen 6, phone".to_owned(),
                identifier: "490154203237518".to_owned(),
                accessories: "card tray".to_owned(),
                outcome: OutcomeKind::Repaired,
                outcome_word: "Repaired".to_owned(),
                note: String::new(),
            }],
            terms: self.own.terms(),
            ..PackingSlip::default()
        }
    }

    fn inward_slip(&self) -> InwardSlip {
        InwardSlip {
            meta: self.meta("Sample of an inward slip"),
            lab: self.head(),
            parcel_ref: SAMPLE.to_owned(),
            code: SAMPLE.to_owned(),
            shop: shop(),
            facts: vec![Labelled::text("Announced", "a Friday, 17:05")],
            devices: vec![SlipDevice {
                name: "Vireo Lumen 6, phone".to_owned(),
                identifier: "490154203237518".to_owned(),
                fault: "does not charge since it fell into a sink".to_owned(),
                accessories: "card tray".to_owned(),
                job_ref: SAMPLE.to_owned(),
            }],
            packing: vec!["How this parcel is packed stands here, step by step.".to_owned()],
            ..InwardSlip::default()
        }
    }
}

fn shop() -> Party {
    Party {
        name: "Corner & Sons".to_owned(),
        address: vec!["1 Market Row".to_owned(), "Lindenford".to_owned()],
    }
}

fn finding(text: &str) -> Finding {
    Finding {
        text: text.into(),
        ..Finding::default()
    }
}

fn step(text: &str) -> WorkStep {
    WorkStep {
        text: text.to_owned(),
        ..WorkStep::default()
    }
}

fn reading(kind: ReadingKind, word: &str, value: &str) -> Reading {
    Reading {
        kind,
        word: word.to_owned(),
        value: value.into(),
        in_words: false,
    }
}

fn row(
    test: &str,
    before: Reading,
    after: Reading,
    comparison: Comparison,
    word: &str,
) -> ComparisonRow {
    ComparisonRow {
        test: test.to_owned(),
        before,
        after,
        comparison,
        word: word.to_owned(),
        ..ComparisonRow::default()
    }
}
