//! The real server on a folder of its own, which can be stopped, started again, backed up and restored.

use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

use domain::ContentHash;
use sync_protocol::PhotoVariant;
use sync_server::auth::credential::operator;
use sync_server::clock::{Clock, SystemClock};
use sync_server::config::Config;
use sync_server::store::sqlite;
use sync_server::{Running, start};
use tempfile::TempDir;

/// A server and its folder.
pub struct Server {
    folder: TempDir,
    address: SocketAddr,
    clock: Arc<dyn Clock>,
    running: Option<Running>,
}

/// An address of this machine that no other server of these tests uses, so that a stopped server finds its port free again.
/// All of 127.0.0.0/8 is the machine itself (RFC 1122, 3.2.1.3 g); where only 127.0.0.1 is, that one is used.
fn own_address() -> SocketAddr {
    static NUMBER: AtomicU32 = AtomicU32::new(0);
    let number = NUMBER.fetch_add(1, Ordering::SeqCst);
    let [_, _, high, low] = std::process::id().to_be_bytes();
    let last = u8::try_from(number % 250 + 2).expect("it is below 252");
    let own = SocketAddr::from((Ipv4Addr::new(127, 64 | (high & 0x3f), low, last), 0));
    if TcpListener::bind(own).is_ok() {
        own
    } else {
        SocketAddr::from((Ipv4Addr::LOCALHOST, 0))
    }
}

impl Server {
    /// Starts a server on an empty folder.
    pub fn start() -> Self {
        Self::start_with(Arc::new(SystemClock))
    }

    /// Starts one whose clock is `clock`.
    pub fn start_with(clock: Arc<dyn Clock>) -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let mut server = Self {
            folder,
            address: own_address(),
            clock,
            running: None,
        };
        server.start_again();
        server
    }

    /// Starts it again where it was.
    pub fn start_again(&mut self) {
        let mut config = Config::local(self.data());
        config.listen = self.address;
        config.clock = self.clock.clone();
        let running = start(config).expect("its address is its own");
        self.address = running.address;
        self.running = Some(running);
    }

    /// Stops it: nobody answers at its address.
    pub fn stop(&mut self) {
        self.running.take().expect("it runs").stop();
    }

    /// Its folder.
    pub fn data(&self) -> PathBuf {
        self.folder.path().join("data")
    }

    /// Where it listens.
    pub const fn address(&self) -> SocketAddr {
        self.address
    }

    /// Its address as desktops and browsers write it.
    pub fn url(&self) -> String {
        format!("http://{}", self.address)
    }

    /// The server itself.
    pub fn running(&self) -> &Running {
        self.running.as_ref().expect("it runs")
    }

    /// A one-time code for the first desktop, as the operator gets one.
    pub fn join_code(&self) -> String {
        self.running()
            .core()
            .new_join_code()
            .expect("the store answers")
    }

    /// Copies everything to a folder, as the operator's command does.
    pub fn back_up(&self, target: &Path) {
        sqlite::backup(&self.data(), target).expect("there is room");
    }

    /// Loses everything and goes back to a backup, as the operator's command does.
    pub fn restore(&mut self, source: &Path) {
        self.stop();
        std::fs::remove_dir_all(self.data()).expect("the folder is its own");
        sqlite::restore(source, &self.data()).expect("the backup is whole");
        self.start_again();
    }

    /// The bytes of a file that the server holds whole; `None` when it doesn't.
    pub fn file(&self, hash: &ContentHash) -> Option<Vec<u8>> {
        let core = self.running().core();
        let scope = operator(core.store())
            .expect("the store answers")
            .expect("a desktop has joined");
        core.photo_read(&scope, hash, PhotoVariant::Full, 0, u64::MAX)
            .ok()
            .map(|part| part.bytes)
    }

    /// The last position of its log.
    pub fn log_position(&self) -> u64 {
        self.running()
            .core()
            .store()
            .lab()
            .expect("the store answers")
            .log_position
    }
}
