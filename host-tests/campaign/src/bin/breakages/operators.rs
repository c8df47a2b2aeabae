//! The breakages: every place of a source at which one small change of the text may break it.

/// One change of one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Breakage {
    pub(crate) file: String,
    /// The line, counted from 0, and the line that takes its place.
    pub(crate) line: usize,
    pub(crate) from: String,
    pub(crate) to: String,
}

/// What is exchanged for what, in both directions.
const EXCHANGED: [(&str, &str); 15] = [
    (" < ", " <= "),
    (" > ", " >= "),
    (" < ", " > "),
    (" == ", " != "),
    (" && ", " || "),
    (" + ", " - "),
    (" | ", " & "),
    ("_add(", "_sub("),
    (".with(", ".except("),
    ("true", "false"),
    ("EMPTY", "ALL"),
    ("Left::OVER", "Left::NOT_BEGUN"),
    ("Age::NEW", "Age::ENDLESS"),
    (".held", ".newly_held"),
    (".taken", ".newly_taken"),
];

/// What no step calls: it is for the search over all states.
const STATES: &str = "#[cfg(feature = \"states\")]";

/// All breakages of a source, without those of its tests and of what no step calls.
pub(crate) fn of_source(file: &str, source: &str) -> Vec<Breakage> {
    // The indentation of the item that is left out, while the lines are in it.
    let mut left_out: Option<&str> = None;
    let lines = source.lines().enumerate().take_while(|(_, line)| *line != "#[cfg(test)]");
    let lines = lines.filter(move |(_, line)| {
        if let Some(indent) = left_out {
            let item = line.strip_prefix(indent).unwrap_or_default();
            if item == "}" || (item.ends_with(';') && !item.starts_with(' ')) {
                left_out = None;
            }
            return false;
        }
        left_out = line.strip_suffix(STATES);
        left_out.is_none()
    });
    let code = lines.filter(|(_, line)| {
        let line = line.trim_start();
        !["//", "#[", "use ", "pub use ", "mod "].iter().any(|start| line.starts_with(start))
    });
    let broken = |(line, from): (usize, &str)| {
        let breakage = move |to| Breakage { file: file.into(), line, from: from.into(), to };
        of_line(from).into_iter().map(breakage).collect::<Vec<_>>()
    };
    code.flat_map(broken).collect()
}

/// What may take the place of a line.
fn of_line(line: &str) -> Vec<String> {
    let (code, comment) = line.split_once(" //").map_or((line, ""), |(code, _)| (code, &line[code.len()..]));
    let mut all: Vec<String> = Vec::new();
    for (a, b) in EXCHANGED {
        all.extend(exchanged(code, a, b));
        all.extend(exchanged(code, b, a));
    }
    all.extend(numbers(code));
    all.extend(negations(code));
    if let Some(condition) = code.trim_start().strip_prefix("if ").and_then(|rest| rest.strip_suffix(" {"))
        && !condition.contains("let ")
    {
        all.push(code.replace(condition, &format!("!({condition})")));
    }
    if is_statement(code) {
        all.push(String::new());
    }
    all.into_iter().map(|code| format!("{code}{comment}")).collect()
}

/// The line with one `a` replaced by `b`, for each `a`. A part of a longer word does not count.
fn exchanged(code: &str, a: &str, b: &str) -> Vec<String> {
    let word = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_');
    let inside = |at: usize| {
        let (before, after) = (code[..at].chars().next_back(), code[at + a.len()..].chars().next());
        (word(a.chars().next()) && word(before)) || (word(a.chars().next_back()) && word(after))
    };
    let places = code.match_indices(a).map(|(at, _)| at).filter(|at| !inside(*at));
    places.map(|at| format!("{}{b}{}", &code[..at], &code[at + a.len()..])).collect()
}

/// The line with one number larger by 1. The name of a field of a tuple is none.
fn numbers(code: &str) -> Vec<String> {
    let bytes = code.as_bytes();
    let word = |at: usize| bytes.get(at).is_some_and(|c| c.is_ascii_alphanumeric() || *c == b'_');
    let starts = (0..bytes.len())
        .filter(|at| bytes[*at].is_ascii_digit() && !(*at > 0 && (word(at - 1) || bytes[at - 1] == b'.')));
    let larger = |at: usize| {
        let end = at + bytes[at..].iter().take_while(|c| c.is_ascii_digit()).count();
        let number: u64 = code[at..end].parse().ok()?;
        (!word(end)).then(|| format!("{}{}{}", &code[..at], number + 1, &code[end..]))
    };
    starts.filter_map(larger).collect()
}

/// The line without one of its `!`.
fn negations(code: &str) -> Vec<String> {
    let is_negation = |at: usize| {
        let before = code[..at].chars().next_back().unwrap_or(' ');
        let after = code[at + 1..].chars().next().unwrap_or('=');
        (before == ' ' || before == '(') && after != '='
    };
    let places = code.match_indices('!').map(|(at, _)| at).filter(|at| is_negation(*at));
    places.map(|at| format!("{}{}", &code[..at], &code[at + 1..])).collect()
}

/// Whether the line is a whole statement that can be left out.
fn is_statement(code: &str) -> bool {
    let code = code.trim();
    let whole = code.matches(['(', '{', '[']).count() == code.matches([')', '}', ']']).count();
    let needed = ["let ", "const ", "pub ", "type ", "}", ")"].iter().any(|start| code.starts_with(start));
    code.ends_with(';') && whole && !needed
}

#[cfg(test)]
mod tests {
    use super::of_source;

    /// Given a short source, then its breakages are these, and none is in a comment, in its tests, or where no step comes.
    #[test]
    fn a_source_has_the_breakages_that_one_expects() {
        let states = "#[cfg(feature = \"states\")]\nfn g() {\n    a < b;\n}\n";
        let source = states.to_owned()
            + "// a < b\nfn f() {\n    if !a && b < 1 {\n        c = true;\n    }\n}\n#[cfg(test)]\nx < y\n";
        let all: Vec<(usize, String)> =
            of_source("f.rs", &source).into_iter().map(|breakage| (breakage.line, breakage.to.trim().into())).collect();
        let expected = [
            (6, "if !a && b <= 1 {"),
            (6, "if !a && b > 1 {"),
            (6, "if !a || b < 1 {"),
            (6, "if !a && b < 2 {"),
            (6, "if a && b < 1 {"),
            (6, "if !(!a && b < 1) {"),
            (7, "c = false;"),
            (7, ""),
        ];
        assert_eq!(all, expected.map(|(line, to)| (line, to.to_string())));
    }
}
