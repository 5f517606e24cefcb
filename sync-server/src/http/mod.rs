//! The server's sockets: routes, headers that every answer carries, and one line in the log for each request.

mod api;
mod portal;
mod verdict;

use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::time::{Duration, Instant};

use axum::Router;
use axum::extract::{ConnectInfo, MatchedPath, Request, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse as _, Response};
use axum::routing::get;
use tokio::sync::watch;

use crate::auth::rate::RateLimits;
use crate::config::PublicUrl;
use crate::core::Core;

/// Longest a request may take. A part of 4 MiB over a weak 1 Mbit/s line takes 34 s.
const REQUEST_TIMEOUT: Duration = Duration::from_mins(2);

/// What every handler has at hand.
#[derive(Debug)]
pub(crate) struct App {
    core: Arc<Core>,
    public_url: PublicUrl,
    trusted_proxy: bool,
    public_verdicts: bool,
    rates: RateLimits,
    stopping: watch::Receiver<bool>,
}

impl App {
    pub(crate) fn new(
        core: Arc<Core>,
        public_url: PublicUrl,
        trusted_proxy: bool,
        public_verdicts: bool,
        stopping: watch::Receiver<bool>,
    ) -> Self {
        Self {
            core,
            public_url,
            trusted_proxy,
            public_verdicts,
            rates: RateLimits::default(),
            stopping,
        }
    }

    /// Runs work that reads or writes the database on a thread that may block.
    async fn run<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Core) -> T + Send + 'static,
    ) -> Result<T, Stopped> {
        let core = self.core.clone();
        tokio::task::spawn_blocking(move || work(&core))
            .await
            .map_err(|error| {
                tracing::error!(%error, "a request's work ended by a fault");
                Stopped
            })
    }

    /// The address that limits count: the peer's, or what the trusted proxy says of it.
    fn address_of(&self, peer: SocketAddr, headers: &HeaderMap) -> IpAddr {
        let forwarded = || {
            // The proxy appends the address it saw, so only the last one is its own word.
            let last = headers
                .get_all("x-forwarded-for")
                .iter()
                .next_back()?
                .to_str()
                .ok()?
                .rsplit(',')
                .next()?
                .trim();
            last.parse().ok()
        };
        if self.trusted_proxy {
            forwarded().unwrap_or_else(|| peer.ip())
        } else {
            peer.ip()
        }
    }
}

/// The work of a request panicked or was cut off by the stop.
#[derive(Debug, Clone, Copy)]
struct Stopped;

/// All routes.
pub(crate) fn router(app: Arc<App>) -> Router {
    Router::new()
        .route("/healthz", get(healthz))
        .route("/schema/return-report-1.json", get(report_schema))
        .merge(api::routes())
        .merge(portal::routes())
        .merge(verdict::routes())
        .fallback(portal::not_found)
        .layer(middleware::from_fn_with_state(app.clone(), frame))
        .with_state(app)
}

/// The JSON Schema of the record inside a return report, for whoever reads one by program.
const REPORT_SCHEMA: &str = include_str!("../../../crates/desk/schema/return-report-1.json");

async fn report_schema() -> Response {
    let kind = [(header::CONTENT_TYPE, "application/schema+json")];
    (kind, REPORT_SCHEMA).into_response()
}

/// 200 as long as the database answers.
async fn healthz(State(app): State<Arc<App>>) -> Response {
    match app
        .run(|core| core.store().lab().map(|lab| lab.log_position))
        .await
    {
        Ok(Ok(_)) => (StatusCode::OK, "ok\n").into_response(),
        _ => (
            StatusCode::SERVICE_UNAVAILABLE,
            "the database does not answer\n",
        )
            .into_response(),
    }
}

/// Headers, time limit and log line of every request.
async fn frame(
    State(app): State<Arc<App>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    route: Option<MatchedPath>,
    request: Request,
    next: Next,
) -> Response {
    let began = Instant::now();
    let method = request.method().clone();
    let address = app.address_of(peer, request.headers());
    // The pattern is logged, never the path: a path can hold an invite's secret.
    let route = route
        .as_ref()
        .map_or("no route", MatchedPath::as_str)
        .to_owned();
    let mut response = match tokio::time::timeout(REQUEST_TIMEOUT, next.run(request)).await {
        Ok(response) => response,
        Err(_) => (
            StatusCode::REQUEST_TIMEOUT,
            "the request took too long; send it again\n",
        )
            .into_response(),
    };
    add_headers(response.headers_mut(), app.public_url.is_https());
    let took_ms = u64::try_from(began.elapsed().as_millis()).unwrap_or(u64::MAX);
    tracing::info!(%method, route, status = response.status().as_u16(), took_ms, %address, "request");
    response
}

/// What pages may do: show themselves, styles, pictures and fonts of this server, and send forms to it.
pub(crate) const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; style-src 'self'; img-src 'self'; font-src 'self'; \
    form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Headers of every answer (ASVS 5.0.0, 3.4). A handler's own value stays.
fn add_headers(headers: &mut HeaderMap, is_https: bool) {
    let fixed = [
        (header::CONTENT_SECURITY_POLICY, CONTENT_SECURITY_POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::X_FRAME_OPTIONS, "DENY"),
        (header::CACHE_CONTROL, "no-store"),
        (
            header::HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
        (
            header::HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            header::HeaderName::from_static("permissions-policy"),
            "camera=(), geolocation=(), microphone=()",
        ),
    ];
    for (name, value) in fixed {
        headers
            .entry(name)
            .or_insert(HeaderValue::from_static(value));
    }
    if is_https {
        let two_years = HeaderValue::from_static("max-age=63072000; includeSubDomains");
        headers
            .entry(header::STRICT_TRANSPORT_SECURITY)
            .or_insert(two_years);
    }
}
