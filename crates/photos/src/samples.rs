//! Pictures for the unit tests, drawn here and encoded by the same libraries. Pictures written by other programs are
//! used in the outside checks.

use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

use crate::{Raster, SizePx};

/// The colours of [`quarters`]: top left, top right, bottom left, bottom right.
pub(crate) const QUARTERS: [[u8; 3]; 4] =
    [[230, 20, 20], [20, 200, 20], [20, 20, 230], [240, 240, 240]];

/// A picture of four coloured quarters.
pub(crate) fn quarters(width: u32, height: u32) -> Raster {
    let pixel = |x, y| QUARTERS[usize::from(x >= width / 2) + 2 * usize::from(y >= height / 2)];
    let rgb = (0..height)
        .flat_map(|y| (0..width).flat_map(move |x| pixel(x, y)))
        .collect();
    Raster {
        rgb,
        size: SizePx { width, height },
    }
}

/// A picture of noise: the worst that can be compressed. Always the same noise.
pub(crate) fn noise(width: u32, height: u32) -> Raster {
    let mut random = Random(7);
    let rgb = (0..width * height * 3).map(|_| random.byte()).collect();
    Raster {
        rgb,
        size: SizePx { width, height },
    }
}

/// Marsaglia's xorshift, so that noise and damage repeat.
pub(crate) struct Random(pub(crate) u64);

impl Random {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    pub(crate) fn byte(&mut self) -> u8 {
        self.next().to_le_bytes()[5]
    }

    pub(crate) fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() >> 16).unwrap() % end
    }
}

/// The mean colour of a small square around a place given in tenths of width and height.
pub(crate) fn colour_at(raster: &Raster, tenths_x: u32, tenths_y: u32) -> [u8; 3] {
    let (x, y) = (
        raster.size.width * tenths_x / 10,
        raster.size.height * tenths_y / 10,
    );
    let start = (y * raster.size.width + x) as usize * 3;
    [
        raster.rgb[start],
        raster.rgb[start + 1],
        raster.rgb[start + 2],
    ]
}

/// The colours in the middle of the four quarters.
pub(crate) fn quarter_colours(raster: &Raster) -> [[u8; 3]; 4] {
    [(2, 2), (7, 2), (2, 7), (7, 7)].map(|(x, y)| colour_at(raster, x, y))
}

/// Whether two colours differ by no more than a JPEG may.
pub(crate) fn is_near(found: [u8; 3], wanted: [u8; 3]) -> bool {
    found
        .iter()
        .zip(wanted)
        .all(|(found, wanted)| found.abs_diff(wanted) <= 12)
}

/// An Exif block with nothing but an orientation: TIFF 6.0, one directory with one entry.
pub(crate) fn exif_block(orientation: u16) -> Vec<u8> {
    let mut block = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    block.extend_from_slice(&u32::from(orientation).to_le_bytes());
    block.extend_from_slice(&[0; 4]);
    block
}

/// A JPEG; `set` may change the encoder.
pub(crate) fn jpeg_with(raster: &Raster, set: impl FnOnce(&mut Encoder<&mut Vec<u8>>)) -> Vec<u8> {
    jpeg_of(&raster.rgb, raster.size, ColorType::Rgb, set)
}

/// A JPEG of samples of another kind than RGB.
pub(crate) fn jpeg_of(
    samples: &[u8],
    size: SizePx,
    color: ColorType,
    set: impl FnOnce(&mut Encoder<&mut Vec<u8>>),
) -> Vec<u8> {
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, 92);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    set(&mut encoder);
    encoder
        .encode(
            samples,
            u16::try_from(size.width).unwrap(),
            u16::try_from(size.height).unwrap(),
            color,
        )
        .unwrap();
    jpeg
}

/// An ordinary baseline JPEG.
pub(crate) fn jpeg(raster: &Raster) -> Vec<u8> {
    jpeg_with(raster, |_| {})
}

/// A PNG of any kind.
pub(crate) fn png_of(
    samples: &[u8],
    size: SizePx,
    color: png::ColorType,
    depth: png::BitDepth,
    set: impl FnOnce(&mut png::Encoder<&mut Vec<u8>>),
) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, size.width, size.height);
    encoder.set_color(color);
    encoder.set_depth(depth);
    set(&mut encoder);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(samples).unwrap();
    writer.finish().unwrap();
    bytes
}

/// An ordinary 8-bit RGB PNG.
pub(crate) fn png(raster: &Raster) -> Vec<u8> {
    png_of(
        &raster.rgb,
        raster.size,
        png::ColorType::Rgb,
        png::BitDepth::Eight,
        |_| {},
    )
}

/// Puts a chunk before the end chunk of a PNG. Its checksum is left 0: nobody looks at it in a chunk
/// that can be done without.
pub(crate) fn with_png_chunk(png: &[u8], kind: [u8; 4], data: &[u8]) -> Vec<u8> {
    let (before, end) = png.split_at(png.len() - 12);
    let length = u32::try_from(data.len()).unwrap().to_be_bytes();
    [before, &length, &kind, data, &[0; 4], end].concat()
}

/// A lossless WebP, with an Exif block if one is given.
pub(crate) fn webp(
    samples: &[u8],
    size: SizePx,
    color: image_webp::ColorType,
    exif: Option<Vec<u8>>,
) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = image_webp::WebPEncoder::new(&mut bytes);
    if let Some(block) = exif {
        encoder.set_exif_metadata(block);
    }
    encoder
        .encode(samples, size.width, size.height, color)
        .unwrap();
    bytes
}

/// Decodes a JPEG that this crate wrote.
pub(crate) fn decoded(jpeg: &[u8]) -> Raster {
    crate::jpeg_source::decode(jpeg, &crate::Limits::default())
        .unwrap()
        .raster
}
