//! The sheet of a check: each step with its result, then every finding. Plain text, at most 100 columns.

use std::io::{self, Write};

use handback::preflight::{Action, Finding, Obstacle, PreflightProgress, Verdict};

/// The greatest width of a line, in characters.
const COLUMNS: usize = 100;
/// The column in which the words of a step begin.
const WORDS: usize = 21;

/// The results of the steps so far.
pub(crate) struct Sheet {
    title: String,
    names: Vec<String>,
    lines: Vec<Line>,
    passed: usize,
    /// Number of findings that a line already has.
    told: usize,
    obstacle: Option<Obstacle>,
    last_us: u64,
}

/// A finished step: its time, its result, and its findings.
struct Line {
    time_us: u64,
    step: Action,
    how: &'static str,
    why: Vec<String>,
}

impl Sheet {
    pub(crate) fn new(title: String, names: Vec<String>) -> Self {
        Self { title, names, lines: Vec::new(), passed: 0, told: 0, obstacle: None, last_us: 0 }
    }

    pub(crate) fn note<const N: usize>(&mut self, time_us: u64, progress: &PreflightProgress<N>, findings: &[Finding]) {
        (self.last_us, self.obstacle) = (time_us, progress.obstacle);
        let Some((step, verdict)) = progress.ended else { return };
        let mut why: Vec<_> = findings[self.told..].iter().map(|finding| self.named(&finding.to_string())).collect();
        self.told = findings.len();
        let how = match verdict {
            Verdict::Passed => "passed",
            Verdict::Failed(finding) => {
                if why.is_empty() {
                    why.push(self.named(&finding.to_string()));
                }
                "FAILED"
            }
            Verdict::Prevented(finding) => {
                why.push(format!("because {}", self.named(&finding.to_string())));
                "not judged"
            }
        };
        self.passed += usize::from(verdict == Verdict::Passed);
        self.lines.push(Line { time_us, step, how, why });
    }

    /// Prints the sheet. `asked` is the step that is not over; `None` when the check is over.
    pub(crate) fn print(
        &self,
        out: &mut impl Write,
        asked: Option<Action>,
        findings: &[Finding],
        untold: u16,
    ) -> io::Result<()> {
        writeln!(out, "{}", self.title)?;
        writeln!(out)?;
        for line in &self.lines {
            step(out, line.time_us, line.how, &self.named(&line.step.to_string()))?;
            line.why.iter().try_for_each(|why| wrapped(out, WORDS + 2, why))?;
        }
        if let Some(asked) = asked {
            step(out, self.last_us, "waiting", &self.named(&asked.to_string()))?;
            if let Some(obstacle) = self.obstacle {
                wrapped(out, WORDS + 2, &self.named(&obstacle.to_string()))?;
            }
        }
        writeln!(out)?;
        let ended = self.lines.len();
        match (asked, findings.len() + usize::from(untold)) {
            (None, 0) => writeln!(out, "PASSED: all {ended} steps.")?,
            (None, _) => writeln!(out, "FAILED: {} of {ended} steps passed. Correct and check again:", self.passed)?,
            (Some(_), 0) => writeln!(out, "NOT FINISHED: {} steps passed so far.", self.passed)?,
            (Some(_), _) => writeln!(out, "NOT FINISHED: {} of {ended} steps passed. To correct:", self.passed)?,
        }
        for finding in findings {
            wrapped(out, 2, &self.named(&finding.to_string()))?;
        }
        if untold > 0 {
            writeln!(out, "  and {untold} more")?;
        }
        writeln!(out)
    }

    /// Replaces the numbers of axes, which the library uses, by their names.
    fn named(&self, text: &str) -> String {
        let mut parts = text.split("axis ");
        let mut named = parts.next().unwrap_or_default().to_owned();
        for part in parts {
            let digits = part.len() - part.trim_start_matches(|c: char| c.is_ascii_digit()).len();
            let name = part[..digits].parse::<usize>().ok().and_then(|number| self.names.get(number));
            if let Some(name) = name {
                named.push_str(name);
            } else {
                named.push_str("axis ");
                named.push_str(&part[..digits]);
            }
            named.push_str(&part[digits..]);
        }
        named
    }
}

/// Prints one step: its time, its result, and its words.
fn step(out: &mut impl Write, time_us: u64, how: &str, words: &str) -> io::Result<()> {
    let tenths = time_us / 100_000;
    let when = format!("{}:{:02}.{}", tenths / 600, tenths / 10 % 60, tenths % 10);
    let head = format!("{when:>8}  {how:<11}");
    let mut text = Vec::new();
    wrapped(&mut text, WORDS, words)?;
    out.write_all(head.as_bytes())?;
    out.write_all(text.get(head.len()..).unwrap_or_default())
}

/// Prints words, wrapped, in lines that begin in this column.
fn wrapped(out: &mut impl Write, indent: usize, words: &str) -> io::Result<()> {
    let mut line = String::new();
    for word in words.split(' ') {
        if !line.is_empty() && indent + line.chars().count() + 1 + word.chars().count() > COLUMNS {
            writeln!(out, "{:indent$}{line}", "")?;
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    writeln!(out, "{:indent$}{line}", "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_are_told_by_their_names() {
        let names = (0..12).map(|number| format!("n{number}")).collect();
        let sheet = Sheet::new(String::new(), names);
        assert_eq!(sheet.named("student: axis 1 moves axis 11 instead"), "student: n1 moves n11 instead");
        assert_eq!(sheet.named("axis 12: each axis of it"), "axis 12: each axis of it");
    }

    #[test]
    fn long_words_go_on_below_where_they_began() {
        let mut out = Vec::new();
        step(&mut out, 61_200_000, "FAILED", &"word ".repeat(30)).unwrap();
        let text = String::from_utf8(out).unwrap();
        assert!(text.starts_with("  1:01.2  FAILED     word word"), "{text}");
        assert!(
            text.lines().all(|line| line.len() <= COLUMNS)
                && text.lines().nth(1).unwrap().starts_with("                     word")
        );
    }
}
