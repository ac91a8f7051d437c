//! The one test command. `cargo xtask test` runs everything; `cargo xtask test c python` runs those steps and what they
//! need; `cargo xtask list` names the steps. It uses the standard library only, so that it starts quickly.

mod clients;
mod count;
mod install;
mod mutations;
mod nearest;
mod program;
mod python;
mod rust;
mod step;
mod workspace;

use std::process::ExitCode;
use step::Step;
use workspace::Workspace;

const USAGE: &str = "usage:
  cargo xtask test            run every step but those on request
  cargo xtask test <step>...  run these steps, and the steps they need
  cargo xtask list            name the steps
  cargo xtask install --prefix <directory>
                              install the C library, optimized: header, libraries, files for pkg-config and CMake
A step of which the tests are counted one by one adds their number to the last line; every other step adds 1.";

/// Every step, in the order in which it runs. Cargo and the wheel builder share a target directory: one after another.
const STEPS: &[Step] = &[
    Step { name: "format", about: "formatting of the Rust sources", needs: &[], run: rust::format },
    Step { name: "clippy", about: "lints of all targets, warnings as errors", needs: &[], run: rust::clippy },
    Step { name: "docs", about: "Rust documentation, warnings as errors", needs: &[], run: rust::docs },
    Step {
        name: "rust",
        about: "unit, doctests, reference data, properties, layers, C header",
        needs: &[],
        run: rust::tests,
    },
    Step { name: "library", about: "static and shared C library, optimized", needs: &[], run: clients::library },
    Step { name: "c", about: "the C99 clients, static and shared", needs: &["library"], run: clients::c },
    Step { name: "cpp", about: "the C++17 clients, static and shared", needs: &["library"], run: clients::cpp },
    Step {
        name: "sanitizers",
        about: "the clients with the C compiler's address and undefined-behavior sanitizers",
        needs: &["library"],
        run: clients::sanitizers,
    },
    Step {
        name: "valgrind",
        about: "the clients under valgrind (on request)",
        needs: &["library"],
        run: clients::valgrind,
    },
    Step {
        name: "install",
        about: "the library installed, moved, and found by pkg-config and CMake (on request)",
        needs: &["library"],
        run: install::step,
    },
    Step {
        name: "mutations",
        about: "one line of the sources changed at a time, and a property that fails (on request)",
        needs: &[],
        run: mutations::step,
    },
    Step {
        name: "environment",
        about: "a Python virtual environment of its own",
        needs: &[],
        run: python::environment,
    },
    Step { name: "wheel", about: "the Python wheel, built and installed", needs: &["environment"], run: python::wheel },
    Step { name: "python", about: "Python tests and doctests", needs: &["library", "wheel"], run: python::tests },
];

/// Steps that run only when they are named.
const ON_REQUEST: &[&str] = &["valgrind", "install", "mutations"];

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.split_first() {
        Some((command, [option, prefix])) if command == "install" && option == "--prefix" => install(prefix),
        Some((command, _)) if command == "install" => refuse("\"install\" takes --prefix and a directory"),
        Some((command, [])) if command == "list" => {
            for step in STEPS {
                println!("{:<12} {}", step.name, step.about);
            }
            ExitCode::SUCCESS
        }
        Some((command, names)) if command == "test" => match step::select(STEPS, ON_REQUEST, names) {
            Ok(steps) => test(&steps),
            Err(name) => {
                let known: Vec<&str> = STEPS.iter().map(|step| step.name).collect();
                refuse(&format!("there is no step \"{name}\"{}", nearest::offer(&name, &known)))
            }
        },
        Some((command, _)) if command == "list" => refuse("\"list\" takes no argument"),
        Some((command, _)) => refuse(&format!(
            "there is no command \"{command}\"{}",
            nearest::offer(command, &["test", "list", "install"])
        )),
        None => refuse("a command is missing"),
    }
}

fn refuse(reason: &str) -> ExitCode {
    eprintln!("{reason}\n{USAGE}");
    ExitCode::from(2)
}

fn install(prefix: &str) -> ExitCode {
    let installed = Workspace::find().and_then(|workspace| {
        let prefix = std::env::current_dir().map_err(|error| error.to_string())?.join(prefix);
        let mut log = program::Log::new(&workspace, "library")?;
        clients::library(&workspace, &mut log)
            .map_err(|failure| format!("{}\n{}", failure.reason, log.tail(step::TAIL)))?;
        install::write(&workspace, &prefix)?;
        Ok(prefix)
    });
    match installed {
        Ok(prefix) => {
            println!("installed below {}", prefix.display());
            ExitCode::SUCCESS
        }
        Err(reason) => {
            eprintln!("{reason}");
            ExitCode::FAILURE
        }
    }
}

fn test(steps: &[&Step]) -> ExitCode {
    let total = Workspace::find().and_then(|workspace| step::run(steps, &workspace));
    match total {
        Ok(total) => {
            println!("{} passed, {} failed", total.passed, total.failed);
            if total.failed == 0 && total.passed > 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
        }
        Err(reason) => {
            eprintln!("{reason}");
            ExitCode::FAILURE
        }
    }
}
