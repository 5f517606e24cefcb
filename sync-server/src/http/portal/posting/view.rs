//! A transport verdict as a person at a counter reads it: no code words, every rule with its clause, edition and certainty.

use domain::cells::Certainty;
use domain::cells::transport::{
    Flag, Mark, MarkKind, PackingStep, RuleFired, Verdict, VerdictCode,
};

/// A mark, words or label for the outside of the box.
pub(in crate::http::portal) struct MarkView {
    /// What it is.
    pub(in crate::http::portal) name: String,
    /// The words to print, exactly.
    pub(in crate::http::portal) lines: Vec<String>,
    /// Its least size, in words; empty if none is laid down.
    pub(in crate::http::portal) size: String,
    /// Where it goes.
    pub(in crate::http::portal) placing: String,
}

/// A paper that goes with the parcel.
pub(in crate::http::portal) struct PaperView {
    /// What it is.
    pub(in crate::http::portal) name: String,
    /// What must stand in it.
    pub(in crate::http::portal) text: String,
    /// Who asks for it.
    pub(in crate::http::portal) clause: String,
}

/// A value beside its limit.
pub(in crate::http::portal) struct LimitView {
    /// What was compared.
    pub(in crate::http::portal) what: String,
    /// The value.
    pub(in crate::http::portal) value: String,
    /// The limit.
    pub(in crate::http::portal) limit: String,
    /// Whether the value is known and keeps the limit.
    pub(in crate::http::portal) within: bool,
    /// The clause and how sure it is.
    pub(in crate::http::portal) clause: String,
}

/// Another lawful way.
pub(in crate::http::portal) struct AlternativeView {
    /// What would be done otherwise.
    pub(in crate::http::portal) change: String,
    /// What the verdict would be.
    pub(in crate::http::portal) words: String,
}

/// A rule that fired.
pub(in crate::http::portal) struct RuleView {
    /// What it says.
    pub(in crate::http::portal) text: String,
    /// Clause, edition, certainty and day of the last check.
    pub(in crate::http::portal) source: String,
}

/// Something that is not known, or that rests on less than a rule's own text.
pub(in crate::http::portal) struct UnknownView {
    /// What it is; for a rule, the rule in its own words.
    pub(in crate::http::portal) text: String,
    /// For a rule, what it rests on, and its clause; else empty.
    pub(in crate::http::portal) source: String,
}

/// What a verdict means for whoever stands at the counter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::http::portal) enum Tone {
    /// May be handed over as it says.
    Good,
    /// Somebody trained must be called first.
    Call,
    /// Must not go this way.
    Stop,
    /// Leave, and call the fire service.
    Emergency,
}

/// A verdict, ready for the page.
pub(in crate::http::portal) struct VerdictView {
    /// What it means for whoever stands at the counter.
    pub(in crate::http::portal) tone: Tone,
    /// The verdict in a few words.
    pub(in crate::http::portal) headline: &'static str,
    /// What it means for the hands.
    pub(in crate::http::portal) sentence: &'static str,
    /// The rules that decided it.
    pub(in crate::http::portal) reasons: Vec<String>,
    /// What else there is to know.
    pub(in crate::http::portal) notes: Vec<String>,
    /// Marks, words and labels.
    pub(in crate::http::portal) marks: Vec<MarkView>,
    /// Papers.
    pub(in crate::http::portal) papers: Vec<PaperView>,
    /// How it is packed.
    pub(in crate::http::portal) steps: Vec<PackingStep>,
    /// Values beside limits.
    pub(in crate::http::portal) limits: Vec<LimitView>,
    /// Other lawful ways.
    pub(in crate::http::portal) alternatives: Vec<AlternativeView>,
    /// What is not known.
    pub(in crate::http::portal) unknowns: Vec<UnknownView>,
    /// What stands on every verdict.
    pub(in crate::http::portal) cautions: Vec<String>,
    /// Every rule that fired.
    pub(in crate::http::portal) rules: Vec<RuleView>,
    /// Which goods these are, for whoever fills in a carrier's form.
    pub(in crate::http::portal) goods: Vec<String>,
    /// The state of the rules.
    pub(in crate::http::portal) book: String,
}

impl VerdictView {
    /// May be handed over as it says.
    pub(in crate::http::portal) fn is_good(&self) -> bool {
        self.tone == Tone::Good
    }

    /// Must not go, or is dangerous now.
    pub(in crate::http::portal) fn is_stop(&self) -> bool {
        matches!(self.tone, Tone::Stop | Tone::Emergency)
    }

    /// Somebody trained at the lab must be called first.
    pub(in crate::http::portal) fn is_call(&self) -> bool {
        matches!(self.tone, Tone::Call | Tone::Stop)
    }

    /// Leave, and call the fire service.
    pub(in crate::http::portal) fn is_emergency(&self) -> bool {
        self.tone == Tone::Emergency
    }

    /// Puts a verdict into words.
    pub(in crate::http::portal) fn of(verdict: &Verdict) -> Self {
        let tone = if verdict.flags.contains(&Flag::Emergency) {
            Tone::Emergency
        } else if verdict.may_go() {
            Tone::Good
        } else if verdict.verdict == VerdictCode::Forbidden {
            Tone::Stop
        } else {
            Tone::Call
        };
        let (headline, sentence) = headline(verdict, tone);
        Self {
            tone,
            headline,
            sentence,
            reasons: reasons(verdict),
            notes: verdict
                .flags
                .iter()
                .filter(|flag| **flag != Flag::Emergency)
                .map(|flag| sentence_of(flag.words()))
                .collect(),
            marks: verdict.marks.iter().map(mark).collect(),
            papers: verdict
                .papers
                .iter()
                .map(|paper| PaperView {
                    name: sentence_start(&paper.name),
                    text: paper.text.clone(),
                    clause: paper.clause.clone(),
                })
                .collect(),
            steps: verdict.packing.clone(),
            limits: verdict
                .limits
                .iter()
                .map(|limit| LimitView {
                    what: sentence_start(&limit.what),
                    value: limit.value.clone(),
                    limit: limit.limit.clone(),
                    within: limit.within,
                    clause: format!("{}; {}", limit.clause, certainty(limit.certainty)),
                })
                .collect(),
            alternatives: verdict
                .alternatives
                .iter()
                .map(|other| AlternativeView {
                    change: sentence_start(&other.change),
                    words: sentence_of(&other.words),
                })
                .collect(),
            unknowns: unknowns(verdict),
            cautions: verdict
                .cautions
                .iter()
                .map(|caution| caution.text.clone())
                .collect(),
            rules: verdict.rules.iter().map(rule).collect(),
            goods: goods(verdict),
            book: verdict.book.clone(),
        }
    }
}

/// The verdict's headline, and what it means for the hands.
fn headline(verdict: &Verdict, tone: Tone) -> (&'static str, &'static str) {
    let is_missing = verdict.flags.contains(&Flag::DataMissing);
    match verdict.verdict {
        _ if tone == Tone::Emergency => (
            "Leave it now",
            "Do not touch, move, cover or open it. It must not go anywhere.",
        ),
        VerdictCode::Ordinary => (
            "May go",
            "No battery mark is needed. Pack it as below, and keep to your carrier's own terms.",
        ),
        VerdictCode::Marked => (
            "May go, with the marks below",
            "Put every mark below on the box, pack it as below, and keep to your carrier's own terms.",
        ),
        VerdictCode::DdrGround => (
            "By road only, and only by a trained shipper",
            "Do not post it yourself. A person trained for dangerous goods packs it as a damaged battery and signs for it. Call the \
             lab.",
        ),
        VerdictCode::Forbidden => (
            "Must not go this way",
            "Do not hand it over like this. If something below is lawful instead, do that; else call the lab.",
        ),
        VerdictCode::Hold if is_missing => (
            "Hold it: something is not known",
            "Do not send it yet. Find out what is missing and ask again below, or call the lab.",
        ),
        VerdictCode::Hold => (
            "Hold it: a trained person must decide",
            "Do not send it yet. Call the lab and say what stands below.",
        ),
    }
}

/// What the rules that called for this verdict say; for a parcel that may go, there is nothing to explain.
fn reasons(verdict: &Verdict) -> Vec<String> {
    if verdict.verdict == VerdictCode::Ordinary {
        return Vec::new();
    }
    let mut reasons: Vec<String> = verdict
        .rules
        .iter()
        .filter(|rule| rule.verdict == verdict.verdict)
        .map(|rule| sentence_of(&rule.text))
        .collect();
    reasons.dedup();
    reasons
}

/// What is not known about the parcel, then every rule that was not read in its own text. The engine names those rules by their id
/// alone, which says nothing at a counter; so here stand their words, as they do below among the rules.
fn unknowns(verdict: &Verdict) -> Vec<UnknownView> {
    let is_of_a_rule = |line: &&String| {
        let begins = |rule: &RuleFired| line.starts_with(&format!("{} (", rule.id));
        verdict.rules.iter().any(begins)
    };
    let of_the_parcel = verdict
        .unknowns
        .iter()
        .filter(|line| !is_of_a_rule(line))
        .map(|line| UnknownView {
            text: sentence_of(line),
            source: String::new(),
        });
    let of_rules = verdict
        .rules
        .iter()
        .filter(|rule| rule.certainty != Certainty::Primary)
        .map(|rule| UnknownView {
            text: sentence_of(&rule.text),
            source: format!(
                "{} {} In our table: {}.",
                sentence_of(&rule.clause),
                sentence_of(certainty(rule.certainty)),
                rule.id
            ),
        });
    of_the_parcel.chain(of_rules).collect()
}

fn mark(mark: &Mark) -> MarkView {
    let by = |(width, height): (u32, u32)| format!("{width} × {height} mm");
    let mut size = Vec::new();
    if let Some(whole) = mark.size_mm {
        size.push(format!("at least {}", by(whole)));
    }
    if let Some(small) = mark.small_size_mm {
        size.push(format!("only on a box too small for that, {}", by(small)));
    }
    if let Some(height) = mark.letter_height_mm {
        size.push(format!("letters at least {height} mm high"));
    }
    MarkView {
        name: sentence_start(&mark.words),
        // The battery mark is a drawing; its UN number alone would not be one.
        lines: if mark.kind == MarkKind::BatteryMark {
            Vec::new()
        } else {
            mark.lines.clone()
        },
        size: if size.is_empty() {
            String::new()
        } else {
            sentence_of(&size.join("; "))
        },
        placing: sentence_of(&mark.placing),
    }
}

fn rule(rule: &RuleFired) -> RuleView {
    RuleView {
        text: sentence_of(&rule.text),
        source: format!(
            "{}: {}. Edition: {}. {}. Last checked {}. In our table: {}.",
            sentence_start(rule.regime.words()),
            rule.clause,
            rule.edition,
            sentence_start(certainty(rule.certainty)),
            rule.last_checked,
            rule.id,
        ),
    }
}

/// How sure a rule's source is, in words.
pub(in crate::http) const fn certainty(certainty: Certainty) -> &'static str {
    match certainty {
        Certainty::Primary => "the rule's own text was read",
        Certainty::Secondary => "read in a text about the rule, not in the rule",
        Certainty::FromMemory => "from memory, to be checked",
        Certainty::OwnDerivation => "derived by us, in no rule",
    }
}

/// UN number, proper shipping name and packing instruction.
fn goods(verdict: &Verdict) -> Vec<String> {
    let names = verdict
        .un
        .iter()
        .zip(&verdict.proper_shipping_name)
        .map(|(un, name)| format!("{}, {name}", un.printed()));
    let packing = (!verdict.packing_instruction.is_empty()).then(|| {
        format!(
            "packing instruction {}",
            verdict.packing_instruction.join(", ")
        )
    });
    names.chain(packing).collect()
}

/// A capital letter at the beginning.
fn sentence_start(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// A whole sentence: a capital letter at the beginning, a full stop at the end.
fn sentence_of(text: &str) -> String {
    let text = sentence_start(text.trim());
    if text.is_empty() || text.ends_with(['.', '!', '?', '”']) {
        text
    } else {
        format!("{text}.")
    }
}
