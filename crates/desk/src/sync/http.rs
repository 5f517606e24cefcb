//! The protocol over HTTP. The only file of the desk that names the HTTP library.
//!
//! It must follow no redirect, trust no content type but JSON, and turn whatever a network can answer (a sign-in page, a proxy's
//! error, silence) into a sentence a person can act on.

use std::io::{BufRead as _, BufReader, Read as _};
use std::time::Duration;

use domain::ContentHash;
use reqwest::blocking::{Client, RequestBuilder, Response};
use reqwest::header::{ACCEPT, AUTHORIZATION, CONTENT_TYPE, HeaderValue, LOCATION};
use reqwest::{Certificate, StatusCode, Url};
use serde::Serialize;
use serde::de::DeserializeOwned;
use sync_protocol::http_paths::{
    CLOCK, ENROL, ENTRIES, HEADS, HINTS, JOIN_CODES, PHOTO, PHOTO_FINISH, PHOTO_UPLOAD,
    PROBLEM_JSON, SHOP_LINKS, TOTAL_BYTES_HEADER, photo_path,
};
use sync_protocol::limits::{PHOTO_BYTES_MAX, PHOTO_PART_BYTES_MAX};
use sync_protocol::{
    Cursor, Enrol, Enrolled, FinishPhoto, Heads, JoinCode, NewShopLink, PhotoProgress,
    PhotoVariant, PositionHint, Problem, Pull, PushAnswer, PushEntries, ServerClock, ShopLink,
    SyncError, SyncProtocol,
};

/// Time to reach the server. A bench on a weak wireless line needs seconds, not more.
const CONNECT_TIMEOUT: Duration = Duration::from_secs(10);

/// Time for one request. A 4 MiB part on a 1 Mbit/s line takes 34 s.
const REQUEST_TIMEOUT: Duration = Duration::from_secs(90);

/// Largest JSON answer read: a page of 1 MiB or the heads of 10,000 streams, with room.
const ANSWER_BYTES_MAX: u64 = 8 * 1024 * 1024;

/// How to reach a server.
#[derive(Debug, Clone, Default)]
pub struct HttpOptions {
    /// Its address, such as `https://lab.example`.
    pub server_url: String,
    /// The credential; empty before joining.
    pub credential: String,
    /// Certificates in PEM form that are trusted besides the system's, for a lab with an authority of its own.
    pub extra_roots_pem: Vec<u8>,
}

/// An address or certificate that can't be used.
#[derive(Debug, thiserror::Error)]
pub enum HttpOptionsError {
    /// Not a web address.
    #[error("“{url}” is not a server's address; it is written like https://lab.example")]
    Address {
        /// What was given.
        url: String,
    },
    /// Not certificates.
    #[error("the lab's own certificates can't be read; they are expected in PEM form")]
    Certificates(#[source] Option<reqwest::Error>),
    /// The library could not be set up.
    #[error("the connection could not be set up")]
    Setup(#[source] reqwest::Error),
}

/// A server over HTTP.
pub struct HttpClient {
    client: Client,
    base: Url,
    authorization: Option<HeaderValue>,
}

impl HttpClient {
    /// Prepares to talk to a server. Nothing is sent yet.
    pub fn new(options: &HttpOptions) -> Result<Self, HttpOptionsError> {
        // Installing it a second time fails and changes nothing.
        drop(rustls::crypto::ring::default_provider().install_default());
        let address = || HttpOptionsError::Address {
            url: options.server_url.clone(),
        };
        let base = Url::parse(options.server_url.trim()).map_err(|_| address())?;
        if !matches!(base.scheme(), "http" | "https") || base.host_str().is_none() {
            return Err(address());
        }
        let mut builder = Client::builder()
            .redirect(reqwest::redirect::Policy::none())
            .connect_timeout(CONNECT_TIMEOUT)
            .timeout(REQUEST_TIMEOUT)
            .user_agent(concat!("waybench-desk/", env!("CARGO_PKG_VERSION")));
        let has_extra_roots = !options.extra_roots_pem.is_empty();
        if has_extra_roots {
            let roots = Certificate::from_pem_bundle(&options.extra_roots_pem)
                .map_err(|error| HttpOptionsError::Certificates(Some(error)))?;
            if roots.is_empty() {
                return Err(HttpOptionsError::Certificates(None));
            }
            builder = builder.tls_certs_merge(roots);
        }
        let authorization = match options.credential.as_str() {
            "" => None,
            credential => {
                let mut value = HeaderValue::from_str(&format!("Bearer {credential}"))
                    .map_err(|_| address())?;
                value.set_sensitive(true);
                Some(value)
            }
        };
        Ok(Self {
            client: builder.build().map_err(|error| {
                // Certificates are only looked into when the client is built.
                if has_extra_roots {
                    HttpOptionsError::Certificates(Some(error))
                } else {
                    HttpOptionsError::Setup(error)
                }
            })?,
            base,
            authorization,
        })
    }

    fn url(&self, path: &str) -> Url {
        let mut url = self.base.clone();
        url.set_query(None);
        url.set_path(&format!("{}{path}", self.base.path().trim_end_matches('/')));
        url
    }

    fn server(&self) -> String {
        self.base.as_str().trim_end_matches('/').to_owned()
    }

    fn get(&self, path: &str) -> RequestBuilder {
        self.signed(self.client.get(self.url(path)))
    }

    fn post<T: Serialize>(&self, path: &str, body: &T) -> RequestBuilder {
        self.signed(self.client.post(self.url(path)).json(body))
    }

    fn signed(&self, request: RequestBuilder) -> RequestBuilder {
        match &self.authorization {
            Some(value) => request.header(AUTHORIZATION, value.clone()),
            None => request,
        }
    }

    fn send(&self, request: RequestBuilder) -> Result<Response, SyncError> {
        let response = request.send().map_err(|error| self.no_answer(&error))?;
        self.check(response)
    }

    fn ask<T: DeserializeOwned>(&self, request: RequestBuilder) -> Result<T, SyncError> {
        let response = self.send(request.header(ACCEPT, "application/json"))?;
        let found = content_type(&response);
        if found != "application/json" {
            return Err(self.not_ours(response.status(), found));
        }
        let bytes = self.read(response, ANSWER_BYTES_MAX)?;
        serde_json::from_slice(&bytes).map_err(|error| self.bad_answer(error.to_string()))
    }

    /// Lets successes through and names everything else.
    fn check(&self, response: Response) -> Result<Response, SyncError> {
        let status = response.status();
        if status.is_success() {
            return Ok(response);
        }
        if status.is_redirection() {
            let target = response
                .headers()
                .get(LOCATION)
                .and_then(|value| value.to_str().ok())
                .unwrap_or("nowhere");
            return Err(SyncError::Redirected {
                server: self.server(),
                target: target.chars().take(200).collect(),
            });
        }
        let found = content_type(&response);
        if found == PROBLEM_JSON {
            let bytes = self.read(response, ANSWER_BYTES_MAX)?;
            return Err(match serde_json::from_slice::<Problem>(&bytes) {
                Ok(problem) => SyncError::Refused(problem),
                Err(error) => self.bad_answer(error.to_string()),
            });
        }
        if status.is_server_error() {
            return Err(SyncError::ServerFault {
                server: self.server(),
                status: status.as_u16(),
            });
        }
        Err(self.not_ours(status, found))
    }

    fn read(&self, response: Response, bytes_max: u64) -> Result<Vec<u8>, SyncError> {
        let mut bytes = Vec::new();
        response
            .take(bytes_max + 1)
            .read_to_end(&mut bytes)
            .map_err(|error| SyncError::NoAnswer {
                server: self.server(),
                reason: error.to_string(),
            })?;
        if bytes.len() as u64 > bytes_max {
            return Err(self.bad_answer(format!("it is larger than {bytes_max} bytes")));
        }
        Ok(bytes)
    }

    fn no_answer(&self, error: &reqwest::Error) -> SyncError {
        // The library repeats the address in its own message; the causes below it say what happened.
        let mut reason = String::new();
        let mut cause: Option<&dyn std::error::Error> = std::error::Error::source(error);
        while let Some(inner) = cause {
            reason = inner.to_string();
            cause = inner.source();
        }
        if error.is_timeout() || reason.is_empty() {
            reason = if error.is_timeout() {
                "no answer in time".to_owned()
            } else {
                error.to_string()
            };
        }
        // The system's number for it says nothing to a person.
        if let Some((words, _)) = reason.split_once(" (os error ") {
            reason = words.to_owned();
        }
        SyncError::NoAnswer {
            server: self.server(),
            reason,
        }
    }

    fn not_ours(&self, status: StatusCode, found: String) -> SyncError {
        SyncError::NotOurServer {
            server: self.server(),
            status: status.as_u16(),
            found,
        }
    }

    fn bad_answer(&self, reason: String) -> SyncError {
        SyncError::BadAnswer {
            server: self.server(),
            reason,
        }
    }
}

/// The media type without its parameters.
fn content_type(response: &Response) -> String {
    let value = response
        .headers()
        .get(CONTENT_TYPE)
        .and_then(|value| value.to_str().ok())
        .unwrap_or("no content type");
    value
        .split(';')
        .next()
        .unwrap_or_default()
        .trim()
        .to_ascii_lowercase()
        .chars()
        .take(80)
        .collect()
}

impl SyncProtocol for HttpClient {
    fn enrol(&self, request: &Enrol) -> Result<Enrolled, SyncError> {
        self.ask(self.post(ENROL, request))
    }

    fn clock(&self) -> Result<ServerClock, SyncError> {
        self.ask(self.get(CLOCK))
    }

    fn heads(&self) -> Result<Heads, SyncError> {
        self.ask(self.get(HEADS))
    }

    fn push(&self, request: &PushEntries) -> Result<PushAnswer, SyncError> {
        self.ask(self.post(ENTRIES, request))
    }

    fn pull(&self, cursor: &Cursor) -> Result<Pull, SyncError> {
        let query = [
            ("log_epoch", cursor.log_epoch.hyphenated().to_string()),
            ("log_position", cursor.log_position.to_string()),
            ("digest", cursor.digest.to_string()),
        ];
        let mut url = self.url(ENTRIES);
        url.query_pairs_mut().extend_pairs(&query);
        self.ask(self.signed(self.client.get(url)))
    }

    fn wait_hint(&self, log_position: u64, timeout_ms: u64) -> Result<PositionHint, SyncError> {
        let mut url = self.url(HINTS);
        url.query_pairs_mut()
            .append_pair("log_position", &log_position.to_string());
        let request = self
            .signed(self.client.get(url))
            .header(ACCEPT, "text/event-stream")
            .timeout(Duration::from_millis(timeout_ms));
        let response = self.send(request)?;
        let found = content_type(&response);
        if found != "text/event-stream" {
            return Err(self.not_ours(response.status(), found));
        }
        // The time limit ends the reading; what was heard until then is the answer.
        let mut heard = PositionHint { log_position };
        for line in BufReader::new(response).lines().map_while(Result::ok) {
            let Some(data) = line.strip_prefix("data:") else {
                continue;
            };
            if let Ok(hint) = serde_json::from_str::<PositionHint>(data.trim()) {
                heard = hint;
                if heard.log_position != log_position {
                    break;
                }
            }
        }
        Ok(heard)
    }

    fn new_join_code(&self) -> Result<JoinCode, SyncError> {
        self.ask(self.signed(self.client.post(self.url(JOIN_CODES))))
    }

    fn new_shop_link(&self, request: &NewShopLink) -> Result<ShopLink, SyncError> {
        self.ask(self.post(SHOP_LINKS, request))
    }

    fn photo_progress(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<PhotoProgress, SyncError> {
        self.ask(self.get(&photo_path(PHOTO_UPLOAD, hash, variant)))
    }

    fn photo_part(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
        offset: u64,
        bytes: &[u8],
    ) -> Result<PhotoProgress, SyncError> {
        let mut url = self.url(&photo_path(PHOTO_UPLOAD, hash, variant));
        url.query_pairs_mut()
            .append_pair("offset", &offset.to_string());
        let request = self
            .client
            .put(url)
            .header(CONTENT_TYPE, "application/octet-stream")
            .body(bytes.to_vec());
        self.ask(self.signed(request))
    }

    fn photo_finish(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
        finish: &FinishPhoto,
    ) -> Result<PhotoProgress, SyncError> {
        self.ask(self.post(&photo_path(PHOTO_FINISH, hash, variant), finish))
    }

    fn photo_download(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<Vec<u8>, SyncError> {
        let mut whole = Vec::new();
        loop {
            let mut url = self.url(&photo_path(PHOTO, hash, variant));
            url.query_pairs_mut()
                .append_pair("offset", &whole.len().to_string())
                .append_pair("length", &PHOTO_PART_BYTES_MAX.to_string());
            let response = self.send(self.signed(self.client.get(url)))?;
            let total_bytes: u64 = response
                .headers()
                .get(TOTAL_BYTES_HEADER)
                .and_then(|value| value.to_str().ok()?.parse().ok())
                .filter(|total| *total <= PHOTO_BYTES_MAX)
                .ok_or_else(|| self.not_ours(response.status(), content_type(&response)))?;
            let part = self.read(response, PHOTO_PART_BYTES_MAX as u64)?;
            whole.extend_from_slice(&part);
            if whole.len() as u64 >= total_bytes {
                return Ok(whole);
            }
            if part.is_empty() {
                return Err(self.bad_answer("the picture ends before its stated size".to_owned()));
            }
        }
    }
}
