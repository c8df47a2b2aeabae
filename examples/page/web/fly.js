"use strict";
// The part "Fly": the lesson with its pictures, words and buttons.

/** How many events are listed. */
const EVENTS = 8;
/** How many of them may have a button. */
const BUTTONS = 5;
/** The largest number of a lesson. */
const LAST_LESSON = 999_999_999;

class Fly {
  /** @param {Engine} engine */
  constructor(engine) {
    this.engine = engine;
    this.flight = new Flight(engine, (state, seconds) => this.show(state, seconds));
    this.flight.heard.push((state) => this.hear(state));
    this.lessonSwitch = new LessonSwitch(this.flight);
    this.saving = new Saving(this);
    this.scene = new Scene(/** @type {HTMLCanvasElement} */ (element("scene")));
    this.strip = new Strip(/** @type {HTMLCanvasElement} */ (element("strip")));
    this.pads = /** @type {Pad[]} */ ([]);
    for (const side of /** @type {Side[]} */ (["student", "instructor"])) {
      for (const thumb of ["left", "right"]) {
        this.pads.push(new Pad(/** @type {HTMLCanvasElement} */ (element(`${side}-${thumb}`)), side));
      }
    }
    this.colours = palette();
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.redraw());
    addEventListener("resize", () => this.redraw());
    this.drill = false;
    /** How many lessons of the drill were begun: none is like the one before. */
    this.drills = 0;
    /** How the craft would hit the ground as it flew in the frame before. */
    this.hit = "";
    /** @type {Stand} */
    this.stand = "before";
    /** The changes of who flew up to the last change of a setting: they were under others. */
    this.before = { engine: 0, plain: 0 };
    /** Whether a setting was changed since the last frame: what changes in the next one is by that. */
    this.countsAnew = false;
    /** @type {SetBack | null} what a setting is again in the next lesson */
    this.setBack = null;
    this.wordsAt = 0;
    /** @type {Flies} who flew when words were shown last */
    this.wordsOf = "nobody";
    this.focusStart = guardFromHands(element("start"));
    this.focusReview = guardFromHands(element("review-crash"));
    this.listen();
    listenToKeys(this);
  }

  listen() {
    element("start").addEventListener("click", () => this.start());
    element("pause").addEventListener("click", () => (this.flight.goes ? this.turnPause() : this.start()));
    element("mute").addEventListener("click", () => this.turnSound());
    for (const id of ["switch", "now", "pause", "mute"]) {
      element(id).addEventListener("click", ({ detail }) => {
        // Who clicked goes on flying by keys at once: none goes to a button. Who pressed a key stays at the button.
        if (detail > 0 && this.flight.goes) element("field").focus({ preventScroll: true });
      });
    }
    element("switch").addEventListener("click", () => this.redraw());
    const now = element("now");
    now.addEventListener("pointerdown", () => this.press(true));
    now.addEventListener("keydown", (event) => {
      if (event.code === "Space" || event.code === "Enter") this.press(true);
    });
    for (const end of ["pointerup", "pointercancel", "pointerleave", "keyup", "blur"]) {
      now.addEventListener(end, () => this.press(false));
    }
    listenToFaults(this);
    for (const id of ["craft", "student", "seed"]) {
      element(id).addEventListener("change", () => {
        // No lesson is lost by the arrow key that goes through a list.
        const isUnderWay = this.stand === "flies" || this.stand === "paused";
        if (isUnderWay) say(element("chosen"), "Counts from \u201cBegin again\u201d on.");
        else this.begin();
      });
    }
    element("thumbs").addEventListener("change", () => this.arrange());
    element("again").addEventListener("click", () => this.beginAgain());
    element("defaults").addEventListener("click", () => this.beginUnder(null, "the default settings"));
    const file = input("policy-file");
    file.addEventListener("change", async () => {
      const [policy] = file.files ?? [];
      file.value = "";
      if (policy) this.beginUnder(await policy.text(), policy.name);
    });
    element("save").addEventListener("click", () => this.saving.save("trace"));
    element("save-policy").addEventListener("click", () => this.saving.save("policy"));
    document.addEventListener("visibilitychange", () => {
      if (document.hidden && this.flight.goes) this.pause("Paused: the page was hidden. Sticks wait for Go on.");
    });
  }

  /** What is chosen for the next lesson. */
  chosen() {
    const of = (/** @type {string} */ id) => /** @type {HTMLSelectElement} */ (element(id)).value;
    const number = Math.min(LAST_LESSON, Math.max(0, Math.floor(Number(of("seed")) || 0)));
    input("seed").value = String(number);
    const seed = number + (this.drill ? this.drills : 0);
    return { seed, student: this.drill ? "drill" : of("student"), craft: this.drill && of("craft") === "many" ? "aeroplane" : of("craft") };
  }

  /**
   * A new lesson under this policy; one that is refused changes nothing.
   * @param {string | null} policy
   * @param {string} name what it is called
   */
  beginUnder(policy, name) {
    say(element("policy-refused"), "");
    try {
      this.engine.ask({ fly: { ...this.chosen(), policy } });
    } catch (why) {
      say(element("policy-refused"), wordsOf(why).replace(/^policy\.toml/, name));
      return;
    }
    this.policy = policy;
    this.setBack = null;
    this.beginAgain();
    say(element("carried"), `Under ${name}.`);
  }

  /** Begins and starts; but where people change seats, they read first whose sticks are whose. */
  beginAgain() {
    const { two } = this.flight;
    this.begin();
    if (this.flight.two === two) this.start();
  }

  /** A new lesson, by what is chosen. */
  begin() {
    if (this.drill) this.drills += 1;
    this.lessonSwitch.begin();
    const { seed, student, craft } = this.chosen();
    say(element("carried"), "");
    takeMendBack(this);
    try {
      this.flight.begin({ craft, seed, student, policy: this.policy ?? null });
    } catch (why) {
      // A policy for other axes.
      const before = settingsOf(this.engine);
      this.flight.begin({ craft, seed, student, policy: null });
      this.policy = carrySettings(this.engine, before);
      if (this.policy) this.flight.begin({ craft, seed, student, policy: this.policy });
      const fresh = (this.flight.flown?.axes ?? []).map(({ name }) => name).filter((name) => before.every(({ axis }) => axis !== name));
      const own = fresh.length === 0 ? "" : ` Those of ${few(fresh, 4)} are the defaults: the craft before had no such sticks.`;
      say(element("carried"), `The settings are kept.${own}`);
    }
    this.flight.pause();
    this.saving.renew();
    this.scene.show(craft);
    this.strip.forget();
    this.before = { engine: 0, plain: 0 };
    for (const fault of ["cut", "frozen", "lost"]) input(fault).checked = false;
    this.flight.controls.noise = Number(input("noise").value);
    element("events").textContent = "";
    element("no-events").hidden = false;
    for (const id of ["paused", "saved", "check", "chosen"]) say(element(id), "");
    document.body.dataset.student = student;
    showBeside(this);
    /** @type {HTMLSelectElement} */ (element("device-student")).disabled = student !== "person";
    const names = this.flight.flown?.axes.map((axis) => axis.name) ?? [];
    say(element("beside-axis"), names[2] ?? "");
    say(element("worn-axis"), names[0] ?? "");
    this.arrange();
    say(element("renewed"), "");
    const keep = () => (this.stand === "before" ? null : this.saving.now());
    showSettings(this.engine, keep, (policy, before, what) => {
      this.policy = policy;
      say(element("carried"), "");
      this.saving.next(before);
      this.strip.forget();
      this.countsAnew = this.stand !== "before";
      const goesOn = ["flies", "paused"].includes(this.stand);
      const words = goesOn ? this.lessonSwitch.renew(this.stand === "paused") : "";
      if (goesOn) this.list(this.flight.state?.time_s ?? 0, "", words.replace("Changed", what));
      say(element("renewed"), words);
      if (this.stand === "before") this.stands("before");
    });
    this.lessonSwitch.show();
    this.stands("before");
    this.redraw();
  }

  /** @param {Stand} stand */
  stands(stand) {
    this.stand = stand;
    document.body.dataset.stand = stand;
    showStand(stand, this.flight.state?.flies ?? "instructor", this.hit, this.drill ? "drill" : this.flight.two ? "two" : "fly", startOf(this.engine));
    this.arrange();
  }

  /** Which stick is on which square. */
  arrange() {
    const kind = /** @type {keyof typeof THUMBS} */ (/** @type {HTMLSelectElement} */ (element("thumbs")).value);
    const { hands } = this.flight;
    this.pads.forEach((pad, at) => {
      pad.axes = THUMBS[kind][at % 2];
      pad.names = pad.axes.map((axis) => this.flight.flown?.axes[axis]?.name ?? "");
      // In a pause a stick that moves would jump when the lesson goes on.
      const flown = !["paused", "done"].includes(this.stand) && (pad.side === "instructor" || this.flight.two);
      pad.hands = flown ? (hands?.[pad.side] ?? null) : null;
      pad.canvas.dataset.flown = String(flown);
    });
    this.redraw();
  }

  start() {
    beeper.wake();
    if (this.stand === "crashed" || this.stand === "done") this.begin();
    if (this.stand === "before") {
      this.saving.renew();
      this.lessonSwitch.start();
    }
    this.flight.go();
    this.saving.offer();
    this.stands("flies");
    say(element("paused"), "");
    element("field").focus({ preventScroll: true });
  }

  /** @param {string} words */
  pause(words) {
    this.flight.pause();
    beeper.sound(false);
    this.stands("paused");
    say(element("paused"), words);
  }

  /** Nothing is left to do in this lesson. */
  finish() {
    this.flight.pause();
    beeper.sound(false);
    this.stands("done");
    this.offerAgain();
  }

  /** In the field, keys do nothing after the end of a lesson. A key that still flies must not lose the lesson that crashed. */
  offerAgain() {
    if (document.activeElement !== element("field")) return;
    if (this.stand === "crashed" && !this.drill) this.focusReview();
    else this.focusStart();
  }

  turnPause() {
    if (this.stand !== "flies" && this.stand !== "paused") return;
    if (this.flight.goes) this.pause("Paused. Sticks wait for Go on.");
    else this.start();
  }

  /**
   * The button "instructor now".
   * @param {boolean} down
   */
  press(down) {
    this.flight.press(down && this.stand === "flies");
  }

  turnSound() {
    beeper.muted = !beeper.muted;
    element("mute").setAttribute("aria-pressed", String(!beeper.muted));
    say(element("mute"), `Sound: ${beeper.muted ? "off" : "on"}`);
  }

  /**
   * Whether the key moves a stick.
   * @param {KeyboardEvent} event
   * @param {boolean} down
   */
  key(event, down) {
    const { hands, two } = this.flight;
    if (!hands || (down && this.stand === "paused")) return false;
    return hands.instructor.key(event, down) || (two && hands.student.key(event, down));
  }

  /**
   * Each frame.
   * @param {State} state
   */
  hear(state) {
    beeper.sound(state.sound);
    this.strip.keep(state, 2);
    if (this.countsAnew) this.before = { engine: state.changes, plain: state.plain.changes };
    this.countsAnew = false;
    for (const { time_s, gains, words } of state.events) this.list(time_s, gains, words);
    if (state.events.some(({ gains }) => gains === "student")) say(element("renewed"), "");
    for (const { time_s, words } of state.notes) this.list(time_s, "", words);
    if (!state.craft.crashed) this.hit = hitWords(state.craft, this.scene.kind === "helicopter");
    else if (this.flight.goes) {
      this.flight.pause();
      beeper.sound(false);
      this.stands("crashed");
      this.offerAgain();
    }
  }

  /**
   * @param {number} time_s
   * @param {Flies | ""} gains who flies more than before; nobody, where that did not change
   * @param {string} words
   * @param {HTMLElement[]} more
   */
  list(time_s, gains, words, ...more) {
    const list = element("events");
    list.prepend(make("li", { "data-gains": gains }, make("time", {}, clock(time_s)), ` ${minus(capital(words))}`, ...more.flatMap((it) => [" ", it])));
    // What is out of sight takes no focus.
    for (const old of [...list.children].slice(BUTTONS)) old.querySelector("button")?.remove();
    while (list.children.length > EVENTS) list.lastElementChild?.remove();
    element("no-events").hidden = true;
  }

  /**
   * Each picture.
   * @param {State} state
   * @param {number} seconds
   */
  show(state, seconds) {
    const axes = this.flight.flown?.axes ?? [];
    this.scene.draw(state.craft, this.colours, seconds);
    for (const pad of this.pads) pad.draw(state, this.colours);
    showControl(state, axes, this.stand);
    showFurther(state, axes);
    if (!element("beside").hidden) this.strip.draw(this.colours);
    // Words ten times a second, as nobody reads faster; at once with who flies.
    const now = performance.now();
    if (this.flight.goes && now - this.wordsAt < 100 && state.flies === this.wordsOf) return;
    [this.wordsAt, this.wordsOf] = [now, state.flies];
    showWaits(state, axes, this.stand, this.flight.changed());
    showWords(state, axes, this.before);
  }

  redraw() {
    keptSizes.forget();
    this.colours = palette();
    this.wordsAt = 0;
    this.flight.draw(0);
  }
}
