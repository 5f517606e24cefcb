//! Reads the files that travel inside a paper back out of it.
//!
//! The paper may come from anyone, so it is not parsed as a whole: an attachment is a stream of its own wherever the file is
//! put together, and streams are looked at one by one, none of them longer than [`ATTACHMENT_BYTES_MAX`] and all together
//! no more than [`ALL_BYTES_MAX`]. It must never trust what it finds; who calls it checks a signature.

use std::io::Read as _;

use flate2::read::ZlibDecoder;

/// No attachment of ours comes near this.
pub const ATTACHMENT_BYTES_MAX: usize = 8 * 1024 * 1024;
/// Most bytes that are unpacked from one paper: pictures are left packed, so a report of sixty photos stays far below.
pub const ALL_BYTES_MAX: usize = 64 * 1024 * 1024;

const START: &[u8] = b"stream";
const END: &[u8] = b"endstream";

/// The first stream whose content begins with these bytes; `None` when there is none within the limits.
///
/// Streams that are not packed, or packed as zlib does (`FlateDecode`), are found; other packings are no attachments of ours.
pub fn beginning_with(pdf: &[u8], beginning: &[u8]) -> Option<Vec<u8>> {
    let mut budget = ALL_BYTES_MAX;
    streams(pdf).find_map(|raw| {
        if raw.starts_with(beginning) {
            return Some(without_line_end(raw).to_vec());
        }
        let content = unpacked(raw, beginning, &mut budget)?;
        content.starts_with(beginning).then_some(content)
    })
}

/// The bytes between `stream` and `endstream`, in the order of the file. Nothing says where a damaged file ends its streams,
/// so the next `endstream` is taken.
fn streams(pdf: &[u8]) -> impl Iterator<Item = &[u8]> {
    let mut rest = pdf;
    std::iter::from_fn(move || {
        loop {
            let at = find(rest, START)?;
            let is_end = at >= 3 && rest[..at].ends_with(b"end");
            rest = &rest[at + START.len()..];
            // ISO 32000-1, 7.3.8.1: the keyword is followed by CR LF or by LF.
            let body = rest
                .strip_prefix(b"\r\n")
                .or_else(|| rest.strip_prefix(b"\n"));
            let (false, Some(body)) = (is_end, body) else {
                continue;
            };
            let end = find(body, END).unwrap_or(body.len());
            rest = &body[end..];
            return Some(&body[..end]);
        }
    })
}

fn find(hay: &[u8], needle: &[u8]) -> Option<usize> {
    memchr::memmem::find(hay, needle)
}

fn without_line_end(raw: &[u8]) -> &[u8] {
    let raw = raw.strip_suffix(b"\n").unwrap_or(raw);
    raw.strip_suffix(b"\r").unwrap_or(raw)
}

/// Unpacks a stream if it begins as is wanted. A look at its beginning costs little; only what fits is unpacked whole.
fn unpacked(raw: &[u8], beginning: &[u8], budget: &mut usize) -> Option<Vec<u8>> {
    let mut head = vec![0; beginning.len()];
    let mut decoder = ZlibDecoder::new(raw);
    decoder.read_exact(&mut head).ok()?;
    if head != beginning {
        return None;
    }
    let most = ATTACHMENT_BYTES_MAX.min(*budget);
    let mut content = head;
    let limit = u64::try_from(most + 1).unwrap_or(u64::MAX);
    decoder.take(limit).read_to_end(&mut content).ok()?;
    *budget = budget.saturating_sub(content.len());
    (content.len() <= most).then_some(content)
}

#[cfg(test)]
mod tests;
