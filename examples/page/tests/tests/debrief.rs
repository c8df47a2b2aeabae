//! Lessons to look back at: flown here, opened here, inside the page, and on paper.

use std::sync::Arc;

use page_tests::{Browser, SIZES, WIDE, drop_files, lesson, path_of, trace, with};
use serde_json::json;
use tempfile::TempDir;

/// Settings of the two axes of a trace.
const SLOW: &str = "dwell_ms = 1000\n[[axis]]\nname = \"roll\"\nkind = \"sprung\"\n\n[[axis]]\nname = \"throttle\"\nkind = \"unsprung\"\nfailsafe_points = -100\n";

async fn is_drawn(browser: &Browser, lessons: usize) {
    let drawn = format!(
        "return [...document.querySelectorAll('#lessons [role=status]')].filter((words) => /Shown/.test(words.textContent)).length === {lessons}"
    );
    browser.until(&format!("{lessons} lessons are drawn"), &drawn).await;
}

/// Given no lesson, when Debrief is opened, then it says what to do; given a flown one, then one click opens it.
#[tokio::test]
async fn a_flown_lesson_is_one_click_away() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("debrief").await;
        browser.until_shown("flown-words", "No lesson yet. Fly one").await;
        assert_eq!(browser.js("return element('open-flown').disabled").await, json!(true));
        browser.click("go-fly").await;
        browser.click("start").await;
        assert!(browser.forward(200, "state.flies === 'student'").await);
        browser.click("now").await;
        browser.until("it is taken", "return app.fly.flight.state.flies === 'instructor'").await;
        browser.click("review").await;
        is_drawn(&browser, 1).await;
        let rows = browser.js("return document.querySelector('#lessons tbody').innerText").await;
        assert!(rows.as_str().unwrap().contains("instructor-now button"), "{rows}");
        let said = browser.js("return element('lessons').innerText").await;
        let said = said.as_str().unwrap();
        assert!(said.contains("Under the default settings.") && said.contains("1 takeover."), "{said}");
    })
    .await;
}

/// What the first timeline writes as it is drawn.
const DRAWN: &str = "
            const { fillText } = CanvasRenderingContext2D.prototype, said = [];
            CanvasRenderingContext2D.prototype.fillText = function (words, ...at) { said.push(words); fillText.call(this, words, ...at); };
            app.debrief.opened[0].timeline.draw();
            CanvasRenderingContext2D.prototype.fillText = fillText;";

/// Given two recordings, when they are dropped on Debrief, then both stand beside each other with their figures; when it is
/// printed, then paper has tables and timelines, and nothing to press.
#[tokio::test]
async fn lessons_stand_beside_each_other_and_print() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("debrief").await;
        let [first, second] = [trace(3100), trace(6100)];
        drop_files(&browser, &[("monday.csv", first.as_bytes()), ("tuesday.csv", second.as_bytes())]).await;
        is_drawn(&browser, 2).await;
        let table = browser.js("return document.querySelector('#compare tbody').innerText").await;
        let table = table.as_str().unwrap();
        assert!(table.contains("monday.csv") && table.contains("tuesday.csv") && table.lines().count() >= 2, "{table}");
        let heads = browser.js("return [...document.querySelectorAll('#lessons h3 .number')].map((it) => it.textContent)").await;
        assert_eq!(heads, json!(["A", "B"]));
        let ends = browser
            .js(&format!("{DRAWN}
            const ends = said.filter((words) => /^[+\u{2212}]\\d+$/.test(words)).map((words) => words.slice(1));
            const pairs = ends.every((end, at) => end === ends[at - at % 2]);
            return [pairs, ends.length, said.filter((words) => words === '0').length]"))
            .await;
        assert_eq!(ends, json!([true, 4, 2]), "the rows of two axes do not say what their ends are");
        // What is drawn of the lesson ends where the numbers begin.
        let margin = browser
            .js("
            const { fillText, lineTo } = CanvasRenderingContext2D.prototype, { timeline } = app.debrief.opened[0], begins = [], drawn = [];
            CanvasRenderingContext2D.prototype.fillText = function (words, x, y) { if (/^([+\u{2212}]\\d+|0)$/.test(words)) begins.push(x - this.measureText(words).width); };
            CanvasRenderingContext2D.prototype.lineTo = function (x, y) { drawn.push(x); lineTo.call(this, x, y); };
            timeline.draw();
            Object.assign(CanvasRenderingContext2D.prototype, { fillText, lineTo });
            timeline.draw();
            return [begins.length, drawn.length > 100, Math.min(...begins) > Math.max(...drawn)]")
            .await;
        assert_eq!(margin, json!([6, true, true]), "numbers and lines meet");

        // What lasts less than five minutes tells nothing.
        browser.until_shown("progress", "only lessons of 5 minutes or more can tell").await;
        drop_files(&browser, &[("may.csv", trace(15_100).as_bytes()), ("june.csv", trace(30_100).as_bytes())]).await;
        is_drawn(&browser, 4).await;
        browser.until_shown("progress", "From C to D: the student flew").await;
        let table = browser.text("compare").await;
        assert_eq!(table.matches("lesson under 5 minutes").count(), 2, "{table}");
        for close in ["may.csv", "june.csv"] {
            browser.js(&format!("document.querySelector('[aria-label=\"Close {close}\"]').click()")).await;
        }
        is_drawn(&browser, 2).await;

        // A file that cannot be read: it can be closed, and no paper shows it.
        drop_files(&browser, &[("broken.csv", b"x")]).await;
        browser.until("it is refused", "return !!document.querySelector('#refused [role=alert]')").await;
        let above = "return element('refused').getBoundingClientRect().bottom <= element('compare').getBoundingClientRect().top";
        assert_eq!(browser.js(above).await, json!(true), "what is refused stands below the lessons");
        // What is zoomed stays zoomed on the screen; paper has the whole lesson.
        browser.click_words("1: 00:19.0").await;
        browser.until("it is close", "return /Shown: 00:16.0/.test(document.querySelector('#lessons [role=status]').textContent)").await;
        browser.js("dispatchEvent(new Event('beforeprint'))").await;
        browser.until("paper shows all", "return /Shown: 00:00.0/.test(document.querySelector('#lessons [role=status]').textContent)").await;
        browser.js("dispatchEvent(new Event('afterprint'))").await;
        browser.until("the screen is as before", "return /Shown: 00:16.0/.test(document.querySelector('#lessons [role=status]').textContent)").await;

        let printed = browser
            .cdp("Page.printToPDF", json!({ "paperWidth": 8.27, "paperHeight": 11.69, "printBackground": false }))
            .await;
        let pages = browser
            .js_with(
                "return (atob(arguments[0]).match(/\\/Type\\s*\\/Page\\b/g) ?? []).length",
                printed["data"].clone(),
            )
            .await;
        let pages = pages.as_u64().unwrap();
        println!("two lessons, 1 and 2 minutes: {pages} pages of A4");
        assert!((1..=3).contains(&pages), "{pages} pages");
        browser.cdp("Emulation.setEmulatedMedia", json!({ "media": "print" })).await;
        let paper = browser.js("return document.body.innerText").await;
        let paper = paper.as_str().unwrap();
        for words in ["monday.csv", "tuesday.csv", "Takeovers", "Lessons beside each other", "roll stick", "1: 00:19.0", "is no promise", "Under the default settings", "File saved", "Printed "] {
            assert!(paper.contains(words), "{words} is not on paper: {paper}");
        }
        for words in ["Print\n", "Fly a lesson", "Your reaction", "Closer", "broken.csv", "For programmers"] {
            assert!(!paper.contains(words), "{words} is on paper");
        }
        let shown = browser
            .js("return [...document.querySelectorAll('button, input')].filter((it) => it.offsetHeight > 0 && !it.closest('th')).length")
            .await;
        assert_eq!(shown, json!(0), "something to press is on paper");
        browser.cdp("Emulation.setEmulatedMedia", json!({ "media": "" })).await;
        browser.js("document.querySelector('[aria-label=\"Close broken.csv\"]').click()").await;
        assert_eq!(browser.js("return document.querySelectorAll('#part-debrief .card').length").await, json!(2));

        // What is open is not opened again, unless under other settings.
        drop_files(&browser, &[("again.csv", second.as_bytes())]).await;
        browser.until_shown("debrief-kept", "again.csv is open already, as B: tuesday.csv.").await;
        assert_eq!(browser.js("return document.querySelectorAll('#part-debrief .card').length").await, json!(2));
        drop_files(&browser, &[("again.csv", second.as_bytes()), ("slow.toml", SLOW.as_bytes())]).await;
        is_drawn(&browser, 3).await;
        assert_eq!(browser.text("debrief-kept").await, "");
        assert!(browser.text("compare").await.contains("Lessons beside each other"));
        browser.js("document.querySelector('[aria-label=\"Close monday.csv\"]').click()").await;
        let slower = SLOW.replace("1000", "2000");
        drop_files(&browser, &[("again.csv", second.as_bytes()), ("slow.toml", slower.as_bytes())]).await;
        is_drawn(&browser, 3).await;
        let said = browser.js("return [document.querySelector('#compare caption').textContent, !!document.getElementById('progress'), [...document.querySelectorAll('#compare th small')].map((it) => it.textContent)]").await;
        let names = ["default settings", "slow.toml: \u{201c}Wait before the student flies\u{201d} 1000 ms", "slow.toml: \u{201c}Wait before the student flies\u{201d} 2000 ms"];
        assert_eq!(said, json!(["One recording under different settings", false, names]));

        // A policy that is refused: nothing is said of the recording beside it but that.
        let bad = SLOW.replace("1000", "\"200\"");
        drop_files(&browser, &[("mine.csv", second.as_bytes()), ("bad.toml", bad.as_bytes())]).await;
        browser.until("it is refused", "return !!document.querySelector('#refused [role=alert]')").await;
        let said = browser.text("refused").await;
        assert!(said.contains("\"200\" is no number") && !said.contains('\\'), "{said}");
        assert!(said.contains("mine.csv was not looked at: mend the policy, or open mine.csv without it."), "{said}");
    })
    .await;
}

/// Given a lesson in which the instructor's signal was lost once, when it is checked and looked back at, then the loss has a
/// row without a number, takeovers alone are counted, and both parts of the page give the same figures.
#[tokio::test]
async fn a_lost_signal_is_no_takeover_and_the_check_agrees() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        let silent = trace(2000)
            .lines()
            .enumerate()
            .map(|(at, line)| match at {
                501..=600 => line.replace(",0,0,-20,", ",0,,,"),
                // What such a loss latches, the lesson switch ends.
                620..640 => line.replace(",1,0,0,", ",0,0,0,"),
                _ => line.to_owned(),
            })
            .collect::<Vec<_>>()
            .join("\n");
        browser.open("look").await;
        drop_files(&browser, &[("silent.csv", silent.as_bytes())]).await;
        browser.until("it is checked", "return /The student flew/.test(element('cards').innerText)").await;
        let checked = browser.text("cards").await;
        let lost = "The student lost the craft 1 time without a takeover: 1 by instructor's signal lost.";
        assert!(checked.contains("2 takeovers: 2 by stick.") && checked.contains(lost), "{checked}");
        assert!(checked.contains("Lost by the student without a takeover: 1"), "{checked}");
        browser.click_words("Open in Debrief").await;
        is_drawn(&browser, 1).await;
        let told = browser.text("lessons").await;
        let figures = browser
            .js("
            const of = (id, words) => element(id).textContent.match(words);
            const [, , length, share] = of('cards', /The student flew (\\S+) of (\\S+) \\((\\d+) %\\)/);
            const [, percent, lasted] = of('lessons', /The student flew (\\d+) % of (\\S+?)\\. /);
            return [percent === share, lasted === length]")
            .await;
        assert_eq!(figures, json!([true, true]), "{checked}\n{told}");
        assert!(told.contains("2 takeovers."), "{told}");
        let rows =
            browser.js("return [...document.querySelectorAll('#lessons tbody th')].map((it) => it.textContent)").await;
        let rows = rows.as_array().unwrap();
        assert_eq!(rows.len(), 3, "{rows:?}");
        assert!(rows[0].as_str().unwrap().starts_with("00:10."), "{rows:?}");
        assert_eq!(rows[1..], [json!("1: 00:19.0"), json!("2: 00:39.0")]);
        browser.shot("debrief-lost").await;
    })
    .await;
}

/// Given a lesson that ends before the student has the craft again, when it is looked back at on a phone, then no row says
/// that control went back, and no column runs off the edge.
#[tokio::test]
async fn a_takeover_without_an_end_says_so_on_a_phone() {
    with(SIZES[0], "", |browser: Arc<Browser>| async move {
        browser.open("debrief").await;
        drop_files(&browser, &[("short.csv", trace(970).as_bytes())]).await;
        is_drawn(&browser, 1).await;
        let row = browser.js("return document.querySelector('#lessons tbody').innerText").await;
        let row = row.as_str().unwrap();
        assert!(row.contains("s, then the recording ends: not handed back") && row.contains("the roll stick to come to rest"), "{row}");
        assert!(!row.contains("goes back"), "{row}");
        let wide = browser.js("return [...document.querySelectorAll('#lessons td, #lessons .scroll')].filter((it) => it.getBoundingClientRect().right > innerWidth || it.scrollWidth > it.clientWidth + 1).length").await;
        assert_eq!(wide, json!(0), "cells run off the edge");
        browser.shot("debrief-short").await;
    })
    .await;
}

/// Given a lesson in which a setting was changed, in flight and in a pause, when it is looked back at, then each part stands
/// under its own policy, in order; and each can be saved, with the words of the saved file.
#[tokio::test]
async fn a_changed_setting_loses_no_part_of_the_lesson() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.click("start").await;
        browser.until("two seconds are flown", "return app.fly.flight.state.time_s > 2").await;
        assert_eq!(browser.js("return element('part-choice').hidden").await, json!(true));
        browser.write("set-craft-dwell_ms", "500").await;
        browser.until("a second more is flown", "return app.fly.flight.state.time_s > 3").await;
        browser.click("pause").await;
        browser.write("set-craft-dwell_ms", "600").await;
        browser.write("set-craft-dwell_ms", "700").await;
        let choices = "return [...element('part').options].map((it) => it.text.replace(/[0-9.:]+$/, ''))";
        assert_eq!(browser.js(choices).await, json!(["part 1, from ", "part 2, from "]));
        let stems = "const { saving } = app.fly; return new Set(saving.parts().map((part, at) => saving.stem({ ...part, began: new Date(0) }, at))).size";
        assert_eq!(browser.js(stems).await, json!(2), "parts that begin in the same second share their file's name");

        let folder = browser.downloads.clone();
        browser.cdp("Browser.setDownloadBehavior", json!({ "behavior": "allow", "downloadPath": folder })).await;
        browser.js("element('part').value = '0'").await;
        browser.click("save").await;
        browser.until_shown("saved", "Saved the recording as ").await;
        let told = browser.js("return element('check').textContent").await;
        let saved = browser.js("return app.fly.saving.ended[0].saved").await;
        assert!(told.as_str().unwrap().contains(&format!("all {} steps", saved["steps"])), "{told}");
        assert!(saved["policy"].as_str().unwrap().contains("dwell_ms = 300"), "{saved}");
        browser.click("pause").await;
        browser.until("more is flown", "return app.fly.flight.state.time_s > 4").await;
        browser.click("save-policy").await;
        assert_eq!(browser.js("return element('check').textContent").await, told, "these are the words of the saved recording");

        browser.click("review").await;
        is_drawn(&browser, 3).await;
        let parts = browser.js("return [...document.querySelectorAll('#lessons h3')].map((it) => it.firstChild.nextSibling.textContent)").await;
        assert_eq!(parts, json!(["trainer aeroplane, lesson 1, part 1", "trainer aeroplane, lesson 1, part 2", "trainer aeroplane, lesson 1, part 3"]));
        let beside = browser.text("compare").await;
        assert!(beside.contains("One lesson: each changed setting began a new part"), "{beside}");
        for words in ["default settings", "student flies\u{201d} 500 ms", "student flies\u{201d} 700 ms", "student's longest time flying"] {
            assert!(beside.contains(words), "{words} is missing: {beside}");
        }
        let ends = browser
            .js(&format!("{DRAWN}
            return said.filter((words) => /^[a-z ]+ [0-9]+$|^[+\u{2212}]/.test(words)).map((words) => words.replace(/ [0-9]+$/, ''))"))
            .await;
        let ways = ["right", "left", "nose up", "nose down", "more", "less", "right", "left"];
        assert_eq!(ends, json!(ways), "the rows do not say which way is which");
        let said = browser.js("return document.querySelector('#lessons').innerText").await;
        let said = said.as_str().unwrap();
        assert!(said.contains("the student waited for") && said.contains("the lesson switch to be on"), "{said}");
        let gaps = browser.js("return app.debrief.opened.slice(1).map(({ lesson }, at) => lesson.from_s - app.debrief.opened[at].lesson.to_s)").await;
        assert!(gaps.as_array().unwrap().iter().all(|gap| (gap.as_f64().unwrap() - 0.02).abs() < 1e-6), "frames are missing: {gaps}");
        browser.js("element('again').click()").await;
        assert_eq!(browser.js("return element('part-choice').hidden").await, json!(true));
    })
    .await;
}

/// Given a page that `replay --page` wrote, when it is opened, then it shows the lesson inside.
#[tokio::test]
async fn a_lesson_inside_the_page_is_shown_at_once() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        let desk = TempDir::new().unwrap();
        std::fs::write(desk.path().join("mine.csv"), trace(3000)).unwrap();
        std::fs::write(desk.path().join("mine.toml"), SLOW).unwrap();
        let page = path_of("HANDBACK_PAGE");
        let words = ["replay", "mine.csv", "--policy", "mine.toml", "--page", "debrief.html", "--page-from", page.to_str().unwrap()];
        let run = lesson(desk.path(), &words);
        assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
        browser.open_file(&desk.path().join("debrief.html"), "").await;
        is_drawn(&browser, 1).await;
        let shown = browser.js("return [document.body.dataset.view, document.querySelector('#lessons h3').textContent, document.querySelector('#lessons tbody').innerText]").await;
        assert!(shown[0] == "debrief" && shown[1].as_str().unwrap().starts_with("mine.csv"), "{shown}");
        assert!(shown[2].as_str().unwrap().contains("1.0 s: the sticks to stay at rest"), "the policy inside counts: {shown}");
        let under = browser.js("return document.querySelector('#lessons .quiet').textContent").await;
        let under = under.as_str().unwrap();
        assert!(under.starts_with("Under the settings of the policy file mine.toml. This recording has nothing to check against"), "{under}");
    })
    .await;
}

/// Given two recordings and the policy of each by its name, when all are dropped at once, then each is looked at under its own.
#[tokio::test]
async fn each_recording_has_the_policy_of_its_name() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        let [first, second] = [trace(3100), trace(6100)];
        let slower = SLOW.replace("1000", "2000");
        let files = [("b.csv", &second), ("a.csv", &first), ("a.toml", &SLOW.to_owned()), ("b.toml", &slower)];
        let files = files.map(|(name, text)| (name, text.as_bytes()));
        browser.open("debrief").await;
        drop_files(&browser, &files).await;
        is_drawn(&browser, 2).await;
        let names =
            browser.js("return [...document.querySelectorAll('#compare th small')].map((it) => it.textContent)").await;
        let of_lessons = browser.js("return app.debrief.opened.map(({ policy }) => /dwell_ms = (\\d+)/.exec(policy)[1])").await;
        assert_eq!((of_lessons.as_array().map(Vec::len), names.as_array().map(Vec::len)), (Some(2), Some(2)));
        for (name, dwell) in names.as_array().unwrap().iter().zip(of_lessons.as_array().unwrap()) {
            assert_eq!(dwell == "2000", name.as_str().unwrap().starts_with("b.toml:"), "{names} {of_lessons}");
        }
        browser.open("look").await;
        drop_files(&browser, &files).await;
        let both = "
            const of = (name) => [...document.querySelectorAll('.card')].find((it) => it.getAttribute('aria-label') === `${name}.csv`)?.innerText ?? '';
            return ['a', 'b'].every((name) => of(name).includes('The student flew') && of(name).includes(`${name}.toml`))";
        browser.until("each is checked under its own policy", both).await;
    })
    .await;
}

/// What a lesson that is shown as it never happened says, alone and beside others.
const NOT_HAPPENED: &str =
    "on, this is not what happened in the lesson: give the policy of that lesson together with this recording.";
const BESIDE: &str = "on not what happened";

/// Given a recording with one changed cell, or under another policy than it was flown under, when it is looked back at, then the
/// debrief says so in the words of "Check a file", above the figures, beside others, on paper, and in a page that `replay
/// --page` wrote; given what was saved, then it says that it happened so.
#[tokio::test]
async fn what_did_not_happen_is_never_shown_without_a_word() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.click("start").await;
        assert!(browser.forward(400, "state.flies === 'student' && state.time_s > 4").await);
        browser.forward(100, "state.time_s > 5").await;
        let saved = browser.js("const { saved } = app.fly.saving.now(); return [saved.trace, saved.policy]").await;
        let (good, policy) = (saved[0].as_str().unwrap(), saved[1].as_str().unwrap());
        let mut rows: Vec<String> = good.lines().map(str::to_owned).collect();
        let mut cells: Vec<&str> = rows[200].split(',').collect();
        cells[3] = "30";
        rows[200] = cells.join(",");
        let (changed, other) = (rows.join("\n"), policy.replace("dwell_ms = 300", "dwell_ms = 900"));
        assert_ne!(other, policy);
        let alerts = |card: &str| format!("return [...document.querySelectorAll({card:?} + ' [role=alert]')].map((it) => it.textContent)");

        browser.click("to-look").await;
        drop_files(&browser, &[("changed.csv", changed.as_bytes())]).await;
        browser.until("it is checked", "return /this is not what happened/.test(document.querySelector('#cards [role=alert]')?.textContent)").await;
        let checked = browser.js("return element('cards').innerText").await;
        let first = "const [doubt, figures] = ['[role=alert]', '[role=status]'].map((it) => document.querySelector('#cards ' + it)); return doubt.getBoundingClientRect().bottom <= figures.getBoundingClientRect().top && /^The student flew/.test(figures.textContent)";
        assert_eq!(browser.js(first).await, json!(true), "figures come before the doubt: {checked}");
        browser.click_words("Open in Debrief").await;
        is_drawn(&browser, 1).await;
        let said = browser.js(&alerts("#lessons")).await;
        let words = said[0].as_str().unwrap();
        assert!(words.starts_with("From 00:04.0 on") && words.contains(NOT_HAPPENED), "{said}");
        assert!(checked.as_str().unwrap().contains(words), "the two parts differ: {said} {checked}");
        browser.until("the lesson has the focus", "return document.activeElement.textContent.startsWith('changed.csv')").await;
        let above = "const [words, figures] = ['[role=alert]', '.quiet + p'].map((it) => document.querySelector('#lessons ' + it).getBoundingClientRect()); return words.bottom <= figures.top";
        assert_eq!(browser.js(above).await, json!(true));

        drop_files(&browser, &[("good.csv", good.as_bytes()), ("its.toml", policy.as_bytes())]).await;
        is_drawn(&browser, 2).await;
        drop_files(&browser, &[("good.csv", good.as_bytes()), ("other.toml", other.as_bytes())]).await;
        is_drawn(&browser, 3).await;
        let said = browser.js("return [...document.querySelectorAll('#lessons .card')].map((it) => it.innerText)").await;
        for (at, happened) in [false, true, false].into_iter().enumerate() {
            let card = said[at].as_str().unwrap();
            assert_eq!(card.contains(NOT_HAPPENED), !happened, "{card}");
            assert_eq!(card.contains("Checked from beginning to end: this is what happened in the lesson"), happened, "{card}");
        }
        let beside = "return [...document.querySelectorAll('#compare tbody th')].map((it) => it.innerText)";
        let beside = browser.js(beside).await;
        let marked = beside.as_array().unwrap().iter().map(|words| words.as_str().unwrap().contains(BESIDE)).collect::<Vec<_>>();
        assert_eq!(marked, [true, false, true], "{beside}");
        browser.shot("debrief-not-happened").await;

        browser.cdp("Emulation.setEmulatedMedia", json!({ "media": "print" })).await;
        let paper = browser.js("return document.body.innerText").await;
        let count = |words: &str| paper.as_str().unwrap().matches(words).count();
        assert_eq!((count(NOT_HAPPENED), count(BESIDE)), (2, 2), "{paper}");
        browser.cdp("Emulation.setEmulatedMedia", json!({ "media": "" })).await;

        let desk = TempDir::new().unwrap();
        std::fs::write(desk.path().join("changed.csv"), &changed).unwrap();
        let page = path_of("HANDBACK_PAGE");
        let words = ["replay", "changed.csv", "--page", "debrief.html", "--page-from", page.to_str().unwrap()];
        let run = lesson(desk.path(), &words);
        assert_eq!(run.status.code(), Some(1), "{}", String::from_utf8_lossy(&run.stderr));
        browser.open_file(&desk.path().join("debrief.html"), "").await;
        is_drawn(&browser, 1).await;
        let said = browser.js(&alerts("#lessons")).await;
        assert!(said[0].as_str().unwrap().contains(NOT_HAPPENED), "{said}");
    })
    .await;
}

/// Given hands that fly by keys, when the craft crashes, then the focus is on the button that begins again, and keys that are
/// held since then do not press it; and the debrief of the lesson has the focus on its heading.
#[tokio::test]
async fn the_focus_is_never_lost() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.click("start").await;
        let hold = |kind: &str, key: &str| json!([{ "type": "key", "id": "keys", "actions": [{ "type": kind, "value": key }] }]);
        let (up, space, enter) = ("\u{e013}", " ", "\u{e007}");
        browser.act(hold("keyDown", up)).await;
        browser.act(hold("keyDown", space)).await;
        browser.forward(1000, "state.craft.crashed").await;
        let has = |id: &str| format!("return document.activeElement.id === {id:?} && app.fly.stand === 'crashed'");
        browser.until("the button has the focus", &has("review-crash")).await;
        for key in [space, up] {
            browser.act(hold("keyUp", key)).await;
        }
        browser.key(enter, 20).await;
        let repeated = json!({ "type": "rawKeyDown", "key": " ", "code": "Space", "windowsVirtualKeyCode": 32, "autoRepeat": true });
        tokio::time::sleep(std::time::Duration::from_millis(1100)).await;
        browser.cdp("Input.dispatchKeyEvent", repeated).await;
        browser.act(hold("keyUp", space)).await;
        assert_eq!(browser.js(&has("review-crash")).await, json!(true), "a held key pressed a button");
        browser.key(enter, 20).await;
        is_drawn(&browser, 1).await;
        browser.until("the heading has the focus", "return document.activeElement.matches('#lessons h3')").await;
        browser.js("location.hash = '#fly'").await;
        browser.until("the lesson is shown", "return document.body.dataset.view === 'fly'").await;
        browser.js("element('start').focus()").await;
        browser.key(enter, 20).await;
        browser.until("another lesson is flown", "return app.fly.stand === 'flies'").await;
    })
    .await;
}

/// Given each part of the page, when it is printed, then paper has that part and no other, and Fly says where to print from.
#[tokio::test]
async fn paper_has_the_part_that_is_shown() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("look").await;
        drop_files(&browser, &[("mine.csv", trace(3000).as_bytes())]).await;
        browser.until("it is checked", "return !!document.querySelector('.card .picture img')").await;
        let paper = |view: &str| format!("location.hash = '{view}'; return new Promise((done) => setTimeout(() => done(document.body.innerText), 300))");
        browser.cdp("Emulation.setEmulatedMedia", json!({ "media": "print" })).await;
        for (view, has, others) in [
            ("look", "Recording of a lesson.", ["Debrief", "Your reaction", "is printed from"]),
            ("reaction", "Ten times.", ["Debrief", "Check a file", "is printed from"]),
            ("debrief", "Debrief", ["Check a file", "Your reaction", "is printed from"]),
            ("fly", "A lesson is printed from Debrief", ["Check a file", "Your reaction", "Begin again"]),
        ] {
            let said = browser.js(&paper(view)).await;
            let said = said.as_str().unwrap();
            assert!(said.contains(has) && said.contains("is no promise"), "{view}: {said}");
            assert!(others.iter().all(|other| !said.contains(other)), "{view}: {said}");
        }
        let size = "const { width, height } = document.querySelector('.picture img').getBoundingClientRect(); return width > 100 && height > 100";
        browser.js(&paper("look")).await;
        assert_eq!(browser.js(size).await, json!(true), "the picture is not on paper");
    })
    .await;
}

/// Given a craft with 16 axes, when its lesson is looked back at, then those that nobody moved take one line.
#[tokio::test]
async fn axes_that_never_moved_are_named_and_not_drawn() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.choose("craft", "many").await;
        assert!(browser.text("further-title").await.contains("do not move them"));
        browser.click("start").await;
        assert!(browser.forward(300, "state.flies === 'student'").await);
        browser.click("review").await;
        is_drawn(&browser, 1).await;
        let said = browser.js("return element('lessons').innerText").await;
        assert!(said.as_str().unwrap().contains("Never moved: aux 1 to 12."), "{said}");
        let drawn =
            "const { timeline } = app.debrief.opened[0]; return [timeline.names, timeline.drawn.curves.axes.length]";
        assert_eq!(browser.js(drawn).await, json!([["aileron", "elevator", "throttle", "rudder"], 4]));
    })
    .await;
}
