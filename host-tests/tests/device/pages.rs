//! The pages of the project lead somewhere.

use std::fs;
use std::path::{Path, PathBuf};

/// Every page below a folder, but for what is built and what begins with a dot.
fn pages(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap_or_else(|why| panic!("{}: {why}", folder.display()));
    let paths = entries.map(|entry| entry.expect("an entry").path());
    let ours = |path: &PathBuf| {
        path.file_name().is_some_and(|name| name != "target" && !name.to_string_lossy().starts_with('.'))
    };
    let below = |path: PathBuf| if path.is_dir() { pages(&path) } else { vec![path] };
    paths.filter(ours).flat_map(below).filter(|path| path.extension().is_some_and(|kind| kind == "md")).collect()
}

/// Given every page, when its links to files are followed, then the files are there.
#[test]
fn every_link_of_a_page_leads_to_a_file() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut followed = 0;
    for page in pages(&root) {
        let text = fs::read_to_string(&page).unwrap_or_else(|why| panic!("{}: {why}", page.display()));
        for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            let file = link.split('#').next().unwrap_or_default();
            if file.is_empty() || file.contains("://") {
                continue;
            }
            let there = page.parent().expect("a folder").join(file);
            assert!(there.exists(), "{} links to {file}, which is not there", page.display());
            followed += 1;
        }
    }
    assert!(followed > 50, "only {followed} links were found");
}
