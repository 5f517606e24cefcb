//! Turns pictures upright by the orientation that their camera recorded. Must never fail: a picture with an unreadable
//! or nonsensical orientation is taken as it lies.

use crate::{Raster, SizePx};

/// How the stored pixels must be turned to stand upright: the values of tag 274 of TIFF 6.0 and Exif 2.32.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Orientation {
    /// 1: as stored.
    #[default]
    Upright,
    /// 2: mirrored left to right.
    Mirrored,
    /// 3: to be turned by half.
    HalfTurn,
    /// 4: mirrored top to bottom.
    Flipped,
    /// 5: mirrored along the diagonal from top left.
    Transposed,
    /// 6: to be turned a quarter clockwise.
    QuarterClockwise,
    /// 7: mirrored along the diagonal from top right.
    Transversed,
    /// 8: to be turned a quarter counter-clockwise.
    QuarterCounterClockwise,
}

impl Orientation {
    /// Reads the tag's value. Anything but 1 to 8 is taken as upright.
    pub(crate) fn from_exif_value(value: u32) -> Self {
        match value {
            2 => Self::Mirrored,
            3 => Self::HalfTurn,
            4 => Self::Flipped,
            5 => Self::Transposed,
            6 => Self::QuarterClockwise,
            7 => Self::Transversed,
            8 => Self::QuarterCounterClockwise,
            _ => Self::Upright,
        }
    }

    /// Reads the orientation from an Exif block (a TIFF structure, with or without the `Exif\0\0` mark before it).
    pub(crate) fn from_exif_block(block: &[u8]) -> Self {
        let tiff = block.strip_prefix(b"Exif\0\0").unwrap_or(block);
        // Maker notes are often broken while the first directory is whole, so what could be read is used.
        exif::Reader::new()
            .continue_on_error(true)
            .read_raw(tiff.to_vec())
            .or_else(|error| error.distill_partial_result(drop))
            .ok()
            .as_ref()
            .and_then(|exif| exif.get_field(exif::Tag::Orientation, exif::In::PRIMARY))
            .and_then(|field| field.value.get_uint(0))
            .map_or_else(Self::default, Self::from_exif_value)
    }

    /// Whether width and height change places.
    fn swaps_sides(self) -> bool {
        matches!(
            self,
            Self::Transposed
                | Self::QuarterClockwise
                | Self::Transversed
                | Self::QuarterCounterClockwise
        )
    }
}

/// Returns the picture as it was seen when it was taken.
pub(crate) fn upright(raster: Raster, orientation: Orientation) -> Raster {
    if orientation == Orientation::Upright {
        return raster;
    }
    let (width, height) = (raster.size.width as usize, raster.size.height as usize);
    let size = if orientation.swaps_sides() {
        SizePx {
            width: raster.size.height,
            height: raster.size.width,
        }
    } else {
        raster.size
    };
    let mut rgb = Vec::with_capacity(raster.rgb.len());
    for y in 0..size.height as usize {
        for x in 0..size.width as usize {
            let (column, row) = match orientation {
                Orientation::Upright => (x, y),
                Orientation::Mirrored => (width - 1 - x, y),
                Orientation::HalfTurn => (width - 1 - x, height - 1 - y),
                Orientation::Flipped => (x, height - 1 - y),
                Orientation::Transposed => (y, x),
                Orientation::QuarterClockwise => (y, height - 1 - x),
                Orientation::Transversed => (width - 1 - y, height - 1 - x),
                Orientation::QuarterCounterClockwise => (width - 1 - y, x),
            };
            let start = (row * width + column) * 3;
            rgb.extend_from_slice(&raster.rgb[start..start + 3]);
        }
    }
    Raster { rgb, size }
}

#[cfg(test)]
mod tests;
