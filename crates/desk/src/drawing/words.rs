//! Times, names and values as papers print them. English, and the lab's own zone; whoever reads them elsewhere is told which.

use std::collections::BTreeMap;

use domain::calendar::Zone;
use domain::fact::DeviceDescription;

use domain::{Mark, PersonId, Register};
use jiff::civil::Date;
use papers::model::{OtherValue, Stated};

/// What turns facts into words: the lab's zone and people's names.
pub(crate) struct Words {
    zone: Zone,
    names: BTreeMap<PersonId, String>,
}

const DATE: &str = "%-d %b %Y";
const TIME: &str = "%-d %b %Y, %H:%M";

impl Words {
    pub(super) fn new(zone: Zone, names: BTreeMap<PersonId, String>) -> Self {
        Self { zone, names }
    }

    pub(super) const fn zone(&self) -> &Zone {
        &self.zone
    }

    /// As `25 Nov 2026, 14:05`, on the lab's wall.
    pub(super) fn time(&self, at_ms: u64) -> String {
        self.written(at_ms, TIME)
    }

    /// As `25 Nov 2026`, on the lab's wall.
    pub(crate) fn date(&self, at_ms: u64) -> String {
        self.written(at_ms, DATE)
    }

    fn written(&self, at_ms: u64, form: &str) -> String {
        let local = i64::try_from(at_ms)
            .ok()
            .and_then(|at_ms| self.zone.local(at_ms).ok());
        local.map_or_else(
            || "at an unknown time".to_owned(),
            |local| local.strftime(form).to_string(),
        )
    }

    pub(super) fn name(&self, person_id: PersonId) -> &str {
        self.names
            .get(&person_id)
            .map_or("a person not known here", String::as_str)
    }

    /// Who and when, in one phrase.
    pub(crate) fn by(&self, mark: &Mark) -> String {
        format!("{}, {}", self.name(mark.actor_id), self.time(mark.at_ms))
    }

    /// A register's value with every other value that stands beside it.
    pub(super) fn stated<T: Clone + PartialEq>(
        &self,
        register: &Register<T>,
        text: impl Fn(&T) -> String,
    ) -> Stated {
        let Some(first) = register.heads.first() else {
            return Stated::default();
        };
        let others = register
            .heads
            .iter()
            .skip(1)
            .filter(|head| head.value != first.value);
        let others = others
            .map(|head| OtherValue {
                text: text(&head.value),
                by: self.by(&head.mark),
            })
            .collect();
        Stated {
            text: text(&first.value),
            others,
        }
    }

    /// The same on one line, where a paper has no room for more.
    pub(super) fn inline<T: Clone + PartialEq>(
        &self,
        register: &Register<T>,
        text: impl Fn(&T) -> String,
    ) -> String {
        let stated = self.stated(register, text);
        let others = stated
            .others
            .iter()
            .map(|other| format!("; not settled: {} ({})", other.text, other.by));
        std::iter::once(stated.text.clone()).chain(others).collect()
    }
}

/// A date as papers print it.
pub(crate) fn day(date: Date) -> String {
    date.strftime(DATE).to_string()
}

/// A date as facts hold it, as papers print it; what is no date stays as it is.
pub(super) fn day_of(text: &str) -> String {
    text.parse::<Date>().map_or_else(|_| text.to_owned(), day)
}

/// Maker, model and what tells it apart.
pub(super) fn device_name(device: &DeviceDescription) -> String {
    let name = [&device.maker, &device.model]
        .into_iter()
        .filter(|part| !part.is_empty())
        .cloned()
        .collect::<Vec<_>>()
        .join(" ");
    if device.colour.is_empty() {
        name
    } else {
        format!("{name}, {}", device.colour)
    }
}

/// The first letter large.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Words that are there, with a separator between.
pub(super) fn joined<'a>(parts: impl IntoIterator<Item = &'a str>, separator: &str) -> String {
    parts
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(separator)
}

/// “1 page”, “2 pages”.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}
