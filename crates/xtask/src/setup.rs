//! Gets a machine ready: finds what is missing, installs it where it can, and otherwise says exactly what to install.
//!
//! It changes the system only through the system's own package tool, only for what is missing, and says so first. It
//! never fetches anything from elsewhere.

use std::fs::File;
use std::path::Path;
use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::machine;
use crate::process;
use crate::terminal::{heading, note};

/// What the machine is being made ready for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Purpose {
    /// Building everything and opening the window.
    Demo,
    /// Also running every test.
    Test,
}

/// How to find out whether something is on the machine.
#[derive(Clone, Copy, Debug)]
enum Probe {
    /// Any one of these programs can be found.
    Program(&'static [&'static str]),
    /// One of these programs says, to `-version`, that it is a release of this: other programs go by its name, too.
    Release(&'static [&'static str], &'static str),
    /// `pkg-config` knows this library.
    Library(&'static str),
    /// Python 3 can import this module.
    Python(&'static str),
    /// This file is there.
    File(&'static str),
}

/// One thing that has to be on the machine.
#[derive(Clone, Copy, Debug)]
struct Need {
    what: &'static str,
    probe: Probe,
    /// The package that brings it on Debian and Ubuntu.
    debian: &'static str,
    /// Tests need it, the demo does not.
    only_for_tests: bool,
    /// It is about WebKitGTK or X11, which only Linux has.
    only_on_linux: bool,
}

/// The names under which a Chromium or a browser of its family is installed.
pub(crate) const CHROMIUM_NAMES: &[&str] = &[
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
];

const NEEDS: &[Need] = &[
    for_all(
        "a C compiler and linker",
        Probe::Program(&["cc", "gcc", "clang"]),
        "build-essential",
    ),
    for_window("pkg-config", Probe::Program(&["pkg-config"]), "pkg-config"),
    for_window(
        "WebKitGTK 4.1 with its development files",
        Probe::Library("webkit2gtk-4.1"),
        "libwebkit2gtk-4.1-dev",
    ),
    for_window(
        "Xvfb, a display without a screen",
        Probe::Program(&["Xvfb"]),
        "xvfb",
    ),
    for_window("xauth", Probe::Program(&["xauth"]), "xauth"),
    for_window_tests(
        "the WebDriver of WebKitGTK",
        Probe::Program(&["WebKitWebDriver"]),
        "webkit2gtk-driver",
    ),
    for_tests(
        "pdftotext and pdftoppm",
        Probe::Program(&["pdftotext"]),
        "poppler-utils",
    ),
    for_tests("qpdf", Probe::Program(&["qpdf"]), "qpdf"),
    for_tests("Java", Probe::Program(&["java"]), "default-jre-headless"),
    for_tests(
        "PDFBox preflight, which judges papers for archives",
        Probe::File("/usr/share/java/preflight.jar"),
        "libpdfbox2-java",
    ),
    for_tests(
        "the JAF library that preflight needs",
        Probe::File("/usr/share/java/javax.activation.jar"),
        "libactivation-java",
    ),
    for_tests(
        "the JAXB library that preflight needs",
        Probe::File("/usr/share/java/jaxb-api.jar"),
        "libjaxb-api-java",
    ),
    for_tests("OpenSSL", Probe::Program(&["openssl"]), "openssl"),
    for_tests(
        "zbarimg, a barcode reader",
        Probe::Program(&["zbarimg"]),
        "zbar-tools",
    ),
    for_tests(
        "exiftool",
        Probe::Program(&["exiftool"]),
        "libimage-exiftool-perl",
    ),
    for_tests(
        "ImageMagick",
        Probe::Release(&["magick", "convert"], "Version: ImageMagick"),
        "imagemagick",
    ),
    for_tests("Python", Probe::Program(&["python3"]), "python3"),
    for_tests(
        "jsonschema, a JSON Schema validator for Python",
        Probe::Python("jsonschema"),
        "python3-jsonschema",
    ),
    for_tests("Chromium", Probe::Program(CHROMIUM_NAMES), "chromium"),
];

const fn for_all(what: &'static str, probe: Probe, debian: &'static str) -> Need {
    Need {
        what,
        probe,
        debian,
        only_for_tests: false,
        only_on_linux: false,
    }
}

const fn for_window(what: &'static str, probe: Probe, debian: &'static str) -> Need {
    Need {
        only_on_linux: true,
        ..for_all(what, probe, debian)
    }
}

const fn for_window_tests(what: &'static str, probe: Probe, debian: &'static str) -> Need {
    Need {
        only_for_tests: true,
        ..for_window(what, probe, debian)
    }
}

const fn for_tests(what: &'static str, probe: Probe, debian: &'static str) -> Need {
    Need {
        only_for_tests: true,
        ..for_all(what, probe, debian)
    }
}

/// The first Node that every tool of the screens runs on.
const NODE_MAJOR_MIN: u32 = 20;

/// Makes the machine ready for `purpose`, or stops with a list of what to install.
pub(crate) fn run(purpose: Purpose) -> Result<()> {
    heading("what this machine needs");
    require_node()?;
    if purpose == Purpose::Test {
        require_rust_components()?;
    }
    let missing = missing(purpose, &is_present);
    if missing.is_empty() {
        note("everything is there");
        return Ok(());
    }
    for need in &missing {
        note(&format!("missing: {}", need.what));
    }
    match (uses_apt(), administrator()) {
        (true, Some(administrator)) => install(&missing, administrator)?,
        (true, None) => bail!(
            "installing needs root or sudo, and there is neither; as root, run\n  {}",
            apt_line(&missing)
        ),
        (false, _) => bail!("{}", manual_list(&missing)),
    }
    let still_missing = self::missing(purpose, &is_present);
    if !still_missing.is_empty() {
        bail!("{}", manual_list(&still_missing));
    }
    note("everything is there now");
    Ok(())
}

fn missing(purpose: Purpose, is_present: &dyn Fn(&Probe) -> bool) -> Vec<Need> {
    NEEDS
        .iter()
        .filter(|need| purpose == Purpose::Test || !need.only_for_tests)
        .filter(|need| cfg!(target_os = "linux") || !need.only_on_linux)
        .filter(|need| !is_present(&need.probe))
        .copied()
        .collect()
}

fn is_present(probe: &Probe) -> bool {
    match probe {
        Probe::Program(names) => names
            .iter()
            .any(|name| machine::find_program(name).is_some()),
        Probe::Release(names, words) => names.iter().any(|name| {
            process::output_of(Command::new(name).arg("-version"))
                .is_ok_and(|said| said.starts_with(words))
        }),
        Probe::Python(module) => {
            process::succeeds(Command::new("python3").args(["-c", &format!("import {module}")]))
        }
        Probe::File(path) => Path::new(path).exists(),
        Probe::Library(name) => {
            process::succeeds(Command::new("pkg-config").args(["--exists", name]))
        }
    }
}

fn require_node() -> Result<()> {
    let wanted = format!("install Node {NODE_MAJOR_MIN} or newer, with npm");
    let version = process::output_of(Command::new("node").arg("--version"))
        .with_context(|| format!("Node was not found; {wanted}"))?;
    match node_major(&version) {
        Some(major) if major >= NODE_MAJOR_MIN => {}
        _ => bail!("this machine has Node {}; {wanted}", version.trim()),
    }
    if machine::find_program("npm").is_none() {
        bail!("npm was not found; {wanted}");
    }
    Ok(())
}

/// The first number of what `node --version` prints, such as `v20.20.2`.
fn node_major(version: &str) -> Option<u32> {
    version
        .trim()
        .strip_prefix('v')?
        .split('.')
        .next()?
        .parse()
        .ok()
}

fn require_rust_components() -> Result<()> {
    let root = machine::root();
    for component in ["fmt", "clippy"] {
        if process::succeeds(&mut process::cargo(&root, &[component, "--version"])) {
            continue;
        }
        let name = if component == "fmt" {
            "rustfmt"
        } else {
            component
        };
        if machine::find_program("rustup").is_none() {
            bail!("`cargo {component}` is missing; install {name} for your Rust toolchain");
        }
        note(&format!("adding {name} to the Rust toolchain"));
        process::run(Command::new("rustup").args(["component", "add", name]))?;
    }
    Ok(())
}

fn uses_apt() -> bool {
    Path::new("/etc/debian_version").exists() && machine::find_program("apt-get").is_some()
}

/// How packages can be installed on this machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Administrator {
    Root,
    Sudo,
}

fn administrator() -> Option<Administrator> {
    let user = process::output_of(Command::new("id").arg("-u")).unwrap_or_default();
    if user.trim() == "0" {
        Some(Administrator::Root)
    } else if machine::find_program("sudo").is_some() {
        Some(Administrator::Sudo)
    } else {
        None
    }
}

fn install(missing: &[Need], administrator: Administrator) -> Result<()> {
    let packages = packages(missing);
    let log_path = machine::target_dir().join("setup.log");
    note(&format!("installing with apt-get: {}", packages.join(" ")));
    note(&format!(
        "this takes a minute or two; what it says goes to {}",
        log_path.display()
    ));
    if administrator == Administrator::Sudo {
        note("sudo may ask for your password");
    }
    let mut install = vec!["install", "-y", "--no-install-recommends"];
    install.extend(packages);
    std::fs::create_dir_all(machine::target_dir())
        .context("making the folder for what is built")?;
    let log = File::create(&log_path).with_context(|| format!("writing {}", log_path.display()))?;
    apt(administrator, &["update"], &log)
        .and_then(|()| apt(administrator, &install, &log))
        .map_err(|error| {
            let said = std::fs::read_to_string(&log_path).unwrap_or_default();
            eprintln!("{}", last_lines(&said, LOG_LINES_SHOWN));
            error.context(format!(
                "installing the packages; to try it by hand, run\n  {}\nit failed because",
                apt_line(missing)
            ))
        })
}

/// Enough of the end of a log to see why something failed.
const LOG_LINES_SHOWN: usize = 20;

fn last_lines(text: &str, count: usize) -> String {
    let lines: Vec<&str> = text.lines().collect();
    lines[lines.len().saturating_sub(count)..].join("\n")
}

fn apt(administrator: Administrator, arguments: &[&str], log: &File) -> Result<()> {
    // Packages must not stop to ask; sudo drops the environment, so the variable is set behind it.
    let mut command = match administrator {
        Administrator::Root => Command::new("env"),
        Administrator::Sudo => {
            let mut sudo = Command::new("sudo");
            sudo.arg("env");
            sudo
        }
    };
    command
        .args(["DEBIAN_FRONTEND=noninteractive", "apt-get"])
        .args(["-o", "Acquire::Retries=3", "-o", "Dpkg::Use-Pty=0"])
        .args(arguments)
        .stdout(log.try_clone().context("sharing the log")?)
        .stderr(log.try_clone().context("sharing the log")?);
    process::run_in_foreground(&mut command)
}

fn packages(missing: &[Need]) -> Vec<&'static str> {
    missing.iter().map(|need| need.debian).collect()
}

fn apt_line(missing: &[Need]) -> String {
    format!(
        "apt-get install --no-install-recommends {}",
        packages(missing).join(" ")
    )
}

fn manual_list(missing: &[Need]) -> String {
    let mut lines = vec!["install these by hand, then run this command again:".to_owned()];
    for need in missing {
        let sign = match need.probe {
            Probe::Program(names) | Probe::Release(names, _) => {
                format!("a program named {}", names.join(" or "))
            }
            Probe::Python(module) => format!("Python module {module}"),
            Probe::File(path) => format!("file {path}"),
            Probe::Library(name) => format!("pkg-config name {name}"),
        };
        lines.push(format!(
            "  - {} ({sign}); on Debian the package {}",
            need.what, need.debian
        ));
    }
    lines.join("\n")
}

#[cfg(test)]
mod tests;
