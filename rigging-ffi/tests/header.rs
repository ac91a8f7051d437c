//! The committed header is the one that the sources give, and every common language standard takes it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::path::PathBuf;
use std::process::Command;

const INTRODUCTION: &str = "/*
 * Load distribution, capacity derating and assessment of multi-leg lifts.
 *
 * Results support, and never replace, the planning of the competent person; local codes and licensed practice prevail.
 *
 * Errors. Every function that can fail returns a status (RIGGING_OK or another) and takes a rigging_error last, which
 * may be NULL and is written only on failure. Outputs are written only on success. A load that hangs unstably and a check
 * that fails are results, not errors.
 *
 * Handles (rigging_lift, rigging_rule_set, rigging_certificate, rigging_assessment, rigging_balance, rigging_answer,
 * rigging_sharing_rule) never change once they are made, so threads may share them without locks. The caller frees each by
 * its own function, which takes NULL too; none needs the handles it was made from. A rigging_leg_set is lent to a rule of the
 * caller's own for one call.
 *
 * Texts are UTF-8. What goes in has a length and is borrowed for the call. A document comes out in two calls: with a NULL
 * buffer for its length, then with a buffer of one byte more. A rigging_text is lent by the handle it was asked of.
 *
 * Structs that the library fills begin with struct_size: call the struct's _init function once before its first use.
 * New fields are only added at the end, and the library never writes beyond struct_size. What is not told is NaN or
 * NULL, beside a has_ field that is 0.
 *
 * Units are SI and stand at the end of a name: _n newtons, _m meters, _n_m newton meters, _j joules, _rad radians. Pointers
 * may not be NULL unless it says so.
 *
 * This file is generated from the Rust sources; a test compares it.
 */";

fn package() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn generated() -> String {
    let config = cbindgen::Config {
        header: Some(INTRODUCTION.into()),
        include_guard: Some("RIGGING_H".into()),
        language: cbindgen::Language::C,
        cpp_compat: true,
        usize_is_size_t: true,
        no_includes: true,
        sys_includes: vec!["stddef.h".into(), "stdint.h".into()],
        documentation: true,
        documentation_style: cbindgen::DocumentationStyle::Doxy,
        line_length: 120,
        style: cbindgen::Style::Both,
        sort_by: cbindgen::SortKey::None,
        ..cbindgen::Config::default()
    };
    let bindings = cbindgen::Builder::new().with_crate(package()).with_config(config).generate().unwrap();
    let mut text = Vec::new();
    bindings.write(&mut text);
    // What Rust calls safety is what the call requires of a C caller.
    String::from_utf8(text).unwrap().replace(" * # Safety\n", " * Requires:\n")
}

#[test]
fn the_committed_header_is_current() {
    let path = package().join("include/rigging.h");
    let text = generated();
    assert!(!text.contains("hidden"), "a symbol for tests reached the header");
    if std::env::var("RIGGING_REWRITE").is_ok_and(|value| value == "1") {
        std::fs::write(&path, &text).unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    if committed != text {
        let line = committed.lines().zip(text.lines()).position(|(old, new)| old != new);
        let line = line.unwrap_or_else(|| committed.lines().count().min(text.lines().count()));
        panic!(
            "include/rigging.h is not what the sources give, from line {} on:\n committed: {}\n generated: {}\n\
             rewrite it: RIGGING_REWRITE=1 cargo test -p rigging-ffi --test header",
            line + 1,
            committed.lines().nth(line).unwrap_or("(nothing)"),
            text.lines().nth(line).unwrap_or("(nothing)")
        );
    }
}

#[test]
fn every_language_standard_takes_the_header() {
    let standards = [
        ("c", "CC", "cc", "c99"),
        ("c", "CC", "cc", "c11"),
        ("c", "CC", "cc", "c17"),
        ("c++", "CXX", "c++", "c++11"),
        ("c++", "CXX", "c++", "c++14"),
        ("c++", "CXX", "c++", "c++17"),
        ("c++", "CXX", "c++", "c++20"),
    ];
    for (language, variable, usual, standard) in standards {
        let compiler = std::env::var(variable).ok().filter(|name| !name.is_empty()).unwrap_or(usual.into());
        let output = Command::new(&compiler)
            .args(["-x", language, &format!("-std={standard}")])
            .args(["-Wall", "-Wextra", "-pedantic", "-Werror", "-fsyntax-only"])
            // As the main file a header would be warned about for its own guard words.
            .args(["-include", "rigging.h", "-I"])
            .arg(package().join("include"))
            .arg(package().join("tests/empty.c"))
            .output()
            .unwrap_or_else(|error| panic!("{compiler}: {error}; install a C and a C++ compiler"));
        assert!(output.status.success(), "{standard}:\n{}", String::from_utf8_lossy(&output.stderr));
    }
    println!("{} language standards", standards.len());
}
