//! The papers of a return parcel with cells: packing instruction, battery marks, words for its outside, waybill sentence.
//!
//! The verdict is the rule engine's; here it only becomes paper. A parcel that must not go gets its instruction, which says
//! so, and nothing that could be stuck on a box.

mod cited;
mod instruction;
mod marks;

pub(super) use cited::{certainty, checked};

use domain::cells::book::{InForce, RuleBook};
use domain::cells::transport::{Parcel as Question, Verdict};
use domain::fact::LabDescription;
use domain::job::Job;
use papers::model::{self, Labelled};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::own::Own;
use super::report::words;
use super::words::{Words, capital, day};
use super::{meta, party, setup, the_lab};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::views::{PaperFile, PaperSize, ParcelView};

/// What a paper of a return parcel is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum ParcelPaperKind {
    /// How the parcel is packed, step by step, with the verdict and its rules.
    PackingInstruction,
    /// Battery marks to cut out.
    BatteryMark,
    /// Words for the outside, in letters of a lawful height.
    Words,
    /// What the shipper writes in the air waybill.
    WaybillSentence,
}

/// A paper of a return parcel, and how it must be printed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ParcelPaper {
    /// What it is for.
    pub kind: ParcelPaperKind,
    /// The PDF.
    pub paper: PaperFile,
    /// How often it is printed.
    pub copies: u32,
    /// How many marks, labels or sentences stand on one copy.
    pub pieces: u32,
    /// Whether it means nothing at another size: 100 %, no scaling.
    pub true_size: bool,
}

/// Battery marks printed at once; for more packages, the same sheet is printed again.
const MARKS_MAX: u32 = 20;

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
        let lab = the_lab(self)?;
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
}
