use super::*;

const HASH: &str = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";

#[test]
fn a_kept_pdf_is_written_among_the_papers() {
    let lab = tempfile::tempdir().unwrap();
    let path = write(&papers(lab.path()), HASH, b"%PDF-1.7\n").unwrap();
    assert_eq!(path, lab.path().join("papers/kept-e3b0c44298fc1c14.pdf"));
    assert_eq!(std::fs::read(&path).unwrap(), b"%PDF-1.7\n");
    assert_eq!(std::fs::read_dir(papers(lab.path())).unwrap().count(), 1);
}

#[test]
fn nothing_but_a_pdf_is_written() {
    let lab = tempfile::tempdir().unwrap();
    for bytes in [&b"#!/bin/sh\n"[..], b"\xFF\xD8\xFF\xE0", b""] {
        let error = write(&papers(lab.path()), HASH, bytes).unwrap_err();
        assert!(error.message.contains("not a PDF"), "{}", error.message);
    }
    assert!(!papers(lab.path()).exists());
}

#[test]
fn a_folder_that_cannot_be_written_is_named() {
    let lab = tempfile::tempdir().unwrap();
    let in_the_way = papers(lab.path());
    std::fs::write(&in_the_way, b"a file where the folder belongs").unwrap();
    let error = write(&in_the_way, HASH, b"%PDF-1.7\n").unwrap_err();
    assert!(error.message.contains("papers"), "{}", error.message);
}
