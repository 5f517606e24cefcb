//! What each path of the twin answers.

use std::io::{Read as _, Write};
use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::mpsc;
use std::time::Duration;

use domain::ContentHash;
use serde::Serialize;
use tiny_http::{Header, Method, Request, Response};

use super::{Twin, pages};
use crate::commands;
use crate::desk::Changed;
use crate::error::{DeskError, EdgeError, ErrorCode};
use crate::photo_intake::PhotoTarget;
use crate::report_check::REPORT_BYTES_MAX;

/// Largest body of a call: a current trace of `TRACE_BYTES_MAX` in base64, with room.
const CALL_BYTES_MAX: u64 = 16 * 1024 * 1024;
/// Largest picture: what `photos` takes at most, with room for its own sentence about larger ones.
const PHOTO_BYTES_MAX: u64 = 80 * 1024 * 1024;
/// A comment is sent down an idle event stream this often, so that a closed browser is noticed.
const HEARTBEAT: Duration = Duration::from_secs(10);

pub(super) type Answer = Response<std::io::Cursor<Vec<u8>>>;

/// Answers one request. What can't be sent any more is nobody's loss: the browser has gone.
pub(super) fn answer(twin: &Arc<Twin>, mut request: Request) {
    let Some(url) = parse(request.url()) else {
        return send(
            twin,
            request,
            refusal(400, ErrorCode::Failed, "the address can't be read"),
        );
    };
    let path = url.path().to_owned();
    if !has_loopback_name(&request) {
        return send(
            twin,
            request,
            refusal(
                403,
                ErrorCode::Refused,
                "the twin answers only under 127.0.0.1 or localhost",
            ),
        );
    }
    if *request.method() == Method::Options {
        return send(
            twin,
            request,
            Response::from_data(Vec::new()).with_status_code(204),
        );
    }
    let is_page = *request.method() == Method::Get && !is_guarded(&path);
    if !is_page && !has_token(twin, &request, &url) {
        let sentence =
            "the token is missing or wrong; open the address that the twin printed when it started";
        return send(twin, request, refusal(403, ErrorCode::Refused, sentence));
    }
    if path == "/events" {
        return follow(twin, request);
    }
    let answer = match (
        request.method().clone(),
        path.split('/').collect::<Vec<_>>().as_slice(),
    ) {
        (Method::Post, ["", "call", name]) => call(twin, &mut request, name),
        (Method::Post, ["", "photo"]) => take_photo(twin, &mut request, &url),
        (Method::Post, ["", "report-check"]) => check_report(twin, &mut request),
        (Method::Get, ["", "photo", hash]) => photo(twin, hash, &url),
        (Method::Get, ["", "paper", name]) => paper(twin, name),
        (Method::Get, _) if is_page => pages::page(twin.ui_dir.as_deref(), &path),
        _ => refusal(404, ErrorCode::NotFound, "the twin has no such path"),
    };
    send(twin, request, answer);
}

/// The parts of a request's address. The host is checked apart.
struct Address {
    path: String,
    query: Vec<(String, String)>,
}

impl Address {
    fn path(&self) -> &str {
        &self.path
    }

    fn value(&self, name: &str) -> Option<&str> {
        self.query
            .iter()
            .find(|(key, _)| key == name)
            .map(|(_, value)| value.as_str())
    }
}

fn parse(url: &str) -> Option<Address> {
    let (path, query) = url.split_once('?').unwrap_or((url, ""));
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

fn header<'a>(request: &'a Request, name: &'static str) -> Option<&'a str> {
    request
        .headers()
        .iter()
        .find(|header| header.field.equiv(name))
        .map(|header| header.value.as_str())
}

fn has_loopback_name(request: &Request) -> bool {
    let host = header(request, "host").unwrap_or_default();
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    matches!(name, "127.0.0.1" | "localhost" | "[::1]")
}

fn has_token(twin: &Twin, request: &Request, address: &Address) -> bool {
    let given = header(request, "x-waybench-token")
        .or_else(|| address.value("token"))
        .unwrap_or_default();
    // Both are hashed first, so that the time a comparison takes tells nothing of the token.
    attachments::hash_of(given.as_bytes()) == attachments::hash_of(twin.token.as_bytes())
}

fn call(twin: &Twin, request: &mut Request, name: &str) -> Answer {
    let body = match read_body(request, CALL_BYTES_MAX) {
        Ok(body) => body,
        Err(refused) => return refused,
    };
    let value = match serde_json::from_slice(&body) {
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

fn take_photo(twin: &Twin, request: &mut Request, address: &Address) -> Answer {
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
    match read_body(request, PHOTO_BYTES_MAX) {
        Ok(bytes) => json_or_error(twin.desk.take_photo(&bytes, &target)),
        Err(refused) => refused,
    }
}

fn check_report(twin: &Twin, request: &mut Request) -> Answer {
    let bytes_max = u64::try_from(REPORT_BYTES_MAX).unwrap_or(u64::MAX);
    match read_body(request, bytes_max) {
        Ok(bytes) => json_or_error(twin.desk.check_report(&bytes)),
        Err(refused) => refused,
    }
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
            typed(bytes, kind).with_header(head(
                "cache-control",
                "private, max-age=31536000, immutable",
            ))
        }
        Err(error) => error_answer(error),
    }
}

fn paper(twin: &Twin, name: &str) -> Answer {
    match twin.desk.paper_bytes(name) {
        Ok(bytes) => {
            typed(bytes, "application/pdf").with_header(head("content-disposition", "inline"))
        }
        Err(error) => error_answer(error),
    }
}

/// Keeps a stream of events open on a thread of its own, until the browser closes it.
fn follow(twin: &Arc<Twin>, request: Request) {
    let origin = allowed_origin(twin, &request);
    let (sender, receiver) = mpsc::channel::<String>();
    twin.desk.on_change(Arc::new(move |changed: &Changed| {
        let sent = serde_json::to_string(changed).is_ok_and(|json| sender.send(json).is_ok());
        // Once its browser has gone the channel is closed, and nobody listens here any more.
        if sent {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    }));
    std::thread::spawn(move || {
        let mut writer = request.into_writer();
        let cors = origin.map_or_else(String::new, |origin| {
            format!("access-control-allow-origin: {origin}\r\n")
        });
        let head = format!(
            "HTTP/1.1 200 OK\r\ncontent-type: text/event-stream\r\ncache-control: no-store\r\n{cors}connection: close\r\n\r\n: open\n\n"
        );
        let mut is_open = write(&mut *writer, &head);
        while is_open {
            is_open = match receiver.recv_timeout(HEARTBEAT) {
                Ok(json) => write(&mut *writer, &format!("event: changed\ndata: {json}\n\n")),
                Err(mpsc::RecvTimeoutError::Timeout) => write(&mut *writer, ": still here\n\n"),
                Err(mpsc::RecvTimeoutError::Disconnected) => false,
            };
        }
    });
}

fn write(writer: &mut dyn Write, text: &str) -> bool {
    writer
        .write_all(text.as_bytes())
        .and_then(|()| writer.flush())
        .is_ok()
}

fn read_body(request: &mut Request, bytes_max: u64) -> Result<Vec<u8>, Answer> {
    let mut body = Vec::new();
    if request
        .as_reader()
        .take(bytes_max + 1)
        .read_to_end(&mut body)
        .is_err()
    {
        return Err(refusal(
            400,
            ErrorCode::Failed,
            "the request broke off; send it again",
        ));
    }
    if body.len() as u64 > bytes_max {
        return Err(refusal(
            413,
            ErrorCode::Failed,
            &format!("the request is larger than {bytes_max} bytes"),
        ));
    }
    Ok(body)
}

fn json_or_error<T: Serialize>(result: Result<T, DeskError>) -> Answer {
    match result {
        Ok(value) => json(&value).with_status_code(200),
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
    json(&EdgeError::from(error)).with_status_code(status)
}

pub(super) fn refusal(status: u16, code: ErrorCode, sentence: &str) -> Answer {
    let error = EdgeError {
        code,
        message: crate::error::sentence(sentence),
        field: None,
        missing: Vec::new(),
    };
    json(&error).with_status_code(status)
}

fn json<T: Serialize>(value: &T) -> Answer {
    let bytes = serde_json::to_vec(value).unwrap_or_else(|_| b"null".to_vec());
    typed(bytes, "application/json").with_header(head("cache-control", "no-store"))
}

pub(super) fn typed(bytes: Vec<u8>, content_type: &str) -> Answer {
    Response::from_data(bytes).with_header(head("content-type", content_type))
}

pub(super) fn head(name: &str, value: &str) -> Header {
    Header::from_bytes(name, value).expect("header names and values here are fixed ASCII texts")
}

fn allowed_origin(twin: &Twin, request: &Request) -> Option<String> {
    let origin = header(request, "origin")?;
    (twin.dev_origin.as_deref() == Some(origin)).then(|| origin.to_owned())
}

fn send(twin: &Twin, request: Request, answer: Answer) {
    let mut answer = answer.with_header(head("x-content-type-options", "nosniff"));
    if let Some(origin) = allowed_origin(twin, &request)
        && let Ok(allow) = Header::from_bytes("access-control-allow-origin", origin)
    {
        answer.add_header(allow);
        answer.add_header(head(
            "access-control-allow-headers",
            "content-type, x-waybench-token",
        ));
        answer.add_header(head("vary", "origin"));
    }
    let status = answer.status_code();
    let mut lines = String::new();
    for header in answer.headers() {
        lines.extend([
            header.field.as_str().as_str(),
            ": ",
            header.value.as_str(),
            "\r\n",
        ]);
    }
    let body = answer.into_reader().into_inner();
    // Every connection is closed after its answer: the library can leave a new one waiting as long as older ones are kept open.
    let head = format!(
        "HTTP/1.1 {} {}\r\nconnection: close\r\ncontent-length: {}\r\n{lines}\r\n",
        status.0,
        status.default_reason_phrase(),
        body.len()
    );
    let mut writer = request.into_writer();
    drop(
        writer
            .write_all(head.as_bytes())
            .and_then(|()| writer.write_all(&body))
            .and_then(|()| writer.flush()),
    );
}
