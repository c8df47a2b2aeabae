//! The first example of the crate's documentation is the one of its README.

/// The lines between two fences of three backticks, where each line of the text begins with the prefix.
fn fenced(text: &str, prefix: &str, language: &str) -> String {
    let after = text.split_once(&format!("{prefix}```{language}\n")).expect("an opening fence").1;
    after.split_once(&format!("{prefix}```")).expect("a closing fence").0.to_owned()
}

/// Given README and crate documentation, both compiled as tests, when their examples are compared, then they are the
/// same text, except for lines that the documentation hides.
#[test]
fn the_documentation_and_the_readme_show_one_example() {
    let readme = fenced(include_str!("../../../core/README.md"), "", "rust");
    let docs = fenced(include_str!("../../../core/src/lib.rs"), "//! ", "");
    let lines =
        docs.lines().filter_map(|line| line.strip_prefix("//!")).map(|line| line.strip_prefix(' ').unwrap_or(line));
    let shown: Vec<&str> = lines.filter(|line| !line.starts_with("# ")).collect();
    assert_eq!(shown, readme.lines().collect::<Vec<_>>());
    assert!(readme.contains("if outcome.pilot != Pilot::Nobody {"), "and send nothing where nobody flies");
}
