//! Everything that must hold, in one run with one closing line; and the benchmarks.
//!
//! A step that fails does not stop the others, so that one run tells all there is to mend. Only what the other steps
//! are built on stops the run.

use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

use crate::binaries;
use crate::browser;
use crate::demo;
use crate::deps;
use crate::machine;
use crate::process;
use crate::screens;
use crate::setup::{self, Purpose};
use crate::terminal::{heading, note, seconds};
use crate::types;

/// Runs every check.
pub(crate) fn test() -> Result<()> {
    let mut suite = Suite::default();
    checks(&mut suite)?;
    suite.finish()
}

/// Runs what the project's automatic check runs.
pub(crate) fn ci() -> Result<()> {
    let mut suite = Suite::default();
    checks(&mut suite)?;
    suite.step("demo --once --xvfb", || {
        demo::show(&demo::Options {
            once: true,
            virtual_display: true,
            port: None,
        })
    });
    suite.finish()
}

/// Runs the benchmarks, in release mode, and hands them `options`.
pub(crate) fn bench(options: &[String]) -> Result<()> {
    heading("benchmarks");
    let mut command = process::cargo(
        &machine::root(),
        &[
            "run",
            "--release",
            "--package",
            "tests",
            "--bin",
            "bench",
            "--",
        ],
    );
    process::run(command.args(options))
}

fn checks(suite: &mut Suite) -> Result<()> {
    setup::run(Purpose::Test)?;
    screens::build()?;
    suite.step("format", || cargo(&["fmt", "--all", "--check"]));
    suite.step("dependency rules", deps::check);
    suite.step("types of the screens", screens::check_types);
    suite.step("tests of the screens", screens::test);
    suite.step("lints", || {
        cargo(&[
            "clippy",
            "--workspace",
            "--all-targets",
            "--locked",
            "--",
            "--deny",
            "warnings",
        ])
    });
    suite.step("build", binaries::build_with_tests);
    suite.step("generated types are fresh", types::check_as_built);
    suite.step("tests", rust_tests);
    suite.step("the invented lab", browser::play_lab);
    suite.step("screens and portal in a browser", browser::suites);
    suite.step("the window", browser::window);
    Ok(())
}

fn rust_tests() -> Result<()> {
    let has_nextest = process::succeeds(&mut process::cargo(
        &machine::root(),
        &["nextest", "--version"],
    ));
    if has_nextest {
        cargo(&[
            "nextest",
            "run",
            "--workspace",
            "--locked",
            "--no-fail-fast",
        ])
    } else {
        note("cargo-nextest is not installed; cargo test does the same in more lines");
        cargo(&["test", "--workspace", "--locked", "--no-fail-fast"])
    }
}

fn cargo(arguments: &[&str]) -> Result<()> {
    process::run(&mut process::cargo(&machine::root(), arguments))
}

/// Steps that were run, with how long they took and how they ended.
#[derive(Debug, Default)]
struct Suite {
    steps: Vec<Step>,
}

#[derive(Debug)]
struct Step {
    name: &'static str,
    duration: Duration,
    outcome: Result<()>,
}

impl Suite {
    fn step(&mut self, name: &'static str, work: impl FnOnce() -> Result<()>) {
        heading(name);
        let started = Instant::now();
        let outcome = work();
        let duration = started.elapsed();
        match &outcome {
            Ok(()) => note(&format!("{name}: passed in {}", seconds(duration))),
            Err(error) => note(&format!(
                "{name}: FAILED after {}: {error:#}",
                seconds(duration)
            )),
        }
        self.steps.push(Step {
            name,
            duration,
            outcome,
        });
    }

    fn finish(self) -> Result<()> {
        heading("summary");
        for line in self.lines() {
            println!("{line}");
        }
        let failed: Vec<&str> = self
            .steps
            .iter()
            .filter(|step| step.outcome.is_err())
            .map(|step| step.name)
            .collect();
        if !failed.is_empty() {
            return Err(anyhow::anyhow!("{}", failed.join(", "))).context("these steps failed");
        }
        if self.steps.is_empty() {
            bail!("no step was run");
        }
        Ok(())
    }

    /// One line for each step, then the counts.
    fn lines(&self) -> Vec<String> {
        let mut lines: Vec<String> = self
            .steps
            .iter()
            .map(|step| match &step.outcome {
                Ok(()) => format!("   passed  {:>12}  {}", seconds(step.duration), step.name),
                Err(error) => format!(
                    "   FAILED  {:>12}  {}: {error:#}",
                    seconds(step.duration),
                    step.name
                ),
            })
            .collect();
        let failed = self
            .steps
            .iter()
            .filter(|step| step.outcome.is_err())
            .count();
        lines.push(format!(
            "steps: {} passed, {failed} failed",
            self.steps.len() - failed
        ));
        lines
    }
}

#[cfg(test)]
mod tests;
