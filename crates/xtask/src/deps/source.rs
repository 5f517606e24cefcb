//! Which file may name what: the pure packages no clock, random source, file or environment; the others only at
//! their own door.

use super::SourceFile;
use super::edges::PURE;
use super::rust_paths::{Mention, mentions};

/// A library that may only be named in some files of a package.
struct Door {
    package: &'static str,
    library: &'static str,
    /// Beginnings of the paths below `src` where the library may be named.
    only_under: &'static [&'static str],
}

const DOORS: &[Door] = &[
    Door {
        package: "desk",
        library: "rusqlite",
        only_under: &["store/", "store.rs"],
    },
    Door {
        package: "sync-server",
        library: "rusqlite",
        only_under: &["store/", "store.rs"],
    },
    Door {
        package: "desk",
        library: "reqwest",
        only_under: &["sync/http/", "sync/http.rs"],
    },
];

/// One line for each place in a package's own sources that a rule forbids. Test files may do as they like.
pub(super) fn breaks(package: &str, files: &[SourceFile]) -> Vec<String> {
    files
        .iter()
        .filter(|file| !is_test_file(&file.path))
        .flat_map(|file| breaks_in(package, file))
        .collect()
}

fn is_test_file(path: &str) -> bool {
    path.split('/')
        .any(|part| part == "tests.rs" || part == "tests")
}

fn breaks_in(package: &str, file: &SourceFile) -> Vec<String> {
    let mut breaks = Vec::new();
    for mention in mentions(&file.text) {
        let place = format!("{package}: src/{}:{}", file.path, mention.line);
        if PURE.contains(&package)
            && let Some(source) = impure_source(&mention)
        {
            breaks.push(format!(
                "{place} names {}, {source}; the caller must pass that in",
                mention.path
            ));
        }
        let library = mention.segments().next().unwrap_or_default();
        let door = DOORS
            .iter()
            .find(|door| door.package == package && door.library == library);
        if let Some(door) = door
            && !door
                .only_under
                .iter()
                .any(|beginning| file.path.starts_with(beginning))
        {
            breaks.push(format!(
                "{place} names {library}, which only src/{} may do",
                door.only_under.join(" and src/")
            ));
        }
    }
    // A `use` tree names its library once for each branch.
    breaks.dedup();
    breaks
}

/// What a path reads from outside the program, if it does.
fn impure_source(mention: &Mention) -> Option<&'static str> {
    const BEGINNINGS: &[(&str, &str)] = &[
        ("std::fs", "the file system"),
        ("std::env", "the environment"),
        ("std::net", "the network"),
        ("std::process", "other programs"),
        ("std::time::SystemTime", "a clock"),
        ("std::time::Instant", "a clock"),
        ("getrandom", "a random source"),
        ("rand", "a random source"),
        ("rand_core", "a random source"),
        ("fastrand", "a random source"),
    ];
    const ANYWHERE: &[(&str, &str)] = &[
        ("SystemTime", "a clock"),
        ("OsRng", "a random source"),
        ("thread_rng", "a random source"),
    ];
    // Functions that read a clock or a random source, whatever type they belong to.
    const ENDINGS: &[(&str, &str)] = &[
        ("now", "a clock"),
        ("now_v1", "a clock"),
        ("now_v6", "a clock"),
        ("now_v7", "a clock"),
        ("new_v4", "a random source"),
    ];
    let starts_with = |beginning: &str| {
        mention
            .path
            .strip_prefix(beginning)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with("::"))
    };
    let qualified_ending = mention.path.rsplit_once("::").map(|(_, ending)| ending);
    let by_beginning = BEGINNINGS
        .iter()
        .find(|(beginning, _)| starts_with(beginning));
    let by_segment = || {
        ANYWHERE
            .iter()
            .find(|(name, _)| mention.segments().any(|segment| segment == *name))
    };
    let by_ending = || {
        ENDINGS
            .iter()
            .find(|(name, _)| qualified_ending == Some(*name))
    };
    by_beginning
        .or_else(by_segment)
        .or_else(by_ending)
        .map(|(_, source)| *source)
}
