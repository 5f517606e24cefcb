//! The question's fields: one table, from which come the checks of what arrives, the documentation page and the OpenAPI document.
//!
//! Names and values are the engine's own, which are those of the published cases, so that anyone can run the cases against this
//! server. Only form is checked here: names, types and words. What a value *means* for the parcel the engine decides.

use std::sync::LazyLock;

use domain::cells::transport::{
    Carrier, Chem, Condition, Config, DeviceStatus, FindingCode, Mode, Purpose, Regime,
};

/// One value that a field takes, with its meaning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Choice {
    /// As written in JSON.
    pub(super) code: String,
    /// What it means.
    pub(super) words: String,
}

/// What a field holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Shape {
    /// One of several words.
    One(Vec<Choice>),
    /// A list of several words.
    Several(Vec<Choice>),
    /// A whole number; the unit is for people.
    Whole(&'static str),
    /// A number with at most six decimal places; the unit is for people.
    Decimal(&'static str),
    /// True or false.
    YesNo,
    /// A day, as in 2026-11-25.
    Day,
    /// A text of at most so many characters.
    Text(usize),
    /// An object with fields of its own.
    Object(Vec<Field>),
    /// A list of objects with the content's fields.
    Contents,
}

/// One field of the question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Field {
    /// Its name in JSON.
    pub(super) name: &'static str,
    /// Whether a question without it is refused. What else is left out is not known, and may lead to a hold.
    pub(super) is_needed: bool,
    /// What it holds.
    pub(super) shape: Shape,
    /// What it is, in words.
    pub(super) words: &'static str,
}

/// Longest text of a field.
const TEXT_CHARS_MAX: usize = 400;

macro_rules! choices {
    ($kind:ident) => {
        $kind::ALL
            .iter()
            .map(|value| Choice {
                code: value.code().to_owned(),
                words: value.words().to_owned(),
            })
            .collect()
    };
}

const fn field(name: &'static str, shape: Shape, words: &'static str) -> Field {
    Field {
        name,
        is_needed: false,
        shape,
        words,
    }
}

const fn needed(name: &'static str, shape: Shape, words: &'static str) -> Field {
    Field {
        name,
        is_needed: true,
        shape,
        words,
    }
}

/// What is asked of the whole parcel.
pub(super) static PARCEL: LazyLock<Vec<Field>> = LazyLock::new(|| {
    vec![
        needed(
            "regime",
            Shape::One(choices!(Regime)),
            "Whose law it starts under. Rules of other countries are not in this program.",
        ),
        needed("mode", Shape::One(choices!(Mode)), "How it is to go."),
        needed(
            "ship_date",
            Shape::Day,
            "The day it is handed over. The rules in force on that day are used.",
        ),
        field(
            "carrier",
            Shape::One(choices!(Carrier)),
            "Who carries it. Left out: no carrier is chosen, and no carrier's terms are looked at.",
        ),
        field(
            "purpose",
            Shape::One(choices!(Purpose)),
            "Why it travels. Left out: back to its owner.",
        ),
        field(
            "packages_per_consignment",
            Shape::Whole("packages"),
            "Packages from one shipper to one address at one time.",
        ),
        field(
            "gross_g_per_package",
            Shape::Whole("grams"),
            "Weight of one package with everything.",
        ),
        field(
            "destination_country",
            Shape::Text(2),
            "The country it goes to, by its two letters in ISO 3166-1, such as AT.",
        ),
        field(
            "outside_us_lower_48",
            Shape::YesNo,
            "Whether it goes to a place outside the 48 adjoining states of the United States.",
        ),
        field(
            "overpack",
            Shape::Object(OVERPACK.clone()),
            "Several packages held together on their way, such as in one wrapping.",
        ),
        field(
            "printed_mark",
            Shape::Object(PRINTED_MARK.clone()),
            "A battery mark that is already printed or in stock, as measured: it is checked too.",
        ),
        field(
            "contents",
            Shape::Contents,
            "A parcel with several kinds of content: a list of objects with the fields below. For one kind, give those fields side by side with these instead; both at once are refused.",
        ),
    ]
});

static OVERPACK: LazyLock<Vec<Field>> = LazyLock::new(|| {
    vec![field(
        "marks_visible",
        Shape::YesNo,
        "Whether every mark of every package can be seen from outside.",
    )]
});

static PRINTED_MARK: LazyLock<Vec<Field>> = LazyLock::new(|| {
    vec![
        field("width_mm", Shape::Whole("millimetres"), "Its width."),
        field("height_mm", Shape::Whole("millimetres"), "Its height."),
        field(
            "hatching_mm",
            Shape::Whole("millimetres"),
            "Width of its hatched edge.",
        ),
        field(
            "phone_number",
            Shape::YesNo,
            "Whether it shows a telephone number.",
        ),
        field(
            "added_inside",
            Shape::YesNo,
            "Whether anything stands inside the hatched edge beside the symbol and the UN number.",
        ),
        field(
            "folded_over_edge",
            Shape::YesNo,
            "Whether it is folded over an edge of the package.",
        ),
        field(
            "package_too_small",
            Shape::YesNo,
            "Whether the package is too small for the full size.",
        ),
    ]
});

/// What is asked of each kind of content.
pub(super) static CONTENT: LazyLock<Vec<Field>> = LazyLock::new(|| {
    let [before, after] = [content_before(), content_after()];
    before.into_iter().chain(after).collect()
});

fn content_before() -> Vec<Field> {
    vec![
        field(
            "chem",
            Shape::One(choices!(Chem)),
            "The chemistry. Left out: not known.",
        ),
        field(
            "cells_per_unit",
            Shape::Whole("cells"),
            "Cells in one unit: 1 is a cell, 2 or more are a battery. A pack of one cell is a cell, with the lower limits.",
        ),
        field(
            "button",
            Shape::YesNo,
            "Whether it is a button cell. Left out: it is none.",
        ),
        field(
            "wh_label",
            Shape::Decimal("watt-hours"),
            "Watt-hours printed on one unit. Give this, or mv and mah, or all three.",
        ),
        field(
            "mv",
            Shape::Whole("millivolts"),
            "Nominal voltage of one unit, not its full-charge voltage.",
        ),
        field(
            "mah",
            Shape::Whole("milliampere-hours"),
            "Rated capacity of one unit. 3.2 Ah are 3200.",
        ),
        field(
            "mah_second",
            Shape::Whole("milliampere-hours"),
            "A second capacity, where two are printed. The larger one counts.",
        ),
        field(
            "li_grams",
            Shape::Decimal("grams"),
            "Lithium in one unit, for lithium metal and hybrid ones.",
        ),
        field(
            "config",
            Shape::One(choices!(Config)),
            "How they lie to the device that they power.",
        ),
        field(
            "units_in_devices",
            Shape::Whole("units"),
            "Units in one device, or beside it to power it. Without a device: loose units in one package.",
        ),
        field(
            "spare_sets",
            Shape::Whole("sets"),
            "Sets in one package beyond those that power the devices.",
        ),
        field(
            "devices_per_package",
            Shape::Whole("devices"),
            "Devices in one package. 0 beside PACKED_WITH: the device stands in another line of the contents.",
        ),
        field(
            "battery_net_g_per_package",
            Shape::Whole("grams"),
            "Weight of the cells and batteries in one package, without devices and packing.",
        ),
    ]
}

fn content_after() -> Vec<Field> {
    vec![
        field(
            "findings",
            Shape::Several(finding_choices()),
            "What was found, by code; the worst counts. An empty list, or none, says that nobody has looked.",
        ),
        field(
            "inspected",
            Shape::Text(TEXT_CHARS_MAX),
            "Who looked, when and how.",
        ),
        field(
            "soc_rated_pct",
            Shape::Whole("percent"),
            "Charge in percent of the rated capacity, as a charger or meter gives it.",
        ),
        field(
            "soc_indicated_pct",
            Shape::Whole("percent"),
            "Charge in percent that the device shows, which is not the same.",
        ),
        field(
            "device_status",
            Shape::One(choices!(DeviceStatus)),
            "What the device is to its sender. A device that a lab repaired stays used.",
        ),
        field(
            "battery_original",
            Shape::YesNo,
            "Whether the battery is the one the device was made with, or the maker's own part.",
        ),
        field(
            "powered_off",
            Shape::YesNo,
            "Whether the device is off and can't switch itself on.",
        ),
    ]
}

/// Every finding, with the condition it puts the cell in.
fn finding_choices() -> Vec<Choice> {
    FindingCode::ALL
        .iter()
        .map(|finding| Choice {
            code: finding.code().to_owned(),
            words: format!(
                "{} ({})",
                finding.words(),
                finding
                    .condition()
                    .map_or("says nothing about the condition", Condition::words)
            ),
        })
        .collect()
}

impl Shape {
    /// What kind of value it is, in a word or two.
    pub(super) const fn kind(&self) -> &'static str {
        match self {
            Self::One(_) => "one code",
            Self::Several(_) => "list of codes",
            Self::Whole(_) => "whole number",
            Self::Decimal(_) => "number",
            Self::YesNo => "true or false",
            Self::Day => "day, as in 2026-03-01",
            Self::Text(_) => "text",
            Self::Object(_) => "object",
            Self::Contents => "list of objects",
        }
    }

    /// What to send, in words, for a sentence.
    pub(super) fn asks_for(&self) -> String {
        match self {
            Self::One(choices) => format!("one of {}", codes(choices)),
            Self::Several(choices) => format!(
                "a list of codes such as [\"{}\"]",
                choices.first().map_or("", |choice| choice.code.as_str())
            ),
            Self::Whole(unit) => format!("a whole number of {unit}"),
            Self::Decimal(unit) => {
                format!("a number of {unit} with at most six decimal places")
            }
            Self::YesNo => "true or false".to_owned(),
            Self::Day => "a day written as 2026-03-01".to_owned(),
            Self::Text(max) => format!("a text of at most {max} characters"),
            Self::Object(_) => "an object".to_owned(),
            Self::Contents => "a list of objects, one for each kind of content".to_owned(),
        }
    }
}

/// The codes of choices, in a row.
pub(super) fn codes(choices: &[Choice]) -> String {
    choices
        .iter()
        .map(|choice| choice.code.as_str())
        .collect::<Vec<_>>()
        .join(", ")
}
