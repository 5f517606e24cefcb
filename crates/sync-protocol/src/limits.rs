//! Limits both sides keep, each with its arithmetic. A desktop enforces them when an entry is written, so that the server can
//! never refuse for good what a person was told is saved.

/// Protocol generation, in every URL. The server answers the current and the two before.
pub const PROTOCOL_VERSION: u16 = 1;

/// Entries in one page, up or down. At about 0.9 KB of JSON an entry, 1,000 make 0.9 MB: 0.07 s on a 100 Mbit/s line, and one
/// transaction of about 10 ms at the 103,000 rows a second measured for batches.
pub const PAGE_ENTRIES_MAX: usize = 1_000;

/// Bytes of entries in one page, by [`logbook::Entry::wire_bytes_max`]. 1 MiB takes 0.08 s on a 100 Mbit/s line, and 8 s on a
/// weak 1 Mbit/s one, well inside the request timeout. One entry larger than this travels alone.
pub const PAGE_BYTES_MAX: usize = 1024 * 1024;

/// Payload of one entry, before base64. The longest text a bench writes is a few KB; files and traces are attachments, not
/// payloads. 256 KiB leaves room for a catalogue of some hundred tests and makes at most 350 KB on the wire.
pub const PAYLOAD_BYTES_MAX: usize = 256 * 1024;

/// Body of a request with entries: one page of 1 MiB, or one largest entry of 0.35 MB, and its frame; doubled for safety.
pub const ENTRIES_BODY_BYTES_MAX: usize = 2 * 1024 * 1024;

/// One part of a photo upload. 4 MiB is one part for nearly every photo (0.5 to 1 MB after intake) and loses at most 34 s of a
/// 1 Mbit/s line when it breaks off.
pub const PHOTO_PART_BYTES_MAX: usize = 4 * 1024 * 1024;

/// A whole photo or file. Intake makes pictures of about 1 MB; a bench trace as CSV has reached 20 MB.
pub const PHOTO_BYTES_MAX: u64 = 32 * 1024 * 1024;

/// A thumbnail: 320 px long side is 15 to 40 KB. At most 64 KiB, so that ten show a job's condition over any line.
pub const THUMB_BYTES_MAX: u64 = 64 * 1024;

/// Longest wait for a hint: below the 30 s after which many proxies close a silent connection.
pub const HINT_WAIT_MS_MAX: u64 = 25_000;

/// Longest desktop or lab name, in characters.
pub const NAME_CHARS_MAX: usize = 80;

/// Bounds of one page. The planner and the server take it as a value, so that tests can make pages of three.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PageLimits {
    /// Most entries.
    pub entries_max: usize,
    /// Most bytes, by [`logbook::Entry::wire_bytes_max`]; the first entry always fits.
    pub bytes_max: usize,
}

impl PageLimits {
    /// The limits of this protocol version.
    pub const STANDARD: Self = Self {
        entries_max: PAGE_ENTRIES_MAX,
        bytes_max: PAGE_BYTES_MAX,
    };
}
