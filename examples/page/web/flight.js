"use strict";
// The lesson goes on frame by frame, in time with the clock; what is on the screen follows the browser's pictures.

/** The most frames that are caught up with after a picture that came late; the lesson waits for the rest. */
const MOST_FRAMES = 10;

class Flight {
  /**
   * @param {Engine} engine
   * @param {(state: State, seconds: number) => void} show once for every picture
   */
  constructor(engine, show) {
    this.engine = engine;
    this.show = show;
    /** @type {Flown | null} */
    this.flown = null;
    /** @type {State | null} */
    this.state = null;
    this.goes = false;
    this.owed = 0;
    this.before = 0;
    /** @type {((state: State) => void)[]} called after each frame */
    this.heard = [];
    /** @type {(() => void)[]} called before each frame: devices put the sticks where they are */
    this.polls = [];
    /** @type {((state: State, now: number) => void)[]} called after each picture */
    this.drawn = [];
    /** What a frame is given besides the sticks. */
    this.controls = { switch: false, button: false, noise: 0, cut: false, frozen: false, lost: false };
    /** Whether the button went down since the last frame: a short tap counts. */
    this.tapped = false;
    this.two = false;
    /** The lesson switch and the faults in the last frame. */
    this.stepped = "";
    /** What is flown. */
    this.plan = { craft: "", seed: 0 };
    /** @type {Map<string, string>} the policy of each craft before anything was changed */
    this.defaults = new Map();
    /** @type {{ step: number[], draw: number[], pictures: number[] }} milliseconds */
    this.times = { step: [], draw: [], pictures: [] };
    this.picture = this.picture.bind(this);
  }

  /**
   * A new lesson, on its first frame.
   * @param {{ craft: string, seed: number, student: string, policy: string | null }} plan
   */
  begin(plan) {
    /** @type {Flown} */
    const flown = this.engine.ask({ fly: plan });
    this.flown = flown;
    this.two = plan.student === "person";
    this.plan = plan;
    if (plan.policy === null) this.defaults.set(plan.craft, flown.policy);
    this.hands = { instructor: new Hands("instructor", flown.axes), student: new Hands("student", flown.axes) };
    Object.assign(this.controls, { switch: false, button: false, cut: false, frozen: false, lost: false });
    this.tapped = false;
    this.owed = 0;
    this.step();
    this.draw(0);
  }

  go() {
    if (this.goes) return;
    this.goes = true;
    this.before = performance.now();
    requestAnimationFrame(this.picture);
  }

  pause() {
    this.goes = false;
    // In a pause the button is disabled: it does not hear that it comes up.
    this.controls.button = false;
    this.hands?.instructor.letAll();
    this.hands?.student.letAll();
  }

  /**
   * The button "instructor now".
   * @param {boolean} down
   */
  press(down) {
    this.controls.button = down;
    this.tapped ||= down;
  }

  /** One frame. */
  step() {
    if (!this.flown || !this.hands) return;
    const { lost, ...controls } = this.controls;
    const seconds = this.flown.frame_us / 1e6;
    for (const poll of this.polls) poll();
    this.hands.instructor.step(seconds);
    this.hands.student.step(seconds);
    /** @type {Step} */
    const step = {
      ...controls,
      button: controls.button || this.tapped,
      instructor: lost || this.hands.instructor.gone ? null : this.hands.instructor.sent(),
      student: this.two && !this.hands.student.gone ? this.hands.student.sent() : null,
    };
    this.tapped = false;
    this.stepped = this.turned();
    this.state = /** @type {State} */ (this.engine.ask({ step }));
    for (const hear of this.heard) hear(this.state);
  }

  /** The lesson switch and the faults as they are turned now. */
  turned() {
    const { switch: on, cut, frozen, lost } = this.controls;
    return [on, cut, frozen, lost].join();
  }

  /** Whether the lesson switch or a fault was turned since the last frame: in a pause. */
  changed() {
    return this.turned() !== this.stepped;
  }

  /** @param {number} now */
  picture(now) {
    if (!this.goes || !this.flown) return;
    requestAnimationFrame(this.picture);
    const elapsed = Math.max(0, now - this.before);
    this.before = now;
    const frame = this.flown.frame_us / 1000;
    this.owed = Math.min(this.owed + elapsed, frame * MOST_FRAMES);
    const began = performance.now();
    for (; this.owed >= frame && this.goes; this.owed -= frame) this.step();
    const stepped = performance.now();
    this.draw(elapsed / 1000);
    this.remember(this.times.step, stepped - began);
    this.remember(this.times.draw, performance.now() - stepped);
    this.remember(this.times.pictures, elapsed);
  }

  /** @param {number} seconds */
  draw(seconds) {
    if (!this.state) return;
    this.show(this.state, seconds);
    const now = performance.now();
    for (const drawn of this.drawn) drawn(this.state, now);
  }

  /**
   * The last 1000 times.
   * @param {number[]} times
   * @param {number} time
   */
  remember(times, time) {
    times.push(time);
    if (times.length > 1000) times.shift();
  }
}
