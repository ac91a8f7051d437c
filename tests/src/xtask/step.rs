//! Steps: their selection, their order, and one printed line each.

use crate::count::Count;
use crate::program::{Failure, Log};
use crate::workspace::Workspace;
use std::io::Write;
use std::time::Instant;

/// Lines of a failed step's output that are printed; the whole stays in its log.
pub const TAIL: usize = 60;

/// One thing that can pass or fail.
pub struct Step {
    /// The name on the command line.
    pub name: &'static str,
    /// What it tests.
    pub about: &'static str,
    /// Steps that must have passed before.
    pub needs: &'static [&'static str],
    /// Runs it.
    pub run: fn(&Workspace, &mut Log) -> Result<Count, Failure>,
}

/// The named steps and what they need, in the order of `steps`; for no name all but those on request; an unknown name is
/// returned.
pub fn select<'a>(steps: &'a [Step], on_request: &[&str], names: &[String]) -> Result<Vec<&'a Step>, String> {
    if let Some(unknown) = names.iter().find(|name| steps.iter().all(|step| step.name != name.as_str())) {
        return Err(unknown.clone());
    }
    let mut wanted: Vec<&str> = match names {
        [] => steps.iter().map(|step| step.name).filter(|name| !on_request.contains(name)).collect(),
        names => names.iter().map(String::as_str).collect(),
    };
    // Needs stand before the steps that need them, so one pass from the end finds all.
    for step in steps.iter().rev() {
        if wanted.contains(&step.name) {
            wanted.extend(step.needs);
        }
    }
    Ok(steps.iter().filter(|step| wanted.contains(&step.name)).collect())
}

/// Runs the steps and prints a line for each. An error is about this program, not about a step.
pub fn run(steps: &[&Step], workspace: &Workspace) -> Result<Count, String> {
    let mut total = Count::default();
    let mut failed: Vec<&str> = Vec::new();
    for step in steps {
        let mut log = Log::new(workspace, step.name)?;
        let start = Instant::now();
        let outcome = match step.needs.iter().find(|need| failed.contains(need)) {
            Some(need) => Err(Failure::from(format!("not run: it needs the step \"{need}\""))),
            None => (step.run)(workspace, &mut log),
        };
        let seconds = start.elapsed().as_secs_f64();
        match outcome {
            Ok(count) => {
                println!("ok      {:<12} {seconds:7.1} s  {count}", step.name);
                total += count;
            }
            Err(Failure { reason, mut count }) => {
                failed.push(step.name);
                count.failed = count.failed.max(1);
                println!("FAILED  {:<12} {seconds:7.1} s  {count}: {reason}", step.name);
                let tail = log.tail(TAIL);
                if !tail.is_empty() {
                    println!("{tail}\n(the last lines of {})", log.path().display());
                }
                total += count;
            }
        }
        std::io::stdout().flush().map_err(|error| error.to_string())?;
    }
    Ok(total)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(chosen: &[&str]) -> Result<Vec<&'static str>, String> {
        let chosen: Vec<String> = chosen.iter().map(ToString::to_string).collect();
        Ok(select(crate::STEPS, crate::ON_REQUEST, &chosen)?.iter().map(|step| step.name).collect())
    }

    #[test]
    fn a_step_brings_what_it_needs() {
        assert_eq!(names(&["python"]).unwrap(), ["library", "environment", "wheel", "python"]);
        assert_eq!(names(&["cpp", "format"]).unwrap(), ["format", "library", "cpp"]);
        assert_eq!(names(&["valgrind"]).unwrap(), ["library", "valgrind"]);
        assert_eq!(names(&[]).unwrap().len(), crate::STEPS.len() - crate::ON_REQUEST.len());
        assert_eq!(names(&["rust", "nothing"]), Err("nothing".into()));
    }

    #[test]
    fn needs_stand_before_the_steps_that_need_them() {
        for (index, step) in crate::STEPS.iter().enumerate() {
            for need in step.needs {
                assert!(crate::STEPS[..index].iter().any(|earlier| earlier.name == *need), "{}", step.name);
            }
        }
    }
}
