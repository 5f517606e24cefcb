//! Shops: who sends devices, on what terms, and who may look in.

pub use crate::connection::ShopInvitation;

use domain::fact::{Fact, ShopDescription, StandingLimit};
use domain::house::Shop;
use domain::money::{Currency, Money};
use domain::parcel::ParcelStage;
use domain::{ShopId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{JobRow, Nothing, ParcelRow, ShopBrief};
use crate::desk::{Desk, latest_first};
use crate::error::DeskError;
use crate::store::Filter;

/// A shop in a row.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ShopRow {
    /// The shop.
    pub shop: ShopBrief,
    /// Its devices in the house.
    pub in_house: u32,
    /// Of those, the ones that wait for its decision.
    pub waiting_for_shop: u32,
    /// Its announced parcels that are not here.
    pub parcels_awaited: u32,
    /// Advice that was refused because of a cell.
    pub refused_advice: u32,
}

/// Every shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ShopsView {
    /// By name.
    pub rows: Vec<ShopRow>,
}

/// Which shop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ShopKey {
    /// The shop.
    pub shop_id: ShopId,
}

/// One shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ShopView {
    /// The shop.
    pub shop: Shop,
    /// The shop in a line.
    pub brief: ShopBrief,
    /// Its jobs, latest first.
    pub jobs: Vec<JobRow>,
    /// Its parcels, latest first.
    pub parcels: Vec<ParcelRow>,
}

/// Adds or changes a shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SaveShop {
    /// The shop; none to add one.
    pub shop_id: Option<ShopId>,
    /// What it is.
    pub description: ShopDescription,
    /// The price up to which it agrees beforehand, as typed; empty when it is always asked.
    pub standing_limit: String,
}

/// Makes a one-time sign-in link.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct InviteShopUser {
    /// The shop.
    pub shop_id: ShopId,
    /// The user's e-mail address, by which they sign in later.
    pub email: String,
}

/// Most jobs and most parcels shown of one shop; the Rack finds the others.
const ROWS_MAX: usize = 200;

/// Every shop.
pub fn shops(desk: &Desk, _: Nothing) -> Result<ShopsView, DeskError> {
    let jobs = desk.job_rows(&Filter {
        is_open: Some(true),
        ..Filter::all("job")
    })?;
    let parcels = desk.parcel_rows(&super::dock::parcels_at(ParcelStage::Advised))?;
    let number = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
    let mut rows = Vec::new();
    for shop in desk.shops()? {
        let own = |row: &&JobRow| row.shop_id == Some(shop.shop_id);
        let waits = |row: &&JobRow| row.holds.iter().any(|hold| hold.contains("shop"));
        let awaited = |row: &&ParcelRow| row.shop_id == Some(shop.shop_id);
        rows.push(ShopRow {
            in_house: number(
                jobs.iter()
                    .filter(own)
                    .filter(|row| row.stage.in_house())
                    .count(),
            ),
            waiting_for_shop: number(jobs.iter().filter(own).filter(waits).count()),
            parcels_awaited: number(parcels.iter().filter(awaited).count()),
            refused_advice: number(desk.shop_fold(shop.shop_id)?.refused.len()),
            shop,
        });
    }
    Ok(ShopsView { rows })
}

/// One shop.
pub fn shop(desk: &Desk, request: ShopKey) -> Result<ShopView, DeskError> {
    let brief = desk
        .shop_brief(request.shop_id)?
        .ok_or(DeskError::NotFound { what: "shop" })?;
    let own = |tag: &'static str| Filter {
        shop_id: Some(request.shop_id),
        limit: ROWS_MAX,
        ..latest_first(tag)
    };
    Ok(ShopView {
        shop: desk.shop_fold(request.shop_id)?,
        jobs: desk.job_rows(&own("job"))?,
        parcels: desk.parcel_rows(&own("parcel"))?,
        brief,
    })
}

/// Adds or changes a shop.
pub fn save_shop(desk: &Desk, request: SaveShop) -> Result<ShopView, DeskError> {
    let description = ShopDescription {
        name: super::setup::named("name", "the shop's name", &request.description.name)?,
        address_lines: super::setup::lines(&request.description.address_lines),
        country: super::setup::country(&request.description.country)?,
        phone: request.description.phone.trim().to_owned(),
        email: request.description.email.trim().to_owned(),
        currency: request.description.currency.trim().to_uppercase(),
    };
    let currency: Currency = description
        .currency
        .parse()
        .map_err(|why| DeskError::field("currency", why))?;
    let typed = request.standing_limit.trim();
    let limit = if typed.is_empty() {
        None
    } else {
        Some(Money::parse(typed, currency).map_err(|why| DeskError::field("standing_limit", why))?)
    };
    if limit.is_some_and(|limit| limit.minor < 0) {
        let why = "a limit can't be negative; write it without the sign, or leave it empty";
        return Err(DeskError::field("standing_limit", why));
    }
    let (shop_id, described, limited) = match request.shop_id {
        Some(shop_id) => {
            let shop = desk.shop_fold(shop_id)?;
            (
                shop_id,
                shop.description.clone(),
                shop.standing_limit.clone(),
            )
        }
        None => (
            ShopId::new(desk.new_id()),
            domain::Register::default(),
            domain::Register::default(),
        ),
    };
    let subject = Subject::Shop(shop_id);
    let mut facts = Vec::new();
    if described.value() != Some(&description) || described.is_disputed() {
        facts.push((
            subject,
            Fact::ShopDescribed(description),
            described.based_on(),
        ));
    }
    let limit = StandingLimit { limit };
    if limited
        .value()
        .map_or(limit.limit.is_some(), |standing| *standing != limit)
        || limited.is_disputed()
    {
        facts.push((subject, Fact::ShopLimitSet(limit), limited.based_on()));
    }
    if !facts.is_empty() {
        desk.record_all(facts)?;
    }
    shop(desk, ShopKey { shop_id })
}

/// Makes a one-time link by which a shop's user signs in. Needs the server.
pub fn invite_shop_user(desk: &Desk, request: InviteShopUser) -> Result<ShopInvitation, DeskError> {
    desk.shop_brief(request.shop_id)?
        .ok_or(DeskError::NotFound { what: "shop" })?;
    let email = request.email.trim().to_owned();
    if !email.contains('@') || email.chars().any(char::is_whitespace) {
        return Err(DeskError::field(
            "email",
            format!("“{email}” is no e-mail address; write it like counter@shop.example"),
        ));
    }
    desk.invite_shop_user(request.shop_id, &email)
}
