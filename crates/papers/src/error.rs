//! Why a paper could not be made.

/// Why a paper could not be made.
#[derive(Debug, thiserror::Error)]
pub enum PaperError {
    /// A picture is not a JPEG that a PDF can carry as it is. `index` counts the pictures of the paper from 1.
    #[error("picture {index} cannot be printed: {source}")]
    Picture {
        /// Which picture, in the order of printing.
        index: usize,
        /// What is wrong with it.
        #[source]
        source: PictureError,
    },
    /// The text of a QR code is longer than the largest code holds (2,331 bytes at error correction M).
    #[error("a QR code cannot hold {length_bytes} bytes; use at most 2,331")]
    CodeTooLong {
        /// Length of the text.
        length_bytes: usize,
    },
    /// The label grid is empty or reaches beyond the sheet.
    #[error(
        "the label grid of {columns} x {rows} labels does not fit the sheet; choose the grid that is on its packet"
    )]
    GridDoesNotFit {
        /// Labels side by side.
        columns: u32,
        /// Labels one above the other.
        rows: u32,
    },
    /// The label to begin with is not on the sheet.
    #[error("label {start_position} is not on the sheet; choose one from 1 to {labels}")]
    StartPosition {
        /// What was asked for.
        start_position: u32,
        /// How many labels a sheet has.
        labels: u32,
    },
    /// The description of the colours could not be written.
    #[error("the description of the colours can't be written: {0}")]
    Colours(String),
    /// There is nothing to print.
    #[error("there is no tag to print; choose at least one job")]
    NothingToPrint,
    /// There is no mark or label to print.
    #[error("there is no mark to print; choose at least one")]
    NoMark,
    /// A battery mark without a UN number is none.
    #[error("a battery mark needs a UN number, such as 3481")]
    NoUnNumber,
    /// UN numbers have four digits.
    #[error("{number} is no UN number; it should have four digits, such as 3481")]
    UnNumber {
        /// What was asked for.
        number: u16,
    },
    /// The telephone number of an old mark is wider than the mark's inside.
    #[error(
        "the telephone number “{telephone}” is too long for the mark; use at most 24 digits and signs"
    )]
    Telephone {
        /// What was asked for.
        telephone: String,
    },
    /// Words at their letter height are larger than the sheet. They are never made smaller: that would be unlawful.
    #[error(
        "“{words}” in letters of {letter_height_mm} mm does not fit the sheet; use a larger sheet or a printed label"
    )]
    WordsDoNotFit {
        /// The words.
        words: String,
        /// Their letter height.
        letter_height_mm: f32,
    },
    /// A letter height outside what a sheet can show.
    #[error("letters of {letter_height_mm} mm cannot be printed; choose a height from 3 to 60 mm")]
    LetterHeight {
        /// What was asked for.
        letter_height_mm: f32,
    },
    /// Words without a letter have no letter height.
    #[error("“{words}” holds no letter to measure; give the words of the rule")]
    NoLetters {
        /// The words.
        words: String,
    },
    /// The date of the paper is outside the years that a PDF can name.
    #[error("the date of the paper, {made_at_ms} ms since 1970, is outside the years 0 to 9999")]
    Date {
        /// The date given.
        made_at_ms: i64,
    },
    /// A bundled font could not be read. It is part of the program, so this is a fault in its build.
    #[error("the bundled font {name} cannot be read")]
    Font {
        /// Its name.
        name: &'static str,
    },
    /// The bytes given are not a PDF.
    #[error("the file cannot be read as a PDF; give the bytes of a finished paper")]
    Read(#[source] Box<lopdf::Error>),
    /// The finished document could not be written out.
    #[error("the finished document could not be written")]
    Write(#[source] std::io::Error),
}

/// What is wrong with a picture.
#[derive(Debug, thiserror::Error, PartialEq, Eq)]
pub enum PictureError {
    /// It does not start like a JPEG, or ends before its size is named.
    #[error("it is not a whole JPEG file")]
    NotAJpeg,
    /// A kind of JPEG that a PDF cannot carry.
    #[error(
        "its kind of JPEG has {components} colour components of {bits} bits; it should have 1 or 3 of 8 bits"
    )]
    Kind {
        /// Colour components.
        components: u8,
        /// Bits in each.
        bits: u8,
    },
    /// The size given with it is not the one in the file.
    #[error("it holds {actual_width} x {actual_height} pixels, not {width} x {height} as was said")]
    Size {
        /// Said.
        width: u32,
        /// Said.
        height: u32,
        /// In the file.
        actual_width: u32,
        /// In the file.
        actual_height: u32,
    },
}
