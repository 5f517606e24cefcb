//! The Dock: the parcel comes in, is looked at and counted, and its tag is printed.

use std::sync::Arc;

use anyhow::{Context as _, Result, ensure};
use desk::PhotoTarget;
use desk::commands::PaperFile;
use desk::commands::dock::{
    CountParcel, InParcel, PrintJobTags, ReceiveParcel, RecordParcelFindings, TagStock,
    count_parcel, print_job_tags, receive_parcel, record_parcel_findings,
};
use desk::commands::scan::{ScanTarget, ScanText, scan};
use domain::fact::{ParcelFinding, PhotoPlace};
use domain::{JobId, Subject};

use super::Play;
use super::shop::label;
use crate::pictures::{self, Held, ParcelState, Picture};

/// The picture of the parcel: what it shows and which shot of it.
const PARCEL_PICTURE: (u64, u64) = (0x0D0C, 1);

impl Play {
    pub(super) fn parcel_comes_in(&mut self) -> Result<()> {
        let (found, missing) = self.devices.context("the shop has announced no devices")?;
        self.label_is_scanned()?;
        self.parcel_is_taken_in()?;
        self.parcel_is_counted(found, missing)?;
        self.shop_sees_missing(missing)?;
        self.tag_is_printed(found)
    }

    fn label_is_scanned(&mut self) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        let parcel_id = self.parcel()?;
        self.steps.step(
            "Dock: the carrier’s label is scanned and recognised",
            || {
                let answer = scan(&desk, ScanText { text: label() })?;
                let [only] = &answer.matches[..] else {
                    anyhow::bail!(
                        "the label fits {} things instead of one: {}",
                        answer.matches.len(),
                        answer.sentence
                    );
                };
                ensure!(
                    only.target == ScanTarget::Parcel { parcel_id },
                    "the label leads to something else than the announced parcel"
                );
                Ok(((), answer.sentence))
            },
        )
    }

    fn parcel_is_taken_in(&mut self) -> Result<()> {
        let parcel_id = self.parcel()?;
        let desk = Arc::clone(&self.desk);
        self.steps.step(
            "It is taken in, with what is seen on it and a picture",
            || {
                let request = ReceiveParcel {
                    parcel_id: Some(parcel_id),
                    scanned: label(),
                    shop_id: None,
                };
                receive_parcel(&desk, request)?;
                let note = "Corner pressed in, the padding held.".to_owned();
                record_parcel_findings(
                    &desk,
                    RecordParcelFindings {
                        parcel_id,
                        findings: vec![ParcelFinding::Crushed],
                        note,
                    },
                )?;
                let jpeg = pictures::draw(
                    Picture::Parcel(ParcelState::Crushed),
                    PARCEL_PICTURE.0,
                    PARCEL_PICTURE.1,
                    Held::Sideways,
                );
                let target = PhotoTarget {
                    subject: Subject::Parcel(parcel_id),
                    place: PhotoPlace::Parcel,
                    caption: "Corner pressed in".to_owned(),
                    beside: None,
                };
                let photo = desk.take_photo(&jpeg, &target)?;
                ensure!(
                    photo.width_px > photo.height_px,
                    "a picture held sideways was not turned upright"
                );
                let kept = desk.file_bytes(&photo.hash)?;
                ensure!(
                    !kept.windows(4).any(|bytes| bytes == b"Exif"),
                    "the kept picture still holds what the camera wrote beside it"
                );
                Ok((
                    (),
                    format!(
                        "picture {} x {}, turned upright, its place removed",
                        photo.width_px, photo.height_px
                    ),
                ))
            },
        )
    }

    fn parcel_is_counted(&mut self, found: JobId, missing: JobId) -> Result<()> {
        let parcel_id = self.parcel()?;
        let desk = Arc::clone(&self.desk);
        self.steps
            .step("Counted: two expected, one found, one missing", || {
                let note = "Searched the padding twice.".to_owned();
                let view = count_parcel(
                    &desk,
                    CountParcel {
                        parcel_id,
                        found: vec![found],
                        extra: Vec::new(),
                        note,
                    },
                )?;
                let state = |job_id| {
                    view.devices
                        .iter()
                        .find(|row| row.job.job_id == job_id)
                        .map(|row| row.state)
                };
                ensure!(
                    state(found) == Some(InParcel::Found),
                    "the device that was found is not recorded as found"
                );
                ensure!(
                    state(missing) == Some(InParcel::Missing),
                    "the device that was not there is not recorded as missing"
                );
                Ok(((), String::new()))
            })
    }

    fn tag_is_printed(&mut self, found: JobId) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        self.steps.step(
            "Its job tag is printed, on the 62 mm roll and on the A4 sheet",
            || {
                let mut said = Vec::new();
                for (stock, words) in [(TagStock::Roll62Mm, "roll"), (TagStock::SheetA4, "sheet")] {
                    let request = PrintJobTags {
                        job_ids: vec![found],
                        stock,
                        first_label: 1,
                    };
                    let paper: PaperFile = print_job_tags(&desk, request)?;
                    ensure!(
                        desk.paper_bytes(&paper.name)?.starts_with(b"%PDF-"),
                        "{} is no PDF",
                        paper.name
                    );
                    said.push(format!("{words} {} KB", paper.size_bytes / 1000));
                }
                Ok(((), said.join(", ")))
            },
        )
    }
}
