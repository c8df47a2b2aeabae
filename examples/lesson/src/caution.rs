//! The words of caution, where a user is about to act on what this tool says.
//!
//! They stand in reports, pictures, help texts, and policies in every language. Files that people write, such as the
//! wiring of the trainer box, hold a copy, which a test below compares.

/// Before anything here goes into the air. There is room for a comment's mark in a page of 100 columns.
pub(crate) const CAUTION: [&str; 3] = [
    "CAUTION: what is computed is no promise. First set and test the receiver's failsafe, range check,",
    "propellers off on the bench, craft held down, bystanders clear, instructor present. The radio's",
    "manual, the band's rules, local rules, club rules and your instructor's word come first.",
];

/// The same in one line, for help texts.
pub(crate) const IN_SHORT: &str =
    "CAUTION: failsafe first, range check, propellers off, craft held down, bystanders clear, instructor present.";

/// The same as comments of a language.
pub(crate) fn comments(mark: &str) -> String {
    CAUTION.map(|line| format!("{mark} {line}\n")).concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn has_it(file: &str, text: &str) {
        for line in CAUTION {
            assert!(text.contains(line), "{file}: no '{line}'");
        }
    }

    #[test]
    fn what_people_wrote_and_what_is_committed_has_the_same_caution() {
        has_it("policy/default.toml", include_str!("policy/default.toml"));
        has_it("handback.h", include_str!("../../../core/c/include/handback.h"));
        has_it("the box's policy.rs", include_str!("../../trainer-box/rp2040/src/policy.rs"));
        for (file, picture) in [
            ("wiring.svg", include_str!("../../trainer-box/wiring.svg")),
            ("lesson.svg", include_str!("../lesson.svg")),
            ("tune.svg", include_str!("../tune.svg")),
        ] {
            // The text for screen readers, and the text that is drawn.
            let document = roxmltree::Document::parse(picture).unwrap_or_else(|why| panic!("{file}: {why}"));
            let words = |tag: &str| {
                let nodes = document.descendants().filter(|node| node.tag_name().name() == tag);
                nodes.filter_map(|node| node.text()).map(str::trim).collect::<Vec<_>>().join("\n")
            };
            has_it(file, &words("text"));
            assert!(words("desc").contains(&CAUTION.join(" ")), "{file}: the description");
        }
    }

    /// The README has the full list, with reasons; builders read it before the first part.
    #[test]
    fn every_point_of_the_caution_stands_in_the_readmes_list() {
        let readme = include_str!("../../../README.md").split_once("## Cautions").unwrap().1.to_lowercase();
        let builders = include_str!("../../trainer-box/README.md").split_once("## 1.").unwrap().0.to_lowercase();
        for point in [
            "failsafe first",
            "range check",
            "propellers off",
            "craft held down",
            "bystanders clear",
            "instructor present",
            "radio's manual",
            "rules of the band",
            "local law",
            "club rules",
            "instructor's word",
        ] {
            assert!(readme.contains(point) && builders.contains(point), "{point}");
        }
    }

    #[test]
    fn it_fits_a_page_of_a_hundred_columns_behind_a_comments_mark() {
        assert!(CAUTION.iter().all(|line| line.len() <= 97));
    }

    /// Given the line of the help texts, then it names every action of the caution, and is no longer than other lines of
    /// help.
    #[test]
    fn the_short_caution_names_every_action() {
        for action in CAUTION.join(" ").split(". ").nth(1).unwrap().split(", ") {
            let action = action.trim_start_matches("First set and test the receiver's ");
            let action = action.trim_end_matches(" on the bench");
            assert!(IN_SHORT.contains(action), "{action}");
        }
        assert!(IN_SHORT.len() <= 110);
    }
}
