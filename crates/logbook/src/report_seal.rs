//! The seal on a return report: which lab vouches for the record inside, under which desktop's key.
//!
//! A seal travels in the report beside the record, as JSON whose first field is `form`, so that it is found by its beginning.
//! A good signature says that the holder of the key vouched for exactly these bytes. Whose key that is, only the lab's own
//! log knows: who checks a report must look it up there.

use domain::report_check::SealFound;
use domain::{ContentHash, LabId, StreamId};
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};

use crate::{PublicKey, SignatureBytes, SigningKey, check_signature, public_key, sign_digest};

/// Keeps this signature apart from every other that such a key makes.
const TAG: &[u8] = b"waybench/report-seal/sha-256/1";
const FORM: &str = "waybench report seal, form 1";

/// A desktop's signature over the record of one report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReportSeal {
    form: String,
    /// The lab.
    pub lab_id: LabId,
    /// The sequence of entries of the desktop that made the report.
    pub stream_id: StreamId,
    /// The desktop's key.
    pub public_key: PublicKey,
    /// SHA-256 of the record's bytes (FIPS 180-4).
    pub record_digest: ContentHash,
    /// Over the tag, the lab, the stream and the digest.
    pub signature: SignatureBytes,
}

impl ReportSeal {
    /// How the bytes of every seal begin.
    pub const BEGINNING: &'static [u8] = b"{\"form\":\"waybench report seal, ";

    /// Seals a record.
    pub fn make(
        key: &SigningKey,
        lab_id: LabId,
        stream_id: StreamId,
        record_digest: ContentHash,
    ) -> Self {
        let digest = signed(lab_id, stream_id, record_digest);
        Self {
            form: FORM.to_owned(),
            lab_id,
            stream_id,
            public_key: public_key(key),
            record_digest,
            signature: sign_digest(key, &digest),
        }
    }

    /// What a seal is worth to this lab, beside a record with this digest. `key_of` looks a stream up in the lab's own log, and
    /// its error is passed on.
    pub fn standing<E>(
        &self,
        record_digest: Option<ContentHash>,
        lab_id: LabId,
        key_of: impl FnOnce(StreamId) -> Result<Option<PublicKey>, E>,
    ) -> Result<SealFound, E> {
        if Some(self.record_digest) != record_digest || !self.is_good() {
            return Ok(SealFound::Broken);
        }
        if self.lab_id != lab_id {
            return Ok(SealFound::OtherLab);
        }
        Ok(if key_of(self.stream_id)? == Some(self.public_key) {
            SealFound::Ours
        } else {
            SealFound::UnknownKey
        })
    }

    /// Whether the signature is that of its key over what the seal says.
    pub fn is_good(&self) -> bool {
        let digest = signed(self.lab_id, self.stream_id, self.record_digest);
        self.form == FORM && check_signature(&self.public_key, &digest, &self.signature)
    }
}

/// Every part has a fixed length, so that no two statements have the same bytes.
fn signed(lab_id: LabId, stream_id: StreamId, record_digest: ContentHash) -> [u8; 32] {
    let mut hasher = Sha256::new();
    hasher.update(TAG);
    hasher.update(lab_id.as_bytes());
    hasher.update(stream_id.as_bytes());
    hasher.update(record_digest.as_bytes());
    hasher.finalize().into()
}
