//! The lab's own limits: a later look is judged by them, an earlier one stays as it was judged.

use desk::commands::Nothing;
use desk::commands::bench::cell::{RecordCellCheck, preview_cell_check};
use desk::commands::bench::{self, JobKey, JobView};
use desk::commands::cell_bay::{BayKey, cell};
use desk::commands::transport::{UpdateRule, rule_book, update_rule};
use domain::cells::BenchLevel;
use domain::{JobId, Subject};

use super::read;
use crate::house::{House, check_cell, imei, sound_cell, take_in};

/// The owner makes one limit of the bench another.
fn set_limit(house: &House, id: &str, value: i64) {
    let rows = rule_book(&house.desk, Nothing {}).unwrap().rows;
    let mut row = rows
        .into_iter()
        .map(|each| each.row)
        .find(|row| row.id == id)
        .unwrap();
    row.value = Some(value);
    let reason = "The maker's sheet, read today".to_owned();
    update_rule(&house.desk, UpdateRule { row, reason }).unwrap();
}

fn bench_view(desk: &desk::Desk, job_id: JobId) -> JobView {
    bench::job(desk, JobKey { job_id }).unwrap()
}

#[test]
fn a_stricter_limit_of_the_lab_isolates_a_later_check_and_leaves_an_earlier_one() {
    let house = House::founded();
    let second = house.second_desktop("Bench two");
    let desk = &house.desk;
    let earlier = take_in(desk, house.shop_id, "K4", &imei(1));
    check_cell(desk, earlier);
    assert_eq!(bench_view(desk, earlier).cell_rules_changed, None);
    set_limit(&house, "BENCH.DEAD", 3_900);
    let later = take_in(desk, house.shop_id, "K5", &imei(2));
    let preview = preview_cell_check(
        desk,
        RecordCellCheck {
            job_id: later,
            check: sound_cell(),
        },
    )
    .unwrap();
    assert_eq!(preview.level, BenchLevel::Isolate);
    check_cell(desk, later);
    house.catch_up(&[&second]);
    for desk in [desk, &second] {
        let view = bench_view(desk, earlier);
        assert_eq!(view.job.cell_state.level, Some(BenchLevel::Clear));
        let said = view.cell_rules_changed.unwrap();
        assert!(
            said.contains("likely to have copper shunts") && said.contains("take a reading"),
            "{said}"
        );
        let view = bench_view(desk, later);
        assert_eq!(view.job.cell_state.level, Some(BenchLevel::Isolate));
        assert_eq!(view.cell_rules_changed, None);
    }
    // A reading of the earlier one judges it by the rules of now, though nobody measured its voltage again.
    let subject = Subject::Job(earlier);
    read(&house, subject, "21.2");
    house.catch_up(&[&second]);
    for desk in [desk, &second] {
        let view = cell(desk, BayKey { subject }).unwrap();
        assert_eq!(view.row.state.level, Some(BenchLevel::Isolate));
        assert_eq!(view.rules_changed, None);
    }
}
