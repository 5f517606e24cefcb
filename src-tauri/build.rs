//! Generates the window's context and permissions from `tauri.conf.json` and `capabilities/`.

fn main() {
    tauri_build::build();
}
