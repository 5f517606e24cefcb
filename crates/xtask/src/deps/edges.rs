//! Which package may use which. Arrows only go down.

use super::Package;

/// Every package of the workspace and the packages of the workspace that it may use, tests included.
const ALLOWED: &[(&str, &[&str])] = &[
    ("domain", &[]),
    ("logbook", &["domain"]),
    ("sync-protocol", &["domain", "logbook"]),
    ("attachments", &["domain"]),
    ("photos", &["domain"]),
    ("papers", &["domain"]),
    (
        "desk",
        &[
            "domain",
            "logbook",
            "sync-protocol",
            "attachments",
            "photos",
            "papers",
        ],
    ),
    (
        "sync-server",
        &[
            "domain",
            "logbook",
            "sync-protocol",
            "attachments",
            "photos",
            "papers",
        ],
    ),
    ("waybench", &["desk"]),
    (
        "demo",
        &[
            "domain",
            "logbook",
            "sync-protocol",
            "attachments",
            "photos",
            "papers",
            "desk",
            "sync-server",
        ],
    ),
    (
        "tests",
        &[
            "domain",
            "logbook",
            "sync-protocol",
            "attachments",
            "photos",
            "papers",
            "desk",
            "sync-server",
            "demo",
        ],
    ),
    ("xtask", &[]),
];

/// Libraries that only some packages may name, with the reason a reader would ask for.
///
/// `tests` may reach past the doors: it breaks databases and talks to servers in ways that no program should.
const RESERVED: &[(&str, &[&str], &str)] = &[
    (
        "tauri",
        &["waybench"],
        "everything but the window works without a window",
    ),
    (
        "tauri-build",
        &["waybench"],
        "everything but the window works without a window",
    ),
    (
        "wry",
        &["waybench"],
        "everything but the window works without a window",
    ),
    ("axum", &["sync-server"], "only the server serves"),
    ("axum-server", &["sync-server"], "only the server serves"),
    ("askama", &["sync-server"], "only the portal renders pages"),
    ("tower-http", &["sync-server"], "only the server serves"),
    (
        "rusqlite",
        &["desk", "sync-server", "tests"],
        "only the two stores know SQL",
    ),
    ("printpdf", &["papers"], "only papers draws papers"),
    (
        "hayro-svg",
        &["desk"],
        "only the desktop shows papers on its screen",
    ),
    (
        "reqwest",
        &["desk", "tests"],
        "only the desktop calls a server",
    ),
];

/// Packages that must give the same answer for the same input, for ever.
pub(super) const PURE: &[&str] = &["domain", "logbook", "sync-protocol", "photos"];

/// Libraries that read a clock, a random source, a file, the network or the environment.
const IMPURE_LIBRARIES: &[&str] = &[
    "getrandom",
    "rand",
    "rand_core",
    "fastrand",
    "tokio",
    "notify",
    "reqwest",
    "rusqlite",
    "chrono",
    "time",
];

/// One line for each dependency that a rule forbids.
pub(super) fn breaks(packages: &[Package]) -> Vec<String> {
    packages
        .iter()
        .flat_map(|package| breaks_of(package, packages))
        .collect()
}

fn breaks_of(package: &Package, packages: &[Package]) -> Vec<String> {
    let name = &package.name;
    let Some((_, allowed)) = ALLOWED.iter().find(|(known, _)| known == name) else {
        return vec![format!(
            "the package {name} has no row in the table of allowed arrows: add one in crates/xtask/src/deps/edges.rs"
        )];
    };
    let mut breaks = Vec::new();
    for dependency in &package.dependencies {
        let in_workspace = packages.iter().any(|other| &other.name == dependency);
        if in_workspace && !allowed.contains(&dependency.as_str()) {
            breaks.push(format!(
                "{name} depends on {dependency}, but may use {}",
                list(allowed)
            ));
        }
        for (library, owners, reason) in RESERVED {
            if dependency == library && !owners.contains(&name.as_str()) {
                breaks.push(format!(
                    "{name} depends on {library}, which only {} may use: {reason}",
                    owners.join(", ")
                ));
            }
        }
        if PURE.contains(&name.as_str()) && IMPURE_LIBRARIES.contains(&dependency.as_str()) {
            breaks.push(format!(
                "{name} depends on {dependency}, but must get times, random bytes and files from its caller"
            ));
        }
    }
    breaks
}

fn list(names: &[&str]) -> String {
    if names.is_empty() {
        "nothing of the workspace".to_owned()
    } else {
        format!("only {}", names.join(", "))
    }
}
