use super::*;

fn package(name: &str, dependencies: &[&str]) -> Package {
    Package {
        name: name.to_owned(),
        folder: PathBuf::from(name),
        dependencies: dependencies.iter().map(|name| (*name).to_owned()).collect(),
    }
}

/// The break lines for one package among packages of the usual names.
fn check_edges(name: &str, dependencies: &[&str], expected: &[&str]) {
    let mut packages: Vec<Package> = [
        "domain",
        "logbook",
        "sync-protocol",
        "papers",
        "desk",
        "sync-server",
        "waybench",
    ]
    .iter()
    .filter(|other| **other != name)
    .map(|other| package(other, &[]))
    .collect();
    packages.push(package(name, dependencies));
    assert_eq!(
        edges::breaks(&packages),
        expected,
        "{name} {dependencies:?}"
    );
}

fn check_source(package: &str, path: &str, text: &str, expected: &[&str]) {
    let files = [SourceFile {
        path: path.to_owned(),
        text: text.to_owned(),
    }];
    assert_eq!(
        source::breaks(package, &files),
        expected,
        "{package} {path} {text}"
    );
}

fn check_screens(path: &str, text: &str, expected: &[&str]) {
    let files = [SourceFile {
        path: path.to_owned(),
        text: text.to_owned(),
    }];
    assert_eq!(screens::breaks(&files), expected, "{path} {text}");
}

#[test]
fn arrows_that_go_down_are_fine() {
    check_edges(
        "desk",
        &[
            "domain",
            "logbook",
            "sync-protocol",
            "rusqlite",
            "reqwest",
            "serde",
        ],
        &[],
    );
    check_edges(
        "sync-server",
        &["logbook", "axum", "askama", "rusqlite"],
        &[],
    );
    check_edges("waybench", &["desk", "tauri"], &[]);
}

#[test]
fn an_arrow_that_goes_up_is_a_break() {
    check_edges(
        "domain",
        &["logbook"],
        &["domain depends on logbook, but may use nothing of the workspace"],
    );
    check_edges(
        "logbook",
        &["desk"],
        &["logbook depends on desk, but may use only domain"],
    );
}

#[test]
fn the_two_ends_do_not_know_each_other() {
    check_edges(
        "desk",
        &["sync-server"],
        &[
            "desk depends on sync-server, but may use only domain, logbook, sync-protocol, attachments, photos, papers",
        ],
    );
}

#[test]
fn the_window_reaches_the_lab_only_through_the_desk() {
    check_edges(
        "waybench",
        &["domain"],
        &["waybench depends on domain, but may use only desk"],
    );
}

#[test]
fn a_package_without_a_row_is_a_break() {
    check_edges(
        "extras",
        &[],
        &[
            "the package extras has no row in the table of allowed arrows: add one in crates/xtask/src/deps/edges.rs",
        ],
    );
}

#[test]
fn a_reserved_library_elsewhere_is_a_break() {
    check_edges(
        "desk",
        &["tauri"],
        &[
            "desk depends on tauri, which only waybench may use: everything but the window works without a window",
        ],
    );
    check_edges(
        "desk",
        &["axum"],
        &["desk depends on axum, which only sync-server may use: only the server serves"],
    );
    check_edges(
        "sync-server",
        &["printpdf"],
        &["sync-server depends on printpdf, which only papers may use: only papers draws papers"],
    );
    check_edges(
        "sync-server",
        &["reqwest"],
        &[
            "sync-server depends on reqwest, which only desk, tests may use: only the desktop calls a server",
        ],
    );
    check_edges(
        "papers",
        &["rusqlite"],
        &[
            "papers depends on rusqlite, which only desk, sync-server, tests may use: only the two stores know SQL",
        ],
    );
}

#[test]
fn a_random_source_in_a_pure_package_is_a_break() {
    check_edges(
        "domain",
        &["getrandom"],
        &[
            "domain depends on getrandom, but must get times, random bytes and files from its caller",
        ],
    );
}

#[test]
fn a_clock_in_a_pure_package_is_a_break() {
    check_source(
        "domain",
        "job/fold.rs",
        "use std::time::Duration;\nfn f() { let t = jiff::Timestamp::now(); }",
        &[
            "domain: src/job/fold.rs:2 names jiff::Timestamp::now, a clock; the caller must pass that in",
        ],
    );
    check_source(
        "logbook",
        "lib.rs",
        "use std::time::{Duration, SystemTime};",
        &[
            "logbook: src/lib.rs:1 names std::time::SystemTime, a clock; the caller must pass that in",
        ],
    );
    check_source(
        "sync-protocol",
        "lib.rs",
        "let id = Uuid::now_v7();",
        &["sync-protocol: src/lib.rs:1 names Uuid::now_v7, a clock; the caller must pass that in"],
    );
}

#[test]
fn a_file_or_the_environment_in_a_pure_package_is_a_break() {
    check_source(
        "photos",
        "lib.rs",
        "use std::{fs::File, io::Read};",
        &[
            "photos: src/lib.rs:1 names std::fs::File, the file system; the caller must pass that in",
        ],
    );
    check_source(
        "domain",
        "lib.rs",
        "let home = std::env::var(\"HOME\");",
        &[
            "domain: src/lib.rs:1 names std::env::var, the environment; the caller must pass that in",
        ],
    );
}

#[test]
fn a_random_source_named_in_a_pure_package_is_a_break() {
    check_source(
        "domain",
        "ids.rs",
        "JobId(Uuid::new_v4())",
        &["domain: src/ids.rs:1 names Uuid::new_v4, a random source; the caller must pass that in"],
    );
    check_source(
        "logbook",
        "lib.rs",
        "getrandom::fill(&mut salt)",
        &[
            "logbook: src/lib.rs:1 names getrandom::fill, a random source; the caller must pass that in",
        ],
    );
}

#[test]
fn a_time_that_was_passed_in_is_fine() {
    check_source(
        "domain",
        "job.rs",
        "fn due(now: Instant) -> Days { now.until(self.due) } // not Instant::now()",
        &[],
    );
    check_source("domain", "job.rs", "let random = order.operand();", &[]);
}

#[test]
fn tests_of_a_pure_package_may_read_files() {
    check_source(
        "domain",
        "identifier/tests.rs",
        "std::fs::read_to_string(path)",
        &[],
    );
}

#[test]
fn other_packages_may_read_clocks() {
    check_source("desk", "clock.rs", "std::time::SystemTime::now()", &[]);
}

#[test]
fn sql_outside_the_store_is_a_break() {
    check_source("desk", "store/append.rs", "use rusqlite::Connection;", &[]);
    check_source("desk", "store.rs", "use rusqlite::Connection;", &[]);
    check_source(
        "desk",
        "commands/receive.rs",
        "use rusqlite::{Connection, params};",
        &[
            "desk: src/commands/receive.rs:1 names rusqlite, which only src/store/ and src/store.rs may do",
        ],
    );
}

#[test]
fn a_request_outside_the_http_client_is_a_break() {
    check_source(
        "desk",
        "sync/http.rs",
        "reqwest::blocking::Client::new()",
        &[],
    );
    check_source(
        "desk",
        "sync/run.rs",
        "reqwest::blocking::Client::new()",
        &[
            "desk: src/sync/run.rs:1 names reqwest, which only src/sync/http/ and src/sync/http.rs may do",
        ],
    );
}

#[test]
fn the_window_library_is_imported_only_by_the_door() {
    let import = "<script>\nimport { invoke } from '@tauri-apps/api/core'\n</script>";
    check_screens("src/backend/window.ts", import, &[]);
    check_screens(
        "src/places/Dock.svelte",
        import,
        &["ui/src/places/Dock.svelte:2 imports @tauri-apps, which only ui/src/backend/ may do"],
    );
    check_screens(
        "src/main.ts",
        "const api = await import(\"@tauri-apps/api/event\")",
        &["ui/src/main.ts:1 imports @tauri-apps, which only ui/src/backend/ may do"],
    );
    check_screens("src/main.ts", "// the backend hides @tauri-apps/api", &[]);
}

#[test]
fn packages_are_read_from_what_cargo_prints() {
    let printed = r#"{"packages":[{"name":"logbook","manifest_path":"/x/crates/logbook/Cargo.toml",
        "dependencies":[{"name":"domain","kind":null},{"name":"proptest","kind":"dev"}]}]}"#;
    let mut expected = package("logbook", &["domain", "proptest"]);
    expected.folder = PathBuf::from("/x/crates/logbook");
    assert_eq!(parse_packages(printed).unwrap(), [expected]);
}

#[test]
fn an_answer_that_is_not_from_cargo_is_an_error() {
    assert!(parse_packages("{}").is_err());
    assert!(parse_packages("no json").is_err());
    assert!(parse_packages(r#"{"packages":[{"name":1}]}"#).is_err());
}
