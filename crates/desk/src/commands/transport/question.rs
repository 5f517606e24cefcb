//! What is asked of the rule book about a return parcel, from its plan and its jobs' cell checks.
//!
//! Nothing that a cell check left open is filled in here: what nobody looked at stays unknown.

use std::collections::BTreeSet;

use domain::cells::bay::Diagnosis;
use domain::cells::book::RuleBook;
use domain::cells::transport::{
    Chem, Condition, Config, Contents, DeviceStatus, FindingCode, Millionths, Parcel as Question,
    Purpose, chem_of, codes_of,
};
use domain::cells::{CellCheck, CellFinding};
use domain::fact::TransportPlan;
use domain::job::Job;
use domain::parcel::Parcel;

use crate::desk::Desk;
use crate::error::DeskError;

impl Desk {
    pub(super) fn question(
        &self,
        parcel: &Parcel,
        plan: TransportPlan,
        contents: Vec<Contents>,
    ) -> Result<Question, DeskError> {
        let shop = parcel
            .shop_id
            .map(|shop_id| self.shop_fold(shop_id))
            .transpose()?;
        let country = shop
            .as_ref()
            .and_then(|shop| shop.description.value())
            .map(|shop| shop.country.clone())
            .filter(|country| !country.trim().is_empty());
        Ok(Question {
            regime: plan.regime,
            mode: plan.mode,
            carrier: plan.carrier,
            ship_date: self.ship_date()?,
            purpose: Purpose::Return,
            packages_per_consignment: Some(i64::from(plan.packages)),
            gross_g_per_package: parcel.grams.map(i64::from),
            contents,
            destination_country: country,
            outside_us_lower_48: plan.outside_us_lower_48,
            overpack: None,
            printed_mark: None,
            contents_given_twice: false,
        })
    }

    /// One line for each device with a cell.
    pub(super) fn contents_of(
        &self,
        parcel: &Parcel,
        plan: Option<TransportPlan>,
        book: &RuleBook,
    ) -> Result<Vec<Contents>, DeskError> {
        let mut contents = Vec::new();
        for job_id in &parcel.inside {
            let job = self.job(*job_id)?;
            if !holds_no_cell(&job) {
                contents.push(line(&job, plan, book));
            }
        }
        Ok(contents)
    }
}

/// One device of the parcel. Whatever its cell check does not say stays unknown.
fn line(job: &Job, plan: Option<TransportPlan>, book: &RuleBook) -> Contents {
    let check = job.cell().map(|cell| &cell.check);
    let rating = check.map(|check| check.rating).unwrap_or_default();
    let charge = |of: fn(&TransportPlan) -> Option<u8>| plan.as_ref().and_then(of).map(i64::from);
    Contents {
        chem: check.map_or(Chem::Unknown, |check| chem_of(check.chemistry)),
        cells_per_unit: check.and_then(CellCheck::cells).map(i64::from),
        wh_label: rating
            .label_uwh
            .and_then(|uwh| i64::try_from(uwh).ok())
            .map(Millionths),
        mv: rating.nominal_mv.map(i64::from),
        mah: rating.capacity_mah.map(i64::from),
        config: Some(Config::Contained),
        units_in_devices: Some(1),
        spare_sets: Some(0),
        devices_per_package: Some(1),
        findings: findings_of(job, book),
        inspected: job
            .cell()
            .map(|_| "cell check in the lab's logbook".to_owned()),
        soc_rated_pct: charge(|plan| plan.charge_rated_pct),
        soc_indicated_pct: charge(|plan| plan.charge_shown_pct),
        device_status: Some(DeviceStatus::Used),
        battery_original: plan.and_then(|plan| plan.batteries_original),
        powered_off: plan.and_then(|plan| plan.powered_off),
        ..Contents::default()
    }
}

/// The finding codes of a job's cell: those of every look at it, brought to what the cell stands at now. A cell that a person
/// with battery knowledge has judged sound since is sound.
fn findings_of(job: &Job, book: &RuleBook) -> BTreeSet<FindingCode> {
    let mut codes = codes_of(book, job.cell().map(|cell| &cell.check));
    let condition_of = |code: &FindingCode| code.condition().unwrap_or(Condition::Sound);
    let (wanted, otherwise) = match job.cell_state.diagnosis {
        Diagnosis::Sound => {
            codes.retain(|code| condition_of(code) == Condition::Sound);
            (Condition::Sound, FindingCode::F00)
        }
        Diagnosis::Undiagnosed => (Condition::Undiagnosed, FindingCode::F02),
        Diagnosis::Damaged => (Condition::Ddr, FindingCode::F19),
        Diagnosis::Critical => (Condition::Critical, FindingCode::F30),
    };
    if wanted > Condition::Sound {
        codes.retain(|code| code.condition() != Some(Condition::Sound));
        for look in &job.cell_state.looks {
            codes.extend(
                codes_of(book, Some(&look.check))
                    .into_iter()
                    .filter(|code| condition_of(code) == wanted),
            );
        }
    }
    if !codes.iter().any(|code| code.condition() >= Some(wanted)) {
        codes.insert(otherwise);
    }
    codes
}

/// A device whose cell was taken out, or that came without one.
pub(super) fn holds_no_cell(job: &Job) -> bool {
    let missing = job
        .cell()
        .is_some_and(|cell| cell.check.findings == BTreeSet::from([CellFinding::Missing]));
    missing || job.is_without_cell()
}
