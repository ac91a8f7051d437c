//! The layer test is tested: one forbidden arrow of every form is put into a small sound crate, and each must be
//! reported at its file and line; forms that are allowed must not be.

use crate::arrows::judge;
use crate::sources::Sources;

/// A sound crate: `system` re-exports an item of `gear`, which it may name and `equilibrium` may not.
fn sound() -> Sources {
    let files = [
        (
            "lib.rs",
            "//! Root.\npub mod error;\npub mod quantity;\npub mod gear;\npub mod arrangement;\npub mod rules;\n\
             pub mod system;\npub mod equilibrium;\npub use rules::ask as question;\n",
        ),
        ("error.rs", "pub enum Error { Missing }\n"),
        (
            "quantity/mod.rs",
            "pub struct Mass;\nmacro_rules! unit { ($n:ident) => { pub struct $n; } }\nunit!(Force);\n\
             #[macro_export]\nmacro_rules! via { () => { $crate::gear::Sling } }\n",
        ),
        ("gear/mod.rs", "mod soft;\npub use soft::Sling;\npub struct Shackle;\npub mod hard { pub struct Chain; }\n"),
        ("gear/soft.rs", "use crate::quantity::Mass;\npub struct Sling { pub mass: Mass }\n"),
        ("arrangement.rs", "use crate::gear::Sling;\npub struct Lift(pub Sling);\n"),
        (
            "rules.rs",
            "use crate::gear as items;\npub fn ask(_: &items::Sling) {}\npub trait Answer { fn answer(&self) {} }\n",
        ),
        (
            "system/mod.rs",
            "pub use crate::gear::Sling;\npub use crate::gear::hard::*;\npub use crate::arrangement::*;\n\
             pub type Fitting = crate::gear::Shackle;\npub struct System;\npub mod law;\npub(crate) use crate::rules;\n",
        ),
        ("system/law.rs", "pub enum Law { Linear }\n"),
        (
            "equilibrium/mod.rs",
            "mod pose;\nuse crate::system::{System, law::Law};\npub fn solve(_: &System, _: Law) {}\n",
        ),
        ("equilibrium/pose.rs", "use super::Law;\npub fn pose(_: Law) {}\n"),
    ];
    // `quantity::via!` is expanded where it is called; its own body would be an arrow of `quantity`, so the sound crate
    // keeps it out and the forms below put it in.
    files.into_iter().map(|(name, text)| (name.to_owned(), text.replace("$crate::gear::Sling", "()"))).collect()
}

/// A form: its name, the file it is added to, the text, the line of the text on which it stands, what is reported.
type Form = (&'static str, &'static str, &'static str, usize, &'static str);

const POSE: &str = "equilibrium/pose.rs";
const GEAR: &str = "equilibrium may not name gear";
const RULES: &str = "equilibrium may not name rules";
const LIFT: &str = "equilibrium may not name arrangement";

const FORMS: &[Form] = &[
    // `use` in all its shapes.
    ("use", POSE, "use crate::rules::ask;", 1, RULES),
    ("use of a module", POSE, "use crate::rules;", 1, RULES),
    ("nested use", POSE, "use crate::{\n  error::Error,\n  rules::{self, ask},\n};", 3, RULES),
    ("use with a rename", POSE, "use crate::rules as other;", 1, RULES),
    ("use for its methods only", POSE, "use crate::rules::Answer as _;", 1, RULES),
    ("glob", POSE, "use crate::rules::*;", 1, RULES),
    ("use by super", POSE, "use super::super::rules::ask;", 1, RULES),
    ("use by self and super", POSE, "use self::super::super::rules::ask;", 1, RULES),
    ("re-export", POSE, "pub use crate::rules::ask;", 1, RULES),
    ("use in a function", POSE, "fn f() {\n  use crate::rules::ask;\n}", 2, RULES),
    ("use in an inline module", POSE, "mod inner {\n  use super::super::super::rules::ask;\n}", 2, RULES),
    // Paths in code.
    ("expression", POSE, "fn f() {\n  crate::rules::ask(&x);\n}", 2, RULES),
    ("expression by super", POSE, "fn f() { super::super::rules::ask(&x) }", 1, RULES),
    ("type", POSE, "struct A(crate::gear::Sling);", 1, GEAR),
    ("type argument", POSE, "struct A(Vec<Option<crate::gear::Sling>>);", 1, GEAR),
    ("type of an argument of a call", POSE, "fn f() { g::<crate::gear::Sling>() }", 1, GEAR),
    ("implemented type", POSE, "impl Into<u8> for crate::gear::Sling {}", 1, GEAR),
    ("implemented trait", POSE, "impl crate::rules::Answer for A {}", 1, RULES),
    ("bound", POSE, "fn f<T: crate::rules::Answer>(_: T) {}", 1, RULES),
    ("where clause", POSE, "fn f<T>(_: T)\nwhere\n  T: crate::rules::Answer,\n{}", 3, RULES),
    ("trait object", POSE, "fn f(_: &dyn crate::rules::Answer) {}", 1, RULES),
    ("qualified self", POSE, "fn f() { <crate::gear::Sling as Into<u8>>::into(x) }", 1, GEAR),
    ("qualified trait", POSE, "fn f() { <A as crate::rules::Answer>::answer(x) }", 1, RULES),
    ("pattern", POSE, "fn f() { let crate::gear::Sling { mass } = x; }", 1, GEAR),
    ("struct expression", POSE, "fn f() { crate::gear::Sling { mass } }", 1, GEAR),
    ("constant", POSE, "const A: u8 = crate::rules::A;", 1, RULES),
    ("default of a generic", POSE, "struct A<T = crate::gear::Sling>(T);", 1, GEAR),
    ("type alias", POSE, "type A = crate::gear::Sling;", 1, GEAR),
    // Attributes.
    ("attribute", POSE, "#[derive(crate::rules::Derive)]\nstruct A;", 1, RULES),
    ("attribute path", POSE, "#[crate::rules::wrap]\nfn f() {}", 1, RULES),
    ("attribute in quotes", POSE, "struct A {\n  #[serde(with = \"crate::rules::text\")]\n  a: u8,\n}", 2, RULES),
    ("attribute value in quotes", POSE, "#[name = \"crate::rules::text\"]\nstruct A;", 1, RULES),
    // Macros.
    ("macro argument", POSE, "fn f() {\n  println!(\"{}\", crate::rules::ask(&x));\n}", 2, RULES),
    ("macro argument by super", POSE, "fn f() { vec![super::super::rules::ask(&x)] }", 1, RULES),
    ("use in a macro argument", POSE, "fn f() { block! { use crate::{error, rules::ask}; } }", 1, RULES),
    ("macro path", POSE, "crate::rules::table! {}", 1, RULES),
    ("macro body", POSE, "macro_rules! m { () => {\n  crate::rules::ask()\n} }", 2, RULES),
    ("macro body by $crate", POSE, "macro_rules! m { () => { $crate::rules::ask() } }", 1, RULES),
    ("use in a macro body", POSE, "macro_rules! m { () => { use $crate::{error, rules::ask}; } }", 1, RULES),
    (
        "use with a parameter in a macro body",
        POSE,
        "macro_rules! m { ($a:ident) => { use $crate::{rules::$a}; } }",
        1,
        RULES,
    ),
    (
        "module chosen by a parameter",
        POSE,
        "macro_rules! m { ($a:ident) => { $crate::$a::ask() } }",
        1,
        "cannot be followed",
    ),
    ("macro of another module", "equilibrium/mod.rs", "fn f() { via!() }", 1, GEAR),
    ("a body that means another module where it is called", "equilibrium/mod.rs", "fn f() { up!() }", 1, RULES),
    // Laundering.
    ("item re-exported by a module that may be named", POSE, "use crate::system::Sling;", 1, GEAR),
    ("path to a re-exported item", POSE, "fn f(_: crate::system::Sling) {}", 1, GEAR),
    ("re-exported item by a glob", POSE, "use crate::system::*;\nfn f(_: Sling) {}", 2, GEAR),
    ("item of a re-exported glob", POSE, "use crate::system::Chain;", 1, GEAR),
    ("item of a re-exported glob of another module", POSE, "fn f(_: crate::system::Lift) {}", 1, LIFT),
    ("re-exported module", POSE, "fn f() { crate::system::rules::ask() }", 1, RULES),
    ("renamed module", POSE, "use crate::system as s;\nfn f(_: s::Sling) {}", 2, GEAR),
    ("renamed module in a function", POSE, "fn f() {\n  use crate::system as s;\n  s::rules::ask()\n}", 3, RULES),
    ("type alias of a module that may be named", POSE, "fn f(_: crate::system::Fitting) {}", 1, GEAR),
    ("re-export at the root", POSE, "use crate::question;", 1, RULES),
    ("glob of the root", POSE, "use crate::*;\nfn f() { rules::ask() }", 2, RULES),
    ("re-export of the own parent", "equilibrium/mod.rs", "pub use crate::system::Sling;", 1, GEAR),
    // Other arrows of the table.
    (
        "standards naming geometry",
        "rules.rs",
        "fn f(_: crate::arrangement::Lift) {}",
        1,
        "rules may not name arrangement",
    ),
    ("gear naming a rule", "gear/soft.rs", "use crate::rules::ask;", 1, "gear may not name rules"),
    (
        "the lowest layer naming its neighbor",
        "error.rs",
        "use crate::quantity::Mass;",
        1,
        "error may not name quantity",
    ),
    ("an item made by a macro", "error.rs", "fn f(_: crate::quantity::Force) {}", 1, "error may not name quantity"),
    // Forms that cannot be followed.
    ("path of a file", POSE, "#[path = \"other.rs\"]\nmod other;", 1, "a path of its own"),
    ("included text", POSE, "include!(\"other.rs\");", 1, "not followed"),
    ("second name of the crate", POSE, "extern crate self as me;", 1, "second name"),
    ("module in a function", POSE, "fn f() {\n  mod inner {}\n}", 2, "a module inside a function"),
    ("code at the root", "lib.rs", "pub fn f() {}", 1, "modules and re-exports only"),
    ("module outside the table", "lib.rs", "pub mod other {}", 0, "other is not in the table"),
    ("path that leads nowhere", POSE, "use crate::nothing::A;", 1, "leads nowhere"),
];

#[test]
fn the_sound_crate_is_sound() {
    let findings = judge(&sound());
    assert_eq!(findings.complaints, Vec::<String>::new());
    assert!(findings.arrows.contains_key(&("equilibrium".into(), "system".into())));
}

#[test]
fn every_forbidden_form_is_reported() {
    for (form, file, text, line, what) in FORMS {
        let mut sources = sound();
        if *form == "macro of another module" {
            // The body is an arrow of `quantity` where it stands, and one of `equilibrium` where it is called.
            let macros = sources["quantity/mod.rs"].replace("{ () }", "{ $crate::gear::Sling }");
            sources.insert("quantity/mod.rs".into(), macros);
        }
        if form.starts_with("a body that means") {
            let body = "macro_rules! up { () => { super::rules::ask() } }\n";
            sources.get_mut("system/law.rs").unwrap().push_str(body);
        }
        let before = sources[*file].lines().count();
        sources.get_mut(*file).unwrap().push_str(&format!("{text}\n"));
        let complaints = judge(&sources).complaints;
        let start = match line {
            0 => format!("rigging-core/src/{file}:1: "),
            line => format!("rigging-core/src/{file}:{}: ", before + line),
        };
        let reported = complaints.iter().any(|complaint| complaint.starts_with(&start) && complaint.contains(what));
        assert!(reported, "{form}: expected {start}…{what}…, reported:\n{}", complaints.join("\n"));
    }
    println!("{} forbidden forms, each reported", FORMS.len());
    assert_eq!(FORMS.len(), 66);
}

/// Sound text that looks like an arrow.
const HARMLESS: &[(&str, &str, &str)] = &[
    ("test module", POSE, "#[cfg(test)]\nmod tests { use crate::rules::ask; }"),
    ("test function", POSE, "#[cfg(test)]\nfn f() { crate::rules::ask() }"),
    ("test method", POSE, "impl A {\n  #[cfg(test)]\n  fn f() { crate::rules::ask() }\n}"),
    ("test module in a file", POSE, "#[cfg(test)]\nmod tests;"),
    ("test under a feature", POSE, "#[cfg(all(test, feature = \"a\"))]\nmod tests { use crate::rules::ask; }"),
    ("documentation", POSE, "/// See [`crate::rules::ask`].\npub struct A;"),
    ("comment", POSE, "// crate::rules::ask"),
    ("text", POSE, "const A: &str = \"crate::rules::ask\";"),
    ("other crate", POSE, "use serde::de; fn f() { std::mem::take(x); ::rules::ask() }"),
    ("local variable and field", POSE, "fn f(rules: u8) -> u8 { let gear = x.rules; gear + rules }"),
    ("method in a macro", POSE, "fn f() { println!(\"{}\", x.rules().gear) }"),
    ("lifetime in a macro", POSE, "a! { fn f<'rules>(x: &'rules u8) {} }"),
    ("parent and self", POSE, "use super::solve; use self::pose as p; fn f() { super::pose::pose(x) }"),
    ("item of its own module", POSE, "fn f() { crate::equilibrium::solve(x, y) }"),
    ("associated item", POSE, "fn f() { Self::rules(); T::gear::<u8>() }"),
    (
        "higher layer naming lower ones",
        "system/law.rs",
        "use crate::{arrangement::Lift, gear, quantity::Mass, rules::*};",
    ),
    ("circle of imports", POSE, "use self::a as b; use self::b as a; fn f() { a::c() }"),
];

#[test]
fn no_harmless_form_is_reported() {
    for (form, file, text) in HARMLESS {
        let mut sources = sound();
        sources.get_mut(*file).unwrap().push_str(&format!("{text}\n"));
        if *form == "test module in a file" {
            sources.insert("equilibrium/pose/tests.rs".into(), "use crate::rules::ask;\n".into());
        }
        assert_eq!(judge(&sources).complaints, Vec::<String>::new(), "{form}");
    }
    println!("{} harmless forms, none reported", HARMLESS.len());
    assert_eq!(HARMLESS.len(), 17);
}

#[test]
fn a_file_that_no_module_declares_is_reported() {
    let mut sources = sound();
    sources.insert("equilibrium/lost.rs".into(), String::new());
    assert!(judge(&sources).complaints.iter().any(|text| text.contains("lost.rs:1: no module declaration")));
}

#[test]
fn a_circle_of_allowed_arrows_is_reported() {
    let mut sources = sound();
    sources.get_mut("lib.rs").unwrap().push_str("pub mod demand; pub mod capacity;\n");
    sources.insert("demand.rs".into(), "pub struct D; use crate::capacity::C;\n".into());
    sources.insert("capacity.rs".into(), "pub struct C;\n".into());
    assert_eq!(judge(&sources).complaints, Vec::<String>::new());
    sources.get_mut("capacity.rs").unwrap().push_str("use crate::demand::D;\n");
    let complaints = judge(&sources).complaints;
    assert!(complaints.iter().any(|text| text.contains("circle: capacity → demand → capacity")), "{complaints:?}");
}
