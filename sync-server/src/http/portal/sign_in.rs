//! Coming in and going out: sign-in by e-mail and password, an invite that sets the password, sign-out.
//!
//! What is wrong with a sign-in is never told more exactly than "address or password": neither may be guessed one at a time.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use domain::PersonId;
use serde::Deserialize;

use super::super::App;
use super::error::PageError;
use super::form::{Fields, SignedPost, VisitorPost};
use super::page::{Frame, html_with};
use super::send::FieldError;
use super::visitor::{Visitor, add_cookie};
use crate::auth::cookie::CookieKind;
use crate::auth::token::Token;
use crate::auth::{password, session};
use crate::clock::timed_uuid;
use crate::store::{InviteRow, OneTimeUse, RefusedUse, UserRow};

/// Longest e-mail address (RFC 5321, 4.5.3.1.3: a path of 256 with its brackets).
const EMAIL_CHARS_MAX: usize = 254;

/// Longest name of a person.
const NAME_CHARS_MAX: usize = 80;

#[derive(Template)]
#[template(path = "sign_in.html")]
struct SignInPage {
    frame: Frame,
    form_token: String,
    email: String,
    next: String,
    is_wrong: bool,
}

#[derive(Template)]
#[template(path = "invite.html")]
struct InvitePage {
    frame: Frame,
    form_token: String,
    action: String,
    shop: String,
    name: String,
    email: String,
    is_email_fixed: bool,
    errors: Vec<FieldError>,
}

#[derive(Template)]
#[template(path = "invite_over.html")]
struct InviteOverPage {
    frame: Frame,
}

#[derive(Debug, Deserialize)]
pub(super) struct Next {
    next: Option<String>,
}

pub(super) async fn form(
    State(app): State<Arc<App>>,
    visitor: Visitor,
    Query(next): Query<Next>,
) -> Result<Response, PageError> {
    let next = local_path(next.next.as_deref());
    show(&app, &visitor, StatusCode::OK, String::new(), next, false).await
}

pub(super) async fn sign_in(
    State(app): State<Arc<App>>,
    post: VisitorPost,
) -> Result<Response, PageError> {
    let email = post.fields.text("email").to_lowercase();
    let next = local_path(Some(&post.fields.text("next")));
    app.rates.sign_in(post.visitor.address, &email)?;
    let user = app
        .run({
            let email = email.clone();
            move |core| core.store().user_by_email(&email)
        })
        .await??;
    let stored = user.as_ref().map(|user| user.password_phc.clone());
    let is_right = password::is_right(post.fields.exact("password"), stored).await?;
    match user {
        Some(user) if is_right => {
            tracing::info!(person_id = %user.person_id, "a shop's user signed in");
            let cookie = open_session(&app, &post.visitor, user).await?;
            Ok(enter(&app, &cookie, &next))
        }
        _ => {
            tracing::warn!(address = %post.visitor.address, "a sign-in was refused");
            show(
                &app,
                &post.visitor,
                StatusCode::UNAUTHORIZED,
                email,
                next,
                true,
            )
            .await
        }
    }
}

pub(super) async fn sign_out(
    State(app): State<Arc<App>>,
    post: SignedPost,
) -> Result<Response, PageError> {
    let secret = post.who.session.cookie.hash();
    app.run(move |core| core.store().close_session(&secret))
        .await??;
    let mut response = Redirect::to("/sign-in").into_response();
    add_cookie(
        &mut response,
        &CookieKind::Session.clear(app.public_url.is_https()),
    );
    Ok(response)
}

/// Shows an invite without using it up, because mail programs open links to look at them.
pub(super) async fn invite(
    State(app): State<Arc<App>>,
    visitor: Visitor,
    Path(token): Path<String>,
) -> Result<Response, PageError> {
    app.rates.one_time(visitor.address)?;
    let Some((invite, shop, lab)) = good_invite(&app, &token).await? else {
        return over(&app).await;
    };
    let page = InvitePage {
        frame: Frame::public("Set your password", lab),
        form_token: visitor.form_token(),
        action: format!("/invite/{token}"),
        shop,
        name: String::new(),
        is_email_fixed: !invite.email.is_empty(),
        email: invite.email,
        errors: Vec::new(),
    };
    Ok(visitor.remember(html_with(StatusCode::OK, &page)?))
}

pub(super) async fn use_invite(
    State(app): State<Arc<App>>,
    Path(token): Path<String>,
    post: VisitorPost,
) -> Result<Response, PageError> {
    app.rates.one_time(post.visitor.address)?;
    let Some((invite, shop, lab)) = good_invite(&app, &token).await? else {
        return over(&app).await;
    };
    let is_email_fixed = !invite.email.is_empty();
    let email = if is_email_fixed {
        invite.email.clone()
    } else {
        post.fields.text("email").to_lowercase()
    };
    let name = post.fields.text("name");
    let mut errors = check_person(&name, &email, &post.fields, &shop);
    if errors.is_empty() {
        match take_invite(
            &app,
            &token,
            &invite,
            name.clone(),
            email.clone(),
            post.fields.exact("password"),
        )
        .await?
        {
            OneTimeUse::Done((user, is_new)) => {
                return enter_by_invite(&app, &post.visitor, user, is_new).await;
            }
            OneTimeUse::NotValid => return over(&app).await,
            OneTimeUse::Refused(refused) => errors.push(refused_words(refused)),
        }
    }
    let page = InvitePage {
        frame: Frame::public("Set your password", lab),
        form_token: post.visitor.form_token(),
        action: format!("/invite/{token}"),
        shop,
        name,
        email,
        is_email_fixed,
        errors,
    };
    html_with(StatusCode::UNPROCESSABLE_ENTITY, &page)
}

async fn take_invite(
    app: &App,
    token: &str,
    invite: &InviteRow,
    name: String,
    email: String,
    password: String,
) -> Result<OneTimeUse<(UserRow, bool)>, PageError> {
    let Some(token) = Token::presented(token) else {
        return Ok(OneTimeUse::NotValid);
    };
    let password_phc = password::hash(password).await?;
    let (lab_id, shop_id) = (invite.lab_id, invite.shop_id);
    app.run(move |core| {
        let now_ms = core.now_ms();
        let person_id = PersonId::new(timed_uuid(now_ms)?);
        let user = UserRow {
            person_id,
            lab_id,
            shop_id,
            email,
            name,
            password_phc,
        };
        let users_max = core.quotas().users_per_shop;
        let outcome = core
            .store()
            .use_invite(&token.hash(), &user, users_max, now_ms)?;
        Ok(match outcome {
            // A known user keeps the person it is, so another id than the new one says that the account was there.
            OneTimeUse::Done(user) => {
                let is_new = user.person_id == person_id;
                OneTimeUse::Done((user, is_new))
            }
            OneTimeUse::NotValid => OneTimeUse::NotValid,
            OneTimeUse::Refused(refused) => OneTimeUse::Refused(refused),
        })
    })
    .await?
}

/// Signs the user in and, if the account is new, tells the lab who it is.
async fn enter_by_invite(
    app: &App,
    visitor: &Visitor,
    user: UserRow,
    is_new: bool,
) -> Result<Response, PageError> {
    let cookie = open_session(app, visitor, user.clone()).await?;
    if is_new {
        let cookie = cookie.clone();
        app.run(move |core| {
            let session =
                session::find(core.store(), &cookie, core.now_ms())?.ok_or(PageError::Fault)?;
            Ok::<_, PageError>(core.introduce(&session.scope, &user)?)
        })
        .await??;
    }
    Ok(enter(app, &cookie, "/devices?done=welcome"))
}

/// Opens a session with a new secret.
async fn open_session(app: &App, visitor: &Visitor, user: UserRow) -> Result<Token, PageError> {
    let replaced = visitor.session_cookie.clone();
    Ok(app
        .run(move |core| session::open(core.store(), &user, replaced.as_ref(), core.now_ms()))
        .await??)
}

/// Hands the session's cookie out and goes to `next`.
fn enter(app: &App, cookie: &Token, next: &str) -> Response {
    let mut response = Redirect::to(next).into_response();
    let is_https = app.public_url.is_https();
    add_cookie(&mut response, &CookieKind::Session.set(cookie, is_https));
    add_cookie(&mut response, &CookieKind::Visitor.clear(is_https));
    response
}

async fn show(
    app: &App,
    visitor: &Visitor,
    status: StatusCode,
    email: String,
    next: String,
    is_wrong: bool,
) -> Result<Response, PageError> {
    let lab = app.run(|core| core.store().lab_name()).await??;
    let page = SignInPage {
        frame: Frame::public("Sign in", lab),
        form_token: visitor.form_token(),
        email,
        next,
        is_wrong,
    };
    Ok(visitor.remember(html_with(status, &page)?))
}

async fn over(app: &App) -> Result<Response, PageError> {
    let lab = app.run(|core| core.store().lab_name()).await??;
    html_with(
        StatusCode::GONE,
        &InviteOverPage {
            frame: Frame::public("This link is over", lab),
        },
    )
}

/// The invite, the shop's name and the lab's, if the link can still be used.
async fn good_invite(
    app: &App,
    token: &str,
) -> Result<Option<(InviteRow, String, String)>, PageError> {
    let Some(token) = Token::presented(token) else {
        return Ok(None);
    };
    app.run(move |core| {
        let invite = core.store().invite(&token.hash())?;
        let Some(invite) =
            invite.filter(|invite| invite.used_ms.is_none() && invite.expires_ms > core.now_ms())
        else {
            return Ok(None);
        };
        let shop = core
            .store()
            .invited_shop(&token.hash())?
            .map(|shop| shop.name)
            .unwrap_or_default();
        Ok(Some((invite, shop, core.store().lab_name()?)))
    })
    .await?
}

fn check_person(name: &str, email: &str, fields: &Fields, shop: &str) -> Vec<FieldError> {
    let mut errors = Vec::new();
    if name.is_empty() || name.chars().count() > NAME_CHARS_MAX {
        errors.push(FieldError::new(
            "name",
            "Give the name the lab should see, such as Mira at the counter.",
        ));
    }
    let is_email = email
        .split_once('@')
        .is_some_and(|(user, host)| !user.is_empty() && host.contains('.'));
    if !is_email || email.chars().count() > EMAIL_CHARS_MAX || email.contains(char::is_whitespace) {
        errors.push(FieldError::new(
            "email",
            "Give an e-mail address, such as counter@shop.example.",
        ));
    }
    if let Err(error) = password::check(&fields.exact("password"), &[name, email, shop]) {
        errors.push(FieldError::new("password", error.to_string()));
    }
    errors
}

fn refused_words(refused: RefusedUse) -> FieldError {
    match refused {
        RefusedUse::TooManyUsers => FieldError::new(
            "email",
            "Your shop has as many users as it may have. Ask the lab to make room for one more.",
        ),
        _ => FieldError::new(
            "email",
            "This address can't be used with this link. Use another one, or ask the lab for a link made for it.",
        ),
    }
}

/// Where to go after signing in: a path of this server, never another host.
fn local_path(next: Option<&str>) -> String {
    let is_local = |path: &&str| {
        path.starts_with('/')
            && !path.starts_with("//")
            && !path.contains(['\\', '\r', '\n'])
            && path.is_ascii()
    };
    next.filter(is_local).unwrap_or("/devices").to_owned()
}

#[cfg(test)]
mod tests;
