//! The shipped rows are complete, and a newer row is taken or refused for a reason.

use jiff::civil::{Date, date};

use super::{BookError, BookRow, RowKind, RowUnit, RuleBody, RuleBook};

fn row(id: &str, regime: RuleBody) -> BookRow {
    RuleBook::shipped()
        .on(date(2026, 3, 1))
        .row(id, regime)
        .unwrap()
        .clone()
}

fn later(id: &str, regime: RuleBody, value: i64, from: Date) -> BookRow {
    BookRow {
        value: Some(value),
        effective_from: from,
        effective_to: None,
        ..row(id, regime)
    }
}

#[test]
fn every_shipped_row_has_its_edition_clause_source_and_text() {
    for row in RuleBook::shipped().rows() {
        assert_eq!(RuleBook::shipped().accepts(row), Ok(()), "{}", row.id);
    }
}

#[test]
fn no_row_stands_twice_for_the_same_first_day() {
    let rows = RuleBook::shipped().rows();
    for (index, row) in rows.iter().enumerate() {
        let twin = rows[index + 1..].iter().find(|other| {
            (&other.id, other.regime, other.effective_from)
                == (&row.id, row.regime, row.effective_from)
        });
        assert_eq!(twin, None);
    }
}

#[test]
fn a_row_that_ends_before_it_begins_is_not_shipped_either() {
    for row in RuleBook::shipped().rows() {
        assert!(
            row.effective_to.is_none_or(|to| to >= row.effective_from),
            "{}",
            row.id
        );
    }
}

#[test]
fn the_ship_date_picks_the_row() {
    let book = RuleBook::shipped();
    let on = |year, month, day| {
        book.on(date(year, month, day))
            .value("SOC.WITH", RuleBody::Air)
    };
    // Trade summaries of the 2026 change: advice in 2025, mandatory from 1 January 2026.
    assert_eq!(on(2025, 12, 31), None);
    assert_eq!(on(2026, 1, 1), Some(30));
}

#[test]
fn a_newer_row_counts_from_its_first_day_and_the_older_one_before() {
    let from = date(2026, 7, 1);
    let newer = later("SM.CELL.WH", RuleBody::UsHmr, 25_000_000, from);
    let book = RuleBook::shipped().with_updates(&[newer]);
    let on = |day| book.on(day).value("SM.CELL.WH", RuleBody::UsHmr);
    assert_eq!(on(date(2026, 6, 30)), Some(20_000_000));
    assert_eq!(on(from), Some(25_000_000));
    // Another regime keeps its own.
    assert_eq!(
        book.on(from).value("SM.CELL.WH", RuleBody::Adr),
        Some(20_000_000)
    );
}

#[test]
fn an_update_for_the_same_first_day_takes_the_place_of_the_row() {
    let mut same = row("AIR.NET", RuleBody::Air);
    same.value = Some(4_000);
    let book = RuleBook::shipped().with_updates(&[same]);
    assert_eq!(
        book.on(date(2026, 3, 1)).value("AIR.NET", RuleBody::Air),
        Some(4_000)
    );
    assert_eq!(book.rows().len(), RuleBook::shipped().rows().len());
}

fn refused(change: impl FnOnce(&mut BookRow)) -> BookError {
    let mut update = later("SM.CELL.WH", RuleBody::UsHmr, 21_000_000, date(2026, 7, 1));
    change(&mut update);
    let error = RuleBook::shipped().accepts(&update).unwrap_err();
    assert_eq!(
        &RuleBook::shipped().with_updates(&[update]),
        RuleBook::shipped(),
        "what is refused is not taken"
    );
    error
}

#[test]
fn a_row_that_nothing_asks_for_is_refused() {
    let error = refused(|row| row.id = "SM.CEL.WH".to_owned());
    assert!(matches!(error, BookError::UnknownRow { .. }));
}

#[test]
fn a_row_in_another_unit_is_refused() {
    let error = refused(|row| row.unit = Some(RowUnit::G));
    assert!(matches!(
        error,
        BookError::OtherKind {
            kind: RowKind::Limit,
            ..
        }
    ));
}

#[test]
fn a_limit_of_nothing_is_refused() {
    for value in [None, Some(0), Some(-5)] {
        let error = refused(|row| row.value = value);
        assert!(matches!(error, BookError::NoValue { .. }));
    }
}

#[test]
fn a_row_that_ends_before_it_begins_is_refused() {
    let error = refused(|row| row.effective_to = Some(date(2026, 6, 30)));
    assert!(matches!(error, BookError::EndsBeforeItBegins { .. }));
}

#[test]
fn a_row_without_its_source_is_refused() {
    let error = refused(|row| row.source = "  ".to_owned());
    assert_eq!(
        error.to_string(),
        "the row “SM.CELL.WH” needs its source: a rule without it can't be checked by anyone"
    );
}

#[test]
fn a_date_outside_every_edition_is_named_with_what_is_covered() {
    let error = RuleBook::shipped()
        .on(date(2027, 1, 1))
        .edition(RuleBody::Air)
        .unwrap_err();
    assert_eq!(
        error.to_string(),
        "the rules of air (ICAO, IATA) in this program are for ship dates from 2025-01-01 to 2026-12-31; 2027-01-01 lies \
         outside, so a trained shipper must read the edition in force"
    );
}

#[test]
fn the_nearest_day_of_an_edition_is_its_last_or_its_first() {
    let book = RuleBook::shipped();
    let nearest = |day: Date| book.on(day).nearest(RuleBody::Adr).date();
    assert_eq!(nearest(date(2030, 1, 1)), date(2026, 12, 31));
    assert_eq!(nearest(date(2020, 1, 1)), date(2025, 1, 1));
    assert_eq!(nearest(date(2026, 3, 1)), date(2026, 3, 1));
}

#[test]
fn a_newer_edition_row_moves_the_end() {
    let mut edition = row("ED.ADR", RuleBody::Adr);
    edition.edition = "ADR 2027".to_owned();
    edition.effective_from = date(2027, 1, 1);
    edition.effective_to = Some(date(2028, 12, 31));
    let book = RuleBook::shipped().with_updates(&[edition]);
    let found = book.on(date(2027, 6, 1)).edition(RuleBody::Adr);
    assert_eq!(found.map(|row| row.edition.as_str()), Ok("ADR 2027"));
}

#[test]
fn values_are_shown_exactly_and_without_idle_zeros() {
    let cases = [
        (RowUnit::Uwh, 2_700_000, "2.7 Wh"),
        (RowUnit::Uwh, 20_020_000, "20.02 Wh"),
        (RowUnit::Ug, 1_500_000, "1.5 g"),
        (RowUnit::G, 30_000, "30 kg"),
        (RowUnit::G, 2_268, "2.268 kg"),
        (RowUnit::TenthsC, -5, "-0.5 °C"),
        (RowUnit::Mv, 4_250, "4.25 V"),
    ];
    for (unit, value, shown) in cases {
        assert_eq!(unit.shown(value), shown);
    }
}
