//! The page as a whole: for everyone, at every size, and fast enough. Times are printed; a loaded machine is slow.

use std::sync::Arc;

use page_tests::{Browser, SIZES, WIDE, drop_files, path_of, trace, with};
use serde_json::json;

const PARTS: [&str; 4] = ["fly", "reaction", "look", "debrief"];

/// Given each part at each size, in light and in dark, when axe-core looks at it, then it finds nothing.
#[tokio::test]
async fn axe_finds_nothing_to_complain_of() {
    let axe = std::fs::read_to_string(path_of("HANDBACK_AXE")).unwrap();
    for size in SIZES {
        let axe = axe.clone();
        with(size, "", |browser: Arc<Browser>| async move {
            for scheme in ["light", "dark"] {
                let media = json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
                browser.cdp("Emulation.setEmulatedMedia", media).await;
                for part in PARTS {
                    browser.open(part).await;
                    browser.js("scrollTo(0, 0)").await;
                    browser.js(&axe).await;
                    let found = browser.js_later("axe.run().then(({ violations }) => arguments[0](violations.map(({ id, nodes }) => [id, nodes.map(({ html, failureSummary }) => [html, failureSummary])])))").await;
                    assert_eq!(found, json!([]), "{part}, {scheme}, {size:?}");
                    browser.shot(&format!("{part}-{scheme}")).await;
                }
            }
        })
        .await;
    }
}

/// Given each part at each size, when it is shown, then nothing is wider than the screen.
#[tokio::test]
async fn nothing_is_wider_than_the_screen() {
    for size in SIZES {
        with(size, "", |browser: Arc<Browser>| async move {
            for part in PARTS {
                browser.open(part).await;
                let wide = browser.js("return document.documentElement.scrollWidth").await;
                assert!(wide.as_u64().unwrap() <= u64::from(browser.size.0), "{part}: {wide} at {:?}", browser.size);
            }
        })
        .await;
    }
}

/// Given the longest words about every stick, when they are shown, then no button moves under the pointer.
#[tokio::test]
async fn buttons_stay_where_they_are() {
    for size in SIZES {
        with(size, "", |browser: Arc<Browser>| async move {
            browser.open("fly").await;
            let script = "
                const top = () => document.getElementById('now').getBoundingClientRect().top;
                const before = top();
                for (const side of ['student', 'instructor']) {
                    document.getElementById(`values-${side}`).textContent = 'elevator +100 held waits for pickup, '.repeat(4);
                }
                return top() - before";
            let moved = browser.js(script).await;
            assert_eq!(moved.as_f64(), Some(0.0), "moved by {moved} at {:?}", browser.size);
        })
        .await;
    }
}

/// Given the keyboard alone, when Tab is pressed, then every control of the lesson is reached.
#[tokio::test]
async fn every_control_is_reached_by_tab() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        let mut reached = Vec::new();
        for _ in 0..60 {
            browser.key("\u{E004}", 5).await;
            reached.push(browser.js("return document.activeElement.id").await.as_str().unwrap_or_default().to_owned());
        }
        for control in
            ["field", "start", "switch", "now", "pause", "mute", "craft", "student", "save", "cut", "noise", "plain"]
        {
            assert!(reached.iter().any(|id| id == control), "{control} is not among {reached:?}");
        }
    })
    .await;
}

/// Prints how fast the page is: first picture, a frame with 16 axes, a ten-minute recording.
#[tokio::test]
async fn figures() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        let bytes = std::fs::metadata(path_of("HANDBACK_PAGE")).unwrap().len();
        let painted = browser.js("return performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? null").await;
        let ready = browser.js("return performance.getEntriesByName('ready')[0].startTime").await;
        println!("page: {bytes} bytes; first picture after {painted} ms, flies after {ready} ms");
        browser.choose("craft", "many").await;
        browser.click("start").await;
        browser.click("switch").await;
        tokio::time::sleep(std::time::Duration::from_secs(4)).await;
        let times = browser.js("
            const of = (times, share) => quantile([...times].sort((one, two) => one - two), share).toFixed(2);
            const { step, draw, pictures } = app.fly.flight.times;
            const whole = step.map((time, at) => time + draw[at]);
            return `16 axes: step and drawing ${of(whole, 0.5)} ms median, ${of(whole, 0.95)} ms p95 (steps ${of(step, 0.95)}, drawing ${of(draw, 0.95)}); pictures ${of(pictures, 0.5)} ms median, ${of(pictures, 0.95)} ms p95, ${pictures.length} of them`").await;
        println!("{}", times.as_str().unwrap());
        assert_eq!(browser.js("return app.fly.flight.state.sticks.output.length").await, 16);
        browser.open("look").await;
        browser.js("globalThis.began = performance.now()").await;
        drop_files(&browser, &[("ten.csv", trace(30_000).as_bytes())]).await;
        browser.until("it is looked at", "return [...document.querySelectorAll('.card button')].some((button) => button.textContent === 'Open in Debrief')").await;
        let looked = browser.js("return performance.now() - began").await;
        browser.js("globalThis.began = performance.now()").await;
        browser.click_words("Open in Debrief").await;
        browser.until("it is drawn", "return /Shown/.test(document.querySelector('#lessons [role=status]')?.textContent)").await;
        let drawn = browser.js("return performance.now() - began").await;
        println!("ten minutes: looked at in {looked} ms, read again and drawn in {drawn} ms");
    })
    .await;
}
