//! The loopback twin: the same commands as the window's, over HTTP on this machine, for development and browser tests.
//!
//! It listens on 127.0.0.1 only, answers only requests that carry its token, and only under a loopback name, so that no page on
//! the web can reach it through the user's browser (DNS rebinding). It decides nothing: every call goes to the command table.

mod pages;
mod routes;

#[cfg(test)]
mod tests;

use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;
use std::thread::JoinHandle;

use tiny_http::Server;

use crate::desk::Desk;

/// How a twin is set up.
#[derive(Debug, Clone, Default)]
pub struct TwinOptions {
    /// The port; 0 for any free one.
    pub port: u16,
    /// The token every request must carry; a random one is made when empty.
    pub token: String,
    /// The built screens, to be served at `/`.
    pub ui_dir: Option<PathBuf>,
    /// The origin of a development server whose pages may call, such as `http://localhost:5173`.
    pub dev_origin: Option<String>,
}

/// Why a twin did not start.
#[derive(Debug, thiserror::Error)]
pub enum TwinError {
    /// The port could not be had.
    #[error("the twin can't listen on port {port} of this machine: {reason}; choose another port")]
    Listen {
        /// The port asked for.
        port: u16,
        /// What the system said.
        reason: String,
    },
}

/// What each request is answered with.
pub(crate) struct Twin {
    desk: Arc<Desk>,
    token: String,
    ui_dir: Option<PathBuf>,
    dev_origin: Option<String>,
}

/// A twin that listens, until it is dropped.
pub struct RunningTwin {
    address: SocketAddr,
    token: String,
    server: Arc<Server>,
    workers: Vec<JoinHandle<()>>,
}

/// Requests answered at once. Commands take milliseconds; a picture's intake may hold one for a second.
const WORKERS: usize = 4;

impl RunningTwin {
    /// Starts listening.
    pub fn start(desk: Arc<Desk>, options: TwinOptions) -> Result<Self, TwinError> {
        let listen = (Ipv4Addr::LOCALHOST, options.port);
        let failed = |reason: String| TwinError::Listen {
            port: options.port,
            reason,
        };
        let server = Arc::new(Server::http(listen).map_err(|error| failed(error.to_string()))?);
        let address = server
            .server_addr()
            .to_ip()
            .ok_or_else(|| failed("it has no address".to_owned()))?;
        let token = if options.token.is_empty() {
            hex::encode(desk.random::<16>())
        } else {
            options.token
        };
        let twin = Arc::new(Twin {
            desk,
            token: token.clone(),
            ui_dir: options.ui_dir,
            dev_origin: options.dev_origin,
        });
        let workers = (0..WORKERS)
            .map(|_| {
                let (server, twin) = (Arc::clone(&server), Arc::clone(&twin));
                std::thread::spawn(move || {
                    while let Ok(request) = server.recv() {
                        routes::answer(&twin, request);
                    }
                })
            })
            .collect();
        Ok(Self {
            address,
            token,
            server,
            workers,
        })
    }

    /// Where it listens.
    pub const fn address(&self) -> SocketAddr {
        self.address
    }

    /// The token every request must carry.
    pub fn token(&self) -> &str {
        &self.token
    }

    /// The address to open in a browser on this machine.
    pub fn url(&self) -> String {
        format!("http://{}/#token={}", self.address, self.token)
    }
}

impl Drop for RunningTwin {
    fn drop(&mut self) {
        for _ in &self.workers {
            self.server.unblock();
        }
        for worker in self.workers.drain(..) {
            drop(worker.join());
        }
    }
}
