//! Desktops and one server through bad weather, from one seed.
//!
//! Messages are dropped, doubled, delayed and reordered; answers are lost; programs die between steps; disks fill; old files are
//! put back on either side; disks are cloned; clocks jump; programs of the future write kinds nobody knows. Then the weather
//! clears, and everything must be everywhere: logs equal to the byte, folds equal, nothing that was held anywhere gone.
//!
//! Every decision comes from the seed, which a failure prints; `WAYBENCH_SEED=42 cargo test -p tests simulation` runs that one.
//! Ids and keys the server makes for itself are the only thing that differs between two runs of one seed.

mod check;
mod desktop;
mod lines;
mod server;
mod weather;
mod world;

use weather::Weather;

/// SplitMix64 (Steele, Lea, Flood: "Fast Splittable Pseudorandom Number Generators", OOPSLA 2014).
#[derive(Debug, Clone)]
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `bound`.
    fn below(&mut self, bound: usize) -> usize {
        usize::try_from(self.roll() % (bound as u64)).expect("it is below a usize")
    }

    /// True once in `times`.
    fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }
}

/// Prints the seed when the run it belongs to fails.
struct PrintSeed(u64);

impl Drop for PrintSeed {
    fn drop(&mut self) {
        if std::thread::panicking() {
            eprintln!(
                "the run of seed {0} failed; WAYBENCH_SEED={0} cargo test -p tests simulation repeats it",
                self.0
            );
        }
    }
}

/// What happened in a run. A run in which nothing went wrong proves nothing about trouble, so the tests look.
#[derive(Debug, Default)]
struct Census {
    lost: usize,
    late: usize,
    forks: u64,
    full_disks: usize,
    restarts: usize,
    old_files: usize,
    clones: usize,
    servers_healed: usize,
    larger_than_a_page: usize,
    unknown: usize,
    photos: usize,
}

/// Runs one history of so many events, checks how it ends, and adds what happened to the census.
fn check_seed(seed: u64, events: usize, weather: Weather, census: &mut Census) {
    let _print = PrintSeed(seed);
    let mut world = world::World::new(Dice(seed), weather);
    for _ in 0..events {
        world.event();
    }
    world.clear_up();
    check::all_equal(&world);
    census.add(&world.census);
}

impl Census {
    fn add(&mut self, other: &Self) {
        self.lost += other.lost;
        self.late += other.late;
        self.forks += other.forks;
        self.full_disks += other.full_disks;
        self.restarts += other.restarts;
        self.old_files += other.old_files;
        self.clones += other.clones;
        self.servers_healed += other.servers_healed;
        self.larger_than_a_page += other.larger_than_a_page;
        self.unknown += other.unknown;
        self.photos += other.photos;
    }
}

/// Runs seeds from `first` on, or the one asked for, and checks that the troubles named did happen.
fn check_seeds(
    first: u64,
    count: u64,
    events: usize,
    weather: Weather,
    happened: impl Fn(&Census) -> bool,
) {
    let mut census = Census::default();
    if let Some(seed) = std::env::var("WAYBENCH_SEED")
        .ok()
        .and_then(|text| text.parse().ok())
    {
        check_seed(seed, events, weather, &mut census);
        return;
    }
    for seed in first..first + count {
        check_seed(seed, events, weather, &mut census);
    }
    assert!(
        happened(&census),
        "these seeds no longer bring the trouble they are for: {census:?}"
    );
}

#[test]
fn in_fair_weather_everything_reaches_everyone() {
    check_seeds(1, 3, 60, Weather::FAIR, |census| {
        census.unknown > 0
            && census.larger_than_a_page > 0
            && census.photos > 0
            && census.forks == 0
    });
}

#[test]
fn lost_doubled_delayed_and_reordered_messages_change_nothing() {
    let weather = Weather {
        line: true,
        ..Weather::FAIR
    };
    check_seeds(100, 6, 120, weather, |census| {
        census.lost > 50 && census.late > 5 && census.forks == 0
    });
}

#[test]
fn dying_programs_full_disks_and_jumping_clocks_change_nothing() {
    let weather = Weather {
        line: true,
        machines: true,
        ..Weather::FAIR
    };
    check_seeds(200, 6, 120, weather, |census| {
        census.full_disks > 3 && census.restarts > 3 && census.forks == 0
    });
}

#[test]
fn restored_and_cloned_desktops_lose_nothing_that_is_held_anywhere() {
    let weather = Weather {
        line: true,
        machines: true,
        old_desktops: true,
        ..Weather::FAIR
    };
    check_seeds(300, 8, 120, weather, |census| {
        census.forks > 5 && census.old_files > 3 && census.clones > 3
    });
}

#[test]
fn a_restored_server_is_healed_by_its_desktops() {
    let weather = Weather {
        old_server: true,
        ..Weather::FAIR
    };
    check_seeds(400, 8, 120, weather, |census| census.servers_healed > 5);
}

#[test]
fn everything_at_once() {
    check_seeds(500, 12, 150, Weather::FOUL, |census| {
        census.forks > 5 && census.servers_healed > 5 && census.full_disks > 3 && census.late > 5
    });
}
