//! Scales and encodes. Must never write anything into a JPEG but what its decoding needs.

use fast_image_resize::images::{Image, ImageRef};
use fast_image_resize::{FilterType, PixelType, ResizeAlg, ResizeOptions, Resizer};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

use crate::{PhotoError, Raster, SizePx, THUMBNAIL_BYTES_MAX, THUMBNAIL_LONG_SIDE_PX_MAX};

/// A thumbnail and its size.
pub(crate) struct Thumbnail {
    pub(crate) jpeg: Vec<u8>,
    pub(crate) size: SizePx,
}

/// Longer sides and qualities that are tried until a thumbnail fits into [`THUMBNAIL_BYTES_MAX`]. Ordinary photos fit
/// at the first; pure noise needs the second or third. The last always fits: 80 × 80 pixels are 25 + 2 × 25 blocks of
/// chroma and 100 of luma at 4:2:0, of at most 64 × 27 bits = 216 bytes each, 38 KB with the header.
const THUMBNAIL_ATTEMPTS: [(u32, u8); 4] = [
    (THUMBNAIL_LONG_SIDE_PX_MAX, 78),
    (THUMBNAIL_LONG_SIDE_PX_MAX, 55),
    (THUMBNAIL_LONG_SIDE_PX_MAX, 30),
    (80, 30),
];

/// Scales a picture down until its longer side fits. One that already fits comes back as it is.
pub(crate) fn scaled_to_fit(raster: Raster, long_side_px_max: u32) -> Result<Raster, PhotoError> {
    if raster.size.width.max(raster.size.height) <= long_side_px_max {
        Ok(raster)
    } else {
        scaled(&raster, long_side_px_max)
    }
}

/// Encodes a picture as a baseline JPEG with chroma halved both ways.
pub(crate) fn encode(raster: &Raster, quality: u8) -> Result<Vec<u8>, PhotoError> {
    encode_sampled(raster, quality, SamplingFactor::F_2_2)
}

/// Encodes a picture as a baseline JPEG with chroma as fine as its lightness: coloured edges stay sharp.
pub(crate) fn encode_finely(raster: &Raster, quality: u8) -> Result<Vec<u8>, PhotoError> {
    encode_sampled(raster, quality, SamplingFactor::F_1_1)
}

fn encode_sampled(
    raster: &Raster,
    quality: u8,
    sampling: SamplingFactor,
) -> Result<Vec<u8>, PhotoError> {
    let side =
        |px: u32| u16::try_from(px).expect("scaled pictures have at most 2048 pixels a side");
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, quality);
    encoder.set_sampling_factor(sampling);
    encoder
        .encode(
            &raster.rgb,
            side(raster.size.width),
            side(raster.size.height),
            ColorType::Rgb,
        )
        .map_err(|source| PhotoError::Encode { source })?;
    Ok(jpeg)
}

/// Makes the thumbnail of a picture that is already upright and scaled.
pub(crate) fn thumbnail(raster: &Raster) -> Result<Thumbnail, PhotoError> {
    let mut smallest = None;
    for (long_side_px_max, quality) in THUMBNAIL_ATTEMPTS {
        let thumbnail = if raster.size.width.max(raster.size.height) <= long_side_px_max {
            Thumbnail {
                jpeg: encode(raster, quality)?,
                size: raster.size,
            }
        } else {
            let scaled = scaled(raster, long_side_px_max)?;
            Thumbnail {
                jpeg: encode(&scaled, quality)?,
                size: scaled.size,
            }
        };
        if thumbnail.jpeg.len() <= THUMBNAIL_BYTES_MAX {
            return Ok(thumbnail);
        }
        smallest = Some(thumbnail);
    }
    Ok(smallest.expect("there is at least one attempt"))
}

/// Scales with the Hamming filter, measured here as the best of the fast ones for photos.
fn scaled(raster: &Raster, long_side_px_max: u32) -> Result<Raster, PhotoError> {
    let size = fitted(raster.size, long_side_px_max);
    let source = ImageRef::new(
        raster.size.width,
        raster.size.height,
        &raster.rgb,
        PixelType::U8x3,
    )
    .expect("a raster holds three bytes for each of its pixels");
    let mut target = Image::new(size.width, size.height, PixelType::U8x3);
    let options = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::Hamming));
    Resizer::new()
        .resize(&source, &mut target, &options)
        .map_err(|source| PhotoError::Scale { source })?;
    Ok(Raster {
        rgb: target.into_vec(),
        size,
    })
}

/// The size whose longer side is `long_side_px_max` and whose shape is that of `size`, each side at least one pixel.
fn fitted(size: SizePx, long_side_px_max: u32) -> SizePx {
    let long = u64::from(size.width.max(size.height));
    let fit = |side: u32| {
        let rounded = (u64::from(side) * u64::from(long_side_px_max) + long / 2) / long;
        u32::try_from(rounded.max(1)).expect("no side is longer than the longer side")
    };
    SizePx {
        width: fit(size.width),
        height: fit(size.height),
    }
}

#[cfg(test)]
mod tests;
