//! Measures what people wait for, on a lab of a size that three busy years make, and prints a table.
//!
//! It never fails for being slow: a number that depends on the machine is no test. Each row stands beside its budget and the
//! factor by which it is kept. Run in release, on a machine that does nothing else:
//! `cargo run --release -p tests --bin bench`; `--quick` tries the same on a small lab.

mod cases;
mod meter;
mod portal;
mod seed;
mod table;

use std::io::Write as _;
use std::time::Instant;

use anyhow::{Context as _, bail};

use self::table::{Table, spread};
use crate::house::Server;

/// How large the lab is and how often each thing is done.
#[derive(Debug, Clone, Copy)]
struct Scale {
    /// Jobs in the logbook; ten entries each.
    jobs: u32,
    /// Repetitions of what takes milliseconds.
    many: usize,
    /// Repetitions of what takes longer.
    few: usize,
    /// Browsers at once.
    clients: usize,
    /// Pages each of them opens.
    pages: usize,
}

const FULL: Scale = Scale {
    jobs: 20_000,
    many: 1_000,
    few: 20,
    clients: 50,
    pages: 20,
};
const QUICK: Scale = Scale {
    jobs: 200,
    many: 30,
    few: 3,
    clients: 10,
    pages: 5,
};

/// Runs all measurements and prints the table to standard output, what is being done to standard error.
///
/// Arguments: none, or `--quick`. Fails only when something does not work at all.
pub fn run(arguments: impl Iterator<Item = String>) -> anyhow::Result<()> {
    let mut scale = FULL;
    for argument in arguments {
        match argument.as_str() {
            "--quick" => scale = QUICK,
            other => bail!("“{other}” is no argument of this program; it takes --quick or nothing"),
        }
    }
    let folder = tempfile::tempdir().context("making a temporary folder")?;
    let mut table = Table::default();
    say("making the lab");
    let began = Instant::now();
    let mut lab = seed::lab(scale);
    say(&format!(
        "{} entries about {} jobs, written in {:.1} s",
        lab.entries,
        lab.jobs.len(),
        began.elapsed().as_secs_f64()
    ));
    let server = Server::start();

    cases::full_fold(&mut table, &mut lab);
    let meter = meter::Meter::to(server.address());
    cases::first_upload(&mut table, &lab, &server, &meter);
    let second = cases::first_sync(&mut table, &lab, &server);
    cases::no_op_sync(&mut table, scale, &lab, &second, &meter);
    let second = cases::start(&mut table, scale, second);
    cases::append(&mut table, scale, &lab, folder.path());
    cases::save(&mut table, scale, &lab, &second);
    cases::scan(&mut table, scale, &lab, &second);
    cases::open_job(&mut table, scale, &lab, &second);
    cases::photo(&mut table, scale, &lab, &second);
    cases::report(&mut table, scale, &lab, &second);
    second.sync_now().context("sending what was recorded")?;
    portal::pages(&mut table, scale, &lab, &second, &server);

    let mut out = std::io::stdout().lock();
    writeln!(
        out,
        "{}\n\n{table}",
        header(scale, lab.entries, folder.path())?
    )
    .context("printing the table")
}

fn say(what: &str) {
    eprintln!("{what}");
}

/// How it was measured, in a few lines.
fn header(scale: Scale, entries: u64, folder: &std::path::Path) -> anyhow::Result<String> {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let profile = if cfg!(debug_assertions) {
        "dev; numbers of this profile say nothing"
    } else {
        "release"
    };
    let read = |path: &str| std::fs::read_to_string(path).unwrap_or_default();
    let cpu = read("/proc/cpuinfo");
    let cpu = cpu
        .lines()
        .find_map(|line| line.strip_prefix("model name")?.split_once(": "))
        .map_or("unknown", |(_, name)| name);
    let load = read("/proc/loadavg");
    let load = load.split(' ').next().unwrap_or("unknown");
    let syncs = fsync_cost(folder)?;
    Ok(format!(
        "- Date: {} UTC. Build: {profile}. Processor: {cpu}, {cores} cores; load average {load} at the end.\n\
         - Lab: {entries} entries, {} jobs of which one in forty is in the house; server and desktops in one process, HTTP on loopback.\n\
         - Every recording is durable (SQLite, WAL, synchronous=FULL) on both sides before it is acknowledged. One fsync of 4 KiB on \
         this disk takes {syncs}; a disk that is slower or more honest makes everything that records slower by the difference.\n\
         - Budgets hold for a bench computer with a consumer SSD. “Met by” is budget ÷ measured: above 1 it is kept.",
        jiff::Timestamp::now().strftime("%Y-%m-%d %H:%M"),
        scale.jobs,
    ))
}

/// What the disk asks for its promise: writes of 4 KiB, each followed by an fsync.
fn fsync_cost(folder: &std::path::Path) -> anyhow::Result<String> {
    const WRITES: usize = 200;
    let path = folder.join("fsync");
    let mut file =
        std::fs::File::create(&path).with_context(|| format!("making {}", path.display()))?;
    let mut times = Vec::with_capacity(WRITES);
    for _ in 0..WRITES {
        file.write_all(&[0x5a; 4096]).context("writing")?;
        let began = Instant::now();
        file.sync_all().context("waiting for the disk")?;
        times.push(began.elapsed());
    }
    Ok(spread(&mut times))
}
