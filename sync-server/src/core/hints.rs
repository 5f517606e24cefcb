//! "The log has moved": told to whoever waits. Nothing depends on it arriving.

use std::time::Duration;

use tokio::sync::watch;

/// The last position, and those who wait for it to move.
#[derive(Debug)]
pub struct Hints {
    position: watch::Sender<u64>,
}

impl Hints {
    /// Starts at the log's position.
    pub fn at(position: u64) -> Self {
        Self {
            position: watch::Sender::new(position),
        }
    }

    /// Tells that the log stands at `position` now. A smaller one than before is old news.
    pub fn tell(&self, position: u64) {
        self.position.send_if_modified(|known| {
            let is_news = position > *known;
            *known = position.max(*known);
            is_news
        });
    }

    /// The position now.
    pub fn now(&self) -> u64 {
        *self.position.borrow()
    }

    /// Follows the position.
    pub fn follow(&self) -> watch::Receiver<u64> {
        self.position.subscribe()
    }

    /// Waits, without a runtime, until the position is past `after` or the time is up.
    pub fn wait(&self, after: u64, timeout: Duration) -> u64 {
        /// How often a caller without a runtime looks: a hint may be this late.
        const LOOK: Duration = Duration::from_millis(10);
        let mut waited = Duration::ZERO;
        while self.now() <= after && waited < timeout {
            std::thread::sleep(LOOK.min(timeout));
            waited += LOOK;
        }
        self.now()
    }
}
