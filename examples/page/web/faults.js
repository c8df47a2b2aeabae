"use strict";
// What may go wrong: signals that are cut or frozen, sticks that rattle, and a ready-made worn stick.

/** A worn stick: how far off its centre it stays, and the deviation of its rattle, in points. The threshold is 2 points. */
const WORN = { off: 1.8, noise: 0.3 };
/** Seconds for which the student flies before the stick shows its wear. */
const WORN_AFTER_S = 2;
/** Seconds for which the student's values have stood still before it is told. */
const STILL_S = 0.5;

/** @param {Fly} fly */
function listenToFaults(fly) {
  const { controls } = fly.flight;
  for (const fault of /** @type {const} */ (["cut", "frozen", "lost"])) {
    input(fault).addEventListener("change", () => (controls[fault] = input(fault).checked));
  }
  input("noise").addEventListener("input", () => setNoise(fly, Number(input("noise").value)));
  input("plain").addEventListener("change", () => {
    showBeside(fly);
    fly.redraw();
  });
  leadTo("to-frozen-after", "frozen_after_ms", () => "craft");
  const stays = () => fly.flight.flown?.axes[fly.flight.state?.waits?.axis ?? 0]?.name ?? "";
  leadTo("to-rest", "rest_points", stays);
  const worn = new WornStick(fly);
  element("worn").addEventListener("click", () => worn.begin());
}

/**
 * A button that leads to a setting is called like it.
 * @param {string} button
 * @param {string} key
 * @param {() => string} axis
 */
function leadTo(button, key, axis) {
  say(element(button), SETTING_WORDS[key][0]);
  element(button).addEventListener("click", () => {
    const setting = element(`set-${axis().replaceAll(" ", "-")}-${key}`);
    const all = setting.closest("details");
    if (all) all.open = true;
    bringInSight(setting);
    setting.focus({ preventScroll: true });
  });
}

/**
 * The comparison, where it is asked for; never beside a reaction that is timed.
 * @param {Fly} fly
 */
function showBeside(fly) {
  const beside = input("plain").checked && !fly.drill;
  element("beside").hidden = !beside;
  mark(document.body, "beside", String(beside));
}

/**
 * Whether anything notices the frozen link.
 * @param {State} state
 */
function showFrozen(state) {
  const { student_still_s: still, frozen_after_s: after } = state;
  element("frozen-words").hidden = !input("frozen").checked;
  const notices = after === null ? "Nothing notices this; for that, set:" : `After ${after} s the link counts as lost.`;
  say(element("frozen-told"), still < STILL_S ? "" : notices);
  element("to-frozen-after").hidden = after !== null;
}

/**
 * @param {Fly} fly
 * @param {number} points
 */
function setNoise(fly, points) {
  fly.flight.controls.noise = points;
  input("noise").value = String(points);
  say(element("noise-words"), points === 0 ? "none" : `mostly within ${(2 * points).toFixed(1)} points`);
}

/** A lesson in which the stick is worn: nobody touches it, and it takes the craft. */
class WornStick {
  /** @param {Fly} fly */
  constructor(fly) {
    this.fly = fly;
    this.goes = false;
    fly.flight.heard.push((state) => this.hear(state));
  }

  begin() {
    const { fly } = this;
    if (!input("plain").checked) input("plain").click();
    setNoise(fly, 0);
    fly.begin();
    fly.start();
    element("control").scrollIntoView({ block: "nearest" });
    this.goes = true;
    this.since = NaN;
    this.lesson = fly.flight.hands;
  }

  /** @param {State} state */
  hear(state) {
    const { fly } = this;
    if (!this.goes) return;
    if (fly.flight.hands !== this.lesson) {
      // Another lesson has begun.
      this.goes = false;
      setNoise(fly, 0);
      return;
    }
    if (state.flies === "student" && Number.isNaN(this.since)) this.since = state.time_s;
    if (this.lesson && !this.lesson.instructor.wear && state.time_s - (this.since ?? NaN) > WORN_AFTER_S) {
      this.lesson.instructor.wear = WORN.off;
      setNoise(fly, WORN.noise);
    }
  }
}
