//! What is read and seen on a device before any test, and its passcode.
//!
//! A passcode is only ever carried sealed.

use serde::{Deserialize, Serialize};

use crate::identifiers::IdentifierKind;
use crate::ids::{ContentHash, EntryId};

/// One identifier as read from the device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Identifier {
    /// What kind it is.
    pub kind: IdentifierKind,
    /// Its canonical text.
    pub text: String,
    /// A warning about its check digit with the likely right reading; empty when right or without one.
    pub warning: String,
}

/// The identifiers read from the device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Identity {
    /// In the order read.
    pub identifiers: Vec<Identifier>,
}

/// A face of the device on which a mark lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Face {
    /// The screen side.
    Front,
    /// The back.
    Back,
    /// The upper edge.
    TopEdge,
    /// The lower edge.
    BottomEdge,
    /// The left edge, seen from the front.
    LeftEdge,
    /// The right edge, seen from the front.
    RightEdge,
}

/// What a mark is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Blemish {
    /// A scratch.
    Scratch,
    /// A crack.
    Crack,
    /// A dent.
    Dent,
    /// A chip.
    Chip,
    /// A bend.
    Bend,
    /// A missing piece.
    MissingPart,
    /// A stain or corrosion.
    Stain,
    /// Loose or lifted.
    Lifted,
    /// Something else, in the note.
    Other,
}

/// One mark on the case, placed on the device's outline.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Condition {
    /// The face.
    pub face: Face,
    /// Thousandths of the face's width from its left.
    pub x_permille: u16,
    /// Thousandths of the face's height from its top.
    pub y_permille: u16,
    /// What it is.
    pub blemish: Blemish,
    /// More words; may be empty.
    pub note: String,
    /// Photos of it.
    pub photos: Vec<ContentHash>,
}

/// Whether a device answers to somebody else's account.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum AccountLock {
    /// Not locked.
    Off,
    /// Locked.
    On,
    /// It could not be told.
    NotKnown,
}

/// What the look-over found besides marks on the case.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Signs {
    /// Account lock.
    pub account_lock: AccountLock,
    /// True when a liquid indicator has turned.
    pub liquid_indicator_turned: bool,
    /// Screws that are missing.
    pub screws_missing: u8,
    /// True when a seal is missing or broken.
    pub seal_broken: bool,
    /// True when someone worked on it before.
    pub earlier_work: bool,
    /// More words; may be empty.
    pub note: String,
}

/// What came with the device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Accessories {
    /// Each in words.
    pub items: Vec<String>,
}

/// A passcode under the lab's key (XChaCha20-Poly1305), which the server never has.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct SealedPasscode {
    /// Base64 of the 24-byte nonce and the ciphertext with its tag. The job's id is the associated data.
    pub sealed: String,
}

/// Somebody read a passcode.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PasscodeOpening {
    /// The sealed entry.
    pub sealed_entry_id: EntryId,
    /// Why.
    pub reason: String,
}

/// A passcode is to be erased.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PasscodeDestruction {
    /// The sealed entry.
    pub sealed_entry_id: EntryId,
}
