//! A line that loses, doubles, delays and reorders.

use std::sync::Mutex;

use domain::ContentHash;
use sync_protocol::{
    Cursor, Enrol, Enrolled, FinishPhoto, Heads, JoinCode, NewShopLink, PhotoProgress,
    PhotoVariant, PositionHint, Pull, PushAnswer, PushEntries, ServerClock, ShopLink, SyncError,
    SyncProtocol,
};
use sync_server::core::Connection;

use super::Dice;

/// Pushes that are still under way when everyone thinks they are lost. They arrive at some later call, in any order.
pub(super) type UnderWay = Mutex<Vec<PushEntries>>;

/// One desktop's line for one round.
pub(super) struct Line<'a> {
    server: Connection,
    under_way: &'a UnderWay,
    dice: Mutex<Dice>,
    is_bad: bool,
}

impl<'a> Line<'a> {
    pub(super) fn new(
        server: Connection,
        under_way: &'a UnderWay,
        dice: Dice,
        is_bad: bool,
    ) -> Self {
        Self {
            server,
            under_way,
            dice: Mutex::new(dice),
            is_bad,
        }
    }

    fn once_in(&self, times: usize) -> bool {
        self.is_bad && self.dice.lock().unwrap().once_in(times)
    }

    fn lost<T>() -> Result<T, SyncError> {
        Err(SyncError::NoAnswer {
            server: "simulated".to_owned(),
            reason: "lost".to_owned(),
        })
    }

    /// Asks through the weather.
    fn ask<T>(&self, ask: impl Fn(&Connection) -> Result<T, SyncError>) -> Result<T, SyncError> {
        self.deliver_late();
        if self.once_in(9) {
            return Self::lost();
        }
        if self.once_in(12) {
            // The same request arrives twice; the first answer is lost on the way.
            drop(ask(&self.server));
        }
        let answer = ask(&self.server);
        if self.once_in(9) {
            Self::lost()
        } else {
            answer
        }
    }

    fn deliver_late(&self) {
        if !self.once_in(4) {
            return;
        }
        let late = {
            let mut under_way = self.under_way.lock().unwrap();
            if under_way.is_empty() {
                return;
            }
            let which = self.dice.lock().unwrap().below(under_way.len());
            under_way.swap_remove(which)
        };
        // Nobody waits for this answer any more.
        drop(self.server.push(&late));
    }
}

impl SyncProtocol for Line<'_> {
    fn enrol(&self, request: &Enrol) -> Result<Enrolled, SyncError> {
        self.server.enrol(request)
    }

    fn clock(&self) -> Result<ServerClock, SyncError> {
        self.ask(SyncProtocol::clock)
    }

    fn heads(&self) -> Result<Heads, SyncError> {
        self.ask(SyncProtocol::heads)
    }

    fn push(&self, request: &PushEntries) -> Result<PushAnswer, SyncError> {
        if self.once_in(8) {
            self.under_way.lock().unwrap().push(request.clone());
            return Self::lost();
        }
        self.ask(|server| server.push(request))
    }

    fn pull(&self, cursor: &Cursor) -> Result<Pull, SyncError> {
        self.ask(|server| server.pull(cursor))
    }

    fn wait_hint(&self, log_position: u64, _timeout_ms: u64) -> Result<PositionHint, SyncError> {
        self.ask(|server| server.wait_hint(log_position, 0))
    }

    fn new_join_code(&self) -> Result<JoinCode, SyncError> {
        self.server.new_join_code()
    }

    fn new_shop_link(&self, request: &NewShopLink) -> Result<ShopLink, SyncError> {
        self.server.new_shop_link(request)
    }

    fn photo_progress(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<PhotoProgress, SyncError> {
        self.ask(|server| server.photo_progress(hash, variant))
    }

    fn photo_part(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
        offset: u64,
        bytes: &[u8],
    ) -> Result<PhotoProgress, SyncError> {
        self.ask(|server| server.photo_part(hash, variant, offset, bytes))
    }

    fn photo_finish(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
        finish: &FinishPhoto,
    ) -> Result<PhotoProgress, SyncError> {
        self.ask(|server| server.photo_finish(hash, variant, finish))
    }

    fn photo_download(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<Vec<u8>, SyncError> {
        self.ask(|server| server.photo_download(hash, variant))
    }
}
