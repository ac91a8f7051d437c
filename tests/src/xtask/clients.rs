//! The C library and the clients in tests/c, each linked with the static and with the shared library.

use crate::count::{self, Count};
use crate::program::{Failure, Log};
use crate::workspace::Workspace;
use std::path::PathBuf;
use std::process::Command;

/// What every client is told: where the lift documents are, and what Rust makes of them.
const ARGUMENTS: [&str; 2] = ["rigging-core/examples/lifts", "tests/reference/first_light.txt"];
const STRICT: [&str; 6] = ["-pthread", "-Wall", "-Wextra", "-pedantic", "-Werror", "-O1"];

/// Builds the library and notes what a static link needs beside it.
pub fn library(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    let arguments = ["rustc", "--release", "--locked", "--package", "rigging-ffi", "--lib", "--"];
    let mut cargo = workspace.cargo();
    cargo.args(arguments).args(["--print", "native-static-libs"]);
    let output = log.run(&mut cargo, "install the Rust toolchain")?.success()?;
    let native = output
        .lines()
        .rev()
        .find_map(|line| line.split_once("native-static-libs: "))
        .map(|(_, libraries)| libraries.trim().to_owned())
        .ok_or_else(|| "the compiler did not say which libraries a static link needs".to_owned())?;
    std::fs::write(native_libraries(workspace), native).map_err(|error| error.to_string())?;
    soname_link(workspace)?;
    Ok(Count::ONE)
}

fn native_libraries(workspace: &Workspace) -> PathBuf {
    workspace.own.join("native-static-libs.txt")
}

/// The shared library is asked for by its soname, which cargo does not make a file of.
#[cfg(unix)]
fn soname_link(workspace: &Workspace) -> Result<(), Failure> {
    let link = workspace.target.join("release/librigging.so.0");
    if link.symlink_metadata().is_ok() {
        std::fs::remove_file(&link).map_err(|error| format!("{}: {error}", link.display()))?;
    }
    std::os::unix::fs::symlink("librigging.so", &link).map_err(|error| format!("{}: {error}", link.display()).into())
}

#[cfg(not(unix))]
fn soname_link(_: &Workspace) -> Result<(), Failure> {
    Err("the C clients are built on systems with ELF shared libraries only".to_owned().into())
}

/// Compiles and runs the C clients.
pub fn c(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    clients(
        workspace,
        log,
        "c",
        &compiler("CC", "cc"),
        "-std=c99",
        "install a C compiler (Debian: apt-get install gcc)",
    )
}

/// Compiles and runs the C++ clients.
pub fn cpp(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    let install = "install a C++ compiler (Debian: apt-get install g++)";
    clients(workspace, log, "cpp", &compiler("CXX", "c++"), "-std=c++17", install)
}

fn compiler(variable: &str, usual: &str) -> String {
    std::env::var(variable).ok().filter(|name| !name.is_empty()).unwrap_or_else(|| usual.to_owned())
}

fn clients(
    workspace: &Workspace,
    log: &mut Log,
    extension: &str,
    compiler: &str,
    standard: &str,
    install: &str,
) -> Result<Count, Failure> {
    let mut sum = Count::default();
    let mut reasons: Vec<String> = Vec::new();
    for source in sources(workspace, extension)? {
        for shared in [false, true] {
            let outcome = client(workspace, log, &source, shared, compiler, standard, install);
            match outcome {
                Ok(count) => sum += count,
                Err(mut failure) => {
                    failure.count.failed = failure.count.failed.max(1);
                    sum += failure.count;
                    reasons.push(failure.reason);
                }
            }
        }
    }
    match reasons.first() {
        Some(reason) => Err(Failure { reason: reason.clone(), count: sum }),
        None => Ok(sum),
    }
}

fn sources(workspace: &Workspace, extension: &str) -> Result<Vec<PathBuf>, Failure> {
    let directory = workspace.root.join("tests/c");
    let entries = std::fs::read_dir(&directory).map_err(|error| format!("{}: {error}", directory.display()))?;
    let mut sources: Vec<PathBuf> = entries
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|found| found == extension))
        .collect();
    sources.sort();
    if sources.is_empty() {
        return Err(format!("tests/c holds no .{extension} file").into());
    }
    Ok(sources)
}

fn client(
    workspace: &Workspace,
    log: &mut Log,
    source: &std::path::Path,
    shared: bool,
    compiler: &str,
    standard: &str,
    install: &str,
) -> Result<Count, Failure> {
    let release = workspace.target.join("release");
    let stem = source.file_stem().unwrap_or_default().to_string_lossy();
    let kind = if shared { "shared" } else { "static" };
    let program = workspace.own.join(format!("{stem}_{}_{kind}", standard.trim_start_matches("-std=")));
    let mut compile = workspace.command(compiler);
    compile.arg(standard).args(STRICT).arg("-I").arg(workspace.root.join("rigging-ffi/include"));
    compile.arg(source).arg("-o").arg(&program);
    if shared {
        compile.arg("-L").arg(&release).arg("-lrigging").arg(format!("-Wl,-rpath,{}", release.display()));
    } else {
        let native = std::fs::read_to_string(native_libraries(workspace)).map_err(|error| error.to_string())?;
        compile.arg(release.join("librigging.a")).args(native.split_whitespace());
    }
    log.run(&mut compile, install)?.success()?;
    let mut run: Command = workspace.command(&program);
    run.args(ARGUMENTS);
    // Cargo's own search path must not stand in for the one that was linked in.
    run.env_remove("LD_LIBRARY_PATH");
    log.run(&mut run, "it was compiled just before")?.tests(count::closing_line)
}
