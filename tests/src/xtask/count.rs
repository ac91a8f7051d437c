//! How many tests ran, read from the closing lines of the programs that ran them.

use std::ops::AddAssign;

/// Tests that passed, failed and were left out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Count {
    /// Passed.
    pub passed: usize,
    /// Failed, errors included.
    pub failed: usize,
    /// Ignored, skipped or expected to fail.
    pub skipped: usize,
}

impl Count {
    /// A step that counts nothing itself.
    pub const ONE: Self = Self { passed: 1, failed: 0, skipped: 0 };
}

impl AddAssign for Count {
    fn add_assign(&mut self, other: Self) {
        self.passed += other.passed;
        self.failed += other.failed;
        self.skipped += other.skipped;
    }
}

impl std::fmt::Display for Count {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} passed", self.passed)?;
        if self.failed > 0 {
            write!(f, ", {} failed", self.failed)?;
        }
        if self.skipped > 0 {
            write!(f, ", {} skipped", self.skipped)?;
        }
        Ok(())
    }
}

/// The sum over all closing lines of Rust test binaries ("test result: ok. 5 passed; 0 failed; …").
pub fn rust(output: &str) -> Count {
    let mut sum = Count::default();
    for line in output.lines().filter_map(|line| line.trim().strip_prefix("test result: ")) {
        sum += pairs(line.split_once(". ").map_or(line, |(_, counts)| counts), &[';', ',']);
    }
    sum
}

/// The closing line of pytest ("5 passed, 1 skipped in 0.12s"), of a client ("5 passed, 0 failed"): the last one counts.
pub fn closing_line(output: &str) -> Count {
    output
        .lines()
        .rev()
        .map(|line| pairs(line.trim_matches(|c: char| c == '=' || c.is_whitespace()), &[',']))
        .find(|count| *count != Count::default())
        .unwrap_or_default()
}

/// "5 passed, 1 failed": a number and a word each; other parts count nothing.
fn pairs(text: &str, separators: &[char]) -> Count {
    let mut count = Count::default();
    for part in text.split(separators) {
        let mut words = part.split_whitespace();
        let (Some(number), Some(word)) = (words.next().and_then(|number| number.parse::<usize>().ok()), words.next())
        else {
            continue;
        };
        match word {
            "passed" => count.passed += number,
            "failed" | "error" | "errors" | "xpassed" => count.failed += number,
            "ignored" | "skipped" | "xfailed" | "deselected" => count.skipped += number,
            _ => {}
        }
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rust_binaries_are_summed() {
        let output = "running 2 tests\ntest result: ok. 2 passed; 0 failed; 1 ignored; 0 measured; 3 filtered out; finished in 0.00s\n\
                      test result: FAILED. 4 passed; 1 failed; 0 ignored; 0 measured; 0 filtered out\n9 passed, 0 failed";
        assert_eq!(rust(output), Count { passed: 6, failed: 1, skipped: 1 });
        assert_eq!(rust("error: could not compile"), Count::default());
    }

    #[test]
    fn the_last_closing_line_counts() {
        assert_eq!(closing_line("==== 5 passed, 1 skipped in 0.12s ===="), Count { passed: 5, failed: 0, skipped: 1 });
        assert_eq!(closing_line("1 failed, 2 errors, 5 passed in 1.2s\n"), Count { passed: 5, failed: 3, skipped: 0 });
        assert_eq!(closing_line("7 passed, 0 failed\n8 passed, 0 failed"), Count { passed: 8, failed: 0, skipped: 0 });
        assert_eq!(closing_line("no tests ran in 0.01s"), Count::default());
    }
}
