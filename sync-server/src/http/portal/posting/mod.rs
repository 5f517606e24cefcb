//! “What may I post?”: a shop user answers questions about one parcel and reads the verdict before anything is sent.
//!
//! The verdict is the engine's own, put into words. Nothing is recorded; the answers stand in the page's address, so that going
//! back, loading again and sending the page on all show the same. It is a check list and approves nothing.

mod inward;
mod question;
mod sheets;
mod view;

use std::sync::Arc;

use askama::Template;
use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use domain::cells::transport::{
    Carrier, Chem, FindingCode, Flag, Mode, Regime, Verdict, judge_parcel,
};
use domain::device::DeviceKind;
use domain::fact::ShopDescription;
use papers::model::PaperMeta;

use super::super::App;
use super::error::PageError;
use super::form::Fields;
use super::page::{Frame, Leaf, html_with};
use super::parcels::page_setup;
use super::pictures;
use super::send::FieldError;
use super::visitor::SignedIn;
use question::{ELSEWHERE, GROUPS, LOOSE, Question, SEEN};

pub(super) use inward::{Announced, Inward, judge as judge_inward};
pub(super) use sheets::{Sheet, draw as draw_sheet};
pub(super) use view::VerdictView;
pub(in crate::http) use view::certainty;

#[derive(Template)]
#[template(path = "posting.html")]
struct PostingPage {
    frame: Frame,
    q: Question,
    errors: Vec<FieldError>,
    verdict: Option<VerdictView>,
    phone: String,
    /// The page's own query, so that the sheets are those of this verdict.
    query: String,
    has_mark: bool,
    has_words: bool,
}

impl PostingPage {
    /// Marks a field that must be looked at again.
    fn class_for(&self, field: &str) -> &'static str {
        if self.errors.iter().any(|error| error.field == field) {
            " has-error"
        } else {
            ""
        }
    }

    fn is_ticked(&self, finding: FindingCode) -> bool {
        self.q.findings.contains(&finding)
    }
}

/// `GET /what-may-i-post`, with the answers in the query once there are any.
pub(super) async fn page(
    State(app): State<Arc<App>>,
    who: SignedIn,
    RawQuery(query): RawQuery,
) -> Result<Response, PageError> {
    let query = query.unwrap_or_default();
    let fields = Fields::of_query(&query)?;
    if fields.is_empty() {
        let (scope, today) = (who.session.scope, who.today());
        let (shop, regime) = app
            .run(move |core| {
                let shop = core.store().shop_card(scope.lab(), scope.shop_id())?;
                let country = shop.as_ref().map_or("", |shop| shop.country.as_str());
                let regime = inward::regime_of(core.rule_book()?.as_ref(), country, today);
                Ok::<_, PageError>((shop, regime))
            })
            .await??;
        let first = first(&who, shop.as_ref(), regime);
        return show(&who, first, Vec::new(), None, String::new());
    }
    let question = Question::read(&fields);
    match ask(&app, &question).await? {
        Err(errors) => show(&who, question, errors, None, query),
        Ok(verdict) => show(&who, question, Vec::new(), Some(&verdict), query),
    }
}

/// Asks the engine, or says what must be looked at again.
async fn ask(
    app: &App,
    question: &Question,
) -> Result<Result<Verdict, Vec<FieldError>>, PageError> {
    let parcel = match question.parcel() {
        Err(errors) => return Ok(Err(errors)),
        Ok(parcel) => parcel,
    };
    let (verdict, errors) = app
        .run(move |core| {
            let book = core.rule_book()?;
            let errors = question::errors_of(&parcel.problems(&book));
            Ok::<_, PageError>((judge_parcel(&book, &parcel), errors))
        })
        .await??;
    // A danger is said whatever else is wrong with the answers.
    let is_emergency = verdict.flags.contains(&Flag::Emergency);
    Ok(if errors.is_empty() || is_emergency {
        Ok(verdict)
    } else {
        Err(errors)
    })
}

/// The empty form, with what is known of shop, lab and day, for the user to see and change.
fn first(who: &SignedIn, shop: Option<&ShopDescription>, regime: Option<Regime>) -> Question {
    let country = match (regime, shop) {
        (Some(regime), _) => regime.code(),
        (None, Some(shop)) if !shop.country.is_empty() => ELSEWHERE,
        _ => "",
    };
    Question {
        count: "1".to_owned(),
        parcels: "1".to_owned(),
        spares: "0".to_owned(),
        chem: Chem::LiIon.code().to_owned(),
        country: country.to_owned(),
        to: who
            .lab
            .as_ref()
            .map(|lab| lab.country.clone())
            .unwrap_or_default(),
        carrier: Carrier::None.code().to_owned(),
        date: who.today().to_string(),
        ..Question::default()
    }
}

fn show(
    who: &SignedIn,
    q: Question,
    errors: Vec<FieldError>,
    verdict: Option<&Verdict>,
    query: String,
) -> Result<Response, PageError> {
    let status = if errors.is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    html_with(
        status,
        &PostingPage {
            frame: who.frame("What may I post?", Leaf::Send),
            q,
            errors,
            has_mark: verdict.is_some_and(|verdict| Sheet::Mark.is_needed(verdict)),
            has_words: verdict.is_some_and(|verdict| Sheet::Words.is_needed(verdict)),
            verdict: verdict.map(VerdictView::of),
            phone: who.phone().to_owned(),
            query,
        },
    )
}

/// `GET /what-may-i-post/mark.pdf` and `/words.pdf`: what this verdict asks to be printed, at its true size.
pub(super) async fn sheet(
    State(app): State<Arc<App>>,
    who: SignedIn,
    Path(name): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, PageError> {
    let sheet = Sheet::of_name(&name).ok_or(PageError::NotFound)?;
    let question = Question::read(&Fields::of_query(query.as_deref().unwrap_or_default())?);
    let Ok(verdict) = ask(&app, &question).await? else {
        return Err(PageError::NotFound);
    };
    answer_sheet(&app, &who, sheet, verdict, String::new()).await
}

/// Draws a sheet of a verdict on the paper of the shop's country.
pub(super) async fn answer_sheet(
    app: &App,
    who: &SignedIn,
    sheet: Sheet,
    verdict: Verdict,
    reference: String,
) -> Result<Response, PageError> {
    let scope = who.session.scope;
    let lab = who
        .lab
        .as_ref()
        .map(|lab| lab.name.clone())
        .unwrap_or_default();
    let meta = PaperMeta {
        title: "Marks for a parcel with lithium batteries".to_owned(),
        author: lab.clone(),
        language: "en".to_owned(),
        made_at_ms: who.now_ms,
    };
    let bytes = app
        .run(move |core| {
            let shop = core.store().shop_card(scope.lab(), scope.shop_id())?;
            let setup = page_setup(shop.as_ref());
            draw_sheet(sheet, &verdict, meta, lab, reference, &setup).map_err(PageError::Paper)
        })
        .await??
        .ok_or(PageError::NotFound)?;
    Ok(pictures::file(bytes, "application/pdf", None))
}

#[cfg(test)]
mod tests;
