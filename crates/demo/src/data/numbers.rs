//! Numbers on devices and parcels, with their check digits.

use domain::device::DeviceKind;
use domain::identifiers::check_digit;

use super::Model;

/// The number on a device: an IMEI of a test range for a telephone, a serial number for the rest.
pub fn identifier(model: &Model, number: u32) -> String {
    match model.kind {
        DeviceKind::Phone => {
            let payload = format!(
                "00{:06}{:06}",
                440_100 + model.cell_mah % 900,
                18_000 + number * 37
            );
            let check = check_digit::luhn_10(&payload).expect("fourteen digits have a check digit");
            format!("{payload}{check}")
        }
        DeviceKind::Tablet | DeviceKind::Laptop | DeviceKind::Handheld => {
            let maker: String = model
                .maker
                .chars()
                .take(2)
                .collect::<String>()
                .to_uppercase();
            format!(
                "{maker}{:03}K{:05}",
                model.cell_mah % 1000,
                20_300 + number * 113
            )
        }
    }
}

/// The same number with its last digit off by one.
pub fn with_wrong_check_digit(identifier: &str) -> String {
    let (body, last) = identifier.split_at(identifier.len() - 1);
    let digit = last.parse::<u8>().unwrap_or(0);
    format!("{body}{}", (digit + 1) % 10)
}

/// A parcel number of a postal operator: UPU S10, with its check digit.
pub fn tracking(serial: u32, country: &str) -> String {
    let payload = format!("{:08}", 31_400_000 + serial * 7919);
    let check = check_digit::s10(&payload).expect("eight digits have a check digit");
    format!("CP{payload}{check}{country}")
}

/// The number on a parcel that goes by road: a GS1 SSCC under the prefix for examples, with its check digit.
pub fn road_parcel(serial: u32) -> String {
    let payload = format!("39506000{:09}", 31_400_000 + serial * 7919);
    let check = check_digit::gs1_mod_10(&payload).expect("seventeen digits have a check digit");
    format!("{payload}{check}")
}
