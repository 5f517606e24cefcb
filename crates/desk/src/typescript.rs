//! Writes the command table as TypeScript: every type a command names, and one function a command.
//!
//! The result is committed; a check fails when it is stale. Integers become `number`: milliseconds, bytes and minor units of
//! money stay far below 2^53, where JavaScript's numbers stop being exact.

use std::any::TypeId;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use ts_rs::{Config, TS, TypeVisitor};

struct Types<'a> {
    config: &'a Config,
    seen: BTreeSet<TypeId>,
    declarations: BTreeMap<String, String>,
}

impl TypeVisitor for Types<'_> {
    fn visit<T: TS + 'static + ?Sized>(&mut self) {
        if !self.seen.insert(TypeId::of::<T>()) {
            return;
        }
        T::visit_dependencies(self);
        T::visit_generics(self);
        if T::output_path().is_none() {
            return;
        }
        let name = T::ident(self.config);
        let docs = T::docs().unwrap_or_default();
        let declaration = format!("{docs}export {}", T::decl(self.config));
        let known = self.declarations.insert(name.clone(), declaration.clone());
        assert!(
            known.is_none_or(|known| known == declaration),
            "two Rust types are both called {name} in TypeScript; give one of them another name with #[ts(rename)]"
        );
    }
}

const HEAD: &str = "// Generated from the desk's command table by `cargo xtask gen-types`. Do not edit.\n\
                    import { call } from \"./call\";\n\n";

/// The whole of `ui/src/backend/generated.ts`.
pub fn generated() -> String {
    let config = Config::new().with_large_int("number");
    let mut types = Types {
        config: &config,
        seen: BTreeSet::new(),
        declarations: BTreeMap::new(),
    };
    types.visit::<crate::error::EdgeError>();
    types.visit::<crate::desk::Changed>();
    types.visit::<crate::photo_intake::PhotoTarget>();
    types.visit::<domain::report_check::ReportCheck>();
    let functions = crate::commands::typescript(&config, &mut types);
    let mut out = HEAD.to_owned();
    for declaration in types.declarations.values() {
        out.push_str(declaration);
        out.push_str("\n\n");
    }
    out.push_str(&functions);
    out
}

/// Writes one command as a function. A request without fields is left out of its arguments.
pub(crate) fn function(out: &mut String, docs: &[&str], name: &str, request: &str, response: &str) {
    let mut camel = String::new();
    for (index, word) in name.split('_').enumerate() {
        let mut letters = word.chars();
        match letters.next() {
            Some(first) if index > 0 => camel.extend(first.to_uppercase().chain(letters)),
            Some(first) => camel.extend(std::iter::once(first).chain(letters)),
            None => {}
        }
    }
    let docs = docs
        .iter()
        .map(|line| line.trim())
        .collect::<Vec<_>>()
        .join(" ");
    let (argument, passed) = if request == "Nothing" {
        (String::new(), "{}")
    } else {
        (format!("request: {request}"), "request")
    };
    let written = write!(
        out,
        "/** {docs} */\nexport function {camel}({argument}): Promise<{response}> {{\n  return call(\"{name}\", {passed});\n}}\n\n"
    );
    written.expect("writing to a string never fails");
}
