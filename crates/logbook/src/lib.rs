//! The envelope around every recorded fact: what is hashed, how entries are chained, and how their clock runs.
//!
//! Payloads are bytes here. An entry of a kind that this version has never heard of passes through unharmed.
//! This crate never reads a clock, a random source, a file or the environment: callers pass the time, ids, salts and keys.

mod bytes;
mod chain;
mod entry;
mod hlc;
mod kind;
mod reading;
mod report_seal;
mod sealing;

pub use bytes::{BytesError, EntryHash, LogDigest, PayloadHash, PublicKey, Salt, SignatureBytes};
pub use chain::{Head, Placement, StreamError, place, verify_stream};
pub use entry::{
    BASED_ON_MAX, Entry, ReissuedFrom, SubjectRef, canonical_header, content_hash, payload_hash,
};
pub use hlc::{ADOPTION_MAX_MS, HLC_MS_MAX, Hlc};
pub use kind::{KIND_BYTES_MAX, Kind, KindError};
pub use reading::{NotFoldable, READER_LEVEL, recorded};
pub use report_seal::ReportSeal;
pub use sealing::{Draft, EntryError, SealError, check_signature, reissue, seal, verify_entry};

/// The key with which a desktop or server signs. Re-exported so that other crates need not name the library.
pub use ed25519_dalek::SigningKey;

/// Returns the public half of a signing key.
pub fn public_key(key: &SigningKey) -> PublicKey {
    PublicKey::from_bytes(key.verifying_key().to_bytes())
}

/// Signs a 32-byte digest that isn't an entry hash, such as a server's statement about its log.
///
/// Every digest signed with such a key comes from a hash whose input begins with its own purpose tag, so that a signature over
/// one can never be shown as a signature over another.
pub fn sign_digest(key: &SigningKey, digest: &[u8; 32]) -> SignatureBytes {
    use ed25519_dalek::Signer as _;
    SignatureBytes::from_bytes(key.sign(digest).to_bytes())
}

#[cfg(test)]
mod tests;
