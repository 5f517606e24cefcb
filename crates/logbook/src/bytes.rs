//! Fixed-size byte strings, one type for each meaning, so that a payload hash can't be passed where an entry hash is wanted.
//!
//! On the wire each is standard base64 with padding; for people it is lower-case hexadecimal.

use std::fmt;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Bytes that were to have a fixed length and have another, or a text that isn't base64.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BytesError {
    /// The text isn't standard base64 with padding.
    #[error("a {what} is written in base64, and “{text}” is not base64")]
    NotBase64 {
        /// What was expected.
        what: &'static str,
        /// What was given.
        text: String,
    },
    /// The number of bytes is wrong.
    #[error("a {what} has {expected} bytes, and {found} were given")]
    Length {
        /// What was expected.
        what: &'static str,
        /// The right number of bytes.
        expected: usize,
        /// The number given.
        found: usize,
    },
}

macro_rules! fixed_bytes {
    ($(#[$doc:meta])* $name:ident, $len:literal, $what:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name([u8; $len]);

        impl $name {
            /// The number of bytes.
            pub const LEN: usize = $len;

            /// Wraps the bytes.
            pub const fn from_bytes(bytes: [u8; $len]) -> Self {
                Self(bytes)
            }

            /// The bytes as they are stored and hashed.
            pub const fn as_bytes(&self) -> &[u8; $len] {
                &self.0
            }

            /// Reads bytes of unproved length, as a database gives them.
            pub fn from_slice(bytes: &[u8]) -> Result<Self, BytesError> {
                let error = BytesError::Length { what: $what, expected: $len, found: bytes.len() };
                bytes.try_into().map(Self).map_err(|_| error)
            }

            /// Reads standard base64 with padding.
            pub fn from_base64(text: &str) -> Result<Self, BytesError> {
                let bytes = STANDARD
                    .decode(text)
                    .map_err(|_| BytesError::NotBase64 { what: $what, text: text.chars().take(80).collect() })?;
                Self::from_slice(&bytes)
            }

            /// Writes standard base64 with padding.
            pub fn to_base64(&self) -> String {
                STANDARD.encode(self.0)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&hex::encode(self.0))
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!(stringify!($name), "({})"), self)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(&self.to_base64())
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = std::borrow::Cow::<'de, str>::deserialize(deserializer)?;
                Self::from_base64(&text).map_err(de::Error::custom)
            }
        }
    };
}

fixed_bytes!(
    /// SHA-256 of an entry's canonical header: the entry's place in its chain.
    EntryHash,
    32,
    "entry hash"
);
fixed_bytes!(
    /// SHA-256 of an entry's salted payload.
    PayloadHash,
    32,
    "payload hash"
);
fixed_bytes!(
    /// The running digest of a lab's whole log at one position.
    LogDigest,
    32,
    "log digest"
);
fixed_bytes!(
    /// Random bytes hashed before a payload, so that a short payload can't be guessed from its hash.
    Salt,
    16,
    "payload salt"
);
fixed_bytes!(
    /// An Ed25519 signature (RFC 8032).
    SignatureBytes,
    64,
    "signature"
);
fixed_bytes!(
    /// An Ed25519 public key (RFC 8032).
    PublicKey,
    32,
    "public key"
);

impl EntryHash {
    /// What the first entry of a stream names as its forerunner.
    pub const GENESIS: Self = Self([0; 32]);
}

impl LogDigest {
    /// The digest of an empty log.
    pub const EMPTY: Self = Self([0; 32]);
}

/// Serialises a payload as base64, for use with `#[serde(with = ...)]`.
pub(crate) mod base64_payload {
    use base64::Engine as _;

    use super::{Deserialize, Deserializer, STANDARD, Serializer, de};

    #[expect(
        clippy::ref_option,
        reason = "serde's `with` passes a reference to the field's own type"
    )]
    pub(crate) fn serialize<S: Serializer>(
        bytes: &Option<Vec<u8>>,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        match bytes {
            Some(bytes) => serializer.serialize_some(&STANDARD.encode(bytes)),
            None => serializer.serialize_none(),
        }
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Option<Vec<u8>>, D::Error> {
        let text = Option::<std::borrow::Cow<'de, str>>::deserialize(deserializer)?;
        text.map(|text| {
            STANDARD
                .decode(text.as_bytes())
                .map_err(|_| de::Error::custom("a payload is written in base64"))
        })
        .transpose()
    }
}
