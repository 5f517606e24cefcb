//! What each path of the twin answers.

use std::convert::Infallible;
use std::ops::ControlFlow;
use std::sync::Arc;
use std::time::Duration;

use domain::ContentHash;
use http_body_util::channel::Channel;
use http_body_util::{BodyExt as _, Either, Full, LengthLimitError, Limited};
use hyper::body::{Bytes, Incoming};
use hyper::header::{self, HeaderMap, HeaderName, HeaderValue};
use hyper::{Method, Request, Response, StatusCode};
use serde::Serialize;
use tokio::sync::mpsc;

use super::{Twin, pages};
use crate::commands;
use crate::desk::Changed;
use crate::error::{DeskError, EdgeError, ErrorCode};
use crate::photo_intake::PhotoTarget;
use crate::report_check::REPORT_BYTES_MAX;

/// Largest body of a call: a current trace of `TRACE_BYTES_MAX` in base64, with room.
const CALL_BYTES_MAX: usize = 16 * 1024 * 1024;
/// Largest picture: what `photos` takes at most, with room for its own sentence about larger ones.
const PHOTO_BYTES_MAX: usize = 80 * 1024 * 1024;
/// A comment is sent down an idle event stream this often, so that a closed browser is noticed.
const HEARTBEAT: Duration = Duration::from_secs(10);

/// Events that may wait for a browser that reads slowly, before the desk drops one. Each only says what to ask for again.
const EVENTS_WAITING_MAX: usize = 256;

/// An answer that is whole when it is sent.
pub(super) type Answer = Response<Full<Bytes>>;
/// What is sent: a whole answer, or a stream of events.
type Sent = Response<Either<Full<Bytes>, Channel<Bytes>>>;

/// Answers one request.
pub(super) async fn answer(
    twin: Arc<Twin>,
    request: Request<Incoming>,
) -> Result<Sent, Infallible> {
    let origin = allowed_origin(&twin, request.headers());
    let mut sent = match route(&twin, request).await {
        Ok(sent) => sent,
        Err(refused) => refused.map(Either::Left),
    };
    let heads = sent.headers_mut();
    heads.insert(header::X_CONTENT_TYPE_OPTIONS, NOSNIFF);
    if let Some(origin) = origin {
        heads.insert(header::ACCESS_CONTROL_ALLOW_ORIGIN, origin);
        heads.insert(header::ACCESS_CONTROL_ALLOW_HEADERS, ALLOWED_HEADERS);
        heads.insert(header::VARY, HeaderValue::from_static("origin"));
    }
    Ok(sent)
}

/// Guards first, then the paths. A refusal is an `Err`, so that `?` ends a request where it fails.
async fn route(twin: &Arc<Twin>, request: Request<Incoming>) -> Result<Sent, Answer> {
    let address = parse(request.uri())
        .ok_or_else(|| refusal(400, ErrorCode::Failed, "the address can't be read"))?;
    let method = request.method().clone();
    if !has_loopback_name(request.headers()) {
        let sentence = "the twin answers only under 127.0.0.1 or localhost";
        return Err(refusal(403, ErrorCode::Refused, sentence));
    }
    if method == Method::OPTIONS {
        let mut nothing = Response::new(Either::Left(Full::default()));
        *nothing.status_mut() = StatusCode::NO_CONTENT;
        return Ok(nothing);
    }
    let is_page = method == Method::GET && !is_guarded(&address.path);
    if !is_page && !has_token(twin, request.headers(), &address) {
        let sentence =
            "the token is missing or wrong; open the address that the twin printed when it started";
        return Err(refusal(403, ErrorCode::Refused, sentence));
    }
    if method == Method::GET && address.path == "/events" {
        return Ok(follow(twin));
    }
    let body = read_body(request, bytes_max(&address.path)).await?;
    let twin = Arc::clone(twin);
    // A command writes to the disk, and a picture takes a second of a processor.
    tokio::task::spawn_blocking(move || dispatch(&twin, &method, &address, &body))
        .await
        .map(|answer| answer.map(Either::Left))
        .map_err(|_| {
            refusal(
                500,
                ErrorCode::Failed,
                "the desk stumbled over this request; what was recorded before stands",
            )
        })
}

fn dispatch(twin: &Twin, method: &Method, address: &Address, body: &[u8]) -> Answer {
    let parts = address.path.split('/').collect::<Vec<_>>();
    match (method, parts.as_slice()) {
        (&Method::POST, ["", "call", name]) => call(twin, body, name),
        (&Method::POST, ["", "photo"]) => take_photo(twin, body, address),
        (&Method::POST, ["", "report-check"]) => json_or_error(twin.desk.check_report(body)),
        (&Method::GET, ["", "photo", hash]) => photo(twin, hash, address),
        (&Method::GET, ["", "paper", name]) => paper(twin, name),
        (&Method::GET, _) if !is_guarded(&address.path) => {
            pages::page(twin.ui_dir.as_deref(), &address.path)
        }
        _ => refusal(404, ErrorCode::NotFound, "the twin has no such path"),
    }
}

const NOSNIFF: HeaderValue = HeaderValue::from_static("nosniff");
const ALLOWED_HEADERS: HeaderValue = HeaderValue::from_static("content-type, x-waybench-token");

/// The parts of a request's address. The host is checked apart.
struct Address {
    path: String,
    query: Vec<(String, String)>,
}

impl Address {
    fn value(&self, name: &str) -> Option<&str> {
        self.query
            .iter()
            .find(|(key, _)| key == name)
            .map(|(_, value)| value.as_str())
    }
}

fn parse(uri: &hyper::Uri) -> Option<Address> {
    let (path, query) = (uri.path(), uri.query().unwrap_or_default());
    let decode = |text: &str| {
        percent_encoding::percent_decode_str(text)
            .decode_utf8()
            .ok()
            .map(std::borrow::Cow::into_owned)
    };
    let query = query
        .split('&')
        .filter(|pair| !pair.is_empty())
        .map(|pair| {
            let (key, value) = pair.split_once('=').unwrap_or((pair, ""));
            Some((decode(key)?, decode(value)?))
        })
        .collect::<Option<Vec<_>>>()?;
    Some(Address {
        path: decode(path)?,
        query,
    })
}

fn is_guarded(path: &str) -> bool {
    ["/call/", "/photo", "/paper/", "/report-check", "/events"]
        .iter()
        .any(|start| path.starts_with(start))
}

fn text<'a>(heads: &'a HeaderMap, name: &'static str) -> Option<&'a str> {
    heads.get(name)?.to_str().ok()
}

fn has_loopback_name(heads: &HeaderMap) -> bool {
    let host = text(heads, "host").unwrap_or_default();
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    matches!(name, "127.0.0.1" | "localhost" | "[::1]")
}

fn has_token(twin: &Twin, heads: &HeaderMap, address: &Address) -> bool {
    let given = text(heads, "x-waybench-token")
        .or_else(|| address.value("token"))
        .unwrap_or_default();
    // Both are hashed first, so that the time a comparison takes tells nothing of the token.
    attachments::hash_of(given.as_bytes()) == attachments::hash_of(twin.token.as_bytes())
}

/// Largest body of a path; what is asked for by GET has none.
fn bytes_max(path: &str) -> usize {
    match path {
        "/photo" => PHOTO_BYTES_MAX,
        "/report-check" => REPORT_BYTES_MAX,
        _ => CALL_BYTES_MAX,
    }
}

fn call(twin: &Twin, body: &[u8], name: &str) -> Answer {
    let value = match serde_json::from_slice(body) {
        Ok(value) => value,
        Err(error) => {
            return refusal(
                400,
                ErrorCode::Failed,
                &format!("the request is no JSON: {error}"),
            );
        }
    };
    json_or_error(commands::dispatch(&twin.desk, name, value))
}

fn take_photo(twin: &Twin, body: &[u8], address: &Address) -> Answer {
    let target: PhotoTarget = match address.value("target").map(serde_json::from_str) {
        Some(Ok(target)) => target,
        Some(Err(error)) => {
            return refusal(
                400,
                ErrorCode::Failed,
                &format!("where the picture goes can't be read: {error}"),
            );
        }
        None => {
            return refusal(
                400,
                ErrorCode::Failed,
                "it isn't said where the picture goes",
            );
        }
    };
    json_or_error(twin.desk.take_photo(body, &target))
}

fn photo(twin: &Twin, hash: &str, address: &Address) -> Answer {
    let Ok(hash) = hash.parse::<ContentHash>() else {
        return refusal(404, ErrorCode::NotFound, "this is no picture’s hash");
    };
    let bytes = if address.value("thumb") == Some("1") {
        twin.desk.thumbnail_bytes(&hash)
    } else {
        twin.desk.file_bytes(&hash)
    };
    match bytes {
        Ok(bytes) => {
            let kind = if bytes.starts_with(b"%PDF") {
                "application/pdf"
            } else {
                photos::MEDIA_TYPE
            };
            // A picture never changes under its hash.
            with_head(
                typed(bytes, kind),
                header::CACHE_CONTROL,
                "private, max-age=31536000, immutable",
            )
        }
        Err(error) => error_answer(error),
    }
}

fn paper(twin: &Twin, name: &str) -> Answer {
    match twin.desk.paper_bytes(name) {
        Ok(bytes) => with_head(
            typed(bytes, "application/pdf"),
            header::CONTENT_DISPOSITION,
            "inline",
        ),
        Err(error) => error_answer(error),
    }
}

/// Keeps a stream of events open until the browser closes it.
fn follow(twin: &Arc<Twin>) -> Sent {
    let (heard, mut changes) = mpsc::channel::<String>(EVENTS_WAITING_MAX);
    twin.desk.on_change(Arc::new(move |changed: &Changed| {
        let sent = serde_json::to_string(changed).is_ok_and(|json| {
            !matches!(
                heard.try_send(json),
                Err(mpsc::error::TrySendError::Closed(_))
            )
        });
        // Once its browser has gone the channel is closed, and nobody listens here any more.
        if sent {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    }));
    let (mut stream, body) = Channel::new(1);
    tokio::spawn(async move {
        let mut line = ": open\n\n".to_owned();
        while stream.send_data(Bytes::from(line)).await.is_ok() {
            line = match tokio::time::timeout(HEARTBEAT, changes.recv()).await {
                Ok(Some(json)) => format!("event: changed\ndata: {json}\n\n"),
                Ok(None) => return,
                Err(_) => ": still here\n\n".to_owned(),
            };
        }
    });
    let mut answer = Response::new(Either::Right(body));
    let heads = answer.headers_mut();
    heads.insert(
        header::CONTENT_TYPE,
        HeaderValue::from_static("text/event-stream"),
    );
    heads.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    answer
}

async fn read_body(request: Request<Incoming>, bytes_max: usize) -> Result<Bytes, Answer> {
    match Limited::new(request.into_body(), bytes_max).collect().await {
        Ok(body) => Ok(body.to_bytes()),
        Err(error) if error.is::<LengthLimitError>() => Err(refusal(
            413,
            ErrorCode::Failed,
            &format!("the request is larger than {bytes_max} bytes"),
        )),
        Err(_) => Err(refusal(
            400,
            ErrorCode::Failed,
            "the request broke off; send it again",
        )),
    }
}

fn json_or_error<T: Serialize>(result: Result<T, DeskError>) -> Answer {
    match result {
        Ok(value) => json(200, &value),
        Err(error) => error_answer(error),
    }
}

fn error_answer(error: DeskError) -> Answer {
    let status = match &error {
        DeskError::NotFound { .. } | DeskError::NoCommand { .. } => 404,
        DeskError::Request { .. } => 400,
        DeskError::Field { .. }
        | DeskError::Refused { .. }
        | DeskError::Blocked { .. }
        | DeskError::Photo(_) => 409,
        _ => 500,
    };
    json(status, &EdgeError::from(error))
}

pub(super) fn refusal(status: u16, code: ErrorCode, sentence: &str) -> Answer {
    let error = EdgeError {
        code,
        message: crate::error::sentence(sentence),
        field: None,
        missing: Vec::new(),
    };
    json(status, &error)
}

fn json<T: Serialize>(status: u16, value: &T) -> Answer {
    let bytes = serde_json::to_vec(value).unwrap_or_else(|_| b"null".to_vec());
    let mut answer = with_head(
        typed(bytes, "application/json"),
        header::CACHE_CONTROL,
        "no-store",
    );
    *answer.status_mut() =
        StatusCode::from_u16(status).expect("the statuses here are written out as HTTP's own");
    answer
}

pub(super) fn typed(bytes: Vec<u8>, content_type: &'static str) -> Answer {
    with_head(
        Response::new(Full::from(bytes)),
        header::CONTENT_TYPE,
        content_type,
    )
}

pub(super) fn with_head(mut answer: Answer, name: HeaderName, value: &'static str) -> Answer {
    answer
        .headers_mut()
        .insert(name, HeaderValue::from_static(value));
    answer
}

fn allowed_origin(twin: &Twin, heads: &HeaderMap) -> Option<HeaderValue> {
    let origin = heads.get(header::ORIGIN)?;
    (twin.dev_origin.as_deref().map(str::as_bytes) == Some(origin.as_bytes()))
        .then(|| origin.clone())
}
