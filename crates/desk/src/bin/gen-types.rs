//! Writes the TypeScript of the command table, or with `--check` says whether the committed file is stale.

use std::path::Path;
use std::process::ExitCode;

/// Where the screens expect it, seen from this crate.
const FILE: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../../ui/src/backend/generated.ts"
);

fn main() -> ExitCode {
    let only_check = std::env::args()
        .skip(1)
        .any(|argument| argument == "--check");
    match run(Path::new(FILE), only_check) {
        Ok(()) => ExitCode::SUCCESS,
        Err(sentence) => {
            eprintln!("{sentence}");
            ExitCode::FAILURE
        }
    }
}

fn run(file: &Path, only_check: bool) -> Result<(), String> {
    let wanted = desk::typescript::generated();
    let found = std::fs::read_to_string(file).unwrap_or_default();
    if found == wanted {
        return Ok(());
    }
    if only_check {
        return Err(
            "ui/src/backend/generated.ts is stale; run `cargo xtask gen-types` and commit it"
                .to_owned(),
        );
    }
    std::fs::write(file, wanted)
        .map_err(|error| format!("{} could not be written: {error}", file.display()))
}
