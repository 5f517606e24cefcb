//! Draws without the graphics driver's shared buffers, for machines where the window stays empty or flickers.
//!
//! WebKitGTK reads that wish from the environment, and a running program cannot safely change its own; so the program
//! starts itself anew with the wish set, in the same process. Elsewhere than on Linux there is nothing to do.

use std::io;

use crate::start_options::StartOptions;

/// WebKitGTK then copies what it draws instead of handing over buffers of the graphics driver.
#[cfg(target_os = "linux")]
const VARIABLE: &str = "WEBKIT_DISABLE_DMABUF_RENDERER";

/// Makes sure that the wish is set. When it was not, this becomes the newly started program and does not return.
#[cfg(target_os = "linux")]
pub(crate) fn ensure(options: &StartOptions) -> io::Result<()> {
    use std::os::unix::process::CommandExt as _;

    if std::env::var_os(VARIABLE).is_some() {
        return Ok(());
    }
    let program = std::env::current_exe()?;
    Err(std::process::Command::new(program)
        .args(options.to_words())
        .env(VARIABLE, "1")
        .exec())
}

/// Nothing to do here.
#[cfg(not(target_os = "linux"))]
pub(crate) fn ensure(_options: &StartOptions) -> io::Result<()> {
    Ok(())
}
