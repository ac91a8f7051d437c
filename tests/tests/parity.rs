//! One table holds what each of the three languages calls the same thing, and nothing of the C header is left out.
//!
//! The column of Python is held to the module by `tests/python`, which can look into it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use serde::Deserialize;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[serde(rename = "about")]
    _about: String,
    rows: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    core: Option<String>,
    c: Vec<String>,
    python: Vec<String>,
    why_absent: Option<String>,
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_path_buf()
}

fn text(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn table() -> Vec<Row> {
    serde_json::from_str::<Table>(&text("tests/reference/parity.json")).unwrap().rows
}

/// Every word of the header's code that is the library's: functions, types and constants, without its comments.
fn header_symbols(header: &str) -> BTreeSet<String> {
    let mut code = String::new();
    let mut rest = header;
    while let Some((before, comment)) = rest.split_once("/*") {
        code.push_str(before);
        rest = comment.split_once("*/").map_or("", |(_, after)| after);
    }
    code.push_str(rest);
    let words = code.split(|c: char| !(c.is_ascii_alphanumeric() || c == '_'));
    let own = words.filter(|word| word.starts_with("rigging_") || word.starts_with("RIGGING_"));
    own.filter(|word| *word != "RIGGING_H").map(str::to_owned).collect()
}

#[test]
fn the_table_and_the_header_name_the_same_symbols() {
    let header = header_symbols(&text("rigging-ffi/include/rigging.h"));
    let table: BTreeSet<String> = table().into_iter().flat_map(|row| row.c).collect();
    println!("{} symbols of the header", header.len());
    assert_eq!(header.difference(&table).collect::<Vec<_>>(), Vec::<&String>::new(), "in the header, not in the table");
    assert_eq!(table.difference(&header).collect::<Vec<_>>(), Vec::<&String>::new(), "in the table, not in the header");
    assert!(header.len() > 100);
}

/// A comment that sends the reader to a function that is not there.
#[test]
fn the_comments_of_the_header_name_only_what_is_there() {
    let text = text("rigging-ffi/include/rigging.h");
    let symbols = header_symbols(&text);
    let quoted = text.split('`').skip(1).step_by(2).filter_map(|word| word.split(['(', '.']).next());
    let (mut ran, mut families) = (0, 0);
    for word in quoted.filter(|word| word.to_lowercase().starts_with("rigging_")) {
        match word.strip_suffix('…') {
            Some(family) => {
                families += 1;
                assert!(symbols.iter().any(|symbol| symbol.starts_with(family)), "{word}");
            }
            None => assert!(symbols.contains(word), "{word}"),
        }
        ran += 1;
    }
    println!("{ran} names in comments, {families} of them of a family");
    assert!(ran > 50 && families > 5);
}

/// The sources of a module of the core, and of what is below it.
fn sources(module: &str) -> String {
    let base = root().join("rigging-core/src").join(module);
    let mut found = std::fs::read_to_string(base.with_extension("rs")).unwrap_or_default();
    let mut directories = vec![base];
    while let Some(directory) = directories.pop() {
        for entry in std::fs::read_dir(&directory).into_iter().flatten() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                directories.push(path);
            } else {
                found.push_str(&std::fs::read_to_string(&path).unwrap());
            }
        }
    }
    found
}

/// Whether the sources have a public item, a public field or a variant of this name.
fn declares(sources: &str, name: &str) -> bool {
    sources.lines().map(str::trim_start).any(|line| {
        let item = line.strip_prefix("pub ").unwrap_or(line);
        let public = item.len() < line.len();
        let item = item.strip_prefix("const ").unwrap_or(item);
        let (kind, rest) = item.split_once(' ').unwrap_or((item, ""));
        let starts = |text: &str| {
            text.strip_prefix(name).is_some_and(|after| !after.starts_with(|c: char| c.is_alphanumeric() || c == '_'))
        };
        (public && ["fn", "struct", "enum", "trait", "type", "mod"].contains(&kind) && starts(rest))
            || (public && starts(item) && item[name.len()..].starts_with(':'))
            || (!public && starts(line) && [",", " {", "("].iter().any(|end| line[name.len()..].starts_with(end)))
    })
}

#[test]
fn every_item_of_the_core_in_the_table_exists() {
    let rows = table();
    let mut seen = BTreeSet::new();
    for core in rows.iter().filter_map(|row| row.core.as_ref()) {
        assert!(seen.insert(core.clone()), "{core} stands twice");
        let parts: Vec<&str> = core.split("::").collect();
        let sources = sources(parts[0]);
        for part in parts[1..].iter().filter(|part| **part != "Lift" || parts[0] == "arrangement") {
            assert!(declares(&sources, part), "{core}: {} has no {part}", parts[0]);
        }
    }
    println!("{} items of the core", seen.len());
    assert!(seen.len() > 40);
    assert!(!declares(&sources("arrangement"), "from_jso") && !declares(&sources("chain"), "Chai"));
}

#[test]
fn what_is_absent_says_why() {
    for row in table() {
        let name = row.core.clone().unwrap_or_else(|| row.c.join(" "));
        let absent = row.core.is_none() || row.c.is_empty() || row.python.is_empty();
        let why = row.why_absent.as_deref().unwrap_or_default();
        assert_eq!(absent, !why.trim().is_empty(), "{name}: something is absent exactly where a reason stands");
    }
}
