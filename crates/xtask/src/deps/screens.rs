//! Where the screens may touch the window: only `ui/src/backend` imports its libraries, so that every screen also
//! runs in a browser.

use super::SourceFile;

/// The kinds of file under `ui/` that can import something.
pub(super) const EXTENSIONS: &[&str] = &["ts", "js", "mjs", "cjs", "svelte", "html"];

const DOOR: &str = "src/backend/";

/// One line for each import of a window library outside the door.
pub(super) fn breaks(files: &[SourceFile]) -> Vec<String> {
    files
        .iter()
        .filter(|file| !file.path.starts_with(DOOR))
        .flat_map(|file| {
            file.text
                .lines()
                .enumerate()
                .filter(|(_, line)| imports_window_library(line))
                .map(|(index, _)| {
                    format!(
                        "ui/{}:{} imports @tauri-apps, which only ui/{DOOR} may do",
                        file.path,
                        index + 1
                    )
                })
        })
        .collect()
}

fn imports_window_library(line: &str) -> bool {
    ['"', '\'', '`']
        .iter()
        .any(|quote| line.contains(&format!("{quote}@tauri-apps/")))
}
