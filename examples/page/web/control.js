"use strict";
// Who flies, in words and by position: the student's half is on the left, the instructor's on the right. Below them, what
// the student waits for, and a bar that runs from the instructor's side to the student's.

/** What is told by voice last, so that it is told once. */
let toldLast = "";
/** The longest time left since the student began to wait for this. */
let waitsFor = { what: "", longest: 0 };

/**
 * @param {State} state
 * @param {Axis[]} axes
 * @param {Stand} stand
 */
function showControl(state, axes, stand) {
  const named = (/** @type {boolean} */ students) =>
    axes.filter((_, at) => (state.shares[at] ?? false) === students).map((axis) => axis.name);
  const [theirs, rest] = [named(true), named(false)];
  const parted = state.flies === "student" && rest.length > 0;
  const goes = stand === "flies";
  mark(element("control"), "parted", String(parted));
  const short = (/** @type {string[]} */ names, /** @type {string[]} */ others) => (names.length > others.length ? "the rest" : listed(names));
  plate("student", goes && state.flies === "student", goes, parted ? `flies ${short(theirs, rest)}` : "flies");
  plate("instructor", goes && (state.flies === "instructor" || parted), goes, parted ? `flies ${short(rest, theirs)}` : "flies");
  mark(element("control"), "flies", goes ? state.flies : "");
  element("nobody").hidden = !goes || state.flies !== "nobody";

  const words = goes ? whoWords(state, parted ? theirs : []) : standWords(stand, state.flies);
  if (words !== toldLast) {
    toldLast = words;
    say(element("told"), words);
  }
  showWaits(state, stand);
  mark(element("lamp"), "lit", String(state.lamp));
}

/**
 * @param {Side} side
 * @param {boolean} flies
 * @param {boolean} goes whether anybody does
 * @param {string} words
 */
function plate(side, flies, goes, words) {
  const at = element(`plate-${side}`);
  mark(at, "flies", String(flies));
  say(element(`does-${side}`), flies ? words : goes ? "does not fly" : "");
}

/**
 * @param {State} state
 * @param {string[]} some the axes that the student flies, if these are not all
 */
function whoWords(state, some) {
  if (state.flies === "nobody") return "Nobody flies. The failsafe goes to the craft.";
  if (state.flies === "instructor") return "The instructor flies.";
  return some.length > 0 ? `The student flies ${listed(some)}.` : "The student flies.";
}

/** @type {Record<Stand, string>} */
const WAITS = { flies: "", before: "for Start", paused: "until the lesson goes on", crashed: "until a new lesson begins" };

/**
 * @param {State} state
 * @param {Stand} stand
 */
function showWaits(state, stand) {
  const { waits } = state;
  const bar = element("bar");
  const part = element("bar-done");
  if (!waits || stand !== "flies") {
    waitsFor = { what: "", longest: 0 };
    say(element("waits"), WAITS[stand] || (state.flies === "student" ? "for nothing (the student flies)" : ""));
    say(element("left"), "");
    bar.hidden = true;
    return;
  }
  const left = waits.left_s;
  if (waitsFor.what !== waits.for) waitsFor = { what: waits.for, longest: 0 };
  waitsFor.longest = Math.max(waitsFor.longest, left ?? 0);
  say(element("waits"), waits.words);
  say(element("left"), left === null ? "" : `(${left.toFixed(1)} s left)`);
  bar.hidden = left === null;
  const done = left === null || waitsFor.longest === 0 ? 0 : 1 - left / waitsFor.longest;
  part.style.transform = `scaleX(${done.toFixed(3)})`;
}

/**
 * Names in a row, such as "aileron, elevator and rudder".
 * @param {string[]} names
 */
function listed(names) {
  const last = names[names.length - 1] ?? "";
  return names.length < 2 ? last : `${names.slice(0, -1).join(", ")} and ${last}`;
}
