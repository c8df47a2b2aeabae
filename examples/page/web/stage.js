"use strict";
// Whether a lesson is flown at all: who flies is said only while it is; before, in a pause and after a crash that is said.

/** @typedef {"before" | "flies" | "paused" | "crashed" | "done"} Stand done: the reactions of a drill are taken */

/** @type {Record<Flies, string>} */
const FLEW = { nobody: "nobody flew", instructor: "the instructor flew", student: "the student flew" };

/**
 * @typedef {{ seconds: string, keeps: string, latched: string, shares: boolean }} Begins how a lesson begins: after how long, which
 *   sticks keep the craft, which takeovers are latched, and whether the student may fly anything
 */

/** @type {Record<"fly" | "two" | "drill", (begins: Begins) => string>} */
const BEGIN = {
  fly: ({ seconds, latched }) => `You are the instructor, the computer is the student (or a second person: set it under \u201cThe lesson\u201d). You fly first; ${seconds} s after Start the student flies. Move a stick (${byHand()}), and you fly at once; let go, and the student flies again.${latches(latched, "you")}`,
  two: ({ seconds, latched }) => `The instructor flies first; ${seconds} s after Start the student flies. The instructor moves a stick, and flies at once; lets go, and the student flies again.${latches(latched, "the instructor")}`,
  drill: ({ seconds, keeps }) => `Press Start, and watch: you fly first, ${seconds} s later the student. At the student's mistake move a stick (${byHand()}) at once${keeps ? `, but not the ${keeps}, which would keep the craft` : ""}.`,
};

/** How a stick is moved here. */
function byHand() {
  return matchMedia("(pointer: coarse)").matches ? "thumbs on the squares" : "drag a square, or arrows, W A S D";
}

/**
 * @param {string} latched
 * @param {string} who
 */
function latches(latched, who) {
  return ` A takeover ${latched} is latched: it stays with ${who} until the button \u201cLesson switch\u201d is turned off and on.`;
}

/**
 * By the policy: the lesson switch settles, the student link qualifies and sticks are left at the same time; then comes
 * the dwell.
 * @param {Engine} engine
 * @returns {Begins}
 */
function startOf(engine) {
  /** @type {Setting[]} */
  const settings = engine.ask({ settings: {} }).settings;
  const ms = (/** @type {string} */ key) => Math.max(...settings.filter((setting) => setting.key === key).map(({ value }) => Number(value)));
  const seconds = (Math.max(2 * ms("settle_ms"), ms("requalify_ms"), ms("still_ms")) + ms("dwell_ms")) / 1000;
  const isOn = (/** @type {string} */ flag) => settings.filter(({ key, value }) => key === flag && value === "true").map(({ axis }) => axis ?? "");
  const keeps = listed(isOn("keep"), "or");
  const valueOf = (/** @type {string} */ key) => settings.find((setting) => setting.key === key)?.value;
  const [lasted_ms, beyond] = [valueOf("lasted_ms"), valueOf("beyond_points")];
  const latched = [keeps && `by the ${keeps}`, "by \u201cInstructor now\u201d", lasted_ms && `longer than ${Number(lasted_ms) / 1000} s`, beyond && `further than ${beyond} points`]
    .flatMap((words) => words || []);
  return { seconds: seconds.toFixed(1), keeps, latched: listed(latched, "or"), shares: isOn("shared").length > 0 };
}

/**
 * @param {Stand} stand
 * @param {Flies} flies
 */
function standWords(stand, flies) {
  if (stand === "before") return "Nobody flies yet: press Start.";
  if (stand === "done") return "Ten reactions are taken.";
  if (stand === "crashed") return `The craft hit the ground while ${FLEW[flies]}.`;
  return stand === "paused" ? `Paused while ${FLEW[flies]}.` : "";
}

/**
 * How it hit, by the last moment above the ground: the larger angle, and the speed along its path.
 * @param {Craft} craft
 * @param {boolean} hovers a helicopter's speed is that over the ground
 */
function hitWords({ bank, pitch, speed, sink }, hovers) {
  const [banked, nose] = [Math.round(Math.abs(bank)), Math.round(Math.abs(pitch))];
  const how = banked > nose ? `banked ${banked}\u00b0 ${bank < 0 ? "left" : "right"} ` : nose > 0 ? `nose ${nose}\u00b0 ${pitch < 0 ? "down" : "up"} ` : "";
  return `The craft hit the ground ${how}at ${Math.round(hovers ? Math.hypot(speed, sink) : speed)} m/s`;
}

/**
 * Words and buttons that depend on it.
 * @param {Stand} stand
 * @param {Flies} flies
 * @param {string} hit how the craft hit the ground, if it did
 * @param {keyof typeof BEGIN} kind
 * @param {Begins} begins
 */
function showStand(stand, flies, hit, kind, begins) {
  const crashed = stand === "crashed";
  const done = stand === "done";
  element("cover").hidden = stand === "flies" || stand === "paused";
  element("review-crash").hidden = !crashed;
  say(element("start"), done ? "Ten more" : crashed ? "Begin again" : "Start");
  const crash = `${hit} while ${FLEW[flies]}. It is only a simulation. "Debrief this lesson" shows who flew, and why.`;
  say(element("cover-words"), done ? "Your times are listed beside this picture, or below it." : crashed ? crash : begins.shares ? BEGIN[kind](begins) : "By the policy the student may fly no stick.");
  element("cover-two").hidden = crashed || kind !== "two";
  const pause = element("pause");
  const idle = stand === "before" || crashed || done;
  // Before Start there is nothing that they would change.
  /** @type {HTMLButtonElement} */ (element("switch")).disabled = idle;
  /** @type {HTMLButtonElement} */ (element("now")).disabled = stand !== "flies";
  // A lesson begins without a fault.
  for (const fault of ["cut", "frozen", "lost"]) input(fault).disabled = idle;
  say(pause, idle ? element("start").textContent : stand === "paused" ? "Go on" : "Pause");
  element("control").dataset.stand = stand;
  element("stands").hidden = stand === "flies";
  say(element("stands"), standWords(stand, flies));
}
