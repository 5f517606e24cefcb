//! What the command table promises as a whole; single commands are told by the journeys.

use super::{NAMES, WAITS_FOR_NOBODY};

#[test]
fn every_command_that_waits_for_nobody_is_a_command() {
    for name in WAITS_FOR_NOBODY {
        assert!(NAMES.contains(name), "{name}");
    }
}

#[test]
fn the_typescript_holds_every_command_once() {
    let typescript = crate::typescript::generated();
    for name in NAMES {
        assert_eq!(
            typescript.matches(&format!("call(\"{name}\",")).count(),
            1,
            "{name}"
        );
    }
}

#[test]
fn no_type_in_the_typescript_is_a_large_integer() {
    assert!(!crate::typescript::generated().contains("bigint"));
}
