//! Where the sources and the build products are.

use std::path::PathBuf;
use std::process::Command;

/// The root of the sources, the target directory, and a directory for what this program makes itself.
pub struct Workspace {
    /// The directory of the workspace manifest.
    pub root: PathBuf,
    /// Where cargo builds.
    pub target: PathBuf,
    /// Logs, compiled clients, wheels and the Python environment.
    pub own: PathBuf,
}

impl Workspace {
    /// Cargo names this package's directory when it starts the program; `CARGO_TARGET_DIR` is honored.
    pub fn find() -> Result<Self, String> {
        let package = std::env::var_os("CARGO_MANIFEST_DIR").unwrap_or_else(|| env!("CARGO_MANIFEST_DIR").into());
        let root = PathBuf::from(package)
            .parent()
            .ok_or("the directory of the workspace cannot be found; run this as `cargo xtask`")?
            .to_path_buf();
        let target = match std::env::var_os("CARGO_TARGET_DIR") {
            Some(directory) if !directory.is_empty() => {
                std::env::current_dir().map_err(|error| error.to_string())?.join(directory)
            }
            _ => root.join("target"),
        };
        let own = target.join("xtask");
        std::fs::create_dir_all(&own).map_err(|error| format!("{}: {error}", own.display()))?;
        Ok(Self { root, target, own })
    }

    /// A command that runs at the root, without input.
    pub fn command(&self, program: impl AsRef<std::ffi::OsStr>) -> Command {
        let mut command = Command::new(program);
        command.current_dir(&self.root).stdin(std::process::Stdio::null()).env("CARGO_TARGET_DIR", &self.target);
        command
    }

    /// The cargo that started this program.
    pub fn cargo(&self) -> Command {
        let mut command = self.command(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        command.env("CARGO_TERM_COLOR", "never");
        command
    }
}
