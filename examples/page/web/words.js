"use strict";
// What the pictures show, in words and numbers.

/**
 * @param {State} state
 * @param {Axis[]} axes
 * @param {{ engine: number, plain: number }} before changes that count no more
 */
function showWords(state, axes, before) {
  const { craft } = state;
  const side = (/** @type {number} */ value, /** @type {string} */ minus, /** @type {string} */ plus) =>
    Math.round(value) === 0 ? "0\u00b0" : `${Math.abs(Math.round(value))}\u00b0 ${value < 0 ? minus : plus}`;
  const moves = craft.sink > 0.3 ? `sinks ${craft.sink.toFixed(1)} m/s` : craft.sink < -0.3 ? `climbs ${(-craft.sink).toFixed(1)} m/s` : "level";
  // A line ends between two facts, not within one.
  const facts = (/** @type {string[]} */ all) => all.map((fact) => fact.replaceAll(" ", "\u00a0")).join(" \u00b7 ");
  const attitude = [`bank ${side(craft.bank, "left", "right")}`, `nose ${side(craft.pitch, "down", "up")}`,
    `${Math.round(craft.height)} m high`];
  // A helicopter's speed is that over the ground: beside a climb, "0 m/s" would be read as that of the craft.
  const stands = Math.round(craft.speed) === 0;
  const ahead = stands ? [] : [`${Math.round(craft.speed)} m/s`];
  const motion = [...ahead, craft.on_ground ? "on the ground" : stands && moves === "level" ? "hovers" : moves];
  say(element("attitude"), facts(attitude));
  say(element("motion"), facts(motion));
  for (const who of /** @type {Side[]} */ (["student", "instructor"])) {
    if (state.no_signal[who]) {
      showValues(element(`values-${who}`), ["no signal"]);
      continue;
    }
    const values = axes.slice(0, 4).map((axis, at) => `${axis.name}\u00a0${who === "instructor" && staysWords(state, at) || points(state.sticks[who][at])}${at < 3 ? "," : ""}`);
    const does = who === "instructor" ? doesWords(state, axes.slice(0, 4)) : "";
    showValues(element(`values-${who}`), [...values, does]);
  }
  if (element("beside").hidden) return;
  const [engine, plain] = [state.changes - before.engine, state.plain.changes - before.plain];
  for (const [of, changes, jump] of /** @type {const} */ ([["engine", engine, state.jump], ["plain", plain, state.plain_jump]])) {
    say(element(`${of}-count`), counted(changes, "change"));
    say(element(`${of}-jump`), `(last jolt: ${counted(Math.round(jump), "point")})`);
  }
  const since = before.engine + before.plain > 0 ? "Since the last change of a setting, a" : "A";
  const often = engine === plain ? "as often" : `${counted(plain, "time")}, not ${engine}`;
  say(element("same"), `${since} plain threshold would have changed who flies ${often}. A jolt is a jump of what goes to the craft.`);
}

/**
 * Two axes on a line, however long their numbers are; below them what the sticks take.
 * @param {HTMLElement} where
 * @param {string[]} words
 */
function showValues(where, words) {
  if (where.children.length !== words.length) where.replaceChildren(...words.map(() => make("span")));
  words.forEach((one, at) => say(/** @type {HTMLElement} */ (where.children[at]), one));
}

/**
 * Where a stick stays that no hand holds: as the line of what the student waits for says it.
 * @param {State} state
 * @param {number} axis
 */
function staysWords({ waits }, axis) {
  if (waits?.axis !== axis || waits.stays_at === null) return "";
  return pointsInTenths(waits.stays_at);
}

/** @param {number} value */
function pointsInTenths(value) {
  const tenths = inTenths(value);
  return minus(`${tenths > 0 ? "+" : ""}${tenths.toFixed(1)}`);
}

/**
 * Never minus zero.
 * @param {number} value
 */
function inTenths(value) {
  return Math.round(value * 10) / 10 + 0;
}

/**
 * The axes beyond the four of the thumbs: a bar each.
 * @param {State} state
 * @param {Axis[]} axes
 */
function showFurther(state, axes) {
  const where = element("further");
  where.hidden = element("further-title").hidden = axes.length <= 4;
  mark(document.body, "further", String(!where.hidden));
  if (where.hidden) return;
  if (where.children.length !== axes.length - 4) {
    where.textContent = "";
    for (const axis of axes.slice(4)) {
      where.append(make("div", { class: "far" }, make("span", {}, `${axis.name}: `), make("b"), make("i", { class: "output" })));
    }
  }
  axes.slice(4).forEach((_, at) => {
    const output = state.sticks.output[at + 4];
    const [, number, place] = /** @type {HTMLElement[]} */ ([...where.children[at].children]);
    say(number, points(output));
    place.style.transform = `translateX(${(output * 0.45).toFixed(1)}px)`;
  });
}

/**
 * What the instructor's sticks take.
 * @param {State} state
 * @param {Axis[]} axes
 */
function doesWords(state, axes) {
  const named = (/** @type {(at: number) => boolean} */ does) => axes.filter((_, at) => does(at)).map(({ name }) => name);
  const [craft, own] = [named((at) => state.holds[at] === "craft"), named((at) => state.holds[at] === "axis")];
  if (craft.length > 0) return `${few(craft, 1)} ${craft.length > 1 ? "take" : "takes"} the craft`;
  return own.length === 0 ? "" : `${few(own, 1)} ${own.length > 1 ? "take only themselves" : "takes only its own axis"}`;
}

/**
 * At most so many names; of more the number, so that the words keep their room.
 * @param {string[]} names
 * @param {number} most
 */
function few(names, most) {
  return names.length > most ? `${names.length} axes` : listed(names);
}
