//! One device through the whole job, by the commands that the screens use, with a real server that is stopped in between.
//!
//! Each step is checked; the first that fails ends the play with a sentence that says which and why.

mod bench;
mod cases;
mod dock;
mod outbound;
mod server;
mod shop;
mod steps;

use std::net::{Ipv4Addr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use anyhow::{Context as _, Result, ensure};
use desk::commands::rack::{RackFilter, rack};
use desk::commands::shops::{InviteShopUser, invite_shop_user};
use desk::commands::start::{ChoosePerson, choose_person, state};
use desk::commands::{Nothing, setup};
use desk::ports::Ports;
use desk::{Desk, DeskOptions};
use domain::cells::transport::{Carrier, Mode, Regime};
use domain::fact::TransportPlan;
use domain::{JobId, ParcelId, PersonId, ShopId};
use serde_json::json;

use crate::browser::Browser;
use crate::data::shops::ShopKey;
use crate::data::{LAST_DAY, people};
use crate::history::{PASSWORD, SEED, SeedOptions, Seeded, seed};
use server::Server;
use steps::Steps;

/// The file that says that every step is done, and where everything is.
const READY_FILE: &str = "ready.json";

/// The shop whose device goes through.
const SHOP: ShopKey = ShopKey::Elektra;
/// The shop whose device is scanned into the wrong parcel.
const OTHER_SHOP: ShopKey = ShopKey::Nordljus;

/// How the invented lab sends its returns: by road where a road leads, every device switched off and with its own battery.
pub(crate) fn way_to(country: &str) -> TransportPlan {
    TransportPlan {
        regime: Regime::Adr,
        mode: if country == "JP" {
            Mode::AirCargo
        } else {
            Mode::Ground
        },
        carrier: Carrier::None,
        packages: 1,
        powered_off: Some(true),
        batteries_original: Some(true),
        charge_rated_pct: None,
        charge_shown_pct: Some(25),
        outside_us_lower_48: None,
    }
}

/// Where to play, and with what.
#[derive(Debug, Clone)]
pub struct PlayOptions {
    /// An empty folder; everything is written below it.
    pub folder: PathBuf,
    /// The server's program.
    pub server_binary: PathBuf,
    /// The port it listens on; a free one if none is given.
    pub port: Option<u16>,
    /// True once somebody wants an end; looked at between two steps.
    pub interrupted: Arc<AtomicBool>,
}

/// What is left to look at, with the server still running; dropped, it is stopped.
#[derive(Debug)]
pub struct Played {
    _server: Server,
}

/// What the play knows while it goes on.
struct Play {
    desk: Arc<Desk>,
    browser: Browser,
    steps: Steps,
    lab: Seeded,
    shop_id: ShopId,
    folder: PathBuf,
    url: String,
    /// The parcel that the shop announces.
    parcel_id: Option<ParcelId>,
    /// The device that goes through the whole job, and the one that is missing.
    devices: Option<(JobId, JobId)>,
    /// Where the return report lies.
    report: Option<PathBuf>,
}

/// Plays it.
pub fn play(options: &PlayOptions) -> Result<Played> {
    let mut steps = Steps::new(Arc::clone(&options.interrupted));
    std::fs::create_dir_all(&options.folder)
        .with_context(|| format!("making the folder {}", options.folder.display()))?;
    let port = options.port.map_or_else(free_port, Ok)?;
    let (desktop, data) = (
        options.folder.join("desktop"),
        options.folder.join("server"),
    );

    steps::heading("Three weeks of an invented lab");
    let seed_options = SeedOptions {
        desktop: desktop.clone(),
        server: data.clone(),
        port,
        seed: SEED,
    };
    let lab = steps.step("One lab, four shops, their devices, their pictures", || {
        let lab = seed(&seed_options, &|day| print_day(day))?;
        let said = format!(
            "{} devices in {} business days",
            lab.jobs.len(),
            LAST_DAY + 1
        );
        Ok((lab, said))
    })?;

    steps::heading("With the server");
    let mut server = steps.step("The sync server starts on its SQLite file", || {
        let server = Server::start(&options.server_binary, &data, port)?;
        let said = server.url().to_owned();
        Ok((server, said))
    })?;
    let desk = steps.step(
        "The desktop opens the lab and is in step with the server",
        || open(&desktop),
    )?;
    let browser = Browser::new(server.url())?;
    let url = server.url().to_owned();
    let shop_id = lab.shop(SHOP)?;
    let folder = options.folder.clone();
    let mut play = Play {
        desk,
        browser,
        steps,
        lab,
        shop_id,
        folder,
        url,
        parcel_id: None,
        devices: None,
        report: None,
    };
    play.every_case_is_there()?;
    play.shop_signs_in()?;
    play.shop_agrees()?;
    play.shop_announces()?;
    play.sits_down(people::RECEIVER)?;
    play.parcel_comes_in()?;

    steps::heading("Without the server");
    play.stop_server(&mut server)?;
    play.sits_down(people::TECHNICIAN)?;
    play.cell_and_look_over()?;
    play.before_and_quote()?;
    play.work_and_after()?;
    play.outcome_and_report()?;

    steps::heading("The server is back");
    play.start_server(&mut server)?;
    play.sits_down(people::SHIPPER)?;
    play.return_parcel()?;
    play.shop_opens_report()?;
    play.check_everything()?;
    play.sits_down(people::OWNER)?;
    play.tell_the_end()?;
    Ok(Played { _server: server })
}

/// A port that nobody listens on now.
fn free_port() -> Result<u16> {
    let listener =
        TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).context("looking for a free port")?;
    Ok(listener
        .local_addr()
        .context("looking for a free port")?
        .port())
}

fn print_day(day: u32) {
    println!("       day {} of {}", day + 1, LAST_DAY + 1);
}

fn open(folder: &Path) -> Result<(Arc<Desk>, String)> {
    let desk = Arc::new(Desk::open(DeskOptions::beside(folder), Ports::system())?);
    desk.sync_now()?;
    let view = state(&desk, Nothing {})?;
    ensure!(
        view.sync.entries_waiting == 0 && view.sync.files_waiting == 0,
        "after syncing, {}",
        view.sync.words
    );
    let entries = setup::setup(&desk, Nothing {})?.entries;
    let said = format!(
        "{entries} entries, {} jobs in the house; {}",
        view.jobs_in_house, view.sync.words
    );
    Ok((desk, said))
}

impl Play {
    fn parcel(&self) -> Result<ParcelId> {
        self.parcel_id.context("the shop has announced no parcel")
    }

    fn lab_person(&self, name: &str) -> Result<PersonId> {
        let people = state(&self.desk, Nothing {})?.people;
        let person = people.into_iter().find(|person| person.name == name);
        Ok(person
            .with_context(|| format!("nobody at the lab is called {name}"))?
            .person_id)
    }

    /// Somebody else sits down at the desktop.
    fn sits_down(&self, name: &str) -> Result<()> {
        let person_id = self.lab_person(name)?;
        choose_person(&self.desk, ChoosePerson { person_id })?;
        Ok(())
    }

    /// The device that goes through the whole job.
    fn job(&self) -> Result<JobId> {
        Ok(self.devices.context("the shop has announced no devices")?.0)
    }

    fn stop_server(&mut self, server: &mut Server) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        self.steps.step(
            "The server is stopped; the desktop can't reach it and says so",
            || {
                server.stop()?;
                ensure!(
                    desk.sync_now().is_err(),
                    "the desktop still reaches a server that was stopped"
                );
                Ok(((), state(&desk, Nothing {})?.sync.words))
            },
        )
    }

    fn start_server(&mut self, server: &mut Server) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        let waiting = state(&desk, Nothing {})?.sync;
        ensure!(
            waiting.entries_waiting > 0 && waiting.files_waiting > 0,
            "nothing waits to be sent after working without the server"
        );
        println!(
            "       waiting: {} entries and {} files, {} KB",
            waiting.entries_waiting,
            waiting.files_waiting,
            waiting.file_bytes_waiting / 1000
        );
        self.steps
            .step("The server starts again on the same file", || {
                Ok((server.start_again()?, String::new()))
            })?;
        self.steps.step("Everything that waited is sent", || {
            steps::watch_catching_up(&desk)?;
            let line = state(&desk, Nothing {})?.sync;
            ensure!(
                line.entries_waiting == 0 && line.files_waiting == 0,
                "after catching up, {}",
                line.words
            );
            Ok(((), line.words))
        })
    }

    /// The whole logbook is checked, and the lab is looked over once more.
    fn check_everything(&mut self) -> Result<()> {
        let desk = Arc::clone(&self.desk);
        self.steps.step(
            "Every entry of the logbook is checked: hashes, chain, signatures",
            || {
                let verified = setup::verify_logbook(&desk, Nothing {})?;
                ensure!(
                    verified.trouble.is_empty(),
                    "the logbook is not whole: {}",
                    verified.trouble.join(" ")
                );
                let rows = rack(
                    &desk,
                    RackFilter {
                        with_returned: true,
                        ..RackFilter::default()
                    },
                )?
                .rows
                .len();
                Ok((
                    (),
                    format!(
                        "{} entries of {} streams, {rows} jobs",
                        verified.entries, verified.streams
                    ),
                ))
            },
        )
    }

    /// Prints where everything is, and writes it down for whoever started this.
    fn tell_the_end(&mut self) -> Result<()> {
        let request = InviteShopUser {
            shop_id: self.lab.shop(OTHER_SHOP)?,
            email: "counter2@nordljus.example".to_owned(),
        };
        let link = invite_shop_user(&self.desk, request)
            .context("making a one-time link")?
            .url;
        let report = self
            .report
            .as_deref()
            .context("no return report was made")?
            .display()
            .to_string();
        let lab = self.folder.join("desktop").display().to_string();
        self.desk.stop();
        println!("\nEvery step is done.");
        println!("  portal         {}", self.url);
        println!("  one-time link  {link}");
        println!(
            "                 ({}; works once, for a week)",
            OTHER_SHOP.plan().name
        );
        println!(
            "  or sign in as  {} with “{PASSWORD}”",
            SHOP.plan().user_email
        );
        println!("  return report  {report}");
        println!("  lab’s folder   {lab}");
        let ready = json!({ "lab": lab, "portal": self.url, "link": link, "report": report });
        let path = self.folder.join(READY_FILE);
        // Written beside and renamed, so that whoever waits for it never reads half of it.
        let partial = path.with_extension("partial");
        std::fs::write(&partial, ready.to_string()).context("writing down where everything is")?;
        std::fs::rename(&partial, &path).context("writing down where everything is")
    }
}
