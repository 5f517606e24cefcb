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
use std::time::Duration;

use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::TokioIo;
use tokio::net::TcpListener;
use tokio::runtime::{Builder, Runtime};

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
    /// `None` only while it is dropped.
    runtime: Option<Runtime>,
}

/// Threads that wait for the network. Commands and files have threads of their own, so that none holds up another.
const NETWORK_THREADS: usize = 2;
/// How long a command under way may take to its end when the twin is dropped.
const LAST_ANSWERS: Duration = Duration::from_secs(5);
/// How long the twin lets be after the system gave it no connection, such as when it has no more files to give.
const AFTER_NO_CONNECTION: Duration = Duration::from_millis(50);

impl RunningTwin {
    /// Starts listening.
    pub fn start(desk: Arc<Desk>, options: TwinOptions) -> Result<Self, TwinError> {
        let failed = |error: std::io::Error| TwinError::Listen {
            port: options.port,
            reason: error.to_string(),
        };
        let runtime = Builder::new_multi_thread()
            .worker_threads(NETWORK_THREADS)
            .thread_name("twin")
            .enable_all()
            .build()
            .map_err(failed)?;
        let listener = runtime
            .block_on(TcpListener::bind((Ipv4Addr::LOCALHOST, options.port)))
            .map_err(failed)?;
        let address = listener.local_addr().map_err(failed)?;
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
        runtime.spawn(listen(listener, twin));
        Ok(Self {
            address,
            token,
            runtime: Some(runtime),
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
        if let Some(runtime) = self.runtime.take() {
            runtime.shutdown_timeout(LAST_ANSWERS);
        }
    }
}

/// Takes connections in for as long as the runtime lives. Each is a task of its own: one that a browser opens ahead and leaves
/// silent, or an event stream that stays open, keeps nobody waiting.
async fn listen(listener: TcpListener, twin: Arc<Twin>) {
    loop {
        let Ok((stream, _)) = listener.accept().await else {
            tokio::time::sleep(AFTER_NO_CONNECTION).await;
            continue;
        };
        let twin = Arc::clone(&twin);
        tokio::spawn(async move {
            let answer = service_fn(|request| routes::answer(Arc::clone(&twin), request));
            // What breaks off is nobody's loss: the browser has gone.
            drop(
                http1::Builder::new()
                    .serve_connection(TokioIo::new(stream), answer)
                    .await,
            );
        });
    }
}
