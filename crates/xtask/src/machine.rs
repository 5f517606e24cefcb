//! Where things are: the folders of the checkout and the programs on this machine.
//!
//! It only looks. Nothing here changes the machine or the checkout.

use std::path::{Path, PathBuf};

/// The top folder of the checkout.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .nth(2)
        .expect("xtask lies two folders below the top of the checkout")
        .to_path_buf()
}

/// Where cargo puts what it builds.
pub(crate) fn target_dir() -> PathBuf {
    match std::env::var_os("CARGO_TARGET_DIR") {
        Some(dir) => root().join(dir),
        None => root().join("target"),
    }
}

/// The path of a development build of one of our programs.
pub(crate) fn binary(name: &str) -> PathBuf {
    target_dir()
        .join("debug")
        .join(format!("{name}{}", std::env::consts::EXE_SUFFIX))
}

/// Finds a program in the search path, or in the folders where distributions hide some of them.
pub(crate) fn find_program(name: &str) -> Option<PathBuf> {
    let search_path = std::env::var_os("PATH").unwrap_or_default();
    let hidden = ["/usr/sbin", "/usr/libexec", "/usr/lib/webkit2gtk-4.1"];
    std::env::split_paths(&search_path)
        .chain(hidden.iter().map(PathBuf::from))
        .map(|folder| folder.join(format!("{name}{}", std::env::consts::EXE_SUFFIX)))
        .find(|candidate| candidate.is_file())
}

/// A display that a window can open on, if the environment names one.
pub(crate) fn has_display() -> bool {
    ["DISPLAY", "WAYLAND_DISPLAY"]
        .iter()
        .any(|name| std::env::var_os(name).is_some_and(|value| !value.is_empty()))
        || !cfg!(target_os = "linux")
}
