//! Pictures as a camera might write them, drawn here so that no file is needed.

use jpeg_encoder::{ColorType, Encoder};

/// Quality at which cameras save; common practice, no source.
const QUALITY: u8 = 90;

/// A picture with a gradient and noise, so that no two seeds give the same bytes and none compresses to nothing.
pub fn jpeg(width: u16, height: u16, seed: u32) -> Vec<u8> {
    encode(width, height, seed, &[])
}

/// The same, carrying what cameras leave behind: Exif with a description, a maker and “turn me clockwise” (orientation 6), XMP
/// with a place, and something after the picture's end.
pub fn jpeg_with_traces(width: u16, height: u16, seed: u32) -> Vec<u8> {
    let xmp = [
        b"http://ns.adobe.com/xap/1.0/\0".as_slice(),
        b"<x:xmpmeta><place>Lindenford, 48.85 N</place></x:xmpmeta>",
    ]
    .concat();
    let mut bytes = encode(width, height, seed, &[exif("taken by Jane Tester"), xmp]);
    bytes.extend(b"TRAILER of Jane Tester");
    bytes
}

fn encode(width: u16, height: u16, seed: u32, app1: &[Vec<u8>]) -> Vec<u8> {
    let mut noise = seed.wrapping_mul(2_654_435_761).wrapping_add(1);
    let mut rgb = Vec::with_capacity(usize::from(width) * usize::from(height) * 3);
    for y in 0..u32::from(height) {
        for x in 0..u32::from(width) {
            // A linear congruential generator (Numerical Recipes, 2nd ed., 7.1) is noise enough for a picture.
            noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let grain = (noise >> 29).to_le_bytes()[0];
            let shade = |value: u32| value.to_le_bytes()[0].wrapping_add(grain);
            rgb.extend([shade(x / 8), shade(y / 8), shade((x + y) / 16)]);
        }
    }
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, QUALITY);
    for segment in app1 {
        encoder
            .add_app_segment(1, segment.clone())
            .expect("a short segment");
    }
    encoder
        .encode(&rgb, width, height, ColorType::Rgb)
        .expect("as many pixels as stated");
    bytes
}

/// An Exif block (CIPA DC-008) of two entries: image description and orientation.
fn exif(description: &str) -> Vec<u8> {
    const IFD_AT: u32 = 8;
    const ENTRIES: u16 = 2;
    let text = [description.as_bytes(), b"\0"].concat();
    let text_at = IFD_AT + 2 + u32::from(ENTRIES) * 12 + 4;
    let count = u32::try_from(text.len()).expect("a short text");
    let mut tiff = b"MM\0*".to_vec();
    tiff.extend(IFD_AT.to_be_bytes());
    tiff.extend(ENTRIES.to_be_bytes());
    // ImageDescription, ASCII.
    tiff.extend([0x01, 0x0e, 0x00, 0x02]);
    tiff.extend(count.to_be_bytes());
    tiff.extend(text_at.to_be_bytes());
    // Orientation, SHORT, one value: 6.
    tiff.extend([0x01, 0x12, 0x00, 0x03, 0, 0, 0, 1, 0, 6, 0, 0]);
    tiff.extend(0_u32.to_be_bytes());
    tiff.extend(text);
    [b"Exif\0\0".as_slice(), &tiff].concat()
}

/// The same bytes with another size written into the frame header (ITU-T T.81, B.2.2).
pub fn with_size(jpeg: &[u8], width: u16, height: u16) -> Vec<u8> {
    let mut bytes = jpeg.to_vec();
    let at = bytes
        .windows(2)
        .position(|pair| pair == [0xFF, 0xC0])
        .expect("a baseline frame");
    bytes[at + 5..at + 7].copy_from_slice(&height.to_be_bytes());
    bytes[at + 7..at + 9].copy_from_slice(&width.to_be_bytes());
    bytes
}
