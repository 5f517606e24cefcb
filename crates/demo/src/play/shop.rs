//! What the shop does, on the portal's pages.

use std::sync::Arc;

use anyhow::{Context as _, Result, ensure};
use desk::commands::bench::{self, JobKey};
use desk::commands::shops::{InviteShopUser, invite_shop_user};
use domain::job::{Agreement, Stage};
use domain::{JobId, ParcelId};

use super::{Play, SHOP};
use crate::data::jobs::NINE;
use crate::data::numbers;
use crate::history::PASSWORD;

/// The job whose quote the shop agrees to.
const QUOTED: &str = "e8";
/// Numbers of this play: not those of the three weeks before.
const DEVICE_NUMBER: u32 = 500;
const PARCEL_NUMBER: u32 = 400;

/// The label of the parcel that comes in.
pub(super) fn label() -> String {
    numbers::tracking(PARCEL_NUMBER, SHOP.plan().country)
}

/// The number of the device that goes through.
pub(super) fn device_identifier() -> String {
    numbers::identifier(&NINE, DEVICE_NUMBER)
}

/// A device as it is typed into the portal's form.
#[derive(Clone, Copy)]
struct Typed<'a> {
    kind: &'a str,
    maker: &'a str,
    model: &'a str,
    colour: &'a str,
    identifier: &'a str,
    number: &'a str,
    fault: &'a str,
}

impl<'a> Typed<'a> {
    fn fields(&self) -> Vec<(&'static str, &'a str)> {
        let mut fields = vec![
            ("kind", self.kind),
            ("maker", self.maker),
            ("model", self.model),
            ("colour", self.colour),
            ("identifier", self.identifier),
            ("shop_reference", self.number),
            ("fault", self.fault),
            ("tried", "Another charger, another cable."),
            ("liquid", "no"),
            ("data_needed", "yes"),
            ("accessories", "SIM tray"),
            ("cell_seen", "no"),
            (
                "lab_answer",
                "By telephone with the lab: may come by road, switched off and padded.",
            ),
            ("then", "another"),
        ];
        fields.extend(
            [
                "burnt", "hot", "swollen", "leaking", "pierced", "recalled", "dropped",
            ]
            .map(|question| (question, "no")),
        );
        fields
    }
}

impl Play {
    pub(super) fn shop_signs_in(&mut self) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        let (browser, shop_id) = (&mut self.browser, self.shop_id);
        self.steps.step(
            "A shop’s user follows a one-time link and sets a password",
            || {
                let request = InviteShopUser {
                    shop_id,
                    email: "counter@elektra-fix.example".to_owned(),
                };
                let link = invite_shop_user(&desk, request)?.url;
                browser.use_invite(&link, "Νίκος στον πάγκο", PASSWORD)?;
                ensure!(
                    browser.page("/devices")?.text().contains("Lumen Tab 11"),
                    "the shop does not see its devices"
                );
                let (_, path) = link
                    .split_once("/invite/")
                    .context("the link has an unknown form")?;
                ensure!(
                    browser.get(&format!("/invite/{path}"))?.status == 410,
                    "the one-time link works twice"
                );
                Ok(((), "the link is over once it was used".to_owned()))
            },
        )
    }

    pub(super) fn shop_agrees(&mut self) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        let job_id = self.lab.job(QUOTED)?;
        let browser = &mut self.browser;
        self.steps.step(
            "On the portal the shop agrees to a quote that waits",
            || {
                let view = |desk: &desk::Desk| bench::job(desk, JobKey { job_id });
                ensure!(
                    view(&desk)?.job.agreement == Agreement::Waiting,
                    "the quote does not wait for an answer"
                );
                let path = format!("/devices/{job_id}");
                let quote = browser
                    .page(&path)?
                    .hidden("quote")
                    .context("the page shows no quote to answer")?;
                browser.submit(
                    &format!("{path}/decision"),
                    &[("quote", &quote), ("answer", "agree"), ("note", "")],
                )?;
                desk.sync_now()?;
                let view = view(&desk)?;
                ensure!(
                    matches!(view.job.agreement, Agreement::Agreed { .. }),
                    "the answer did not reach the bench"
                );
                Ok((
                    (),
                    format!(
                        "job {} is {} now",
                        view.job.reference,
                        view.job.stage.word()
                    ),
                ))
            },
        )
    }

    pub(super) fn shop_announces(&mut self) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        let browser = &mut self.browser;
        let (parcel_id, devices) =
            self.steps
                .step("The shop announces a parcel with two devices", || {
                    let identifier = device_identifier();
                    let phone = Typed {
                        kind: "phone",
                        maker: "Arvo",
                        model: "Nine",
                        colour: "graphite",
                        identifier: &identifier,
                        number: "ΗΛ-2041",
                        fault: "No power since this morning, got warm near the camera.",
                    };
                    let tablet = Typed {
                        kind: "tablet",
                        maker: "Lumen",
                        model: "Tab 11",
                        colour: "silver",
                        identifier: "LU020K76800",
                        number: "ΗΛ-2042",
                        fault: "Charges only when it is off.",
                    };
                    for device in [phone, tablet] {
                        browser.page("/send/device")?;
                        browser.submit("/send/device", &device.fields())?;
                    }
                    browser.page("/send")?;
                    let sent = browser.submit(
                        "/send",
                        &[
                            ("note", "Two bags in one box."),
                            ("carrier", ""),
                            ("tracking", &label()),
                        ],
                    )?;
                    let parcel_id: ParcelId = sent
                        .leads_to()
                        .strip_prefix("/parcels/")
                        .context("the portal leads to no parcel")?
                        .parse()?;
                    desk.sync_now()?;
                    let view = desk::commands::dock::parcel(
                        &desk,
                        desk::commands::dock::ParcelKey { parcel_id },
                    )?;
                    let [phone, tablet] = view.parcel.expected[..] else {
                        anyhow::bail!(
                            "the desktop knows {} announced devices instead of two",
                            view.parcel.expected.len()
                        );
                    };
                    Ok((
                        (parcel_id, (phone, tablet)),
                        format!("parcel {}, label {}", view.parcel.reference, label()),
                    ))
                })?;
        self.parcel_id = Some(parcel_id);
        self.devices = Some(devices);
        let folder = self.folder.clone();
        let browser = &mut self.browser;
        self.steps.step("The shop prints the inward slip", || {
            let slip = browser
                .page(&format!("/parcels/{parcel_id}/slip.pdf"))?
                .body;
            ensure!(slip.starts_with(b"%PDF-"), "the slip is no PDF");
            let path = folder.join("inward-slip.pdf");
            std::fs::write(&path, &slip).context("keeping the slip")?;
            Ok(((), path.display().to_string()))
        })
    }

    pub(super) fn shop_sees_missing(&mut self, missing: JobId) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        let parcel_id = self.parcel()?;
        let browser = &mut self.browser;
        self.steps.step(
            "The shop sees on the portal that one device was not in the parcel",
            || {
                desk.sync_now()?;
                let page = browser.page(&format!("/parcels/{parcel_id}"))?.text();
                ensure!(
                    page.contains("was not in the parcel"),
                    "the parcel’s page does not say that a device was missing"
                );
                let page = browser.page(&format!("/devices/{missing}"))?.text();
                ensure!(
                    page.contains("Lumen Tab 11"),
                    "the missing device has no page"
                );
                Ok(((), String::new()))
            },
        )
    }

    pub(super) fn shop_opens_report(&mut self) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        let job_id = self.job()?;
        let report = self.report.clone().context("no return report was made")?;
        let browser = &mut self.browser;
        self.steps
            .step("The shop sees that its device is on the way back", || {
                desk.sync_now()?;
                let view = bench::job(&desk, JobKey { job_id })?;
                ensure!(
                    view.job.stage == Stage::Returned,
                    "the job is {} instead of returned",
                    view.job.stage.word()
                );
                let tracking = view
                    .job
                    .shipped
                    .context("the job was not shipped")?
                    .value
                    .tracking
                    .number;
                let page = browser.page(&format!("/devices/{job_id}"))?.text();
                ensure!(
                    page.contains(&tracking),
                    "the device’s page does not show the tracking number {tracking}"
                );
                ensure!(
                    page.contains("Outcome: repaired"),
                    "the device’s page does not show its outcome"
                );
                Ok(((), format!("tracking number {tracking}, outcome repaired")))
            })?;
        let desk = Arc::clone(&self.desk);
        let browser = &mut self.browser;
        self.steps.step(
            "The shop opens the return report: the same bytes as at the bench",
            || {
                let opened = browser.page(&format!("/devices/{job_id}/report.pdf"))?.body;
                let kept = std::fs::read(&report)
                    .with_context(|| format!("reading {}", report.display()))?;
                ensure!(
                    opened == kept,
                    "the report on the portal ({} bytes) is not the one at the bench ({} bytes)",
                    opened.len(),
                    kept.len()
                );
                let view = bench::job(&desk, JobKey { job_id })?;
                let digest = view
                    .job
                    .reports
                    .last()
                    .context("no report is recorded")?
                    .value
                    .digest
                    .to_string();
                let page = browser.page(&format!("/r/{}", &digest[..16]))?.text();
                ensure!(
                    page.contains(&digest),
                    "the report’s own address does not know its digest"
                );
                Ok((
                    (),
                    format!(
                        "{} bytes; its address confirms the digest {}…",
                        opened.len(),
                        &digest[..16]
                    ),
                ))
            },
        )
    }
}
