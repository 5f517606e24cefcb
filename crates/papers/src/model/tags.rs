//! Job tags: the label on the bag that a device stays in.

use serde::{Deserialize, Serialize};

use super::{CellLevel, PageSize, PaperMeta};

/// A run of job tags.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Default)]
pub struct JobTags {
    /// What the file says about itself.
    pub meta: PaperMeta,
    /// What they are printed on.
    pub stock: TagStock,
    /// The tags, in order.
    pub tags: Vec<JobTag>,
}

/// One job tag.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct JobTag {
    /// What the QR code holds: `WB:J:7K3M2Q9XT`.
    pub code: String,
    /// The job reference, shown large: `7K3M-2Q9X-T`.
    pub job_ref: String,
    /// The shop.
    pub shop: String,
    /// Maker and model.
    pub device: String,
    /// IMEI or serial; fixed-width; may be empty.
    pub identifier: String,
    /// `bag 1 of 2`, in the reader's language; may be empty.
    pub bag: String,
    /// Date received, due date, anything short; may be empty.
    pub note: String,
    /// Printed when the cell is not clear.
    pub hazard: Option<HazardMark>,
}

/// The warning on a tag whose cell is not clear.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct HazardMark {
    /// Chooses the shape.
    pub level: CellLevel,
    /// The level as a word.
    pub word: String,
    /// A few words: `swollen, no charging`; may be empty.
    pub text: String,
}

/// What tags are printed on.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Default)]
#[serde(rename_all = "snake_case")]
pub enum TagStock {
    /// A continuous roll 62 mm wide: one tag a page, as long as it needs.
    #[default]
    Roll62,
    /// A sheet of labels.
    Sheet {
        /// Where the labels are on the sheet.
        grid: LabelGrid,
        /// The first label to use, counted from 1 along the rows, so that a begun sheet can be finished.
        start_position: u32,
    },
}

/// Where the labels are on a sheet; all measures in millimetres.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Default)]
pub struct LabelGrid {
    /// Labels side by side.
    pub columns: u32,
    /// Labels one above the other.
    pub rows: u32,
    /// Width of a label.
    pub label_width_mm: f32,
    /// Height of a label.
    pub label_height_mm: f32,
    /// From the left edge of the sheet to the first label.
    pub margin_left_mm: f32,
    /// From the top edge of the sheet to the first label.
    pub margin_top_mm: f32,
    /// From the left edge of a label to that of the next.
    pub pitch_x_mm: f32,
    /// From the top edge of a label to that of the next.
    pub pitch_y_mm: f32,
}

impl LabelGrid {
    /// A4, 3 x 8 labels of 70 x 36 mm. Common practice, no source.
    pub fn a4_3x8_70x36() -> Self {
        Self {
            columns: 3,
            rows: 8,
            label_width_mm: 70.0,
            label_height_mm: 36.0,
            margin_left_mm: 0.0,
            margin_top_mm: 4.5,
            pitch_x_mm: 70.0,
            pitch_y_mm: 36.0,
        }
    }

    /// Letter, 2 x 5 labels of 4 x 2 in (101.6 x 50.8 mm). Common practice, no source.
    pub fn letter_2x5_4x2in() -> Self {
        Self {
            columns: 2,
            rows: 5,
            label_width_mm: 101.6,
            label_height_mm: 50.8,
            margin_left_mm: 3.96,
            margin_top_mm: 12.7,
            pitch_x_mm: 106.38,
            pitch_y_mm: 50.8,
        }
    }

    /// The usual grid for a sheet size.
    pub fn usual_for(page_size: PageSize) -> Self {
        match page_size {
            PageSize::A4 => Self::a4_3x8_70x36(),
            PageSize::Letter => Self::letter_2x5_4x2in(),
        }
    }
}
