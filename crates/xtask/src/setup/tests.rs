use super::*;

#[test]
fn a_machine_with_everything_lacks_nothing() {
    assert!(missing(Purpose::Test, &|_| true).is_empty());
}

#[test]
fn the_demo_needs_no_test_tools() {
    let needs = packages(&missing(Purpose::Demo, &|_| false));
    assert!(needs.contains(&"build-essential"));
    assert!(!needs.contains(&"qpdf"));
    assert!(!needs.contains(&"chromium"));
}

#[test]
fn the_tests_need_all_of_it() {
    let needs = packages(&missing(Purpose::Test, &|_| false));
    for package in [
        "poppler-utils",
        "qpdf",
        "zbar-tools",
        "libimage-exiftool-perl",
        "imagemagick",
        "libpdfbox2-java",
        "default-jre-headless",
        "chromium",
    ] {
        assert!(needs.contains(&package), "{package}");
    }
    if cfg!(target_os = "linux") {
        assert!(needs.contains(&"libwebkit2gtk-4.1-dev"));
        assert!(needs.contains(&"webkit2gtk-driver"));
    }
}

#[test]
fn only_what_is_missing_is_named() {
    let without_qpdf =
        |probe: &Probe| !matches!(probe, Probe::Program(names) if names.contains(&"qpdf"));
    let missing = missing(Purpose::Test, &without_qpdf);
    assert_eq!(packages(&missing), ["qpdf"]);
    assert_eq!(
        apt_line(&missing),
        "apt-get install --no-install-recommends qpdf"
    );
    let list = manual_list(&missing);
    assert!(
        list.contains("- qpdf (a program named qpdf); on Debian the package qpdf"),
        "{list}"
    );
}

#[test]
fn a_program_that_only_goes_by_the_name_is_not_taken_for_it() {
    // `echo` answers anything, with other words.
    assert!(is_present(&Probe::Program(&["echo"])));
    assert!(!is_present(&Probe::Release(
        &["echo"],
        "Version: ImageMagick"
    )));
    assert!(is_present(&Probe::Release(&["echo"], "-version")));
    assert!(!is_present(&Probe::Release(&["no-such-program"], "")));
}

#[test]
fn no_package_is_named_twice() {
    let mut packages = packages(NEEDS);
    packages.sort_unstable();
    packages.dedup();
    assert_eq!(packages.len(), NEEDS.len());
}

fn check_node(printed: &str, expected: Option<u32>) {
    assert_eq!(node_major(printed), expected, "{printed}");
}

#[test]
fn the_version_of_node_is_read() {
    check_node("v20.20.2\n", Some(20));
    check_node("v9.0.0", Some(9));
    check_node("20.1.0", None);
    check_node("", None);
    check_node("vnext", None);
}

#[test]
fn the_end_of_a_log_is_shown() {
    assert_eq!(last_lines("one\ntwo\nthree\n", 2), "two\nthree");
    assert_eq!(last_lines("one", 2), "one");
    assert_eq!(last_lines("", 2), "");
}
