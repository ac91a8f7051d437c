//! The README is true: its programs are the ones that are compiled and run, and its figures are those of the demo.

use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn readme() -> String {
    std::fs::read_to_string(root().join("README.md")).unwrap()
}

#[test]
fn the_programs_are_those_that_run() {
    let readme = readme();
    let programs = [
        ("rust", "rigging-core/examples/first_lift.rs"),
        ("c", "tests/c/readme.c"),
        ("python", "tests/python/readme.py"),
    ];
    for (language, file) in programs {
        let opening = format!("```{language}\n");
        let block = readme.split(&opening).nth(1).and_then(|rest| rest.split("```").next());
        let program = std::fs::read_to_string(root().join(file)).unwrap();
        assert_eq!(block, Some(program.as_str()), "README.md and {file} differ");
    }
    println!("{} programs of the README compared", programs.len());
}

#[test]
fn the_rust_program_runs() {
    let mut cargo = std::process::Command::new(env!("CARGO"));
    cargo.args(["run", "--quiet", "--package", "rigging-core", "--example", "first_lift"]).current_dir(root());
    assert!(cargo.status().unwrap().success(), "the Rust program of the README failed");
}
