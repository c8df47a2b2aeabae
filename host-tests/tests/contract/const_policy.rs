//! P1 in a `const`: a bad policy does not compile, and the compiler names axis, field, value and remedy.
//!
//! The compiler that built this test compiles the snippets against the library that this test is linked with. The test
//! looks only for the words of the rule in the compiler's message, so another compiler's wording does no harm.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::{env, fs};

/// A `static` policy of one sprung axis with this expression in its place.
fn snippet(policy: &str) -> String {
    format!(
        "#![allow(unused_imports)]
        use handback::{{AxisRule, AxisSet, CheckedPolicy, Deflection, Duration, Policy, Rest}};
        pub static POLICY: CheckedPolicy<1> = handback::checked!({policy});"
    )
}

const GOOD: &str = "Policy::new([AxisRule::sprung()])";

/// Compiles a snippet against this build of the library. The error is the compiler's message.
fn compile(library: &Path, name: &str, source: &str) -> Result<(), String> {
    let here = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let (file, out) = (here.join(format!("{name}.rs")), here.join(format!("{name}.rmeta")));
    fs::write(&file, source).expect("the target folder can be written");
    let compiler = env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let dependencies = library.parent().expect("a folder").display().to_string();
    let output = Command::new(compiler)
        .current_dir(env!("CARGO_MANIFEST_DIR")) // where the compiler's version is pinned
        .args(["--edition=2024", "--crate-type=lib", "--emit=metadata", "-o"])
        .arg(out)
        .arg(format!("-Ldependency={dependencies}"))
        .arg(format!("--extern=handback={}", library.display()))
        .arg(file)
        .output()
        .expect("the compiler that built this test is there");
    if output.status.success() { Ok(()) } else { Err(String::from_utf8_lossy(&output.stderr).into_owned()) }
}

/// The newest build of the library beside this test that the compiler accepts.
fn library() -> PathBuf {
    let test = env::current_exe().expect("this test has a path");
    let folder = test.parent().expect("a folder");
    let is_library = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        name.starts_with("libhandback-") && path.extension().is_some_and(|kind| kind == "rlib")
    };
    let files = fs::read_dir(folder).expect("the folder of this test").filter_map(Result::ok).map(|entry| entry.path());
    let mut builds: Vec<PathBuf> = files.filter(is_library).collect();
    builds.sort_by_key(|path| fs::metadata(path).and_then(|data| data.modified()).ok());
    let newest_first = builds.into_iter().rev();
    let mut complaints = String::new();
    for build in newest_first {
        match compile(&build, "good", &snippet(GOOD)) {
            Ok(()) => return build,
            Err(complaint) => complaints.push_str(&complaint),
        }
    }
    panic!("a good policy does not compile in a const: {complaints}");
}

/// Given a bad policy in a `const`, when it is compiled, then the compiler names the rule. A good policy compiles.
/// Rules: P1
#[test]
fn a_bad_const_policy_does_not_compile_and_names_the_rule() {
    let library = library();
    let policy = |place: &str| format!("{{ let mut policy = {GOOD}; policy.{place}; policy }}");
    let bad = [
        (
            policy("axes[0].release = Deflection::from_points(2)"),
            "axis 0: release is 2.00 points: it must be 0 or more and below engage, 2.00 points",
        ),
        (policy("axes[0].engage = Deflection::CENTRE"), "axis 0: engage is 0.00 points: it must be above 0"),
        (policy("axes[0].confirm = 0"), "axis 0: confirm is 0: it must be 1 or more"),
        (policy("watched = AxisSet::EMPTY"), "watched is empty: it must name at least one axis"),
        (policy("late_step = Duration::from_ticks(0)"), "late_step is 0 us: it must be 1 us or longer"),
        (policy("settle = Duration::from_ticks(0)"), "settle is 0 us: it must be 1 us or longer"),
        ("Policy::<0>::new([])".to_owned(), "1 to 16 axes"),
        ("Policy::<17>::new([AxisRule::sprung(); 17])".to_owned(), "1 to 16 axes"),
    ];
    for (number, (policy, words)) in bad.iter().enumerate() {
        let axes = if words.contains("axes") { policy[9..].split('>').next().unwrap_or("1") } else { "1" };
        let source = snippet(policy).replace("CheckedPolicy<1>", &format!("CheckedPolicy<{axes}>"));
        let complaint = compile(&library, &format!("bad{number}"), &source).expect_err(policy);
        assert!(complaint.contains(words), "{policy} should say {words:?}: {complaint}");
    }
    // The good policies nearest to the bad ones.
    let good = [
        policy("axes[0].release = Deflection::from_bits(327)"),
        policy("axes[0].engage = Deflection::from_points(2)"),
        policy("axes[0].confirm = 1"),
        policy("watched = AxisSet::first(1)"),
        policy("late_step = Duration::from_ticks(1)"),
    ];
    for (number, policy) in good.iter().enumerate() {
        assert_eq!(compile(&library, &format!("good{number}"), &snippet(policy)), Ok(()), "{policy}");
    }
}
