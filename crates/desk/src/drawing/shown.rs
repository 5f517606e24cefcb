//! A paper's pages as pictures, for a window whose webview shows no PDF. Each is drawn from the PDF itself, so it shows what
//! prints. Must never change a paper, and never record that one was looked at.

use hayro_svg::hayro_interpret::InterpreterSettings;
use hayro_svg::hayro_syntax::Pdf;
use hayro_svg::{RenderCache, SvgRenderSettings};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::desk::Desk;
use crate::error::DeskError;
use crate::printing::Asked;

/// A page of a paper, as it prints.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ShownPage {
    /// An SVG drawn from the PDF.
    pub svg: String,
    /// How many pages the paper has.
    pub pages: u32,
}

impl Desk {
    /// One page of a paper as an SVG. A kept paper that isn't on this computer is fetched first.
    ///
    /// # Errors
    ///
    /// A sentence where there is no such paper or page, or the file is no PDF that can be shown here.
    pub(crate) fn show_page(&self, asked: &Asked, page: u32) -> Result<ShownPage, DeskError> {
        let bytes = match asked {
            Asked::Made { name } => self.paper_bytes(name)?,
            Asked::Kept { file } => self.file_bytes(file)?,
        };
        let pdf = Pdf::new(bytes).map_err(|_| {
            DeskError::refused("this paper can't be shown here; open it in the system's viewer")
        })?;
        let pages = pdf.pages();
        let index = usize::try_from(page)
            .ok()
            .and_then(|page| page.checked_sub(1));
        let found = index.and_then(|index| pages.get(index));
        let Some(found) = found else {
            return Err(DeskError::refused(format!(
                "the paper has {} pages, and page {page} is not among them",
                pages.len()
            )));
        };
        let white = SvgRenderSettings { bg_color: [255; 4] };
        Ok(ShownPage {
            svg: hayro_svg::convert(
                found,
                &RenderCache::new(),
                &InterpreterSettings::default(),
                &white,
            ),
            pages: u32::try_from(pages.len()).unwrap_or(u32::MAX),
        })
    }
}
