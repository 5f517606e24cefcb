//! The test page: whether a printer keeps true sizes.

use serde::{Deserialize, Serialize};

use super::{PageSetup, PaperMeta};

/// Everything the test page prints.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct TestPage {
    /// What the file says about itself.
    pub meta: PaperMeta,
    /// The lab's name.
    pub lab: String,
    /// The printer's name.
    pub printer: String,
    /// On what it is printed.
    pub stock: TestStock,
    /// Fixed words; the default is English.
    #[serde(default)]
    pub wording: TestPageWording,
}

/// What a test page is printed on.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub enum TestStock {
    /// A whole sheet: lines of 100 mm.
    Sheet(PageSetup),
    /// A roll 62 mm wide: a line of 50 mm along it and one of 40 mm across.
    Roll62,
}

impl Default for TestStock {
    fn default() -> Self {
        Self::Sheet(PageSetup::default())
    }
}

wording! {
    /// Words of the test page.
    TestPageWording {
        paper: "Test page",
        measure: "Measure both lines with a steel rule.",
        right: "If each is as long as is written beside it, this printer keeps true sizes: marks and labels may be printed on it.",
        wrong: "If one is shorter or longer, the printer scales pages. Switch “fit to page” or “scale to fit” off in its own settings, and print this page again before any battery mark.",
        read: "Read this aloud: it must be sharp.",
    }
}
