"use strict";
// The keys of the flying field. They work only while it has the focus, so that they disturb nobody who reads.

/** @param {Fly} fly */
function listenToKeys(fly) {
  const field = element("field");
  const acts = /** @type {Record<string, () => void>} */ ({
    Enter: () => element("switch").click(),
    NumpadEnter: () => element("switch").click(),
    KeyP: () => fly.turnPause(),
    KeyM: () => fly.turnSound(),
    KeyX: () => input("cut").click(),
  });
  field.addEventListener("keydown", (event) => {
    if (event.target !== field || event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.code === "Space") fly.press(true);
    else if (acts[event.code]) {
      if (!event.repeat) acts[event.code]();
    } else if (!fly.key(event, true)) return;
    event.preventDefault();
  });
  // A key that went down here may come up elsewhere.
  addEventListener("keyup", (event) => {
    if (event.code === "Space") fly.flight.press(false);
    fly.key(event, false);
  });
  const letAll = () => {
    fly.flight.press(false);
    fly.flight.hands?.instructor.letAll();
    fly.flight.hands?.student.letAll();
  };
  field.addEventListener("blur", letAll);
  addEventListener("blur", () => {
    letAll();
    for (const pad of fly.pads) pad.letGo();
  });
}

/** Milliseconds in which a button that is given the focus takes no key. Own choice, no source. */
const STILL_FLIES_MS = 1000;

/**
 * A button that may be given the focus while hands still fly: keys that are held since before, or pressed at once, do nothing.
 * @param {HTMLElement} it
 * @returns {() => void} gives it the focus
 */
function guardFromHands(it) {
  let since = -Infinity;
  let isDown = false;
  it.addEventListener("keydown", (event) => {
    if (event.code === "Tab") return;
    isDown = !event.repeat && performance.now() - since > STILL_FLIES_MS;
    if (!isDown) event.preventDefault();
  });
  // A button is pressed by the space bar when it comes up.
  it.addEventListener("keyup", (event) => {
    if (event.code === "Space" && !isDown) event.preventDefault();
    isDown = false;
  });
  return () => {
    since = performance.now();
    it.focus({ preventScroll: true });
  };
}
