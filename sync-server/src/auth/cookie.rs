//! The two cookies: a visitor's, which only protects forms, and a session's.
//!
//! Both are HttpOnly and SameSite=Lax. Over HTTPS they are also `Secure` and carry the `__Host-` prefix (RFC 6265bis), so that
//! no neighbouring host can plant one.

use axum::http::HeaderMap;
use axum::http::header::COOKIE;

use crate::auth::token::Token;

/// Which of the two cookies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CookieKind {
    /// Of a signed-in user.
    Session,
    /// Of anyone who opened a form without being signed in.
    Visitor,
}

impl CookieKind {
    fn name(self, is_https: bool) -> &'static str {
        match (self, is_https) {
            (Self::Session, true) => "__Host-session",
            (Self::Session, false) => "session",
            (Self::Visitor, true) => "__Host-visitor",
            (Self::Visitor, false) => "visitor",
        }
    }

    /// The `Set-Cookie` value that stores `token` until the browser closes or the server ends the session.
    pub fn set(self, token: &Token, is_https: bool) -> String {
        self.header(token.reveal(), "", is_https)
    }

    /// The `Set-Cookie` value that removes the cookie.
    pub fn clear(self, is_https: bool) -> String {
        self.header("", "; Max-Age=0", is_https)
    }

    fn header(self, value: &str, extra: &str, is_https: bool) -> String {
        let secure = if is_https { "; Secure" } else { "" };
        format!(
            "{}={value}; Path=/; HttpOnly; SameSite=Lax{secure}{extra}",
            self.name(is_https)
        )
    }

    /// The cookie's secret, if the request carries one of our form.
    pub fn read(self, headers: &HeaderMap, is_https: bool) -> Option<Token> {
        let name = self.name(is_https);
        headers
            .get_all(COOKIE)
            .iter()
            .filter_map(|value| value.to_str().ok())
            .flat_map(|line| line.split(';'))
            .filter_map(|pair| pair.trim().split_once('='))
            .find(|(key, _)| *key == name)
            .and_then(|(_, value)| Token::presented(value))
    }
}

#[cfg(test)]
mod tests;
