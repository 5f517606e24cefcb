use super::*;

fn check(text: &str, expected: &[&str]) {
    let found: Vec<String> = mentions(text)
        .into_iter()
        .map(|mention| mention.path)
        .collect();
    assert_eq!(found, expected, "{text}");
}

#[test]
fn a_path_is_one_mention() {
    check("std::fs::read(path)", &["std::fs::read", "path"]);
}

#[test]
fn a_use_tree_is_written_out() {
    check(
        "use std::{fs, io::{self, Read as _}, time::*};",
        &["std::fs", "std::io::self", "std::io::Read", "std::time"],
    );
}

#[test]
fn what_follows_a_use_tree_is_read_as_well() {
    check("use a::b; c::d();", &["a::b", "c::d"]);
    check("use {a, b::c}; d", &["a", "b::c", "d"]);
}

#[test]
fn comments_are_left_out() {
    check("// std::fs\na /* b /* c */ d */ e", &["a", "e"]);
}

#[test]
fn literals_are_left_out() {
    check(r#"a("std::fs \" b", 'c', '\'', "d")"#, &["a"]);
    check("a(r#\"std::\"fs\"#, br\"b\")", &["a", "b"]);
}

#[test]
fn a_lifetime_is_no_literal() {
    check("fn a<'b>(c: &'b str)", &["fn", "a", "b", "c", "b", "str"]);
}

#[test]
fn lines_are_counted_through_comments_and_literals() {
    let text = "/* one\ntwo */\n\"three\nfour\"\nstd::env::var";
    assert_eq!(
        mentions(text),
        [Mention {
            path: "std::env::var".to_owned(),
            line: 5
        }]
    );
}

#[test]
fn an_unfinished_text_ends() {
    check("use a::{b, ;", &["a::b", "a"]);
    check("\"never closed", &[]);
    check("/* never closed", &[]);
}
