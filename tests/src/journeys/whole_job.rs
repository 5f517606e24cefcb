//! One device through the whole route, from the shop's notice to the report in the return box.

use desk::commands::bench::look_over as looking;
use desk::commands::bench::look_over::{
    OpenPasscode, RecordAccessories, RecordCondition, SealPasscode,
};
use desk::commands::bench::quote::{BoardReadingInput, RecordDiagnosis, record_diagnosis};
use desk::commands::dock::{
    CountParcel, InParcel, PrintJobTags, ReceiveParcel, RecordParcelFindings, TagStock,
    count_parcel, print_job_tags, receive_parcel, record_parcel_findings,
};
use desk::commands::outbound::{self, OpenReturnParcel, PrintPackingSlip, ShipParcel, WeighParcel};
use desk::commands::scan::{ScanTarget, ScanText, scan};
use desk::commands::{Nothing, PaperSize};
use desk::{Desk, DeskError, PhotoTarget};
use domain::cells::BenchLevel;
use domain::fact::{Blemish, Condition, Face, ParcelFinding, PhotoPlace};
use domain::job::{Agreement, Joint, Passcode, Stage};
use domain::parcel::ParcelStage;
use domain::reading::Unit;
use domain::{JobId, ParcelId, Subject};

use crate::house::{
    Browser, House, IMEI, ROAD_LABEL, TRACKING, add_shop, all_jobs, assert_same, assert_sound,
    check_cell, close, closed_job, goes_by_road, imei, job, jpeg, jpeg_with_traces, no_signs, pack,
    quote, refusal, state_of, test_after, test_before, work,
};

fn photo(
    desk: &Desk,
    subject: Subject,
    place: PhotoPlace,
    bytes: &[u8],
) -> domain::fact::PhotoAdded {
    let target = PhotoTarget {
        subject,
        place,
        caption: "as it lies there".to_owned(),
        beside: None,
    };
    desk.take_photo(bytes, &target).expect("a good picture")
}

/// The shop announces two devices, and prints the slip for the box.
fn announce(counter: &mut Browser) -> String {
    counter.add_phone("K4", IMEI, "does not charge");
    counter.add_phone("K4 mini", &imei(7), "black screen");
    let parcel_path = counter.announce(TRACKING);
    let slip = counter.get(&format!("{parcel_path}/slip.pdf"));
    assert!(slip.status == 200 && slip.body.starts_with(b"%PDF-"));
    parcel_path
}

/// The carrier's label is scanned, the parcel looked at, photographed and counted: one device is missing.
fn dock(desk: &Desk) -> (ParcelId, JobId, JobId) {
    let answer = scan(
        desk,
        ScanText {
            text: "RR 47312482 9 GB".to_owned(),
        },
    )
    .unwrap();
    let [found] = answer.matches.as_slice() else {
        panic!("{answer:?}")
    };
    let ScanTarget::Parcel { parcel_id } = found.target else {
        panic!("{answer:?}")
    };
    let request = ReceiveParcel {
        parcel_id: Some(parcel_id),
        scanned: TRACKING.to_owned(),
        shop_id: None,
    };
    let view = receive_parcel(desk, request).unwrap();
    assert_eq!(view.parcel.stage, ParcelStage::Received);
    assert_eq!(view.devices.len(), 2);
    assert!(
        view.devices
            .iter()
            .all(|device| device.state == InParcel::Expected)
    );
    assert_eq!(state_of(desk).parcels_to_count, 1);
    let findings = vec![ParcelFinding::Crushed, ParcelFinding::Retaped];
    record_parcel_findings(
        desk,
        RecordParcelFindings {
            parcel_id,
            findings,
            note: "one corner".to_owned(),
        },
    )
    .unwrap();
    photo(
        desk,
        Subject::Parcel(parcel_id),
        PhotoPlace::Parcel,
        &jpeg(640, 480, 1),
    );
    let named = |device: &str| {
        let row = view.devices.iter().find(|row| row.job.device == device);
        row.unwrap().job.job_id
    };
    let (here, missing) = (named("Kestrel K4"), named("Kestrel K4 mini"));
    let request = CountParcel {
        parcel_id,
        found: vec![here],
        extra: Vec::new(),
        note: String::new(),
    };
    let view = count_parcel(desk, request).unwrap();
    assert_eq!(view.parcel.stage, ParcelStage::Counted);
    let state = |job_id| {
        view.devices
            .iter()
            .find(|device| device.job.job_id == job_id)
            .unwrap()
            .state
    };
    assert_eq!(
        (state(here), state(missing)),
        (InParcel::Found, InParcel::Missing)
    );
    print_tags(desk, here);
    (parcel_id, here, missing)
}

/// A tag for the device's bag, on a roll and on a sheet.
fn print_tags(desk: &Desk, job_id: JobId) {
    for stock in [TagStock::Roll62Mm, TagStock::SheetA4] {
        let tags = print_job_tags(
            desk,
            PrintJobTags {
                job_ids: vec![job_id],
                stock,
                first_label: 1,
            },
        )
        .unwrap();
        assert!(std::fs::read(tags.path).unwrap().starts_with(b"%PDF-"));
    }
}

/// Nothing is touched before the cell has been looked at.
fn cell_check(desk: &Desk, job_id: JobId) {
    let early = looking::RecordIdentity {
        job_id,
        texts: vec![IMEI.to_owned()],
    };
    let blocked = looking::record_identity(desk, early);
    assert!(matches!(blocked, Err(DeskError::Blocked { .. })));
    check_cell(desk, job_id);
    assert_eq!(
        job(desk, job_id).cell().unwrap().judgement.level,
        BenchLevel::Clear
    );
}

/// Entries, pictures and papers are at the server, the logbook holds together, and a new desktop gets all of it.
fn nothing_is_left_behind(house: &House) {
    let desk: &Desk = &house.desk;
    let sync = state_of(desk).sync;
    assert_eq!(
        (sync.entries_waiting, sync.files_waiting),
        (0, 0),
        "{}",
        sync.words
    );
    for job in all_jobs(desk) {
        for photo in &job.photos {
            let hash = photo.value.hash;
            assert_eq!(
                house.server.file(&hash),
                Some(desk.file_bytes(&hash).unwrap())
            );
        }
    }
    assert_sound(desk);
    assert_same(desk, &house.second_desktop("Bench two"));
}

/// Identity, condition, accessories, a sealed passcode.
fn look_over(desk: &Desk, job_id: JobId) {
    let record = looking::RecordIdentity {
        job_id,
        texts: vec![IMEI.to_owned()],
    };
    let view = looking::record_identity(desk, record).unwrap();
    assert_eq!(
        view.job.identity_difference, None,
        "it is the device that was announced"
    );
    let picture = photo(
        desk,
        Subject::Job(job_id),
        PhotoPlace::Condition,
        &jpeg_with_traces(1200, 900, 2),
    );
    assert_eq!(
        (picture.width_px, picture.height_px),
        (900, 1200),
        "it was turned upright"
    );
    let condition = Condition {
        face: Face::Front,
        x_permille: 120,
        y_permille: 900,
        blemish: Blemish::Crack,
        note: "lower corner".to_owned(),
        photos: vec![picture.hash],
    };
    looking::record_condition(desk, RecordCondition { job_id, condition }).unwrap();
    looking::record_signs(
        desk,
        looking::RecordSigns {
            job_id,
            signs: no_signs(),
        },
    )
    .unwrap();
    looking::record_accessories(
        desk,
        RecordAccessories {
            job_id,
            items: vec!["SIM tray".to_owned()],
        },
    )
    .unwrap();
    let view = looking::seal_passcode(
        desk,
        SealPasscode {
            job_id,
            passcode: "2580".to_owned(),
        },
    )
    .unwrap();
    assert!(matches!(view.job.passcode, Passcode::Sealed { .. }));
    let opened = looking::open_passcode(
        desk,
        OpenPasscode {
            job_id,
            reason: "touch test".to_owned(),
        },
    )
    .unwrap();
    assert_eq!(opened.passcode, "2580");
}

/// Before tests, diagnosis and a price; work waits for the shop.
fn before(desk: &Desk, job_id: JobId) {
    test_before(desk, job_id);
    let reading = BoardReadingInput {
        point: "PP_VBUS".to_owned(),
        value: "0.4".to_owned(),
        unit: Unit::Volt,
        expected: "5.0 V with a cable in".to_owned(),
    };
    let request = RecordDiagnosis {
        job_id,
        text: "No voltage behind the charging controller".to_owned(),
        suspect: "U3101".to_owned(),
        readings: vec![reading],
    };
    record_diagnosis(desk, request).unwrap();
    let view = quote(desk, job_id, "89.00");
    assert_eq!(view.job.agreement, Agreement::Waiting);
    assert_eq!(view.job.stage, Stage::Holding);
}

/// The device goes into the return box of its shop and leaves; another shop's device is refused.
fn outbound(house: &House, job_id: JobId) -> ParcelId {
    let desk: &Desk = &house.desk;
    let other_shop = add_shop(desk, "Southgate Phones", "CH", "CHF", "");
    let strange = closed_job(desk, other_shop, 50);
    let groups = outbound::outbound(desk, Nothing {}).unwrap().groups;
    assert_eq!(groups.len(), 2);
    let parcel = outbound::open_return_parcel(
        desk,
        OpenReturnParcel {
            shop_id: house.shop_id,
        },
    )
    .unwrap()
    .parcel;
    let parcel_id = parcel.parcel_id;
    let wrong = refusal(pack(desk, parcel_id, strange));
    assert!(
        wrong.message.contains("belongs to Southgate Phones")
            && wrong.message.contains("goes to Corner Phones"),
        "{}",
        wrong.message
    );
    let packed = pack(desk, parcel_id, job_id).unwrap();
    assert_eq!(packed.parcel.inside, vec![job_id]);
    let early = outbound::ship_parcel(
        desk,
        ShipParcel {
            parcel_id,
            tracking: TRACKING.to_owned(),
            carrier: String::new(),
        },
    );
    assert!(refusal(early).message.contains("has not been weighed"));
    outbound::weigh_parcel(
        desk,
        WeighParcel {
            parcel_id,
            grams: "640".to_owned(),
        },
    )
    .unwrap();
    let slip = outbound::print_packing_slip(
        desk,
        PrintPackingSlip {
            parcel_id,
            size: PaperSize::A4,
        },
    )
    .unwrap();
    assert!(std::fs::read(slip.path).unwrap().starts_with(b"%PDF-"));
    let request = ShipParcel {
        parcel_id,
        tracking: ROAD_LABEL.to_owned(),
        carrier: String::new(),
    };
    let unsaid = refusal(outbound::ship_parcel(desk, request.clone()));
    assert!(
        unsaid.message.contains("how this parcel goes"),
        "{}",
        unsaid.message
    );
    let said = goes_by_road(desk, parcel_id);
    assert!(
        said.verdict
            .as_ref()
            .is_some_and(domain::cells::transport::Verdict::may_go),
        "{said:?}"
    );
    let shipped = outbound::ship_parcel(desk, request).unwrap().parcel;
    assert_eq!(shipped.stage, ParcelStage::Shipped);
    let left_with = shipped.verdict.expect("the verdict it left with is kept");
    assert_eq!(Some(left_with.value.verdict), said.verdict);
    parcel_id
}

#[test]
fn a_device_comes_is_repaired_and_goes_home() {
    let house = House::founded();
    let desk: &Desk = &house.desk;
    let mut counter = house.counter();

    // 1. The shop announces two devices on the portal.
    let parcel_path = announce(&mut counter);
    desk.sync_now().unwrap();

    // 2. The Dock. The shop sees which of them was not in the box.
    let (parcel_id, job_id, missing_id) = dock(desk);
    assert!(parcel_path.ends_with(&parcel_id.to_string()));
    desk.sync_now().unwrap();
    let page = counter.get(&parcel_path).text();
    assert!(
        page.contains("was not in the parcel") && page.contains("crushed"),
        "{page}"
    );
    let device_path = format!("/devices/{job_id}");
    let page = counter.get(&format!("/devices/{missing_id}")).text();
    assert!(
        page.contains("It was not in the parcel when we opened it."),
        "{page}"
    );

    // 3. The cell, before any power.
    cell_check(desk, job_id);

    // 4. The look-over.
    look_over(desk, job_id);

    // 5. Before tests and a price; the shop agrees on the portal; work; after tests; outcome; report.
    before(desk, job_id);
    desk.sync_now().unwrap();
    let page = counter.get(&device_path).text();
    assert!(page.contains("89.00 EUR"), "{page}");
    assert!(!page.contains("2580"), "a passcode is nobody's business");
    let answer = counter.decide(&device_path, "agree", "");
    assert_eq!(answer.location(), format!("{device_path}?done=agreed"));
    desk.sync_now().unwrap();
    assert!(matches!(
        job(desk, job_id).agreement,
        Agreement::Agreed { .. }
    ));
    work(desk, job_id);
    assert_eq!(job(desk, job_id).stage, Stage::Repairing);
    test_after(desk, job_id);
    let joints: Vec<Joint> = job(desk, job_id)
        .comparison
        .iter()
        .map(|row| row.joint)
        .collect();
    assert_eq!(joints, [Joint::Fixed, Joint::Steady, Joint::Steady]);
    photo(
        desk,
        Subject::Job(job_id),
        PhotoPlace::After,
        &jpeg(1000, 800, 3),
    );
    let paper = close(desk, job_id);
    let report = std::fs::read(&paper.path).unwrap();
    desk.sync_now().unwrap();
    let shown = counter.get(&format!("{device_path}/report.pdf"));
    assert_eq!(
        (shown.status, shown.body == report),
        (200, true),
        "the portal shows the paper to the byte"
    );

    // 6. Outbound. The shop sees it leave and finds the report by the address on the paper.
    outbound(&house, job_id);
    desk.sync_now().unwrap();
    let page = counter.get(&device_path).text();
    assert!(
        page.contains(ROAD_LABEL) && page.contains("Outcome: repaired"),
        "{page}"
    );
    let gone = job(desk, job_id);
    assert_eq!(gone.stage, Stage::Returned);
    assert!(matches!(gone.passcode, Passcode::Destroyed { .. }));
    let digest = gone.reports.last().unwrap().value.digest.to_string();
    let check = counter.get(&format!("/r/{}", &digest[..16]));
    assert!(
        check.status == 200 && check.text().contains(&digest),
        "{}",
        check.text()
    );

    nothing_is_left_behind(&house);
}
