use super::*;

fn parse(words: &[&str]) -> Result<Options> {
    let words: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
    Options::parse(&words)
}

fn check_refused(words: &[&str], expected: &str) {
    assert_eq!(parse(words).unwrap_err().to_string(), expected);
}

#[test]
fn without_words_it_stays_on_a_free_port() {
    assert_eq!(parse(&[]).unwrap(), Options::default());
}

#[test]
fn all_words_are_understood() {
    let expected = Options {
        once: true,
        virtual_display: true,
        port: Some(8080),
    };
    assert_eq!(
        parse(&["--port", "8080", "--xvfb", "--once"]).unwrap(),
        expected
    );
}

#[test]
fn other_words_are_refused_with_a_reason() {
    check_refused(&["--port"], "--port needs a number, such as --port 8080");
    check_refused(
        &["--port", "70000"],
        "`70000` is not a port from 0 to 65535",
    );
    check_refused(
        &["--twice"],
        "demo takes --once, --xvfb and --port N, but was given `--twice`",
    );
}

#[test]
fn the_folder_of_the_lab_is_read() {
    assert_eq!(
        parse_lab_folder(r#"{"lab":"/tmp/a b","portal":"x"}"#).unwrap(),
        PathBuf::from("/tmp/a b")
    );
    assert!(parse_lab_folder("{}").is_err());
    assert!(parse_lab_folder("").is_err());
}
