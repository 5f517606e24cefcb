//! What to do next: my heads, their heads, limits in; sorted steps out.
//!
//! Pure, so that thousands of random cases can prove it. It looks at heads only; entries are read by whoever runs the steps.
//! Sending what the server lacks covers the ordinary outbox and the healing of a restored server alike, because it asks only
//! who holds more of a stream, not whose stream it is.

use std::collections::BTreeMap;

use domain::StreamId;
use logbook::{EntryHash, Head};

use crate::limits::PageLimits;
use crate::messages::{Cursor, Heads};

/// One thing to do. Steps are run in the order given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Send positions `from_seq..=through_seq` of a stream. At most a page by count; the runner splits by bytes.
    Push {
        /// The stream.
        stream_id: StreamId,
        /// First position.
        from_seq: u64,
        /// Last position.
        through_seq: u64,
    },
    /// Read pages from the cursor until the end. Comes last, so that what was just sent is read back in its place, and a fork
    /// shows itself entry by entry.
    Pull,
}

/// Plans one round.
///
/// `own` is the stream this desktop writes; it goes first, since what a person just did here is what others wait for. `hash_at`
/// returns the hash held here at a position. A stream that has forked is not sent: pulling it settles it, and the next round
/// sends what is left. An empty plan means that both sides are equal.
pub fn plan(
    own: StreamId,
    mine: &[Head],
    hash_at: impl Fn(StreamId, u64) -> Option<EntryHash>,
    cursor: Option<&Cursor>,
    theirs: &Heads,
    limits: PageLimits,
) -> Vec<Step> {
    let their_heads: BTreeMap<StreamId, Head> = theirs
        .streams
        .iter()
        .map(|stream| (stream.stream.stream_id, stream.head()))
        .collect();
    let mut ahead: Vec<(bool, StreamId, u64, u64)> = mine
        .iter()
        .filter_map(|head| {
            let their = their_heads
                .get(&head.stream_id)
                .copied()
                .unwrap_or(Head::empty(head.stream_id));
            let grown = head.seq > their.seq;
            let shared = their.seq == 0 || hash_at(head.stream_id, their.seq) == Some(their.hash);
            (grown && shared).then_some((
                head.stream_id != own,
                head.stream_id,
                their.seq + 1,
                head.seq,
            ))
        })
        .collect();
    ahead.sort_unstable();
    let page = u64::try_from(limits.entries_max.max(1)).unwrap_or(u64::MAX);
    let mut steps: Vec<Step> = ahead
        .into_iter()
        .flat_map(|(_, stream_id, first, last)| {
            (0..=(last - first) / page).map(move |index| {
                let from_seq = first + index * page;
                Step::Push {
                    stream_id,
                    from_seq,
                    through_seq: last.min(from_seq.saturating_add(page - 1)),
                }
            })
        })
        .collect();
    let read_to_the_end = cursor.is_some_and(|cursor| {
        cursor.log_epoch == theirs.log_epoch
            && cursor.log_position == theirs.log_position
            && cursor.digest == theirs.digest
    });
    if !steps.is_empty() || !read_to_the_end {
        steps.push(Step::Pull);
    }
    steps
}

/// Returns how many of the entries, whose sizes are given in order, make one page. At least one when there is one, so that an
/// entry larger than a page still travels.
pub fn page_len(sizes_bytes: impl IntoIterator<Item = usize>, limits: PageLimits) -> usize {
    let mut total_bytes = 0_usize;
    let mut count = 0;
    for size_bytes in sizes_bytes {
        total_bytes = total_bytes.saturating_add(size_bytes);
        if count > 0 && (count >= limits.entries_max || total_bytes > limits.bytes_max) {
            break;
        }
        count += 1;
    }
    count
}
