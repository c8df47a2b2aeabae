"use strict";
// The last ten seconds: who flew by the engine, and who would have flown by a plain threshold, one above the other.

/** Frames that are kept. */
const KEPT = 500;

class Strip {
  /** @param {HTMLCanvasElement} canvas */
  constructor(canvas) {
    this.canvas = canvas;
    /** @type {{ engine: Flies, plain: Flies, throttle: number, plainThrottle: number }[]} */
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
    this.frames.push({ engine: state.flies, plain: state.plain.flies, throttle, plainThrottle });
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
        pen.fillStyle = flies === "student" ? colours.student : flies === "nobody" ? colours.nobody : colours.instructor;
        // Position tells it as well: the student's time is the upper half, the instructor's the lower.
        const place = flies === "nobody" ? [top + 2, high - 6] : [top + (flies === "student" ? 2 : high * 0.4), high * 0.6 - 4];
        pen.fillRect(x(at), place[0], x(end) - x(at) + 0.6, place[1]);
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
