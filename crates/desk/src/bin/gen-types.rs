//! Prints the TypeScript of the command table.

use std::io::Write as _;

fn main() -> std::io::Result<()> {
    std::io::stdout().write_all(desk::typescript::generated().as_bytes())
}
