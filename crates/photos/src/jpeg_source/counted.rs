//! Bytes for the JPEG decoder that remember how far it got, with a little nothing behind them.
//!
//! A program that rescues a broken file may close it with an end marker, and then no marker tells that rows are
//! missing. A decoder that runs out of pixel data asks for more: here it finds zeros in place of the end marker, and
//! the furthest place it read gives it away. Must never hand out more than that.

use std::cell::Cell;
use std::rc::Rc;

use zune_core::bytestream::{ZByteIoError, ZByteReaderTrait, ZSeekFrom};

/// Enough zeros to tell a decoder that reads ahead from one that goes on.
pub(super) const ZEROS: &[u8] = &[0; 64];

/// See the module.
pub(super) struct Counted<'bytes> {
    picture: &'bytes [u8],
    tail: &'static [u8],
    position: usize,
    furthest: Rc<Cell<usize>>,
}

impl<'bytes> Counted<'bytes> {
    /// Reads `picture` and then `tail`, and keeps the furthest place read in `furthest`.
    pub(super) fn new(
        picture: &'bytes [u8],
        tail: &'static [u8],
        furthest: Rc<Cell<usize>>,
    ) -> Self {
        Self {
            picture,
            tail,
            position: 0,
            furthest,
        }
    }

    fn len(&self) -> usize {
        self.picture.len() + self.tail.len()
    }

    /// Copies what is left, as far as it fits, and says how much that was.
    fn copy_to(&self, target: &mut [u8]) -> usize {
        let (picture, position) = (self.picture, self.position);
        let from_picture = picture.get(position..).unwrap_or_default();
        let first = from_picture.len().min(target.len());
        target[..first].copy_from_slice(&from_picture[..first]);
        let from_tail = self
            .tail
            .get(position.saturating_sub(picture.len())..)
            .unwrap_or_default();
        let second = if from_picture.len() == first {
            from_tail.len().min(target.len() - first)
        } else {
            0
        };
        target[first..first + second].copy_from_slice(&from_tail[..second]);
        first + second
    }

    /// Moves on. Only a read of several bytes counts as a need for pixels: after the last pixel the decoder looks for
    /// the end marker byte by byte.
    fn advance(&mut self, count: usize) {
        self.position += count;
        if count > 1 {
            self.furthest.set(self.furthest.get().max(self.position));
        }
    }
}

impl ZByteReaderTrait for Counted<'_> {
    #[inline]
    fn read_byte_no_error(&mut self) -> u8 {
        let mut byte = [0];
        let count = match self.picture.get(self.position) {
            Some(found) => {
                byte[0] = *found;
                1
            }
            None => self.copy_to(&mut byte),
        };
        self.advance(count);
        byte[0]
    }

    #[inline]
    fn read_exact_bytes(&mut self, target: &mut [u8]) -> Result<(), ZByteIoError> {
        self.peek_exact_bytes(target)?;
        self.advance(target.len());
        Ok(())
    }

    fn read_bytes(&mut self, target: &mut [u8]) -> Result<usize, ZByteIoError> {
        let count = self.copy_to(target);
        self.advance(count);
        Ok(count)
    }

    fn peek_bytes(&mut self, target: &mut [u8]) -> Result<usize, ZByteIoError> {
        Ok(self.copy_to(target))
    }

    #[inline]
    fn peek_exact_bytes(&mut self, target: &mut [u8]) -> Result<(), ZByteIoError> {
        if let Some(found) = self
            .picture
            .get(self.position..self.position + target.len())
        {
            target.copy_from_slice(found);
            return Ok(());
        }
        let available = self.len().saturating_sub(self.position);
        if available < target.len() {
            return Err(ZByteIoError::NotEnoughBytes(available, target.len()));
        }
        self.copy_to(target);
        Ok(())
    }

    fn z_seek(&mut self, from: ZSeekFrom) -> Result<u64, ZByteIoError> {
        let (base, offset) = match from {
            ZSeekFrom::Start(offset) => (Some(0), i64::try_from(offset).ok()),
            ZSeekFrom::End(offset) => (i64::try_from(self.len()).ok(), Some(offset)),
            ZSeekFrom::Current(offset) => (i64::try_from(self.position).ok(), Some(offset)),
        };
        let target = base
            .zip(offset)
            .and_then(|(base, offset)| base.checked_add(offset));
        match target.and_then(|target| usize::try_from(target).ok()) {
            // A skip past the end stops there; the next read then finds nothing.
            Some(target) => self.position = target.min(self.len()),
            None => {
                return Err(ZByteIoError::SeekError(
                    "seek before the start of the picture",
                ));
            }
        }
        Ok(self.position as u64)
    }

    fn is_eof(&mut self) -> Result<bool, ZByteIoError> {
        Ok(self.position >= self.len())
    }

    fn z_position(&mut self) -> Result<u64, ZByteIoError> {
        Ok(self.position as u64)
    }

    fn read_remaining(&mut self, sink: &mut Vec<u8>) -> Result<usize, ZByteIoError> {
        let start = sink.len();
        sink.resize(start + self.len().saturating_sub(self.position), 0);
        let count = self.copy_to(&mut sink[start..]);
        self.advance(count);
        Ok(count)
    }
}
