//! A browser without script, for the portal on this computer: plain HTTP/1.1, cookies, forms.
//!
//! Only for a server on the loopback address: it speaks no TLS and follows nothing by itself.

use std::collections::BTreeMap;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::time::Duration;

use anyhow::{Context as _, Result, bail, ensure};

/// A page takes milliseconds here; a hanging server must not hang the demonstration.
const PATIENCE: Duration = Duration::from_secs(30);

/// What the server answered.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The HTTP status.
    pub status: u16,
    /// Headers by lower-case name; of several with one name, the last.
    pub headers: BTreeMap<String, String>,
    /// The bytes.
    pub body: Vec<u8>,
}

impl Answer {
    /// The page as text.
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// Where a redirect leads, without what comes after a question mark; empty when it is none.
    pub fn leads_to(&self) -> &str {
        let location = self.headers.get("location").map_or("", String::as_str);
        location.split(['?', '#']).next().unwrap_or("")
    }

    /// The value of the first hidden field of this name on the page.
    pub fn hidden(&self, name: &str) -> Option<String> {
        let text = self.text();
        let (_, rest) = text.split_once(&format!("name=\"{name}\" value=\""))?;
        rest.split('"').next().map(str::to_owned)
    }
}

/// One visitor.
#[derive(Debug)]
pub struct Browser {
    host: String,
    cookies: BTreeMap<String, String>,
    form_token: String,
}

impl Browser {
    /// Somebody who was never there. `url` is the server's address, such as `http://127.0.0.1:8460`.
    pub fn new(url: &str) -> Result<Self> {
        let host = url.strip_prefix("http://").context(
            "this browser speaks plain HTTP only; give an address that begins with http://",
        )?;
        Ok(Self {
            host: host.trim_end_matches('/').to_owned(),
            cookies: BTreeMap::new(),
            form_token: String::new(),
        })
    }

    /// Opens a page.
    pub fn get(&mut self, path: &str) -> Result<Answer> {
        self.send("GET", path, "")
    }

    /// Opens a page that must be there.
    pub fn page(&mut self, path: &str) -> Result<Answer> {
        let answer = self.get(path)?;
        ensure!(
            answer.status == 200,
            "the page {path} answered {} instead of 200",
            answer.status
        );
        Ok(answer)
    }

    /// Sends a form with the token of the last page; the server must take it and lead on.
    pub fn submit(&mut self, path: &str, fields: &[(&str, &str)]) -> Result<Answer> {
        let token = [("form_token", self.form_token.clone())];
        let fields = fields
            .iter()
            .map(|(name, value)| (*name, (*value).to_owned()))
            .chain(token);
        let body: Vec<String> = fields
            .map(|(name, value)| format!("{name}={}", percent_encoded(&value)))
            .collect();
        let answer = self.send("POST", path, &body.join("&"))?;
        if answer.status != 303 {
            bail!(
                "the form {path} answered {} instead of leading on: {}",
                answer.status,
                complaint(&answer.text())
            );
        }
        Ok(answer)
    }

    fn send(&mut self, method: &str, path: &str, body: &str) -> Result<Answer> {
        let mut lines = vec![
            format!("{method} {path} HTTP/1.1"),
            format!("host: {}", self.host),
            "connection: close".to_owned(),
        ];
        if !self.cookies.is_empty() {
            let cookies: Vec<String> = self
                .cookies
                .iter()
                .map(|(name, value)| format!("{name}={value}"))
                .collect();
            lines.push(format!("cookie: {}", cookies.join("; ")));
        }
        if method == "POST" {
            lines.push("content-type: application/x-www-form-urlencoded".to_owned());
            lines.push(format!("content-length: {}", body.len()));
        }
        let request = format!("{}\r\n\r\n{body}", lines.join("\r\n"));
        let raw = exchange(&self.host, request.as_bytes())
            .with_context(|| format!("asking the server for {path}"))?;
        let (answer, cookies) =
            parse(&raw).with_context(|| format!("reading the server's answer to {path}"))?;
        for line in cookies {
            let (pair, flags) = line.split_once(';').unwrap_or((&line, ""));
            let (name, value) = pair.split_once('=').context("a cookie without a name")?;
            if flags.contains("Max-Age=0") {
                self.cookies.remove(name);
            } else {
                self.cookies.insert(name.to_owned(), value.to_owned());
            }
        }
        if let Some(token) = answer.hidden("form_token") {
            self.form_token = token;
        }
        Ok(answer)
    }

    /// Uses a one-time link: gives name and password, and is signed in.
    pub fn use_invite(&mut self, link: &str, name: &str, password: &str) -> Result<()> {
        let (_, path) = link
            .split_once(&self.host)
            .context("the link leads to another server")?;
        self.page(path)?;
        self.submit(path, &[("name", name), ("password", password)])?;
        self.page("/devices")?;
        Ok(())
    }
}

fn exchange(host: &str, request: &[u8]) -> Result<Vec<u8>> {
    let mut stream = TcpStream::connect(host)?;
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    stream.write_all(request)?;
    let mut raw = Vec::new();
    stream.read_to_end(&mut raw)?;
    Ok(raw)
}

/// Reads an answer (RFC 9112) and its `Set-Cookie` lines.
fn parse(raw: &[u8]) -> Result<(Answer, Vec<String>)> {
    let end = raw
        .windows(4)
        .position(|four| four == b"\r\n\r\n")
        .context("the answer breaks off in its head")?;
    let head = std::str::from_utf8(&raw[..end]).context("the head of the answer is no text")?;
    let mut lines = head.split("\r\n");
    let status = lines
        .next()
        .and_then(|line| line.split(' ').nth(1))
        .and_then(|code| code.parse().ok())
        .context("the answer has no status")?;
    let mut headers = BTreeMap::new();
    let mut cookies = Vec::new();
    for (name, value) in lines.filter_map(|line| line.split_once(':')) {
        let (name, value) = (name.to_ascii_lowercase(), value.trim().to_owned());
        if name == "set-cookie" {
            cookies.push(value);
        } else {
            headers.insert(name, value);
        }
    }
    let rest = &raw[end + 4..];
    let chunked = headers
        .get("transfer-encoding")
        .is_some_and(|coding| coding.eq_ignore_ascii_case("chunked"));
    let body = if chunked {
        unchunked(rest)?
    } else {
        rest.to_vec()
    };
    if let Some(length) = headers
        .get("content-length")
        .and_then(|length| length.parse::<usize>().ok())
    {
        ensure!(
            body.len() == length,
            "the answer has {} bytes where {length} were announced",
            body.len()
        );
    }
    Ok((
        Answer {
            status,
            headers,
            body,
        },
        cookies,
    ))
}

/// Joins the chunks of a body (RFC 9112, 7.1).
fn unchunked(mut rest: &[u8]) -> Result<Vec<u8>> {
    let mut body = Vec::new();
    loop {
        let end = rest
            .windows(2)
            .position(|two| two == b"\r\n")
            .context("a chunk has no size")?;
        let size = std::str::from_utf8(&rest[..end])?
            .split(';')
            .next()
            .unwrap_or("");
        let size = usize::from_str_radix(size.trim(), 16).context("a chunk's size is no number")?;
        let chunk = rest
            .get(end + 2..end + 2 + size)
            .context("a chunk breaks off")?;
        if size == 0 {
            return Ok(body);
        }
        body.extend_from_slice(chunk);
        rest = rest.get(end + 4 + size..).context("a chunk breaks off")?;
    }
}

/// Percent-encoding of everything but letters and digits (RFC 3986, 2.1).
fn percent_encoded(text: &str) -> String {
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

/// What a page says is wrong, as far as its marked part tells.
fn complaint(page: &str) -> String {
    let from = page
        .find("class=\"wrong\"")
        .or_else(|| page.find("<main"))
        .unwrap_or(0);
    let mut words = String::new();
    let mut in_tag = true;
    for sign in page[from..].chars() {
        match sign {
            '<' => in_tag = true,
            '>' => {
                in_tag = false;
                words.push(' ');
            }
            sign if !in_tag => words.push(sign),
            _ => {}
        }
    }
    words
        .split_whitespace()
        .take(60)
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests;
