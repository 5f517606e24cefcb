//! The watched folder, on a real one.

use std::sync::{Arc, mpsc};
use std::time::Duration;

use domain::JobId;
use domain::device::DeviceKind;
use domain::fact::{LabDescription, PhotoPlace, ShopDescription};

use crate::commands::dock::{
    CountParcel, ExtraDevice, ReceiveParcel, count_parcel, receive_parcel,
};
use crate::commands::shops::{SaveShop, save_shop};
use crate::commands::start::{FoundLab, found_lab};
use crate::desk::{Changed, Desk, DeskOptions};
use crate::ports::Ports;

/// Longest time a file may take from being closed to being told of: inotify is immediate, a busy machine is not.
const PATIENCE: Duration = Duration::from_secs(20);

pub(crate) struct Bench {
    pub(crate) desk: Arc<Desk>,
    told: mpsc::Receiver<String>,
    folder: tempfile::TempDir,
}

pub(crate) fn bench() -> Bench {
    let folder = tempfile::tempdir().expect("a folder");
    let desk = Arc::new(
        Desk::open(
            DeskOptions::beside(&folder.path().join("lab")),
            Ports::system(),
        )
        .expect("a desk"),
    );
    let lab = LabDescription {
        name: "Tidewater Board Lab".to_owned(),
        address_lines: Vec::new(),
        country: "IE".to_owned(),
        phone: String::new(),
        email: String::new(),
        zone: "Europe/Dublin".to_owned(),
        currency: "EUR".to_owned(),
        warranty_days: 90,
    };
    let founded = FoundLab {
        lab,
        owner_name: "Ada".to_owned(),
        desktop_name: "bench 1".to_owned(),
    };
    found_lab(&desk, founded).expect("a lab");
    let (sender, told) = mpsc::channel();
    desk.on_change(Arc::new(move |changed| {
        if let Changed::Picture { sentence } = changed {
            drop(sender.send(sentence.clone()));
        }
        std::ops::ControlFlow::Continue(())
    }));
    std::fs::create_dir(folder.path().join("camera")).expect("a folder");
    desk.set_watched_folder(&folder.path().join("camera").display().to_string())
        .expect("is set");
    desk.start_watching().expect("watches");
    Bench { desk, told, folder }
}

impl Bench {
    pub(crate) fn job(&self) -> JobId {
        let description = ShopDescription {
            name: "Northside".to_owned(),
            address_lines: Vec::new(),
            country: "IE".to_owned(),
            phone: String::new(),
            email: String::new(),
            currency: "EUR".to_owned(),
        };
        let shop = save_shop(
            &self.desk,
            SaveShop {
                shop_id: None,
                description,
                standing_limit: String::new(),
            },
        )
        .expect("a shop");
        let received = ReceiveParcel {
            parcel_id: None,
            scanned: String::new(),
            shop_id: Some(shop.brief.shop_id),
        };
        let parcel_id = receive_parcel(&self.desk, received)
            .expect("a parcel")
            .parcel
            .parcel_id;
        let extra = ExtraDevice {
            kind: DeviceKind::Phone,
            maker: "Arvo".to_owned(),
            model: "Nine".to_owned(),
            colour: String::new(),
            fault: String::new(),
            identifier: String::new(),
        };
        let counted = CountParcel {
            parcel_id,
            found: Vec::new(),
            extra: vec![extra],
            note: String::new(),
        };
        count_parcel(&self.desk, counted)
            .expect("is counted")
            .devices[0]
            .job
            .job_id
    }

    #[track_caller]
    fn check(&self, name: &str, bytes: &[u8], sentence: &str) {
        std::fs::write(self.folder.path().join("camera").join(name), bytes).expect("is written");
        let told = self.told.recv_timeout(PATIENCE).expect("something is told");
        assert!(told.contains(sentence), "{told}");
    }
}

fn picture() -> Vec<u8> {
    let mut png = Vec::new();
    let mut encoder = png::Encoder::new(&mut png, 8, 8);
    encoder.set_color(png::ColorType::Rgb);
    encoder
        .write_header()
        .and_then(|mut writer| writer.write_image_data(&[90; 8 * 8 * 3]))
        .expect("a picture");
    png
}

#[test]
fn a_new_picture_lands_on_the_job_that_is_open() {
    let bench = bench();
    let job_id = bench.job();
    bench
        .desk
        .aim_watched_folder(Some((job_id, PhotoPlace::Work)));
    bench.check("board.png", &picture(), "board.png was taken in");
    assert_eq!(bench.desk.job(job_id).expect("the job").photos.len(), 1);
}

#[test]
fn a_picture_that_comes_while_no_job_is_open_is_said() {
    bench().check("board.png", &picture(), "no job is open");
}

#[test]
fn what_is_no_picture_is_left_alone_and_said() {
    let bench = bench();
    bench
        .desk
        .aim_watched_folder(Some((bench.job(), PhotoPlace::Work)));
    bench.check("notes.txt", b"hello", "was left alone");
}

#[test]
fn a_folder_that_does_not_exist_is_refused() {
    let error = bench()
        .desk
        .set_watched_folder("/nowhere/at/all")
        .expect_err("is refused");
    assert!(error.to_string().contains("is no folder"), "{error}");
}

#[test]
fn a_file_that_grows_no_more_is_waited_for_and_then_read() {
    let bench = bench();
    let path = bench.folder.path().join("slow.png");
    std::fs::write(&path, b"half").expect("is written");
    super::wait_until_still(&path);
    assert_eq!(std::fs::read(&path).expect("is read"), b"half");
}

#[test]
fn a_folder_inside_the_logbook_s_own_is_refused_by_whatever_path() {
    let bench = bench();
    let inside = bench.folder.path().join("camera/../lab/files");
    let error = bench
        .desk
        .set_watched_folder(&inside.display().to_string())
        .expect_err("is refused");
    assert!(error.to_string().contains("outside the logbook"), "{error}");
}
