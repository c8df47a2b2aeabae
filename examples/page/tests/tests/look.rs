//! Files that are dropped on the page: the same words as on the command line.

use std::sync::Arc;

use page_tests::{Browser, HEADER, WIDE, drop_files, lesson, trace, with};
use tempfile::TempDir;

/// Bad files as in the tests of the command line (`examples/lesson/tests/cli/bad_input.rs` and its folder): name, bytes,
/// the command, and a piece of the message.
fn bad_files() -> Vec<(&'static str, Vec<u8>, &'static str, &'static str)> {
    let row = |cells: &str| format!("{HEADER}\n0,0,0,1,2,3,4\n{cells}\n").into_bytes();
    vec![
        ("nan.csv", row("1,0,0,NaN,2,3,4"), "replay", "line 3, column 4 (i:roll)"),
        ("word.csv", row("1,0,0,1,2,abc,4"), "replay", "\"abc\" is no number of points"),
        ("exponent.csv", row("1e3,0,0,1,2,3,4"), "replay", "no exponent: write 1000"),
        ("percent.csv", row("1,0,0,2%,2,3,5"), "replay", "points are meant: write 2"),
        ("header.csv", format!("{HEADER}\n").into_bytes(), "replay", "has a header and no row"),
        ("picture.csv", b"<svg width=\"3\"></svg>".to_vec(), "replay", "looks like a picture"),
        ("empty.csv", Vec::new(), "replay", "empty.csv"),
        ("key.toml", b"dwel_ms = 300\n[[axis]]\nname = \"roll\"\nkind = \"sprung\"\n".to_vec(), "policy", "dwel_ms"),
        (
            "value.toml",
            b"dwell_ms = \"soon\"\n[[axis]]\nname = \"roll\"\nkind = \"sprung\"\n".to_vec(),
            "policy",
            "line 1",
        ),
        (
            "axis.toml",
            b"[[axis]]\nname = \"roll\"\nkind = \"sprung\"\nengage_points = 0\n".to_vec(),
            "policy",
            "engage_points",
        ),
        ("photo.jpg", b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01".to_vec(), "replay", "is no text, so not a recording"),
        ("utf16.csv", utf16(HEADER), "replay", "UTF-16"),
        (
            "channels.toml",
            a_box().replacen("channels = 8 ", "channels = 3 ", 1).into_bytes(),
            "policy",
            "channels.toml, line",
        ),
        ("level.toml", a_box().replacen("\"high\"", "\"up\"", 1).into_bytes(), "policy", "level.toml, line"),
        ("rest.csv", b"time_s,us:roll\n0,1500\n1,x\n".to_vec(), "tune", "rest.csv"),
    ]
}

fn utf16(text: &str) -> Vec<u8> {
    [vec![0xff, 0xfe], text.encode_utf16().flat_map(u16::to_le_bytes).collect()].concat()
}

/// The box file that the command writes.
fn a_box() -> String {
    let desk = TempDir::new().unwrap();
    String::from_utf8(lesson(desk.path(), &["policy", "--box"]).stdout).unwrap()
}

/// Given a bad file of every kind, when it is dropped on the page, then the page says what the command says.
#[tokio::test]
async fn bad_files_get_the_words_of_the_command_line() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("look").await;
        let desk = TempDir::new().unwrap();
        for (name, bytes, command, piece) in bad_files() {
            std::fs::write(desk.path().join(name), &bytes).unwrap();
            let run = lesson(desk.path(), &[command, name]);
            let said = String::from_utf8_lossy(&run.stderr).into_owned();
            let said = said.trim_end().strip_prefix("error: ").unwrap_or(&said);
            drop_files(&browser, &[(name, &bytes)]).await;
            let card = format!(
                "[...document.querySelectorAll('.card')].find((card) => card.getAttribute('aria-label') === {name:?})"
            );
            browser.until("the file is refused", &format!("return !!{card}?.querySelector('.refusal')")).await;
            let shown = browser.js(&format!("return {card}.querySelector('.refusal').textContent")).await;
            assert_eq!(shown.as_str(), Some(said), "{name}");
            assert!(said.contains(piece), "{name}: {said}");
        }
    })
    .await;
}

/// Given a trace, when it is dropped, then its report and picture are those of the command, and it opens in Debrief.
#[tokio::test]
async fn a_trace_is_reported_and_looked_back_at() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("look").await;
        let desk = TempDir::new().unwrap();
        let text = trace(3000);
        std::fs::write(desk.path().join("mine.csv"), &text).unwrap();
        let run = lesson(desk.path(), &["replay", "mine.csv", "--picture", "mine.svg"]);
        drop_files(&browser, &[("mine.csv", text.as_bytes())]).await;
        browser.until("the report is shown", "return !!document.querySelector('.card pre')").await;
        let report = browser.js("return document.querySelector('.card pre').textContent").await;
        let said = String::from_utf8_lossy(&run.stdout).into_owned();
        for line in report.as_str().unwrap().lines() {
            assert!(said.contains(line), "the page alone says: {line}");
        }
        // Words of the command line stay behind "For programmers".
        let shown = browser.js("return document.querySelector('.card').innerText").await;
        let shown = shown.as_str().unwrap();
        assert!(shown.contains("Recording of a lesson. Under the default settings."), "{shown}");
        assert!(shown.contains("The student flew 00:5") && shown.contains("3 takeovers: 3 by stick."), "{shown}");
        for word in ["--", "`lesson", "steps", "trace"] {
            assert!(!shown.contains(word), "{word} is shown: {shown}");
        }
        browser.click_words("Open in Debrief").await;
        browser
            .until("the takeovers are listed", "return document.querySelectorAll('#lessons tbody tr').length > 1")
            .await;
        browser
            .until(
                "the timeline is drawn",
                "return /Shown: 00:00.0/.test(document.querySelector('#lessons [role=status]')?.textContent)",
            )
            .await;
        browser.js("document.querySelector('.timeline').focus()").await;
        browser.key("+", 10).await;
        browser
            .until(
                "the keys zoom",
                "return !/Shown: 00:00.0/.test(document.querySelector('#lessons [role=status]').textContent)",
            )
            .await;
    })
    .await;
}

/// Given a card, when a policy is dropped after it, then the card names the policy that it was made under, and one click
/// makes it again under the new one.
#[tokio::test]
async fn a_later_policy_can_be_given_to_an_older_card() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("look").await;
        let card = "[...document.querySelectorAll('.card')].find((it) => it.getAttribute('aria-label') === 'mine.csv')";
        let says = |words: &str| format!("return {card}?.innerText.includes({words:?}) === true");
        drop_files(&browser, &[("mine.csv", trace(3000).as_bytes())]).await;
        browser.until("it is looked at", &says("The student flew")).await;
        let before = browser.js(&format!("return {card}.innerText")).await;
        assert!(before.as_str().unwrap().contains("Under the default settings.\n"), "{before}");

        let axes = "[[axis]]\nname = \"roll\"\nkind = \"sprung\"\n\n[[axis]]\nname = \"throttle\"\nkind = \"unsprung\"\nfailsafe_points = -100\n";
        let policy = format!("dwell_ms = 5000\n{axes}");
        drop_files(&browser, &[("slow.toml", policy.as_bytes())]).await;
        browser.until("the older card offers it", &says("Look again under slow.toml")).await;
        browser.click_words("Look again under slow.toml").await;
        browser.until("it is made again", &says("Under the settings of the policy file slow.toml.")).await;
        browser.until("it is looked at", &says("The student flew")).await;
        let after = browser.js(&format!("return {card}.innerText")).await;
        let flew = |card: &serde_json::Value| {
            card.as_str().unwrap().lines().find(|line| line.starts_with("The student flew")).map(str::to_owned)
        };
        assert!(flew(&before).is_some() && flew(&before) != flew(&after), "{before} {after}");
        assert_eq!(browser.js("return document.querySelectorAll('.card').length").await, 2);
        assert_eq!(browser.js(&says("Look again")).await, false);
        browser.js("document.querySelectorAll('.card details').forEach((it) => (it.open = true))").await;
        browser.click_words("Keep policy.h, for firmware in C").await;
        let kept = "return [...document.querySelectorAll('.card [role=status]')].some((it) => it.textContent === 'Saved as policy.h.')";
        browser.until("it is said to be saved", kept).await;
        browser.shot("policy-kept").await;

        // A policy that does not fit is refused, and the way back is there.
        drop_files(&browser, &[("other.toml", b"[[axis]]\nname = \"yaw\"\nkind = \"sprung\"\n")]).await;
        browser.until("it is offered", &says("Look again under other.toml")).await;
        browser.click_words("Look again under other.toml").await;
        browser.until("it is refused", &format!("return !!{card}?.querySelector('.refusal')")).await;
        browser.click_words("Back to the default policy").await;
        browser.click_words("Look again under the default policy").await;
        browser.until("it is as before", &says("The student flew")).await;
        let again = browser.js(&format!("return {card}.innerText")).await;
        assert_eq!(flew(&again), flew(&before));
        browser.js(&format!("{card}.querySelector('[aria-label=\"Close mine.csv\"]').click()")).await;
        assert_eq!(browser.js(&format!("return {card} === undefined")).await, true, "the card is still there");
    })
    .await;
}

/// Given a recording of resting sticks, when it is dropped, then its thresholds stand in a table, and the figures of
/// programmers behind a click.
#[tokio::test]
async fn resting_sticks_get_a_table_of_thresholds() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("look").await;
        let rest = include_bytes!("../../../lesson/recordings/rest.csv");
        drop_files(&browser, &[("rest.csv", rest)]).await;
        browser.until("it is studied", "return !!document.querySelector('.card table')").await;
        let shown = browser.js("return document.querySelector('.card').innerText").await;
        let shown = shown.as_str().unwrap();
        for words in [
            "Recording of resting sticks.",
            "aileron",
            "1.54\u{a0}points",
            "at once (1)",
            "20 ms later (2)",
            "Keep the policy tuned.toml",
        ] {
            assert!(shown.contains(words), "{words} is missing: {shown}");
        }
        for word in ["--", "deviation", "correlation", "frame"] {
            assert!(!shown.contains(word), "{word} is shown: {shown}");
        }
    })
    .await;
}

/// Given a million rows, when they are looked at, then the page goes on drawing, and a look can be cancelled.
#[tokio::test]
async fn a_million_rows_do_not_freeze_the_page() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("look").await;
        browser.js("
            const header = 'time_us,lesson_switch,instructor_now,i:roll,i:throttle,s:roll,s:throttle\\n';
            const rows = Array.from({ length: 1e6 }, (_, row) => `${row * 20000},${row > 100 ? 1 : 0},0,${row % 1000 > 950 ? 30 : 0},-20,${row % 41},-20\\n`);
            const transfer = new DataTransfer();
            transfer.items.add(new File([header, ...rows], 'million.csv'));
            globalThis.gaps = []; let before = performance.now();
            const tick = (now) => { gaps.push(now - before); before = now; requestAnimationFrame(tick); };
            requestAnimationFrame((now) => { before = now; tick(now); });
            document.getElementById('drop').dispatchEvent(new DragEvent('drop', { dataTransfer: transfer, bubbles: true, cancelable: true }));").await;
        browser.until("progress is shown", "return /[1-9][0-9]* % read/.test(document.querySelector('.card [role=status]').textContent)").await;
        browser.click_words("Cancel").await;
        browser.until("it is cancelled", "return document.querySelector('.card [role=status]').textContent === 'Cancelled.'").await;
        let longest = browser.js("return Math.max(...gaps)").await.as_f64().unwrap();
        println!("a million rows: the longest time between two pictures was {longest:.0} ms");
        assert!(longest < 1000.0, "the page froze for {longest} ms");
    })
    .await;
}
