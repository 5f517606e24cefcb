//! The world of the story: one desktop, its clock and people, and the server if there is one.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::{Context as _, Result};
use desk::commands::bench::{self, JobKey, JobView};
use desk::commands::dock::ParcelView;
use desk::commands::start::{self, ChoosePerson, FoundLab};
use desk::commands::{Nothing, setup, shops};
use desk::ports::Ports;
use desk::{Desk, DeskOptions, PhotoTarget};
use domain::fact::{PhotoAdded, PhotoPlace};
use domain::{CellId, JobId, ParcelId, PersonId, ShopId, Subject};

use super::clock::{Days, StoryClock};
use super::portal::Portal;
use crate::data::shops::{SHOPS, ShopKey};
use crate::data::{JobPlan, jobs, people};
use crate::pictures::{self, Held, Picture};
use crate::random::{Dice, RepeatableRandomness};

/// What the desktop on which the lab was founded is called.
const FIRST_DESKTOP: &str = "Dock and bench 1";

/// All that the story moves.
pub(crate) struct World {
    pub(crate) desk: Arc<Desk>,
    pub(crate) ports: Ports,
    pub(crate) clock: Arc<StoryClock>,
    pub(crate) days: Days,
    pub(crate) folder: PathBuf,
    pub(crate) portal: Option<Portal>,
    pub(crate) shops: BTreeMap<ShopKey, ShopId>,
    pub(crate) jobs: BTreeMap<&'static str, JobId>,
    pub(crate) parcels: BTreeMap<usize, ParcelId>,
    pub(crate) removed_cell: Option<CellId>,
    pub(crate) dice: Dice,
    people: BTreeMap<String, PersonId>,
    seed: u64,
    shots: u64,
}

impl World {
    /// Founds the lab in `folder` at the beginning of the story: its people and its shops.
    pub(crate) fn found(
        folder: &Path,
        seed: u64,
        days: Days,
        clock: Arc<StoryClock>,
    ) -> Result<Self> {
        let ports = Ports {
            clock: clock.clone(),
            randomness: Arc::new(RepeatableRandomness::new(seed)),
        };
        let desk = Arc::new(Desk::open(DeskOptions::beside(folder), ports.clone())?);
        let request = FoundLab {
            lab: people::lab(),
            owner_name: people::OWNER.to_owned(),
            desktop_name: FIRST_DESKTOP.to_owned(),
        };
        start::found_lab(&desk, request).context("founding the lab")?;
        let mut world = Self {
            desk,
            ports,
            clock,
            days,
            folder: folder.to_owned(),
            portal: None,
            shops: BTreeMap::new(),
            jobs: BTreeMap::new(),
            parcels: BTreeMap::new(),
            removed_cell: None,
            dice: Dice::for_name(seed, "story"),
            people: BTreeMap::new(),
            seed,
            shots: 0,
        };
        world.hire()?;
        world.meet_shops()?;
        world.furnish()?;
        Ok(world)
    }

    fn hire(&mut self) -> Result<()> {
        for colleague in people::COLLEAGUES {
            self.tick();
            let request = setup::SavePerson {
                person_id: None,
                name: colleague.name.to_owned(),
                roles: colleague.roles.to_vec(),
                left: false,
            };
            setup::save_person(&self.desk, request)?;
        }
        let state = start::state(&self.desk, Nothing {})?;
        self.people = state
            .people
            .into_iter()
            .map(|person| (person.name, person.person_id))
            .collect();
        Ok(())
    }

    fn meet_shops(&mut self) -> Result<()> {
        for shop in &SHOPS {
            self.tick();
            let request = shops::SaveShop {
                shop_id: None,
                description: shop.description(),
                standing_limit: shop.standing_limit.to_owned(),
            };
            let view = shops::save_shop(&self.desk, request)
                .with_context(|| format!("adding the shop {}", shop.name))?;
            self.shops.insert(shop.key, view.brief.shop_id);
        }
        Ok(())
    }

    /// A little time passes, as between two entries of one person.
    pub(crate) fn tick(&mut self) {
        let seconds = 15 + self.dice.below(75);
        self.clock
            .advance(i64::try_from(seconds * 1000).unwrap_or(0));
    }

    /// Somebody else sits down at the desktop.
    pub(crate) fn act_as(&mut self, name: &str) -> Result<()> {
        self.tick();
        let person_id = self.person(name)?;
        start::choose_person(&self.desk, ChoosePerson { person_id })?;
        Ok(())
    }

    /// The technician who has a job: always the same for one job.
    pub(crate) fn act_as_technician(&mut self, key: &str) -> Result<()> {
        let second = Dice::for_name(self.seed, key).chance(0.4);
        self.act_as(if second {
            people::SECOND_TECHNICIAN
        } else {
            people::TECHNICIAN
        })
    }

    /// A person by name.
    pub(crate) fn person(&self, name: &str) -> Result<PersonId> {
        self.people
            .get(name)
            .copied()
            .with_context(|| format!("nobody at the lab is called {name}"))
    }

    /// The shop of a key.
    pub(crate) fn shop(&self, key: ShopKey) -> Result<ShopId> {
        self.shops
            .get(&key)
            .copied()
            .context("the shop is not there yet")
    }

    /// The job of a key.
    pub(crate) fn job_id(&self, key: &str) -> Result<JobId> {
        self.jobs
            .get(key)
            .copied()
            .with_context(|| format!("job {key} is not there yet"))
    }

    /// The job of a key, as the screen sees it.
    pub(crate) fn job(&self, key: &str) -> Result<JobView> {
        Ok(bench::job(
            &self.desk,
            JobKey {
                job_id: self.job_id(key)?,
            },
        )?)
    }

    /// The parcel with a place in the table, as the screen sees it.
    pub(crate) fn parcel(&self, index: usize) -> Result<ParcelView> {
        let parcel_id = self
            .parcels
            .get(&index)
            .copied()
            .context("the parcel is not there yet")?;
        Ok(desk::commands::dock::parcel(
            &self.desk,
            desk::commands::dock::ParcelKey { parcel_id },
        )?)
    }

    /// Sends and fetches, if there is a server.
    pub(crate) fn sync(&self) -> Result<()> {
        if self.portal.is_some() {
            self.desk
                .sync_now()
                .context("syncing with the story's server")?;
        }
        Ok(())
    }

    /// The seed of what the pictures of a job show. A device that comes back looks as it did.
    pub(crate) fn thing(&self, plan: &JobPlan) -> u64 {
        let first = jobs::JOBS
            .iter()
            .find(|job| job.model.name == plan.model.name && job.number == plan.number);
        Dice::for_name(self.seed, first.map_or(plan.key, |job| job.key)).bits()
    }

    /// Takes a picture and has the desk take it in.
    pub(crate) fn photo(&mut self, shown: &Shown<'_>) -> Result<PhotoAdded> {
        self.tick();
        self.shots += 1;
        let held = [Held::WithPlace, Held::Sideways, Held::Plain]
            [usize::try_from(self.shots % 3).unwrap_or(0)];
        let jpeg = pictures::draw(shown.picture, shown.thing, self.seed ^ self.shots, held);
        let target = PhotoTarget {
            subject: shown.subject,
            place: shown.place,
            caption: shown.caption.to_owned(),
            beside: shown.beside.map(|photo| photo.hash),
        };
        self.desk
            .take_photo(&jpeg, &target)
            .with_context(|| format!("taking a picture: {}", shown.caption))
    }
}

/// A picture to be taken.
pub(crate) struct Shown<'a> {
    /// Of what entry.
    pub(crate) subject: Subject,
    /// What it shows.
    pub(crate) picture: Picture,
    /// The seed of what it shows.
    pub(crate) thing: u64,
    /// Where it belongs.
    pub(crate) place: PhotoPlace,
    /// Its caption.
    pub(crate) caption: &'a str,
    /// The picture that it is to be seen beside.
    pub(crate) beside: Option<&'a PhotoAdded>,
}
