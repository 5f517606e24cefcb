//! Two desktops that are apart name different prices for one job.

use std::sync::Arc;

use anyhow::{Context as _, Result};
use desk::commands::Nothing;
use desk::commands::bench::quote::set_quote;
use desk::commands::start::{ChoosePerson, JoinLab, choose_person, invite_desktop, join_lab};
use desk::{Desk, DeskOptions};

use super::story::shop_of;
use super::world::World;
use crate::data::people;

/// What the second desktop is called, and its folder beside the first one's.
const SECOND_DESKTOP: &str = "Bench 2";
const SECOND_FOLDER: &str = "desktop-bench-2";

impl World {
    /// The owner names a price at the first desktop, the second technician another one at the second, both without the server.
    pub(crate) fn dispute(&mut self, key: &str, day: u32) -> Result<()> {
        if self.portal.is_none() {
            return self.quote(key, day);
        }
        self.act_as(people::OWNER)?;
        let invitation = invite_desktop(&self.desk, Nothing {})?.text;
        self.sync()?;
        let second = Arc::new(Desk::open(
            DeskOptions::beside(&self.folder.with_file_name(SECOND_FOLDER)),
            self.ports.clone(),
        )?);
        join_lab(
            &second,
            JoinLab {
                invitation,
                desktop_name: SECOND_DESKTOP.to_owned(),
            },
        )
        .context("joining the second desktop")?;
        choose_person(
            &second,
            ChoosePerson {
                person_id: self.person(people::SECOND_TECHNICIAN)?,
            },
        )?;
        // From here on the two are apart: neither syncs before both prices stand.
        self.tick();
        let first = self.quote_request(key, day)?;
        let mut other = first.clone();
        if let Some(line) = other.lines.first_mut() {
            line.amount = shop_of(key).price(124);
            "Board repair: short on the main rail, with a part below the shield"
                .clone_into(&mut line.text);
        }
        set_quote(&self.desk, first)?;
        self.tick();
        set_quote(&second, other)?;
        self.sync()?;
        second.sync_now()?;
        self.sync()
    }
}
