//! Applies the rule book to one question.

use std::cmp::Reverse;

use super::alternatives;
use super::answer::{Caution, Flag, Verdict, VerdictCode};
use super::findings::Condition;
use super::ledger::Ledger;
use super::load::Loads;
use super::question::{Config, Contents, Mode, Parcel, Regime};
use super::{carrier_rules, condition_rules, data_rules, names, sound_rules};
use crate::cells::Certainty;
use crate::cells::book::{RowKind, RuleBody, RuleBook};

/// Judges one package. The same question always gets the same answer from the same book.
///
/// A question that can't be right is answered all the same, with a hold that says why; [`Parcel::problems`] lists the reasons.
pub fn judge_parcel(book: &RuleBook, parcel: &Parcel) -> Verdict {
    let mut verdict = judge_once(book, parcel);
    verdict.alternatives = alternatives::find(book, parcel, verdict.verdict);
    verdict
}

/// The verdict without its alternatives.
pub(super) fn judge_once(book: &RuleBook, parcel: &Parcel) -> Verdict {
    let mut ledger = Ledger::new(book, parcel);
    let loads = Loads::of(parcel);
    data_rules::problems(&mut ledger, book);
    if !parcel.contents.is_empty() {
        condition_rules::apply(&mut ledger, &loads);
        data_rules::apply(&mut ledger, &loads);
        match loads.condition() {
            Condition::Sound => sound_rules::apply(&mut ledger, &loads),
            Condition::Undiagnosed if parcel.mode == Mode::PostDomestic => {
                only_what_forbids(book, &mut ledger, &loads);
            }
            _ => {}
        }
        carrier_rules::apply(&mut ledger, &loads);
        forbidden_however_it_lies(book, &mut ledger);
        forbidden_as_cell_and_as_battery(book, &mut ledger);
    }
    finish(book, ledger, &loads)
}

/// Where nobody said how one line lies to its device, and every answer would be forbidden, it is forbidden.
fn forbidden_however_it_lies(book: &RuleBook, ledger: &mut Ledger<'_>) {
    let answers = Config::ALL.iter().map(|config| {
        move |line: &mut Contents| {
            line.config = Some(*config);
        }
    });
    forbidden_either_way(
        book,
        ledger,
        |line| line.config.is_none(),
        answers,
        "However the battery lies to its device, it must not go this way.",
    );
}

/// The same where nobody said whether a unit is a single cell or a battery of several.
fn forbidden_as_cell_and_as_battery(book: &RuleBook, ledger: &mut Ledger<'_>) {
    let answers = [1, 2].map(|cells| {
        move |line: &mut Contents| {
            line.cells_per_unit = Some(cells);
        }
    });
    forbidden_either_way(
        book,
        ledger,
        |line| line.cells_per_unit.is_none() && !line.button,
        answers.into_iter(),
        "Whether it is a single cell or a battery of several, it must not go this way.",
    );
}

/// Forbids, under the rule for what is not known, a parcel of which one line leaves something unsaid, when no answer would let it go.
fn forbidden_either_way<Say: Fn(&mut Contents)>(
    book: &RuleBook,
    ledger: &mut Ledger<'_>,
    is_unsaid: impl Fn(&Contents) -> bool,
    mut answers: impl Iterator<Item = Say>,
    words: &str,
) {
    if ledger.worst() == VerdictCode::Forbidden {
        return;
    }
    let parcel = ledger.parcel;
    let mut unsaid = (0..parcel.contents.len()).filter(|&line| is_unsaid(&parcel.contents[line]));
    let (Some(line), None) = (unsaid.next(), unsaid.next()) else {
        return;
    };
    let forbidden = answers.all(|say| {
        let mut said = parcel.clone();
        say(&mut said.contents[line]);
        judge_once(book, &said).verdict == VerdictCode::Forbidden
    });
    if forbidden {
        ledger.fire_of("R09", RuleBody::Any, VerdictCode::Forbidden, words);
    }
}

/// What a sound parcel must not do, one that nobody has diagnosed must not do either.
fn only_what_forbids(book: &RuleBook, ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    let mut as_if_sound = Ledger::new(book, ledger.parcel);
    sound_rules::apply(&mut as_if_sound, loads);
    let forbidding = as_if_sound
        .rules
        .into_iter()
        .filter(|rule| rule.verdict == VerdictCode::Forbidden);
    ledger.rules.extend(forbidding);
}

fn finish(book: &RuleBook, mut ledger: Ledger<'_>, loads: &Loads<'_>) -> Verdict {
    let verdict = ledger.worst();
    if matches!(verdict, VerdictCode::Ordinary | VerdictCode::Marked) {
        ordinary_packing(&mut ledger, loads);
    }
    if verdict == VerdictCode::Forbidden {
        ledger.marks.clear();
        ledger.papers.clear();
        ledger.packing.clear();
    }
    ledger.rules.sort_by(|a, b| {
        (Reverse(a.verdict), &a.id, &a.text).cmp(&(Reverse(b.verdict), &b.id, &b.text))
    });
    weak_sources(&mut ledger);
    ledger
        .limits
        .sort_by(|a, b| (a.within, &a.id, &a.value).cmp(&(b.within, &b.id, &b.value)));
    let names = names::names(loads);
    let packing_instruction = names::instructions(&ledger, loads);
    let parcel = ledger.parcel;
    Verdict {
        verdict,
        words: words(verdict, &ledger),
        un: loads.un().into_iter().collect(),
        proper_shipping_name: names.into_iter().map(|(_, name)| name).collect(),
        packing_instruction,
        marks: ledger.marks.into_values().collect(),
        papers: ledger.papers.into_iter().collect(),
        flags: ledger.flags.into_iter().collect(),
        rules: ledger.rules,
        limits: ledger.limits,
        alternatives: Vec::new(),
        unknowns: ledger.unknowns,
        cautions: cautions(book),
        packing: ledger.packing.into_values().collect(),
        regime: parcel.regime,
        mode: parcel.mode,
        carrier: parcel.carrier,
        ship_date: parcel.ship_date,
        book: book.revision(),
    }
}

fn words(verdict: VerdictCode, ledger: &Ledger<'_>) -> String {
    if ledger.flags.contains(&Flag::Emergency) {
        return format!("{}: {}", verdict.words(), Flag::Emergency.words());
    }
    verdict.words().to_owned()
}

/// How a sound parcel is packed, and what must be at hand.
fn ordinary_packing(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    let (general, equipment) = match ledger.parcel.regime {
        Regime::UsHmr => ("173.185(b)(2), (b)(3)", "173.185(b)(4)"),
        Regime::Adr => ("ADR 2025, SP 188", "ADR 2025, SP 188"),
    };
    if loads.any(Config::Contained) || loads.any(Config::PackedWith) {
        ledger.pack(
            10,
            "Switch the device off, and see to it that it can't switch itself on.",
            equipment,
        );
    }
    if loads.any(Config::Alone) || loads.any(Config::PackedWith) {
        ledger.pack(20, "Put each loose cell or battery into an inner packaging that does not conduct and encloses it completely, apart from the others and from anything that conducts.", general);
    }
    ledger.pack(
        30,
        "Cushion everything so that nothing moves and nothing presses on a battery.",
        general,
    );
    ledger.pack(40, "Use a strong, rigid outer packaging.", equipment);
    ledger.pack(60, "Close and weigh the package.", "derived here");
    if !ledger.marks.is_empty() {
        ledger.pack(
            70,
            "Fix every mark and all words listed, each on a flat side, none folded over an edge.",
            "173.185(c)(3); SP 188(f)",
        );
    }
    ledger.pack(
        80,
        "Hand it over by the way this verdict is for, and by no other.",
        "derived here",
    );
    ledger.paper(
        "UN 38.3 test summary",
        "The battery's maker or seller must give one out when asked; keep it with the record.",
        general,
    );
    if loads.counted.iter().any(|load| {
        load.unit() == Some(super::load::Unit::Battery) && load.contents.wh_label.is_none()
    }) {
        ledger.unknown("whether the battery shows its watt-hours on its case, as a battery of several cells must");
    }
    if loads
        .counted
        .iter()
        .any(|load| load.contents.inspected.is_none())
    {
        ledger.unknown("who looked at the battery, when and how");
    }
}

/// A line for every rule that rests on less than its own text.
fn weak_sources(ledger: &mut Ledger<'_>) {
    let sentences: Vec<String> = ledger
        .rules
        .iter()
        .filter_map(|rule| {
            let how = match rule.certainty {
                Certainty::Primary => return None,
                Certainty::Secondary => "rests on texts about the rule, not on the rule's own text",
                Certainty::FromMemory => "rests on memory only",
                Certainty::OwnDerivation => "is derived for this program and stands in no text",
            };
            Some(format!("{} ({}) {how}", rule.id, rule.clause))
        })
        .collect();
    for sentence in sentences {
        ledger.unknown(sentence);
    }
}

fn cautions(book: &RuleBook) -> Vec<Caution> {
    let mut cautions: Vec<Caution> = book
        .rows()
        .iter()
        .filter(|row| row.kind == RowKind::Caution)
        .map(|row| Caution {
            id: row.id.clone(),
            text: row.text.clone(),
        })
        .collect();
    cautions.sort_by(|a, b| a.id.cmp(&b.id));
    cautions
}
