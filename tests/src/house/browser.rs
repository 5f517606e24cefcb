//! A browser without script: cookies, the token of the last form, no following of redirects.

use std::collections::BTreeMap;

use desk::sync::{HttpClient, HttpOptions};
use reqwest::Method;
use reqwest::blocking::{Client, RequestBuilder, Response};
use reqwest::header::{CONTENT_TYPE, COOKIE, DATE, HeaderName, HeaderValue, LOCATION, SET_COOKIE};

/// A page or file as it came.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The HTTP status.
    pub status: u16,
    /// Every header but the date, in order of its name.
    pub headers: BTreeMap<String, String>,
    /// The bytes.
    pub body: Vec<u8>,
}

impl Answer {
    /// Sends a request and reads its answer.
    pub fn of(request: RequestBuilder) -> Self {
        Self::read(request.send().expect("the server answers"))
    }

    fn read(response: Response) -> Self {
        let words = |(name, value): (&HeaderName, &HeaderValue)| {
            (
                name.as_str().to_owned(),
                String::from_utf8_lossy(value.as_bytes()).into_owned(),
            )
        };
        Self {
            status: response.status().as_u16(),
            headers: response
                .headers()
                .iter()
                .filter(|(name, _)| *name != DATE)
                .map(words)
                .collect(),
            body: response.bytes().expect("the whole answer").to_vec(),
        }
    }

    /// The body as text.
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// Where a redirect leads; empty when it is none.
    pub fn location(&self) -> &str {
        self.headers
            .get(LOCATION.as_str())
            .map_or("", String::as_str)
    }

    /// The value of the first hidden field of this name.
    pub fn hidden(&self, name: &str) -> Option<String> {
        let text = self.text();
        let (_, rest) = text.split_once(&format!("name=\"{name}\" value=\""))?;
        rest.split('"').next().map(str::to_owned)
    }
}

/// A client that follows nothing.
pub fn client() -> Client {
    // The desk's own client installs the TLS provider without which none can be built.
    drop(HttpClient::new(&HttpOptions {
        server_url: "http://127.0.0.1:1".to_owned(),
        ..HttpOptions::default()
    }));
    let builder = Client::builder()
        .redirect(reqwest::redirect::Policy::none())
        .no_proxy();
    builder.build().expect("plain settings")
}

/// A browser.
pub struct Browser {
    client: Client,
    base: String,
    cookies: BTreeMap<String, String>,
    form_token: String,
}

impl Browser {
    /// A browser of somebody who was never there.
    pub fn new(base: &str) -> Self {
        Self {
            client: client(),
            base: base.to_owned(),
            cookies: BTreeMap::new(),
            form_token: String::new(),
        }
    }

    /// The cookies as they are sent.
    pub fn cookie_line(&self) -> String {
        self.cookies
            .iter()
            .map(|(name, value)| format!("{name}={value}"))
            .collect::<Vec<_>>()
            .join("; ")
    }

    /// Opens a page.
    pub fn get(&mut self, path: &str) -> Answer {
        self.send(Method::GET, path, None, Vec::new())
    }

    /// Sends a form with the token of the last page.
    pub fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let token = ("form_token", self.form_token.clone());
        let fields = fields
            .iter()
            .map(|(name, value)| (*name, (*value).to_owned()))
            .chain([token]);
        let body = fields
            .map(|(name, value)| format!("{name}={}", escaped(&value)))
            .collect::<Vec<_>>()
            .join("&");
        self.send(
            Method::POST,
            path,
            Some("application/x-www-form-urlencoded"),
            body.into_bytes(),
        )
    }

    /// Sends a file with the token of the last page (RFC 7578).
    pub fn upload(&mut self, path: &str, bytes: &[u8]) -> Answer {
        let part = |name: &str, more: &str| {
            format!("--line\r\ncontent-disposition: form-data; name=\"{name}\"{more}\r\n\r\n")
        };
        let mut body = format!("{}{}\r\n", part("form_token", ""), self.form_token).into_bytes();
        body.extend(part("file", "; filename=\"list.csv\"").into_bytes());
        body.extend(bytes);
        body.extend(b"\r\n--line--\r\n");
        self.send(
            Method::POST,
            path,
            Some("multipart/form-data; boundary=line"),
            body,
        )
    }

    fn send(&mut self, method: Method, path: &str, kind: Option<&str>, body: Vec<u8>) -> Answer {
        let mut request = self
            .client
            .request(method, format!("{}{path}", self.base))
            .body(body);
        if let Some(kind) = kind {
            request = request.header(CONTENT_TYPE, kind);
        }
        if !self.cookies.is_empty() {
            request = request.header(COOKIE, self.cookie_line());
        }
        let response = request.send().expect("the server answers");
        for value in response.headers().get_all(SET_COOKIE) {
            let line = value.to_str().expect("cookies are plain text");
            let (pair, flags) = line.split_once(';').unwrap_or((line, ""));
            let (name, value) = pair.split_once('=').expect("a cookie has a name");
            if flags.contains("Max-Age=0") {
                self.cookies.remove(name);
            } else {
                self.cookies.insert(name.to_owned(), value.to_owned());
            }
        }
        let answer = Answer::read(response);
        if let Some(token) = answer.hidden("form_token") {
            self.form_token = token;
        }
        answer
    }

    /// Uses an invite: sets a password and is signed in.
    pub fn follow_invite(&mut self, link: &str) {
        let path = link
            .strip_prefix(&self.base)
            .expect("the link is of this server")
            .to_owned();
        assert_eq!(self.get(&path).status, 200, "the invite is good");
        let answer = self.post(
            &path,
            &[("name", "Mira Oduya"), ("password", "copper and rosin")],
        );
        assert_eq!(answer.status, 303, "{}", answer.text());
        self.get("/devices");
    }

    /// Puts a phone on the list of the parcel that is being announced.
    pub fn add_phone(&mut self, model: &str, identifier: &str, fault: &str) {
        self.get("/send/device");
        let answer = self.post(
            "/send/device",
            &[
                ("kind", "phone"),
                ("maker", "Kestrel"),
                ("model", model),
                ("identifier", identifier),
                ("fault", fault),
                ("liquid", "no"),
                ("data_needed", "yes"),
                ("accessories", "SIM tray"),
                ("burnt", "no"),
                ("hot", "no"),
                ("swollen", "no"),
                ("leaking", "no"),
                ("pierced", "no"),
                ("recalled", "no"),
                ("dropped", "no"),
                ("cell_seen", "yes"),
            ],
        );
        assert_eq!(answer.location(), "/send?done=added", "{}", answer.text());
    }

    /// Announces the parcel; returns the path of its page.
    pub fn announce(&mut self, tracking: &str) -> String {
        self.get("/send");
        let answer = self.post(
            "/send",
            &[
                ("note", "two in one box"),
                ("carrier", ""),
                ("tracking", tracking),
            ],
        );
        assert_eq!(answer.status, 303, "{}", answer.text());
        answer
            .location()
            .split('?')
            .next()
            .unwrap_or_default()
            .to_owned()
    }

    /// Answers the quote that the device's page shows.
    pub fn decide(&mut self, device_path: &str, answer: &str, note: &str) -> Answer {
        let page = self.get(device_path);
        let quote = page
            .hidden("quote")
            .expect("the page shows a quote to answer");
        self.post(
            &format!("{device_path}/decision"),
            &[("quote", &quote), ("answer", answer), ("note", note)],
        )
    }
}

/// Percent-encoding of everything but letters and digits (RFC 3986, 2.1).
fn escaped(text: &str) -> String {
    text.bytes()
        .map(|byte| {
            if byte.is_ascii_alphanumeric() {
                char::from(byte).to_string()
            } else {
                format!("%{byte:02X}")
            }
        })
        .collect()
}
