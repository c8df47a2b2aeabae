//! The page as a whole: for everyone, at every size, and fast enough. Times are printed; a loaded machine is slow.

use std::sync::Arc;

use page_tests::{Browser, LOW, SIZES, WIDE, path_of, with};
use serde_json::json;

const PARTS: [&str; 4] = ["fly", "reaction", "look", "debrief"];

/// Given each part at each size, in light and in dark, when axe-core looks at it, then it finds nothing; nothing is wider
/// than the screen, and no button moves under the pointer when words grow.
#[tokio::test]
async fn axe_finds_nothing_and_everything_fits() {
    let axe = std::fs::read_to_string(path_of("HANDBACK_AXE")).unwrap();
    for size in SIZES {
        let axe = axe.clone();
        with(size, "", |browser: Arc<Browser>| async move {
            for part in PARTS {
                browser.media("prefers-color-scheme", "light").await;
                browser.open(part).await;
                browser.js(&axe).await;
                assert_eq!(browser.js("return scrollY").await, json!(0), "{part} opens scrolled");
                let wide = browser.js("return document.documentElement.scrollWidth").await;
                assert!(wide.as_u64().unwrap() <= u64::from(browser.size.0), "{part}: {wide} at {:?}", browser.size);
                let order = "const top = (id) => element(id).getBoundingClientRect().top; return top('scene') <= top('instructor-left') && top('scene') < innerHeight / 2";
                assert_eq!(browser.js(order).await, json!(true), "{part}: the picture is not above the sticks");
                let covers = "const at = (id) => element(id).getBoundingClientRect(); return at('says').top < at('scene').bottom || (innerWidth < 700 && at('drill').top < at('scene').bottom && at('drill').height > 0)";
                assert_eq!(browser.js(covers).await, json!(false), "{part}: words cover the picture at {size:?}");
                // All rules in light; in dark what depends on colours.
                for (scheme, rules) in [("light", "{}"), ("dark", "{ runOnly: ['color-contrast'] }")] {
                    browser.media("prefers-color-scheme", scheme).await;
                    let found = browser.js_later(&format!("axe.run({rules}).then(({{ violations }}) => arguments[0](violations.map(({{ id, nodes }}) => [id, nodes.map(({{ html, failureSummary }}) => [html, failureSummary])])))")).await;
                    assert_eq!(found, json!([]), "{part}, {scheme}, {size:?}");
                    browser.shot(&format!("{part}-{scheme}")).await;
                }
            }
            buttons_stay(&browser).await;
            nothing_moves_between_hands(&browser).await;
            two_people_fit(&browser).await;
            first_screen_is_whole(&browser).await;
        })
        .await;
    }
}

/// The longest words about every stick, and the words of every button.
async fn buttons_stay(browser: &Browser) {
    browser.open("fly").await;
    let moved = browser
        .js("
            const places = () => ['switch', 'now', 'pause', 'mute'].flatMap((id) => { const at = element(id).getBoundingClientRect(); return [at.left, at.top]; });
            const before = places();
            for (const side of ['student', 'instructor']) {
                element(`values-${side}`).textContent = 'elevator +100 held waits for pickup, '.repeat(4);
            }
            element('waits').textContent = 'the collective stick keeps the whole craft (latched), as it has no spring: turn the lesson switch off, then on';
            element('switch').textContent = 'Lesson switch: on';
            element('switch').setAttribute('aria-pressed', 'true');
            element('pause').textContent = 'Go on';
            element('mute').textContent = 'Sound: off';
            for (let event = 0; event < 8; event += 1) element('events').append('Whole craft taken over, latched: throttle stick at +10.0 points ', document.createElement('br'));
            return places().map((place, at) => Math.round(place - before[at]))")
        .await;
    assert!(moved.as_array().unwrap().iter().all(|by| by == 0), "moved by {moved} at {:?}", browser.size);
}

/// Who flies, in every form, moves nothing; the readout stays in the picture at large angles; no event is cut.
async fn nothing_moves_between_hands(browser: &Browser) {
    browser.open("fly").await;
    browser.click("start").await;
    browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
    browser.click("pause").await;
    let moved = browser
        .js("
            const { state, flown } = app.fly.flight;
            const tops = () => ['waiting', 'scene', 'acts', 'instructor-left', 'events'].map((id) => element(id).getBoundingClientRect().top);
            const before = tops();
            const shown = [];
            for (const shares of [[true, true, true, true], [false, true, true, true], [false, false, true, true], [false, false, false, true], [false, false, false, false]]) {
                state.shares = shares;
                state.flies = shares.includes(true) ? 'student' : 'instructor';
                showControl(state, flown.axes, 'flies');
                const whole = ['student', 'instructor'].every((side) => element(`plate-${side}`).scrollHeight <= element(`plate-${side}`).clientHeight);
                shown.push([shares.filter((own) => !own).length, whole, ...tops().map((top, at) => Math.round(top - before[at]))]);
            }
            return shown")
        .await;
    let still: Vec<_> = (0..5).map(|taken| json!([taken, true, 0, 0, 0, 0, 0])).collect();
    assert_eq!(moved, json!(still), "at {:?}", browser.size);
    let places = browser
        .js("
            const { state, flown } = app.fly.flight;
            for (const side of ['student', 'instructor']) element(`plate-${side}`).style.transition = 'none';
            return ['student', 'instructor'].map((side) => {
                state.flies = side;
                state.shares = state.shares.map(() => side === 'student');
                showControl(state, flown.axes, 'flies');
                return [...element(`plate-${side}`).children].map((words) => [words.getBoundingClientRect().top, words.clientHeight]);
            })")
        .await;
    assert_eq!(places[0], places[1], "who flies stands elsewhere for each of them at {:?}", browser.size);
    let beside = browser
        .js("
            Object.assign(app.fly.flight.state.craft, { bank: -179, pitch: -45, height: 1234.4, sink: -12.3 });
            app.fly.redraw();
            const [scene, lamp] = [element('scene'), element('lamp')].map((it) => it.getBoundingClientRect());
            return ['attitude', 'motion'].filter((id) => {
                const at = element(id).getBoundingClientRect();
                const overLamp = at.left < lamp.right + 40 && at.bottom > lamp.top && at.top < lamp.bottom;
                return at.right > scene.right || at.left < scene.left + 50 || overLamp;
            })")
        .await;
    assert_eq!(beside, json!([]), "the readout leaves the picture at {:?}", browser.size);
    let cut = browser
        .js("
            const list = element('events');
            for (let event = 0; event < 8; event += 1) {
                app.fly.list(event, 'instructor', 'taken over: aileron stick at +10.0 points '.repeat(event % 3 + 1));
            }
            const box = list.getBoundingClientRect();
            return [...list.children].filter((li) => {
                const at = li.getBoundingClientRect();
                return at.left < box.right && at.top < box.bottom && at.bottom > box.bottom;
            }).length")
        .await;
    assert_eq!(cut, json!(0), "an event is cut at {:?}", browser.size);
    let lines = browser
        .js("
            const { sticks } = app.fly.flight.state;
            return [0, -100].map((value) => {
                sticks.student = sticks.instructor = [value, value, value, value];
                app.fly.redraw();
                return ['student', 'instructor'].map((side) => [...element(`values-${side}`).children].slice(0, 4).map((axis) => Math.round(axis.getBoundingClientRect().top)));
            })")
        .await;
    assert_eq!(lines[0], lines[1], "values change their line at {:?}", browser.size);
}

/// Two people: each square and all of its words are seen above the buttons.
async fn two_people_fit(browser: &Browser) {
    browser.open("fly").await;
    browser.choose("student", "person").await;
    browser.js("app.fly.begin(); scrollTo(0, 0)").await;
    let start = "const at = element('start').getBoundingClientRect(); return document.elementFromPoint(at.left + at.width / 2, at.bottom - 2) === element('start')";
    assert_eq!(browser.js(start).await, json!(true), "Start is covered at {:?}", browser.size);
    browser.click("start").await;
    browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
    browser.click("pause").await;
    for with_plain in [true, false] {
        browser.click("plain").await;
        let hidden = browser
            .js("
            scrollTo(0, 0);
            app.fly.flight.state.holds = ['craft', 'craft', '', ''];
            app.fly.redraw();
            const floor = innerWidth < 700 ? element('acts').getBoundingClientRect().top : innerHeight;
            return ['student', 'instructor'].flatMap((side) => [`${side}-left`, `${side}-right`, `values-${side}`]).filter((id) => {
                const it = element(id);
                return it.getBoundingClientRect().bottom > floor || (it.tagName === 'P' && it.scrollHeight > it.clientHeight);
            })")
            .await;
        assert_eq!(hidden, json!([]), "under the buttons at {:?}, with a plain threshold: {with_plain}", browser.size);
        browser.shot(if with_plain { "two-people-with-plain" } else { "two-people-fly" }).await;
    }
    browser.choose("student", "beginner").await;
    browser.js("app.fly.begin(); scrollTo(0, 0)").await;
}

/// The longest words about the sticks are whole, and the stage with its legend ends on the first screen.
async fn first_screen_is_whole(browser: &Browser) {
    browser.open("fly").await;
    browser.click("start").await;
    browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
    browser.click("pause").await;
    for takes in ["craft", "axis"] {
        let longest = format!(
            "
            const {{ state }} = app.fly.flight;
            state.sticks.instructor = [-100, -100, -100, -100];
            state.holds = ['{takes}', '{takes}', '', ''];
            app.fly.redraw();
            const words = element('values-instructor');
            return [words.textContent, words.scrollHeight - words.clientHeight]"
        );
        let cut = browser.js(&longest).await;
        assert!(cut[0].as_str().unwrap().contains(" take"), "{cut}");
        assert!(cut[1].as_f64().unwrap() <= 0.0, "cut at {:?}: {cut}", browser.size);
    }
    browser.shot("words-of-sticks").await;
    if browser.size.0 > 700 {
        let ends = browser
            .js("
            const parts = [...document.querySelectorAll('#stage > *, #legend')];
            return parts.filter((part) => part.getBoundingClientRect().bottom > innerHeight).map((part) => part.id)")
            .await;
        assert_eq!(ends, json!([]), "below the first screen at {:?}", browser.size);
        browser.choose("craft", "many").await;
        browser.js("app.fly.begin()").await;
        let further = "return element('further').getBoundingClientRect().bottom <= innerHeight && element('further').textContent.includes('aux 12: 0')";
        assert_eq!(browser.js(further).await, json!(true), "the other axes at {:?}", browser.size);
    } else {
        let legend =
            "return element('legend').getBoundingClientRect().bottom <= element('acts').getBoundingClientRect().top";
        assert_eq!(browser.js(legend).await, json!(true), "the legend is behind the buttons");
    }
}

/// Given a phone that is turned, when one person or two fly, then every square is whole above the buttons, covers no other,
/// and flies under a thumb; nothing is scrolled, and nothing is wider than the screen.
#[tokio::test]
async fn a_turned_phone_shows_every_square() {
    with(LOW, "", |browser: Arc<Browser>| async move {
        let axe = std::fs::read_to_string(path_of("HANDBACK_AXE")).unwrap();
        browser.open("fly").await;
        browser.js(&axe).await;
        for (student, squares) in [("beginner", 2), ("person", 4)] {
            browser.choose("student", student).await;
            browser.js("app.fly.begin(); scrollTo(0, 0)").await;
            browser.click("start").await;
            browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
            let wrong = browser.js("
                const at = (id) => element(id).getBoundingClientRect();
                const ids = ['student-left', 'student-right', 'instructor-left', 'instructor-right', 'scene', 'control', 'waiting', 'acts', 'values-student', 'values-instructor', 'says'];
                const meets = (one, two) => one.left < two.right - 0.5 && two.left < one.right - 0.5 && one.top < two.bottom - 0.5 && two.top < one.bottom - 0.5;
                const pairs = ids.flatMap((one, place) => ids.slice(place + 1).filter((two) => meets(at(one), at(two))).map((two) => `${one} meets ${two}`));
                const outside = ids.filter((id) => at(id).top < 0 || at(id).left < 0 || at(id).right > innerWidth || at(id).bottom > innerHeight);
                const inScene = ['readout', 'lamp'].filter((id) => ['top', 'left'].some((edge) => at(id)[edge] < at('scene')[edge]) || ['right', 'bottom'].some((edge) => at(id)[edge] > at('scene')[edge]));
                return [...pairs, ...outside, ...inScene, ...document.documentElement.scrollWidth > innerWidth ? ['too wide'] : []]").await;
            assert_eq!(wrong, json!([]), "{student}");
            let large = browser.js("return app.fly.pads.filter(({ canvas }) => canvas.dataset.flown === 'true' && canvas.clientWidth >= 100 && canvas.clientHeight === canvas.clientWidth).length").await;
            assert_eq!(large, json!(squares), "squares for a thumb");
            for side in ["student", "instructor"] {
                if side == "student" && student != "person" {
                    continue;
                }
                let (x, y) = browser.middle(&format!("{side}-right")).await;
                for (kind, points) in [("touchStart", json!([{ "x": x, "y": y }])), ("touchMove", json!([{ "x": x + 20.0, "y": y }]))] {
                    browser.cdp("Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": points })).await;
                }
                browser.until("the thumb moves the stick", &format!("return app.fly.flight.state.sticks.{side}[0] > 20")).await;
                browser.shot(&format!("{student}-{side}-thumb")).await;
                browser.cdp("Input.dispatchTouchEvent", json!({ "type": "touchEnd", "touchPoints": [] })).await;
            }
            assert_eq!(browser.js("return scrollY").await, json!(0), "the thumbs scrolled the page");
            let near = browser.js("
                input('plain').click();
                const { fillText } = CanvasRenderingContext2D.prototype, lines = [];
                CanvasRenderingContext2D.prototype.fillText = function (words, x, y) { if (x === 12) lines.push(y); };
                app.fly.redraw();
                CanvasRenderingContext2D.prototype.fillText = fillText;
                input('plain').click();
                return [lines.length, lines.slice(1).every((y, place) => lines[place] - y >= 12)]").await;
            assert_eq!(near, json!([3, true]), "numbers of the height scale touch");
            let found = browser.js_later("axe.run().then(({ violations }) => arguments[0](violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html)])))").await;
            assert_eq!(found, json!([]), "{student}");
        }
    })
    .await;
}

/// Given a helicopter that passes the place where it began, when its name would lie over the craft, then it is left out.
#[tokio::test]
async fn the_name_of_the_start_is_not_on_the_craft() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.choose("craft", "helicopter").await;
        let met = browser
            .js("
                const { scene, flight: { state }, colours } = app.fly, { fillText } = CanvasRenderingContext2D.prototype;
                const { drawCraft } = scene;
                let corners = [], named = null;
                scene.drawCraft = (...craft) => (corners = drawCraft.apply(scene, craft));
                CanvasRenderingContext2D.prototype.fillText = function (words, x, y) { if (words === 'start') named = [x, y, this.measureText(words).width]; };
                const seen = { named: 0, left: 0, met: 0 };
                for (let y = -10; y <= 4; y += 0.25) {
                    for (const height of [0, 1, 3]) {
                        named = null;
                        scene.draw({ ...state.craft, x: -1, y, height }, colours, 0);
                        if (!named) { seen.left += 1; continue; }
                        const [left, low, wide] = named, across = corners.map(([x]) => x), along = corners.map(([, y]) => y);
                        seen.named += 1;
                        if (left < Math.max(...across) && left + wide > Math.min(...across) && low < Math.max(...along) && low > Math.min(...along)) seen.met += 1;
                    }
                }
                CanvasRenderingContext2D.prototype.fillText = fillText;
                return [seen.named > 0, seen.left > 0, seen.met]")
            .await;
        assert_eq!(met, json!([true, true, 0]));
    })
    .await;
}

/// Given no colours of the page's own, when the student flies, then words, position and a wider frame say it.
#[tokio::test]
async fn who_flies_is_seen_without_colour() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.media("forced-colors", "active").await;
        assert_eq!(browser.js("return matchMedia('(forced-colors: active)').matches").await, json!(true));
        browser.click("start").await;
        browser.until("the student flies", "return element('plate-student').dataset.flies === 'true'").await;
        browser
            .until("no frame grows", "return element('control').getAnimations({ subtree: true }).length === 0")
            .await;
        let plates = browser.js("return ['student', 'instructor'].map((side) => {
            const plate = element(`plate-${side}`), style = getComputedStyle(plate);
            return [plate.innerText.replace(/\\s+/g, ' '), parseFloat(style.borderTopWidth) > 4, style.borderTopStyle, plate.getBoundingClientRect().left < 100];
        })").await;
        assert_eq!(plates, json!([["Student flies", true, "solid", true], ["Instructor (you) does not fly", false, "dashed", false]]));
        // The canvases of both sides differ by shape: a round and a square stick.
        browser.js("
            globalThis.shapes = [];
            for (const shape of ['arc', 'rect']) {
                const draw = CanvasRenderingContext2D.prototype[shape];
                CanvasRenderingContext2D.prototype[shape] = function (...at) { shapes.push(`${this.canvas.id} ${shape}`); return draw.apply(this, at); };
            }").await;
        browser.until("both are drawn", "return shapes.includes('student-left arc') && shapes.includes('instructor-left rect')").await;
    })
    .await;
}

/// Given a person who asked for less motion, when a lesson is flown, then fewer lines rush past, and nothing glides.
#[tokio::test]
async fn less_motion_is_respected() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser
            .js("
            globalThis.lines = 0;
            const { scene } = app.fly, ground = scene.groundLine;
            scene.groundLine = function (...ends) { lines += 1; return ground.apply(this, ends); };
            globalThis.oneDrawing = () => { lines = 0; app.fly.redraw(); return lines; }")
            .await;
        let usual = browser.js("return oneDrawing()").await.as_u64().unwrap();
        browser.media("prefers-reduced-motion", "reduce").await;
        let less = browser.js("return oneDrawing()").await.as_u64().unwrap();
        assert!(less < usual / 2, "{less} lines, not far fewer than {usual}");
        assert_eq!(
            browser.js("return getComputedStyle(element('plate-student')).transitionDuration").await,
            json!("0s")
        );
    })
    .await;
}

/// Given a stand-in of the browser's sound, when the craft changes hands, then it sounds; with the sound off it does not.
#[tokio::test]
async fn the_sound_follows_the_cues_and_its_button() {
    let sound = "
        globalThis.tones = [];
        const node = { connect: () => node, gain: { value: 0, setTargetAtTime: (value) => tones.push(value) }, frequency: {}, start() {} };
        globalThis.AudioContext = class { currentTime = 0; destination = node; createGain() { return node; } createOscillator() { return node; } resume() {} };";
    with(WIDE, sound, |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.click("start").await;
        browser.until("it sounds", "return tones.some((tone) => tone > 0)").await;
        browser.until("and is silent again", "return tones.at(-1) === 0").await;
        let sounding = browser.js("return tones.filter((tone) => tone > 0).length").await;
        assert!(sounding.as_u64().unwrap() > 3, "the cue is too short: {sounding} frames");
        browser.click("mute").await;
        browser.until_shown("mute", "Sound: off").await;
        browser
            .js("tones.length = 0; globalThis.cues = 0; app.fly.flight.heard.push((state) => cues += state.sound)")
            .await;
        browser.click("now").await;
        browser.until("a cue is due", "return cues > 3").await;
        assert_eq!(browser.js("return tones.filter((tone) => tone > 0).length").await, json!(0));
        assert!(browser.js("return tones.length").await.as_u64().unwrap() > 0);
    })
    .await;
}

/// Given thresholds of any width, when the sticks are drawn, then the dead bands are to scale, and what goes to the craft is
/// whole at the ends of a stick's way.
#[tokio::test]
async fn dead_bands_are_to_scale_and_no_end_is_cut() {
    for size in SIZES {
        with(size, "", |browser: Arc<Browser>| async move {
            browser.open("fly").await;
            let drawn = browser
                .js("
                    const { state } = app.fly.flight;
                    const of = CanvasRenderingContext2D.prototype, { fillRect, strokeRect, moveTo, lineTo } = of;
                    const bands = [], places = [], drawn = [];
                    const { fillText, stroke, fill } = of;
                    for (const [name, draw] of Object.entries({ fillText, stroke, fill })) {
                        of[name] = function (...words) { if (this.canvas.id === 'instructor-left') drawn.push(name); return draw.apply(this, words); };
                    }
                    let way = 0;
                    of.fillRect = function (x, y, wide, high) { if (this.canvas.id === 'instructor-right') bands.push(Math.min(wide, high)); };
                    of.strokeRect = function (x, y, wide) { way = wide; };
                    of.moveTo = of.lineTo = function (x, y) { places.push(x, this.canvas.clientWidth - x, y, this.canvas.clientHeight - y); };
                    for (const points of [2, 6, 30]) {
                        for (const end of [-100, 100]) {
                            state.sticks.output = [end, end, end, end];
                            state.sticks.engage = [points, points, points, points];
                            state.sticks.rest = [0, 0, 0, 0];
                            for (const pad of app.fly.pads) pad.draw(state, app.fly.colours);
                        }
                        way = 0;
                        app.fly.pads.find((pad) => pad.canvas.id === 'instructor-right').draw(state, app.fly.colours);
                        bands.push(way);
                    }
                    Object.assign(of, { fillRect, strokeRect, moveTo, lineTo, fillText, stroke, fill });
                    return [bands, Math.min(...places), drawn.at(-1)]")
                .await;
            let bands: Vec<f64> = drawn[0].as_array().unwrap().iter().map(|wide| wide.as_f64().unwrap()).collect();
            for (shown, points) in bands.chunks(7).zip([2.0, 6.0, 30.0]) {
                let (way, bands) = shown.split_last().unwrap();
                for band in bands {
                    assert!((band / way - points / 100.0).abs() < 0.001, "{points} points: {band} of {way} pixels");
                }
            }
            assert!(drawn[1].as_f64().unwrap() >= 0.0, "cut at {size:?}: {drawn}");
            assert_eq!(drawn[2], "fillText", "a stick covers the words of its square at {size:?}");
        })
        .await;
    }
}

/// Given a student who flies, when the instructor holds the aileron stick, then the page shows what the README says of its
/// picture. It is always the same frame of the same lesson.
#[tokio::test]
async fn the_picture_of_the_readme_is_this_state() {
    with((1280, 800), "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser
            .js("
                const { flight } = app.fly;
                flight.go = () => { flight.goes = true; };
                app.fly.start();
                const fly = (frames) => {
                    for (let frame = 0; frame < frames; frame += 1) {
                        flight.step();
                        flight.draw(0.02);
                    }
                };
                fly(250);
                element('field').dispatchEvent(new KeyboardEvent('keydown', { code: 'ArrowLeft', bubbles: true }));
                fly(15);
                app.fly.redraw();")
            .await;
        browser.until_shown("told", "The instructor flies").await;
        browser.until_shown("waits", "the instructor holds the aileron").await;
        browser.until_shown("values-instructor", "aileron takes the craft").await;
        if let Some(file) = std::env::var_os("HANDBACK_PICTURE") {
            browser.picture(file.as_ref()).await;
        }
    })
    .await;
}

/// Given the keyboard alone, when Tab is pressed, then every control of the lesson is reached.
#[tokio::test]
async fn every_control_is_reached_by_tab() {
    with(WIDE, "", |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        let mut reached = Vec::new();
        for _ in 0..52 {
            browser.key("\u{E004}", 1).await;
            let id = browser.js("return document.activeElement.id").await.as_str().unwrap_or_default().to_owned();
            // Buttons that would do nothing are passed over; the lesson makes them work.
            if id == "start" && !reached.contains(&id) {
                browser.key("\u{E006}", 5).await;
            }
            reached.push(id);
        }
        for control in [
            "field", "start", "switch", "now", "pause", "mute", "worn", "cut", "noise", "plain", "craft", "student",
            "save",
        ] {
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
        tokio::time::sleep(std::time::Duration::from_secs(4)).await;
        let times = browser.js("
            const of = (times, share) => quantile([...times].sort((one, two) => one - two), share).toFixed(2);
            const { step, draw, pictures } = app.fly.flight.times;
            const whole = step.map((time, at) => time + draw[at]);
            return `16 axes: step and drawing ${of(whole, 0.5)} ms median, ${of(whole, 0.95)} ms p95 (steps ${of(step, 0.95)}, drawing ${of(draw, 0.95)}); pictures ${of(pictures, 0.5)} ms median, ${of(pictures, 0.95)} ms p95, ${pictures.length} of them`").await;
        println!("{}", times.as_str().unwrap());
        assert_eq!(browser.js("return app.fly.flight.state.sticks.output.length").await, 16);
        browser.open("look").await;
        // The page notes the times itself: to send a file of a megabyte through the driver takes longer than to read it.
        let looked = browser
            .js_later(
                "
            const finished = arguments[0];
            globalThis.once = (what, act) => {
                const began = performance.now();
                const watch = new MutationObserver(() => {
                    if (!what()) return;
                    watch.disconnect();
                    requestAnimationFrame(() => requestAnimationFrame(() => act(performance.now() - began)));
                });
                watch.observe(document.body, { childList: true, subtree: true, characterData: true });
            };
            const rows = Array.from({ length: 30000 }, (_, row) => `${row * 20000},${row > 100 ? 1 : 0},0,${row % 1000 > 950 ? 30 : 0},-20,${row % 41},-20\\n`);
            const transfer = new DataTransfer();
            transfer.items.add(new File(['time_us,lesson_switch,instructor_now,i:roll,i:throttle,s:roll,s:throttle\\n', ...rows], 'ten.csv'));
            globalThis.offered = () => [...document.querySelectorAll('.card button')].find((button) => button.textContent === 'Open in Debrief');
            once(offered, finished);
            document.getElementById('drop').dispatchEvent(new DragEvent('drop', { dataTransfer: transfer, bubbles: true, cancelable: true }));",
            )
            .await;
        let drawn = browser
            .js_later(
                "
            once(() => /Shown/.test(document.querySelector('#lessons [role=status]')?.textContent), arguments[0]);
            offered().click();",
            )
            .await;
        let [looked, drawn] = [looked, drawn].map(|ms| ms.as_f64().unwrap());
        println!("ten minutes: looked at and reported in {looked:.0} ms, read again and drawn in {drawn:.0} ms");
    })
    .await;
}
