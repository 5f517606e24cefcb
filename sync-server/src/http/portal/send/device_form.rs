//! The form of one device: what was typed, and what it comes to.
//!
//! The form keeps texts as typed, right or wrong; [`DeviceForm::check`] makes an advice of them or says, field by field, what is
//! wrong and what would be right. Each question about the battery must be answered: no answer is never taken for "no".

use std::collections::{BTreeMap, BTreeSet};

use domain::cells::{Rating, ReadingError, parse_capacity_mah, parse_energy_uwh, parse_voltage_mv};
use domain::device::DeviceKind;
use domain::fact::{
    AdvisedBattery, AdvisedCells, CellAnswer, DeviceDescription, JobAdvice, LiquidStory,
};
use domain::{ParcelId, ShopId};
use serde::{Deserialize, Serialize};

use super::super::form::Fields;
use crate::core::TEXT_CHARS_MAX;

/// Longest name of a maker, a model or the like.
const SHORT_CHARS_MAX: usize = 80;

/// Most accessories of one device.
const ACCESSORIES_MAX: usize = 20;

/// What is wrong with one field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::http::portal) struct FieldError {
    /// The field's name, which is also its place on the page.
    pub(in crate::http::portal) field: &'static str,
    /// What is wrong and what would be right.
    pub(in crate::http::portal) message: String,
}

impl FieldError {
    pub(in crate::http::portal) fn new(field: &'static str, message: impl Into<String>) -> Self {
        Self {
            field,
            message: message.into(),
        }
    }
}

/// A question about the battery.
pub(super) struct Question {
    /// The field's name.
    pub(super) field: &'static str,
    /// What it asks.
    pub(super) text: &'static str,
    /// What “yes” means.
    pub(super) yes: CellAnswer,
    /// What the page asks for when it is left open.
    open: &'static str,
}

/// The questions, gravest first. Signs of a damaged or defective cell: ADR 2025 special provision 376; 49 CFR 173.185(f).
pub(super) const QUESTIONS: [Question; 7] = [
    Question {
        field: "burnt",
        text: "Has it burnt, smoked or sparked, now or before?",
        yes: CellAnswer::Burnt,
        open: "Say whether it has burnt, smoked or sparked.",
    },
    Question {
        field: "hot",
        text: "Is it warm or hot although it is off and not charging?",
        yes: CellAnswer::Hot,
        open: "Say whether it is warm although it is off.",
    },
    Question {
        field: "swollen",
        text: "Is the battery, the back or the screen swollen or lifting?",
        yes: CellAnswer::Swollen,
        open: "Say whether anything is swollen or lifting.",
    },
    Question {
        field: "leaking",
        text: "Does anything leak, or smell sweet or of solvent?",
        yes: CellAnswer::Leaking,
        open: "Say whether anything leaks or smells.",
    },
    Question {
        field: "pierced",
        text: "Is it pierced, crushed or bent so that the battery may be hurt?",
        yes: CellAnswer::Pierced,
        open: "Say whether it is pierced, crushed or bent.",
    },
    Question {
        field: "recalled",
        text: "Has its maker recalled the battery or called it unsafe?",
        yes: CellAnswer::Recalled,
        open: "Say whether its maker has recalled it; answer no if you know of no recall.",
    },
    Question {
        field: "dropped",
        text: "Has it had a hard fall, or is its frame bent, although the battery looks fine?",
        yes: CellAnswer::Dropped,
        open: "Say whether it has had a hard fall.",
    },
];

/// What an answer says of the cell, for the page that forbids the post.
pub(super) const fn cell_words(answer: CellAnswer) -> &'static str {
    match answer {
        CellAnswer::Swollen => "it is swollen or lifting",
        CellAnswer::Leaking => "it leaks or smells",
        CellAnswer::Hot => "it is warm although it is off",
        CellAnswer::Burnt => "it has burnt, smoked or sparked",
        CellAnswer::Pierced => "it is pierced, crushed or bent",
        CellAnswer::Recalled => "its maker has recalled it",
        CellAnswer::Wet => "water reached the inside",
        CellAnswer::NotSeen => "nobody could see the battery",
        CellAnswer::Dropped => "it has had a hard fall",
    }
}

/// One device as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct DeviceForm {
    pub(super) kind: String,
    pub(super) maker: String,
    pub(super) model: String,
    pub(super) colour: String,
    pub(super) identifier: String,
    pub(super) shop_reference: String,
    pub(super) fault: String,
    pub(super) tried: String,
    /// `yes`, `no` or nothing yet.
    pub(super) liquid: String,
    pub(super) liquid_what: String,
    pub(super) liquid_when: String,
    /// `yes`, `no` or nothing yet.
    pub(super) data_needed: String,
    pub(super) accessories: String,
    /// `yes`, `no` or nothing yet, by question.
    pub(super) cell: BTreeMap<String, String>,
    /// `yes`, `no` or nothing yet: whether somebody could see the battery.
    pub(super) cell_seen: String,
    /// Watt-hours as printed on the battery; may be empty.
    pub(super) wh: String,
    /// Nominal volts as printed; may be empty.
    pub(super) volts: String,
    /// Milliampere-hours as printed; may be empty.
    pub(super) mah: String,
    /// `one`, `more`, a number from a file, or nothing: how many cells are in the battery.
    pub(super) cells: String,
    /// Who at the lab answered about a battery whose condition is open, and what.
    pub(super) lab_answer: String,
}

impl DeviceForm {
    /// Reads the form's fields.
    pub(super) fn read(fields: &Fields) -> Self {
        Self::read_with(|name| fields.text(name))
    }

    /// Reads the fields from wherever `text` finds them.
    pub(super) fn read_with(text: impl Fn(&str) -> String) -> Self {
        let cell = QUESTIONS
            .iter()
            .map(|question| (question.field.to_owned(), text(question.field)))
            .collect();
        Self {
            kind: text("kind"),
            maker: text("maker"),
            model: text("model"),
            colour: text("colour"),
            identifier: text("identifier"),
            shop_reference: text("shop_reference"),
            fault: text("fault"),
            tried: text("tried"),
            liquid: text("liquid"),
            liquid_what: text("liquid_what"),
            liquid_when: text("liquid_when"),
            data_needed: text("data_needed"),
            accessories: text("accessories"),
            cell,
            cell_seen: text("cell_seen"),
            wh: text("wh"),
            volts: text("volts"),
            mah: text("mah"),
            cells: text("cells"),
            lab_answer: text("lab_answer"),
        }
    }

    /// Maker and model, for lists and messages.
    pub(super) fn name(&self) -> String {
        let name = format!("{} {}", self.maker, self.model).trim().to_owned();
        if name.is_empty() {
            "Device without a name".to_owned()
        } else {
            name
        }
    }

    /// True when nobody gave watt-hours, nor what they follow from.
    pub(super) fn is_unrated(&self) -> bool {
        self.wh.is_empty() && (self.volts.is_empty() || self.mah.is_empty())
    }

    /// The answer to a question, for the page.
    pub(super) fn answer(&self, field: &str) -> &str {
        self.cell.get(field).map_or("", String::as_str)
    }

    /// The answers that forbid the post, whatever else is still missing.
    pub(super) fn stopping_answers(&self) -> BTreeSet<CellAnswer> {
        let said_yes = |question: &&Question| self.answer(question.field) == "yes";
        QUESTIONS
            .iter()
            .filter(said_yes)
            .map(|question| question.yes)
            .filter(|answer| answer.forbids_post())
            .collect()
    }

    /// The answers that leave the battery's condition open: it goes on the list once a trained person at the lab has answered.
    pub(super) fn open_answers(&self) -> BTreeSet<CellAnswer> {
        self.check_cell(&mut Vec::new())
            .into_iter()
            .filter(|answer| answer.needs_an_answer())
            .collect()
    }

    /// What the open answers say of the battery, in words.
    pub(super) fn open_words(&self) -> Vec<&'static str> {
        self.open_answers().into_iter().map(cell_words).collect()
    }

    /// Makes an advice, with shop and parcel to be filled in, or says what is wrong.
    pub(super) fn check(&self) -> Result<JobAdvice, Vec<FieldError>> {
        // In the order of the page, so that the list of errors reads as the page does.
        let mut errors = Vec::new();
        let cell_answers = self.check_cell(&mut errors);
        let battery = self.check_battery(&mut errors);
        let kind = DeviceKind::ALL
            .into_iter()
            .find(|kind| kind.word() == self.kind);
        if kind.is_none() {
            errors.push(FieldError::new(
                "kind",
                "Choose what it is: phone, tablet, laptop or handheld.",
            ));
        }
        self.check_texts(&mut errors);
        let liquid = self.check_liquid(&mut errors);
        let data_needed = yes_or_no(&self.data_needed);
        if data_needed.is_none() {
            errors.push(FieldError::new(
                "data_needed",
                "Say whether the data on it must be kept.",
            ));
        }
        let accessories = self.check_accessories(&mut errors);
        let (Some(kind), true) = (kind, errors.is_empty()) else {
            return Err(errors);
        };
        Ok(JobAdvice {
            shop_id: ShopId::from_bytes([0; 16]),
            parcel_id: ParcelId::from_bytes([0; 16]),
            device: DeviceDescription {
                kind,
                maker: self.maker.clone(),
                model: self.model.clone(),
                colour: self.colour.clone(),
            },
            identifier: self.identifier.clone(),
            fault: self.fault.clone(),
            tried: self.tried.clone(),
            liquid,
            data_needed: data_needed.unwrap_or(true),
            accessories,
            cell_answers,
            shop_reference: self.shop_reference.clone(),
            battery,
        })
    }

    /// What is printed on the battery. Nothing of it must be given; what is given must make sense.
    fn check_battery(&self, errors: &mut Vec<FieldError>) -> AdvisedBattery {
        let rating = Rating {
            label_uwh: read("wh", &self.wh, parse_energy_uwh, errors),
            nominal_mv: read("volts", &self.volts, parse_voltage_mv, errors),
            capacity_mah: read("mah", &self.mah, parse_capacity_mah, errors),
            charge_max_mv: None,
        };
        if self.wh.is_empty() && self.volts.is_empty() != self.mah.is_empty() {
            let missing = if self.volts.is_empty() {
                "volts"
            } else {
                "mah"
            };
            errors.push(FieldError::new(
                missing,
                "Volts and milliampere-hours count only together; give both, or the watt-hours, or none of them.",
            ));
        }
        AdvisedBattery {
            rating,
            cells: match (self.cells.as_str(), self.cells.parse::<u8>()) {
                ("one", _) | (_, Ok(1)) => Some(AdvisedCells::One),
                ("more", _) | (_, Ok(2..)) => Some(AdvisedCells::More),
                _ => None,
            },
        }
    }

    fn check_texts(&self, errors: &mut Vec<FieldError>) {
        if self.maker.is_empty() {
            errors.push(FieldError::new(
                "maker",
                "Give the maker, as printed on the device.",
            ));
        }
        if self.model.is_empty() {
            errors.push(FieldError::new(
                "model",
                "Give the model, as the maker calls it.",
            ));
        }
        if self.fault.is_empty() {
            errors.push(FieldError::new(
                "fault",
                "Say in your own words what is wrong with it.",
            ));
        }
        let short = [
            ("maker", &self.maker),
            ("model", &self.model),
            ("colour", &self.colour),
            ("identifier", &self.identifier),
            ("shop_reference", &self.shop_reference),
            ("liquid_what", &self.liquid_what),
            ("liquid_when", &self.liquid_when),
            ("wh", &self.wh),
            ("volts", &self.volts),
            ("mah", &self.mah),
        ];
        let long = [
            ("lab_answer", &self.lab_answer),
            ("fault", &self.fault),
            ("tried", &self.tried),
            ("accessories", &self.accessories),
        ];
        let bounded = short
            .map(|field| (field, SHORT_CHARS_MAX))
            .into_iter()
            .chain(long.map(|field| (field, TEXT_CHARS_MAX)));
        for ((field, text), max) in bounded {
            if text.chars().count() > max {
                errors.push(FieldError::new(
                    field,
                    format!("Shorten this to at most {max} characters."),
                ));
            }
        }
    }

    fn check_liquid(&self, errors: &mut Vec<FieldError>) -> Option<LiquidStory> {
        match yes_or_no(&self.liquid) {
            None => {
                errors.push(FieldError::new(
                    "liquid",
                    "Say whether it met water or another liquid.",
                ));
                None
            }
            Some(false) => None,
            Some(true) => {
                if self.liquid_what.is_empty() {
                    errors.push(FieldError::new(
                        "liquid_what",
                        "Say what liquid it was; “not known” will do.",
                    ));
                }
                Some(LiquidStory {
                    what: self.liquid_what.clone(),
                    when: self.liquid_when.clone(),
                })
            }
        }
    }

    fn check_accessories(&self, errors: &mut Vec<FieldError>) -> Vec<String> {
        let items: Vec<String> = self
            .accessories
            .split([',', '\n'])
            .map(str::trim)
            .filter(|item| !item.is_empty())
            .map(str::to_owned)
            .collect();
        if items.len() > ACCESSORIES_MAX {
            errors.push(FieldError::new(
                "accessories",
                format!("Name at most {ACCESSORIES_MAX} accessories."),
            ));
        }
        items
    }

    fn check_cell(&self, errors: &mut Vec<FieldError>) -> BTreeSet<CellAnswer> {
        let mut answers = BTreeSet::new();
        for question in &QUESTIONS {
            match yes_or_no(self.answer(question.field)) {
                Some(true) => {
                    answers.insert(question.yes);
                    if question.yes.forbids_post() {
                        errors.push(FieldError::new(
                            question.field,
                            "With this answer the device must not be posted. Call the lab.",
                        ));
                    }
                }
                Some(false) => {}
                None => errors.push(FieldError::new(question.field, question.open)),
            }
        }
        match yes_or_no(&self.cell_seen) {
            Some(true) => {}
            Some(false) => {
                answers.insert(CellAnswer::NotSeen);
            }
            None => errors.push(FieldError::new(
                "cell_seen",
                "Say whether you could look at the battery itself.",
            )),
        }
        if self.liquid == "yes" {
            answers.insert(CellAnswer::Wet);
        }
        if self.lab_answer.is_empty() && answers.iter().any(|answer| answer.needs_an_answer()) {
            errors.push(FieldError::new(
                "lab_answer",
                "Ask the lab about the battery before you post this device, and write here who answered and what.",
            ));
        }
        answers
    }
}

/// Reads a figure as people write it; an empty field is not known, nonsense is said with what was probably meant.
fn read<T>(
    field: &'static str,
    text: &str,
    parse: impl Fn(&str) -> Result<T, ReadingError>,
    errors: &mut Vec<FieldError>,
) -> Option<T> {
    if text.is_empty() {
        return None;
    }
    parse(text)
        .map_err(|error| {
            let words = error.to_string();
            let mut letters = words.chars();
            let first = letters
                .next()
                .map(|letter| letter.to_uppercase().to_string());
            let end = if words.ends_with('?') { "" } else { "." };
            errors.push(FieldError::new(
                field,
                format!("{}{}{end}", first.unwrap_or_default(), letters.as_str()),
            ));
        })
        .ok()
}

/// Reads a yes or no as forms and files write it.
fn yes_or_no(text: &str) -> Option<bool> {
    match text {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}
