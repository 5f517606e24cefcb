use super::*;

fn check_url(given: &str, expected: Option<&str>) {
    let parsed = PublicUrl::parse(given).ok();
    assert_eq!(parsed.as_ref().map(PublicUrl::as_str), expected, "{given}");
}

#[test]
fn a_public_address_is_a_scheme_and_a_host() {
    check_url(
        "https://repairs.example.org",
        Some("https://repairs.example.org"),
    );
    check_url(
        "https://repairs.example.org/",
        Some("https://repairs.example.org"),
    );
    check_url("http://127.0.0.1:8460", Some("http://127.0.0.1:8460"));
    check_url("http://[::1]:8460", Some("http://[::1]:8460"));
    check_url("repairs.example.org", None);
    check_url("https://", None);
    check_url("https://repairs.example.org/portal", None);
    check_url("https://a b", None);
    check_url("javascript://x", None);
}

#[test]
fn a_flag_replaces_the_line_of_the_file() {
    let file: ConfigFile =
        toml::from_str("data = \"/from/file\"\ntrusted_proxy = true").expect("a small valid file");
    let flags = ConfigFile {
        data: Some("/from/flag".into()),
        ..ConfigFile::default()
    };
    let config = file
        .overridden_by(flags)
        .finish()
        .expect("all that is needed is there");
    assert_eq!(config.data, PathBuf::from("/from/flag"));
    assert!(config.trusted_proxy);
}

#[test]
fn a_verdict_is_for_everybody_only_where_the_owner_says_so() {
    let finish = |text: &str| {
        toml::from_str::<ConfigFile>(text)
            .expect("a small valid file")
            .finish()
            .expect("all that is needed is there")
    };
    assert!(!finish("data = \"/srv\"").public_verdicts);
    assert!(finish("data = \"/srv\"\npublic_verdicts = true").public_verdicts);
}

#[test]
fn a_misspelt_key_stops_the_start() {
    let read = toml::from_str::<ConfigFile>("dta = \"/var/lib/waybench\"");
    assert!(read.is_err_and(|error| error.to_string().contains("dta")));
}

#[test]
fn without_a_data_folder_the_message_says_what_to_add() {
    let error = ConfigFile::default()
        .finish()
        .expect_err("no folder was named");
    assert!(error.to_string().contains("--data DIR"), "{error}");
}
