//! JPEG files into the document, byte for byte.
//!
//! Only the frame header is read, to know the size and the colours. The picture data are never decoded or changed.

use std::collections::BTreeMap;

use printpdf::{DictItem, ExternalStream, ExternalXObject, PdfDocument, XObject, XObjectId};
use sha2::{Digest, Sha256};

use crate::error::{PaperError, PictureError};
use crate::model::Picture;

#[cfg(test)]
mod tests;

/// A picture that is in the document, ready to be placed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Placeable {
    /// Its resource name.
    pub(crate) id: String,
    /// Width by height.
    pub(crate) aspect: f32,
}

/// The pictures of one paper; the same bytes are stored once.
#[derive(Default)]
pub(crate) struct Album {
    objects: BTreeMap<String, XObject>,
    count: usize,
}

impl Album {
    /// Takes a picture in.
    pub(crate) fn add(&mut self, picture: &Picture) -> Result<Placeable, PaperError> {
        self.count += 1;
        let frame = frame_of(picture).map_err(|source| PaperError::Picture {
            index: self.count,
            source,
        })?;
        let digest = Sha256::digest(&picture.jpeg);
        let id = digest
            .iter()
            .take(12)
            .fold("P".to_owned(), |id, byte| format!("{id}{byte:02x}"));
        self.objects
            .entry(id.clone())
            .or_insert_with(|| x_object(picture, frame));
        #[expect(
            clippy::cast_precision_loss,
            reason = "sides of a JPEG are below 65536"
        )]
        let aspect = picture.width_px as f32 / picture.height_px as f32;
        Ok(Placeable { id, aspect })
    }

    /// Hands the pictures over to the document.
    pub(crate) fn into_document(self, document: &mut PdfDocument) {
        for (id, object) in self.objects {
            document
                .resources
                .xobjects
                .map
                .insert(XObjectId(id), object);
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Frame {
    width: u32,
    height: u32,
    components: u8,
}

fn frame_of(picture: &Picture) -> Result<Frame, PictureError> {
    let frame = read_frame(&picture.jpeg)?;
    if (frame.width, frame.height) == (picture.width_px, picture.height_px) {
        return Ok(frame);
    }
    Err(PictureError::Size {
        width: picture.width_px,
        height: picture.height_px,
        actual_width: frame.width,
        actual_height: frame.height,
    })
}

/// Walks the markers up to the frame header (ITU-T T.81, B.2.2).
fn read_frame(jpeg: &[u8]) -> Result<Frame, PictureError> {
    if !jpeg.starts_with(&[0xFF, 0xD8]) {
        return Err(PictureError::NotAJpeg);
    }
    let mut rest = &jpeg[2..];
    loop {
        while rest.first() == Some(&0xFF) && rest.get(1) == Some(&0xFF) {
            rest = &rest[1..];
        }
        let &[0xFF, marker, high, low, ref after @ ..] = rest else {
            return Err(PictureError::NotAJpeg);
        };
        let length = usize::from(u16::from_be_bytes([high, low]));
        let body = length
            .checked_sub(2)
            .and_then(|length| after.get(..length))
            .ok_or(PictureError::NotAJpeg)?;
        // SOF0, SOF1 and SOF2 are what the DCT filter must read (ISO 32000-1, 7.4.8); C4, C8 and CC are no frames.
        if matches!(marker, 0xC0..=0xC2) {
            return parse_frame(body);
        }
        if matches!(marker, 0xC3 | 0xC5..=0xC7 | 0xC9..=0xCB | 0xCD..=0xCF | 0xD9 | 0xDA) {
            return Err(PictureError::NotAJpeg);
        }
        rest = &after[body.len()..];
    }
}

fn parse_frame(body: &[u8]) -> Result<Frame, PictureError> {
    let &[bits, h1, h0, w1, w0, components, ..] = body else {
        return Err(PictureError::NotAJpeg);
    };
    if bits != 8 || !matches!(components, 1 | 3) {
        return Err(PictureError::Kind { components, bits });
    }
    let (width, height) = (
        u32::from(u16::from_be_bytes([w1, w0])),
        u32::from(u16::from_be_bytes([h1, h0])),
    );
    if width == 0 || height == 0 {
        return Err(PictureError::NotAJpeg);
    }
    Ok(Frame {
        width,
        height,
        components,
    })
}

fn x_object(picture: &Picture, frame: Frame) -> XObject {
    let name = |value: &str| DictItem::Name(value.as_bytes().to_vec());
    let colours = if frame.components == 1 {
        "DeviceGray"
    } else {
        "DeviceRGB"
    };
    let dict = BTreeMap::from([
        ("Type".to_owned(), name("XObject")),
        ("Subtype".to_owned(), name("Image")),
        ("Width".to_owned(), DictItem::Int(i64::from(frame.width))),
        ("Height".to_owned(), DictItem::Int(i64::from(frame.height))),
        ("ColorSpace".to_owned(), name(colours)),
        ("BitsPerComponent".to_owned(), DictItem::Int(8)),
        ("Filter".to_owned(), name("DCTDecode")),
    ]);
    let stream = ExternalStream {
        dict,
        content: picture.jpeg.clone(),
        compress: false,
    };
    XObject::External(ExternalXObject {
        stream,
        width: None,
        height: None,
        dpi: None,
    })
}
