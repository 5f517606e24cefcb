//! Parcels: those on their way to the lab and those on their way back; the slip for the box; a tracking number added later.

use std::collections::BTreeMap;
use std::sync::Arc;

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use domain::fact::{AdvisedBattery, LabDescription, ShopDescription};
use domain::parcel::Direction;
use domain::reference::ParcelRef;
use domain::shop_view::{ShopJob, ShopParcel};
use domain::{JobId, ParcelId};
use jiff::civil::Date;
use papers::model::{self, InwardSlip, Labelled, PageSetup, PageSize, PaperMeta, SlipDevice};
use sync_protocol::PhotoVariant;

use super::super::App;
use super::devices::Done;
use super::error::PageError;
use super::form::SignedPost;
use super::page::{Frame, Leaf, html};
use super::pictures::{self, Picture, pictures_of};
use super::posting::{Announced, Inward, Sheet, VerdictView, answer_sheet, judge_inward};
use super::send::tracking_of;
use super::visitor::SignedIn;
use super::words::{self, Moment, Times};
use crate::auth::LabScope;
use crate::core::{ASKED_BEFORE_POSTING, Core};

struct Row {
    parcel: ShopParcel,
    state: &'static str,
    count: String,
    changed: Moment,
}

#[derive(Template)]
#[template(path = "parcels.html")]
struct ParcelsPage {
    frame: Frame,
    inward: Vec<Row>,
    outward: Vec<Row>,
}

struct DeviceRow {
    job_id: JobId,
    name: String,
    remark: &'static str,
}

#[derive(Template)]
#[template(path = "parcel.html")]
struct ParcelPage {
    frame: Frame,
    form_token: String,
    parcel: ShopParcel,
    state: &'static str,
    devices: Vec<DeviceRow>,
    lines: Vec<String>,
    pictures: Vec<Picture>,
    packing: Packing,
    received: Option<Moment>,
    shipped: Option<Moment>,
    is_announced: bool,
}

pub(super) async fn list(
    State(app): State<Arc<App>>,
    who: SignedIn,
) -> Result<Response, PageError> {
    let scope = who.session.scope;
    let parcels = app.run(move |core| core.store().parcels(&scope)).await??;
    let times = who.times();
    let (inward, outward) = parcels
        .into_iter()
        .map(|parcel| row(&times, parcel))
        .partition(|row| row.parcel.direction == Direction::Inward);
    html(&ParcelsPage {
        frame: who.frame("Parcels", Leaf::Parcels),
        inward,
        outward,
    })
}

fn row(times: &Times, parcel: ShopParcel) -> Row {
    let changed_ms = parcel
        .shipped_at_ms
        .or(parcel.received_at_ms)
        .unwrap_or(parcel.begun_at_ms);
    let count = parcel.expected.len().max(parcel.inside.len());
    Row {
        state: words::parcel_state(&parcel),
        count: words::devices(count),
        changed: times.moment(changed_ms),
        parcel,
    }
}

fn parcel_id_of(text: &str) -> Result<ParcelId, PageError> {
    text.parse().map_err(|_| PageError::NotFound)
}

pub(super) async fn page(
    State(app): State<Arc<App>>,
    who: SignedIn,
    Path(parcel_id): Path<String>,
    Query(done): Query<Done>,
) -> Result<Response, PageError> {
    let (parcel_id, scope) = (parcel_id_of(&parcel_id)?, who.session.scope);
    let (to, today) = (who.country(), who.today());
    let (parcel, jobs, pictures, packing) = app
        .run(move |core| {
            let parcel = core
                .store()
                .parcel(&scope, parcel_id)?
                .ok_or(PageError::NotFound)?;
            let jobs = jobs_of(core.store(), &scope, &parcel)?;
            let pictures = pictures_of(core, &scope, &parcel.photos)?;
            let shop = core.store().shop_card(scope.lab(), scope.shop_id())?;
            let inward = inward_of(core, shop.as_ref(), &to, &announced(&parcel, &jobs), today)?;
            let answers = lab_answers(&parcel, &jobs);
            Ok::<_, PageError>((
                parcel,
                jobs,
                pictures,
                Packing::of(inward.as_ref(), answers),
            ))
        })
        .await??;
    let times = who.times();
    let frame = who
        .frame(format!("Parcel {}", parcel.reference), Leaf::Parcels)
        .saying(if done.is_announced() && packing.is_held() {
            HELD
        } else {
            done.words()
        });
    let is_announced = parcel.direction == Direction::Inward && parcel.received_at_ms.is_none();
    html(&ParcelPage {
        frame,
        form_token: who.form_token(),
        state: words::parcel_state(&parcel),
        devices: device_rows(&parcel, &jobs),
        lines: lines(&parcel),
        pictures,
        packing,
        received: parcel.received_at_ms.map(|at_ms| times.moment(at_ms)),
        shipped: parcel.shipped_at_ms.map(|at_ms| times.moment(at_ms)),
        is_announced,
        parcel,
    })
}

/// The parcel's devices that this shop may see, by id.
fn jobs_of(
    store: &dyn crate::store::Store,
    scope: &crate::auth::ShopScope,
    parcel: &ShopParcel,
) -> Result<BTreeMap<JobId, ShopJob>, PageError> {
    let ids = parcel
        .expected
        .iter()
        .chain(&parcel.inside)
        .chain(&parcel.extra)
        .chain(&parcel.missing);
    let mut jobs = BTreeMap::new();
    for job_id in ids {
        if let Some(job) = store.job(scope, *job_id)? {
            jobs.insert(*job_id, job);
        }
    }
    Ok(jobs)
}

fn device_rows(parcel: &ShopParcel, jobs: &BTreeMap<JobId, ShopJob>) -> Vec<DeviceRow> {
    jobs.values()
        .map(|job| DeviceRow {
            job_id: job.job_id,
            name: words::device_name(&job.device),
            remark: if parcel.missing.contains(&job.job_id) {
                "was not in the parcel"
            } else if parcel.extra.contains(&job.job_id) {
                "was in the parcel without being announced"
            } else {
                ""
            },
        })
        .collect()
}

fn lines(parcel: &ShopParcel) -> Vec<String> {
    let seen: Vec<&str> = parcel
        .findings
        .iter()
        .map(|finding| words::parcel_finding(*finding))
        .collect();
    let findings = (!seen.is_empty()).then(|| format!("The parcel was {}.", seen.join(", ")));
    findings
        .into_iter()
        .chain(parcel.notes.iter().cloned())
        .collect()
}

/// How an announced parcel is packed, and what that rests on.
struct Packing {
    /// What the engine says of a box of sound devices; `None` for a country whose rules it doesn't hold.
    verdict: Option<VerdictView>,
    /// Devices that go only as the lab said.
    answers: Vec<LabAnswer>,
    /// What it supposes, or why there is no verdict.
    supposes: String,
    /// The steps, in the order of the hands' work.
    steps: Vec<String>,
    /// Whether a battery mark must be printed.
    has_mark: bool,
}

/// Said when a parcel was announced that must not go yet.
const HELD: &str = "Announced. Hold the box: what stands below under “How to pack it” comes first.";

/// Before the rules' own steps. Common practice, no source.
const BEFORE: &str =
    "Take no other devices than those on the slip, no loose batteries and no power banks.";

/// Before the box is closed. Common practice, no source.
const INSIDE: [&str; 4] = [
    "Put each device in a bag or box of its own, with padding all round, so that devices can't touch each other.",
    "Leave at least 5 cm of padding on every side. Nothing should move when you shake the box.",
    "If the lab needs a passcode for the tests, write it by hand on the printed slip, beside its device.",
    "Put the printed slip on top.",
];

/// At the end. Common practice, no source.
const AFTER: &str =
    "Ask your carrier how devices with batteries are accepted; its own terms come first.";

/// Where the engine holds no rules for the country. Common practice, no source.
const OFF: &str = "Switch every device off, so that it can't switch itself on.";

/// The same.
const CLOSE: &str = "Close the box and tape every seam.";

impl Packing {
    /// Whether the box must wait, and nobody at the lab has said otherwise.
    fn is_held(&self) -> bool {
        self.answers.is_empty()
            && self
                .verdict
                .as_ref()
                .is_some_and(|verdict| !verdict.is_good())
    }

    fn of(inward: Option<&Inward>, answers: Vec<LabAnswer>) -> Self {
        let Some(inward) = inward else {
            return Self {
                verdict: None,
                answers,
                supposes: "We hold no rules for parcels that start in your country. Ask a trained shipper there which marks and \
                           papers the box needs before you send it."
                    .to_owned(),
                steps: [BEFORE, OFF]
                    .iter()
                    .chain(&INSIDE)
                    .chain(&[CLOSE, AFTER])
                    .map(ToString::to_string)
                    .collect(),
                has_mark: false,
            };
        };
        let mut of_rules: Vec<&str> = inward
            .verdict
            .packing
            .iter()
            .map(|step| step.text.as_str())
            .collect();
        // The engine packs nothing that it holds; once what is missing is known, the box is packed all the same.
        if of_rules.is_empty() {
            of_rules = vec![OFF, CLOSE];
        }
        // What goes inside comes before the box is closed.
        let closing = of_rules
            .iter()
            .position(|step| step.starts_with("Close"))
            .unwrap_or(of_rules.len());
        let (open, closed) = of_rules.split_at(closing);
        let view = VerdictView::of(&inward.verdict);
        let of_marks = view
            .marks
            .iter()
            .map(|mark| format!("{}: {} {}", mark.name, mark.size, mark.placing));
        let steps = [BEFORE]
            .into_iter()
            .chain(open.iter().copied())
            .chain(INSIDE)
            .chain(closed.iter().copied())
            .map(str::to_owned)
            .chain(of_marks)
            .chain([AFTER.to_owned()])
            .collect();
        Self {
            supposes: inward.supposes.clone(),
            steps,
            has_mark: Sheet::Mark.is_needed(&inward.verdict),
            verdict: Some(view),
            answers,
        }
    }
}

/// What the lab said of a device whose battery's condition is open.
struct LabAnswer {
    device: String,
    answer: String,
}

/// The lab's answers for the devices of a parcel, from the messages that brought them.
fn lab_answers(parcel: &ShopParcel, jobs: &BTreeMap<JobId, ShopJob>) -> Vec<LabAnswer> {
    let jobs = parcel.expected.iter().filter_map(|job_id| jobs.get(job_id));
    jobs.filter_map(|job| {
        let answer = job
            .messages
            .iter()
            .find_map(|message| message.text.strip_prefix(ASKED_BEFORE_POSTING))?;
        Some(LabAnswer {
            device: words::device_name(&job.device),
            answer: answer.to_owned(),
        })
    })
    .collect()
}

/// The devices that a parcel was announced with; of one that can't be read, nothing is known.
fn announced(parcel: &ShopParcel, jobs: &BTreeMap<JobId, ShopJob>) -> Vec<Announced> {
    parcel
        .expected
        .iter()
        .map(|job_id| match jobs.get(job_id) {
            Some(job) => Announced {
                name: words::device_name(&job.device),
                battery: job.battery,
            },
            None => Announced {
                name: "a device".to_owned(),
                battery: AdvisedBattery::default(),
            },
        })
        .collect()
}

/// What the rules say of an announced parcel with sound devices.
fn inward_of(
    core: &Core,
    shop: Option<&ShopDescription>,
    to: &str,
    devices: &[Announced],
    today: Date,
) -> Result<Option<Inward>, PageError> {
    let from = shop.map_or("", |shop| shop.country.as_str());
    let book = core.rule_book()?;
    Ok(judge_inward(&book, from, to, devices, today))
}

/// `GET /parcels/{parcel_id}/mark.pdf`: the battery mark that an announced parcel needs.
pub(super) async fn mark(
    State(app): State<Arc<App>>,
    who: SignedIn,
    Path(parcel_id): Path<String>,
) -> Result<Response, PageError> {
    let (parcel_id, scope) = (parcel_id_of(&parcel_id)?, who.session.scope);
    let (to, today) = (who.country(), who.today());
    let inward = app
        .run(move |core| {
            let parcel = core
                .store()
                .parcel(&scope, parcel_id)?
                .ok_or(PageError::NotFound)?;
            let shop = core.store().shop_card(scope.lab(), scope.shop_id())?;
            let jobs = jobs_of(core.store(), &scope, &parcel)?;
            let inward = inward_of(core, shop.as_ref(), &to, &announced(&parcel, &jobs), today)?;
            Ok::<_, PageError>(inward.filter(|_| parcel.direction == Direction::Inward))
        })
        .await??
        .ok_or(PageError::NotFound)?;
    let reference = ParcelRef::of(parcel_id).to_string();
    answer_sheet(&app, &who, Sheet::Mark, inward.verdict, reference).await
}

pub(super) async fn set_tracking(
    State(app): State<Arc<App>>,
    Path(parcel_id): Path<String>,
    post: SignedPost,
) -> Result<Response, PageError> {
    let (parcel_id, scope) = (parcel_id_of(&parcel_id)?, post.who.session.scope);
    let cut = |name| post.fields.text(name).chars().take(60).collect::<String>();
    let tracking = tracking_of(&cut("carrier"), &cut("tracking")).ok_or(PageError::BadForm)?;
    app.run(move |core| core.set_tracking(&scope, parcel_id, tracking))
        .await??;
    Ok(Redirect::to(&format!("/parcels/{parcel_id}?done=tracking")).into_response())
}

pub(super) async fn slip(
    State(app): State<Arc<App>>,
    who: SignedIn,
    Path(parcel_id): Path<String>,
) -> Result<Response, PageError> {
    let (parcel_id, scope) = (parcel_id_of(&parcel_id)?, who.session.scope);
    let (to, today) = (who.country(), who.today());
    let (parcel, jobs, shop, packing, own) = app
        .run(move |core| {
            let parcel = core
                .store()
                .parcel(&scope, parcel_id)?
                .ok_or(PageError::NotFound)?;
            let jobs = jobs_of(core.store(), &scope, &parcel)?;
            let shop = core.store().shop_card(scope.lab(), scope.shop_id())?;
            let inward = inward_of(core, shop.as_ref(), &to, &announced(&parcel, &jobs), today)?;
            let packing = Packing::of(inward.as_ref(), lab_answers(&parcel, &jobs));
            let own = own_of(core, scope.lab())?;
            Ok::<_, PageError>((parcel, jobs, shop, packing, own))
        })
        .await??;
    if parcel.direction != Direction::Inward {
        return Err(PageError::NotFound);
    }
    let name = format!("slip-{}.pdf", parcel.reference);
    let setup = page_setup(shop.as_ref());
    let mut paper = slip_of(&who, &parcel, &jobs, shop.as_ref(), packing);
    (paper.lab.mark, paper.lab.foot) = own;
    let bytes = app
        .run(move |_| papers::inward_slip(&paper, &setup))
        .await?
        .map_err(PageError::Paper)?;
    Ok(pictures::file(bytes, "application/pdf", Some(&name)))
}

/// Letter where that is the usual sheet, else A4: the United States, Canada, Mexico.
pub(super) fn page_setup(shop: Option<&ShopDescription>) -> PageSetup {
    let is_letter = shop.is_some_and(|shop| ["US", "CA", "MX"].contains(&shop.country.as_str()));
    PageSetup {
        page_size: if is_letter {
            PageSize::Letter
        } else {
            PageSize::A4
        },
    }
}

fn slip_of(
    who: &SignedIn,
    parcel: &ShopParcel,
    jobs: &BTreeMap<JobId, ShopJob>,
    shop: Option<&ShopDescription>,
    packing: Packing,
) -> InwardSlip {
    let reference = ParcelRef::of(parcel.parcel_id);
    let times = who.times();
    let mut facts = vec![Labelled::text(
        "Announced",
        times.moment(parcel.begun_at_ms).exact,
    )];
    if let Some(tracking) = &parcel.tracking {
        if !tracking.carrier.is_empty() {
            facts.push(Labelled::text("Carrier", tracking.carrier.as_str()));
        }
        facts.push(Labelled::mono("Tracking number", tracking.number.as_str()));
    }
    InwardSlip {
        meta: PaperMeta {
            title: format!("Inward slip {reference}"),
            author: who
                .lab
                .as_ref()
                .map(|lab| lab.name.clone())
                .unwrap_or_default(),
            language: "en".to_owned(),
            made_at_ms: i64::try_from(parcel.begun_at_ms).unwrap_or(0),
        },
        lab: who.lab.as_ref().map(lab_of).unwrap_or_default(),
        parcel_ref: reference.to_string(),
        code: reference.qr_text(),
        shop: model::Party {
            name: who.shop.clone(),
            address: shop
                .map(|shop| address(&shop.address_lines, &shop.country))
                .unwrap_or_default(),
        },
        facts,
        devices: parcel
            .expected
            .iter()
            .filter_map(|job_id| jobs.get(job_id))
            .map(slip_device)
            .collect(),
        cautions: slip_cautions(&packing),
        packing: packing.steps,
        ..InwardSlip::default()
    }
}

/// What the slip says to whoever packs, carries or opens the box.
fn slip_cautions(packing: &Packing) -> Vec<model::Caution> {
    let supposes = model::Caution {
        title: "What these steps suppose".to_owned(),
        text: packing.supposes.clone(),
        source: packing
            .verdict
            .as_ref()
            .map(|verdict| verdict.book.clone())
            .unwrap_or_default(),
    };
    let answers: Vec<String> = packing
        .answers
        .iter()
        .map(|one| format!("{}: {}", one.device, one.answer))
        .collect();
    let as_said = (!answers.is_empty()).then(|| model::Caution {
        title: "Nobody knows how these batteries are: only as the lab said".to_owned(),
        text: format!(
            "{}. Not by air, not by post to another country.",
            answers.join("; ")
        ),
        source: "ADR 2025, special provision 376; IATA A154".to_owned(),
    });
    let inside = model::Caution {
            title: "Lithium batteries inside".to_owned(),
            text: "Do not send a device that is swollen, leaking, hot or burnt: call the lab. If the box is warm, bulging or smells \
                   of solvent, do not open or move it: keep away and call the fire service and the lab. Local law and the \
                   carrier's own rules come first."
                .to_owned(),
            source: "ADR 2025, special provisions 188 and 376".to_owned(),
        };
    as_said.into_iter().chain([supposes, inside]).collect()
}

fn slip_device(job: &ShopJob) -> SlipDevice {
    SlipDevice {
        name: job.device.clone(),
        identifier: job.identifier.clone(),
        fault: job.fault.clone(),
        accessories: job.accessories.join(", "),
        job_ref: job.reference.clone(),
    }
}

fn lab_of(lab: &LabDescription) -> model::Lab {
    let contact = [&lab.phone, &lab.email]
        .into_iter()
        .filter(|line| !line.is_empty())
        .cloned()
        .collect();
    model::Lab {
        name: lab.name.clone(),
        address: address(&lab.address_lines, &lab.country),
        contact,
        ..model::Lab::default()
    }
}

/// The lab's mark and foot. A mark whose picture has not arrived yet is left out; the slip is whole without it.
fn own_of(core: &Core, lab: &LabScope) -> Result<(Option<model::Picture>, String), PageError> {
    let own = core.store().lab_own(lab)?;
    let picture = own.mark.and_then(|mark| {
        let part = core.photo_read(lab, &mark.hash, PhotoVariant::Full, 0, u64::MAX);
        Some(model::Picture {
            jpeg: part.ok()?.bytes,
            width_px: mark.width_px,
            height_px: mark.height_px,
        })
    });
    Ok((picture, own.foot))
}

fn address(lines: &[String], country: &str) -> Vec<String> {
    lines
        .iter()
        .cloned()
        .chain((!country.is_empty()).then(|| country.to_owned()))
        .collect()
}
