//! A lesson flown by real events: what the page shows is what the engine decided.

use std::sync::Arc;

use page_tests::{Browser, LOW, SIZES, WIDE, lesson, with};
use serde_json::{Value, json};

const UP: &str = "\u{E013}";
const LEFT: &str = "\u{E012}";
const SPACE: &str = " ";
const ENTER: &str = "\u{E006}";

/// Notes every answer of the engine to a step, beside the page.
const SPY: &str = "
    const engine = app.fly.engine, ask = engine.ask;
    globalThis.heard = { events: [], waits: [], steps: 0 };
    engine.ask = (request) => {
        const answer = ask(request);
        if (request.step) {
            heard.steps += 1;
            heard.events.push(...answer.events, ...answer.notes);
            heard.waits.push(answer.waits ? answer.waits.words : '');
            heard.last = answer;
        }
        return answer;
    };";

async fn begin(browser: &Browser) {
    browser.open("fly").await;
    begin_as_it_is(browser).await;
}

/// Starts the lesson of the page that is open.
async fn begin_as_it_is(browser: &Browser) {
    browser.js(SPY).await;
    browser.js("scrollTo(0, 0)").await;
    browser.click("start").await;
}

async fn student_flies(browser: &Browser) {
    browser.until_shown("does-student", "flies").await;
    browser
        .until("the student flies", "return document.getElementById('plate-student').dataset.flies === 'true'")
        .await;
}

async fn instructor_flies(browser: &Browser) {
    browser
        .until("the instructor flies", "return document.getElementById('plate-instructor').dataset.flies === 'true'")
        .await;
}

/// The events that the page lists, the oldest first, without their first letter: the page writes it large.
async fn listed(browser: &Browser) -> Vec<String> {
    let words = browser
        .js("return [...document.querySelectorAll('#events li:not(:has(button))')].map((li) => li.lastChild.textContent.trim().replaceAll('\u{2212}', '-'))")
        .await;
    strings(&words).into_iter().rev().collect()
}

fn strings(values: &Value) -> Vec<String> {
    values.as_array().unwrap().iter().map(|value| value.as_str().unwrap_or_default().to_owned()).collect()
}

fn without_first(words: &[String]) -> Vec<&str> {
    words.iter().map(|words| words.get(1..).unwrap_or_default()).collect()
}

async fn shows_what_the_engine_decided(browser: &Browser) {
    browser.js("if (app.fly.flight.goes) document.getElementById('pause').click()").await;
    let heard = strings(&browser.js("return heard.events.map((event) => event.words)").await);
    let shown = listed(browser).await;
    let last = heard.get(heard.len().saturating_sub(8)..).unwrap_or_default();
    assert_eq!(without_first(&shown), without_first(last));
    let flies = browser.js("return heard.last.flies").await;
    let told = browser.text("told").await.to_lowercase();
    assert!(told.contains(flies.as_str().unwrap()), "told: {told}, the engine: {flies}");
}

/// Given a lesson, when keys alone turn the switch, move a stick and ask for the craft, then the page shows each decision
/// of the engine, and the student waits for what the engine says.
#[tokio::test]
async fn keys_fly_a_lesson_as_the_engine_decides() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        student_flies(&browser).await;
        browser.key(ENTER, 20).await;
        browser.until_shown("waits", "turn the lesson switch on").await;
        browser.key(ENTER, 20).await;
        student_flies(&browser).await;
        browser.key(LEFT, 200).await;
        instructor_flies(&browser).await;
        student_flies(&browser).await;
        browser.key(SPACE, 100).await;
        instructor_flies(&browser).await;
        browser.until_shown("waits", "the instructor's button keeps the craft (latched)").await;
        let pressed = "return element('now').getAttribute('aria-pressed')";
        assert_eq!(browser.js(pressed).await, json!("true"));
        browser
            .until(
                "it is what the engine says",
                "return document.getElementById('waits').textContent === heard.waits.at(-1)",
            )
            .await;
        shows_what_the_engine_decided(&browser).await;
        let causes = strings(&browser.js("return heard.events.map((event) => event.cause)").await);
        assert!(
            causes.iter().any(|cause| cause == "stick") && causes.iter().any(|cause| cause == "instructor-now"),
            "{causes:?}"
        );
    })
    .await;
}

/// Given a student who flies, when the mouse drags the instructor's stick, then the instructor flies until it is let go.
#[tokio::test]
async fn the_mouse_takes_the_craft_and_gives_it_back() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        student_flies(&browser).await;
        let (x, y) = browser.middle("instructor-right").await;
        let mouse = |actions: Value| json!([{ "type": "pointer", "id": "mouse", "actions": actions }]);
        let at = |x: f64, y: f64| json!({ "type": "pointerMove", "duration": 100, "x": x.round(), "y": y.round() });
        browser.act(mouse(json!([at(x, y), { "type": "pointerDown", "button": 0 }, at(x - 30.0, y)]))).await;
        instructor_flies(&browser).await;
        browser.until_shown("values-instructor", "aileron takes the craft").await;
        browser.act(mouse(json!([{ "type": "pointerUp", "button": 0 }]))).await;
        student_flies(&browser).await;
        shows_what_the_engine_decided(&browser).await;
    })
    .await;
}

/// Given a small touch screen, when two thumbs move both sticks at once, then both sticks are where the thumbs are.
#[tokio::test]
async fn two_thumbs_fly_on_a_small_screen() {
    with(SIZES[0], "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        student_flies(&browser).await;
        let (left, right) = (browser.middle("instructor-left").await, browser.middle("instructor-right").await);
        let thumb = |id: &str, (x, y): (f64, f64), by: f64| {
            json!({ "type": "pointer", "id": id, "parameters": { "pointerType": "touch" }, "actions": [
                { "type": "pointerMove", "x": x.round(), "y": y.round() }, { "type": "pointerDown", "button": 0 },
                { "type": "pointerMove", "duration": 150, "x": (x + by).round(), "y": y.round() }] })
        };
        browser.act(json!([thumb("left", left, -30.0), thumb("right", right, 30.0)])).await;
        instructor_flies(&browser).await;
        let sticks = browser.js("return heard.last.sticks.instructor").await;
        assert!(sticks[0].as_f64().unwrap() > 20.0 && sticks[3].as_f64().unwrap() < -20.0, "{sticks}");
        let moved = browser.js("return scrollY").await;
        assert_eq!(moved.as_f64(), Some(0.0), "the thumbs scrolled the page");
    })
    .await;
}

/// Given a stick that a finger or a key holds, when that ends in a pause, or the window loses its focus, then the stick is let
/// go: no stick stays where nobody holds it.
#[tokio::test]
async fn a_stick_is_let_go_in_a_pause_and_without_focus() {
    with(SIZES[0], "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        student_flies(&browser).await;
        let (x, y) = browser.middle("instructor-right").await;
        let hold = json!([{ "x": x, "y": y }]);
        let push = json!([{ "x": x + 30.0, "y": y }]);
        let key = |does: &str| json!([{ "type": "key", "id": "keys", "actions": [{ "type": does, "value": LEFT }] }]);
        for finger in [true, false] {
            let grasp = async || {
                if finger {
                    touch(&browser, "touchStart", &hold).await;
                    touch(&browser, "touchMove", &push).await;
                } else {
                    browser.act(key("keyDown")).await;
                }
                instructor_flies(&browser).await;
            };
            let leave = async || {
                if finger {
                    touch(&browser, "touchEnd", &json!([])).await;
                } else {
                    browser.act(key("keyUp")).await;
                }
            };
            grasp().await;
            browser.js("element('pause').click()").await;
            browser.until_shown("paused", "Sticks wait").await;
            leave().await;
            browser.js("element('pause').click()").await;
            student_flies(&browser).await;
            assert_eq!(browser.js("return app.fly.flight.hands.instructor.points[0]").await, json!(0));

            grasp().await;
            browser.js("dispatchEvent(new Event('blur'))").await;
            student_flies(&browser).await;
            leave().await;
        }
    })
    .await;
}

/// Given a small touch screen, when two fingers pinch the words over the picture, then the page keeps its size; when the
/// faults are scrolled to, then who flies and what is waited for stay in sight.
#[tokio::test]
async fn a_small_screen_is_not_zoomed_and_shows_who_flies() {
    with(SIZES[0], "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.click("start").await;
        student_flies(&browser).await;
        browser.js("element('cut').scrollIntoView({ block: 'center' })").await;
        browser.click("cut").await;
        instructor_flies(&browser).await;
        let seen = "
            const at = (id) => element(id).getBoundingClientRect();
            const shown = (id) => document.elementFromPoint(at(id).left + at(id).width / 2, at(id).top + at(id).height / 2)?.closest(`#${id}`) && at(id).top >= 0;
            return ['plate-student', 'plate-instructor', 'waiting', 'cut'].filter((id) => !shown(id))";
        assert_eq!(browser.js(seen).await, json!([]));
        browser.shot("faults-scrolled").await;
        browser.js("app.fly.begin(); scrollTo(0, 0)").await;
        assert_eq!(scale_after_a_pinch(&browser).await, 1.0);
        browser.js("element('field').style.touchAction = 'auto'").await;
        assert!(scale_after_a_pinch(&browser).await > 1.0, "these fingers zoom where it is allowed");
    })
    .await;
}

/// Given a small touch screen, when a swipe begins on "Instructor now", then it takes the craft at once and scrolls nothing;
/// when it begins elsewhere, then it scrolls and takes nothing.
#[tokio::test]
async fn a_swipe_scrolls_or_takes_the_craft_but_not_both() {
    for size in [SIZES[0], LOW] {
        with(size, "", |browser: Arc<Browser>| async move {
            browser.open("fly").await;
            for (id, presses) in [("now", true), ("switch", false), ("pause", false), ("mute", false), ("scene", false)] {
                browser.js("app.fly.begin(); app.fly.start(); scrollTo(0, 0)").await;
                student_flies(&browser).await;
                let (x, y) = browser.middle(id).await;
                touch(&browser, "touchStart", &json!([{ "x": x, "y": y }])).await;
                if presses {
                    instructor_flies(&browser).await;
                }
                for by in (10..=150).step_by(10) {
                    touch(&browser, "touchMove", &json!([{ "x": x, "y": y - f64::from(by) }])).await;
                }
                touch(&browser, "touchEnd", &json!([])).await;
                if !presses {
                    browser.until("it scrolls", "return scrollY > 50").await;
                }
                tokio::time::sleep(std::time::Duration::from_millis(200)).await;
                let did = "return [scrollY > 0, app.fly.flight.state.flies, app.fly.flight.goes, app.fly.flight.controls.switch, element('mute').textContent]";
                let flies = if presses { "instructor" } else { "student" };
                assert_eq!(browser.js(did).await, json!([!presses, flies, true, true, "Sound: on"]), "a swipe on {id}");
            }
        })
        .await;
    }
}

/// Fingers as the browser hears them from a touch screen.
async fn touch(browser: &Browser, kind: &str, points: &Value) {
    browser.cdp("Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": points })).await;
}

/// How large the page is shown after two fingers went apart on the picture.
async fn scale_after_a_pinch(browser: &Browser) -> f64 {
    for by in (10..=100).step_by(10) {
        let fingers = json!([{ "x": 180 - by, "y": 300, "id": 0 }, { "x": 180 + by, "y": 300, "id": 1 }]);
        touch(browser, if by == 10 { "touchStart" } else { "touchMove" }, &fingers).await;
    }
    touch(browser, "touchEnd", &json!([])).await;
    tokio::time::sleep(std::time::Duration::from_millis(200)).await;
    browser.js("return visualViewport.scale").await.as_f64().unwrap()
}

/// Given a lesson with a takeover, when it is saved, then the command line replays it with the same decisions.
#[tokio::test]
async fn a_saved_lesson_replays_on_the_command_line() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        student_flies(&browser).await;
        browser.click("field").await;
        browser.key(LEFT, 150).await;
        student_flies(&browser).await;
        browser.click("pause").await;
        browser.until_shown("paused", "Paused").await;
        let folder = browser.downloads.clone();
        browser.cdp("Browser.setDownloadBehavior", json!({ "behavior": "allow", "downloadPath": folder })).await;
        browser.click("save").await;
        browser.until_shown("saved", "-aeroplane-1.csv").await;
        let stem = browser.js("return app.fly.saving.stem(app.fly.saving.now(), 0)").await;
        let [trace, policy] = ["csv", "toml"].map(|end| format!("{}.{end}", stem.as_str().unwrap()));
        browser.click("save-policy").await;
        browser.until_shown("saved", &policy).await;
        browser.until_shown("replay-line", &format!("replay {trace} --policy {policy}")).await;
        for file in [&trace, &policy] {
            arrives(&folder.join(file)).await;
        }
        let run = lesson(&folder, &["replay", &trace, "--policy", &policy, "--picture", "/dev/null"]);
        let said = String::from_utf8_lossy(&run.stdout);
        assert!(run.status.success(), "{said}{}", String::from_utf8_lossy(&run.stderr));
        let steps = browser.js("return app.fly.engine.ask({ save: {} }).steps").await;
        assert!(said.contains("same") && said.contains(&group(steps.as_u64().unwrap())), "{steps} steps, but: {said}");

        // Another policy, another recording: neither file gets the name of the first, and one press saves both.
        browser.js("const before = Date.now(); while (Date.now() < before + 1000);").await;
        browser.write("set-craft-dwell_ms", "500").await;
        assert_ne!(browser.js("return app.fly.saving.stem(app.fly.saving, 0)").await, stem);
        browser.click("pause").await;
        browser.until("the part has a step", "return app.fly.saving.now() !== null").await;
        browser.click("save").await;
        browser.until_shown("saved", "keep both").await;
        let said = browser.text("saved").await;
        let names: Vec<&str> = said.split([' ', ':']).filter(|word| word.contains("-aeroplane-1-part-2.")).collect();
        let shown = "const { top, bottom } = element('saved').getBoundingClientRect(); return top >= 0 && bottom <= innerHeight && bottom > top";
        assert_eq!(browser.js(shown).await, json!(true), "what was saved is out of sight");
        for file in &names {
            arrives(&folder.join(file)).await;
        }
        assert_eq!(names.len(), 2, "{said}");
    })
    .await;
}

/// Waits for a file that is saved.
async fn arrives(file: &std::path::Path) {
    for _ in 0..200 {
        if file.exists() {
            return;
        }
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    }
    panic!("{} was not saved", file.display());
}

/// A count as reports print it.
fn group(count: u64) -> String {
    if count < 1000 { count.to_string() } else { format!("{},{:03}", count / 1000, count % 1000) }
}

/// Given values that the check refuses, when they are written into settings, then each field says why and what counts in
/// their place, the place in a policy file is out of sight, and the lesson goes on with the policy from before.
#[tokio::test]
async fn a_setting_that_is_refused_says_why() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        let asked = "try { app.fly.engine.ask({ set: { key: 'dwell_ms', axis: null, value: 'soon' } }); return '' } catch (why) { return why.message }";
        let asked = browser.js(asked).await;
 browser.js("element('all').open = true").await;
        for (field, value, told) in [
            ("set-craft-dwell_ms", "", "a value is needed. Still counts: 300 ms."),
            ("set-craft-dwell_ms", "-1", "\"-1\" is below 0; give a number of milliseconds, 0 or more. Still counts: 300 ms."),
            ("set-craft-dwell_ms", "soon", "\"soon\" is no number; write digits, such as 300. Still counts: 300 ms."),
            ("set-aileron-release_points", "3", "aileron: it must be 0 or more and below \u{201c}Dead band: takes control beyond\u{201d}, 2.00 points. Still counts: 1 point."),
            ("set-aileron-engage_points", "0.5", "aileron: \u{201c}Counts as let go within\u{201d} is 1.00 points: it must be 0 or more and below \u{201c}Dead band: takes control beyond\u{201d}, 0.50 points. Still counts: 2 points."),
            ("set-throttle-rest_points", "5", "throttle: it rests where it was left; choose \u{201c}at a fixed place\u{201d} first. Still counts: off."),
            ("set-craft-failsafe_after_ms", "1", "it must be \u{201c}Signal is lost after\u{201d}, 150 ms, or longer. Still counts: 1000 ms."),
        ] {
            browser.write(field, value).await;
            let refused = format!("refused-{field}");
            assert_eq!(browser.text(&refused).await, told);
            let described = browser.js(&format!("return element('{field}').getAttribute('aria-describedby')")).await;
            assert!(described.as_str().unwrap().ends_with(&refused), "{described}");
        }
        assert_eq!(browser.js("return element('refused-set-craft-dwell_ms').title").await, asked);
        browser.write("set-craft-dwell_ms", "1500").await;
        assert_eq!(browser.text("refused-set-craft-dwell_ms").await, "");
        assert_eq!(browser.js("return element('set-aileron-release_points').value").await, json!("3"));
        browser.write("set-aileron-release_points", "0,5").await;
        assert_eq!(browser.js("return element('set-aileron-release_points').value").await, json!("0.5"));
        browser.until("a dwell of more than a second is counted down", "return heard.last.waits?.for === 'dwell' && heard.last.waits.left_s > 1").await;
        browser.until_shown("left", " s left").await;
        browser.write("set-craft-dwell_ms", "2000").await;
        assert!(browser.text("renewed").await.starts_with("Changed"));
        browser.write("set-craft-dwell_ms", "soon").await;
        assert_eq!(browser.text("renewed").await, "", "a refused value is not a change");
    })
    .await;
}

/// Given a lesson that goes on, when the page is hidden, then it pauses and says so. The browser's word is a stand-in.
#[tokio::test]
async fn a_hidden_page_pauses_and_says_so() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        browser.js("Object.defineProperty(document, 'hidden', { value: true }); document.dispatchEvent(new Event('visibilitychange'))").await;
        browser.until_shown("paused", "hidden").await;
        let before = browser.js("return heard.steps").await;
        tokio::time::sleep(std::time::Duration::from_millis(300)).await;
        assert_eq!(browser.js("return heard.steps").await, before);
    })
    .await;
}

/// Given a lost instructor's signal, when the failsafe time is over, then the page says that nobody flies.
#[tokio::test]
async fn nobody_flies_is_said_in_words() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        // It lasts no longer than half a second.
        browser.js("window.lefts = []; new MutationObserver(() => lefts.push(element('left').textContent)).observe(element('left'), { childList: true })").await;
        browser.click("lost").await;
        browser.until_shown("told", "No signal: the instructor's last values go to the craft").await;
        let flies = "return document.querySelectorAll('.plate[data-flies=true]').length";
        assert_eq!(browser.js(flies).await, json!(0), "the instructor does not fly without a signal");
        browser.until_shown("faults-on", "Fault: instructor's signal cut").await;
        browser.shot("no-signal").await;
        let words = "
            const { fillText } = CanvasRenderingContext2D.prototype, at = [];
            CanvasRenderingContext2D.prototype.fillText = function (words, x, y) { if (this.canvas.id === 'instructor-right' && x) at.push([words, y]); };
            app.fly.redraw();
            CanvasRenderingContext2D.prototype.fillText = fillText;
            const [silent] = at.filter(([words]) => words === 'no signal');
            return at.length === 3 && at.every((one) => one[0] === silent[0] || Math.abs(one[1] - silent[1]) > 14)";
        assert_eq!(browser.js(words).await, json!(true), "words of a square cover each other");
        browser.until_shown("told", "Nobody flies. Failsafe: throttle \u{2212}100, the others 0.").await;
        assert_eq!(browser.js("return lefts.some((words) => words.startsWith('(failsafe in 0.'))").await, json!(true));
        browser.until("the words are on the screen", "return document.getElementById('nobody').offsetHeight > 0").await;
        let cut = "const at = element('nobody'); return at.scrollHeight > at.clientHeight || at.scrollWidth > at.clientWidth";
        assert_eq!(browser.js(cut).await, json!(false), "the words of the failsafe are cut");
        browser
            .until_shown("waits", "the instructor's signal is lost; then: turn the lesson switch off, then on")
            .await;
        browser.click("now").await;
        browser.until_shown("events", "Instructor-now button: changes nothing without the instructor's signal").await;
        shows_what_the_engine_decided(&browser).await;
    })
    .await;
}

/// Given the page, when a lesson has not begun or pauses, then the page says that, and not who flies; another craft that is
/// chosen meanwhile waits for the next lesson.
#[tokio::test]
async fn who_flies_is_said_only_while_a_lesson_is_flown() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        let flies = "return document.querySelectorAll('.plate[data-flies=true]').length";
        let seen = "return document.getElementById('stands').offsetHeight > 0";
        browser.until_shown("told", "Nobody flies yet").await;
        assert_eq!((browser.js(flies).await, browser.js(seen).await), (json!(0), json!(true)));
        assert_eq!(
            (browser.text("pause").await.as_str(), browser.js("return element('pause').disabled").await),
            ("Start", json!(false))
        );
        let idle = "return ['switch', 'now', 'cut', 'frozen', 'lost'].every((id) => element(id).disabled)";
        assert_eq!(browser.js(idle).await, json!(true));
        browser.click("start").await;
        student_flies(&browser).await;
        browser.click("pause").await;
        browser.until_shown("stands", "Paused while the student flew").await;
        browser.js("app.fly.flight.state.lamp = true; app.fly.redraw()").await;
        assert_eq!(browser.js("return element('lamp').dataset.lit").await, json!("false"), "a pause beeps");
        assert_eq!(browser.js(flies).await, json!(0), "a plate says who flies in a pause");
        sticks_wait(&browser).await;
        browser.click("pause").await;
        student_flies(&browser).await;
        browser.click("switch").await;
        instructor_flies(&browser).await;
        browser.until_shown("told", "The instructor flies").await;
        assert_eq!(browser.js(seen).await, json!(false));
        browser.click("pause").await;
        browser.until_shown("stands", "Paused while the instructor flew").await;
        assert_eq!((browser.js(flies).await, browser.text("pause").await.as_str()), (json!(0), "Go on"));
        browser.until_shown("waits", "for Go on; then: turn the lesson switch on").await;
        browser.choose("craft", "helicopter").await;
        browser.until_shown("chosen", "Counts from \u{201c}Begin again\u{201d} on.").await;
        browser.until_shown("stands", "Paused while the instructor flew").await;
        assert_eq!(browser.js("return app.fly.flight.plan.craft").await, json!("aeroplane"), "the lesson is lost");
        browser.click("again").await;
        student_flies(&browser).await;
        assert_eq!(browser.js("return app.fly.flight.plan.craft").await, json!("helicopter"));
        let words = ["pause", "paused", "chosen"];
        assert_eq!(
            browser.js_with("return arguments[0].map((id) => element(id).textContent)", json!(words)).await,
            json!(["Pause", "", ""])
        );
    })
    .await;
}

/// In a pause neither sticks nor button do anything, and do not look as if they did.
async fn sticks_wait(browser: &Browser) {
    browser.until_shown("paused", "Sticks wait").await;
    let (x, y) = browser.middle("instructor-right").await;
    let at = |x: f64| json!({ "type": "pointerMove", "duration": 50, "x": x.round(), "y": y.round() });
    let drag =
        json!([at(x), { "type": "pointerDown", "button": 0 }, at(x - 30.0), { "type": "pointerUp", "button": 0 }]);
    browser.act(json!([{ "type": "pointer", "id": "mouse", "actions": drag }])).await;
    browser.js("element('field').focus()").await;
    browser.key(LEFT, 50).await;
    browser.key(SPACE, 50).await;
    let kept = "
        const { hands, tapped, controls } = app.fly.flight, { instructor } = hands;
        return [instructor.points[0], instructor.keys.size, tapped || controls.button, element('now').disabled, element('instructor-right').dataset.flown]";
    assert_eq!(browser.js(kept).await, json!([0, 0, false, true, "false"]));
    browser.shot("paused").await;
}

/// Given a craft that is flown into the ground, when another craft is chosen, then nothing is said of the crash any more.
#[tokio::test]
async fn a_crash_is_told_until_another_lesson_begins() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        browser.act(json!([{ "type": "key", "id": "keys", "actions": [{ "type": "keyDown", "value": UP }] }])).await;
        browser.forward(1000, "state.craft.crashed").await;
        browser.until_shown("told", "hit the ground while the instructor flew").await;
        let how = "return /^The craft hit the ground nose \\d\\d\u{b0} down at \\d\\d m.s while the instructor flew/.test(element('cover-words').textContent)";
        browser.until("the cover says how it hit", how).await;
        assert_eq!(browser.text("pause").await, "Begin again");
        assert_eq!(listed(&browser).await.last().unwrap(), "The craft hit the ground");
        browser
            .until("the debrief is offered", "return document.getElementById('review-crash').offsetHeight > 0")
            .await;
        browser.act(json!([{ "type": "key", "id": "keys", "actions": [{ "type": "keyUp", "value": UP }] }])).await;
        browser.click("review-crash").await;
        browser
            .until(
                "the debrief tells it",
                "return /The craft hit the ground at 00:[0-9.]+\\./.test(element('lessons').innerText)",
            )
            .await;
        browser.js("location.hash = '#fly'").await;
        browser.choose("craft", "helicopter").await;
        browser.until_shown("told", "Nobody flies yet").await;
        let words = browser.js("return document.getElementById('stage').innerText").await;
        assert!(!words.as_str().unwrap().contains("ground."), "{words}");
        browser.click("start").await;
        instructor_flies(&browser).await;
    })
    .await;
}

/// Given a student who flies, when the link is cut, then the missing link is told first, no time runs down, and the sticks
/// have no signal; when it is good again, then the time runs.
#[tokio::test]
async fn a_cut_link_is_told_before_any_time() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        student_flies(&browser).await;
        assert!(listed(&browser).await.contains(&"Handed to the student".to_owned()));
        browser.click("cut").await;
        browser
            .until_shown("waits", "no values come from the student; then: turn the lesson switch off, then on")
            .await;
        browser.until_shown("values-student", "no signal").await;
        browser.click("switch").await;
        browser.until_shown("waits", "turn the lesson switch on").await;
        browser.click("switch").await;
        browser
            .until(
                "only the link is missing",
                "return document.getElementById('waits').textContent.endsWith('come from the student')",
            )
            .await;
        assert_eq!(browser.text("left").await, "");
        browser.click("cut").await;
        browser.until_shown("left", " s left").await;
        student_flies(&browser).await;
    })
    .await;
}

/// Given a time that runs down, when it is shown, then it is never zero while it lasts, the bar shrinks towards the student's
/// side, and the words beside it are of the same moment.
#[tokio::test]
async fn the_time_left_runs_down_to_the_students_side() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.js("element('all').open = true").await;
        browser.write("set-craft-dwell_ms", "1000").await;
        begin_as_it_is(&browser).await;
        student_flies(&browser).await;
        browser
            .js("
            const { show } = app.fly.flight;
            globalThis.bars = [];
            app.fly.flight.show = (state, seconds) => {
                show(state, seconds);
                const bar = element('bar'), part = element('bar-left').getBoundingClientRect();
                if (bar.hidden) return;
                bars.push([element('left').textContent, part.left - bar.getBoundingClientRect().left, part.width]);
            };
            element('field').focus()")
            .await;
        browser.key(LEFT, 200).await;
        instructor_flies(&browser).await;
        student_flies(&browser).await;
        let seen = browser
            .js("
            const widths = bars.map(([, , width]) => width);
            return [bars.length > 10, bars.every(([left]) => /^\\([01]\\.[0-9] s left\\)$/.test(left) && left !== '(0.0 s left)'),
                bars.every(([, place]) => Math.abs(place) < 2), widths.every((width, at) => at === 0 || width <= widths[at - 1]),
                widths[0] > 5 * widths.at(-1)]")
            .await;
        assert_eq!(seen, json!([true, true, true, true, true]), "{}", browser.js("return bars").await);
    })
    .await;
}

/// Given the worn stick, when nobody touches anything, then the plain threshold changes who flies again and again, the
/// engine takes the craft once, and the page says both.
#[tokio::test]
async fn a_worn_stick_shows_what_a_plain_threshold_does() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.js(SPY).await;
        browser.click("worn").await;
        browser.until_shown("same", "would have changed who flies as often.").await;
        assert!(browser.forward(1500, "state.plain.changes > 60").await, "the threshold is calm");
        browser.until_shown("same", " times, not 2.").await;
        browser
            .until_shown("waits", "points off its rest; let go means within 1")
            .await;
        let agrees = "const said = element('waits').textContent.match(/[0-9.]+/)?.[0];
            return element('mends').offsetHeight > 0 && element('values-instructor').textContent.includes(`+${said},`)";
        browser.until("the line and the value of the stick agree, with a mend", agrees).await;
        browser.shot("worn").await;
        let [engine, plain] = [browser.text("engine-count").await, browser.text("plain-count").await];
        assert_eq!(engine, "2 changes");
        assert!(plain.split(' ').next().unwrap().parse::<u32>().unwrap() > 60, "{plain}");
        let cut = browser
            .js("const legend = element('legend').getBoundingClientRect();
                return [...document.querySelectorAll('#beside .rows > span')].some((it) => it.scrollHeight > it.clientHeight)
                    || legend.bottom + scrollY > innerHeight")
            .await;
        assert_eq!(cut, json!(false), "labels of the comparison jam, or the legend is cut");
        shows_what_the_engine_decided(&browser).await;

        browser.click("pause").await;
        browser.until_shown("mend", "set its rest to +1.").await;
        browser.click("mend").await;
        browser.until_shown("events", "Aileron: its rest is +1.").await;
        student_flies(&browser).await;
        assert!(!browser.forward(500, "state.flies !== 'student'").await, "the mended stick takes the craft");
        browser.until_shown("same", "Since the last change of a setting, a plain threshold would have").await;
        browser.shot("worn-mended").await;
        browser.click_words("Its setting").await;
        assert_eq!(browser.js("return document.activeElement.id").await, json!("set-aileron-rest_points"));
        browser.click("again").await;
        let calm = browser
            .js("return [app.fly.flight.hands.instructor.wear, app.fly.flight.controls.noise, element('set-aileron-rest_points').value]")
            .await;
        assert_eq!(calm, json!([0, 0, "0"]), "the next lesson has good sticks, and their rest");
        browser.js("app.fly.setBack = { axis: 'aileron', value: '1', mended: '1.8' }").await;
        browser.click("again").await;
        let rest = browser.js("return element('set-aileron-rest_points').value").await;
        assert_eq!(rest, json!("0"), "a rest that a person wrote since the mend stays");
    })
    .await;
}

/// Given a person who clicks on a button, when the next key is pressed, then it moves a stick; and in a pause the line says
/// nothing of a switch that was turned since.
#[tokio::test]
async fn a_click_on_a_button_leaves_the_keys_to_the_sticks() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        student_flies(&browser).await;
        browser.click("switch").await;
        browser.click("switch").await;
        assert_eq!(browser.js("return document.activeElement.id").await, json!("field"));
        student_flies(&browser).await;
        browser.key(LEFT, 300).await;
        instructor_flies(&browser).await;
        browser.click("switch").await;
        browser.until_shown("waits", "turn the lesson switch on").await;
        browser.click("pause").await;
        browser.until_shown("waits", "for Go on; then: turn the lesson switch on").await;
        browser.click("switch").await;
        assert_eq!(browser.text("waits").await, "for Go on");
    })
    .await;
}

/// Given a policy by which the student may fly nothing, when the lesson goes on, then the line says so.
#[tokio::test]
async fn a_student_who_may_fly_nothing_is_told() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        let none = "for (const { name } of app.fly.flight.flown.axes) element(`set-${name}-shared`).click()";
        browser.js(none).await;
        browser.until_shown("cover-words", "By the policy the student may fly no stick.").await;
        begin_as_it_is(&browser).await;
        browser.until_shown("waits", "by the policy the student may fly no stick").await;
    })
    .await;
}

/// Given a tap that begins and ends between two frames, when the next frame comes, then the button and the stick count.
#[tokio::test]
async fn a_tap_shorter_than_a_frame_counts() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        let tap = "
            const key = (type) => element('field').dispatchEvent(new KeyboardEvent(type, { code: 'ArrowLeft', bubbles: true }));
            key('keydown'); key('keyup');
            for (const type of ['pointerdown', 'pointerup']) element('now').dispatchEvent(new PointerEvent(type));
            const before = app.fly.flight.state.sticks.instructor[0];
            app.fly.flight.step();
            return [before, app.fly.flight.state.sticks.instructor[0], app.fly.flight.tapped]";
        student_flies(&browser).await;
        let sticks = browser.js(tap).await;
        assert!(sticks[0].as_f64() == Some(0.0) && sticks[1].as_f64().unwrap() < -2.0, "{sticks}");
        browser.until_shown("waits", "the instructor's button keeps the craft").await;
    })
    .await;
}

/// Given a policy that must see the switch off for longer than usual, when Start is pressed, then the switch comes on
/// after that, and the student flies.
#[tokio::test]
async fn start_waits_until_the_switch_was_seen_off() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.js("element('all').open = true").await;
        browser.write("set-craft-settle_ms", "700").await;
        browser.until_shown("cover-words", "1.7 s after Start the student flies.").await;
        browser
            .until_shown("cover-words", "A takeover by the throttle or by \u{201c}Instructor now\u{201d} is latched")
            .await;
        browser.write("set-craft-lasted_ms", "1500").await;
        browser
            .until_shown(
                "cover-words",
                "A takeover by the throttle, by \u{201c}Instructor now\u{201d} or longer than 1.5 s is latched",
            )
            .await;
        browser.write("set-craft-requalify_ms", "1000").await;
        begin_as_it_is(&browser).await;
        student_flies(&browser).await;
        let at = browser.js("return heard.events.find(({ gains }) => gains === 'student').time_s").await;
        assert!((at.as_f64().unwrap() - 1.7).abs() < 0.15, "the student flies at {at} s");
        let waits = strings(&browser.js("return heard.waits").await);
        assert!(!waits.iter().any(|words| words.contains("off, then on")), "{waits:?}");
    })
    .await;
}

/// Given a student who flies, when a setting is changed, then the page turns its switch off and on for the new engine, and
/// the student flies again; what the instructor keeps stays the instructor's.
#[tokio::test]
async fn a_changed_setting_gives_the_craft_back_but_no_latch() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        student_flies(&browser).await;
        browser
            .js("
            globalThis.switches = [];
            const { ask } = app.fly.engine;
            app.fly.engine.ask = (request) => { if (request.step) switches.push(request.step.switch); return ask(request); }")
            .await;
        browser.write("set-craft-dwell_ms", "400").await;
        browser.until_shown("renewed", "the page turns the lesson switch off and on.").await;
        browser.until("the engine sees the switch off", "return switches.includes(false)").await;
        student_flies(&browser).await;
        browser.until_shown("switch", "Lesson switch: on").await;
        let events = listed(&browser).await;
        let again = ["Taken over: a setting was changed", "Lesson switch off", "Lesson switch on", "Handed to the student"];
        assert_eq!(events[events.len() - 4..], again);

        browser.click("now").await;
        browser.until_shown("waits", "the instructor's button keeps the craft").await;
        browser.js("switches.length = 0").await;
        browser.write("set-craft-dwell_ms", "300").await;
        browser.until_shown("renewed", "Turn the lesson switch off, then on").await;
        browser.until("frames are flown", "return switches.length > 100").await;
        assert_eq!(browser.js("return switches.every((on) => on)").await, json!(true));
        browser.until_shown("waits", "turn the lesson switch off, then on").await;
        instructor_flies(&browser).await;
    })
    .await;
}

/// Given each choice of what a stick takes, when the instructor holds the aileron, then the words say what it takes; with
/// the lesson switch off a stick takes nothing.
#[tokio::test]
async fn words_of_a_held_stick_say_what_it_takes() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        let held = json!([{ "type": "key", "id": "keys", "actions": [{ "type": "keyDown", "value": LEFT }] }]);
        let let_go = json!([{ "type": "key", "id": "keys", "actions": [{ "type": "keyUp", "value": LEFT }] }]);
        let top = "return element('scene').getBoundingClientRect().top + scrollY";
        let at = browser.js(top).await;
        for (scope, words) in [("craft", "aileron takes the craft"), ("axis", "aileron takes only its own axis")] {
            browser.choose("set-craft-scope", scope).await;
            student_flies(&browser).await;
            browser.js("element('field').focus()").await;
            browser.act(held.clone()).await;
            browser.until_shown("values-instructor", words).await;
            let gains = browser.js("return document.querySelector('#events li').dataset.gains").await;
            assert_eq!(gains, "instructor", "{scope}");
            let rows =
                browser.js("const { engine, plain } = app.fly.strip.frames.at(-1); return [engine, plain]").await;
            let row = if scope == "axis" { "both" } else { "instructor" };
            assert_eq!(rows, json!([row, row]), "the comparison in scope {scope}");
            assert_eq!(browser.js(top).await, at, "the plates push the picture in scope {scope}");
            browser.shot(&format!("aileron-takes-{scope}")).await;
            browser.act(let_go.clone()).await;
            browser
                .until("it is handed back", "return heard.last.flies === 'student' && !heard.last.held.includes(true)")
                .await;
            student_flies(&browser).await;
        }
        // A throttle takes everything in this scope too, and keeps it.
        browser.key("w", 150).await;
        browser.until_shown("waits", "the throttle stick keeps the whole craft (latched), as it has no spring").await;
        assert!(listed(&browser).await.last().unwrap().starts_with("Whole craft taken over, latched: throttle stick"));
        let pressed = "return element('now').getAttribute('aria-pressed')";
        assert_eq!(browser.js(pressed).await, json!("false"), "the stick keeps the craft, not the button");
        browser.shot("throttle-latched").await;
        browser.click("switch").await;
        browser.js("element('field').focus()").await;
        browser.act(held).await;
        browser.until_shown("values-instructor", "aileron\u{a0}\u{2212}").await;
        tokio::time::sleep(std::time::Duration::from_millis(200)).await;
        let words = browser.text("values-instructor").await;
        assert!(!words.contains("take"), "{words}");
    })
    .await;
}

/// Given two people, when the lesson has not begun, then the page says whose sticks are whose, and calls nobody "you".
#[tokio::test]
async fn two_people_are_told_whose_sticks_are_whose() {
    for size in SIZES {
        with(size, "", |browser: Arc<Browser>| async move {
            browser.open("fly").await;
            browser.choose("student", "person").await;
            let stage = "return element('stage').innerText.replace(/\\s+/g, ' ')";
            let words = browser.js(stage).await.as_str().unwrap().to_owned();
            let side = if browser.size.0 < 700 { "upper squares" } else { "squares on the right" };
            let hands = if browser.size.0 < 700 { "thumbs on the squares" } else { "drag the squares" };
            assert!(words.contains(&format!("Two people: {hands}. The instructor has the {side}")), "{words}");
            assert!(!words.contains("You are") && !words.contains("(you)") && !words.contains("Your"), "{words}");
            let order = "const at = (id) => element(id).getBoundingClientRect(), [i, s] = [at('instructor-left'), at('student-left')];
                return innerWidth < 700 ? i.top < s.top : i.left > s.left";
            assert_eq!(browser.js(order).await, json!(true), "the squares are elsewhere");
            browser.shot("two-people").await;
            browser.choose("student", "beginner").await;
            let words = browser.js(stage).await.as_str().unwrap().to_owned();
            let hands = if browser.size.0 < 700 { "(thumbs on the squares)" } else { "(drag a square, or arrows, W A S D)" };
            assert!(words.contains("You are the instructor") && words.contains(hands) && !words.contains("The instructor has the"), "{words}");
        })
        .await;
    }
}

/// Given a frozen link, when nothing may notice it, then the page says which setting is off and leads to it; when it is on,
/// then new values are asked for before the switch.
#[tokio::test]
async fn a_frozen_link_says_why_nothing_notices_it() {
    for size in SIZES {
        with(size, "", |browser: Arc<Browser>| async move {
            begin(&browser).await;
            student_flies(&browser).await;
            let places = "return ['switch', 'scene', 'student-left', 'instructor-right'].map((id) => Math.round(element(id).getBoundingClientRect().top))";
            let before = browser.js(places).await;
            browser.click("frozen").await;
            browser.js("scrollTo(0, 0)").await;
            browser.until_shown("faults-on", "Fault: link frozen").await;
            browser.until_shown("waits", "(the student flies; no new values for 2 s)").await;
            assert_eq!(browser.js(places).await, before, "the words push what is below");
            browser.shot("frozen").await;
            browser.until_shown("mend", "count that as lost after 1 s").await;
            browser.js("window.lefts = []; new MutationObserver(() => lefts.push(element('left').textContent)).observe(element('left'), { childList: true })").await;
            browser.click("mend").await;
            browser.until_shown("waits", "the student's radio link is frozen, no new values come").await;
            browser.until_shown("events", "Latched: student's radio link frozen").await;
            let promised = browser.js("return lefts.filter((words) => words)").await;
            assert_eq!(promised, json!([]), "a hand back is promised that cannot come");
            assert_eq!(browser.js("return input('set-craft-frozen_after_ms').value").await, "1000");
            browser.js("element('events').querySelector('button').click()").await;
            assert_eq!(browser.js("return document.activeElement.id").await, "set-craft-frozen_after_ms");
            if browser.size.0 >= 1000 {
                let seen = "const [events, setting] = [element('happened'), document.activeElement].map((it) => it.getBoundingClientRect());
                    return [scrollY, events.top >= 0, setting.top >= events.bottom && setting.bottom <= innerHeight]";
                assert_eq!(browser.js(seen).await, json!([0, true, true]), "only the column scrolls, under the last events");
            }
            browser.shot("frozen-setting").await;
            browser.js("scrollTo(0, 0)").await;
            browser.shot("frozen-noticed").await;
        })
        .await;
    }
}

/// Given settings that were changed, when a lesson with the defaults is asked for, and then one with the policy that was
/// saved, then it has those; a policy that is refused changes nothing.
#[tokio::test]
async fn a_lesson_begins_under_the_defaults_or_under_a_policy_file() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        begin(&browser).await;
        browser.write("set-craft-dwell_ms", "900").await;
        browser.until_shown("events", "\u{201c}Wait before the student flies\u{201d} 900 ms: the page turns the").await;
        let saved = browser.js("return app.fly.policy").await;
        browser.click("defaults").await;
        let dwell = "return [app.fly.stand, element('set-craft-dwell_ms').value, element('carried').textContent]";
        assert_eq!(browser.js(dwell).await, json!(["flies", "300", "Under the default settings."]));
        let give = |name: &str| {
            format!(
                "const data = new DataTransfer();
                data.items.add(new File([arguments[0]], '{name}'));
                element('policy-file').files = data.files;
                element('policy-file').dispatchEvent(new Event('change'))"
            )
        };
        browser.js_with(&give("slow.toml"), saved.clone()).await;
        browser.until_shown("carried", "Under slow.toml.").await;
        assert_eq!(browser.js(dwell).await, json!(["flies", "900", "Under slow.toml."]));
        let bad = saved.as_str().unwrap().replace("dwell_ms = 900", "dwell_ms = soon");
        browser.js_with(&give("bad.toml"), json!(bad)).await;
        browser.until_shown("policy-refused", "bad.toml, line ").await;
        student_flies(&browser).await;
        assert_eq!(browser.js("return element('set-craft-dwell_ms').value").await, json!("900"));
    })
    .await;
}

/// Given a student's throttle that differs from the instructor's, when the aileron takes the craft, then the page says how
/// long the throttle stays, and lists how that ends.
#[tokio::test]
async fn a_throttle_that_stays_is_told_with_its_time() {
    for size in SIZES {
        with(size, "", |browser: Arc<Browser>| async move {
            browser.open("fly").await;
            browser.choose("student", "person").await;
            begin_as_it_is(&browser).await;
            browser.js("scrollTo(0, 0)").await;
            let top = "return element('student-left').getBoundingClientRect().top";
            let before = browser.js(top).await;
            browser.js("app.fly.flight.hands.student.put(2, 20, 0)").await;
            browser.until_shown("output-words", "Hand back: throttle moves about 40 points in 0.2 s; match sticks first.").await;
            browser.shot("sticks-apart").await;
            let moved = browser.js(top).await.as_f64().unwrap() - before.as_f64().unwrap();
            assert!(moved.abs() < 1.0, "the words push the sticks by {moved}");
            student_flies(&browser).await;
            tokio::time::sleep(std::time::Duration::from_millis(300)).await;
            browser.until_shown("now", "throttle jumps 40 points").await;
            let cut = "const button = element('now').getBoundingClientRect(), words = element('now-jumps').parentElement.getBoundingClientRect();
                return words.left < button.left || words.right > button.right || words.bottom > button.bottom";
            assert_eq!(browser.js(cut).await, json!(false), "the words leave the button");
            browser.js("app.fly.flight.hands.instructor.put(0, 30, 0)").await;
            browser
                .until_shown("output-words", "Throttle stays at +20 until the instructor's stick meets it, at most 1.")
                .await;
            let jumps = "return [app.fly.flight.state.now_jumps !== null, element('now').querySelector('small').textContent]";
            assert_eq!(browser.js(jumps).await, json!([true, ""]), "the button takes nothing that the instructor flies");
            let covered = "
                const at = (id) => element(id).getBoundingClientRect(), [words, scene] = [at('output-words'), at('scene')];
                return words.height === 0 || words.top < scene.bottom";
            assert_eq!(browser.js(covered).await, json!(false), "the words are over the picture, or nowhere");
            let still = "input('frozen').click(); return stillWords({ ...app.fly.flight.state, student_still_s: 9 })";
            assert_eq!(browser.js(still).await, json!(""), "a stick that lay still before is called frozen");
            browser.js("input('frozen').click()").await;
            browser.shot("pickup").await;
            browser.js("input('plain').click()").await;
            let seen = "
                return ['#legend', '#beside h3', '#output-words'].every((id) => {
                    const it = document.querySelector(id), { left, top, width, height } = it.getBoundingClientRect();
                    return it.contains(document.elementFromPoint(left + width / 2, top + height / 2));
                })";
            browser.until("both legends are seen beside the words", seen).await;
            browser.shot("pickup-beside").await;
            browser.until_shown("events", "Throttle was not met in 2 s, and now goes to the instructor's stick").await;
            browser.until_shown("output-words", "Hand back: throttle moves about").await;
        })
        .await;
    }
}

/// Given every setting of a policy, when the page shows it, then it has a label and a line of its own, said once for all
/// axes; the page explains no setting that does not exist.
#[tokio::test]
async fn every_setting_is_explained_once() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        let keys = browser
            .js("
            const keys = [...new Set(settingsOf(app.fly.engine).map(({ key }) => key))].sort();
            const helps = keys.map((key) => document.querySelectorAll(`#help-${key}`).length);
            return [keys, Object.keys(SETTING_WORDS).sort(), helps.every((number) => number === 1)]")
            .await;
        assert_eq!((&keys[0], &keys[2]), (&keys[1], &json!(true)), "{keys}");
        browser.shot("settings").await;
    })
    .await;
}

/// Given settings that were changed, when another craft is chosen, then it keeps those that it has too, whatever order the
/// check wants them in, and the page says which are the defaults.
#[tokio::test]
async fn another_craft_keeps_what_it_has_too() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.js("element('all').open = true").await;
        let settings = [
            ("craft-failsafe_after_ms", "3000"),
            ("craft-timeout_ms", "2000"),
            ("aileron-engage_points", "6"),
            ("aileron-release_points", "5"),
        ];
        for (field, value) in settings {
            browser.write(&format!("set-{field}"), value).await;
        }
        browser.choose("set-craft-scope", "axis").await;
        let values = "return arguments[0].map((field) => element(`set-${field}`).value)";
        browser.choose("craft", "helicopter").await;
        let of_craft = json!(["craft-scope", "craft-failsafe_after_ms", "craft-timeout_ms", "roll-engage_points"]);
        assert_eq!(browser.js_with(values, of_craft).await, json!(["axis", "3000", "2000", "2"]));
        browser.until_shown("carried", "Those of roll, pitch, collective and yaw are the defaults").await;
        browser.choose("craft", "aeroplane").await;
        browser.choose("set-aileron-transfer", "pickup").await;
        browser.write("set-aileron-engage_points", "6").await;
        browser.write("set-aileron-release_points", "5").await;
        browser.choose("craft", "many").await;
        let of_many = json!([
            "craft-timeout_ms",
            "aileron-transfer",
            "aileron-engage_points",
            "aileron-release_points",
            "aux-1-engage_points"
        ]);
        assert_eq!(browser.js_with(values, of_many).await, json!(["2000", "pickup", "6", "5", "2"]));
        browser.until_shown("carried", "Those of 12 axes are the defaults").await;
    })
    .await;
}
