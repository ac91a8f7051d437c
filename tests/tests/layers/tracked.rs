//! What may not be tracked: paths of one machine, hosts of package registries, marks of unfinished work, long files.
//!
//! The patterns are put together from pieces, so that this file does not hold what it looks for.

use crate::sources;
use std::process::Command;

/// Lines of a source file: above the first number it is named, above the second the test fails.
const LONG: usize = 500;
const TOO_LONG: usize = 800;

/// What a line may not hold.
struct Pattern {
    text: String,
    /// Nothing that could belong to a longer path or word stands before it.
    starts: bool,
    /// Nothing that could belong to a longer word stands after it.
    ends: bool,
    what: &'static str,
}

fn patterns() -> Vec<Pattern> {
    let path = |parts: [&str; 2]| Pattern {
        text: format!("/{}{}/", parts[0], parts[1]),
        starts: true,
        ends: false,
        what: "a path of one machine",
    };
    let host = |parts: [&str; 2]| Pattern {
        text: parts.concat(),
        starts: false,
        ends: false,
        what: "the host of a package registry",
    };
    let word = |parts: [&str; 2]| Pattern {
        text: parts.concat(),
        starts: true,
        ends: true,
        what: "a mark of unfinished work",
    };
    let call = |parts: [&str; 2]| Pattern { ends: false, ..word(parts) };
    let mut all: Vec<Pattern> =
        [["ho", "me"], ["Us", "ers"], ["ro", "ot"], ["tm", "p"], ["wo", "rk"], ["op", "t"], ["mn", "t"]]
            .map(path)
            .into();
    all.push(Pattern { text: ["C:", "\\"].concat(), starts: true, ends: false, what: "a path of one machine" });
    all.extend([["crates", ".io"], ["py", "pi."], ["python", "hosted"], ["npm", "js"], ["artif", "actory"]].map(host));
    all.extend([["TO", "DO"], ["FIX", "ME"], ["XX", "X"], ["HA", "CK"], ["TB", "D"], ["WI", "P"]].map(word));
    all.extend([["to", "do!("], ["unimple", "mented!("]].map(call));
    all
}

impl Pattern {
    fn stands_in(&self, line: &str) -> bool {
        let part = |c: char| c.is_alphanumeric() || c == '_';
        line.match_indices(&self.text).any(|(at, found)| {
            let before = line[..at].chars().next_back();
            let after = line[at + found.len()..].chars().next();
            let begins = before.is_none_or(|c| !part(c) && !matches!(c, '.' | '-' | '/' | '~' | '}'));
            (!self.starts || begins) && (!self.ends || after.is_none_or(|c| !part(c)))
        })
    }
}

/// "file:line: what" for every forbidden line.
fn complaints(file: &str, text: &str) -> Vec<String> {
    let patterns = patterns();
    // The lock file names the public index in every entry, by the one address that every lock file has.
    let index = format!("registry+https://github.com/rust-lang/{}{}-index", "crates", ".io");
    let mut found = Vec::new();
    for (number, line) in text.lines().enumerate() {
        let line = if file == "Cargo.lock" { line.replace(&index, "") } else { line.to_owned() };
        let hits = patterns.iter().filter(|pattern| pattern.stands_in(&line));
        found.extend(hits.map(|pattern| format!("{file}:{}: {} ({})", number + 1, pattern.what, pattern.text)));
    }
    found
}

/// Names of the tracked files.
fn tracked() -> Vec<String> {
    let output = Command::new("git")
        .current_dir(sources::root())
        .args(["ls-files", "-z", "--cached"])
        .output()
        .expect("git is needed to list the tracked files");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let names = String::from_utf8(output.stdout).unwrap();
    names.split('\0').filter(|name| !name.is_empty()).map(str::to_owned).collect()
}

#[test]
fn nothing_of_one_machine_and_nothing_unfinished_is_tracked() {
    let mut found = Vec::new();
    let mut read = 0;
    for name in tracked() {
        found.extend(complaints("the name of the file", &name));
        // A file removed from the directory but not yet from the index holds nothing.
        let Ok(bytes) = std::fs::read(sources::root().join(&name)) else { continue };
        let Ok(text) = String::from_utf8(bytes) else { continue };
        read += 1;
        found.extend(complaints(&name, &text));
    }
    println!("{read} tracked text files read");
    assert!(read > 20, "only {read} tracked files were read");
    assert!(found.is_empty(), "\n{}", found.join("\n"));
}

#[test]
fn source_files_are_short() {
    let mut too_long = Vec::new();
    for name in tracked().into_iter().filter(|name| name.ends_with(".rs") || name.ends_with(".py")) {
        let Ok(text) = std::fs::read_to_string(sources::root().join(&name)) else { continue };
        let lines = text.lines().count();
        if lines > TOO_LONG {
            too_long.push(format!("{name}: {lines} lines, {TOO_LONG} are allowed"));
        } else if lines > LONG {
            println!("look twice: {name} has {lines} lines");
        }
    }
    assert!(too_long.is_empty(), "\n{}", too_long.join("\n"));
}

#[test]
fn every_pattern_is_seen_and_harmless_text_is_not() {
    for pattern in patterns() {
        for line in [format!("see {} there", pattern.text), pattern.text.clone(), format!("\"{}\"", pattern.text)] {
            let found = complaints("a.txt", &format!("first\n{line}"));
            assert_eq!(found.len(), 1, "{line}: {found:?}");
            assert!(found[0].starts_with("a.txt:2: "), "{found:?}");
        }
    }
    for line in ["the/home/stretch", "shackle/root/crown", "WIPER", "../work/out", "SHACKLE", "{}/tmp/"] {
        assert_eq!(complaints("a.txt", line), Vec::<String>::new(), "{line}");
    }
}
