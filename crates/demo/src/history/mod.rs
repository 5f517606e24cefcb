//! Three weeks of an invented lab, written through the commands that its screens use.

mod bay;
pub mod clock;
mod dispute;
mod inward;
mod looking;
mod outward;
mod portal;
mod repairing;
mod story;
mod workshop;
mod world;

#[cfg(test)]
mod tests;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::{Context as _, Result};
use desk::commands::Nothing;
use desk::commands::start::{self, ChoosePerson};
use desk::ports::{Clock as _, SystemClock};
use domain::{JobId, ShopId};

use crate::data::{people, shops};
use clock::{Days, StoryClock, WorkTime};
use portal::Portal;
use story::Cast;
use world::World;

pub(crate) use looking::input_of;
pub use portal::PASSWORD;
pub(crate) use repairing::{FEE_EURO, fitted, heat_input, neighbour_gives, quote_lines};
pub(crate) use workshop::HOT_AIR;

/// The seed of the demonstration.
pub const SEED: u64 = 20_261_125;

/// Where the whole lab is to be written, and what its server is.
#[derive(Debug, Clone)]
pub struct SeedOptions {
    /// Folder of the desktop; a second desktop's is made beside it.
    pub desktop: PathBuf,
    /// Folder of the server's data.
    pub server: PathBuf,
    /// The port of this computer on which the server will be found, now and later.
    pub port: u16,
    /// The same seed gives the same story.
    pub seed: u64,
}

/// The lab as it stands at the end of the story.
#[derive(Debug, Clone)]
pub struct Seeded {
    /// Each job by its name in the story.
    pub jobs: Vec<(&'static str, JobId)>,
    /// Each shop.
    pub shops: Vec<(shops::ShopKey, ShopId)>,
}

impl Seeded {
    /// The job of this name.
    pub fn job(&self, key: &str) -> Result<JobId> {
        self.jobs
            .iter()
            .find(|(name, _)| *name == key)
            .map(|(_, job_id)| *job_id)
            .with_context(|| format!("no job is called {key}"))
    }

    /// The shop of this key.
    pub fn shop(&self, key: shops::ShopKey) -> Result<ShopId> {
        self.shops
            .iter()
            .find(|(name, _)| *name == key)
            .map(|(_, shop_id)| *shop_id)
            .context("the shop is not in this lab")
    }
}

/// Writes the whole lab: three weeks that end before today, with its server's data. Both lie closed afterwards.
///
/// Everything the lab does comes from the seed. What the shops do gets its ids from the server, which makes its own.
pub fn seed(options: &SeedOptions, tell: &dyn Fn(u32)) -> Result<Seeded> {
    let (mut world, clock) = open(&options.desktop, options.seed)?;
    let mut portal = Portal::start(&options.server, options.port, clock)?;
    portal.connect(&world.desk)?;
    for shop in &shops::SHOPS {
        world.tick();
        portal.welcome(&world.desk, shop, world.shop(shop.key)?)?;
    }
    world.portal = Some(portal);
    world.play(
        Cast {
            plays: |_| true,
            returns: |_| true,
        },
        options.seed,
        tell,
    )?;
    let seeded = finish(&mut world)?;
    world.sync()?;
    if let Some(portal) = world.portal.take() {
        portal.stop();
    }
    Ok(seeded)
}

/// Writes a small lab without a server: eight devices of three parcels, one of which has gone back. For tests and screens.
pub fn seed_small(desktop: &Path) -> Result<Seeded> {
    let (mut world, _) = open(desktop, SEED)?;
    world.play(
        Cast {
            plays: |index| matches!(index, 0 | 1 | 8),
            returns: |index| index == 0,
        },
        SEED,
        &|_| {},
    )?;
    finish(&mut world)
}

fn open(desktop: &Path, seed: u64) -> Result<(World, Arc<StoryClock>)> {
    let now_ms = i64::try_from(SystemClock.now_ms()).unwrap_or(i64::MAX);
    let days = Days::before(
        now_ms,
        people::ZONE.parse().context("reading the lab's zone")?,
    )?;
    let clock = Arc::new(StoryClock::default());
    clock.move_to(days.at_ms(WorkTime::on(0, 0))?);
    Ok((World::found(desktop, seed, days, clock.clone())?, clock))
}

/// The owner is at the desktop in the end, as whoever looks at it may want to do everything.
fn finish(world: &mut World) -> Result<Seeded> {
    let person_id = world.person(people::OWNER)?;
    start::choose_person(&world.desk, ChoosePerson { person_id })?;
    start::state(&world.desk, Nothing {})?;
    Ok(Seeded {
        jobs: world
            .jobs
            .iter()
            .map(|(key, job_id)| (*key, *job_id))
            .collect(),
        shops: world
            .shops
            .iter()
            .map(|(key, shop_id)| (*key, *shop_id))
            .collect(),
    })
}
