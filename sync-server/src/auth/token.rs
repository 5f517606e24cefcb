//! Secrets that are shown once and stored only as their SHA-256.
//!
//! 256 random bits can't be guessed, so an unsalted fast hash is enough: there is no dictionary to try. Whoever reads the
//! database can't sign in with what is there.

use std::fmt;

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use sha2::{Digest, Sha256};

/// A secret of 256 random bits, written as 43 characters of base64url.
#[derive(Clone, PartialEq, Eq)]
pub struct Token(String);

/// SHA-256 of a token's text: what the store keeps and looks up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TokenHash([u8; 32]);

/// The system's random source failed; nothing secret can be made.
#[derive(Debug, thiserror::Error)]
#[error(
    "the system gives no random bytes, so no secret can be made; try again, and restart the server if it stays so"
)]
pub struct RandomError;

/// Fills an array from the system's random source.
pub fn random<const N: usize>() -> Result<[u8; N], RandomError> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|_| RandomError)?;
    Ok(bytes)
}

impl Token {
    /// Makes a new secret.
    pub fn random() -> Result<Self, RandomError> {
        Ok(Self(URL_SAFE_NO_PAD.encode(random::<32>()?)))
    }

    /// Takes a secret that somebody presented. `None` if it can't be one of ours, whatever the store holds.
    pub fn presented(text: &str) -> Option<Self> {
        let is_ours = text.len() == 43
            && text
                .bytes()
                .all(|b| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_'));
        is_ours.then(|| Self(text.to_owned()))
    }

    /// The text to hand out, once.
    pub fn reveal(&self) -> &str {
        &self.0
    }

    /// What is stored of it.
    pub fn hash(&self) -> TokenHash {
        TokenHash(Sha256::digest(self.0.as_bytes()).into())
    }
}

impl fmt::Debug for Token {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Token(secret)")
    }
}

impl TokenHash {
    /// Hashes any secret text, such as a join code that people type.
    pub fn of(secret: &str) -> Self {
        Self(Sha256::digest(secret.as_bytes()).into())
    }

    /// The bytes for the store.
    pub fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

#[cfg(test)]
mod tests;
