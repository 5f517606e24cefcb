//! Steps as they are told: a number, plain words, how long it took, what was found.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use anyhow::{Context as _, Result, bail, ensure};
use desk::commands::Nothing;
use desk::commands::start::state;
use desk::{Desk, DeskError};

/// The teller.
pub(super) struct Steps {
    count: u32,
    interrupted: Arc<AtomicBool>,
}

impl Steps {
    pub(super) const fn new(interrupted: Arc<AtomicBool>) -> Self {
        Self {
            count: 0,
            interrupted,
        }
    }

    /// Does one step. It gives its value and what was found, in a few words.
    pub(super) fn step<T>(
        &mut self,
        words: &str,
        act: impl FnOnce() -> Result<(T, String)>,
    ) -> Result<T> {
        if self.interrupted.load(Ordering::SeqCst) {
            bail!("ended on request before the step “{words}”");
        }
        self.count += 1;
        let count = self.count;
        let started = Instant::now();
        let (value, found) = act().with_context(|| format!("step {count} failed, “{words}”"))?;
        let took = started.elapsed();
        println!("  {count:>2}. {words}  [{} ms]", took.as_millis());
        if !found.is_empty() {
            println!("       {found}");
        }
        Ok(value)
    }
}

/// Begins a part of the play.
pub(super) fn heading(words: &str) {
    println!("\n{words}");
}

/// What a command said in refusing; an error if it did not refuse.
pub(super) fn refusal<T>(result: Result<T, DeskError>, what: &str) -> Result<String> {
    match result {
        Ok(_) => bail!("{what} was not refused"),
        Err(
            error @ (DeskError::Blocked { .. }
            | DeskError::Refused { .. }
            | DeskError::Field { .. }),
        ) => Ok(error.to_string()),
        Err(error) => Err(error).with_context(|| format!("{what} failed instead of being refused")),
    }
}

/// Pause between two looks at what still waits.
const LOOK_AGAIN: Duration = Duration::from_millis(25);

/// Syncs on another thread and prints how what waits grows less.
pub(super) fn watch_catching_up(desk: &Arc<Desk>) -> Result<()> {
    let working = {
        let desk = Arc::clone(desk);
        std::thread::spawn(move || desk.sync_now())
    };
    let mut last = None;
    loop {
        let done = working.is_finished();
        let line = state(desk, Nothing {})?.sync;
        let waiting = (line.entries_waiting, line.files_waiting);
        if last != Some(waiting) {
            println!(
                "       {:>3} entries, {:>2} files still waiting",
                waiting.0, waiting.1
            );
            last = Some(waiting);
        }
        if done {
            break;
        }
        std::thread::sleep(LOOK_AGAIN);
    }
    let result = working.join();
    ensure!(result.is_ok(), "the thread that syncs broke off");
    if let Ok(synced) = result {
        synced.context("catching up with the server")?;
    }
    Ok(())
}
