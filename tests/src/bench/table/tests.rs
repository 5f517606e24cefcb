use std::time::Duration;

use super::{Budget, Table, percentile};

const MS: Duration = Duration::from_millis(1);

#[test]
fn percentiles_are_measured_values_by_nearest_rank() {
    let mut times: Vec<Duration> = (1..=200).rev().map(|ms| ms * MS).collect();
    assert_eq!(percentile(&mut times, 50), 100 * MS);
    assert_eq!(percentile(&mut times, 99), 198 * MS);
    assert_eq!(percentile(&mut [7 * MS], 99), 7 * MS);
}

#[test]
fn a_row_says_by_what_factor_its_budget_is_kept() {
    let mut table = Table::default();
    table.add("one thing", Budget::P99(10 * MS), vec![4 * MS; 10]);
    table.add(
        "a slow one",
        Budget::Both(20 * MS, 50 * MS),
        vec![40 * MS; 10],
    );
    table.add_bytes("a line", Budget::Bytes(4096), 1000);
    let text = table.to_string();
    assert!(
        text.contains("| one thing | 10 | 4.00 ms | 4.00 ms | p99 10.00 ms | 2.5 |"),
        "{text}"
    );
    assert!(text.contains("| 0.5, 1.2 |"), "{text}");
    assert!(
        text.contains("| a line | 1 | 1000 B | – | 4096 B | 4.0 |"),
        "{text}"
    );
}
