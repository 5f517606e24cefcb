//! One run of a system's program: its arguments as they are, its output whole, its time limited.

use std::ffi::{OsStr, OsString};
use std::io::{self, Read};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use super::PrintError;

/// How often a running program is looked at.
const LOOK_EVERY: Duration = Duration::from_millis(15);

/// The most that is read of what a program says; the rest is left unread.
const OUTPUT_BYTES_MAX: u64 = 256 * 1024;

/// What a program said.
pub(super) struct Said {
    pub(super) is_ok: bool,
    pub(super) out: String,
    pub(super) err: String,
}

/// A program of the system.
pub(super) struct Program<'a> {
    pub(super) name: &'a str,
    /// Where it is looked for; the usual places when none is given.
    pub(super) search_path: Option<&'a OsStr>,
    pub(super) timeout_ms: u64,
}

impl Program<'_> {
    /// Runs it without a shell, and gives it up when its time is over.
    pub(super) fn run(
        &self,
        arguments: &[OsString],
        environment: &[(&str, &OsStr)],
    ) -> Result<Said, PrintError> {
        let mut command = Command::new(self.name);
        command
            .args(arguments)
            // Words that are read here must not change with the person's language.
            .env("LC_ALL", "C")
            .envs(environment.iter().copied())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        if let Some(path) = self.search_path {
            command.env("PATH", path);
        }
        let mut child = command.spawn().map_err(|source| self.not_started(source))?;
        let out = follow(child.stdout.take());
        let err = follow(child.stderr.take());
        let is_ok = self.wait(&mut child)?;
        // What the program left running may hold the pipe open; its words so far are enough.
        let rest = Duration::from_millis(500);
        let text = |from: Receiver<Vec<u8>>| {
            let bytes = from.recv_timeout(rest).unwrap_or_default();
            String::from_utf8_lossy(&bytes).into_owned()
        };
        Ok(Said {
            is_ok,
            out: text(out),
            err: text(err),
        })
    }

    fn wait(&self, child: &mut Child) -> Result<bool, PrintError> {
        let end = Instant::now() + Duration::from_millis(self.timeout_ms);
        loop {
            match child.try_wait() {
                Ok(Some(status)) => return Ok(status.success()),
                Ok(None) if Instant::now() < end => std::thread::sleep(LOOK_EVERY),
                Ok(None) => {
                    // It is gone or can't be ended; either way it is not waited for.
                    drop(child.kill().and_then(|()| child.wait()));
                    return Err(PrintError::NoAnswer {
                        timeout_ms: self.timeout_ms,
                    });
                }
                Err(source) => return Err(self.not_started(source)),
            }
        }
    }

    fn not_started(&self, source: io::Error) -> PrintError {
        let program = self.name.to_owned();
        if source.kind() == io::ErrorKind::NotFound {
            PrintError::NoProgram { program }
        } else {
            PrintError::Start { program, source }
        }
    }
}

/// Reads a pipe to its end on a thread of its own, so that a program that says much is not held up.
fn follow(pipe: Option<impl Read + Send + 'static>) -> Receiver<Vec<u8>> {
    let (sender, receiver) = channel();
    std::thread::spawn(move || {
        let mut bytes = Vec::new();
        if let Some(pipe) = pipe {
            drop(pipe.take(OUTPUT_BYTES_MAX).read_to_end(&mut bytes));
        }
        // Nobody listens any more when the program was given up.
        drop(sender.send(bytes));
    });
    receiver
}
