//! Running a program with its output kept in the log of the step.

use crate::count::Count;
use crate::workspace::Workspace;
use std::fs::{File, OpenOptions};
use std::io::{Seek, SeekFrom, Write};
use std::path::PathBuf;
use std::process::Command;

/// Why a step failed, and the tests that were counted all the same.
pub struct Failure {
    /// The reason, in one sentence.
    pub reason: String,
    /// What was counted before the failure.
    pub count: Count,
}

impl From<String> for Failure {
    fn from(reason: String) -> Self {
        Self { reason, count: Count::default() }
    }
}

/// How a program ended.
pub struct Ended {
    /// Everything it printed.
    pub output: String,
    /// Nothing when it succeeded, otherwise how it ended.
    pub trouble: Option<String>,
}

impl Ended {
    /// The output of a program that must succeed.
    pub fn success(self) -> Result<String, Failure> {
        match self.trouble {
            None => Ok(self.output),
            Some(trouble) => Err(trouble.into()),
        }
    }

    /// The tests that the program counted; `count` reads them from the output.
    pub fn tests(self, count: impl FnOnce(&str) -> Count) -> Result<Count, Failure> {
        let count = count(&self.output);
        match self.trouble {
            Some(reason) => Err(Failure { reason, count }),
            None if count.failed > 0 => Err(Failure { reason: "tests failed".into(), count }),
            None if count.passed == 0 => Err(Failure { reason: "no test ran".into(), count }),
            None => Ok(count),
        }
    }
}

/// The log of one step: every command with its output.
pub struct Log {
    path: PathBuf,
    file: File,
}

impl Log {
    /// An empty log.
    pub fn new(workspace: &Workspace, step: &str) -> Result<Self, String> {
        let path = workspace.own.join(format!("{step}.log"));
        // Appending keeps the two output streams of a program in one order.
        let file = File::create(&path)
            .and_then(|_| OpenOptions::new().append(true).read(true).open(&path))
            .map_err(|error| format!("{}: {error}", path.display()))?;
        Ok(Self { path, file })
    }

    /// Where it is kept.
    pub fn path(&self) -> &std::path::Path {
        &self.path
    }

    /// Runs a program to its end; `install` says what to install when it does not exist.
    pub fn run(&mut self, command: &mut Command, install: &str) -> Result<Ended, Failure> {
        self.run_in_log(command).map_err(|error| {
            let program = command.get_program().to_string_lossy().into_owned();
            if error.kind() == std::io::ErrorKind::NotFound {
                Failure::from(format!("`{program}` was not found; {install}"))
            } else {
                Failure::from(format!("`{program}` could not be run: {error}"))
            }
        })
    }

    fn run_in_log(&mut self, command: &mut Command) -> std::io::Result<Ended> {
        writeln!(self.file, "$ {}", line(command))?;
        let start = self.file.seek(SeekFrom::End(0))?;
        let status = command.stdout(self.file.try_clone()?).stderr(self.file.try_clone()?).status()?;
        let bytes = std::fs::read(&self.path)?;
        let start = usize::try_from(start).unwrap_or(0).min(bytes.len());
        let output = String::from_utf8_lossy(&bytes[start..]).into_owned();
        let trouble = (!status.success()).then(|| format!("`{}` ended with {status}", line(command)));
        Ok(Ended { output, trouble })
    }

    /// The last lines of the log.
    pub fn tail(&self, lines: usize) -> String {
        let text = std::fs::read(&self.path).map(|bytes| String::from_utf8_lossy(&bytes).into_owned());
        let text = text.unwrap_or_else(|error| error.to_string());
        let all: Vec<&str> = text.lines().collect();
        all[all.len().saturating_sub(lines)..].join("\n")
    }
}

/// The command as it could be typed.
fn line(command: &Command) -> String {
    let program = std::path::Path::new(command.get_program());
    let mut text = program.file_name().unwrap_or(command.get_program()).to_string_lossy().into_owned();
    for argument in command.get_args() {
        text.push(' ');
        text.push_str(&argument.to_string_lossy());
    }
    text
}
