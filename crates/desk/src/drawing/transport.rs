//! The papers of a return parcel with cells: packing instruction, battery marks, words for its outside, waybill sentence.
//!
//! The verdict is the rule engine's; here it only becomes paper. A mark or a letter height that the rule book asks for and this
//! program does not draw is refused, never printed at another size. A parcel that must not go gets its instruction, which says
//! so, and nothing that could be stuck on a box.

use domain::cells::book::{BookRow, InForce, RuleBody, RuleBook};
use domain::cells::transport::{
    Flag, Mark, MarkKind, Parcel as Question, RuleFired, Verdict, VerdictCode,
};
use domain::cells::{Certainty, energy_text};
use domain::fact::LabDescription;
use domain::job::Job;
use domain::reference::ParcelRef;
use papers::model::{self, Labelled, MarkSize, RuleCited, VerdictKind};

use super::came::chemistry_words;
use super::own::Own;
use super::report::words;
use super::words::{Words, capital, day, device_name, joined};
use super::{lab_head, meta, party, setup};
use crate::commands::PaperSize;
use crate::commands::cell_papers::{ParcelPaper, ParcelPaperKind};
use crate::commands::dock::ParcelView;
use crate::desk::Desk;
use crate::error::DeskError;

/// Battery marks printed at once; for more packages, the same sheet is printed again.
const MARKS_MAX: u32 = 20;
/// Words without a height in their rule are printed at this height, in millimetres. Common practice, no source.
const WORDS_HEIGHT_MM: u32 = 6;
/// The hatching that is drawn is at least so wide, in millimetres.
const HATCHING_MM: i64 = 5;

/// What the papers of a parcel are made from.
pub(crate) struct ForTransport<'a> {
    /// The parcel.
    pub(crate) view: &'a ParcelView,
    /// What was asked.
    pub(crate) question: &'a Question,
    /// What was answered.
    pub(crate) verdict: &'a Verdict,
    /// The book that answered.
    pub(crate) book: &'a RuleBook,
    /// What a trained person chose otherwise, within the law.
    pub(crate) overridden: Option<model::Overridden>,
    /// The trained shipper, if one is named.
    pub(crate) shipper: String,
    /// True when a package is too small for a mark of the full size.
    pub(crate) small_marks: bool,
    /// The page.
    pub(crate) size: PaperSize,
}

impl Desk {
    /// Who and when, as papers print it.
    pub(crate) fn said_by(&self, mark: &domain::Mark) -> Result<String, DeskError> {
        Ok(words(self)?.by(mark))
    }

    /// Prints what goes on and with a return parcel. The instruction comes first.
    pub(crate) fn transport_papers(
        &self,
        papers: &ForTransport<'_>,
    ) -> Result<Vec<ParcelPaper>, DeskError> {
        let words = words(self)?;
        let lab = self
            .lab()?
            .description
            .value()
            .cloned()
            .ok_or(DeskError::NoLab)?;
        let jobs: Vec<Job> = papers
            .view
            .parcel
            .inside
            .iter()
            .map(|job_id| self.job(*job_id))
            .collect::<Result<_, _>>()?;
        let shop = papers
            .view
            .parcel
            .shop_id
            .map(|shop_id| self.shop_fold(shop_id))
            .transpose()?;
        let to = party(shop.as_ref().and_then(|shop| shop.description.value()));
        let reference = &papers.view.parcel.reference;
        let page = setup(papers.size);
        let own = self.own()?;
        let drawing = Drawing {
            papers,
            words: &words,
            lab: &lab,
            own: &own,
            jobs: &jobs,
            in_force: papers.book.on(papers.verdict.ship_date),
        };
        // Everything is drawn before anything is written, so that a refusal leaves no half set.
        let drawn = drawing.all(to, &page)?;
        drawn
            .into_iter()
            .map(|sheets| {
                let name = format!("{}-{reference}.pdf", sheets.name());
                Ok(ParcelPaper {
                    kind: sheets.kind,
                    paper: self.write_paper(&name, &sheets.pdf)?,
                    copies: sheets.copies,
                    pieces: sheets.pieces,
                    true_size: matches!(
                        sheets.kind,
                        ParcelPaperKind::BatteryMark | ParcelPaperKind::Words
                    ),
                })
            })
            .collect()
    }
}

/// A paper that was drawn and not yet written.
struct Sheets {
    kind: ParcelPaperKind,
    pdf: Vec<u8>,
    copies: u32,
    pieces: u32,
}

impl Sheets {
    fn name(&self) -> &'static str {
        match self.kind {
            ParcelPaperKind::PackingInstruction => "packing-instruction",
            ParcelPaperKind::BatteryMark => "battery-mark",
            ParcelPaperKind::Words => "parcel-words",
            ParcelPaperKind::WaybillSentence => "air-waybill",
        }
    }
}

struct Drawing<'a> {
    papers: &'a ForTransport<'a>,
    words: &'a Words,
    lab: &'a LabDescription,
    own: &'a Own,
    jobs: &'a [Job],
    in_force: InForce<'a>,
}

impl Drawing<'_> {
    fn reference(&self) -> &str {
        &self.papers.view.parcel.reference
    }

    /// Every paper that the verdict asks for, the instruction first.
    fn all(&self, to: model::Party, page: &model::PageSetup) -> Result<Vec<Sheets>, DeskError> {
        let sheets = |kind, pdf, copies, pieces: usize| Sheets {
            kind,
            pdf,
            copies,
            pieces: u32::try_from(pieces).unwrap_or(u32::MAX),
        };
        let mut drawn = vec![sheets(
            ParcelPaperKind::PackingInstruction,
            papers::packing_instruction(&self.instruction(to), page)?,
            1,
            1,
        )];
        if let Some(marks) = self.battery_marks()? {
            drawn.push(sheets(
                ParcelPaperKind::BatteryMark,
                papers::battery_marks(&marks, page)?,
                self.packages().div_ceil(MARKS_MAX),
                marks.marks.len(),
            ));
        }
        if let Some(labels) = self.word_labels() {
            drawn.push(sheets(
                ParcelPaperKind::Words,
                papers::word_labels(&labels, page)?,
                self.packages(),
                labels.labels.len(),
            ));
        }
        if let Some(sentences) = self.waybill() {
            drawn.push(sheets(
                ParcelPaperKind::WaybillSentence,
                papers::waybill_sentences(&sentences, page)?,
                1,
                sentences.sentences.len(),
            ));
        }
        Ok(drawn)
    }

    /// Packages that need marks and words; one where nobody said how many.
    fn packages(&self) -> u32 {
        let packages = self.papers.question.packages_per_consignment;
        packages
            .and_then(|packages| u32::try_from(packages).ok())
            .map_or(1, |packages| packages.max(1))
    }

    fn meta(&self, title: &str) -> model::PaperMeta {
        let parcel = self.papers.view.parcel.last_at_ms;
        let latest = self.jobs.iter().map(|job| job.last_at_ms).max();
        let title = format!("{title} {}", self.reference());
        meta(title, self.lab, latest.unwrap_or(0).max(parcel))
    }

    fn instruction(&self, to: model::Party) -> model::PackingInstruction {
        let verdict = self.papers.verdict;
        let parcel = &self.papers.view.parcel;
        model::PackingInstruction {
            meta: self.meta("Packing instruction"),
            lab: self.own.on(lab_head(self.lab)),
            parcel_ref: parcel.reference.clone(),
            code: ParcelRef::of(parcel.parcel_id).qr_text(),
            to,
            facts: self.facts(),
            verdict: kind(verdict.verdict),
            verdict_words: capital(&verdict.words),
            verdict_text: flags(&verdict.flags),
            alternatives: alternatives(verdict),
            devices: self.jobs.iter().map(|job| self.device(job)).collect(),
            steps: steps(verdict),
            limits: limits(verdict),
            marks: verdict.marks.iter().map(outside).collect(),
            papers: verdict.papers.iter().map(with_it).collect(),
            rules: verdict.rules.iter().map(fired).collect(),
            unknowns: verdict.unknowns.iter().map(|text| sentence(text)).collect(),
            cautions: cautions(verdict),
            overridden: self.papers.overridden.clone(),
            signatures: self.signatures(),
            ..model::PackingInstruction::default()
        }
    }

    fn facts(&self) -> Vec<Labelled> {
        let (question, verdict) = (self.papers.question, self.papers.verdict);
        let count = |count: Option<i64>| {
            count.map_or_else(|| "not known".to_owned(), |count| count.to_string())
        };
        let gross = question.gross_g_per_package;
        let gross = gross.map_or_else(|| "not known".to_owned(), |grams| format!("{grams} g"));
        let un: Vec<String> = verdict.un.iter().map(|un| un.printed()).collect();
        let mut facts = vec![
            Labelled::text("Way", capital(verdict.mode.words())),
            Labelled::text("Rules", verdict.regime.words()),
            Labelled::text("Carrier", capital(verdict.carrier.words())),
            Labelled::text("Ship date", day(verdict.ship_date)),
            Labelled::text("Packages", count(question.packages_per_consignment)),
            Labelled::mono("Gross mass", gross),
        ];
        for (label, values) in [
            ("UN number", &un),
            ("Shipping name", &verdict.proper_shipping_name),
            ("Packed by", &verdict.packing_instruction),
        ] {
            if !values.is_empty() {
                facts.push(Labelled::text(label, values.join("; ")));
            }
        }
        facts.push(Labelled::text("Judged by", &verdict.book));
        facts
    }

    fn device(&self, job: &Job) -> model::InstructionDevice {
        let identifiers = job.identity.value().map(|identity| &identity.identifiers);
        let identifiers = identifiers.into_iter().flatten();
        let name = job
            .device
            .value()
            .map_or_else(|| "unknown device".to_owned(), device_name);
        let (cell, condition) = job.cell().map_or_else(
            || ("not known".to_owned(), "Cell not checked".to_owned()),
            |cell| {
                let energy = cell.check.rating.energy_uwh().map(energy_text);
                let energy = energy.unwrap_or_else(|| "watt-hours not known".to_owned());
                let condition = format!(
                    "{}. {}",
                    capital(cell.judgement.level.word()),
                    self.words.by(&cell.mark)
                );
                let chemistry = capital(chemistry_words(cell.check.chemistry));
                (format!("{chemistry}, {energy}"), condition)
            },
        );
        model::InstructionDevice {
            reference: job.reference.clone(),
            name,
            identifier: joined(identifiers.map(|identifier| identifier.text.as_str()), ", "),
            cell,
            condition,
            note: String::new(),
        }
    }

    fn signatures(&self) -> Vec<model::SignatureLine> {
        let trained = !self.papers.verdict.may_go() || self.papers.overridden.is_some();
        let shipper = if trained {
            "Shipper, trained for dangerous goods"
        } else {
            "Shipper"
        };
        let line = |role: &str, name: &str| model::SignatureLine {
            role: role.to_owned(),
            name: name.to_owned(),
        };
        match self.papers.verdict.verdict {
            VerdictCode::Forbidden => Vec::new(),
            _ => vec![line("Packed by", ""), line(shipper, &self.papers.shipper)],
        }
    }

    /// The marks, one for each package; `None` when none is asked for.
    fn battery_marks(&self) -> Result<Option<model::BatteryMarks>, DeskError> {
        let asked: Vec<&Mark> = of_kind(self.papers.verdict, MarkKind::BatteryMark).collect();
        let mut un_numbers = Vec::new();
        for mark in &asked {
            self.check_measures(mark)?;
            un_numbers.extend(mark.lines.iter().filter_map(|line| un_number(line)));
        }
        if un_numbers.is_empty() {
            return Ok(None);
        }
        let packages = self.packages();
        let (size, height) = if self.papers.small_marks {
            (MarkSize::Small, "MARK.HEIGHT.SMALL")
        } else {
            (MarkSize::Full, "MARK.HEIGHT")
        };
        let rules = self.cited(&["MARK.WIDTH", height, "MARK.HATCH", "MARK.UN.HEIGHT"]);
        let marks = (1..=packages.min(MARKS_MAX))
            .map(|package| model::BatteryMark {
                un_numbers: un_numbers.clone(),
                size,
                telephone: String::new(),
                placement: if packages > MARKS_MAX {
                    format!("For one of {packages} packages.")
                } else {
                    format!("For package {package} of {packages}.")
                },
                rules: rules.clone(),
            })
            .collect();
        Ok(Some(model::BatteryMarks {
            meta: self.meta("Battery mark"),
            lab: self.lab.name.clone(),
            reference: self.reference().to_owned(),
            marks,
            ..model::BatteryMarks::default()
        }))
    }

    /// Whether the book asks for just the mark that is drawn.
    fn check_measures(&self, mark: &Mark) -> Result<(), DeskError> {
        let hatching = self.in_force.value("MARK.HATCH", RuleBody::Any);
        let drawn = mark.size_mm == Some((100, 100))
            && mark.small_size_mm == Some((100, 70))
            && mark.letter_height_mm.is_some_and(|height| height <= 12)
            && hatching.is_some_and(|hatching| hatching <= HATCHING_MM);
        if drawn {
            Ok(())
        } else {
            Err(DeskError::refused(
                "the rule book asks for a battery mark of other measures than this program draws; use a printed mark of the edition in force",
            ))
        }
    }

    fn word_labels(&self) -> Option<model::WordLabels> {
        let labels: Vec<model::WordLabel> = of_kind(self.papers.verdict, MarkKind::Words)
            .flat_map(|mark| self.labels(mark))
            .collect();
        (!labels.is_empty()).then(|| model::WordLabels {
            meta: self.meta("Words on the parcel"),
            lab: self.lab.name.clone(),
            reference: self.reference().to_owned(),
            labels,
            ..model::WordLabels::default()
        })
    }

    /// Each line of a mark is a label of its own where its rule gives a letter height; others stay together.
    fn labels(&self, mark: &Mark) -> Vec<model::WordLabel> {
        let texts = match mark.letter_height_mm {
            // In capitals every letter has the height; in mixed letters the label would have to be half as large again.
            Some(_) => mark.lines.iter().map(|line| line.to_uppercase()).collect(),
            None => vec![mark.lines.join("\n")],
        };
        let height_mm = mark.letter_height_mm.unwrap_or(WORDS_HEIGHT_MM);
        let rules = match mark.code.as_str() {
            "T-DDR" => self.cited(&["DDR.TXT.HEIGHT"]),
            "OVERPACK" => self.cited(&["OVERPACK.TXT"]),
            "T-USPS" => self.cited(&["R24"]),
            _ if height_mm > 6 => self.cited(&["AIRTXT.HEIGHT.BIG"]),
            _ => self.cited(&["AIRTXT.HEIGHT"]),
        };
        texts
            .into_iter()
            .map(|text| model::WordLabel {
                words: kept_together(&text),
                letter_height_mm: f32::from(u16::try_from(height_mm).unwrap_or(u16::MAX)),
                placement: mark.placing.clone(),
                rules: rules.clone(),
            })
            .collect()
    }

    fn waybill(&self) -> Option<model::WaybillSentences> {
        let air: Vec<RuleCited> = self
            .papers
            .verdict
            .rules
            .iter()
            .filter(|rule| rule.regime == RuleBody::Air)
            .map(fired)
            .collect();
        let sentences: Vec<model::WaybillSentence> =
            of_kind(self.papers.verdict, MarkKind::Waybill)
                .flat_map(|mark| mark.lines.iter().map(move |line| (mark, line)))
                .map(|(mark, line)| model::WaybillSentence {
                    text: line.clone(),
                    placement: mark.placing.clone(),
                    rules: air.clone(),
                })
                .collect();
        (!sentences.is_empty()).then(|| model::WaybillSentences {
            meta: self.meta("Air waybill sentence"),
            lab: self.own.on(lab_head(self.lab)),
            reference: self.reference().to_owned(),
            facts: self.facts().into_iter().take(6).collect(),
            sentences,
            notes: vec![
                "The sentence is the shipper’s own statement: whoever signs the waybill answers for it.".to_owned(),
            ],
            ..model::WaybillSentences::default()
        })
    }

    /// Rows of the book as papers cite them: those of this regime, of the way, or of every regime.
    fn cited(&self, ids: &[&str]) -> Vec<RuleCited> {
        let regimes = [
            RuleBody::UsHmr,
            RuleBody::Adr,
            RuleBody::Air,
            RuleBody::Usps,
        ];
        let mut cited = Vec::new();
        for id in ids {
            let mut rows = regimes
                .iter()
                .filter_map(|regime| self.in_force.row(id, *regime));
            // Several measures of one clause are cited once.
            if let Some(rule) = rows.next().map(row)
                && !cited.contains(&rule)
            {
                cited.push(rule);
            }
        }
        cited
    }
}

fn of_kind(verdict: &Verdict, kind: MarkKind) -> impl Iterator<Item = &Mark> {
    verdict.marks.iter().filter(move |mark| mark.kind == kind)
}

const fn kind(code: VerdictCode) -> VerdictKind {
    match code {
        VerdictCode::Ordinary => VerdictKind::MayGo,
        VerdictCode::Marked => VerdictKind::Marked,
        VerdictCode::DdrGround => VerdictKind::DamagedByRoad,
        VerdictCode::Hold => VerdictKind::Hold,
        VerdictCode::Forbidden => VerdictKind::NotThisWay,
    }
}

fn flags(flags: &[Flag]) -> String {
    let sentences = flags
        .iter()
        .map(|flag| format!("{}.", capital(flag.words())));
    sentences.collect::<Vec<_>>().join(" ")
}

fn alternatives(verdict: &Verdict) -> Vec<String> {
    let alternatives = verdict.alternatives.iter();
    alternatives
        .map(|way| format!("{}: {}.", capital(&way.change), way.words))
        .collect()
}

fn steps(verdict: &Verdict) -> Vec<model::PackingStep> {
    let packing = verdict.packing.iter();
    packing
        .map(|step| model::PackingStep {
            title: String::new(),
            text: step.text.clone(),
            source: step.clause.clone(),
        })
        .collect()
}

fn limits(verdict: &Verdict) -> Vec<model::LimitChecked> {
    let limits = verdict.limits.iter();
    limits
        .map(|limit| model::LimitChecked {
            what: capital(&limit.what),
            value: limit.value.clone(),
            limit: limit.limit.clone(),
            result: match (limit.within, limit.value.as_str()) {
                (true, _) => "kept",
                (false, "not known") => "not known",
                (false, _) => "not kept",
            }
            .to_owned(),
            is_within: limit.within,
            source: format!("{} · {}", limit.clause, certainty(limit.certainty)),
        })
        .collect()
}

/// A mark on the outside, in words.
fn outside(mark: &Mark) -> model::TransportMark {
    let mut text = Vec::new();
    if mark.kind == MarkKind::Words {
        text.push(format!("“{}”.", mark.lines.join("” and “")));
    }
    if let Some((width, height)) = mark.size_mm {
        text.push(format!("At least {width} × {height} mm."));
    }
    if let Some(height) = mark.letter_height_mm {
        text.push(format!("Letters at least {height} mm high."));
    }
    text.push(mark.placing.clone());
    model::TransportMark {
        title: format!("{}.", capital(&mark.words)),
        text: text.join(" "),
        source: String::new(),
    }
}

fn with_it(paper: &domain::cells::transport::Paper) -> model::TransportMark {
    model::TransportMark {
        title: format!("{}.", capital(&paper.name)),
        text: paper.text.clone(),
        source: paper.clause.clone(),
    }
}

fn fired(rule: &RuleFired) -> RuleCited {
    RuleCited {
        text: rule.text.clone(),
        clause: format!("{}: {}", rule.regime.words(), rule.clause),
        edition: rule.edition.clone(),
        certainty: certainty(rule.certainty).to_owned(),
        checked: checked(rule.last_checked),
    }
}

fn row(row: &BookRow) -> RuleCited {
    RuleCited {
        text: String::new(),
        clause: row.clause.clone(),
        edition: row.edition.clone(),
        certainty: certainty(row.certainty).to_owned(),
        checked: checked(row.last_checked),
    }
}

fn cautions(verdict: &Verdict) -> Vec<model::Caution> {
    let cautions = verdict.cautions.iter();
    cautions
        .map(|caution| model::Caution {
            title: String::new(),
            text: caution.text.clone(),
            source: String::new(),
        })
        .collect()
}

/// With a capital and a full stop.
fn sentence(text: &str) -> String {
    let text = capital(text.trim());
    if text.ends_with(['.', '!', '?']) {
        text
    } else {
        format!("{text}.")
    }
}

/// The words for how sure a rule is.
pub(super) const fn certainty(certainty: Certainty) -> &'static str {
    match certainty {
        Certainty::Primary => "the rule’s own text was read",
        Certainty::Secondary => "read second-hand",
        Certainty::FromMemory => "from memory, to be checked",
        Certainty::OwnDerivation => "derived here",
    }
}

pub(super) fn checked(date: jiff::civil::Date) -> String {
    format!("last checked {}", day(date))
}

/// “UN 3481” to 3481.
fn un_number(text: &str) -> Option<u16> {
    text.trim_start_matches("UN").trim().parse().ok()
}

/// Words that belong together stay on one line of a label.
fn kept_together(text: &str) -> String {
    let pairs = [
        "LITHIUM ION",
        "LITHIUM METAL",
        "SODIUM ION",
        "FOR TRANSPORT",
        "ABOARD AIRCRAFT",
        "AND VESSEL",
        "Electronic Device",
    ];
    pairs.iter().fold(text.to_owned(), |text, pair| {
        text.replace(pair, &pair.replace(' ', "\u{A0}"))
    })
}
