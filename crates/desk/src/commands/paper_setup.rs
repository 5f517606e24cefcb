//! What the lab sets itself on its papers: its mark, its texts, and how they look in print.

pub use crate::drawing::PreviewedPaper;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use domain::fact::{Fact, LabMark, MarkPicture, PaperTexts};
use domain::{ContentHash, EntryId, Register, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Nothing, PaperFile, PaperSize};
use crate::desk::Desk;
use crate::error::DeskError;

/// The mark on the papers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct MarkView {
    /// The hash of its picture.
    pub hash: ContentHash,
    /// Its width in pixels.
    pub width_px: u32,
    /// Its height in pixels.
    pub height_px: u32,
    /// A sentence when it will not print crisply; else empty.
    pub doubt: String,
    /// False while another desktop's picture has not come here yet: papers print the name alone.
    pub is_here: bool,
}

/// What another desktop set while the two were apart.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OtherTexts {
    /// Who set them.
    pub by: String,
    /// What they say.
    pub texts: PaperTexts,
}

/// All that the lab sets itself on its papers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PaperSetupView {
    /// The mark; none on papers with the name alone.
    pub mark: Option<MarkView>,
    /// The entry that set or removed the mark last.
    pub mark_entry: Option<EntryId>,
    /// A sentence when two desktops set different marks while apart; else empty.
    pub mark_disputed: String,
    /// The texts.
    pub texts: PaperTexts,
    /// The entry that set them last.
    pub texts_entry: Option<EntryId>,
    /// What other desktops set while apart. What is recorded next settles it.
    pub others: Vec<OtherTexts>,
    /// The most characters of the warranty's text, the terms and the foot line.
    pub chars_max: [u32; 3],
}

/// Sets the mark.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetLabMark {
    /// The picture's bytes in base64.
    pub base64: String,
}

/// Sets the texts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetPaperTexts {
    /// What the papers are to say.
    pub texts: PaperTexts,
}

/// Asks for a look at a paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PreviewPapers {
    /// Which.
    pub paper: PreviewedPaper,
    /// On which sheet.
    pub size: PaperSize,
}

/// Dots to the inch below which edges look stepped in print. Common practice, no source.
const CRISP_PER_INCH: u32 = 200;
/// The box a mark is printed in, in tenths of a millimetre: 42 by 14 mm.
const BOX_TENTHS_MM: (u32, u32) = (420, 140);

/// What the lab sets itself on its papers.
pub fn paper_setup(desk: &Desk, _: Nothing) -> Result<PaperSetupView, DeskError> {
    let lab = desk.lab()?;
    let mark = lab.mark.value().and_then(|mark| mark.picture.as_ref());
    let names = crate::drawing::words(desk)?;
    let mark_disputed = if lab.mark.is_disputed() {
        "Another desktop set another mark while the two were apart. The later one is printed; set one again to settle it."
            .to_owned()
    } else {
        String::new()
    };
    let limits = [
        PaperTexts::WARRANTY_CHARS_MAX,
        PaperTexts::TERMS_CHARS_MAX,
        PaperTexts::FOOT_CHARS_MAX,
    ];
    Ok(PaperSetupView {
        mark: mark.map(|picture| mark_view(desk, picture)).transpose()?,
        mark_entry: lab.mark.mark().map(|mark| mark.entry_id),
        mark_disputed,
        texts_entry: lab.texts.mark().map(|mark| mark.entry_id),
        others: others(&lab.texts, &names),
        texts: lab.texts.value().cloned().unwrap_or_default(),
        chars_max: limits.map(|limit| u32::try_from(limit).unwrap_or(u32::MAX)),
    })
}

fn others(texts: &Register<PaperTexts>, names: &crate::drawing::Words) -> Vec<OtherTexts> {
    if !texts.is_disputed() {
        return Vec::new();
    }
    let apart = texts.heads.iter().skip(1);
    apart
        .filter(|head| Some(&head.value) != texts.value())
        .map(|head| OtherTexts {
            by: names.by(&head.mark),
            texts: head.value.clone(),
        })
        .collect()
}

fn mark_view(desk: &Desk, picture: &MarkPicture) -> Result<MarkView, DeskError> {
    Ok(MarkView {
        hash: picture.hash,
        width_px: picture.width_px,
        height_px: picture.height_px,
        doubt: doubt(picture.width_px, picture.height_px),
        is_here: desk.files.whole().contains(&picture.hash)?,
    })
}

/// Says when a mark has too few pixels for the size at which it prints.
fn doubt(width_px: u32, height_px: u32) -> String {
    let (box_width, box_height) = BOX_TENTHS_MM;
    // It fills the box in one direction: the one in which it has more pixels for the box's length.
    let fills_width =
        u64::from(width_px) * u64::from(box_height) >= u64::from(height_px) * u64::from(box_width);
    let (pixels, tenths_mm) = if fills_width {
        (width_px, box_width)
    } else {
        (height_px, box_height)
    };
    let per_inch = pixels * 254 / tenths_mm;
    if per_inch >= CRISP_PER_INCH {
        return String::new();
    }
    let needed = (CRISP_PER_INCH * tenths_mm).div_ceil(254);
    let side = if fills_width { "wide" } else { "high" };
    format!(
        "This picture has {width_px} × {height_px} pixels and will look stepped in print; one at least {needed} pixels {side} prints crisply."
    )
}

/// Sets the mark beside the lab's name. Its picture travels to the other desktops like a photo.
pub fn set_lab_mark(desk: &Desk, request: SetLabMark) -> Result<PaperSetupView, DeskError> {
    let bytes = STANDARD.decode(request.base64.trim()).map_err(|_| {
        DeskError::field("mark", "the picture did not arrive whole; choose it again")
    })?;
    let picture = photos::intake_mark(&bytes).map_err(|why| DeskError::field("mark", why))?;
    desk.person_id()?;
    let kept = desk.keep_picture(&picture)?;
    set_mark(
        desk,
        Some(MarkPicture {
            hash: kept.hash,
            size_bytes: kept.size_bytes,
            width_px: picture.width_px,
            height_px: picture.height_px,
        }),
    )
}

/// Takes the mark off papers. Its picture stays with the entries that named it.
pub fn remove_lab_mark(desk: &Desk, _: Nothing) -> Result<PaperSetupView, DeskError> {
    set_mark(desk, None)
}

fn set_mark(desk: &Desk, picture: Option<MarkPicture>) -> Result<PaperSetupView, DeskError> {
    let lab = desk.lab()?;
    desk.record_all(vec![(
        Subject::Lab(lab.lab_id),
        Fact::LabMarkSet(LabMark { picture }),
        lab.mark.based_on(),
    )])?;
    paper_setup(desk, Nothing {})
}

/// Sets what the lab says on papers in its own words.
pub fn set_paper_texts(desk: &Desk, request: SetPaperTexts) -> Result<PaperSetupView, DeskError> {
    let lab = desk.lab()?;
    let texts = PaperTexts {
        warranty: request.texts.warranty.trim().to_owned(),
        terms: request.texts.terms.trim().to_owned(),
        foot: request.texts.foot.trim().to_owned(),
    };
    if let Some((field, what, chars, max)) = texts.too_long() {
        return Err(DeskError::field(
            field,
            format!(
                "{what} has {chars} characters, and the paper has room for {max}; shorten it by {}",
                chars - max
            ),
        ));
    }
    desk.record_all(vec![(
        Subject::Lab(lab.lab_id),
        Fact::PaperTextsSet(texts),
        lab.texts.based_on(),
    )])?;
    paper_setup(desk, Nothing {})
}

/// Draws a paper of an invented job as it will print.
pub fn preview_papers(desk: &Desk, request: PreviewPapers) -> Result<PaperFile, DeskError> {
    desk.fetch_mark();
    desk.preview(request.paper, request.size)
}

#[cfg(test)]
mod tests;
