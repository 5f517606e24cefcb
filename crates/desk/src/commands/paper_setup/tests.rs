use super::*;
use crate::commands::bench::closing::{Withdraw, withdraw};
use crate::commands::printing::{ShowPage, show_page};
use crate::drawing::tests::bench::{Bench, bench};
use crate::printing::Asked;

fn png(width: u32, height: u32, pixel: [u8; 4]) -> String {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header().unwrap();
    let pixels = pixel.repeat(width as usize * height as usize);
    writer.write_image_data(&pixels).unwrap();
    writer.finish().unwrap();
    STANDARD.encode(bytes)
}

fn set(bench: &Bench, base64: String) -> Result<PaperSetupView, DeskError> {
    set_lab_mark(&bench.desk, SetLabMark { base64 })
}

fn texts(warranty: &str, terms: &str, foot: &str) -> PaperTexts {
    PaperTexts {
        warranty: warranty.to_owned(),
        terms: terms.to_owned(),
        foot: foot.to_owned(),
    }
}

fn say(bench: &Bench, texts: PaperTexts) -> Result<PaperSetupView, DeskError> {
    set_paper_texts(&bench.desk, SetPaperTexts { texts })
}

fn check_refused(answer: Result<PaperSetupView, DeskError>, wanted_field: &str, part: &str) {
    match answer {
        Err(DeskError::Field { field, sentence }) => {
            assert_eq!(field, wanted_field);
            assert!(sentence.contains(part), "{sentence}");
        }
        other => panic!("not refused at a field: {other:?}"),
    }
}

/// The pages of a previewed paper, as the window shows them.
fn preview(bench: &Bench, paper: PreviewedPaper) -> Vec<String> {
    let size = PaperSize::A4;
    let PaperFile { name, .. } =
        preview_papers(&bench.desk, PreviewPapers { paper, size }).unwrap();
    let mut svgs = Vec::new();
    loop {
        let paper = Asked::Made { name: name.clone() };
        let page = u32::try_from(svgs.len()).unwrap() + 1;
        let shown = show_page(&bench.desk, ShowPage { paper, page }).unwrap();
        svgs.push(shown.svg);
        if page == shown.pages {
            return svgs;
        }
    }
}

#[test]
fn a_mark_is_kept_like_a_photo_and_named_by_an_entry() {
    let bench = bench();
    let view = set(&bench, png(900, 300, [20, 60, 120, 255])).unwrap();
    let mark = view.mark.unwrap();
    assert_eq!((mark.width_px, mark.height_px), (900, 300));
    assert!(mark.is_here && mark.doubt.is_empty());
    assert!(bench.desk.store().photo(&mark.hash).unwrap().is_some());
}

#[test]
fn a_small_mark_is_taken_with_a_doubt_that_names_the_size_that_would_do() {
    let bench = bench();
    let doubt = |width, height| {
        let view = set(&bench, png(width, height, [20, 60, 120, 255])).unwrap();
        view.mark.unwrap().doubt
    };
    assert!(doubt(64, 64).contains("64 × 64 pixels"));
    assert!(doubt(64, 64).contains("at least 111 pixels high"));
    assert!(doubt(200, 20).contains("at least 331 pixels wide"));
    assert_eq!(doubt(111, 111), "");
    assert_eq!(doubt(331, 20), "");
}

#[test]
fn what_is_no_mark_is_refused_and_records_nothing() {
    let bench = bench();
    let before = bench.desk.store().entry_count().unwrap();
    check_refused(set(&bench, "!".to_owned()), "mark", "did not arrive whole");
    check_refused(
        set(
            &bench,
            STANDARD.encode("<svg xmlns='http://www.w3.org/2000/svg'/>"),
        ),
        "mark",
        "SVG drawing",
    );
    check_refused(
        set(&bench, png(40, 40, [0, 0, 0, 0])),
        "mark",
        "white all over on paper",
    );
    assert_eq!(bench.desk.store().entry_count().unwrap(), before);
}

#[test]
fn removing_the_mark_is_one_more_entry_and_taking_that_back_brings_the_mark_again() {
    let bench = bench();
    let hash = set(&bench, png(400, 400, [0, 0, 0, 255]))
        .unwrap()
        .mark
        .unwrap()
        .hash;
    let removed = remove_lab_mark(&bench.desk, Nothing {}).unwrap();
    assert_eq!(removed.mark, None);
    let lab_id = bench.desk.lab_id().unwrap();
    let taken_back = Withdraw {
        subject: Subject::Lab(lab_id),
        entry_id: removed.mark_entry.unwrap(),
        reason: "the wrong button".to_owned(),
    };
    withdraw(&bench.desk, taken_back).unwrap();
    let view = paper_setup(&bench.desk, Nothing {}).unwrap();
    assert_eq!(view.mark.unwrap().hash, hash);
}

#[test]
fn a_text_that_is_too_long_is_refused_with_its_length_and_the_most() {
    let bench = bench();
    let long = "é".repeat(PaperTexts::FOOT_CHARS_MAX + 3);
    check_refused(
        say(&bench, texts("", "", &long)),
        "foot",
        "203 characters, and the paper has room for 200; shorten it by 3",
    );
    check_refused(
        say(&bench, texts(&"a".repeat(1201), "", "")),
        "warranty",
        "shorten it by 1",
    );
    check_refused(
        say(&bench, texts("", &"a".repeat(2401), "")),
        "terms",
        "shorten it by 1",
    );
    say(
        &bench,
        texts(&"a".repeat(1200), &"a".repeat(2400), &"a".repeat(200)),
    )
    .unwrap();
}

#[test]
fn the_sample_papers_carry_the_mark_and_the_texts() {
    let bench = bench();
    let pixels = |paper| preview(&bench, paper).concat().matches("<image").count();
    let all = [
        PreviewedPaper::Report,
        PreviewedPaper::PackingSlip,
        PreviewedPaper::InwardSlip,
    ];
    for paper in all {
        assert_eq!(pixels(paper), 0, "without a mark there is no picture");
    }
    set(&bench, png(400, 400, [0, 0, 0, 255])).unwrap();
    say(
        &bench,
        texts("It covers the joints.", "Parts are kept.", "No. 4 455"),
    )
    .unwrap();
    for paper in all {
        assert_eq!(pixels(paper), 1);
    }
    assert_eq!(preview(&bench, PreviewedPaper::Report).len(), 1);
}

#[test]
fn a_mark_that_is_not_here_yet_leaves_the_name_alone_on_the_paper() {
    let bench = bench();
    let picture = MarkPicture {
        hash: attachments::hash_of(b"on another desktop"),
        size_bytes: 18,
        width_px: 400,
        height_px: 400,
    };
    set_mark(&bench.desk, Some(picture)).unwrap();
    let preview = preview(&bench, PreviewedPaper::Report);
    assert!(!preview.concat().contains("<image"));
    assert!(
        !paper_setup(&bench.desk, Nothing {})
            .unwrap()
            .mark
            .unwrap()
            .is_here
    );
}
