//! The drill: mistakes that are answered by a key, one by one.

use std::sync::Arc;

use page_tests::{Browser, WIDE, with};
use serde_json::json;

const LEFT: &str = "\u{E012}";

/// Lets the lesson go on until the student has the craft, and on until the mistake. Whether it began from steady flight.
async fn until_mistake(browser: &Browser) {
    browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
    browser.js("globalThis.before = null").await;
    let script = "state.mistake || (before = { ...state.craft }) && false";
    assert!(browser.forward(1500, script).await, "no mistake");
    let before = browser.js("return before").await;
    let bank = before["bank"].as_f64().unwrap();
    assert!(bank.abs() < 10.0, "the mistake began in a bank of {bank} degrees");
}

/// Given ten mistakes, when a key answers each, then the page shows ten times, their distribution and their cost; a stick
/// that was too early and a crash are told and not counted.
#[tokio::test]
async fn ten_answers_make_a_distribution() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("reaction").await;
        let begin = async |browser: &Browser| {
            browser.click("start").await;
            browser.click("field").await;
        };
        assert_eq!(browser.js("return element('browser-share').hidden").await, json!(true), "nothing is measured yet");
        browser.js("input('plain').click()").await;
        begin(&browser).await;
        browser.until_shown("drill", "10 to come").await;
        // It stands only until the student has the craft again.
        browser.js("window.drills = []; new MutationObserver(() => drills.push(element('drill').textContent)).observe(element('drill'), { childList: true })").await;
        browser.key(LEFT, 60).await;
        browser.until_shown("taken", "too early").await;
        browser.until("what to do is said", "return drills.some((words) => words.includes('Before the mistake: not counted. Let go, and watch'))").await;
        browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
        browser.key("s", 60).await;
        browser.until_shown("drill", "Turn the lesson switch off and on (latched), and watch").await;
        browser.shot("drill-latched").await;
        browser.click("switch").await;
        tokio::time::sleep(std::time::Duration::from_millis(200)).await;
        browser.click("switch").await;

        // Nobody answers: the mistake ends on the ground.
        until_mistake(&browser).await;
        assert!(browser.forward(3000, "state.craft.crashed").await, "the mistake ends by itself");
        browser.until_shown("stands", "hit the ground while the student flew").await;
        browser.until_shown("drill", "Begin again").await;
        browser.until_shown("taken", "the craft hit the ground while the student flew").await;
        begin(&browser).await;

        let counted =
            "return [...document.querySelectorAll('#taken li')].filter((li) => / ms you/.test(li.textContent)).length";
        let mut answered = browser.js(counted).await.as_u64().unwrap();
        for _ in 0..20 {
            if answered >= 10 {
                break;
            }
            until_mistake(&browser).await;
            let told = browser.js("return document.querySelectorAll('#taken li').length").await;
            tokio::time::sleep(std::time::Duration::from_millis(160)).await;
            browser.key(LEFT, 200).await;
            let more = format!("return document.querySelectorAll('#taken li').length > {}", told.as_u64().unwrap());
            browser.until("it is told", &more).await;
            answered = browser.js(counted).await.as_u64().unwrap();
            // The craft is put right by a person's hands at once.
            if answered < 10 {
                browser.js("app.fly.begin(); app.fly.start()").await;
                browser.forward(200, "state.flies === 'student'").await;
            }
        }
        browser.until_shown("distribution", "Half of your times were below").await;
        let told = browser.text("distribution").await;
        assert!(
            told.contains("The craft hit the ground 1 time.") && told.contains("Your stick moved too early"),
            "{told}"
        );
        assert!(
            told.contains(" ms cost")
                && told.contains("the least that the rules allow for")
                && told.contains("flown on at 13 m/s"),
            "{told}"
        );
        let numbers = "return [...document.querySelectorAll('#taken li:not(.uncounted)')].map((li) => li.value)";
        assert_eq!(browser.js(numbers).await, json!([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]));
        let dots = browser.js("return document.querySelectorAll('#distribution circle').length").await;
        assert_eq!(dots, json!(10));
        assert!(browser.text("latency").await.contains("From your stick to the takeover"));
        assert!(browser.text("taken").await.contains(" ms by the browser"));
        browser.until_shown("stands", "Ten reactions are taken").await;
        let idle =
            "return [element('pause').textContent === 'Ten more', element('beside').hidden, app.fly.flight.goes]";
        assert_eq!(browser.js(idle).await, json!([true, true, false]), "after ten there is nothing to go on with");
        browser.shot("drill-done").await;
        browser.click("start").await;
        browser.until_shown("drill", "10 to come").await;
        assert_eq!(browser.text("taken").await, "");
    })
    .await;
}

/// Given a lesson that goes on, when the reaction is opened, then the page asks before it ends the lesson.
#[tokio::test]
async fn a_lesson_is_not_ended_without_a_word() {
    with(
        WIDE,
        "globalThis.asked = []; globalThis.confirm = (words) => { asked.push(words); return asked.length > 1; }",
        |browser: Arc<Browser>| async move {
            browser.open("fly").await;
            browser.click("start").await;
            browser.click("to-reaction").await;
            browser
                .until(
                    "the lesson is kept",
                    "return location.hash === '#fly' && app.fly.stand === 'paused' && !app.fly.drill",
                )
                .await;
            assert_eq!(browser.js("return document.body.dataset.view").await, "fly");
            browser.click("to-reaction").await;
            browser.until("the drill waits", "return app.fly.drill && app.fly.stand === 'before'").await;
            assert!(browser.js("return asked[0]").await.as_str().unwrap().contains("ends the lesson"));
        },
    )
    .await;
}
