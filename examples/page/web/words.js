"use strict";
// What the pictures show, in words and numbers.

/**
 * @param {State} state
 * @param {Axis[]} axes
 */
function showWords(state, axes) {
  const { craft } = state;
  const side = (/** @type {number} */ value, /** @type {string} */ minus, /** @type {string} */ plus) =>
    Math.round(value) === 0 ? "0\u00b0" : `${Math.abs(Math.round(value))}\u00b0 ${value < 0 ? minus : plus}`;
  const moves = craft.sink > 0.3 ? `sinks ${craft.sink.toFixed(1)} m/s` : craft.sink < -0.3 ? `climbs ${(-craft.sink).toFixed(1)} m/s` : "level";
  const attitude = [`bank ${side(craft.bank, "left", "right")}`, `nose ${side(craft.pitch, "down", "up")}`,
    `${Math.round(craft.height)} m high`];
  const motion = [`${Math.round(craft.speed)} m/s`, craft.on_ground ? "on the ground" : moves];
  say(element("attitude"), attitude.join(" \u00b7 "));
  say(element("motion"), motion.join(" \u00b7 "));
  for (const who of /** @type {Side[]} */ (["student", "instructor"])) {
    if (state.no_signal[who]) {
      say(element(`values-${who}`), "no signal: no frame comes");
      continue;
    }
    const values = axes.slice(0, 4).map((axis, at) => {
      const held = who === "instructor" && state.held[at] ? " takes the craft" : "";
      const waits = who === "instructor" && state.pickup[at] ? " waits for its stick at the diamond (pickup)" : "";
      return `${axis.name} ${points(state.sticks[who][at])}${held}${waits}`;
    });
    say(element(`values-${who}`), values.join(", "));
  }
  if (element("beside").hidden) return;
  for (const [of, changes, jump] of /** @type {const} */ ([["engine", state.changes, state.jump], ["plain", state.plain.changes, state.plain_jump]])) {
    say(element(`${of}-count`), counted(changes, "change"));
    say(element(`${of}-jump`), `(its last jump: ${counted(Math.round(jump), "point")})`);
  }
  const [engine, plain] = [state.changes, state.plain.changes];
  say(element("same"), engine === plain ? "Both are equal so far." : `The plain threshold changed who flies ${counted(Math.abs(plain - engine), "time")} ${plain > engine ? "more" : "less"}.`);
}

/**
 * The axes beyond the four of the thumbs: a bar each.
 * @param {State} state
 * @param {Axis[]} axes
 */
function showFurther(state, axes) {
  const where = element("further");
  where.hidden = axes.length <= 4;
  if (where.hidden) return;
  if (where.children.length !== axes.length - 4) {
    where.textContent = "";
    for (const axis of axes.slice(4)) {
      where.append(make("div", { class: "far" }, make("span", {}, axis.name), make("i", { class: "output" })));
    }
  }
  axes.slice(4).forEach((_, at) => {
    const mark = /** @type {HTMLElement | undefined} */ (where.children[at].lastElementChild);
    if (mark) mark.style.transform = `translateX(${(state.sticks.output[at + 4] * 0.45).toFixed(1)}px)`;
  });
}
