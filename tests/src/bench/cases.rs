//! What a person at a desktop waits for.

use std::path::Path;
use std::time::{Duration, Instant};

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use desk::PhotoTarget;
use desk::commands::bench::closing::{MakeReport, make_report};
use desk::commands::bench::proof::{ChooseTests, ResultInput, choose_tests};
use desk::commands::bench::work::{RecordNote, record_note};
use desk::commands::bench::{self, JobKey};
use desk::commands::scan::{ScanText, scan as scan_text};
use desk::commands::start::{ConnectServer, JoinLab, connect_server, invite_desktop, join_lab};
use desk::commands::{Nothing, PaperSize, start as beginning};
use desk::ports::Ports;
use desk::store::NewEntry;
use domain::fact::{Fact, Note, Phase, PhotoPlace, TestKind};
use domain::{JobId, Subject};

use super::Scale;
use super::meter::Meter;
use super::seed::{Lab, store_of};
use super::table::{Budget, Table, times};
use crate::house::{
    Desktop, Server, agree_by_word, check_cell, entry_count, imei, jpeg, look_over, quote, result,
    set_repaired, state_of, take_in, work,
};

const fn ms(ms: u64) -> Duration {
    Duration::from_millis(ms)
}

/// Opening a file whose rows must all be made anew, as after an upgrade.
pub(super) fn full_fold(table: &mut Table, lab: &mut Lab) {
    super::say("opening it with everything to be folded");
    let began = Instant::now();
    lab.open();
    let state = state_of(&lab.desk);
    assert!(state.jobs_in_house > 0);
    table.add(
        "start after an upgrade: fold everything anew",
        Budget::Median(ms(3_000)),
        vec![began.elapsed()],
    );
}

/// The whole logbook to a new server.
pub(super) fn first_upload(table: &mut Table, lab: &Lab, server: &Server, meter: &Meter) {
    super::say("sending everything to a new server");
    let request = ConnectServer {
        url: meter.url(),
        code: server.join_code(),
    };
    connect_server(&lab.desk, request).expect("a good code connects");
    let began = Instant::now();
    lab.desk.sync_now().expect("the server answers");
    table.add(
        &format!("first upload of {} entries", lab.entries),
        Budget::None,
        vec![began.elapsed()],
    );
    assert_eq!(server.log_position(), lab.entries);
}

/// An invitation whose address is the server's own instead of the metered line's.
fn direct(invitation: &str, server: &Server) -> String {
    let body = invitation.strip_prefix("WB:I:").expect("an invitation");
    let json = URL_SAFE_NO_PAD.decode(body).expect("it is base64");
    let mut parts: serde_json::Value = serde_json::from_slice(&json).expect("it is JSON");
    parts["u"] = server.url().into();
    format!("WB:I:{}", URL_SAFE_NO_PAD.encode(parts.to_string()))
}

/// Everything into an empty desktop, folded and ready to be worked with.
pub(super) fn first_sync(table: &mut Table, lab: &Lab, server: &Server) -> Desktop {
    super::say("joining an empty desktop");
    let invitation = invite_desktop(&lab.desk, Nothing {})
        .expect("the server makes codes")
        .text;
    let second = Desktop::new();
    let request = JoinLab {
        invitation: direct(&invitation, server),
        desktop_name: "Bench two".to_owned(),
    };
    let began = Instant::now();
    join_lab(&second, request).expect("a good invitation joins");
    let took = began.elapsed();
    assert_eq!(entry_count(&second), lab.entries, "both ends hold the same");
    table.add(
        &format!(
            "first sync of {} entries into an empty desktop, folded",
            lab.entries
        ),
        Budget::Median(ms(60_000)),
        vec![took],
    );
    beginning::choose_person(
        &second,
        beginning::ChoosePerson {
            person_id: lab.person_id,
        },
    )
    .expect("the owner came along");
    second
}

/// A round when both sides are equal.
pub(super) fn no_op_sync(
    table: &mut Table,
    scale: Scale,
    lab: &Lab,
    second: &Desktop,
    meter: &Meter,
) {
    super::say("syncing when nothing is new");
    let sync = |desk: &Desktop| desk.sync_now().expect("the server answers");
    sync(second);
    sync(&lab.desk);
    table.add(
        "sync when nothing is new",
        Budget::Median(ms(100)),
        times(scale.many.min(200), |_| sync(second)),
    );
    let before = meter.bytes();
    sync(&lab.desk);
    table.add_bytes(
        "the same, bytes both ways with headers",
        Budget::Bytes(4_096),
        meter.bytes() - before,
    );
}

/// From the start of the program to the first screen.
pub(super) fn start(table: &mut Table, scale: Scale, mut second: Desktop) -> Desktop {
    super::say("starting");
    let mut measured = Vec::new();
    for _ in 0..scale.few {
        second.close();
        let began = Instant::now();
        second.open();
        assert!(state_of(&second).jobs_in_house > 0);
        measured.push(began.elapsed());
    }
    table.add(
        "start: open the logbook and show the first screen",
        Budget::Median(ms(1_000)),
        measured,
    );
    second
}

/// One entry through the store alone: seal, insert, queue, commit. On a copy, so that the lab stays as it is.
pub(super) fn append(table: &mut Table, scale: Scale, lab: &Lab, folder: &Path) {
    super::say("appending");
    let copy = folder.join("copy");
    std::fs::create_dir_all(&copy).expect("a temporary folder");
    let target = desk::commands::setup::BackUp {
        path: copy.join("backup").display().to_string(),
    };
    desk::commands::setup::back_up(&lab.desk, target).expect("there is room");
    let store = store_of(&copy.join("backup"), Ports::system());
    let measured = times(scale.many, |number| {
        let fact = Fact::NoteRecorded(Note {
            text: format!("Measured again, time {number}."),
        });
        let subject = Subject::Job(lab.jobs[number % lab.jobs.len()]);
        store
            .append(lab.person_id, vec![NewEntry::fact(subject, &fact)])
            .expect("there is room");
    });
    table.add(
        "append one entry: seal, insert, queue, commit",
        Budget::P99(ms(10)),
        measured,
    );
}

/// One entry by a command: check, append, fold, and the view that the screen shows.
pub(super) fn save(table: &mut Table, scale: Scale, lab: &Lab, second: &Desktop) {
    super::say("recording");
    let measured = times(scale.many, |number| {
        let job_id = lab.jobs[number * 7 % (lab.jobs.len() - 1)];
        let text = format!("Seen at the bench, time {number}.");
        record_note(second, RecordNote { job_id, text }).expect("the job is known");
    });
    table.add(
        "from key to “saved”: a command with its view",
        Budget::Both(ms(20), ms(50)),
        measured,
    );
}

/// From the scanner's last sign to the answer.
pub(super) fn scan(table: &mut Table, scale: Scale, lab: &Lab, second: &Desktop) {
    super::say("scanning");
    let find = |text: &str| {
        let answer = scan_text(
            second,
            ScanText {
                text: text.to_owned(),
            },
        )
        .expect("it is not empty");
        assert!(!answer.matches.is_empty(), "{text}: {}", answer.sentence);
    };
    let budget = Budget::Both(ms(20), ms(50));
    let jobs = lab.jobs.len() - 1;
    let numbers: Vec<String> = (0..scale.many)
        .map(|number| imei(u32::try_from(number * 19 % jobs).expect("a job's number")))
        .collect();
    table.add(
        "scan an IMEI to answer",
        budget,
        times(scale.many, |number| find(&numbers[number])),
    );
    let tags: Vec<String> = (0..scale.many)
        .map(|number| reference(second, lab.jobs[number * 23 % jobs]))
        .collect();
    table.add(
        "scan a job’s tag to answer",
        budget,
        times(scale.many, |number| find(&tags[number])),
    );
    let tracking = |number: usize| &lab.tracking[number * 3 % lab.tracking.len()];
    table.add(
        "scan a tracking number to answer",
        budget,
        times(scale.many, |number| find(tracking(number))),
    );
    let words = [
        "heron plus",
        "wren service",
        "order 199",
        "plover tab screen",
    ];
    let words = times(scale.many.min(200), |number| {
        scan_text(
            second,
            ScanText {
                text: words[number % words.len()].to_owned(),
            },
        )
        .expect("it is not empty");
    });
    table.add("type words to answer", budget, words);
}

fn reference(desk: &Desktop, job_id: JobId) -> String {
    let reference = bench::job(desk, JobKey { job_id })
        .expect("the job is known")
        .job
        .reference;
    format!("WB:J:{}", reference.replace('-', ""))
}

/// The spread of a job with 200 entries.
pub(super) fn open_job(table: &mut Table, scale: Scale, lab: &Lab, second: &Desktop) {
    super::say("opening a long job");
    let job_id = *lab.jobs.last().expect("the long job");
    let open = |_| {
        let view = bench::job(second, JobKey { job_id }).expect("the job is known");
        assert!(view.trail.len() >= 200, "{}", view.trail.len());
    };
    table.add(
        "open a job of 200 entries",
        Budget::Median(ms(30)),
        times(scale.many.min(200), open),
    );
}

/// A photo of twelve megapixels: turned, scaled, kept, recorded.
pub(super) fn photo(table: &mut Table, scale: Scale, lab: &Lab, second: &Desktop) {
    super::say("taking photos in");
    let bytes = jpeg(4_032, 3_024, 7);
    let target = |number: usize| PhotoTarget {
        subject: Subject::Job(lab.jobs[number]),
        place: PhotoPlace::Condition,
        caption: String::new(),
        beside: None,
    };
    let measured = times(scale.few, |number| {
        second
            .take_photo(&bytes, &target(number))
            .expect("a good picture");
    });
    let size = bytes.len() / 100_000;
    let what = format!(
        "take in a photo of 12 megapixels ({}.{} MB)",
        size / 10,
        size % 10
    );
    table.add(&what, Budget::None, measured);
}

/// A return report with eight photos.
pub(super) fn report(table: &mut Table, scale: Scale, lab: &Lab, second: &Desktop) {
    super::say("drawing reports");
    let number = 900_001;
    let job_id = take_in(second, lab.shops[0], "K4", &imei(number));
    check_cell(second, job_id);
    look_over(second, job_id, &imei(number));
    let tests: Vec<_> = bench::job(second, JobKey { job_id })
        .expect("it is known")
        .tests
        .into_iter()
        .map(|test| test.test)
        .collect();
    let codes = tests.iter().map(|test| test.code.clone()).collect();
    choose_tests(
        second,
        ChooseTests {
            job_id,
            codes,
            shows_fault: vec![crate::house::code("display.touch")],
        },
    )
    .expect("it was looked over");
    let mut before = Vec::new();
    for seed in 0..4 {
        before.push(picture(second, job_id, PhotoPlace::Before, seed, None));
    }
    for test in &tests {
        result(
            second,
            job_id,
            Phase::Before,
            &test.code.0,
            outcome(&test.kind, test.code.0 != "display.touch"),
        );
    }
    quote(second, job_id, "89");
    agree_by_word(second, job_id);
    for _ in 0..4 {
        work(second, job_id);
    }
    for test in &tests {
        result(
            second,
            job_id,
            Phase::After,
            &test.code.0,
            outcome(&test.kind, true),
        );
    }
    for (seed, hash) in (4..).zip(before) {
        picture(second, job_id, PhotoPlace::After, seed, Some(hash));
    }
    set_repaired(second, job_id);
    let measured = times(scale.few, |_| {
        make_report(
            second,
            MakeReport {
                job_id,
                size: PaperSize::A4,
            },
        )
        .expect("an outcome is set");
    });
    let pages = crate::house::job(second, job_id)
        .reports
        .last()
        .expect("it was made")
        .value
        .pages;
    table.add(
        &format!("return report, {pages} pages with 8 photos"),
        Budget::None,
        measured,
    );
}

fn picture(
    desk: &Desktop,
    job_id: JobId,
    place: PhotoPlace,
    seed: u32,
    beside: Option<domain::ContentHash>,
) -> domain::ContentHash {
    let target = PhotoTarget {
        subject: Subject::Job(job_id),
        place,
        caption: "the board around the connector".to_owned(),
        beside,
    };
    desk.take_photo(&jpeg(2_400, 1_800, seed), &target)
        .expect("a good picture")
        .hash
}

/// A result that is well within the limits, or none at all.
fn outcome(kind: &TestKind, good: bool) -> ResultInput {
    match kind {
        _ if !good => ResultInput::Fail,
        TestKind::PassFail => ResultInput::Pass,
        TestKind::Choice { answers } => ResultInput::Choice {
            words: answers
                .iter()
                .find(|answer| answer.passes)
                .map_or_else(String::new, |answer| answer.words.clone()),
        },
        TestKind::Reading { limits, .. } | TestKind::Timed { limits } => {
            let middle = match (limits.low_micro, limits.high_micro) {
                (Some(low), Some(high)) => i64::midpoint(low, high),
                (Some(low), None) => low + low.abs() / 4,
                (None, Some(high)) => high - high.abs() / 4,
                (None, None) => 1_000_000,
            };
            let sign = if middle < 0 { "-" } else { "" };
            let (whole, rest) = (
                middle.unsigned_abs() / 1_000_000,
                middle.unsigned_abs() % 1_000_000,
            );
            ResultInput::Reading {
                value: format!("{sign}{whole}.{rest:06}"),
                uncertainty: String::new(),
            }
        }
    }
}
