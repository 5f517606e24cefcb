use super::*;

fn check_message(password: &str, part: Option<&str>) {
    let known = ["mira@counter.example", "Mira Oduya"];
    let said = check(password, &known).err().map(|error| error.to_string());
    match (part, said) {
        (None, None) => {}
        (Some(part), Some(said)) if said.contains(part) => {}
        (expected, said) => panic!("{password}: expected {expected:?}, got {said:?}"),
    }
}

#[test]
fn a_password_of_eight_to_256_characters_is_taken_whatever_they_are() {
    check_message("pfefferm", None);
    check_message("πέτρα και νερό", None);
    check_message("  spaces  ", None);
    check_message(&"lang ".repeat(20), None);
    check_message(&"x".repeat(256), None);
}

#[test]
fn a_bad_password_is_told_why() {
    check_message("seven77", Some("at least 8"));
    check_message(&"x".repeat(257), Some("at most 256"));
    check_message("Password123", Some("guessed first"));
    check_message("MIRA@counter.example", Some("repeats"));
}

#[tokio::test]
async fn a_hash_is_argon2id_and_fits_its_password_only() {
    let stored = hash("copper and rosin".to_owned())
        .await
        .expect("hashing works");
    assert!(
        stored.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"),
        "{stored}"
    );
    assert!(
        is_right("copper and rosin".to_owned(), Some(stored.clone()))
            .await
            .expect("verifies")
    );
    assert!(
        !is_right("copper and resin".to_owned(), Some(stored))
            .await
            .expect("verifies")
    );
    assert!(
        !is_right("copper and rosin".to_owned(), None)
            .await
            .expect("does the work")
    );
}

#[test]
fn two_hashes_of_one_password_differ_by_their_salt() {
    let one = Argon2::default()
        .hash_password(b"copper and rosin")
        .expect("hashing works")
        .to_string();
    let two = Argon2::default()
        .hash_password(b"copper and rosin")
        .expect("hashing works")
        .to_string();
    assert_ne!(one, two);
}
