//! What only a person with battery knowledge may call safe: a cell, and a parcel that is warm.

use desk::commands::bench::cell::{CellCheckInput, RecordCellCheck, record_cell_check};
use desk::commands::cell_bay::{JudgeCell, judge_cell};
use desk::commands::dock::{
    RecordParcelFindings, ReleaseParcel, count_parcel, record_parcel_findings, release_parcel,
};
use desk::commands::outbound::{OpenReturnParcel, open_return_parcel};
use domain::Subject;
use domain::cells::CellFinding;
use domain::cells::bay::Diagnosis;
use domain::fact::{CellVerdict, ParcelFinding, Role};

use super::{find, sign_in};
use crate::house::{
    House, check_refused, closed_job, extra_device, extra_in, imei, job, pack, receive, refusal,
    take_in,
};

#[test]
fn a_cell_that_nobody_can_judge_keeps_its_device_from_the_parcel() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = closed_job(desk, house.shop_id, 3);
    find(&house, job_id, CellFinding::HardDrop);
    let parcel_id = open_return_parcel(
        desk,
        OpenReturnParcel {
            shop_id: house.shop_id,
        },
    )
    .unwrap()
    .parcel
    .parcel_id;
    check_refused(pack(desk, parcel_id, job_id), "sound or damaged");

    let subject = Subject::Job(job_id);
    let seen = job(desk, job_id).cell_state.seen_entries();
    let judge = JudgeCell {
        subject,
        verdict: CellVerdict::Sound,
        reason: "opened, flat, no mark, holds its voltage".to_owned(),
        seen,
    };
    sign_in(&house, "Ole Brandt", &[Role::Technician]);
    let not_he = refusal(judge_cell(desk, judge.clone()));
    assert!(
        not_he.message.contains("battery knowledge") && not_he.message.contains("Ada Lorne"),
        "{}",
        not_he.message
    );
    sign_in(&house, "Mira Sol", &[Role::CellExpert]);
    let view = judge_cell(desk, judge).unwrap();
    assert_eq!(view.row.state.diagnosis, Diagnosis::Sound);
    pack(desk, parcel_id, job_id).unwrap();
}

#[test]
fn a_cell_is_not_judged_sound_before_it_was_seen_and_measured() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, "K4", &imei(1));
    let check = CellCheckInput {
        findings: vec![CellFinding::NotSeen],
        ..CellCheckInput::default()
    };
    record_cell_check(desk, RecordCellCheck { job_id, check }).unwrap();
    let judge = JudgeCell {
        subject: Subject::Job(job_id),
        verdict: CellVerdict::Sound,
        reason: "looks good from outside".to_owned(),
        seen: job(desk, job_id).cell_state.seen_entries(),
    };
    let refused = refusal(judge_cell(desk, judge));
    for wanted in ["Nobody has seen", "voltage", "temperature"] {
        assert!(refused.message.contains(wanted), "{}", refused.message);
    }
}

#[test]
fn a_warm_parcel_stays_closed_until_a_person_with_battery_knowledge_releases_it() {
    let house = House::founded();
    let desk = &house.desk;
    let parcel_id = receive(desk, house.shop_id, "");
    let warm = RecordParcelFindings {
        parcel_id,
        findings: vec![ParcelFinding::Warm],
        note: String::new(),
    };
    record_parcel_findings(desk, warm.clone()).unwrap();
    let count = extra_in(parcel_id, vec![extra_device("K4", &imei(1))]);
    check_refused(count_parcel(desk, count.clone()), "do not open it");
    let release = ReleaseParcel {
        parcel_id,
        reason: "stood in the sun; at room temperature since two hours".to_owned(),
    };
    sign_in(&house, "Ole Brandt", &[Role::Receiver]);
    check_refused(release_parcel(desk, release.clone()), "battery knowledge");
    sign_in(&house, "Mira Sol", &[Role::CellExpert]);
    assert!(!release_parcel(desk, release.clone()).unwrap().parcel.danger);
    record_parcel_findings(desk, warm).unwrap();
    assert!(
        refusal(count_parcel(desk, count.clone()))
            .message
            .contains("do not open it"),
        "a new finding closes it again"
    );
    release_parcel(desk, release).unwrap();
    count_parcel(desk, count).unwrap();
}
