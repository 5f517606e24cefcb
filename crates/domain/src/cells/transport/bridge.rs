//! From a bench's cell check to the finding codes and the chemistry of the transport question.
//!
//! What a check leaves open becomes “not diagnosed”; a check never says more for transport than it said for the bench.

use std::collections::BTreeSet;

use super::findings::FindingCode;
use super::question::Chem;
use crate::cells::book::{InForce, RuleBody, RuleBook};
use crate::cells::{BenchLevel, CellCheck, CellFinding, Chemistry, judge_by};

/// The chemistry.
pub const fn chem_of(chemistry: Chemistry) -> Chem {
    match chemistry {
        Chemistry::LiIon => Chem::LiIon,
        Chemistry::LiMetal => Chem::LiMetal,
        Chemistry::NaIon => Chem::NaIon,
        Chemistry::Hybrid => Chem::Hybrid,
        Chemistry::Unknown => Chem::Unknown,
    }
}

/// The finding codes of a cell check; without one, nobody has seen the cell.
///
/// The code for “nothing wrong” needs what it says: the cell seen, its voltage and temperature taken, and a bench level of
/// clear. A cell that the bench still watches is not diagnosed.
pub fn codes_of(book: &RuleBook, check: Option<&CellCheck>) -> BTreeSet<FindingCode> {
    let Some(check) = check else {
        return BTreeSet::from([FindingCode::F02]);
    };
    let mut codes: BTreeSet<FindingCode> = check
        .findings
        .iter()
        .filter_map(|finding| code_of(*finding))
        .collect();
    codes.extend(by_reading(book.latest(), check));
    let level = judge_by(book, check).level;
    let says_something = codes.iter().any(|code| code.condition().is_some());
    match level {
        BenchLevel::Clear if check.findings.contains(&CellFinding::NothingWrong) => {
            codes.insert(FindingCode::F00);
        }
        BenchLevel::Emergency => {
            codes.insert(FindingCode::F30);
        }
        _ if !says_something => {
            codes.insert(FindingCode::F02);
        }
        _ => {}
    }
    codes
}

/// The code of one finding; `None` for what says nothing by itself.
const fn code_of(finding: CellFinding) -> Option<FindingCode> {
    Some(match finding {
        CellFinding::NothingWrong | CellFinding::Missing => return None,
        CellFinding::NotSeen => FindingCode::F02,
        CellFinding::Swollen => FindingCode::F10,
        CellFinding::Pierced | CellFinding::Bent => FindingCode::F11,
        CellFinding::Leaking | CellFinding::SolventSmell => FindingCode::F12,
        CellFinding::Hot | CellFinding::Warming => FindingCode::F30,
        CellFinding::Smoking | CellFinding::Hissing | CellFinding::Burning => FindingCode::F31,
        CellFinding::Burnt => FindingCode::F13,
        CellFinding::Vented => FindingCode::F20,
        CellFinding::ConnectorCorroded | CellFinding::BareConductor => FindingCode::F14,
        CellFinding::ProtectionFault => FindingCode::F15,
        CellFinding::WaterReachedIt => FindingCode::F16,
        CellFinding::WaterNearIt => FindingCode::F03,
        CellFinding::HardDrop => FindingCode::F04,
        CellFinding::LosesCharge => FindingCode::F05,
        CellFinding::Recalled => FindingCode::F18,
        CellFinding::NotTheMakers => FindingCode::F40,
    })
}

/// The codes that a voltage calls for. Without the number of cells, one is taken: what is too low for one is too low for more.
fn by_reading(book: InForce<'_>, check: &CellCheck) -> Option<FindingCode> {
    let voltage = i64::from(check.voltage_mv?);
    let cells = i64::from(check.cells_in_series.unwrap_or(1).max(1));
    let below = |id| {
        book.value(id, RuleBody::Bench)
            .is_none_or(|limit| voltage < limit.saturating_mul(cells))
    };
    let over_marked = check
        .rating
        .charge_max_mv
        .is_some_and(|marked| voltage > i64::from(marked));
    let over_any = check.rating.charge_max_mv.is_none()
        && check.cells_in_series.is_some()
        && book
            .value("BENCH.FULL.NEW", RuleBody::Bench)
            .is_none_or(|limit| voltage > limit.saturating_mul(cells));
    if below("BENCH.DEAD") || over_marked || over_any {
        Some(FindingCode::F17)
    } else if below("BENCH.DEEP") {
        Some(FindingCode::F06)
    } else {
        None
    }
}
