use super::*;

fn parse(words: &[&str]) -> Result<Start, String> {
    StartOptions::parse(words.iter().map(OsString::from))
}

fn check(words: &[&str], lab: Option<&str>, safe_rendering: bool) {
    let options = StartOptions {
        lab: lab.map(PathBuf::from),
        safe_rendering,
    };
    assert_eq!(parse(words), Ok(Start::Open(options.clone())), "{words:?}");
    assert_eq!(
        StartOptions::parse(options.to_words()),
        Ok(Start::Open(options)),
        "the options written out as words say the same"
    );
}

#[test]
fn without_words_the_own_data_folder_is_opened() {
    check(&[], None, false);
}

#[test]
fn a_folder_and_safe_rendering_are_understood_in_any_order() {
    check(&["--lab", "a b"], Some("a b"), false);
    check(&["--safe-rendering", "--lab", "x"], Some("x"), true);
    check(&["--lab", "x", "--safe-rendering"], Some("x"), true);
}

#[test]
fn a_folder_may_look_like_an_option() {
    check(&["--lab", "--help"], Some("--help"), false);
}

#[test]
fn help_and_version_open_nothing() {
    assert_eq!(parse(&["--help"]), Ok(Start::Usage));
    assert_eq!(parse(&["-V"]), Ok(Start::Version));
}

#[test]
fn a_missing_folder_and_an_unknown_word_are_refused_with_a_reason() {
    assert_eq!(
        parse(&["--lab"]),
        Err("--lab needs a folder after it".to_owned())
    );
    assert_eq!(parse(&["lab"]), Err("there is no option `lab`".to_owned()));
}
