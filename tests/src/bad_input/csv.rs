//! A shop's list of devices as a CSV file with broken rows.

use crate::house::House;

/// Six rows: good; too few columns; no kind of device that exists; an IMEI whose check digit does not fit; swollen; good.
const LIST: &str = "kind,maker,model,fault,identifier,liquid,data_needed,burnt,hot,swollen,leaking,pierced,recalled,dropped,cell_seen\r\n\
    phone,Kestrel,K1,does not charge,490154203237518,no,yes,no,no,no,no,no,no,no,yes\r\n\
    phone,Kestrel,K2\r\n\
    toaster,Kestrel,K3,burns the bread,,no,no,no,no,no,no,no,no,no,no\r\n\
    phone,Kestrel,K4,no sound,490154203237519,no,yes,no,no,no,no,no,no,no,yes\r\n\
    phone,Kestrel,K5,screen lifts,,no,yes,no,no,yes,no,no,no,no,yes\r\n\
    tablet,Kestrel,\"K6, large\",\"black screen, \"\"sometimes\"\"\",,no,yes,no,no,no,no,no,no,no,yes\r\n";

#[test]
fn broken_rows_are_named_by_line_and_the_good_ones_stay() {
    let house = House::founded();
    let mut counter = house.counter();
    counter.get("/send");
    assert_eq!(counter.upload("/send/csv", LIST.as_bytes()).status, 303);
    let page = counter.get("/send").text();
    for expected in [
        "3 devices added",
        "Line 3: it has 3 columns and the first line has 15. Not added.",
        "Line 4: Choose what it is: phone, tablet, laptop or handheld. Not added.",
        "Line 6: Kestrel K5 must not be posted because of its battery. Call the lab.",
        "In this parcel (3)",
        "Kestrel K6, large",
        "check digit does not fit; perhaps 490154203237518",
    ] {
        assert!(page.contains(expected), "“{expected}” is not in {page}");
    }
    let parcel_path = counter.announce("");
    house.desk.sync_now().unwrap();
    let jobs = crate::house::all_jobs(&house.desk);
    let mut models: Vec<&str> = jobs
        .iter()
        .map(|job| job.device.value().unwrap().model.as_str())
        .collect();
    models.sort_unstable();
    assert_eq!(models, ["K1", "K4", "K6, large"]);
    assert!(parcel_path.starts_with("/parcels/"));
    // What the portal refused because of its cell is told to the lab.
    let rows = desk::commands::shops::shops(&house.desk, desk::commands::Nothing {})
        .unwrap()
        .rows;
    assert_eq!(rows[0].refused_advice, 1);
}

#[test]
fn a_file_of_another_kind_adds_nothing_and_says_what_is_needed() {
    let house = House::founded();
    let mut counter = house.counter();
    for (bytes, expected) in [
        (b"".as_slice(), "No file was chosen"),
        (b"\xff\xfek\0i\0n\0d\0", "not text in UTF-8"),
        (
            b"date,amount\n2026-11-25,12\n",
            "Needed are kind, maker, model, fault.",
        ),
    ] {
        counter.get("/send");
        assert_eq!(counter.upload("/send/csv", bytes).status, 303);
        let page = counter.get("/send").text();
        assert!(
            page.contains(expected) && page.contains("What is in the parcel?"),
            "{page}"
        );
    }
}
