//! Running a program with its output kept in the log of the step.

use crate::count::Count;
use crate::workspace::Workspace;
use std::fs::{File, OpenOptions};
use std::io::{Seek, SeekFrom, Write};
use std::path::PathBuf;
use std::process::{Child, Command, ExitStatus};
use std::time::{Duration, Instant};

/// Longest time for one program: many times what any takes, so that one that hangs is named instead of waited for.
const LONGEST: Duration = Duration::from_secs(25 * 60);
/// How often a running program is looked after.
const PAUSE: Duration = Duration::from_millis(20);

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
        let child = command.stdout(self.file.try_clone()?).stderr(self.file.try_clone()?).spawn()?;
        let status = wait(child, LONGEST)?;
        let bytes = std::fs::read(&self.path)?;
        let start = usize::try_from(start).unwrap_or(0).min(bytes.len());
        let output = String::from_utf8_lossy(&bytes[start..]).into_owned();
        let trouble = match status {
            Some(status) if status.success() => None,
            Some(status) => Some(format!("`{}` ended with {status}", line(command))),
            None => Some(format!("`{}` was stopped after {} s", line(command), LONGEST.as_secs())),
        };
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

/// How a program ended; nothing if it was stopped, with all that it had started, because it took longer than `longest`.
fn wait(mut child: Child, longest: Duration) -> std::io::Result<Option<ExitStatus>> {
    let start = Instant::now();
    loop {
        if let Some(status) = child.try_wait()? {
            return Ok(Some(status));
        }
        if start.elapsed() > longest {
            for id in offspring(child.id()) {
                // A program that has ended in the meantime cannot be stopped, and need not be.
                let _ = Command::new("sh").args(["-c", "kill -KILL \"$0\" 2>/dev/null", &id.to_string()]).status();
            }
            child.kill()?;
            child.wait()?;
            return Ok(None);
        }
        std::thread::sleep(PAUSE);
    }
}

/// The programs that a program has started, and those that these have, where the system lists them.
fn offspring(id: u32) -> Vec<u32> {
    let text = std::fs::read_to_string(format!("/proc/{id}/task/{id}/children")).unwrap_or_default();
    let children = text.split_whitespace().filter_map(|word| word.parse().ok());
    children.flat_map(|child: u32| offspring(child).into_iter().chain([child])).collect()
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_program_that_hangs_is_stopped_with_what_it_started() {
        let child = Command::new("sh").args(["-c", "sleep 1000 & wait"]).spawn().unwrap();
        let id = child.id();
        let started = Instant::now();
        while offspring(id).is_empty() && started.elapsed() < Duration::from_secs(60) {
            std::thread::sleep(PAUSE);
        }
        let [sleeper] = offspring(id)[..] else { panic!("one child") };
        assert!(wait(child, Duration::ZERO).unwrap().is_none());
        // It may stand as ended and not yet collected, and on a busy machine takes a moment to get there.
        let state = || std::fs::read_to_string(format!("/proc/{sleeper}/stat")).unwrap_or_default();
        let ended = |state: &str| state.is_empty() || state.contains(") Z ") || state.contains(") X ");
        while !ended(&state()) && started.elapsed() < Duration::from_secs(60) {
            std::thread::sleep(PAUSE);
        }
        assert!(ended(&state()), "{}", state());
    }

    #[test]
    fn a_program_that_ends_is_told_by_its_status() {
        let child = Command::new("sh").args(["-c", "exit 3"]).spawn().unwrap();
        assert_eq!(wait(child, LONGEST).unwrap().and_then(|status| status.code()), Some(3));
    }
}
