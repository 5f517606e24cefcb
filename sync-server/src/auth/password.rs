//! Passwords: Argon2id, stored as PHC strings.
//!
//! Hashing takes tens of milliseconds and 19 MiB on purpose, so it never runs on a thread that answers other requests, and
//! only a few run at once. A sign-in for an account that doesn't exist costs the same time as one with a wrong password.

use argon2::password_hash::phc::PasswordHash;
use argon2::{Argon2, PasswordHasher as _, PasswordVerifier as _};
use tokio::sync::Semaphore;

/// Shortest password taken, in characters (ASVS 5.0.0, 6.2.1).
pub const LENGTH_MIN: usize = 8;

/// Longest password taken. Above the 64 that ASVS 5.0.0 6.2.9 asks for; a bound keeps a form from being a way to burn time.
pub const LENGTH_MAX: usize = 256;

/// Hashes at once. Each takes 19 MiB: four are 76 MiB, which the smallest hosts can spare.
const AT_ONCE: usize = 4;

static RUNNING: Semaphore = Semaphore::const_new(AT_ONCE);

/// Passwords that are tried first by anyone who guesses. From memory; lower case.
const COMMON: [&str; 40] = [
    "password",
    "password1",
    "password12",
    "password123",
    "passw0rd",
    "12345678",
    "123456789",
    "1234567890",
    "qwertyui",
    "qwerty123",
    "qwertyuiop",
    "11111111",
    "00000000",
    "88888888",
    "12341234",
    "abcd1234",
    "1q2w3e4r",
    "1qaz2wsx",
    "iloveyou",
    "sunshine",
    "princess",
    "football",
    "baseball",
    "welcome1",
    "welcome123",
    "letmein1",
    "trustno1",
    "superman",
    "dragon123",
    "monkey123",
    "computer",
    "internet",
    "admin123",
    "administrator",
    "changeme",
    "changeme123",
    "whatever",
    "starwars",
    "secret123",
    "repairshop",
];

/// Why a password can't be used, or couldn't be hashed.
#[derive(Debug, thiserror::Error)]
pub enum PasswordError {
    /// Under eight characters.
    #[error(
        "The password is too short: use at least {LENGTH_MIN} characters. Several words in a row are easy to remember."
    )]
    TooShort,
    /// Over the bound.
    #[error("The password is too long: use at most {LENGTH_MAX} characters.")]
    TooLong,
    /// On the list of those that are tried first.
    #[error("This password is one of those that are guessed first: choose another one.")]
    Common,
    /// Equal to something anybody could know of the user.
    #[error(
        "The password repeats the e-mail address or the name: choose one that nobody could work out."
    )]
    Obvious,
    /// The hash could not be made.
    #[error("the password could not be hashed")]
    Hash,
}

/// Says whether people may use `password`; `known` are things anybody could know, such as the e-mail address.
pub fn check(password: &str, known: &[&str]) -> Result<(), PasswordError> {
    let length = password.chars().count();
    if length < LENGTH_MIN {
        return Err(PasswordError::TooShort);
    }
    if length > LENGTH_MAX {
        return Err(PasswordError::TooLong);
    }
    let lower = password.to_lowercase();
    if COMMON.contains(&lower.as_str()) {
        return Err(PasswordError::Common);
    }
    if known.iter().any(|known| known.to_lowercase() == lower) {
        return Err(PasswordError::Obvious);
    }
    Ok(())
}

/// Hashes with Argon2id, 19 MiB, 2 passes, 1 lane: the parameters for a small server (references: RFC 9106 and OWASP's sheet).
pub async fn hash(password: String) -> Result<String, PasswordError> {
    let _permit = RUNNING.acquire().await.map_err(|_| PasswordError::Hash)?;
    let hashed = tokio::task::spawn_blocking(move || {
        Argon2::default()
            .hash_password(password.as_bytes())
            .map(|hash| hash.to_string())
    });
    hashed
        .await
        .map_err(|_| PasswordError::Hash)?
        .map_err(|_| PasswordError::Hash)
}

/// Whether `password` is the one behind `stored`. Without a stored hash it does the same work and says no.
pub async fn is_right(password: String, stored: Option<String>) -> Result<bool, PasswordError> {
    let _permit = RUNNING.acquire().await.map_err(|_| PasswordError::Hash)?;
    let verified = tokio::task::spawn_blocking(move || match stored {
        Some(phc) => verify(&password, &phc),
        None => {
            // The hash is thrown away; it is made so that the answer takes as long as for an account that exists.
            Argon2::default()
                .hash_password(password.as_bytes())
                .map(|_| false)
                .map_err(|_| PasswordError::Hash)
        }
    });
    verified.await.map_err(|_| PasswordError::Hash)?
}

fn verify(password: &str, phc: &str) -> Result<bool, PasswordError> {
    let parsed = PasswordHash::new(phc).map_err(|_| PasswordError::Hash)?;
    Ok(Argon2::default()
        .verify_password(password.as_bytes(), &parsed)
        .is_ok())
}

#[cfg(test)]
mod tests;
