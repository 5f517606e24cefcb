//! Proving what is here: every stream, every hash, every signature.

use domain::StreamId;
use logbook::{Head, StreamError, verify_stream};
use sync_protocol::StreamHead;

use super::error::StoreError;
use super::{Reading, Store};

/// Entries read at a time: 2,000 are about 1 MB.
const CHUNK: usize = 2_000;

/// What proving one stream gave.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StreamReport {
    /// The stream.
    pub stream_id: StreamId,
    /// What people call its desktop.
    pub name: String,
    /// Where it is sound up to.
    pub head: Head,
    /// What breaks it after that, if anything.
    pub problem: Option<StreamError>,
}

impl Store {
    /// Proves every stream in the file, from one snapshot.
    ///
    /// It shows that order and content have not changed since each head was witnessed. It can't show that what was recorded was
    /// true.
    pub fn verify_all(&self) -> Result<Vec<StreamReport>, StoreError> {
        self.read(|reading| {
            reading
                .stream_heads()?
                .iter()
                .map(|stream| reading.verify(stream))
                .collect()
        })
    }
}

impl Reading<'_> {
    fn verify(&self, stream: &StreamHead) -> Result<StreamReport, StoreError> {
        let stream_id = stream.stream.stream_id;
        let mut head = Head::empty(stream_id);
        let mut problem = None;
        'stream: loop {
            let entries = self.stream_entries(stream_id, head.seq + 1, CHUNK)?;
            if entries.is_empty() {
                break;
            }
            for entry in &entries {
                match verify_stream(head, std::slice::from_ref(entry), &stream.stream.public_key) {
                    Ok(reached) => head = reached,
                    Err(error) => {
                        problem = Some(error);
                        break 'stream;
                    }
                }
            }
        }
        if problem.is_none() && head != stream.head() {
            problem = Some(StreamError::Gap {
                stream_id,
                expected: stream.head_seq,
                found: head.seq,
            });
        }
        Ok(StreamReport {
            stream_id,
            name: stream.stream.name.clone(),
            head,
            problem,
        })
    }
}
