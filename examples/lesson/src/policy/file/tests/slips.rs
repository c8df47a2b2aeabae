//! Slips that people make in a policy, and the messages for them.

use super::one;

#[test]
fn a_slip_is_told_with_its_place_and_what_to_write() {
    let slips = [
        ("colour = 3", "", "unknown field `colour`, expected one of `scope`"),
        (r#""col\nour" = 3"#, "", r"unknown field `col\nour`, expected one of `scope`"),
        (r#"scope = "bo\nat""#, "", r"unknown variant `bo\nat`, expected `craft` or `axis`"),
        (
            "engage_points = 3",
            "",
            "(engage_points): unknown key \"engage_points\"; it belongs below the [[axis]] that it",
        ),
        (
            "",
            "dwell = 3",
            "line 5, column 1 (dwell): unknown key \"dwell\"; write dwell_ms, which belongs before the first",
        ),
        ("lasted_ms = 3", "", "unknown key \"lasted_ms\"; it belongs below [latches]"),
        ("", "engage_points = 2%", "line 5, column 17 (engage_points): \"2%\" is no number; points are meant: write 2"),
        ("", "engage_points = \"2%\"", "is no number; points are meant: write 2, without quotes"),
        (
            "latches = { lasted_ms = 3, beyond_points = 30% }",
            "",
            "column 44 (beyond_points): \"30%\" is no number; points",
        ),
        ("dwell_ms = 300 ms", "", "(dwell_ms): \"300 ms\" is no number; milliseconds are meant: write 300"),
        ("dwell_ms = 0.3s", "", "\"0.3s\" is no number; milliseconds are meant: write the bare number of them"),
        ("dwell_ms = +5", "", "(dwell_ms): \"+5\" is not in the form of a number here; no plus sign: write 5"),
        ("dwell_ms = 1e1", "", "(dwell_ms): \"1e1\" is not in the form of a number here; no exponent: write 10"),
        ("dwell_ms = 0x10", "", "\"0x10\" is not in the form of a number here; write 16"),
        ("dwell_ms = 1_000", "", "\"1_000\" is not in the form of a number here; write 1000"),
        (
            "",
            "confirm = +3",
            "line 5, column 11 (confirm): \"+3\" is not in the form of a number here; no plus sign: write 3",
        ),
        ("", "confirm = 3.0", "\"3.0\" is no number of frames; write a whole number from 1 to 255"),
        ("", "engage_points = .5", "\".5\" is no number; write digits before and after the point"),
        ("dwell_ms = 1e400", "", "\"1e400\" is out of range; write a number such as 300"),
        ("dwell_ms = 99999999999999999999999", "", "\"99999999999999999999999\" is out of range"),
        ("dwell_ms = true", "", "\"true\" is no number; write digits, such as 300"),
        ("dwell_ms = 300;", "", "\"300;\" is no number; write digits, such as 300"),
        ("dwell_ms == 300", "", "\"= 300\" begins with a second equals sign; write one"),
        ("dwell ms = 300", "", "\"dwell ms = 300\" has more than a key before the equals sign; write dwell_ms = 300"),
        ("dwell_ms = \u{2212}5", "", "is no number; write -5"),
        ("dwell_ms = 5\u{a0}", "", "line 1, column 12 (dwell_ms): \"5\\u{a0}\" is no number; write 5"),
        ("scope = 3", "", "line 1, column 9 (scope): \"3\" is not known here; write \"craft\" or \"axis\""),
        ("scope = \u{201c}craft\u{201d}", "", "is in quotes that TOML does not know; write \"craft\""),
        ("scope = \"craft\" dwell_ms = 3", "", "unexpected key or value, expected newline, `#`; write each key on"),
        ("latches = 3", "", "\"3\" is not known here; write [latches] on a line of its own"),
        ("", "rest = 0", "\"0\" is not known here; write \"where-left\", or the key rest_points and a number"),
        ("", "keep = null", "\"null\" is neither true nor false"),
        ("[axis.roll]", "", "line 1, column 1 ([axis.roll]): \"[axis.roll]\" is no table of a policy; write [[axis]]"),
        ("scope = \"a\u{0}\"", "", "line 1, column 11 (scope): \"\\0\" cannot be in a policy; give a text file"),
        ("dwell_ms =", "", "line 1, column 11 (dwell_ms): has no value; write it behind the equals sign"),
        ("dwell_ms: 300", "", "line 1: \"dwell_ms: 300\" has no equals sign; write dwell_ms = 300"),
        ("off_first_after_loss = True", "", "\"True\" is neither true nor false; write true or false, without quotes"),
        ("", "keep = \"yes\"", "(keep): \"yes\" is neither true nor false; write true or false"),
        ("scope = craft", "", "line 1, column 9 (scope): \"craft\" is not in quotes; write \"craft\""),
        ("scope = \"Craft\"", "", "expected `craft` or `axis`; write \"craft\""),
        ("[axis]", "", "line 1, column 1 ([axis]): \"[axis]\" is no table of a policy; write [[axis]] for every axis"),
        ("", "[axis]", "line 5, column 1 ([axis]): \"[axis]\" is no table of a policy; write [[axis]]"),
        ("[ axes ] # ours", "", "\"[ axes ]\" is no table of a policy; write [[axis]]"),
        ("[[latches]]", "", "line 1, column 1 ([[latches]]): \"[[latches]]\" is no table of a policy; write [latches]"),
        ("# it's\rdwell_ms = 3", "", "line 1: the line does not end; lines end in CR alone: save the file with LF or"),
        ("scope = \"axis", "", "line 1, column 9 (scope): the quote that begins here, \"axis, does not end; end it"),
        ("# \"\nscope = \"\"\"axis\n\"", "", "line 2, column 9 (scope): the quote that begins here"),
        (
            "",
            "rest = 'where-left",
            "line 5, column 8 (rest): the quote that begins here, \"'where-left\", does not end",
        ),
    ];
    for (whole, axis, told) in slips {
        let message = one(whole, axis);
        assert!(message.starts_with("p.toml, line "), "{message}");
        assert!(message.contains(told), "{message}\nwanted: {told}");
        assert!(!message.contains('\n'), "{message}");
    }
}
