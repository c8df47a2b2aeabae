"use strict";
// The last ten seconds: who flew by the engine, and who would have flown by a plain threshold, one above the other.

/** Frames that are kept. */
const KEPT = 500;

class Strip {
  /** @param {HTMLCanvasElement} canvas */
  constructor(canvas) {
    this.canvas = canvas;
    /** @type {{ engine: Flies | "both", plain: Flies | "both", throttle: number, plainThrottle: number }[]} */
    this.frames = [];
    this.seconds = 10;
  }

  forget() {
    this.frames = [];
  }

  /**
   * @param {State} state
   * @param {number} axis which output is drawn
   */
  keep(state, axis) {
    const [throttle, plainThrottle] = [state.sticks.output[axis] ?? 0, state.plain.output[axis] ?? 0];
    const flies = (/** @type {{ flies: Flies, shares: boolean[] }} */ by) => (by.flies === "student" && !by.shares.every(Boolean) ? "both" : by.flies);
    this.frames.push({ engine: flies(state), plain: flies(state.plain), throttle, plainThrottle });
    if (this.frames.length > KEPT) this.frames.shift();
  }

  /** @param {ReturnType<typeof palette>} colours */
  draw(colours) {
    const { pen, width, height } = sharp(this.canvas, keptSizes.get(this.canvas));
    pen.clearRect(0, 0, width, height);
    const high = height / 2;
    const x = (/** @type {number} */ at) => width - ((this.frames.length - at) / KEPT) * width;
    for (const [row, who, output] of /** @type {const} */ ([[0, "engine", "throttle"], [1, "plain", "plainThrottle"]])) {
      const top = row * high;
      for (let at = 0; at < this.frames.length; ) {
        const flies = this.frames[at][who];
        let end = at + 1;
        while (end < this.frames.length && this.frames[end][who] === flies) end += 1;
        const bar = (/** @type {string} */ colour, /** @type {number} */ from, /** @type {number} */ tall) => {
          pen.fillStyle = colour;
          pen.fillRect(x(at), top + from, x(end) - x(at) + 0.6, tall);
        };
        // Position tells it as well: the student's time is the upper half, the instructor's the lower.
        const [lower, tall] = [high * 0.4, high * 0.6 - 4];
        if (flies === "nobody") bar(colours.nobody, 2, high - 6);
        if (flies === "student") bar(colours.student, 2, tall);
        if (flies === "instructor") bar(colours.instructor, lower, tall);
        if (flies === "both") {
          bar(colours.student, 2, high / 2 - 3);
          bar(colours.instructor, high / 2, high / 2 - 4);
        }
        at = end;
      }
      pen.strokeStyle = colours.ink;
      pen.lineWidth = 1.5;
      pen.beginPath();
      this.frames.forEach((frame, at) => {
        const y = top + high / 2 - (frame[output] / 110) * (high / 2 - 3);
        if (at === 0) pen.moveTo(x(at), y);
        else pen.lineTo(x(at), y);
      });
      pen.stroke();
      pen.strokeStyle = colours.faint;
      line(pen, [0, top + high - 1], [width, top + high - 1]);
    }
  }
}
