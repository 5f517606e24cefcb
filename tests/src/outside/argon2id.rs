//! The library that hashes passwords against RFC 9106.
//!
//! `vectors/crypto_protocols.json`: RFC 9106 section 5.3, computed again with PyPI argon2-cffi 25.1.0, and two encoded hashes
//! made by that program.

use argon2::password_hash::{PasswordVerifier as _, phc::PasswordHash};
use argon2::{Algorithm, Argon2, AssociatedData, ParamsBuilder, Version};

use super::vector_files::{list, text, vectors};

#[test]
fn the_published_tag_is_reproduced() {
    let vectors = vectors("crypto_protocols.json");
    let vector = &vectors["rfc9106_argon2id"]["vector"];
    let bytes = |name: &str| hex::decode(text(vector, name)).unwrap();
    let cost = |name: &str| u32::try_from(vector[name].as_u64().unwrap()).unwrap();
    let params = ParamsBuilder::new()
        .m_cost(cost("m_kib"))
        .t_cost(cost("t"))
        .p_cost(cost("p"))
        .data(AssociatedData::new(&bytes("ad_hex")).unwrap())
        .build()
        .unwrap();
    let secret = bytes("secret_hex");
    let argon2 =
        Argon2::new_with_secret(&secret, Algorithm::Argon2id, Version::V0x13, params).unwrap();
    let mut tag = [0; 32];
    argon2
        .hash_password_into(&bytes("password_hex"), &bytes("salt_hex"), &mut tag)
        .unwrap();
    assert_eq!(hex::encode(tag), text(vector, "tag_hex"));
}

#[test]
fn hashes_encoded_by_another_program_are_verified() {
    let vectors = vectors("crypto_protocols.json");
    for case in list(&vectors["rfc9106_argon2id"], "phc_strings") {
        let hash = PasswordHash::new(text(case, "phc")).unwrap();
        let verify = |password: &str| {
            Argon2::default()
                .verify_password(password.as_bytes(), &hash)
                .is_ok()
        };
        assert!(verify(text(case, "password")));
        assert!(!verify("correct horse battery stable"));
    }
}
