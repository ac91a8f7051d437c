//! The Python module: a virtual environment of its own, the wheel, and the tests.

use crate::count::{self, Count};
use crate::program::{Failure, Log};
use crate::workspace::Workspace;
use std::path::PathBuf;
use std::process::Command;

const INSTALL: &str = "install Python 3.11 or newer with venv (Debian: apt-get install python3 python3-venv)";
const MATURIN: &str = "maturin>=1.9,<2";
/// Says whether the interpreter can do what is needed; `ensurepip` is what Debian leaves out.
const PROBE: &str = "import sys\n\
    if sys.version_info < (3, 11): sys.exit('Python %d.%d is too old' % sys.version_info[:2])\n\
    import ensurepip, venv";

fn directory(workspace: &Workspace) -> PathBuf {
    workspace.own.join("python")
}

/// A command of the environment, which sees no package from outside it.
fn inside(workspace: &Workspace, program: &str) -> Command {
    let environment = directory(workspace);
    let mut command = workspace.command(environment.join("bin").join(program));
    command.env("VIRTUAL_ENV", &environment).env_remove("PYTHONPATH").env_remove("PYTHONHOME");
    command.env("PYTHONDONTWRITEBYTECODE", "1").env("PIP_DISABLE_PIP_VERSION_CHECK", "1").env("PIP_NO_INPUT", "1");
    command.env("HYPOTHESIS_STORAGE_DIRECTORY", workspace.own.join("hypothesis"));
    command
}

/// Makes the environment, or takes the one that is there, and installs the wheel builder.
pub fn environment(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    let probe = log.run(workspace.command("python3").args(["-c", PROBE]), INSTALL)?;
    if probe.trouble.is_some() {
        return Err(format!("python3 cannot make a virtual environment; {INSTALL}").into());
    }
    let maturin = |log: &mut Log| {
        let mut pip = inside(workspace, "python");
        log.run(pip.args(["-m", "pip", "install", "--quiet", MATURIN]), INSTALL)
    };
    let present = directory(workspace).join("bin/python").exists();
    if !present || maturin(log)?.trouble.is_some() {
        let mut venv = workspace.command("python3");
        venv.args(["-m", "venv", "--clear"]).arg(directory(workspace));
        log.run(&mut venv, INSTALL)?.success()?;
        maturin(log)?.success()?;
    }
    Ok(Count::ONE)
}

/// Builds the wheel and installs it with its test extra.
pub fn wheel(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    let wheels = workspace.own.join("wheels");
    if wheels.exists() {
        std::fs::remove_dir_all(&wheels).map_err(|error| format!("{}: {error}", wheels.display()))?;
    }
    let mut maturin = inside(workspace, "maturin");
    maturin.args(["build", "--release", "--locked", "--compatibility", "linux"]);
    maturin.args(["--manifest-path", "rigging-py/Cargo.toml", "--interpreter"]);
    maturin.arg(directory(workspace).join("bin/python")).arg("--out").arg(&wheels);
    log.run(&mut maturin, INSTALL)?.success()?;
    let built: Vec<PathBuf> = std::fs::read_dir(&wheels)
        .map_err(|error| format!("{}: {error}", wheels.display()))?
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|extension| extension == "whl"))
        .collect();
    let [wheel] = built.as_slice() else {
        return Err(format!("one wheel was expected, {} were built", built.len()).into());
    };
    // The version stays the same from build to build: only a removed package is installed anew.
    let pip = |arguments: &[&str]| {
        let mut command = inside(workspace, "python");
        command.args(["-m", "pip"]).args(arguments);
        command
    };
    log.run(&mut pip(&["uninstall", "--quiet", "--yes", "rigging-py"]), INSTALL)?.success()?;
    let requirement = format!("{}[test]", wheel.display());
    log.run(&mut pip(&["install", "--quiet", &requirement]), INSTALL)?.success()?;
    Ok(Count::ONE)
}

/// The tests of the package and of the tests member, then the examples of the installed package's documentation.
pub fn tests(workspace: &Workspace, log: &mut Log) -> Result<Count, Failure> {
    let common = ["-m", "pytest", "-p", "no:cacheprovider", "-c", "rigging-py/pyproject.toml", "--rootdir", "."];
    let runs: [&[&str]; 2] = [&["rigging-py/tests", "tests/python"], &["--doctest-modules", "--pyargs", "rigging_py"]];
    let mut sum = Count::default();
    let mut reason = None;
    for arguments in runs {
        let outcome = log.run(inside(workspace, "python").args(common).args(arguments), INSTALL)?;
        match outcome.tests(count::closing_line) {
            Ok(count) => sum += count,
            Err(mut failure) => {
                failure.count.failed = failure.count.failed.max(1);
                sum += failure.count;
                reason.get_or_insert(failure.reason);
            }
        }
    }
    match reason {
        Some(reason) => Err(Failure { reason, count: sum }),
        None => Ok(sum),
    }
}
