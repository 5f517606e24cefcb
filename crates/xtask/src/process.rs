//! Starts other programs and makes sure that none outlives this one.
//!
//! A program that runs beside this one gets a process group of its own, so that ending the group ends its children as
//! well: a browser or a webview is many processes. Ctrl-C, a polite end (SIGTERM) and a closed terminal end them all.

use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

type SharedChild = Arc<Mutex<Child>>;

/// Everything that runs beside this program. Shared with the handler of Ctrl-C, which has to collect the ended
/// ones too: a child that nobody has waited for still counts as alive.
static RUNNING: Mutex<Vec<SharedChild>> = Mutex::new(Vec::new());

/// How long a program may take to end by itself after it was asked to.
const GRACE: Duration = Duration::from_secs(5);

/// Pause between two looks at a running program.
const LOOK_AGAIN: Duration = Duration::from_millis(20);

/// The exit code that shells give a program ended by Ctrl-C: 128 + SIGINT.
const INTERRUPTED: i32 = 130;

/// From here on, Ctrl-C ends whatever was started with [`Running::start`], then this program.
pub(crate) fn end_children_on_interrupt() -> Result<()> {
    ctrlc::set_handler(|| {
        eprintln!("\nending what was started ...");
        let children = lock(&RUNNING).clone();
        end_groups(&children);
        std::process::exit(INTERRUPTED);
    })
    .context("watching for Ctrl-C")
}

/// A program that runs beside this one; dropped, it is ended together with its own children.
#[derive(Debug)]
pub(crate) struct Running {
    child: SharedChild,
    name: String,
}

impl Running {
    /// Starts `command` in a process group of its own, with nothing to read.
    pub(crate) fn start(command: &mut Command) -> Result<Self> {
        Self::spawn(command.stdin(Stdio::null()))
    }

    /// The same with an input that stays open and empty: some programs end when it does.
    pub(crate) fn start_with_open_input(command: &mut Command) -> Result<Self> {
        Self::spawn(command.stdin(Stdio::piped()))
    }

    fn spawn(command: &mut Command) -> Result<Self> {
        let name = describe(command);
        own_group(command);
        let child = command
            .spawn()
            .with_context(|| format!("starting `{name}`"))?;
        let child = Arc::new(Mutex::new(child));
        lock(&RUNNING).push(Arc::clone(&child));
        Ok(Self { child, name })
    }

    /// What the program prints, if it was started with a pipe there; only the first caller gets it.
    pub(crate) fn take_stdout(&mut self) -> Option<std::process::ChildStdout> {
        lock(&self.child).stdout.take()
    }

    /// Waits for the program to end by itself and demands success.
    pub(crate) fn wait(mut self) -> Result<()> {
        loop {
            if let Some(status) = self.try_wait()? {
                return demand_success(&self.name, status);
            }
            std::thread::sleep(LOOK_AGAIN);
        }
    }

    /// The exit status if the program has already ended.
    pub(crate) fn try_wait(&mut self) -> Result<Option<ExitStatus>> {
        lock(&self.child)
            .try_wait()
            .with_context(|| format!("looking at `{}`", self.name))
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        end_groups(std::slice::from_ref(&self.child));
        lock(&RUNNING).retain(|other| !Arc::ptr_eq(other, &self.child));
    }
}

/// A panic elsewhere leaves these lists and handles usable, so a poisoned lock is taken as it is.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Runs `command` to its end, showing what it prints, and demands success.
pub(crate) fn run(command: &mut Command) -> Result<()> {
    Running::start(command)?.wait()
}

/// Runs `command` to its end in the terminal's own process group, so that it may ask for a
/// password there.
pub(crate) fn run_in_foreground(command: &mut Command) -> Result<()> {
    let name = describe(command);
    let status = command
        .status()
        .with_context(|| format!("starting `{name}`"))?;
    demand_success(&name, status)
}

/// Runs `command` to its end and returns what it printed. Its error output is shown.
pub(crate) fn output_of(command: &mut Command) -> Result<String> {
    let name = describe(command);
    let output = command
        .stdin(Stdio::null())
        .stderr(Stdio::inherit())
        .output()
        .with_context(|| format!("starting `{name}`"))?;
    demand_success(&name, output.status)?;
    String::from_utf8(output.stdout)
        .with_context(|| format!("`{name}` printed something other than text"))
}

/// Whether `command` can be started and ends well; what it prints is thrown away.
pub(crate) fn succeeds(command: &mut Command) -> bool {
    command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}

/// A command of cargo, run at the top of the checkout by the same cargo that runs this program.
pub(crate) fn cargo(root: &Path, arguments: &[&str]) -> Command {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut command = Command::new(cargo);
    command.current_dir(root).args(arguments);
    command
}

fn demand_success(name: &str, status: ExitStatus) -> Result<()> {
    if !status.success() {
        bail!("`{name}` ended with {status}");
    }
    Ok(())
}

fn describe(command: &Command) -> String {
    let program = Path::new(command.get_program());
    let mut text = program
        .file_name()
        .unwrap_or(program.as_os_str())
        .to_string_lossy()
        .into_owned();
    for argument in command.get_args() {
        text.push(' ');
        text.push_str(&argument.to_string_lossy());
    }
    text
}

#[cfg(unix)]
fn own_group(command: &mut Command) {
    use std::os::unix::process::CommandExt as _;
    command.process_group(0);
}

#[cfg(not(unix))]
fn own_group(_command: &mut Command) {}

/// Asks the groups to end, waits, then forces what is left.
fn end_groups(children: &[SharedChild]) {
    let mut left: Vec<&SharedChild> = children.iter().filter(|child| group_lives(child)).collect();
    for child in &left {
        signal("TERM", lock(child).id());
    }
    let started = Instant::now();
    while started.elapsed() < GRACE && !left.is_empty() {
        std::thread::sleep(LOOK_AGAIN);
        left.retain(|child| group_lives(child));
    }
    for child in left {
        let mut child = lock(child);
        signal("KILL", child.id());
        // A killed child cannot refuse, so this collects it at once.
        drop(child.wait());
    }
}

/// Whether the program or any of its own children still lives.
fn group_lives(child: &Mutex<Child>) -> bool {
    let mut child = lock(child);
    // Collects the program if it has ended, so that it no longer counts as a member of its group.
    let ended = child.try_wait().is_ok_and(|status| status.is_some());
    if cfg!(target_os = "linux") {
        group_has_members(child.id())
    } else if cfg!(unix) {
        signal("0", child.id())
    } else {
        !ended
    }
}

/// Whether a process of the group is still running, by the process table (proc(5): after the name come the state,
/// the parent and the group). Ended ones that nobody has collected do not count; a plain signal would count them.
fn group_has_members(group: u32) -> bool {
    let Ok(processes) = std::fs::read_dir("/proc") else {
        return signal("0", group);
    };
    processes.flatten().any(|process| {
        std::fs::read_to_string(process.path().join("stat")).is_ok_and(|stat| {
            let after_name = stat.rsplit(')').next().unwrap_or_default();
            let mut fields = after_name.split_ascii_whitespace();
            let ended = fields.next() == Some("Z");
            !ended && fields.nth(1) == Some(group.to_string().as_str())
        })
    })
}

/// Sends a signal to a whole process group; signal `0` only asks whether anybody in it still lives.
///
/// The shell's own `kill` is used: it is there on every Unix, also where the separate program is not installed.
#[cfg(unix)]
fn signal(name: &str, group: u32) -> bool {
    succeeds(Command::new("sh").args(["-c", &format!("kill -s {name} -- -{group}")]))
}

#[cfg(not(unix))]
fn signal(name: &str, group: u32) -> bool {
    name != "0" && succeeds(Command::new("taskkill").args(["/T", "/F", "/PID", &group.to_string()]))
}

#[cfg(test)]
mod tests;
