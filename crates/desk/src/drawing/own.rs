//! What the lab sets itself on its papers: its mark, its foot, its terms, the warranty in its own words.

use domain::fact::{MarkPicture, PaperTexts, paragraphs};
use papers::model::{Lab, Picture, Stated};

use crate::desk::Desk;
use crate::error::DeskError;

/// The lab's own, ready for paper.
pub(crate) struct Own {
    mark: Option<Picture>,
    texts: PaperTexts,
}

impl Desk {
    /// Gathers the lab's own. A mark that another desktop took in and that isn't here yet, or whose file can't be read, is left
    /// out: a paper never waits for the network, and one without a mark is whole.
    pub(crate) fn own(&self) -> Result<Own, DeskError> {
        let lab = self.lab()?;
        let picture = lab.mark.value().and_then(|mark| mark.picture.as_ref());
        Ok(Own {
            mark: picture.and_then(|picture| self.mark_here(picture)),
            texts: lab.texts.value().cloned().unwrap_or_default(),
        })
    }

    fn mark_here(&self, picture: &MarkPicture) -> Option<Picture> {
        Some(Picture {
            jpeg: self.files.whole().get(&picture.hash).ok()?,
            width_px: picture.width_px,
            height_px: picture.height_px,
        })
    }
}

impl Own {
    /// The head and foot of a paper, with the mark and the lab's foot line.
    pub(crate) fn on(&self, lab: Lab) -> Lab {
        Lab {
            mark: self.mark.clone(),
            foot: paragraphs(&self.texts.foot).join("  ·  "),
            ..lab
        }
    }

    /// The terms, one paragraph each.
    pub(crate) fn terms(&self) -> Vec<String> {
        paragraphs(&self.texts.terms)
    }

    /// The lab's own words about the warranty, one paragraph each; none without a warranty.
    pub(crate) fn warranty_words(&self, is_given: bool) -> Vec<String> {
        if is_given {
            paragraphs(&self.texts.warranty)
        } else {
            Vec::new()
        }
    }

    /// What a report says of its warranty, and then the lab's own words about it, if one is given.
    pub(crate) fn warranty(&self, said: Vec<Stated>, is_given: bool) -> Vec<Stated> {
        let own = self.warranty_words(is_given);
        said.into_iter()
            .chain(own.into_iter().map(Stated::from))
            .collect()
    }
}
