//! How many packages the core brings into a program that uses it.

use crate::sources;
use std::collections::BTreeSet;
use std::process::Command;

/// Packages other than the core itself, with the default features and normal edges.
const LIMIT: usize = 25;

#[test]
fn the_core_brings_few_packages() {
    let output = Command::new(env!("CARGO"))
        .current_dir(sources::root())
        .args(["tree", "--offline", "--locked", "--package", "rigging-core", "--edges", "normal"])
        .args(["--prefix", "none", "--no-dedupe", "--format", "{p}"])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).unwrap();
    let mut packages: BTreeSet<&str> =
        text.lines().map(|line| line.split(" (").next().unwrap()).filter(|line| !line.is_empty()).collect();
    assert!(packages.iter().any(|package| package.starts_with("rigging-core ")), "{text}");
    packages.retain(|package| !package.starts_with("rigging-core "));
    let names: Vec<&str> = packages.iter().copied().collect();
    println!("{} packages (at most {LIMIT}): {}", names.len(), names.join(", "));
    assert!(packages.len() >= 5, "the list of packages cannot be right: {text}");
    assert!(packages.len() <= LIMIT, "{} packages, {LIMIT} are allowed", packages.len());
}
