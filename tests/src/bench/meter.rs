//! A piece of line that counts the bytes which pass it, headers included.

use std::io::{Read as _, Write as _};
use std::net::{Ipv4Addr, Shutdown, SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// The line. It ends with the process.
pub(super) struct Meter {
    address: SocketAddr,
    bytes: Arc<AtomicU64>,
}

impl Meter {
    /// A line to a server.
    pub(super) fn to(server: SocketAddr) -> Self {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("a free port");
        let address = listener.local_addr().expect("it listens");
        let bytes = Arc::new(AtomicU64::new(0));
        let counter = Arc::clone(&bytes);
        std::thread::spawn(move || {
            for near in listener.incoming().flatten() {
                if let Ok(far) = TcpStream::connect(server) {
                    join(&near, &far, &counter);
                }
            }
        });
        Self { address, bytes }
    }

    /// Its address as a desktop writes it.
    pub(super) fn url(&self) -> String {
        format!("http://{}", self.address)
    }

    /// Bytes that have passed so far, both ways.
    pub(super) fn bytes(&self) -> u64 {
        self.bytes.load(Ordering::SeqCst)
    }
}

fn join(near: &TcpStream, far: &TcpStream, counter: &Arc<AtomicU64>) {
    for (from, to) in [(near, far), (far, near)] {
        let _ = from.set_nodelay(true);
        if let (Ok(from), Ok(to)) = (from.try_clone(), to.try_clone()) {
            let counter = Arc::clone(counter);
            std::thread::spawn(move || copy(from, to, &counter));
        }
    }
}

fn copy(mut from: TcpStream, mut to: TcpStream, counter: &AtomicU64) {
    let mut part = vec![0; 64 * 1024];
    while let Ok(read) = from.read(&mut part) {
        counter.fetch_add(read as u64, Ordering::SeqCst);
        if read == 0 || to.write_all(&part[..read]).is_err() {
            break;
        }
    }
    let _ = to.shutdown(Shutdown::Write);
}
