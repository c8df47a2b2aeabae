"use strict";
// Whether a lesson is flown at all: who flies is said only while it is; before, in a pause and after a crash that is said.

/** @typedef {"before" | "flies" | "paused" | "crashed"} Stand */

/** @type {Record<Flies, string>} */
const FLEW = { nobody: "nobody flew", instructor: "the instructor flew", student: "the student flew" };

const BEGIN = {
  fly: "You are the instructor. Press Start, and the student flies. Move one of your sticks, and you fly at once. Let go, and the student flies again. A throttle or collective whose setting 'keep' is on keeps the craft until the lesson switch was off.",
  two: "Press Start, and the student flies. The instructor moves a stick, and flies at once. The instructor lets go, and the student flies again. A throttle or collective whose setting 'keep' is on keeps the craft until the lesson switch was off.",
  drill: "Press Start, and watch. When the student makes a mistake, move a stick at once, but not the throttle or collective, which may keep the craft.",
};

/**
 * @param {Stand} stand
 * @param {Flies} flies
 */
function standWords(stand, flies) {
  if (stand === "before") return "Nobody flies yet: press Start.";
  if (stand === "crashed") return `The craft hit the ground while ${FLEW[flies]}.`;
  return stand === "paused" ? `Paused while ${FLEW[flies]}.` : "";
}

/**
 * Words and buttons that depend on it.
 * @param {Stand} stand
 * @param {Flies} flies
 * @param {keyof typeof BEGIN} kind
 */
function showStand(stand, flies, kind) {
  const crashed = stand === "crashed";
  element("cover").hidden = stand === "flies" || stand === "paused";
  element("review-crash").hidden = !crashed;
  say(element("start"), crashed ? "Begin again" : "Start");
  const crash = `${standWords(stand, flies)} It is only a simulation. "Debrief this lesson" shows who flew, and why.`;
  say(element("cover-words"), crashed ? crash : BEGIN[kind]);
  element("cover-two").hidden = crashed || kind !== "two";
  const pause = /** @type {HTMLButtonElement} */ (element("pause"));
  pause.disabled = stand === "before" || crashed;
  // Before Start there is nothing that they would change.
  for (const id of ["switch", "now"]) /** @type {HTMLButtonElement} */ (element(id)).disabled = pause.disabled;
  say(pause, stand === "paused" ? "Go on" : "Pause");
  element("control").dataset.stand = stand;
  element("stands").hidden = stand === "flies";
  say(element("stands"), standWords(stand, flies));
}
