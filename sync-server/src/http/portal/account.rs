//! The user's own account: who is signed in, who else of the shop is, a new password, the way out.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};

use super::super::App;
use super::devices::Done;
use super::error::PageError;
use super::form::SignedPost;
use super::page::{Frame, Leaf, html_with};
use super::send::FieldError;
use super::visitor::SignedIn;
use crate::auth::password;
use crate::store::UserRow;

#[derive(Template)]
#[template(path = "account.html")]
struct AccountPage {
    frame: Frame,
    form_token: String,
    user: UserRow,
    others: Vec<String>,
    errors: Vec<FieldError>,
}

pub(super) async fn page(
    State(app): State<Arc<App>>,
    who: SignedIn,
    Query(done): Query<Done>,
) -> Result<Response, PageError> {
    show(&app, &who, done.words(), Vec::new()).await
}

async fn show(
    app: &App,
    who: &SignedIn,
    notice: &str,
    errors: Vec<FieldError>,
) -> Result<Response, PageError> {
    let scope = who.session.scope;
    let users = app
        .run(move |core| core.store().shop_users(&scope))
        .await??;
    let user = who.session.user.clone();
    let others = users
        .into_iter()
        .filter(|other| other.person_id != user.person_id)
        .map(|other| other.name)
        .collect();
    let frame = who.frame("Account", Leaf::Account).saying(notice);
    let status = if errors.is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    html_with(
        status,
        &AccountPage {
            frame,
            form_token: who.form_token(),
            user,
            others,
            errors,
        },
    )
}

pub(super) async fn change_password(
    State(app): State<Arc<App>>,
    post: SignedPost,
) -> Result<Response, PageError> {
    let user = &post.who.session.user;
    // The old password is asked for, because a phone left on the counter is signed in too; so its tries are counted.
    app.rates.account(&user.email)?;
    let (old, new) = (post.fields.exact("old"), post.fields.exact("password"));
    if !password::is_right(old, Some(user.password_phc.clone())).await? {
        let error = FieldError::new("old", "This is not your present password.");
        return show(&app, &post.who, "", vec![error]).await;
    }
    if let Err(error) = password::check(&new, &[&user.email, &user.name, &post.who.shop]) {
        return show(
            &app,
            &post.who,
            "",
            vec![FieldError::new("password", error.to_string())],
        )
        .await;
    }
    let phc = password::hash(new).await?;
    let (scope, kept) = (post.who.session.scope, post.who.session.cookie.hash());
    app.run(move |core| core.store().set_password(&scope, &phc, &kept))
        .await??;
    Ok(Redirect::to("/account?done=password").into_response())
}
