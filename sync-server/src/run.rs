//! Starting and stopping.
//!
//! The server has a runtime and a thread of its own, so that a test, the demonstration and the program start it alike, with or
//! without a runtime around them. Stopping lets running requests end, for a few seconds.

use std::io;
use std::net::{SocketAddr, TcpListener};
use std::sync::Arc;
use std::thread::JoinHandle;
use std::time::Duration;

use axum::Router;
use axum_server::Handle;
use axum_server::tls_rustls::RustlsConfig;
use tokio::runtime::Runtime;
use tokio::sync::watch;

use crate::config::{Config, PublicUrl, TlsFiles};
use crate::core::Core;
use crate::files::Files;
use crate::http::{self, App};
use crate::store::StoreError;
use crate::store::sqlite::SqliteStore;

/// Running requests may take this long to end: a page of entries over a slow line takes 8 s, and is sent again otherwise.
const GRACE: Duration = Duration::from_secs(10);

/// How often what has ended is dropped from the store.
const SWEEP: Duration = Duration::from_hours(1);

/// What has ended is kept this long, so that "expired" and "unknown" can be told apart in the server's own log.
const SWEEP_AFTER_MS: i64 = 30 * 24 * 3_600_000;

/// Why the server did not start.
#[derive(Debug, thiserror::Error)]
pub enum StartError {
    /// The store can't be opened.
    #[error("the server's data can't be opened")]
    Store(#[from] StoreError),
    /// The address can't be listened on.
    #[error(
        "nothing can listen on {address}; is another server running there, or is the port reserved?"
    )]
    Listen {
        /// The address.
        address: SocketAddr,
        /// What the system said.
        #[source]
        source: io::Error,
    },
    /// The certificate or key can't be used.
    #[error(
        "the certificate {certificate} and its key can't be used; both must be PEM files that belong together"
    )]
    Tls {
        /// The certificate's file.
        certificate: String,
        /// What is wrong.
        #[source]
        source: io::Error,
    },
    /// Threads or timers could not be had.
    #[error("the system gives no threads to run the server on")]
    Runtime(#[source] io::Error),
}

/// A server that runs until it is stopped or dropped.
#[derive(Debug)]
pub struct Running {
    /// Where it listens.
    pub address: SocketAddr,
    core: Arc<Core>,
    public_url: PublicUrl,
    handle: Handle<SocketAddr>,
    stopping: watch::Sender<bool>,
    thread: Option<JoinHandle<()>>,
}

impl Running {
    /// The server without its sockets.
    pub const fn core(&self) -> &Arc<Core> {
        &self.core
    }

    /// What browsers and desktops call it, such as `http://127.0.0.1:8460`.
    pub fn public_url(&self) -> &str {
        self.public_url.as_str()
    }

    /// Stops: no new requests, running ones end, the database is closed.
    pub fn stop(mut self) {
        self.end();
    }

    /// Waits until the server has ended by itself, which it does only on a fault.
    pub fn is_ended(&self) -> bool {
        self.thread.as_ref().is_none_or(JoinHandle::is_finished)
    }

    fn end(&mut self) {
        // Whoever follows the log's position would hold the stop up for ever.
        self.stopping.send_replace(true);
        self.handle.graceful_shutdown(Some(GRACE));
        if let Some(thread) = self.thread.take()
            && thread.join().is_err()
        {
            tracing::error!("the server's thread ended by a fault");
        }
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        self.end();
    }
}

/// Opens the data, listens, and answers from then on.
pub fn start(config: Config) -> Result<Running, StartError> {
    let listen_error = |source| StartError::Listen {
        address: config.listen,
        source,
    };
    let listener = TcpListener::bind(config.listen).map_err(listen_error)?;
    let address = listener.local_addr().map_err(listen_error)?;
    let store = Arc::new(SqliteStore::open(&config.data)?);
    let files = Files::open(&config.data)?;
    let core = Arc::new(Core::new(
        store,
        files,
        config.clock.clone(),
        config.quotas,
    )?);
    let public_url = config
        .public_url
        .unwrap_or_else(|| PublicUrl::local(address, config.tls.is_some()));
    let stopping = watch::Sender::new(false);
    let app = Arc::new(App::new(
        core.clone(),
        public_url.clone(),
        config.trusted_proxy,
        config.public_verdicts,
        stopping.subscribe(),
    ));
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .thread_name("sync-server")
        .build()
        .map_err(StartError::Runtime)?;
    let tls = config
        .tls
        .as_ref()
        .map(|files| read_certificate(&runtime, files))
        .transpose()?;
    let handle = Handle::new();
    let thread = std::thread::Builder::new()
        .name("sync-server".to_owned())
        .spawn({
            let (handle, core, router) = (handle.clone(), core.clone(), http::router(app));
            move || runtime.block_on(serve(listener, tls, handle, router, core))
        })
        .map_err(StartError::Runtime)?;
    tracing::info!(%address, public_url = public_url.as_str(), "the server listens");
    Ok(Running {
        address,
        core,
        public_url,
        handle,
        stopping,
        thread: Some(thread),
    })
}

fn read_certificate(runtime: &Runtime, files: &TlsFiles) -> Result<RustlsConfig, StartError> {
    // A second start in one process finds the provider installed, which is as good.
    let _installed = rustls::crypto::ring::default_provider().install_default();
    runtime
        .block_on(RustlsConfig::from_pem_file(&files.certificate, &files.key))
        .map_err(|source| StartError::Tls {
            certificate: files.certificate.display().to_string(),
            source,
        })
}

async fn serve(
    listener: TcpListener,
    tls: Option<RustlsConfig>,
    handle: Handle<SocketAddr>,
    router: Router,
    core: Arc<Core>,
) {
    let sweeping = tokio::spawn(sweep(core));
    let service = router.into_make_service_with_connect_info::<SocketAddr>();
    let served = match tls {
        Some(tls) => match axum_server::from_tcp_rustls(listener, tls) {
            Ok(server) => server.handle(handle).serve(service).await,
            Err(error) => Err(error),
        },
        None => match axum_server::from_tcp(listener) {
            Ok(server) => server.handle(handle).serve(service).await,
            Err(error) => Err(error),
        },
    };
    sweeping.abort();
    match served {
        Ok(()) => tracing::info!("the server has stopped"),
        Err(error) => tracing::error!(%error, "the server stopped by a fault"),
    }
}

async fn sweep(core: Arc<Core>) {
    let mut ticks = tokio::time::interval(SWEEP);
    loop {
        ticks.tick().await;
        let core = core.clone();
        let swept = tokio::task::spawn_blocking(move || {
            core.store().sweep_accounts(core.now_ms() - SWEEP_AFTER_MS)
        })
        .await;
        if let Ok(Err(error)) = swept {
            tracing::warn!(error = %crate::log::Chain(&error), "what has ended could not be dropped");
        }
    }
}

#[cfg(test)]
mod tests;
