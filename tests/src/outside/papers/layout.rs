//! How reports lie on their pages, as poppler sees them: nothing outside the sheet's frame, nothing cut off, no heading alone at a
//! page's foot, no last page for a few lines.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use papers::model::{ReportWording, ReturnReport};

use super::{A4, LETTER, Printed, run, samples};

/// Points that a sheet keeps free at each side, and below its running foot.
const SIDE: f32 = 40.0;
const EDGE: f32 = 14.0;
/// From here down there is only the running foot.
const FOOT: f32 = 44.0;

/// A line of text with where it stands: left, top, right, bottom.
struct Line {
    words: String,
    at: [f32; 4],
}

struct Page {
    width: f32,
    height: f32,
    lines: Vec<Line>,
}

impl Page {
    /// Lines between the running head and the running foot.
    fn body(&self) -> impl Iterator<Item = &Line> {
        self.lines
            .iter()
            .filter(|line| line.at[3] < self.height - FOOT && line.at[1] > 32.0)
    }
}

fn number(tag: &str, name: &str) -> f32 {
    let (_, rest) = tag
        .split_once(&format!(" {name}=\""))
        .expect("the attribute");
    let (digits, _) = rest.split_once('"').expect("its end");
    digits.parse().expect("a number")
}

fn corners(tag: &str) -> [f32; 4] {
    ["xMin", "yMin", "xMax", "yMax"].map(|name| number(tag, name))
}

/// The pages by `pdftotext -bbox-layout`, which writes one tag a line.
fn pages(printed: &Printed) -> Vec<Page> {
    let arguments = ["-bbox-layout".as_ref(), printed.file.as_ref(), "-".as_ref()];
    let text = run("pdftotext", &arguments);
    let mut pages: Vec<Page> = Vec::new();
    for tag in text.lines().map(str::trim) {
        if tag.starts_with("<page ") {
            pages.push(Page {
                width: number(tag, "width"),
                height: number(tag, "height"),
                lines: Vec::new(),
            });
        } else if tag.starts_with("<line ") {
            let line = Line {
                words: String::new(),
                at: corners(tag),
            };
            pages.last_mut().expect("a page").lines.push(line);
        } else if tag.starts_with("<word ") {
            let (_, word) = tag.split_once('>').expect("the word");
            let line = pages.last_mut().and_then(|page| page.lines.last_mut());
            let words = &mut line.expect("a line").words;
            if !words.is_empty() {
                words.push(' ');
            }
            words.push_str(word.trim_end_matches("</word>"));
        }
    }
    pages
}

fn reports() -> Vec<(&'static str, ReturnReport)> {
    vec![
        ("one page", samples::simple_report()),
        ("typical", samples::typical_report()),
        ("twelve pages", samples::twelve_pages_report()),
        ("long names", samples::long_names_report()),
        ("three scripts", samples::scripts_report()),
        ("no photos", samples::bench_report()),
        ("sixty photos", samples::sixty_photos_report()),
        ("wordy", samples::wordy_report()),
        ("large", samples::large_report()),
    ]
}

/// Every report on both sheets, made once for all tests.
fn all() -> &'static [(String, Vec<Page>)] {
    static ALL: OnceLock<Vec<(String, Vec<Page>)>> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut all = Vec::new();
        for (setup, size) in [(A4, "A4"), (LETTER, "Letter")] {
            for (name, report) in reports() {
                let pages = pages(&Printed::report(&report, &setup));
                all.push((format!("{name}, {size}"), pages));
            }
        }
        all
    })
}

fn check(look: impl Fn(&[Page]) -> Vec<String>) {
    let faults: Vec<String> = all()
        .iter()
        .flat_map(|(name, pages)| {
            let faults = look(pages).into_iter();
            faults.map(move |fault| format!("{name}: {fault}"))
        })
        .collect();
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
fn every_word_stands_inside_the_frame_of_its_sheet() {
    check(|pages| {
        let outside = |page: &Page, line: &Line| {
            line.at[0] < SIDE
                || line.at[2] > page.width - SIDE
                || line.at[1] < EDGE
                || line.at[3] > page.height - EDGE
        };
        let of_page = |(index, page): (usize, &Page)| -> Vec<String> {
            let lines = page.lines.iter().filter(|line| outside(page, line));
            lines
                .map(|line| format!("page {}: “{}” at {:?}", index + 1, line.words, line.at))
                .collect()
        };
        pages.iter().enumerate().flat_map(of_page).collect()
    });
}

#[test]
fn no_line_lies_in_the_running_foot() {
    check(|pages| {
        let of_page = |(index, page): (usize, &Page)| {
            // The foot holds the lab's name, the reference and the page's number.
            let foot = page
                .lines
                .iter()
                .filter(|line| line.at[3] > page.height - FOOT);
            let count = foot.count();
            (count > 3).then(|| format!("page {}: {count} lines in the foot", index + 1))
        };
        pages.iter().enumerate().filter_map(of_page).collect()
    });
}

/// The words that stand over something.
fn headings() -> BTreeSet<String> {
    let words = ReportWording::default();
    [
        words.as_it_came,
        words.as_it_goes,
        words.parcel,
        words.condition,
        words.cell_check,
        words.work,
        words.heat,
        words.parts,
        words.price,
        words.warranty,
        words.not_tested,
        words.overrides,
        words.cautions,
        words.record,
        words.more_photos,
        words.traces,
        words.tests,
        words.photos,
        words.terms,
    ]
    .into_iter()
    .collect()
}

#[test]
fn no_heading_stands_alone_at_the_foot_of_a_page() {
    let headings = headings();
    check(|pages| {
        let mut faults = Vec::new();
        for (index, page) in pages.iter().enumerate() {
            // Near the top it is the head of a table, whose text may stand in the other column.
            let low =
                |line: &&Line| headings.contains(&line.words) && line.at[3] > page.height / 2.0;
            for heading in page.body().filter(low) {
                let [left, _, _, bottom] = heading.at;
                // Pictures have no words, but their captions do.
                let below = |line: &&Line| {
                    line.at[1] > bottom - 1.0
                        && line.at[2] > left - 2.0
                        && line.at[0] < left + 180.0
                };
                if !page.body().any(|line| below(&line)) {
                    faults.push(format!("page {}: “{}”", index + 1, heading.words));
                }
            }
        }
        faults
    });
}

#[test]
fn no_last_page_holds_only_a_few_lines() {
    check(|pages| {
        let last = pages.last().expect("a page");
        let lowest = last.body().map(|line| line.at[3]).fold(0.0, f32::max);
        let filled = lowest / (last.height - FOOT);
        let is_alone = pages.len() == 1;
        (!is_alone && filled < 0.16)
            .then(|| format!("of {} pages the last is filled to {filled:.2}", pages.len()))
            .into_iter()
            .collect()
    });
}

#[test]
fn what_people_write_at_length_is_printed_to_its_end() {
    for setup in [A4, LETTER] {
        let printed = Printed::report(&samples::wordy_report(), &setup);
        let text = run("pdftotext", &[printed.file.as_ref(), "-".as_ref()]);
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in [
            "parcel", "note", "cell", "step", "remark", "caution", "price", "decision", "caption",
        ] {
            assert!(
                text.contains(&format!("end of {part}.")),
                "the end of {part}"
            );
        }
    }
}
