use super::*;

#[test]
fn a_failed_step_does_not_stop_the_next_one() {
    let mut suite = Suite::default();
    suite.step("first", || bail!("broken"));
    suite.step("second", || Ok(()));
    let lines = suite.lines();
    assert!(lines[0].ends_with("first: broken"), "{lines:?}");
    assert!(lines[1].ends_with("second"), "{lines:?}");
    assert_eq!(lines[2], "steps: 1 passed, 1 failed");
    let error = suite.finish().unwrap_err();
    assert_eq!(format!("{error:#}"), "these steps failed: first");
}

#[test]
fn a_run_without_failures_ends_well() {
    let mut suite = Suite::default();
    suite.step("only", || Ok(()));
    suite.finish().unwrap();
}

#[test]
fn a_run_without_steps_is_no_success() {
    assert!(Suite::default().finish().is_err());
}
