//! How often one address or one account may try a secret. Kept in memory: a restart forgives everybody.

use std::net::{IpAddr, Ipv6Addr};
use std::num::NonZeroU32;
use std::time::Duration;

use governor::clock::{Clock as _, DefaultClock};
use governor::{Quota, RateLimiter};

type Keyed<K> = RateLimiter<K, governor::state::keyed::HashMapStateStore<K>, DefaultClock>;

/// The caller tried too often.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("too many tries; wait {retry_after_s} seconds and try again")]
pub struct TooMany {
    /// When the next try is counted.
    pub retry_after_s: u64,
}

/// The limits of this server.
#[derive(Debug)]
pub struct RateLimits {
    address: Keyed<IpAddr>,
    account: Keyed<String>,
    one_time: Keyed<IpAddr>,
    report: Keyed<IpAddr>,
    report_file: Keyed<IpAddr>,
    verdict: Keyed<IpAddr>,
}

/// Sign-ins from one address: 20 at once (a counter with several staff), then one every 15 s.
const ADDRESS: (Duration, NonZeroU32) = (
    Duration::from_secs(15),
    NonZeroU32::new(20).expect("not zero"),
);

/// Sign-ins for one account: 8 at once, then one a minute: about 1,400 guesses a day against a checked password.
const ACCOUNT: (Duration, NonZeroU32) = (
    Duration::from_mins(1),
    NonZeroU32::new(8).expect("not zero"),
);

/// Join codes and invites from one address: 20 at once, then one every 30 s. The codes hold enough chance by themselves.
const ONE_TIME: (Duration, NonZeroU32) = (
    Duration::from_secs(30),
    NonZeroU32::new(20).expect("not zero"),
);

/// Report checks from one address: 100 at once (a pallet of papers), then one a second. A digest's beginning can't be guessed.
const REPORT: (Duration, NonZeroU32) = (
    Duration::from_secs(1),
    NonZeroU32::new(100).expect("not zero"),
);

/// Reports' files from one address: 20 at once (a box of devices), then one every 10 s. Each may be tens of megabytes.
const REPORT_FILE: (Duration, NonZeroU32) = (
    Duration::from_secs(10),
    NonZeroU32::new(20).expect("not zero"),
);

/// Transport verdicts from one address: 240 at once (every published case, or a day's parcels of a busy packer), then two a second.
const VERDICT: (Duration, NonZeroU32) = (
    Duration::from_millis(500),
    NonZeroU32::new(240).expect("not zero"),
);

/// Keys held before those that are full again are dropped: about 100 bytes each, so 1 MB.
const KEYS_MAX: usize = 10_000;

fn keyed<K: std::hash::Hash + Eq + Clone>((period, burst): (Duration, NonZeroU32)) -> Keyed<K> {
    let quota = Quota::with_period(period)
        .expect("the periods above are not zero")
        .allow_burst(burst);
    RateLimiter::hashmap(quota)
}

impl Default for RateLimits {
    fn default() -> Self {
        Self {
            address: keyed(ADDRESS),
            account: keyed(ACCOUNT),
            one_time: keyed(ONE_TIME),
            report: keyed(REPORT),
            report_file: keyed(REPORT_FILE),
            verdict: keyed(VERDICT),
        }
    }
}

impl RateLimits {
    /// Counts a sign-in. Both limits count each try, so that one account can't be tried from many addresses.
    pub fn sign_in(&self, address: IpAddr, email: &str) -> Result<(), TooMany> {
        try_key(&self.address, &network_of(address))?;
        try_key(&self.account, &email.to_lowercase())
    }

    /// Counts a try of a signed-in user's own password.
    pub fn account(&self, email: &str) -> Result<(), TooMany> {
        try_key(&self.account, &email.to_lowercase())
    }

    /// Counts a look-up of a report's digest.
    pub fn report(&self, address: IpAddr) -> Result<(), TooMany> {
        try_key(&self.report, &network_of(address))
    }

    /// Counts a report's file that is to be checked.
    pub fn report_file(&self, address: IpAddr) -> Result<(), TooMany> {
        try_key(&self.report_file, &network_of(address))
    }

    /// Counts a question about a parcel.
    pub fn verdict(&self, address: IpAddr) -> Result<(), TooMany> {
        try_key(&self.verdict, &network_of(address))
    }

    /// Counts the use of a join code or an invite link.
    pub fn one_time(&self, address: IpAddr) -> Result<(), TooMany> {
        try_key(&self.one_time, &network_of(address))
    }
}

fn try_key<K: std::hash::Hash + Eq + Clone>(limiter: &Keyed<K>, key: &K) -> Result<(), TooMany> {
    if limiter.len() > KEYS_MAX {
        limiter.retain_recent();
    }
    limiter.check_key(key).map_err(|not_until| {
        let wait = not_until.wait_time_from(DefaultClock::default().now());
        TooMany {
            retry_after_s: wait.as_secs() + 1,
        }
    })
}

/// One household or host holds a whole /64 of IPv6, so that is what is counted.
fn network_of(address: IpAddr) -> IpAddr {
    match address {
        IpAddr::V4(_) => address,
        IpAddr::V6(v6) => match v6.to_ipv4_mapped() {
            Some(v4) => IpAddr::V4(v4),
            None => IpAddr::V6(Ipv6Addr::from(u128::from(v6) & !u128::from(u64::MAX))),
        },
    }
}

#[cfg(test)]
mod tests;
