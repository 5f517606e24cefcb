//! How the protocol stands on HTTP: paths, methods, headers, bodies. Server and client both build from these constants.
//!
//! Bodies are JSON, `content-type: application/json`, of the types in this crate; bytes inside JSON are standard base64 with padding.
//! Photo parts and downloads are raw `application/octet-stream`. Every request but `enrol` carries
//! `authorization: Bearer <credential>`, and the credential alone decides the lab. Errors are RFC 9457
//! `application/problem+json` bodies of type [`crate::Problem`], whose `code` is an [`crate::ErrorCode`].
//! The server never redirects a protocol path; the client refuses to follow one.
//!
//! | method and path | request | answer (200 unless said) |
//! | --- | --- | --- |
//! | `POST /sync/v1/enrol` | [`crate::Enrol`] | [`crate::Enrolled`]; 403 `code_refused`, 409 `other_lab` |
//! | `GET /sync/v1/clock` | | [`crate::ServerClock`] |
//! | `GET /sync/v1/heads` | | [`crate::Heads`]: log position and digest, witness, head and key of every stream |
//! | `POST /sync/v1/entries` | [`crate::PushEntries`] | [`crate::PushAnswer`]; forks and refusals are answers, not errors |
//! | `GET /sync/v1/entries?log_epoch=..&log_position=..&digest=..` | [`crate::Cursor`] as query, `digest` in lower-case hex | [`crate::Pull`] |
//! | `GET /sync/v1/hints?log_position=N` | `accept: text/event-stream` | SSE: `event: position`, `data: {"log_position":M}` ([`crate::PositionHint`]), once at the start and whenever it moves; a comment line every 10 s; may end at any time |
//! | `POST /sync/v1/join-codes` | | [`crate::JoinCode`] |
//! | `POST /sync/v1/shop-links` | [`crate::NewShopLink`] | [`crate::ShopLink`]; 404 `shop_unknown` |
//! | `GET /sync/v1/photos/{hash}/{variant}/upload` | | [`crate::PhotoProgress`] |
//! | `PUT /sync/v1/photos/{hash}/{variant}/upload?offset=N` | raw bytes, at most [`crate::limits::PHOTO_PART_BYTES_MAX`] | [`crate::PhotoProgress`]. When `N` isn't `received_bytes` nothing is stored, and the answer says where to go on |
//! | `POST /sync/v1/photos/{hash}/{variant}/finish` | [`crate::FinishPhoto`] | [`crate::PhotoProgress`] with `stored`; 422 `photo_hash_mismatch` drops the parts |
//! | `GET /sync/v1/photos/{hash}/{variant}?offset=N&length=M` | | raw bytes from `N`, at most `M` and at most [`crate::limits::PHOTO_PART_BYTES_MAX`]; header [`TOTAL_BYTES_HEADER`]; 404 `photo_absent` |
//!
//! `{hash}` is the full picture's SHA-256 in 64 lower-case hex digits, for both variants; `{variant}` is `full` or `thumb`.

/// Join with a one-time code.
pub const ENROL: &str = "/sync/v1/enrol";
/// Server time.
pub const CLOCK: &str = "/sync/v1/clock";
/// Heads of all streams.
pub const HEADS: &str = "/sync/v1/heads";
/// Entries, up by POST and down by GET.
pub const ENTRIES: &str = "/sync/v1/entries";
/// Server-sent events.
pub const HINTS: &str = "/sync/v1/hints";
/// One-time codes for further desktops.
pub const JOIN_CODES: &str = "/sync/v1/join-codes";
/// One-time links for shops' users.
pub const SHOP_LINKS: &str = "/sync/v1/shop-links";
/// Photo download. Pattern for routers.
pub const PHOTO: &str = "/sync/v1/photos/{hash}/{variant}";
/// Photo upload. Pattern for routers.
pub const PHOTO_UPLOAD: &str = "/sync/v1/photos/{hash}/{variant}/upload";
/// End of a photo upload. Pattern for routers.
pub const PHOTO_FINISH: &str = "/sync/v1/photos/{hash}/{variant}/finish";

/// The `event:` name in [`HINTS`].
pub const POSITION_EVENT: &str = "position";
/// Answer header of a download: the whole size in bytes, decimal.
pub const TOTAL_BYTES_HEADER: &str = "x-total-bytes";
/// Content type of errors.
pub const PROBLEM_JSON: &str = "application/problem+json";

/// Fills `{hash}` and `{variant}` into one of the photo patterns.
pub fn photo_path(
    pattern: &str,
    hash: &domain::ContentHash,
    variant: crate::PhotoVariant,
) -> String {
    pattern
        .replace("{hash}", &hash.to_string())
        .replace("{variant}", variant.as_str())
}
