//! Real sticks, by a stand-in of the browser's interface that the page cannot tell from the real one.

use std::sync::Arc;

use page_tests::{Browser, WIDE, with};

/// A joystick with six values: elevator on 0 and reversed, throttle on 2, rudder on 4, aileron on 5.
const GAMEPAD: &str = "
    globalThis.pad = { id: 'stand-in', index: 0, connected: true, timestamp: 1, mapping: '', axes: [0.02, 0, -1, 0, 0, 0.05], buttons: [] };
    Object.defineProperty(navigator, 'getGamepads', { value: () => [pad, null, null, null] });
    globalThis.plug = () => dispatchEvent(Object.assign(new Event('gamepadconnected'), { gamepad: pad }));
    globalThis.stick = (at, value) => { pad.axes[at] = value; pad.timestamp = performance.now(); };";

/// A box on a serial port: what it is told is kept, what it says is fed in.
const SERIAL: &str = "
    globalThis.told = '';
    const port = {
        async open(options) { globalThis.opened = options; },
        async close() {},
        readable: new ReadableStream({ start(controller) { globalThis.wire = controller; } }),
        writable: new WritableStream({ write(bytes) { told += new TextDecoder().decode(bytes); } }),
    };
    Object.defineProperty(navigator, 'serial', { value: { requestPort: async () => port } });
    globalThis.sends = (text) => wire.enqueue(new TextEncoder().encode(text));";

async fn moves(browser: &Browser, words: &str, script: &str) {
    browser.until_shown("assign", words).await;
    tokio::time::sleep(std::time::Duration::from_millis(100)).await;
    browser.js(script).await;
}

/// Given a joystick with its sticks in another order and one reversed, when each stick that is asked for is moved, then the
/// page flies by it; when it is unplugged, the instructor's signal is lost.
#[tokio::test]
async fn a_joystick_is_learnt_and_flies() {
    with(WIDE, GAMEPAD, |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.js("plug()").await;
        browser.choose("device-instructor", "gamepad-0").await;
        moves(&browser, "aileron", "stick(5, 0.95)").await;
        browser.until_shown("assign", "elevator").await;
        moves(&browser, "elevator", "stick(5, 0.05)").await;
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
        browser.js("stick(0, -0.9)").await;
        browser.until_shown("assign", "throttle").await;
        browser.js("stick(0, 0.02)").await;
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
        browser.js("stick(2, 1)").await;
        moves(&browser, "rudder", "stick(4, 1)").await;
        browser.until_shown("assign", "are assigned").await;
        browser.js("stick(4, 0); stick(2, -0.2)").await;
        browser.click("start").await;
        browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
        browser.js("stick(0, 0.62)").await;
        browser.until("the instructor flies", "return app.fly.flight.state.flies === 'instructor'").await;
        // The reversed stick went the other way: 0.6 of its travel from its centre, nose down.
        let elevator = browser.js("return app.fly.flight.state.sticks.instructor[1]").await.as_f64().unwrap();
        assert!((elevator + 60.0).abs() < 1.0, "{elevator}");
        browser.js("pad.connected = false; dispatchEvent(Object.assign(new Event('gamepaddisconnected'), { gamepad: pad }))").await;
        browser.until_shown("told", "Nobody flies").await;
        browser.until_shown("assign", "The instructor's sticks went away").await;
    })
    .await;
}

/// Opens the page and connects the box of [`SERIAL`].
async fn open_with_box(browser: &Browser) {
    browser.open("fly").await;
    browser.click("box").await;
    browser.until("it is open", "return !!globalThis.opened").await;
}

/// Given a trainer box on a serial port, when it sends what its pulses say, then its sticks, its switch and its button fly
/// the page; when the port goes away, its side is lost.
#[tokio::test]
async fn a_trainer_box_flies_the_page() {
    with(WIDE, SERIAL, |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.click("box").await;
        browser.until("the box is asked for its pulses", "return told === 'raw\\n' && opened.baudRate > 0").await;
        browser.js("sends('# train instructor high 4\\ntime_us,lesson_switch,instructor_now,us:i0,us:i1,us:i2,us:i3\\n1,0,0,1500,1500,1400,1500\\n')").await;
        browser.until("it is offered", "return !!document.querySelector('#device-instructor option[value=box-instructor]')").await;
        browser.choose("device-instructor", "box-instructor").await;
        moves(&browser, "aileron", "sends('2,0,0,1900,1500,1400,1500\\n')").await;
        browser.until_shown("assign", "elevator").await;
        moves(&browser, "elevator", "sends('3,0,0,1500,1500,1400,1500\\n')").await;
        // A line may come in two pieces.
        moves(&browser, "elevator", "sends('4,0,0,1500,11'); setTimeout(() => sends('00,1400,1500\\n'), 30)").await;
        browser.until_shown("assign", "throttle").await;
        moves(&browser, "throttle", "sends('5,0,0,1500,1500,1400,1500\\n')").await;
        moves(&browser, "throttle", "sends('6,0,0,1500,1500,2000,1500\\n')").await;
        moves(&browser, "rudder", "sends('7,0,0,1500,1500,1400,2000\\n')").await;
        browser.until_shown("assign", "are assigned").await;
        browser.js("sends('8,0,0,1500,1500,1400,1500\\n')").await;
        browser.click("start").await;
        tokio::time::sleep(std::time::Duration::from_millis(300)).await;
        browser.js("sends('9,1,0,1500,1500,1400,1500\\n')").await;
        browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
        browser.js("sends('10,1,0,1700,1500,1400,1500\\n')").await;
        browser.until("the instructor flies", "return app.fly.flight.state.flies === 'instructor'").await;
        let aileron = browser.js("return app.fly.flight.state.sticks.instructor[0]").await.as_f64().unwrap();
        assert!((aileron - 40.0).abs() < 0.5, "{aileron}");
        browser.js("wire.error(new DOMException('The device has been lost.', 'NetworkError'))").await;
        browser.until_shown("box-words", "the lesson switch stays on until you turn it with the button of this page").await;
        browser.until_shown("told", "Nobody flies").await;
        browser.click("switch").await;
        browser.until_shown("switch", "Lesson switch: off").await;
    })
    .await;
}

/// Two joysticks of four values in the order of the axes; the first has a switch.
const TWO: &str = "
    const gamepad = (index, buttons) => ({ id: `stand-in ${index}`, index, connected: true, timestamp: 1, mapping: '', axes: [0, 0, 0, 0], buttons });
    globalThis.both = [gamepad(0, [{ pressed: false }, { pressed: false }]), gamepad(1, [])];
    Object.defineProperty(navigator, 'getGamepads', { value: () => both });
    globalThis.plug = () => both.forEach((it) => dispatchEvent(Object.assign(new Event('gamepadconnected'), { gamepad: it })));
    globalThis.stick = (pad, at, value) => { both[pad].axes[at] = value; both[pad].timestamp = performance.now(); };";

/// Chooses a joystick of [`TWO`] for this side, and moves each stick that is asked for.
async fn assign(browser: &Browser, pad: usize, side: &str) {
    browser.choose(&format!("device-{side}"), &format!("gamepad-{pad}")).await;
    for (at, axis) in ["aileron", "elevator", "throttle", "rudder"].into_iter().enumerate() {
        moves(browser, &format!("{side}: move the {axis}"), &format!("stick({pad}, {at}, 0.9)")).await;
        tokio::time::sleep(std::time::Duration::from_millis(60)).await;
        let rest = if axis == "throttle" { -0.2 } else { 0.0 };
        browser.js(&format!("stick({pad}, {at}, {rest})")).await;
    }
}

/// Given two joysticks, when one is each person's, then each flies its side, and the switch of the instructor's is the
/// lesson switch.
#[tokio::test]
async fn two_joysticks_fly_for_two_people() {
    with(WIDE, TWO, |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.js("plug()").await;
        browser.choose("student", "person").await;
        for (pad, side) in ["instructor", "student"].into_iter().enumerate() {
            assign(&browser, pad, side).await;
            if pad == 0 {
                moves(&browser, "the switch on", "both[0].buttons[1].pressed = true").await;
            }
            browser.until_shown("assign", "are assigned").await;
        }
        let chosen =
            browser.js("return ['instructor', 'student'].map((side) => element(`device-${side}`).value)").await;
        assert_eq!(chosen, serde_json::json!(["gamepad-0", "gamepad-1"]));
        browser.js("both[0].buttons[1].pressed = false").await;
        browser.click("start").await;
        browser.until("frames are flown", "return app.fly.flight.state.time_s > 0.3").await;
        browser.js("both[0].buttons[1].pressed = true").await;
        browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
        browser.until_shown("switch", "Lesson switch: on").await;
        browser.js("stick(1, 0, 0.5)").await;
        browser
            .until(
                "the student's stick goes to the craft",
                "return Math.abs(app.fly.flight.state.sticks.output[0] - 50) < 1",
            )
            .await;
        browser.js("stick(0, 0, -0.4)").await;
        browser
            .until(
                "the instructor's stick goes to the craft",
                "return Math.abs(app.fly.flight.state.sticks.output[0] + 40) < 1",
            )
            .await;
        browser.js("both[0].buttons[1].pressed = false").await;
        browser.until_shown("switch", "Lesson switch: off").await;
    })
    .await;
}

/// Given a trainer box that sends a trace, when it is chosen, then its named sticks fly without being shown one by one.
#[tokio::test]
async fn a_trace_from_a_trainer_box_flies_the_page() {
    with(WIDE, SERIAL, |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.choose("student", "person").await;
        browser.click("box").await;
        browser.until("it is open", "return !!globalThis.opened").await;
        let sticks =
            |side: &str| ["rudder", "throttle", "elevator", "aileron"].map(|axis| format!("{side}:{axis}")).join(",");
        let header = format!("time_us,lesson_switch,instructor_now,{},{},check", sticks("i"), sticks("s"));
        browser.js(&format!("sends('# recording\\n{header}\\n1,0,0,0,-20,0,0,0,-20,0,0,00000000\\n')")).await;
        for side in ["instructor", "student"] {
            browser
                .until(
                    "it is offered",
                    &format!("return !!document.querySelector('#device-{side} option[value=box-{side}]')"),
                )
                .await;
            browser.choose(&format!("device-{side}"), &format!("box-{side}")).await;
            browser.until_shown("assign", &format!("The {side}'s sticks are assigned by their names")).await;
        }
        browser.click("start").await;
        browser.until("frames are flown", "return app.fly.flight.state.time_s > 0.3").await;
        // A row in which only the student's frame came has empty cells.
        browser.js("sends('2,1,0,,,,,7.5,-20,12.5,33.3,00000000\\n')").await;
        browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
        browser
            .until(
                "the student's sticks go to the craft",
                "
            const [aileron, elevator, , rudder] = app.fly.flight.state.sticks.output;
            return Math.abs(aileron - 33.3) < 0.3 && Math.abs(elevator - 12.5) < 0.3 && Math.abs(rudder - 7.5) < 0.3",
            )
            .await;
        browser.js("sends('3,1,1,0,-20,0,0,7.5,-20,12.5,33.3,00000000\\n')").await;
        browser.until_shown("waits", "the instructor's button keeps the craft").await;
        assert_eq!(browser.js("return told").await, "", "a box that sends a trace was asked for its pulses");
    })
    .await;
}

/// A head and a row of the pulses of one side, and the lesson switch off.
const PULSES: &str =
    "sends('time_us,lesson_switch,instructor_now,us:i0,us:i1,us:i2,us:i3\\n1,0,0,1500,1500,1400,1500\\n')";

/// Given a box or a joystick with the lesson switch, when it goes away before Start, then Start turns the page's switch
/// on.
#[tokio::test]
async fn the_switch_is_the_pages_when_its_device_goes() {
    with(WIDE, &format!("{SERIAL}{TWO}"), |browser: Arc<Browser>| async move {
        open_with_box(&browser).await;
        browser.js(PULSES).await;
        browser.until_shown("device-instructor", "trainer box, instructor").await;
        browser.js("wire.close()").await;
        browser.until_shown("box-words", "went away").await;
        browser.click("start").await;
        browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;

        browser.js("plug()").await;
        assign(&browser, 0, "instructor").await;
        moves(&browser, "the switch on", "both[0].buttons[1].pressed = true").await;
        browser.until_shown("assign", "are assigned").await;
        browser.js("both[0].connected = false").await;
        browser.choose("device-instructor", "").await;
        browser.click("again").await;
        browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
    })
    .await;
}

/// Given a box with the lesson switch, when a joystick without one is assigned, then the switch is left to the box; the
/// page tells what the person must do with it.
#[tokio::test]
async fn a_joystick_without_a_switch_leaves_it_to_the_box() {
    with(WIDE, &format!("{SERIAL}{TWO}"), |browser: Arc<Browser>| async move {
        open_with_box(&browser).await;
        browser.js(PULSES).await;
        browser.js("plug()").await;
        assign(&browser, 1, "instructor").await;
        browser.until_shown("assign", "are assigned").await;
        browser.click("start").await;
        browser.until("frames are flown", "return app.fly.flight.state.time_s > 1.5").await;
        assert_eq!(browser.text("switch").await, "Lesson switch: off");
        browser.until_shown("waits", "turn the lesson switch on").await;
        browser.js("sends('2,1,0,1500,1500,1400,1500\\n')").await;
        browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
        // A new engine must see the switch off first, and the page cannot turn it.
        browser.write("set-craft-dwell_ms", "400").await;
        browser.until_shown("waits", "turn the lesson switch off, then on").await;
        assert_eq!(browser.text("switch").await, "Lesson switch: on");
        browser.click("again").await;
        browser.until_shown("waits", "turn the lesson switch off, then on").await;
        browser.js("sends('3,0,0,1500,1500,1400,1500\\n')").await;
        browser
            .until(
                "it was seen off",
                "return app.fly.flight.state.waits?.for === 'switch' && app.fly.flight.state.seen_off_first",
            )
            .await;
        browser.js("sends('4,1,0,1500,1500,1400,1500\\n')").await;
        browser.until("the student flies", "return app.fly.flight.state.flies === 'student'").await;
    })
    .await;
}

/// Given a box in the middle of a trace, when the page connects, then the trace goes on until the person ends it.
#[tokio::test]
async fn a_trace_whose_head_is_gone_is_not_ended_unasked() {
    with(WIDE, SERIAL, |browser: Arc<Browser>| async move {
        open_with_box(&browser).await;
        browser.js("sends('7.5,-20,0,0,1f4a77c0\\n20,1,0,0,-20,0,0,0,-20,0,0,')").await;
        browser.js("sends('00c0ffee\\n')").await;
        tokio::time::sleep(std::time::Duration::from_millis(1000)).await;
        assert_eq!(browser.js("return told").await, "");
        browser.until_shown("box-words", "the page cannot read it").await;
        browser.click_words("End the trace, and read the pulses").await;
        browser.until("it is asked", "return told === 'raw\\n'").await;
    })
    .await;
}

/// Given a box that sends pulses because somebody asked before, when the page connects, then it asks for their head.
#[tokio::test]
async fn pulses_whose_head_is_gone_are_asked_for_again() {
    with(WIDE, SERIAL, |browser: Arc<Browser>| async move {
        open_with_box(&browser).await;
        browser.js("sends('20,1,0,1500,1500,1400,1500,,,,\\n')").await;
        browser.until("it is asked", "return told === 'raw\\n'").await;
    })
    .await;
}

/// Given a box that takes no bytes, when it is asked for its pulses, then the page says so.
#[tokio::test]
async fn a_box_that_cannot_be_asked_is_told() {
    let deaf =
        format!("{SERIAL} port.writable = new WritableStream({{ write() {{ throw new Error('broken pipe'); }} }});");
    with(WIDE, &deaf, |browser: Arc<Browser>| async move {
        browser.open("fly").await;
        browser.click("box").await;
        browser.until_shown("box-words", "cannot be asked for its pulses: broken pipe").await;
    })
    .await;
}
