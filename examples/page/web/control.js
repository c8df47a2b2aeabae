"use strict";
// Who flies, in words and by position: the student's half is on the left, the instructor's on the right. Below them, what
// the student waits for, and a bar: the time left, which shrinks towards the student's side.

/** The longest words of a failsafe for which there is room. */
const FAILSAFE_FITS = 30;
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
  const unsteered = goes ? unsteeredWords(state) : "";
  mark(element("control"), "parted", String(parted));
  const short = (/** @type {string[]} */ names, /** @type {string[]} */ others) => (names.length > others.length ? "the rest" : listed(names));
  plate("student", goes && state.flies === "student", goes, parted ? `flies ${short(theirs, rest)}` : "flies");
  plate("instructor", goes && !unsteered && (state.flies === "instructor" || parted), goes, parted ? `flies ${short(rest, theirs)}` : "flies");
  mark(element("control"), "flies", goes ? state.flies : "");
  element("nobody").hidden = unsteered === "";
  say(element("nobody"), unsteered);

  const words = goes ? whoWords(state, parted ? theirs : []) : standWords(stand, state.flies);
  if (words !== toldLast) {
    toldLast = words;
    say(element("told"), words);
  }
  showBar(state, stand);
  const { picks_up, moves } = state;
  const stays = picks_up && `${picks_up.words}, at most ${leftWords(picks_up.left_s ?? 0)} more`;
  const output = goes && (stays ?? moves);
  say(element("output-words"), output ? minus(`${capital(output)}.`) : "");
  const [, jumps = "", by] = (goes && state.flies === "student" && state.now_jumps || "").match(/^(.*)( \d+)$/) ?? [];
  say(element("now-jumps"), jumps);
  say(element("now-by"), by ? `${by} points` : "");
  mark(element("lamp"), "lit", String(goes && state.lamp));
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
 * What goes to the craft while the instructor has no signal; else nothing.
 * @param {State} state
 */
function unsteeredWords(state) {
  const { failsafe } = state;
  if (failsafe) return failsafe.length > FAILSAFE_FITS ? "Nobody flies: the failsafe goes to the craft." : minus(`Nobody flies. Failsafe: ${failsafe}.`);
  const lost = state.flies === "instructor" && state.waits?.for === "instructor-signal";
  return lost ? "No signal: the instructor's last values go to the craft." : "";
}

/**
 * @param {State} state
 * @param {string[]} some the axes that the student flies, if these are not all
 */
function whoWords(state, some) {
  const unsteered = unsteeredWords(state);
  if (unsteered) return unsteered;
  if (state.flies === "instructor") return "The instructor flies.";
  return some.length > 0 ? `The student flies ${listed(some)}.` : "The student flies.";
}

/** @type {Record<Stand, string>} */
const WAITS = { flies: "", before: "for Start", paused: "for Go on", crashed: "for Begin again", done: "for Ten more" };

/**
 * @param {State} state
 * @param {Axis[]} axes
 * @param {Stand} stand
 * @param {boolean} changed whether a switch was turned or a link cut since this state: what it waits for may be another
 */
function showWaits(state, axes, stand, changed) {
  const { waits } = state;
  const goes = stand === "flies";
  say(element("faults-on"), faultWords());
  element("now").setAttribute("aria-pressed", String(goes && state.kept_by_button));
  element("bar").hidden = !goes || (waits?.left_s ?? null) === null;
  const mend = goes ? mendOf(state, axes) : null;
  element("mends").hidden = !mend;
  say(element("mend"), mend?.words ?? "");
  say(element("left"), goes && waits && waits.left_s !== null
    ? `(${waits.for === "instructor-signal" ? `failsafe in ${leftWords(waits.left_s)}` : `${leftWords(waits.left_s)} left`})` : "");
  const then = stand === "paused" && waits && !changed ? `; then: ${waits.words}` : "";
  const still = goes ? stillWords(state) : "";
  const flies = state.flies === "student" ? `for nothing (the student flies${still && `; ${still}`})` : "";
  const never = goes && state.flies === "instructor" && !waits ? "for nothing: by the policy the student may fly no stick" : "";
  const words = goes && waits ? waits.words : WAITS[stand] ? WAITS[stand] + then : flies || never;
  say(element("waits"), words);
  say(element("side-told"), `${element("told").textContent} Student waits: ${words}`);
}

/**
 * The time left as the length of a bar.
 * @param {State} state
 * @param {Stand} stand
 */
function showBar({ waits }, stand) {
  const left = stand === "flies" && waits ? waits.left_s : null;
  if (!waits || left === null) {
    waitsFor = { what: "", longest: 0 };
    return;
  }
  if (waitsFor.what !== waits.for) waitsFor = { what: waits.for, longest: 0 };
  waitsFor.longest = Math.max(waitsFor.longest, left);
  element("bar-left").style.transform = `scaleX(${waitsFor.longest === 0 ? 0 : (left / waitsFor.longest).toFixed(3)})`;
}

/**
 * Tenths of a second, rounded up: what is waited for still takes a while.
 * @param {number} left_s
 */
function leftWords(left_s) {
  return `${Math.max(0.1, Math.ceil(left_s * 10 - 1e-6) / 10).toFixed(1)} s`;
}

/**
 * Names in a row, such as "aileron, elevator and rudder".
 * @param {string[]} names
 * @param {"and" | "or"} word
 */
function listed(names, word = "and") {
  const last = names[names.length - 1] ?? "";
  return names.length < 2 ? last : `${names.slice(0, -1).join(", ")} ${word} ${last}`;
}
