//! The server's program: serve, hand out one-time codes and links, back up, restore.

use std::io::Write as _;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::time::Duration;

use anyhow::{Context as _, ensure};
use clap::{Args, Parser, Subcommand};
use domain::ShopId;
use sync_server::auth::{LabScope, credential};
use sync_server::config::{Config, ConfigFile, Quotas, TlsFiles};
use sync_server::core::Core;
use sync_server::files::Files;
use sync_server::log::{self, LogFormat};
use sync_server::store::sqlite::{self, SqliteStore};

/// Keeps a repair lab's log for its desktops and shows each shop its own devices.
#[derive(Debug, Parser)]
#[command(name = "sync-server", version)]
struct Cli {
    /// How log lines are written.
    #[arg(long, value_enum, default_value = "text", global = true)]
    log: LogFormat,
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Runs the server until it is told to stop.
    Serve(Place),
    /// Prints a one-time code with which a desktop joins. Good for a day.
    JoinCode(Place),
    /// Prints a one-time link with which a user of a shop sets a password. Good for a week.
    ShopLink {
        /// The shop: its id, or its name as the lab wrote it.
        #[arg(long)]
        shop: String,
        /// Only for the user with this e-mail address; a known user gets a new password.
        #[arg(long, default_value = "")]
        email: String,
        #[command(flatten)]
        place: Place,
    },
    /// Lists the shops with their ids.
    Shops(Place),
    /// Lists the desktops with their numbers.
    Desktops(Place),
    /// Takes a desktop's right away, at once; what it recorded stays.
    RevokeDesktop {
        /// Its number in the list of desktops.
        #[arg(long)]
        desktop: i64,
        #[command(flatten)]
        place: Place,
    },
    /// Takes a shop user's account away, at once; what the person did stays.
    RemoveUser {
        /// The user's e-mail address.
        #[arg(long)]
        email: String,
        #[command(flatten)]
        place: Place,
    },
    /// Copies everything to a folder while the server runs. Photos that are there already are left alone.
    Backup {
        /// The folder.
        target: PathBuf,
        #[command(flatten)]
        place: Place,
    },
    /// Brings a backup back into an empty data folder. Desktops then send what it lacks.
    Restore {
        /// The backup's folder.
        source: PathBuf,
        #[command(flatten)]
        place: Place,
    },
}

/// Where things are: a file, flags, or both; a flag replaces the file's line.
#[derive(Debug, Args)]
struct Place {
    /// The configuration file (TOML).
    #[arg(long, env = "SYNC_SERVER_CONFIG")]
    config: Option<PathBuf>,
    /// The folder that holds the database and the photos.
    #[arg(long)]
    data: Option<PathBuf>,
    /// Address and port to listen on [default: 127.0.0.1:8460].
    #[arg(long)]
    listen: Option<SocketAddr>,
    /// What browsers and desktops call this server, as in https://repairs.example.org.
    #[arg(long)]
    public_url: Option<String>,
    /// TLS certificate chain (PEM).
    #[arg(long, requires = "tls_key")]
    tls_cert: Option<PathBuf>,
    /// TLS private key (PEM).
    #[arg(long, requires = "tls_cert")]
    tls_key: Option<PathBuf>,
    /// Believe the last address in X-Forwarded-For: only behind a proxy that sets it.
    #[arg(long)]
    trusted_proxy: bool,
    /// Let anybody ask for a transport verdict, without an account; else only shop users and desktops may.
    #[arg(long)]
    public_verdicts: bool,
}

impl Place {
    fn config(self) -> anyhow::Result<Config> {
        let file = match &self.config {
            Some(path) => ConfigFile::read(path)?,
            None => ConfigFile::default(),
        };
        let flags = ConfigFile {
            data: self.data,
            listen: self.listen,
            public_url: self.public_url,
            trusted_proxy: self.trusted_proxy.then_some(true),
            public_verdicts: self.public_verdicts.then_some(true),
            tls: self
                .tls_cert
                .zip(self.tls_key)
                .map(|(certificate, key)| TlsFiles { certificate, key }),
            quotas: None::<Quotas>,
        };
        Ok(file.overridden_by(flags).finish()?)
    }
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    log::start(cli.log);
    match run(cli.command) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            tracing::error!(error = %log::Chain(error.as_ref()), "stopped");
            ExitCode::FAILURE
        }
    }
}

fn run(command: Command) -> anyhow::Result<()> {
    match command {
        Command::Serve(place) => serve(place.config()?),
        Command::JoinCode(place) => {
            let config = place.config()?;
            print_line(&open_core(&config)?.new_join_code()?)
        }
        Command::ShopLink { shop, email, place } => shop_link(&place.config()?, &shop, &email),
        Command::Shops(place) => with_lab(&place.config()?, |core, scope| {
            let cards = core.store().shop_cards(scope)?;
            cards
                .iter()
                .try_for_each(|(id, card)| print_line(&format!("{id}  {}", card.name)))
        }),
        Command::Desktops(place) => with_lab(&place.config()?, |core, scope| {
            core.store()
                .desktops(scope)?
                .iter()
                .try_for_each(|desktop| {
                    let state = if desktop.is_revoked {
                        "  (revoked)"
                    } else {
                        ""
                    };
                    print_line(&format!("{}  {}{state}", desktop.desktop_id, desktop.name))
                })
        }),
        Command::RevokeDesktop { desktop, place } => with_lab(&place.config()?, |core, scope| {
            let is_done = core.store().revoke_desktop(scope, desktop)?;
            ensure!(
                is_done,
                "there is no desktop {desktop}; see the list with the command desktops"
            );
            Ok(())
        }),
        Command::RemoveUser { email, place } => with_lab(&place.config()?, |core, scope| {
            let is_done = core.store().remove_user(scope, &email.to_lowercase())?;
            ensure!(is_done, "nobody signs in as {email}");
            Ok(())
        }),
        Command::Backup { target, place } => {
            sqlite::backup(&place.config()?.data, &target)?;
            tracing::info!(target = %target.display(), "everything is copied");
            Ok(())
        }
        Command::Restore { source, place } => {
            sqlite::restore(&source, &place.config()?.data)?;
            tracing::info!(
                "restored with a new epoch; the desktops will send what the backup lacks"
            );
            Ok(())
        }
    }
}

fn shop_link(config: &Config, shop: &str, email: &str) -> anyhow::Result<()> {
    with_lab(config, |core, scope| {
        let by_id = shop.parse::<ShopId>().ok();
        let shop_id = core
            .store()
            .shop_cards(scope)?
            .into_iter()
            .find(|(id, card)| Some(*id) == by_id || card.name == shop)
            .map(|(id, _)| id)
            .with_context(|| {
                format!(
                    "no shop is called “{shop}” or has that id; see the list with the command shops"
                )
            })?;
        let token = core.new_invite(scope, shop_id, email)?;
        let local = || format!("http://{}", config.listen);
        let base = config
            .public_url
            .as_ref()
            .map_or_else(local, |url| url.as_str().to_owned());
        print_line(&format!("{base}/invite/{}", token.reveal()))
    })
}

/// Runs `work` with the operator's right over the lab that this data folder holds.
fn with_lab(
    config: &Config,
    work: impl FnOnce(&Core, &LabScope) -> anyhow::Result<()>,
) -> anyhow::Result<()> {
    let core = open_core(config)?;
    let scope = credential::operator(core.store())?
        .context("no desktop has joined yet, so there is no lab; make a code with the command join-code first")?;
    work(&core, &scope)
}

fn open_core(config: &Config) -> anyhow::Result<Core> {
    open(&config.data, config)
        .with_context(|| format!("opening the data folder {}", config.data.display()))
}

fn open(data: &Path, config: &Config) -> anyhow::Result<Core> {
    let store = Arc::new(SqliteStore::open(data)?);
    Ok(Core::new(
        store,
        Files::open(data)?,
        config.clock.clone(),
        config.quotas,
    )?)
}

/// Answers go to standard output, log lines to standard error, so that a script can read the one.
fn print_line(line: &str) -> anyhow::Result<()> {
    writeln!(std::io::stdout(), "{line}").context("writing the answer")
}

fn serve(config: Config) -> anyhow::Result<()> {
    let running = sync_server::start(config)?;
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .context("waiting for signals")?;
    runtime.block_on(async {
        tokio::select! {
            () = told_to_stop() => tracing::info!("told to stop"),
            () = ended(&running) => tracing::error!("the server ended by itself"),
        }
    });
    running.stop();
    Ok(())
}

async fn ended(running: &sync_server::Running) {
    while !running.is_ended() {
        tokio::time::sleep(Duration::from_millis(500)).await;
    }
}

/// Ctrl-C, or SIGTERM from whatever supervises us.
#[cfg(unix)]
async fn told_to_stop() {
    use tokio::signal::unix::{SignalKind, signal};
    let Ok(mut terminate) = signal(SignalKind::terminate()) else {
        return tokio::signal::ctrl_c().await.unwrap_or_default();
    };
    tokio::select! {
        _ = tokio::signal::ctrl_c() => {}
        _ = terminate.recv() => {}
    }
}

/// Ctrl-C.
#[cfg(not(unix))]
async fn told_to_stop() {
    tokio::signal::ctrl_c().await.unwrap_or_default();
}
