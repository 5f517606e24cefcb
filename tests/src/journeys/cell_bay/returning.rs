//! A damaged cell that goes back in its device: by a shipper only, and alone in its parcel.

use desk::commands::Nothing;
use desk::commands::cell_bay::{cell_bay, return_cell};
use desk::commands::outbound::{OpenReturnParcel, UnpackDevice, open_return_parcel, unpack_device};
use domain::JobId;
use domain::cells::CellFinding;
use domain::fact::Role;

use super::{find, going_back, sign_in};
use crate::house::{House, check_refused, closed_job, job, pack, refusal};

#[test]
fn only_a_shipper_sends_a_damaged_cell_back_in_its_device() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = closed_job(desk, house.shop_id, 4);
    find(&house, job_id, CellFinding::Swollen);
    let back = going_back(job_id);
    sign_in(&house, "Ole Brandt", &[Role::Technician]);
    check_refused(return_cell(desk, back.clone()), "trained for lithium");
    sign_in(&house, "Pia Holm", &[Role::Shipper]);
    let view = return_cell(desk, back).unwrap();
    assert!(job(desk, job_id).holds.is_empty());
    assert!(
        view.row.waits_for.contains("goes back under ADR 2025"),
        "{}",
        view.row.waits_for
    );
    let bay = cell_bay(desk, Nothing {}).unwrap();
    assert_eq!(
        bay.isolated.len(),
        1,
        "it lies here until its parcel has left"
    );
    assert!(bay.isolated[0].state.next_reading.is_some());
}

/// A device that a shipper sends back with its swollen cell in it.
fn goes_back_damaged(house: &House, number: u32) -> JobId {
    let job_id = closed_job(&house.desk, house.shop_id, number);
    find(house, job_id, CellFinding::Swollen);
    let back = going_back(job_id);
    return_cell(&house.desk, back).unwrap();
    job_id
}

#[test]
fn a_device_with_a_damaged_cell_lies_alone_in_its_parcel() {
    let house = House::founded();
    let desk = &house.desk;
    sign_in(
        &house,
        "Pia Holm",
        &[Role::Shipper, Role::Technician, Role::Receiver],
    );
    let damaged = goes_back_damaged(&house, 4);
    let sound = closed_job(desk, house.shop_id, 5);
    let begin = || {
        let shop_id = house.shop_id;
        let view = open_return_parcel(desk, OpenReturnParcel { shop_id }).unwrap();
        view.parcel.parcel_id
    };
    let parcel_id = begin();
    pack(desk, parcel_id, sound).unwrap();
    let why = refusal(pack(desk, parcel_id, damaged));
    assert_eq!(why.field.as_deref(), Some("scanned"));
    assert!(why.message.contains("lies alone"), "{}", why.message);
    unpack_device(
        desk,
        UnpackDevice {
            parcel_id,
            job_id: sound,
        },
    )
    .unwrap();
    pack(desk, parcel_id, damaged).unwrap();
    check_refused(pack(desk, parcel_id, sound), "lies alone");
}
