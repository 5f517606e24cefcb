//! Photos and files by their content: a folder in which every file is named by the SHA-256 of its bytes.
//!
//! A file is visible under its hash only once all of its bytes are known to be right and on the disk. Whatever stops a
//! write half-way (a full disk, a power cut, a lost line) leaves at most a temporary file that [`Store::sweep_temporary`]
//! or [`Store::sweep_uploads`] takes away. The store knows hashes and sizes only; names, types and who may see a file
//! are facts kept elsewhere. It must never change a visible file, and never hand out bytes under a hash that isn't theirs
//! (except through [`Store::open_reader`], which says so).

mod durable;
mod error;
mod store;
mod upload;

use std::io::{self, Read};

use domain::ContentHash;
use sha2::{Digest, Sha256};

pub use error::StoreError;
pub use store::{Limits, Store, Stored};
pub use upload::Upload;

/// How much is read or written at once: 64 KiB, enough that calls cost nothing beside hashing.
const CHUNK_BYTES: usize = 64 * 1024;

/// Returns the hash under which these bytes are stored.
pub fn hash_of(bytes: &[u8]) -> ContentHash {
    ContentHash::from_bytes(Sha256::digest(bytes).into())
}

/// Reads to the end and returns the hash and the number of bytes.
pub fn hash_of_reader(mut reader: impl Read) -> io::Result<Stored> {
    let mut hasher = Sha256::new();
    let mut size_bytes = 0;
    let mut chunk = vec![0; CHUNK_BYTES];
    loop {
        let count = read_some(&mut reader, &mut chunk)?;
        if count == 0 {
            return Ok(Stored {
                hash: ContentHash::from_bytes(hasher.finalize().into()),
                size_bytes,
            });
        }
        hasher.update(&chunk[..count]);
        size_bytes += count as u64;
    }
}

/// Reads once, again if a signal came between.
fn read_some(reader: &mut impl Read, chunk: &mut [u8]) -> io::Result<usize> {
    loop {
        match reader.read(chunk) {
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            result => return result,
        }
    }
}

#[cfg(test)]
mod tests;
