//! The questions of “What may I post?”: what was typed, and the parcel it describes.
//!
//! The form keeps texts as typed, right or wrong. What is left open stays unknown; nothing is filled in that nobody has said.

use std::collections::BTreeSet;

use domain::cells::transport::{
    Carrier, Chem, Config, Contents, DeviceStatus, FindingCode, Millionths, Mode, Parcel,
    ParcelError, Purpose, Regime,
};
use domain::device::DeviceKind;
use jiff::civil::Date;

use super::super::form::Fields;
use super::super::send::FieldError;

/// Boxes to tick, gravest first, in groups as they are looked for.
pub(super) const GROUPS: [(&str, &[FindingCode]); 4] = [
    ("Now", &[FindingCode::F31, FindingCode::F30]),
    (
        "On the battery, the case or the screen",
        &[
            FindingCode::F10,
            FindingCode::F11,
            FindingCode::F12,
            FindingCode::F13,
            FindingCode::F14,
            FindingCode::F20,
        ],
    ),
    (
        "Known about it",
        &[
            FindingCode::F18,
            FindingCode::F19,
            FindingCode::F16,
            FindingCode::F03,
            FindingCode::F04,
            FindingCode::F05,
            FindingCode::F40,
        ],
    ),
    (
        "Measured, if somebody opened it",
        &[FindingCode::F17, FindingCode::F06, FindingCode::F15],
    ),
];

/// Whether somebody has looked at the battery: the value, and its words.
pub(super) const SEEN: [(&str, &str); 4] = [
    (
        "fine",
        "Yes, and it is fine: the fault is only in the screen, glass, board or a port",
    ),
    (
        "measured",
        "Yes, and its voltage and temperature were measured: nothing wrong",
    ),
    ("wrong", "Yes, and something is wrong with it"),
    ("no", "No: the device is closed, dead or sealed"),
];

/// What is sent when it is no device.
pub(super) const LOOSE: &str = "battery";

/// Where the regime is none of ours.
pub(super) const ELSEWHERE: &str = "elsewhere";

/// Longest text of one field.
const TEXT_CHARS_MAX: usize = 40;

/// What was typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Question {
    /// A device kind, or [`LOOSE`].
    pub(super) what: String,
    pub(super) count: String,
    pub(super) parcels: String,
    pub(super) spares: String,
    /// `yes` if the spares were looked at and are like the one inside.
    pub(super) spares_alike: String,
    /// One of [`SEEN`].
    pub(super) seen: String,
    /// Codes of the boxes that are ticked.
    pub(super) findings: BTreeSet<FindingCode>,
    pub(super) chem: String,
    /// `one`, `more` or nothing.
    pub(super) cells: String,
    pub(super) wh: String,
    pub(super) volts: String,
    pub(super) mah: String,
    pub(super) li_grams: String,
    pub(super) charge: String,
    pub(super) off: String,
    pub(super) original: String,
    /// A regime's code, or [`ELSEWHERE`].
    pub(super) country: String,
    pub(super) to: String,
    pub(super) way: String,
    pub(super) carrier: String,
    pub(super) date: String,
    pub(super) gross_kg: String,
    pub(super) net_kg: String,
}

impl Question {
    /// Reads the form's fields.
    pub(super) fn read(fields: &Fields) -> Self {
        let text = |name: &str| {
            fields
                .text(name)
                .chars()
                .take(TEXT_CHARS_MAX)
                .collect::<String>()
        };
        let ticked = |code: &&FindingCode| fields.is_given(code.code(), "yes");
        Self {
            what: text("what"),
            count: text("count"),
            parcels: text("parcels"),
            spares: text("spares"),
            spares_alike: text("spares_alike"),
            seen: text("seen"),
            findings: FindingCode::ALL.iter().filter(ticked).copied().collect(),
            chem: text("chem"),
            cells: text("cells"),
            wh: text("wh"),
            volts: text("volts"),
            mah: text("mah"),
            li_grams: text("li_grams"),
            charge: text("charge"),
            off: text("off"),
            original: text("original"),
            country: text("country"),
            to: text("to").to_uppercase(),
            way: text("way"),
            carrier: text("carrier"),
            date: text("date"),
            gross_kg: text("gross_kg"),
            net_kg: text("net_kg"),
        }
    }

    /// Makes a parcel of it, or says what is wrong, field by field, in the order of the page.
    pub(super) fn parcel(&self) -> Result<Parcel, Vec<FieldError>> {
        let mut errors = Vec::new();
        let is_loose = self.what == LOOSE;
        if !is_loose && !DeviceKind::ALL.iter().any(|kind| kind.word() == self.what) {
            errors.push(FieldError::new("what", "Choose what you want to send."));
        }
        let count = count_of(
            "count",
            &self.count,
            "Say how many are in this box: 1 or more.",
            &mut errors,
        );
        let spares = self.spares(is_loose, &mut errors);
        let packages = count_of(
            "parcels",
            &self.parcels,
            "Say how many boxes like this go to the same address on the same day: 1 or more.",
            &mut errors,
        );
        let findings = self.findings(&mut errors);
        let unit = self.unit(findings, &mut errors);
        let (regime, mode, carrier) = self.way(&mut errors);
        let ship_date = self.date.parse::<Date>().ok();
        if ship_date.is_none() {
            errors.push(FieldError::new(
                "date",
                "Give the day you hand it over, written as 2026-03-01.",
            ));
        }
        let gross = grams("gross_kg", &self.gross_kg, &mut errors);
        let net = grams("net_kg", &self.net_kg, &mut errors);
        let (Some(regime), Some(mode), Some(ship_date), true) =
            (regime, mode, ship_date, errors.is_empty())
        else {
            return Err(errors);
        };
        Ok(Parcel {
            regime,
            mode,
            carrier,
            ship_date,
            purpose: Purpose::RepairIn,
            packages_per_consignment: packages,
            gross_g_per_package: gross,
            contents: self.contents(&unit, count, spares, net),
            destination_country: (!self.to.is_empty()).then(|| self.to.clone()),
            outside_us_lower_48: None,
            overpack: None,
            printed_mark: None,
            contents_given_twice: false,
        })
    }

    /// One line for the devices or loose batteries, and one for spares beside them.
    fn contents(
        &self,
        unit: &Contents,
        count: Option<i64>,
        spares: i64,
        net: Option<i64>,
    ) -> Vec<Contents> {
        if self.what == LOOSE {
            return vec![Contents {
                config: Some(Config::Alone),
                units_in_devices: count,
                battery_net_g_per_package: net,
                ..unit.clone()
            }];
        }
        let inside = Contents {
            config: Some(Config::Contained),
            units_in_devices: Some(1),
            spare_sets: Some(0),
            devices_per_package: count,
            battery_net_g_per_package: net,
            ..unit.clone()
        };
        if spares == 0 {
            return vec![inside];
        }
        // A spare that nobody has looked at is known by nothing but its chemistry.
        let kind = if self.spares_alike == "yes" {
            // The charge that a device shows is that of the battery inside it.
            Contents {
                soc_indicated_pct: None,
                ..unit.clone()
            }
        } else {
            Contents {
                chem: unit.chem,
                device_status: unit.device_status,
                ..Contents::default()
            }
        };
        let beside = Contents {
            config: Some(Config::PackedWith),
            units_in_devices: Some(1),
            spare_sets: Some(spares),
            devices_per_package: Some(0),
            ..kind
        };
        vec![inside, beside]
    }

    /// What one battery is, as far as it was said.
    fn unit(&self, findings: BTreeSet<FindingCode>, errors: &mut Vec<FieldError>) -> Contents {
        let chem = coded(Chem::ALL, Chem::code, &self.chem);
        if chem.is_none() {
            errors.push(FieldError::new(
                "chem",
                "Say what kind of battery it is; “not known” will do.",
            ));
        }
        Contents {
            chem: chem.unwrap_or(Chem::Unknown),
            cells_per_unit: match self.cells.as_str() {
                "one" => Some(1),
                "more" => Some(2),
                _ => None,
            },
            wh_label: decimal(
                "wh",
                &self.wh,
                "Give the watt-hours as a number, such as 17.3.",
                errors,
            ),
            mv: decimal(
                "volts",
                &self.volts,
                "Give the volts as a number, such as 3.85.",
                errors,
            )
            .map(|volts| volts.0 / 1_000),
            mah: whole(
                "mah",
                &self.mah,
                "Give the milliampere-hours as a whole number, such as 4500.",
                errors,
            ),
            li_grams: decimal(
                "li_grams",
                &self.li_grams,
                "Give the grams of lithium as a number, such as 0.6.",
                errors,
            ),
            soc_indicated_pct: whole(
                "charge",
                self.charge.trim_end_matches('%').trim_end(),
                "Give the charge as a whole number of percent, from 0 to 100, or leave it empty.",
                errors,
            ),
            findings,
            inspected: None,
            device_status: Some(DeviceStatus::Used),
            battery_original: yes_or_no(&self.original),
            powered_off: yes_or_no(&self.off),
            ..Contents::default()
        }
    }

    fn findings(&self, errors: &mut Vec<FieldError>) -> BTreeSet<FindingCode> {
        let mut findings = self.findings.clone();
        match self.seen.as_str() {
            "fine" | "measured" if !findings.is_empty() => errors.push(FieldError::new(
                "seen",
                "You say that the battery is fine, and tick something below; take back one of the two.",
            )),
            "fine" => {
                findings.insert(FindingCode::F01);
            }
            "measured" => {
                findings.insert(FindingCode::F00);
            }
            "no" => {
                findings.insert(FindingCode::F02);
            }
            "wrong" if findings.is_empty() => errors.push(FieldError::new(
                "findings",
                "Tick what is wrong with the battery.",
            )),
            "wrong" => {}
            _ => errors.push(FieldError::new(
                "seen",
                "Say whether somebody has looked at the battery itself.",
            )),
        }
        findings
    }

    /// Spare batteries in the box; none beside loose ones, which are counted already.
    fn spares(&self, is_loose: bool, errors: &mut Vec<FieldError>) -> i64 {
        if is_loose {
            return 0;
        }
        let spares = whole(
            "spares",
            &self.spares,
            "Say how many spare batteries lie in the box beside the devices: 0 or more.",
            errors,
        );
        if spares.is_none() && self.spares.is_empty() {
            errors.push(FieldError::new(
                "spares",
                "Say how many spare batteries lie in the box beside the devices; 0 if none.",
            ));
        }
        spares.unwrap_or(0)
    }

    fn way(&self, errors: &mut Vec<FieldError>) -> (Option<Regime>, Option<Mode>, Carrier) {
        let regime = coded(Regime::ALL, Regime::code, &self.country);
        if self.country == ELSEWHERE {
            errors.push(FieldError::new(
                "country",
                "We hold no rules for parcels that start in another country. Hold it, and ask a trained shipper there.",
            ));
        } else if regime.is_none() {
            errors.push(FieldError::new(
                "country",
                "Choose where the parcel starts.",
            ));
        }
        let mode = coded(Mode::ALL, Mode::code, &self.way);
        if mode.is_none() {
            errors.push(FieldError::new(
                "way",
                "Choose how it goes. If you do not know, ask your carrier: post and express parcels often fly.",
            ));
        }
        let carrier = coded(Carrier::ALL, Carrier::code, &self.carrier);
        if carrier.is_none() {
            errors.push(FieldError::new(
                "carrier",
                "Choose the carrier, or “no carrier chosen”.",
            ));
        }
        (regime, mode, carrier.unwrap_or(Carrier::None))
    }
}

/// A count that must be given and be 1 or more.
fn count_of(
    field: &'static str,
    text: &str,
    sentence: &'static str,
    errors: &mut Vec<FieldError>,
) -> Option<i64> {
    let number = text.parse::<i64>().ok().filter(|number| *number >= 1);
    if number.is_none() {
        errors.push(FieldError::new(field, sentence));
    }
    number
}

/// Where each of the engine's fields stands on the page.
const PLACES: [(&str, &str); 12] = [
    ("units_in_devices", "count"),
    ("devices_per_package", "count"),
    ("packages_per_consignment", "parcels"),
    ("spare_sets", "spares"),
    ("wh_label", "wh"),
    ("mv", "volts"),
    ("mah", "mah"),
    ("li_grams", "li_grams"),
    ("soc_indicated_pct", "charge"),
    ("gross_g_per_package", "gross_kg"),
    ("battery_net_g_per_package", "net_kg"),
    ("cells_per_unit", "cells"),
];

/// Numbers that no parcel has, beside the fields they were typed in. What else can't be right, the verdict says itself.
pub(super) fn errors_of(problems: &[ParcelError]) -> Vec<FieldError> {
    let place = |field: &str| {
        PLACES
            .iter()
            .find(|(known, _)| *known == field)
            .map(|(_, place)| *place)
    };
    let mut errors: Vec<FieldError> = problems
        .iter()
        .filter_map(|problem| {
            let (field, sentence) = match problem {
                ParcelError::Negative { field, value } => {
                    (field, format!("{value} is below zero; count from 0."))
                }
                ParcelError::Absurd {
                    field,
                    value,
                    most,
                    meant,
                } => {
                    let meant = meant
                        .as_ref()
                        .map_or_else(String::new, |meant| format!(" Did you mean {meant}?"));
                    (
                        field,
                        format!("{value} can't be right: at most {most} is believed.{meant}"),
                    )
                }
                ParcelError::Nothing { field } => (
                    field,
                    "0 can't be right; leave it empty if you do not know.".to_owned(),
                ),
                _ => return None,
            };
            Some(FieldError::new(place(field)?, sentence))
        })
        .collect();
    errors.dedup();
    errors
}

/// The value with this code.
fn coded<T: Copy>(all: &[T], code: impl Fn(T) -> &'static str, text: &str) -> Option<T> {
    all.iter().copied().find(|value| code(*value) == text)
}

/// A decimal number as people of many countries type it; `None` for nothing.
fn decimal(
    field: &'static str,
    text: &str,
    sentence: &'static str,
    errors: &mut Vec<FieldError>,
) -> Option<Millionths> {
    if text.is_empty() {
        return None;
    }
    let number = Millionths::parse(&text.replace(',', "."));
    if number.is_none() {
        errors.push(FieldError::new(field, sentence));
    }
    number
}

fn whole(
    field: &'static str,
    text: &str,
    sentence: &'static str,
    errors: &mut Vec<FieldError>,
) -> Option<i64> {
    if text.is_empty() {
        return None;
    }
    let number = text.parse::<i64>().ok();
    if number.is_none() {
        errors.push(FieldError::new(field, sentence));
    }
    number
}

/// Kilograms as typed, in grams.
fn grams(field: &'static str, text: &str, errors: &mut Vec<FieldError>) -> Option<i64> {
    decimal(
        field,
        text,
        "Give the weight in kilograms, such as 2.4.",
        errors,
    )
    .map(|kilograms| kilograms.0 / 1_000)
}

fn yes_or_no(text: &str) -> Option<bool> {
    match text {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}
