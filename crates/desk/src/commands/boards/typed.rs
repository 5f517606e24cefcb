//! What is typed about boards is parsed here and nowhere else: sizes in millimetres, designators in capitals, tests by the codes of the
//! catalogue. A refusal names the field and says what would be right; nothing is guessed or cut short.

use domain::fact::{BoardCode, TestCode};
use domain::house::Lab;
use domain::reading::parse_micro;
use domain::rework::PackageBody;

use super::request::SaveBoardPart;
use crate::error::DeskError;

/// A board's code: capitals, digits and hyphens.
pub(super) fn code_of(text: &str) -> Result<BoardCode, DeskError> {
    let joined: String = text
        .trim()
        .to_uppercase()
        .chars()
        .map(|c| if c.is_whitespace() { '-' } else { c })
        .collect();
    if joined.is_empty() {
        return Err(DeskError::field(
            "code",
            "give the board a code, best the number printed on it",
        ));
    }
    Ok(BoardCode(joined))
}

/// A designator: letters and digits, such as U2400.
pub(crate) fn designator(field: &'static str, text: &str) -> Result<String, DeskError> {
    let designator = text.trim().to_uppercase();
    let is_one = designator.chars().any(char::is_alphanumeric)
        && !designator.chars().any(char::is_whitespace)
        && designator.chars().count() <= 16;
    if is_one {
        Ok(designator)
    } else {
        Err(DeskError::field(
            field,
            format!(
                "“{}” is no designator; write one part as on the board, such as U2400",
                text.trim()
            ),
        ))
    }
}

pub(super) fn tests_of(lab: &Lab, codes: &[TestCode]) -> Result<Vec<TestCode>, DeskError> {
    let catalogue = lab.catalogue();
    let unknown = codes
        .iter()
        .find(|code| !catalogue.iter().any(|test| test.code == **code));
    match unknown {
        Some(code) => Err(DeskError::field(
            "serves",
            format!(
                "“{}” is no test of the catalogue; choose one of its tests, or add this one under Setup, Tests",
                code.0
            ),
        )),
        None => Ok(codes.to_vec()),
    }
}

/// No package on such a board is longer; a larger number is a slip of the unit. Common practice, no source.
const SIDE_MAX_UM: i64 = 60_000;
/// Likewise for its thickness.
const THICKNESS_MAX_UM: i64 = 15_000;
/// The smallest chip parts are 0.1 mm thin (EIA 01005: 0.4 x 0.2 mm; thickness from memory).
const SIDE_MIN_UM: i64 = 100;

pub(super) fn body(request: &SaveBoardPart) -> Result<Option<PackageBody>, DeskError> {
    let typed = [&request.length, &request.width, &request.thickness];
    if typed.iter().all(|text| text.trim().is_empty()) {
        return Ok(None);
    }
    Ok(Some(PackageBody {
        length_um: size("length", &request.length, SIDE_MAX_UM)?,
        width_um: size("width", &request.width, SIDE_MAX_UM)?,
        thickness_um: size("thickness", &request.thickness, THICKNESS_MAX_UM)?,
    }))
}

/// A size in millimetres, as typed, in micrometres.
pub(crate) fn size(field: &'static str, text: &str, most_um: i64) -> Result<u32, DeskError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(DeskError::field(
            field,
            "give length, width and thickness, or none of them; two of three say nothing of its volume",
        ));
    }
    let number = text.strip_suffix("mm").unwrap_or(text).trim();
    if number.ends_with(|c: char| c.is_alphabetic() || c == '"' || c == '″') {
        return Err(DeskError::field(
            field,
            format!("“{text}” is not in millimetres; write the size in mm, such as 0.9"),
        ));
    }
    let micro = parse_micro(number).map_err(|why| DeskError::field(field, why))?;
    let um = micro / 1000;
    if !(SIDE_MIN_UM..=most_um).contains(&um) {
        return Err(DeskError::field(
            field,
            format!(
                "{text} mm is no size of a part on such a board: it has 0.1 to {} mm; look at the unit",
                most_um / 1000
            ),
        ));
    }
    u32::try_from(um).map_err(|why| DeskError::field(field, why))
}
