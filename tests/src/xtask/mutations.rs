//! Whether the properties notice: each mutation of a list is made in a copy of the sources, and a test that the list names
//! must fail.

use crate::count::Count;
use crate::program::{Failure, Log};
use crate::workspace::Workspace;
use std::path::{Path, PathBuf};

const INSTALL: &str = "install the Rust toolchain";
const LIST: &str = "tests/reference/mutations.txt";
/// The programs with properties, and the words that their properties have in their names.
const PROGRAMS: [&str; 3] = ["invariants", "strategies", "capacity"];
const WORDS: [&str; 9] = [
    "properties::",
    "documents::",
    "broken::",
    "chokes::",
    "baskets::",
    "conditions::",
    "families::",
    "sets::",
    "grommets::",
];
/// What is not copied.
const LEFT_OUT: [&str; 3] = ["target", ".git", "notebooks"];

/// One change of one line.
#[derive(Debug, Default, PartialEq)]
struct Mutation {
    name: String,
    file: String,
    before: String,
    after: String,
    /// The program of the test that must fail.
    program: String,
    /// The test that must fail.
    noticed_by: String,
}

/// Reads the list: blocks of `key: value` lines, an empty line between two of them; lines that begin with # are remarks.
fn read(text: &str) -> Result<Vec<Mutation>, String> {
    let mut all: Vec<Mutation> = Vec::new();
    let mut open = false;
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        if line.trim().is_empty() {
            open = false;
            continue;
        }
        if !open {
            all.push(Mutation::default());
            open = true;
        }
        let (key, value) = line.split_once(": ").ok_or_else(|| format!("\"{line}\" is no key with a value"))?;
        let Some(mutation) = all.last_mut() else { continue };
        let field = match key {
            "name" => &mut mutation.name,
            "file" => &mut mutation.file,
            "before" => &mut mutation.before,
            "after" => &mut mutation.after,
            "program" => &mut mutation.program,
            "noticed by" => &mut mutation.noticed_by,
            _ => return Err(format!("there is no key \"{key}\"")),
        };
        value.clone_into(field);
    }
    let whole = |m: &Mutation| {
        [&m.name, &m.file, &m.before, &m.after, &m.program, &m.noticed_by].iter().all(|text| !text.is_empty())
    };
    match all.iter().find(|mutation| !whole(mutation)) {
        Some(mutation) => Err(format!("the mutation \"{}\" lacks a key", mutation.name)),
        None => Ok(all),
    }
}

/// Makes every mutation in turn.
pub fn step(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    let list = workspace.root.join(LIST);
    let text = std::fs::read_to_string(&list).map_err(|error| format!("{}: {error}", list.display()))?;
    let mutations = read(&text)?;
    let copy = workspace.own.join("mutations");
    duplicate(&workspace.root, &copy)?;
    let sound = failing(workspace, &copy, log, &PROGRAMS)?;
    if !sound.is_empty() {
        return Err(format!("without a mutation {} fails already", sound.join(", ")).into());
    }
    let mut count = Count::default();
    let mut reason = None;
    for mutation in &mutations {
        match noticed(workspace, &copy, log, mutation) {
            Ok(others) => {
                count.passed += 1;
                println!("        noticed: {} ({} tests fail)", mutation.name, others);
            }
            Err(failure) => {
                count.failed += 1;
                println!("        NOT noticed: {}: {}", mutation.name, failure.reason);
                reason.get_or_insert(failure.reason);
            }
        }
    }
    match reason {
        Some(reason) => Err(Failure { reason, count }),
        None => Ok(count),
    }
}

/// The number of tests of the program that a mutation makes fail, the one that is named among them.
fn noticed(workspace: &Workspace, copy: &Path, log: &mut Log, mutation: &Mutation) -> Result<usize, Failure> {
    let path = copy.join(&mutation.file);
    let sound = std::fs::read_to_string(&path).map_err(|error| format!("{}: {error}", mutation.file))?;
    let places = sound.matches(&mutation.before).count();
    if places != 1 {
        return Err(format!("\"{}\" stands {places} times in {}", mutation.before, mutation.file).into());
    }
    let write = |text: &str| std::fs::write(&path, text).map_err(|error| format!("{}: {error}", mutation.file));
    write(&sound.replacen(&mutation.before, &mutation.after, 1))?;
    let failing = failing(workspace, copy, log, &[&mutation.program]);
    write(&sound)?;
    let failing = failing?;
    if failing.iter().any(|test| test.ends_with(&mutation.noticed_by)) {
        return Ok(failing.len());
    }
    Err(format!("{} does not fail; what fails: {}", mutation.noticed_by, failing.join(", ")).into())
}

/// The properties of some programs that fail in the copy.
fn failing(workspace: &Workspace, copy: &Path, log: &mut Log, programs: &[&str]) -> Result<Vec<String>, Failure> {
    let mut cargo = workspace.cargo();
    cargo.current_dir(copy).env("CARGO_TARGET_DIR", workspace.own.join("mutations-target"));
    cargo.args(["test", "--locked", "--no-fail-fast", "--package", "rigging-tests"]);
    cargo.args(programs.iter().flat_map(|program| ["--test", program])).arg("--").args(WORDS);
    let ended = log.run(&mut cargo, INSTALL)?;
    let ran = ended.output.lines().filter(|line| line.starts_with("test result: ")).count();
    if ran != programs.len() {
        return Err("the changed sources do not compile, or a program was stopped".to_owned().into());
    }
    let failed = |line: &str| Some(line.strip_prefix("test ")?.strip_suffix(" ... FAILED")?.to_owned());
    Ok(ended.output.lines().filter_map(failed).collect())
}

fn duplicate(from: &Path, to: &Path) -> Result<(), String> {
    let told = |path: &Path, error: std::io::Error| format!("{}: {error}", path.display());
    std::fs::create_dir_all(to).map_err(|error| told(to, error))?;
    for entry in std::fs::read_dir(from).map_err(|error| told(from, error))? {
        let path: PathBuf = entry.map_err(|error| told(from, error))?.path();
        let name = path.file_name().unwrap_or_default();
        if LEFT_OUT.iter().any(|left_out| name == *left_out) {
            continue;
        }
        let target = to.join(name);
        if path.is_dir() {
            duplicate(&path, &target)?;
        } else if std::fs::read(&path).ok() != std::fs::read(&target).ok() {
            // What is the same stays as it is, and is not compiled again.
            std::fs::copy(&path, &target).map_err(|error| told(&path, error))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mutation_changes_one_place_of_a_file_that_is_there() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
        let mutations = read(&std::fs::read_to_string(root.join(LIST)).unwrap()).unwrap();
        assert!(mutations.len() >= 10, "{}", mutations.len());
        for mutation in mutations {
            let text = std::fs::read_to_string(root.join(&mutation.file)).unwrap();
            assert_eq!(text.matches(&mutation.before).count(), 1, "{}", mutation.name);
            assert_ne!(mutation.before, mutation.after);
            assert!(PROGRAMS.contains(&mutation.program.as_str()), "{}", mutation.name);
        }
    }

    #[test]
    fn a_list_that_is_not_whole_is_refused() {
        assert!(read("name: x\nfile: y\n").is_err() && read("nothing").is_err() && read("shape: round").is_err());
        assert_eq!(read("# remark\n\n").unwrap(), []);
    }
}
