//! The C library and the clients in tests/c, each linked with the static and with the shared library.

use crate::count::{self, Count};
use crate::program::{Failure, Log};
use crate::workspace::Workspace;
use std::path::PathBuf;
use std::process::Command;

/// What every client is told: where the lift documents are, what Rust makes of them, the reference cases, and what Rust
/// answers about balances.
pub const ARGUMENTS: [&str; 4] = [
    "rigging-core/examples/lifts",
    "tests/reference/first_light.txt",
    "tests/reference/case-documents.json",
    "tests/reference/balance.txt",
];
const STRICT: [&str; 6] = ["-pthread", "-Wall", "-Wextra", "-pedantic", "-Werror", "-O1"];

/// A language with its compiler.
struct Language {
    extension: &'static str,
    standard: &'static str,
    variable: &'static str,
    compiler: &'static str,
    install: &'static str,
}

const C: Language = Language {
    extension: "c",
    standard: "c99",
    variable: "CC",
    compiler: "cc",
    install: "install a C compiler (Debian: apt-get install gcc)",
};
const CPP: Language = Language {
    extension: "cpp",
    standard: "c++17",
    variable: "CXX",
    compiler: "c++",
    install: "install a C++ compiler (Debian: apt-get install g++)",
};

/// One way to build a client and to run it.
struct Way {
    name: &'static str,
    shared: bool,
    flags: &'static [&'static str],
    /// A program that runs the client, with its arguments, and what to install for it.
    under: &'static [&'static str],
    install: &'static str,
}

const STATIC: Way =
    Way { name: "static", shared: false, flags: &[], under: &[], install: "it was compiled just before" };
const SHARED: Way = Way { name: "shared", shared: true, ..STATIC };
/// Reads and writes out of bounds, use after free, leaks, undefined behavior: in the client, and in memory that the
/// library hands over.
const SANITIZED: Way = Way {
    name: "sanitized",
    flags: &["-g", "-fsanitize=address,undefined", "-fno-sanitize-recover=all", "-fno-omit-frame-pointer"],
    ..STATIC
};
/// The same within the library, which the sanitizers of the C compiler do not see into.
const WATCHED: Way = Way {
    name: "watched",
    flags: &["-g"],
    under: &[
        "valgrind",
        "--quiet",
        "--error-exitcode=9",
        "--leak-check=full",
        "--errors-for-leak-kinds=definite,indirect",
        "--suppressions=tests/c/valgrind.supp",
    ],
    install: "install valgrind (Debian: apt-get install valgrind)",
    ..STATIC
};

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

/// What a static link needs beside the library.
pub fn native(workspace: &Workspace) -> Result<String, String> {
    let path = native_libraries(workspace);
    std::fs::read_to_string(&path).map_err(|error| format!("{}: {error}", path.display()))
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
    clients(workspace, log, &[C], &[STATIC, SHARED])
}

/// Compiles and runs the C++ clients.
pub fn cpp(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    clients(workspace, log, &[CPP], &[STATIC, SHARED])
}

/// Compiles all clients with the sanitizers of the C compiler and runs them.
pub fn sanitizers(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    clients(workspace, log, &[C, CPP], &[SANITIZED])
}

/// Runs all clients under valgrind.
pub fn valgrind(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    clients(workspace, log, &[C, CPP], &[WATCHED])
}

fn clients(workspace: &Workspace, log: &mut Log, languages: &[Language], ways: &[Way]) -> Result<Count, Failure> {
    let mut sum = Count::default();
    let mut reasons: Vec<String> = Vec::new();
    for language in languages {
        for source in sources(workspace, language.extension)? {
            for way in ways {
                match client(workspace, log, &source, language, way) {
                    Ok(count) => sum += count,
                    Err(mut failure) => {
                        failure.count.failed = failure.count.failed.max(1);
                        sum += failure.count;
                        reasons.push(failure.reason);
                    }
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
    language: &Language,
    way: &Way,
) -> Result<Count, Failure> {
    let release = workspace.target.join("release");
    let stem = source.file_stem().unwrap_or_default().to_string_lossy();
    let program = workspace.own.join(format!("{stem}_{}_{}", language.standard, way.name));
    let compiler = std::env::var(language.variable).ok().filter(|name| !name.is_empty());
    let mut compile = workspace.command(compiler.unwrap_or_else(|| language.compiler.to_owned()));
    compile.arg(format!("-std={}", language.standard)).args(STRICT).args(way.flags);
    compile.arg("-I").arg(workspace.root.join("rigging-ffi/include")).arg(source).arg("-o").arg(&program);
    if way.shared {
        compile.arg("-L").arg(&release).arg("-lrigging").arg(format!("-Wl,-rpath,{}", release.display()));
        // The clients' own need: what they hold answers against takes roots and exponentials.
        compile.arg("-lm");
    } else {
        compile.arg(release.join("librigging.a")).args(native(workspace)?.split_whitespace());
    }
    log.run(&mut compile, language.install)?.success()?;
    let mut run: Command = match way.under.split_first() {
        Some((tool, arguments)) => {
            let mut run = workspace.command(tool);
            run.args(arguments).arg(&program);
            run
        }
        None => workspace.command(&program),
    };
    run.args(ARGUMENTS);
    // Cargo's own search path must not stand in for the one that was linked in.
    run.env_remove("LD_LIBRARY_PATH");
    let ended = log.run(&mut run, way.install)?;
    // An example that only asserts says nothing and counts as one test.
    if ended.trouble.is_none() && ended.output.trim().is_empty() {
        return Ok(Count::ONE);
    }
    ended.tests(count::closing_line)
}
