//! The lab, its people, its tests and its shops: what their entries add up to.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::boards::{Board, fold_boards};
use crate::cells::book::{BookRow, RuleBook};
use crate::device::DeviceKind;
use crate::fact::{
    Fact, LabDescription, LabMark, PaperTexts, PersonDescription, Procedure, ProcedureCode,
    RefusedAdvice, RuleUpdate, ShopDescription, StandingLimit, TestCode, TestDefinition, Training,
};
use crate::ids::{EntryId, LabId, PersonId, ShopId};
use crate::job::Marked;
use crate::job::fold::{marked, pick, register, standing_entries};
use crate::money::Money;
use crate::recorded::{Mark, Recorded};
use crate::register::Register;
use crate::stock::{Lot, fold_lots};

/// The lab.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Lab {
    /// The lab.
    pub lab_id: LabId,
    /// Name, address, zone, money.
    pub description: Register<LabDescription>,
    /// The mark beside its name on papers.
    pub mark: Register<LabMark>,
    /// What it says on papers in its own words.
    pub texts: Register<PaperTexts>,
    /// The catalogue of tests, each a register of its own, by code.
    pub tests: Vec<Register<TestDefinition>>,
    /// Every version of every test that was ever defined, oldest first: a job keeps the one it was tested with.
    pub definitions: Vec<Marked<TestDefinition>>,
    /// Newer rows of the rule book about cells, oldest first.
    pub rules: Vec<Marked<RuleUpdate>>,
    /// What is known of boards, by code.
    pub boards: Vec<Board>,
    /// Lots of parts, by number.
    pub lots: Vec<Lot>,
    /// The lab's procedures, each a register of its own, by code.
    pub procedures: Vec<Register<Procedure>>,
}

impl Lab {
    /// The rule book that ships with the program, with the lab's newer rows.
    pub fn rule_book(&self) -> RuleBook {
        let rows: Vec<BookRow> = self
            .rules
            .iter()
            .map(|update| update.value.row.clone())
            .collect();
        RuleBook::shipped().with_updates(&rows)
    }

    /// The standing definition of each test, in the order of group and title.
    pub fn catalogue(&self) -> Vec<&TestDefinition> {
        let mut tests: Vec<&TestDefinition> =
            self.tests.iter().filter_map(Register::value).collect();
        tests.sort_by(|a, b| (&a.group, &a.title).cmp(&(&b.group, &b.title)));
        tests
    }

    /// The tests that the lab does, with the entry that defined each.
    pub fn tests_in_use(&self) -> Vec<(EntryId, &TestDefinition)> {
        let mut tests: Vec<(EntryId, &TestDefinition)> = self
            .tests
            .iter()
            .filter_map(|register| Some((register.mark()?.entry_id, register.value()?)))
            .filter(|(_, test)| !test.retired)
            .collect();
        tests.sort_by(|(_, a), (_, b)| (&a.group, &a.title).cmp(&(&b.group, &b.title)));
        tests
    }

    /// The version of a test that one entry defined.
    pub fn definition(&self, entry_id: EntryId) -> Option<&TestDefinition> {
        self.definitions
            .iter()
            .find(|definition| definition.mark.entry_id == entry_id)
            .map(|definition| &definition.value)
    }
}

/// A person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Person {
    /// The person.
    pub person_id: PersonId,
    /// Name and roles.
    pub description: Register<PersonDescription>,
    /// The training for lithium shipments, as recorded last.
    pub training: Option<Marked<Training>>,
}

/// A partner shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Shop {
    /// The shop.
    pub shop_id: ShopId,
    /// Name, address, money.
    pub description: Register<ShopDescription>,
    /// The price up to which it agrees beforehand.
    pub standing_limit: Register<StandingLimit>,
    /// Advice that was refused because of a cell, oldest first.
    pub refused: Vec<Marked<RefusedAdvice>>,
}

impl Shop {
    /// True when a sum lies within the standing limit: same currency, not above it.
    pub fn agrees_beforehand(&self, sum: &Money) -> bool {
        self.standing_limit
            .value()
            .and_then(|standing| standing.limit.as_ref())
            .is_some_and(|limit| limit.currency == sum.currency && sum.minor <= limit.minor)
    }
}

/// Folds the lab's own entries.
pub fn fold_lab(lab_id: LabId, entries: &[Recorded]) -> Lab {
    let standing = standing_entries(entries);
    let mut by_code: BTreeMap<TestCode, Vec<(&Recorded, TestDefinition)>> = BTreeMap::new();
    for recorded in &standing {
        if let Some(Fact::TestDefined(test)) = recorded.fact() {
            by_code
                .entry(test.code.clone())
                .or_default()
                .push((recorded, test.clone()));
        }
    }
    let mut procedures: BTreeMap<ProcedureCode, Vec<(&Recorded, Procedure)>> = BTreeMap::new();
    for recorded in &standing {
        if let Some(Fact::ProcedureDefined(procedure)) = recorded.fact() {
            let edits = procedures.entry(procedure.code.clone()).or_default();
            edits.push((recorded, procedure.clone()));
        }
    }
    Lab {
        boards: fold_boards(&standing),
        lots: fold_lots(&standing),
        procedures: procedures.into_values().map(Register::fold).collect(),
        lab_id,
        description: register(&standing, pick!(LabDescribed)),
        mark: register(&standing, pick!(LabMarkSet)),
        texts: register(&standing, pick!(PaperTextsSet)),
        tests: by_code.into_values().map(Register::fold).collect(),
        rules: marked(&standing, pick!(RuleUpdated)),
        definitions: standing
            .iter()
            .filter_map(|recorded| match recorded.fact() {
                Some(Fact::TestDefined(test)) => Some(Marked {
                    mark: Mark::from(*recorded),
                    value: test.clone(),
                }),
                _ => None,
            })
            .collect(),
    }
}

/// Folds the entries about one person.
pub fn fold_person(person_id: PersonId, entries: &[Recorded]) -> Person {
    let standing = standing_entries(entries);
    Person {
        person_id,
        description: register(&standing, pick!(PersonDescribed)),
        training: marked(&standing, pick!(PersonTrained)).pop(),
    }
}

/// Folds the entries about one shop.
pub fn fold_shop(shop_id: ShopId, entries: &[Recorded]) -> Shop {
    let standing = standing_entries(entries);
    Shop {
        shop_id,
        description: register(&standing, pick!(ShopDescribed)),
        standing_limit: register(&standing, pick!(ShopLimitSet)),
        refused: standing
            .iter()
            .filter_map(|recorded| match recorded.fact() {
                Some(Fact::AdviceRefused(refused)) => Some(Marked {
                    mark: Mark::from(*recorded),
                    value: refused.clone(),
                }),
                _ => None,
            })
            .collect(),
    }
}

/// Suggests tests for a device kind and a declared fault: those whose words occur in the fault first, marked as showing it.
pub fn suggest_tests<'a>(
    catalogue: &[&'a TestDefinition],
    kind: DeviceKind,
    fault: &str,
) -> Vec<(&'a TestDefinition, bool)> {
    let fault = fault.to_lowercase();
    let mut suggested: Vec<(&TestDefinition, bool)> = catalogue
        .iter()
        .filter(|test| test.device_kinds.contains(&kind))
        .map(|test| {
            (
                *test,
                test.fault_words
                    .iter()
                    .any(|word| fault.contains(word.as_str())),
            )
        })
        .collect();
    suggested.sort_by_key(|(_, shows_fault)| !shows_fault);
    suggested
}
