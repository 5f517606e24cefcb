//! The packing slip of a return parcel.

use domain::job::Job;
use domain::reference::ParcelRef;
use papers::model::{self, Labelled, PackedDevice};

use super::report::{outcome_kind, words};
use super::words::{Words, capital, device_name, joined};
use super::{cautions, lab_head, meta, party, setup, the_lab};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::views::{PaperFile, PaperSize, ParcelView};

impl Desk {
    /// Prints the packing slip of a return parcel.
    pub(crate) fn packing_slip(
        &self,
        view: &ParcelView,
        size: PaperSize,
    ) -> Result<PaperFile, DeskError> {
        let parcel = &view.parcel;
        let words = words(self)?;
        let lab = the_lab(self)?;
        let shop = parcel
            .shop_id
            .map(|shop_id| self.shop_fold(shop_id))
            .transpose()?;
        let jobs: Vec<Job> = parcel
            .inside
            .iter()
            .map(|job_id| self.job(*job_id))
            .collect::<Result<_, _>>()?;
        let own = self.own()?;
        let slip = model::PackingSlip {
            meta: meta(
                format!("Packing slip {}", parcel.reference),
                &lab,
                parcel.last_at_ms,
            ),
            lab: own.on(lab_head(&lab)),
            parcel_ref: parcel.reference.clone(),
            code: ParcelRef::of(parcel.parcel_id).qr_text(),
            to: party(shop.as_ref().and_then(|shop| shop.description.value())),
            facts: facts(view, &words),
            devices: jobs.iter().map(|job| packed(job, &words)).collect(),
            cautions: cautions::of_parcel(&jobs),
            terms: own.terms(),
            notes: vec![format!("All times are those of {}.", words.zone())],
            ..model::PackingSlip::default()
        };
        let pdf = papers::packing_slip(&slip, &setup(size))?;
        self.write_paper(&format!("packing-slip-{}.pdf", parcel.reference), &pdf)
    }
}

fn facts(view: &ParcelView, words: &Words) -> Vec<Labelled> {
    let parcel = &view.parcel;
    let shipped = parcel.shipped.as_ref();
    let tracking = shipped
        .map(|shipped| &shipped.value.tracking)
        .or_else(|| parcel.tracking.value());
    let mut facts = vec![Labelled::text("Devices", parcel.inside.len().to_string())];
    if let Some(grams) = parcel.grams {
        facts.push(Labelled::mono("Weight", format!("{grams} g")));
    }
    if let Some(tracking) = tracking {
        if !tracking.carrier.is_empty() {
            facts.push(Labelled::text("Carrier", &tracking.carrier));
        }
        facts.push(Labelled::mono("Tracking number", &tracking.number));
    }
    facts.push(match shipped {
        Some(shipped) => Labelled::text("Sent", words.by(&shipped.mark)),
        None => Labelled::text("Packed", words.time(parcel.last_at_ms)),
    });
    facts
}

fn packed(job: &Job, words: &Words) -> PackedDevice {
    let identifiers = job.identity.value().map(|identity| &identity.identifiers);
    let identifiers = identifiers
        .into_iter()
        .flatten()
        .map(|identifier| identifier.text.as_str());
    let device = job.device.value();
    let kind = device.map_or("", |device| device.kind.word());
    let name = device.map_or_else(|| "unknown device".to_owned(), device_name);
    let outcome = job.outcome.value();
    PackedDevice {
        job_ref: job.reference.clone(),
        name: joined([name.as_str(), kind], ", "),
        identifier: joined(identifiers, ", "),
        accessories: words.inline(&job.accessories, |accessories| accessories.items.join(", ")),
        outcome: outcome.map_or_else(model::OutcomeKind::default, |record| {
            outcome_kind(record.outcome)
        }),
        outcome_word: outcome.map_or_else(
            || "no outcome".to_owned(),
            |record| capital(record.outcome.words()),
        ),
        note: cell_note(job),
    }
}

fn cell_note(job: &Job) -> String {
    match job.cell() {
        Some(cell) if cell.judgement.level == domain::cells::BenchLevel::Clear => String::new(),
        Some(cell) => format!("cell: {}", cell.judgement.level.word()),
        None => "cell not checked".to_owned(),
    }
}
