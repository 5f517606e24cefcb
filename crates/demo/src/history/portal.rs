//! The story's server: in this process, with the story's clock, on the folder that the real server serves afterwards.

use std::collections::BTreeMap;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use std::sync::Arc;

use anyhow::{Context as _, Result};
use desk::Desk;
use desk::commands::shops::{InviteShopUser, invite_shop_user};
use desk::commands::start::{ConnectServer, connect_server};
use domain::ShopId;
use domain::fact::{Answer, CellAnswer, JobAdvice, Tracking};
use domain::{EntryId, JobId, ParcelId};
use sync_server::Running;
use sync_server::auth::{ShopScope, session};
use sync_server::config::Config;
use sync_server::core::{Core, NewAdvice, NewDevice, Quoted};

use super::clock::StoryClock;
use crate::browser::Browser;
use crate::data::shops::{ShopKey, ShopPlan};

/// What every user of the invented shops signs in with.
pub const PASSWORD: &str = "copper rosin and thyme";

/// The server, and who is signed in at it.
pub(crate) struct Portal {
    running: Running,
    scopes: BTreeMap<ShopKey, ShopScope>,
}

impl Portal {
    /// Starts the server on a port of this computer.
    pub(crate) fn start(data: &Path, port: u16, clock: Arc<StoryClock>) -> Result<Self> {
        let config = Config {
            listen: SocketAddr::from((Ipv4Addr::LOCALHOST, port)),
            clock,
            ..Config::local(data.to_owned())
        };
        let running = sync_server::start(config).context("starting the story's server")?;
        Ok(Self {
            running,
            scopes: BTreeMap::new(),
        })
    }

    fn core(&self) -> &Core {
        self.running.core()
    }

    /// Connects a desktop by a one-time code.
    pub(crate) fn connect(&self, desk: &Desk) -> Result<()> {
        let code = self.core().new_join_code().context("making a join code")?;
        connect_server(
            desk,
            ConnectServer {
                url: self.running.public_url().to_owned(),
                code,
            },
        )
        .context("connecting the desktop")?;
        desk.sync_now()?;
        Ok(())
    }

    /// A shop's user follows the lab's invitation, as people do: over the pages.
    pub(crate) fn welcome(&mut self, desk: &Desk, shop: &ShopPlan, shop_id: ShopId) -> Result<()> {
        let request = InviteShopUser {
            shop_id,
            email: shop.user_email.to_owned(),
        };
        let invitation =
            invite_shop_user(desk, request).with_context(|| format!("inviting {}", shop.user))?;
        let mut browser = Browser::new(self.running.public_url())?;
        browser
            .use_invite(&invitation.url, shop.user, PASSWORD)
            .with_context(|| format!("{} follows the invitation", shop.user))?;
        let core = self.core();
        let user = core
            .store()
            .user_by_email(shop.user_email)?
            .context("the new user is not known")?;
        let cookie = session::open(core.store(), &user, None, core.now_ms())?;
        let found = session::find(core.store(), &cookie, core.now_ms())?
            .context("the new session is not known")?;
        core.store().close_session(&cookie.hash())?;
        self.scopes.insert(shop.key, found.scope);
        Ok(())
    }

    fn scope(&self, shop: ShopKey) -> Result<&ShopScope> {
        self.scopes.get(&shop).context("the shop has no user yet")
    }

    /// A shop announces a parcel.
    pub(crate) fn announce(
        &self,
        shop: ShopKey,
        note: &str,
        tracking: Tracking,
        advices: Vec<JobAdvice>,
    ) -> Result<ParcelId> {
        let devices = advices
            .into_iter()
            .map(|advice| NewDevice {
                advice,
                lab_answer: "Benno at the lab: may come by road, switched off and padded"
                    .to_owned(),
            })
            .collect();
        let advice = NewAdvice {
            note: note.to_owned(),
            tracking: Some(tracking),
            devices,
        };
        Ok(self.core().advise(self.scope(shop)?, advice)?)
    }

    /// A shop wanted to announce a device that must not be posted.
    pub(crate) fn refuse(&self, shop: ShopKey, device: &str) -> Result<()> {
        Ok(self.core().refuse_advice(
            self.scope(shop)?,
            device.to_owned(),
            [CellAnswer::Swollen].into(),
        )?)
    }

    /// A shop answers a quote.
    pub(crate) fn answer(
        &self,
        shop: ShopKey,
        (job_id, quote_entry_id): (JobId, EntryId),
        answer: Answer,
        note: &str,
    ) -> Result<()> {
        Ok(self.core().decide(
            self.scope(shop)?,
            Quoted {
                job_id,
                quote_entry_id,
            },
            answer,
            note.to_owned(),
        )?)
    }

    /// A shop writes to the lab.
    pub(crate) fn write(&self, shop: ShopKey, job_id: JobId, text: &str) -> Result<()> {
        Ok(self
            .core()
            .post_message(self.scope(shop)?, job_id, text.to_owned())?)
    }

    /// Ends the server; its data stay.
    pub(crate) fn stop(self) {
        self.running.stop();
    }
}
