//! The steps that cargo runs.

use crate::count::{self, Count};
use crate::program::{Failure, Log};
use crate::workspace::Workspace;

const INSTALL: &str = "install the Rust toolchain with clippy and rustfmt";

/// Formatting.
pub fn format(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    log.run(workspace.cargo().args(["fmt", "--all", "--check"]), INSTALL)?.success().map(|_| Count::ONE)
}

/// Lints.
pub fn clippy(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    let arguments = ["clippy", "--workspace", "--all-targets", "--locked", "--", "-D", "warnings"];
    log.run(workspace.cargo().args(arguments), INSTALL)?.success().map(|_| Count::ONE)
}

/// Documentation.
pub fn docs(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    let mut cargo = workspace.cargo();
    cargo.args(["doc", "--workspace", "--no-deps", "--locked"]).env("RUSTDOCFLAGS", "-D warnings");
    log.run(&mut cargo, INSTALL)?.success().map(|_| Count::ONE)
}

/// Tests of the default members; what they print (numbers of cases) stays in the log.
pub fn tests(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    let arguments = ["test", "--locked", "--no-fail-fast", "--", "--show-output"];
    log.run(workspace.cargo().args(arguments), INSTALL)?.tests(count::rust)
}
