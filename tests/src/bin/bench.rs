//! Prints how long people wait for what; see `tests::bench`.

fn main() -> anyhow::Result<()> {
    tests::bench::run(std::env::args().skip(1))
}
