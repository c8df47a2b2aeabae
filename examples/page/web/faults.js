"use strict";
// What may go wrong: signals that are cut or frozen, sticks that rattle, and a ready-made worn stick.

/** A worn stick: how far off its centre it stays, and the deviation of its rattle, in points. The threshold is 2 points. */
const WORN = { off: 1.8, noise: 0.3 };
/** Seconds for which the student flies before the stick shows its wear. */
const WORN_AFTER_S = 2;
/** Seconds for which the student's values have stood still before it is told: more than a calm hand's. Own choice, no source. */
const STILL_S = 1;
/** Since when the link is frozen: values that stood still before were a calm hand's. */
let frozenAt_s = 0;

/** @param {Fly} fly */
function listenToFaults(fly) {
  const { controls } = fly.flight;
  for (const fault of /** @type {const} */ (["cut", "frozen", "lost"])) {
    input(fault).addEventListener("change", () => {
      controls[fault] = input(fault).checked;
      if (fault === "frozen") frozenAt_s = fly.flight.state?.time_s ?? 0;
      fly.redraw();
    });
  }
  input("noise").addEventListener("input", () => setNoise(fly, Number(input("noise").value)));
  input("plain").addEventListener("change", () => {
    showBeside(fly);
    fly.redraw();
  });
  element("mend").addEventListener("click", () => mend(fly));
  const worn = new WornStick(fly);
  element("worn").addEventListener("click", () => worn.begin());
}

/**
 * Leads a person to a setting.
 * @param {string} field
 */
function leadTo(field) {
  const setting = element(field);
  const all = setting.closest("details");
  if (all) all.open = true;
  bringInSight(setting);
  setting.focus({ preventScroll: true });
}

/** @typedef {{ field: string, axis?: string, value: string, words: string, done: string }} Mend a setting that ends what goes wrong, and its value */

/**
 * What one press may mend.
 * @param {State} state
 * @param {Axis[]} axes
 * @returns {Mend | null}
 */
function mendOf(state, axes) {
  const { waits } = state;
  const axis = axes[waits?.axis ?? -1]?.name;
  if (waits && axis && waits.stays_at !== null) {
    const at = pointsInTenths(waits.stays_at);
    return { field: fieldId("rest_points", axis), axis, value: inTenths(waits.stays_at).toFixed(1), words: `set its rest to ${at}`, done: `${axis}: its rest is ${at} now.` };
  }
  if (!waits && state.frozen_after_s === null && stillWords(state)) {
    return { field: fieldId("frozen_after_ms", null), value: "1000", words: "count that as lost after 1 s", done: "A link without new values counts as lost after 1 s now." };
  }
  return null;
}

/**
 * Mends it as if a person had written the setting. What is refused stands at its field.
 * @param {Fly} fly
 */
function mend(fly) {
  const { state, flown } = fly.flight;
  const found = state && mendOf(state, flown?.axes ?? []);
  if (!found) return;
  const box = input(found.field);
  // The wear of the page's own stick ends with its lesson, and its mend too.
  if (fly.flight.hands?.instructor.wear && found.axis) fly.setBack = { axis: found.axis, value: box.value, mended: found.value };
  box.value = found.value;
  box.dispatchEvent(new Event("change"));
  if (box.getAttribute("aria-invalid")) {
    leadTo(found.field);
    return;
  }
  fly.list(state.time_s, "", found.done, button("Its setting", () => leadTo(found.field)));
  element("field").focus({ preventScroll: true });
}

/** @typedef {{ axis: string, value: string, mended: string }} SetBack the rest of an axis before it was mended, and after */

/**
 * After a lesson with a mended wear the rest is what it was, unless a person wrote another since.
 * @param {Fly} fly
 */
function takeMendBack(fly) {
  if (!fly.setBack) return;
  const [{ axis, value, mended }, key] = [fly.setBack, "rest_points"];
  fly.setBack = null;
  const now = settingsOf(fly.engine).find((setting) => setting.key === key && setting.axis === axis)?.value;
  if (Number(now) === Number(mended)) fly.policy = fly.engine.ask({ set: { key, axis, value } }).policy;
}

/** The faults that are on, in few words. */
function faultWords() {
  const on = [
    input("cut").checked ? "link cut" : input("frozen").checked && "link frozen",
    input("lost").checked && "instructor's signal cut",
    Number(input("noise").value) > 0 && "rattle",
  ].filter((words) => words);
  return on.length === 0 ? "" : `Fault: ${on.join(", ")}`;
}

/**
 * For how long the student's values have stood still, while the page freezes them.
 * @param {State} state
 */
function stillWords({ student_still_s, time_s }) {
  const still = Math.min(student_still_s, time_s - frozenAt_s);
  return input("frozen").checked && still >= STILL_S ? `no new values for ${Math.floor(still)} s` : "";
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
