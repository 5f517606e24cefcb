//! Identities of the things an entry can speak about.
//!
//! Every id is a newtype over a UUID that the caller made (UUIDv7, RFC 9562). This module never makes one: `domain` has
//! no clock and no random source.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use uuid::Uuid;

/// A text that was to be an id and is not one.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "“{text}” is not an id; an id is 32 hexadecimal digits in five groups, as in 017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
)]
pub struct IdError {
    /// What was given.
    pub text: String,
}

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        #[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(type = "string"))]
        pub struct $name(Uuid);

        impl $name {
            /// Wraps a UUID that the caller made or read.
            pub const fn new(uuid: Uuid) -> Self {
                Self(uuid)
            }

            /// Wraps 16 bytes as they stand in storage.
            pub const fn from_bytes(bytes: [u8; 16]) -> Self {
                Self(Uuid::from_bytes(bytes))
            }

            /// The 16 bytes for storage and hashing, most significant first.
            pub const fn as_bytes(&self) -> &[u8; 16] {
                self.0.as_bytes()
            }

            /// The UUID itself.
            pub const fn uuid(self) -> Uuid {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.hyphenated().fmt(f)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!(stringify!($name), "({})"), self.0.hyphenated())
            }
        }

        impl FromStr for $name {
            type Err = IdError;

            fn from_str(text: &str) -> Result<Self, IdError> {
                Uuid::try_parse(text).map(Self).map_err(|_| IdError { text: text.to_owned() })
            }
        }
    };
}

id!(
    /// One entry of the logbook.
    EntryId
);
id!(
    /// One lab: the partition that nothing crosses.
    LabId
);
id!(
    /// One unbroken sequence of entries, written by one installation of the program (or by the server for its portal).
    StreamId
);
id!(
    /// One device's stay, from advice to return.
    JobId
);
id!(
    /// One box, inward or outward.
    ParcelId
);
id!(
    /// One cell or battery that was taken out of its device: a thing of its own from then on.
    CellId
);
id!(
    /// One partner business that sends devices.
    ShopId
);
id!(
    /// One person: of the lab, or a user of a shop.
    PersonId
);

/// SHA-256 of a photo's or file's bytes: its name everywhere.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(type = "string"))]
pub struct ContentHash([u8; 32]);

/// A text that was to be a content hash and is not one.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{text}” is not a content hash; it is written as 64 hexadecimal digits")]
pub struct ContentHashError {
    /// What was given.
    pub text: String,
}

impl ContentHash {
    /// Wraps a SHA-256 digest.
    pub const fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// The digest's bytes.
    pub const fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for ContentHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for ContentHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "ContentHash({self})")
    }
}

impl FromStr for ContentHash {
    type Err = ContentHashError;

    fn from_str(text: &str) -> Result<Self, ContentHashError> {
        let error = || ContentHashError {
            text: text.to_owned(),
        };
        if text.len() != 64 || !text.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Err(error());
        }
        let mut bytes = [0; 32];
        for (index, byte) in bytes.iter_mut().enumerate() {
            *byte = u8::from_str_radix(&text[index * 2..index * 2 + 2], 16).map_err(|_| error())?;
        }
        Ok(Self(bytes))
    }
}

impl Serialize for ContentHash {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for ContentHash {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(de::Error::custom)
    }
}

/// What an entry is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(tag = "kind", content = "id", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Subject {
    /// The lab itself: its name, its catalogue of tests.
    Lab(LabId),
    /// A person of the lab, or a shop's user.
    Person(PersonId),
    /// A partner shop.
    Shop(ShopId),
    /// A parcel, inward or outward.
    Parcel(ParcelId),
    /// A job.
    Job(JobId),
    /// A cell that was taken out of its device.
    Cell(CellId),
}

impl Subject {
    /// The tags of every kind this version knows.
    pub const TAGS: [&'static str; 6] = ["lab", "person", "shop", "parcel", "job", "cell"];

    /// The tag under which the subject is stored and hashed. These words never change.
    pub const fn tag(&self) -> &'static str {
        match self {
            Self::Lab(_) => "lab",
            Self::Person(_) => "person",
            Self::Shop(_) => "shop",
            Self::Parcel(_) => "parcel",
            Self::Job(_) => "job",
            Self::Cell(_) => "cell",
        }
    }

    /// The subject's 16 id bytes.
    pub const fn id_bytes(&self) -> &[u8; 16] {
        match self {
            Self::Lab(id) => id.as_bytes(),
            Self::Person(id) => id.as_bytes(),
            Self::Shop(id) => id.as_bytes(),
            Self::Parcel(id) => id.as_bytes(),
            Self::Job(id) => id.as_bytes(),
            Self::Cell(id) => id.as_bytes(),
        }
    }

    /// Reads back what `tag` and `id_bytes` gave. `None` for a tag this version doesn't know.
    pub fn from_parts(tag: &str, id: [u8; 16]) -> Option<Self> {
        Some(match tag {
            "lab" => Self::Lab(LabId::from_bytes(id)),
            "person" => Self::Person(PersonId::from_bytes(id)),
            "shop" => Self::Shop(ShopId::from_bytes(id)),
            "parcel" => Self::Parcel(ParcelId::from_bytes(id)),
            "job" => Self::Job(JobId::from_bytes(id)),
            "cell" => Self::Cell(CellId::from_bytes(id)),
            _ => return None,
        })
    }
}
