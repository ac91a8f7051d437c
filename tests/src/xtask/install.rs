//! Installing the C library: header, shared and static library, and the files by which pkg-config and CMake find them.

use crate::clients;
use crate::count::{self, Count};
use crate::program::{Failure, Log};
use crate::workspace::Workspace;
use std::path::{Path, PathBuf};

const CMAKE: &str = "install CMake (Debian: apt-get install cmake)";
const PKG_CONFIG: &str = "install pkg-config (Debian: apt-get install pkg-config)";

/// Writes everything below `prefix`; the library was built just before.
pub fn write(workspace: &Workspace, prefix: &Path) -> Result<(), String> {
    let version = package_version(workspace)?;
    let abi = abi_version(workspace)?;
    let native = clients::native(workspace)?;
    let release = workspace.target.join("release");
    let (include, library) = (prefix.join("include"), prefix.join("lib"));
    let (cmake, pkg_config) = (library.join("cmake/rigging"), library.join("pkgconfig"));
    for directory in [&include, &library, &cmake, &pkg_config] {
        std::fs::create_dir_all(directory).map_err(|error| format!("{}: {error}", directory.display()))?;
    }
    copy(&workspace.root.join("rigging-ffi/include/rigging.h"), &include.join("rigging.h"))?;
    copy(&release.join("librigging.a"), &library.join("librigging.a"))?;
    copy(&release.join("librigging.so"), &library.join(format!("librigging.so.{version}")))?;
    link(&format!("librigging.so.{version}"), &library.join(format!("librigging.so.{abi}")))?;
    link(&format!("librigging.so.{abi}"), &library.join("librigging.so"))?;
    let files = [
        ("rigging.pc", &pkg_config, native.clone()),
        ("rigging-config.cmake", &cmake, native.split_whitespace().collect::<Vec<_>>().join(";")),
        ("rigging-config-version.cmake", &cmake, String::new()),
    ];
    for (name, directory, native) in files {
        let template = workspace.root.join(format!("rigging-ffi/cmake/{name}.in"));
        let text = std::fs::read_to_string(&template).map_err(|error| format!("{}: {error}", template.display()))?;
        let text = text.replace("@VERSION@", &version).replace("@ABI_VERSION@", &abi);
        let path = directory.join(name);
        std::fs::write(&path, text.replace("@NATIVE_LIBRARIES@", &native))
            .map_err(|error| format!("{}: {error}", path.display()))?;
    }
    Ok(())
}

fn copy(from: &Path, to: &Path) -> Result<(), String> {
    std::fs::copy(from, to).map(|_| ()).map_err(|error| format!("{} to {}: {error}", from.display(), to.display()))
}

#[cfg(unix)]
fn link(to: &str, at: &Path) -> Result<(), String> {
    if at.symlink_metadata().is_ok() {
        std::fs::remove_file(at).map_err(|error| format!("{}: {error}", at.display()))?;
    }
    std::os::unix::fs::symlink(to, at).map_err(|error| format!("{}: {error}", at.display()))
}

#[cfg(not(unix))]
fn link(_: &str, _: &Path) -> Result<(), String> {
    Err("the library is installed on systems with ELF shared libraries only".to_owned())
}

/// The value of the first line of a file that begins with `start`, up to `end`.
fn value(path: &Path, start: &str, end: char) -> Result<String, String> {
    let text = std::fs::read_to_string(path).map_err(|error| format!("{}: {error}", path.display()))?;
    let line = text.lines().find_map(|line| line.strip_prefix(start));
    let value = line.map(|rest| rest.split(end).next().unwrap_or_default().trim().to_owned());
    value.filter(|value| !value.is_empty()).ok_or_else(|| format!("{}: no line \"{start}…\"", path.display()))
}

fn package_version(workspace: &Workspace) -> Result<String, String> {
    value(&workspace.root.join("Cargo.toml"), "version = \"", '"')
}

fn abi_version(workspace: &Workspace) -> Result<String, String> {
    value(&workspace.root.join("rigging-ffi/include/rigging.h"), "#define RIGGING_ABI_VERSION ", ' ')
}

/// Installs into one directory, moves it to another, and builds and runs the main client against it by pkg-config and by
/// CMake.
pub fn step(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    let (first, prefix) = (workspace.own.join("prefix"), workspace.own.join("prefix moved"));
    for directory in [&first, &prefix] {
        if directory.exists() {
            std::fs::remove_dir_all(directory).map_err(|error| format!("{}: {error}", directory.display()))?;
        }
    }
    write(workspace, &first)?;
    std::fs::rename(&first, &prefix).map_err(|error| error.to_string())?;
    let mut sum = Count::default();
    for shared in [true, false] {
        let program = by_pkg_config(workspace, log, &prefix, shared)?;
        sum += run(workspace, log, &program, &prefix)?;
    }
    for program in by_cmake(workspace, log, &prefix)? {
        sum += run(workspace, log, &program, &prefix)?;
    }
    Ok(sum)
}

fn run(workspace: &Workspace, log: &mut Log, program: &Path, prefix: &Path) -> Result<Count, Failure> {
    let mut run = workspace.command(program);
    run.args(clients::ARGUMENTS).env("LD_LIBRARY_PATH", prefix.join("lib"));
    log.run(&mut run, "it was compiled just before")?.tests(count::closing_line)
}

fn by_pkg_config(workspace: &Workspace, log: &mut Log, prefix: &Path, shared: bool) -> Result<PathBuf, Failure> {
    let mut ask = workspace.command("pkg-config");
    ask.args(["--cflags", "--libs"]).env("PKG_CONFIG_PATH", prefix.join("lib/pkgconfig"));
    let told = log.run(ask.arg(if shared { "--shared" } else { "--static" }).arg("rigging"), PKG_CONFIG)?.success()?;
    let program = workspace.own.join(format!("installed_{}", if shared { "shared" } else { "static" }));
    let mut compile = workspace.command("cc");
    compile.arg("-std=c99").arg(workspace.root.join("tests/c/first_light.c")).arg("-o").arg(&program);
    let static_library = prefix.join("lib/librigging.a");
    for word in words(&told) {
        // The linker takes the shared library wherever both stand; the archive by its path is how to ask for the other.
        if word == "-lrigging" && !shared {
            compile.arg(&static_library)
        } else {
            compile.arg(word)
        };
    }
    log.run(compile.arg("-lm"), "install a C compiler (Debian: apt-get install gcc)")?.success()?;
    Ok(program)
}

/// Words as a shell takes them: a backslash keeps the blank behind it.
fn words(text: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut letters = text.trim().chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' => words.last_mut().into_iter().for_each(|word| word.extend(letters.next())),
            letter if letter.is_whitespace() => words.push(String::new()),
            letter => words.last_mut().into_iter().for_each(|word| word.push(letter)),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

fn by_cmake(workspace: &Workspace, log: &mut Log, prefix: &Path) -> Result<[PathBuf; 2], Failure> {
    let build = workspace.own.join("cmake");
    if build.exists() {
        std::fs::remove_dir_all(&build).map_err(|error| format!("{}: {error}", build.display()))?;
    }
    let mut configure = workspace.command("cmake");
    configure.arg("-S").arg(workspace.root.join("tests/c/cmake")).arg("-B").arg(&build);
    configure.arg(format!("-DCMAKE_PREFIX_PATH={}", prefix.display()));
    log.run(&mut configure, CMAKE)?.success()?;
    log.run(workspace.command("cmake").arg("--build").arg(&build), CMAKE)?.success()?;
    Ok(["first_light_shared", "first_light_static"].map(|name| build.join(name)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_blank_in_a_path_is_kept() {
        assert_eq!(words("-I/a\\ b/include  -lrigging \n"), ["-I/a b/include", "-lrigging"]);
        assert_eq!(words(" \n"), Vec::<String>::new());
    }

    #[test]
    fn the_versions_are_found() {
        let workspace = Workspace::find().unwrap();
        assert_eq!(package_version(&workspace).unwrap().split('.').count(), 3);
        assert_eq!(abi_version(&workspace).unwrap(), "0");
    }
}
