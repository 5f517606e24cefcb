//! Send devices: a dispatch advice, device by device or from a CSV file.
//!
//! What was typed is kept on the server as the user's unfinished advice, so that a dropped connection or an error loses nothing.
//! A device whose answers forbid the post never gets onto the list: the page says to call, and the lab is told.

mod device_form;
mod draft;
mod import;

use std::collections::BTreeSet;
use std::sync::Arc;

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use domain::device::DeviceKind;
use domain::fact::{CellAnswer, Tracking};
use domain::identifiers::{self, Verdict};

use super::super::App;
use super::devices::Done;
use super::error::PageError;
use super::form::{SignedPost, SignedUpload};
use super::page::{Frame, Leaf, html_with};
use super::visitor::SignedIn;
use crate::core::{DEVICES_MAX, NewAdvice, NewDevice};

pub(super) use device_form::FieldError;
use device_form::{DeviceForm, QUESTIONS, cell_words};
use draft::Draft;

/// A device on the list of the unfinished advice.
struct ListedDevice {
    number: usize,
    name: String,
    identifier: String,
    identifier_check: String,
    is_identifier_doubtful: bool,
    fault: String,
    open: Vec<String>,
    is_unrated: bool,
}

#[derive(Template)]
#[template(path = "send.html")]
struct SendPage {
    frame: Frame,
    form_token: String,
    devices: Vec<ListedDevice>,
    note: String,
    carrier: String,
    tracking: String,
    import_lines: Vec<String>,
    errors: Vec<FieldError>,
    phone: String,
}

#[derive(Template)]
#[template(path = "send_device.html")]
struct DeviceFormPage {
    frame: Frame,
    form_token: String,
    action: String,
    form: DeviceForm,
    errors: Vec<FieldError>,
    number: Option<usize>,
    phone: String,
}

impl DeviceFormPage {
    /// Marks a field that must be looked at again.
    fn class_for(&self, field: &str) -> &'static str {
        if self.errors.iter().any(|error| error.field == field) {
            " has-error"
        } else {
            ""
        }
    }
}

#[derive(Template)]
#[template(path = "send_stop.html")]
struct StopPage {
    frame: Frame,
    device: String,
    reasons: Vec<&'static str>,
    phone: String,
    change_link: String,
}

pub(super) async fn page(
    State(app): State<Arc<App>>,
    who: SignedIn,
    Query(done): Query<Done>,
) -> Result<Response, PageError> {
    let draft = Draft::load(&app, &who).await?;
    show(&who, draft, done.words(), Vec::new())
}

fn show(
    who: &SignedIn,
    draft: Draft,
    notice: &str,
    errors: Vec<FieldError>,
) -> Result<Response, PageError> {
    let frame = who.frame("Send devices", Leaf::Send).saying(notice);
    let status = if errors.is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    let devices = draft
        .devices
        .iter()
        .enumerate()
        .map(|(index, form)| listed(index + 1, form))
        .collect();
    let page = SendPage {
        frame,
        form_token: who.form_token(),
        devices,
        note: draft.note,
        carrier: draft.carrier,
        tracking: draft.tracking,
        import_lines: draft.import_lines,
        errors,
        phone: who.phone().to_owned(),
    };
    html_with(status, &page)
}

fn listed(number: usize, form: &DeviceForm) -> ListedDevice {
    let check = identifier_check(&form.identifier);
    ListedDevice {
        is_unrated: form.is_unrated(),
        number,
        name: form.name(),
        identifier: form.identifier.clone(),
        is_identifier_doubtful: check.as_ref().is_some_and(|(_, doubtful)| *doubtful),
        identifier_check: check.map(|(words, _)| words).unwrap_or_default(),
        fault: form.fault.clone(),
        open: form
            .check()
            .err()
            .unwrap_or_default()
            .into_iter()
            .map(|error| error.message)
            .collect(),
    }
}

/// What the identifier was read as, and whether that is doubtful; `None` for an empty one.
fn identifier_check(text: &str) -> Option<(String, bool)> {
    if text.is_empty() {
        return None;
    }
    let reading = identifiers::read(text);
    let kind = reading.kind.name();
    Some(if reading.check.is_right() {
        (format!("{kind}, check digit right"), false)
    } else if reading.check.is_wrong() {
        let likely = likely_two(&reading.check);
        let perhaps = if likely.is_empty() {
            String::new()
        } else {
            format!("; perhaps {}", likely.join(" or "))
        };
        (
            format!("{kind}: the check digit does not fit{perhaps}. It is kept as typed"),
            true,
        )
    } else {
        (kind.to_owned(), false)
    })
}

/// The two best guesses at what was meant; more of them would only confuse.
fn likely_two(check: &Verdict) -> Vec<&str> {
    check.likely_texts().into_iter().take(2).collect()
}

pub(super) async fn new_device(
    State(app): State<Arc<App>>,
    who: SignedIn,
) -> Result<Response, PageError> {
    let draft = Draft::load(&app, &who).await?;
    // A device that was stopped, or a form that was left with errors, is there again.
    show_form(
        &who,
        StatusCode::OK,
        draft.open.unwrap_or_default(),
        Vec::new(),
        None,
    )
}

pub(super) async fn edit_device(
    State(app): State<Arc<App>>,
    who: SignedIn,
    Path(number): Path<usize>,
) -> Result<Response, PageError> {
    let draft = Draft::load(&app, &who).await?;
    let form = draft.device(number).ok_or(PageError::NotFound)?.clone();
    show_form(&who, StatusCode::OK, form, Vec::new(), Some(number))
}

fn show_form(
    who: &SignedIn,
    status: StatusCode,
    form: DeviceForm,
    errors: Vec<FieldError>,
    number: Option<usize>,
) -> Result<Response, PageError> {
    let (title, action) = match number {
        Some(number) => (format!("Device {number}"), format!("/send/device/{number}")),
        None => ("Add a device".to_owned(), "/send/device".to_owned()),
    };
    let frame = who.frame(title, Leaf::Send);
    html_with(
        status,
        &DeviceFormPage {
            frame,
            form_token: who.form_token(),
            action,
            form,
            errors,
            number,
            phone: who.phone().to_owned(),
        },
    )
}

pub(super) async fn add_device(
    State(app): State<Arc<App>>,
    post: SignedPost,
) -> Result<Response, PageError> {
    take_device(&app, post, None).await
}

pub(super) async fn change_device(
    State(app): State<Arc<App>>,
    Path(number): Path<usize>,
    post: SignedPost,
) -> Result<Response, PageError> {
    take_device(&app, post, Some(number)).await
}

async fn take_device(
    app: &App,
    post: SignedPost,
    number: Option<usize>,
) -> Result<Response, PageError> {
    let who = &post.who;
    let form = DeviceForm::read(&post.fields);
    let mut draft = Draft::load(app, who).await?;
    let stopping = form.stopping_answers();
    if !stopping.is_empty() {
        // Off the list, kept in the form, told to the lab.
        if let Some(number) = number {
            draft.remove(number);
        }
        draft.open = Some(form.clone());
        draft.save(app, who).await?;
        return stop(app, who, &form, stopping).await;
    }
    if let Err(errors) = form.check() {
        draft.open = Some(form.clone());
        draft.save(app, who).await?;
        return show_form(who, StatusCode::UNPROCESSABLE_ENTITY, form, errors, number);
    }
    match number {
        Some(number) => *draft.device_mut(number).ok_or(PageError::NotFound)? = form,
        None if draft.devices.len() >= DEVICES_MAX => {
            let message =
                format!("A parcel holds at most {DEVICES_MAX} devices. Announce this one first.");
            return show(who, draft, "", vec![FieldError::new("devices", message)]);
        }
        None => draft.devices.push(form),
    }
    draft.open = None;
    draft.import_lines.clear();
    draft.save(app, who).await?;
    let to = if post.fields.text("then") == "another" {
        "/send/device"
    } else {
        "/send?done=added"
    };
    Ok(Redirect::to(to).into_response())
}

/// Says to call, and tells the lab what was asked for.
async fn stop(
    app: &App,
    who: &SignedIn,
    form: &DeviceForm,
    answers: BTreeSet<CellAnswer>,
) -> Result<Response, PageError> {
    let reasons = answers.iter().map(|answer| cell_words(*answer)).collect();
    let (scope, device) = (who.session.scope, form.name());
    app.run({
        let device = device.clone();
        move |core| core.refuse_advice(&scope, device, answers)
    })
    .await??;
    let frame = who.frame("Do not post this device", Leaf::Send);
    let phone = who.phone().to_owned();
    html_with(
        StatusCode::UNPROCESSABLE_ENTITY,
        &StopPage {
            frame,
            device,
            reasons,
            phone,
            change_link: "/send/device".to_owned(),
        },
    )
}

pub(super) async fn remove_device(
    State(app): State<Arc<App>>,
    Path(number): Path<usize>,
    post: SignedPost,
) -> Result<Response, PageError> {
    let mut draft = Draft::load(&app, &post.who).await?;
    draft.remove(number);
    draft.save(&app, &post.who).await?;
    Ok(Redirect::to("/send?done=removed").into_response())
}

pub(super) async fn keep_parcel(
    State(app): State<Arc<App>>,
    post: SignedPost,
) -> Result<Response, PageError> {
    let mut draft = Draft::load(&app, &post.who).await?;
    draft.read_parcel(&post.fields);
    draft.save(&app, &post.who).await?;
    Ok(Redirect::to("/send?done=kept").into_response())
}

pub(super) async fn import(
    State(app): State<Arc<App>>,
    upload: SignedUpload,
) -> Result<Response, PageError> {
    let who = &upload.who;
    let mut draft = Draft::load(&app, who).await?;
    let imported = import::read(
        &upload.bytes,
        DEVICES_MAX.saturating_sub(draft.devices.len()),
    );
    for (form, answers) in imported.stopped {
        let (scope, device) = (who.session.scope, form.name());
        app.run(move |core| core.refuse_advice(&scope, device, answers))
            .await??;
    }
    draft.devices.extend(imported.devices);
    draft.import_lines = imported.lines;
    draft.save(&app, who).await?;
    Ok(Redirect::to("/send#imported").into_response())
}

pub(super) async fn announce(
    State(app): State<Arc<App>>,
    post: SignedPost,
) -> Result<Response, PageError> {
    let who = &post.who;
    let mut draft = Draft::load(&app, who).await?;
    draft.read_parcel(&post.fields);
    draft.save(&app, who).await?;
    let mut errors = Vec::new();
    let mut devices = Vec::with_capacity(draft.devices.len());
    for (index, form) in draft.devices.iter().enumerate() {
        match form.check() {
            Ok(advice) => devices.push(NewDevice {
                advice,
                lab_answer: form.lab_answer.clone(),
            }),
            Err(found) => {
                let message = format!(
                    "Device {}: {}",
                    index + 1,
                    found.first().map_or("", |error| error.message.as_str())
                );
                errors.push(FieldError::new("devices", message));
            }
        }
    }
    if draft.devices.is_empty() {
        errors.push(FieldError::new(
            "devices",
            "Add at least one device before you announce the parcel.",
        ));
    }
    if !errors.is_empty() {
        return show(who, draft, "", errors);
    }
    let tracking = tracking_of(&draft.carrier, &draft.tracking);
    let (scope, note) = (who.session.scope, draft.note.clone());
    let parcel_id = app
        .run(move |core| {
            core.advise(
                &scope,
                NewAdvice {
                    note,
                    tracking,
                    devices,
                },
            )
        })
        .await??;
    Draft::drop(&app, who).await?;
    Ok(Redirect::to(&format!("/parcels/{parcel_id}?done=announced")).into_response())
}

/// A tracking number as typed: recognised if it can be, kept with a warning if its check digit doesn't fit.
pub(super) fn tracking_of(carrier: &str, number: &str) -> Option<Tracking> {
    if number.is_empty() {
        return None;
    }
    let carrier = carrier.to_owned();
    Some(match domain::tracking::read(number).into_iter().next() {
        Some(reading) => {
            let likely = likely_two(&reading.check);
            let perhaps = if likely.is_empty() {
                String::new()
            } else {
                format!("; perhaps {}", likely.join(" or "))
            };
            let warning = if reading.check.is_wrong() {
                format!("the check digit does not fit{perhaps}")
            } else {
                String::new()
            };
            let carrier = if carrier.is_empty() {
                reading.carrier.clone()
            } else {
                carrier
            };
            Tracking {
                carrier,
                number: reading.canonical.clone(),
                warning,
            }
        }
        None => Tracking {
            carrier,
            number: number.to_owned(),
            warning: String::new(),
        },
    })
}

#[cfg(test)]
mod tests;
