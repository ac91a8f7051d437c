//! Where `unsafe` may stand in the core.

use crate::sources::{self, Sources};
use proc_macro2::{TokenStream, TokenTree};
use std::str::FromStr;

/// The one file that may hold unsafe code: the choice of a kernel by the features of the processor.
const ALLOWED: &str = "equilibrium/dispatch.rs";

/// "file:line: word" for every use, in code, attributes and macro bodies; comments and texts do not count.
fn uses(sources: &Sources) -> Vec<String> {
    let mut found = Vec::new();
    for (name, text) in sources.iter().filter(|(name, _)| *name != ALLOWED) {
        let tokens = TokenStream::from_str(text).unwrap_or_else(|error| panic!("{name}: {error}"));
        collect(tokens, name, &mut found);
    }
    found
}

fn collect(tokens: TokenStream, file: &str, found: &mut Vec<String>) {
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    for (index, token) in tokens.iter().enumerate() {
        match token {
            TokenTree::Ident(word) if word == "unsafe" => {
                found.push(format!("rigging-core/src/{file}:{}: unsafe", word.span().start().line));
            }
            // The lint may be denied or forbidden, never relaxed.
            TokenTree::Ident(word) if word == "allow" || word == "expect" || word == "warn" => {
                if let Some(TokenTree::Group(group)) = tokens.get(index + 1)
                    && group.stream().into_iter().any(|token| token.to_string() == "unsafe_code")
                {
                    found.push(format!("rigging-core/src/{file}:{}: {word}(unsafe_code)", word.span().start().line));
                }
            }
            TokenTree::Group(group) => collect(group.stream(), file, found),
            _ => {}
        }
    }
}

#[test]
fn unsafe_stands_in_one_file_at_most() {
    let found = uses(&sources::of_the_core());
    assert!(found.is_empty(), "\n{}\nonly {ALLOWED} may hold unsafe code", found.join("\n"));
}

#[test]
fn every_form_of_unsafe_is_seen() {
    let forms = [
        ("fn f() { unsafe { g() } }", 1),
        ("\nunsafe fn f() {}", 2),
        ("unsafe impl Send for A {}", 1),
        ("unsafe trait A {}", 1),
        ("#[unsafe(no_mangle)]\nfn f() {}", 1),
        ("macro_rules! a { () => {\n unsafe { g() } } }", 2),
        ("fn f() { a!(unsafe { g() }) }", 1),
        ("#![allow(unsafe_code)]", 1),
        ("#[expect(unsafe_code, reason = \"speed\")]\nfn f() {}", 1),
    ];
    for (text, line) in forms {
        let found = uses(&Sources::from([("a.rs".to_owned(), text.to_owned())]));
        assert_eq!(found.len(), 1, "{text}");
        assert!(found[0].starts_with(&format!("rigging-core/src/a.rs:{line}: ")), "{text}: {found:?}");
    }
    let harmless = "#![deny(unsafe_code)]\n// unsafe\n/// unsafe\nfn f() -> &'static str { \"unsafe { }\" }";
    assert!(uses(&Sources::from([("a.rs".to_owned(), harmless.to_owned())])).is_empty());
    assert!(uses(&Sources::from([(ALLOWED.to_owned(), "unsafe fn f() {}".to_owned())])).is_empty());
}
