//! Passcodes: sealed with XChaCha20-Poly1305 under a key that desktops of the lab share and the server never has.
//!
//! The job's id is bound in as associated data, so that a sealed passcode can't be moved to another job. Nothing here keeps,
//! logs or prints a passcode.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use chacha20poly1305::aead::{Aead as _, KeyInit as _, Payload};
use chacha20poly1305::{XChaCha20Poly1305, XNonce};
use domain::fact::{Fact, PasscodeDestruction};
use domain::{EntryId, JobId};
use zeroize::Zeroizing;

/// Bytes of the lab's key.
pub(crate) const KEY_BYTES: usize = 32;
/// Bytes of a nonce: random ones never meet by chance at this length (draft-irtf-cfrg-xchacha).
pub(crate) const NONCE_BYTES: usize = 24;

/// The lab's key. Wiped from memory when dropped.
pub(crate) type LabKey = Zeroizing<[u8; KEY_BYTES]>;

/// Seals a passcode. `nonce` must be random and never used again.
pub(crate) fn seal(
    key: &LabKey,
    job_id: JobId,
    passcode: &str,
    nonce: [u8; NONCE_BYTES],
) -> String {
    let cipher = XChaCha20Poly1305::new((&**key).into());
    let payload = Payload {
        msg: passcode.as_bytes(),
        aad: job_id.as_bytes(),
    };
    let sealed = cipher
        .encrypt(&XNonce::from(nonce), payload)
        .expect("a passcode is far shorter than the cipher's limit of 256 GiB");
    STANDARD.encode([&nonce[..], &sealed].concat())
}

/// Opens a sealed passcode. `None` when the key, the job or the bytes are not those it was sealed with.
pub(crate) fn open(key: &LabKey, job_id: JobId, sealed: &str) -> Option<String> {
    let bytes = STANDARD.decode(sealed).ok()?;
    let (nonce, sealed) = bytes.split_first_chunk::<NONCE_BYTES>()?;
    let cipher = XChaCha20Poly1305::new((&**key).into());
    let opened = cipher
        .decrypt(
            &XNonce::from(*nonce),
            Payload {
                msg: sealed,
                aad: job_id.as_bytes(),
            },
        )
        .ok()?;
    String::from_utf8(opened).ok()
}

/// The fact that makes every store erase a sealed passcode's bytes.
pub(crate) fn destruction(sealed_entry_id: EntryId) -> Fact {
    Fact::PasscodeDestroyed(PasscodeDestruction { sealed_entry_id })
}
