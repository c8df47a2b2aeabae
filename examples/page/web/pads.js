"use strict";
// Two sticks of a person as two squares: the stick, its dead band, and what goes to the craft. They are flown as well.

/** The least size of a square with words in it, in pixels. */
const WORDS = 90;

/** Pixels for a point on a square of this size. Between the end of a stick's way and the edge is room for the diamond. */
const pixelsPerPoint = (/** @type {number} */ size) => (size / 2 - (size < WORDS ? 10 : 20)) / 100;

/** Which axes the left and the right thumb move: across, then along. */
const THUMBS = {
  "throttle-left": [[3, 2], [0, 1]],
  "throttle-right": [[3, 1], [0, 2]],
};

/** Axes that are up when they are pulled: the stick goes down on the screen. */
const PULLED = 1;

/** Which way is less and which is more, of each axis: aileron, elevator, throttle, rudder, or what a helicopter has in their place. */
const LESS_MORE = [["left", "right"], ["nose down", "nose up"], ["less", "more"], ["left", "right"]];

class Pad {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {Side} side
   */
  constructor(canvas, side) {
    this.canvas = canvas;
    this.side = side;
    /** @type {number[]} */
    this.axes = [0, 1];
    /** What these axes are called. */
    this.names = ["", ""];
    /** @type {Hands | null} */
    this.hands = null;
    /** @type {number | null} the pointer that holds the stick */
    this.pointer = null;
    canvas.addEventListener("pointerdown", (event) => this.grasp(event));
    canvas.addEventListener("pointermove", (event) => this.drag(event));
    for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) {
      canvas.addEventListener(end, (event) => this.leave(/** @type {PointerEvent} */ (event)));
    }
    // A thumb that moves a stick must not scroll the page.
    canvas.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
  }

  /** @param {PointerEvent} event */
  grasp(event) {
    if (!this.hands || this.pointer !== null) return;
    this.pointer = event.pointerId;
    this.canvas.setPointerCapture(event.pointerId);
    const box = this.canvas.getBoundingClientRect();
    const { hands, axes } = this;
    // A thumb takes the stick where it is, and moves it by as much as the thumb moves.
    this.from = { x: event.clientX, y: event.clientY, hands, axes, at: axes.map((axis) => hands.points[axis] ?? 0) };
    this.scale = 1 / pixelsPerPoint(Math.min(box.width, box.height));
    element("field").focus({ preventScroll: true });
    event.preventDefault();
  }

  /** @param {PointerEvent} event */
  drag(event) {
    if (event.pointerId !== this.pointer || !this.hands || !this.from || !this.scale) return;
    // Another lesson or other axes: the stick that was taken is no longer on this square.
    if (this.hands !== this.from.hands || this.axes !== this.from.axes) return;
    const [across, along] = this.axes;
    const sign = along === PULLED ? 1 : -1;
    this.hands.put(across, this.from.at[0] + (event.clientX - this.from.x) * this.scale, event.timeStamp);
    this.hands.put(along, this.from.at[1] + sign * (event.clientY - this.from.y) * this.scale, event.timeStamp);
  }

  /** @param {PointerEvent} event */
  leave(event) {
    if (event.pointerId === this.pointer) this.letGo();
  }

  /** The stick is let go: in a pause too, when this square has no hands. */
  letGo() {
    if (this.pointer === null || !this.from) return;
    this.pointer = null;
    for (const axis of this.from.axes) this.from.hands.let(axis);
  }

  /**
   * @param {State} state
   * @param {ReturnType<typeof palette>} colours
   */
  draw(state, colours) {
    const { pen, width, height } = sharp(this.canvas, keptSizes.get(this.canvas));
    const unit = pixelsPerPoint(Math.min(width, height));
    const [across, along] = this.axes;
    const sign = along === PULLED ? 1 : -1;
    const x = (/** @type {number} */ value) => width / 2 + value * unit;
    const y = (/** @type {number} */ value) => height / 2 + sign * value * unit;
    const mine = state.sticks[this.side];
    pen.clearRect(0, 0, width, height);

    pen.strokeStyle = colours.faint;
    pen.lineWidth = 1;
    pen.strokeRect(x(-100), Math.min(y(-100), y(100)), 200 * unit, 200 * unit);
    line(pen, [x(-100), height / 2], [x(100), height / 2]);
    line(pen, [width / 2, y(-100)], [width / 2, y(100)]);
    if (this.side === "instructor") {
      this.drawBand(state, colours, pen, across, (at) => [x(at), Math.min(y(-100), y(100)), 0, 200 * unit], unit, true);
      this.drawBand(state, colours, pen, along, (at) => [x(-100), y(at), 200 * unit, 0], unit, false);
    }

    if (state.no_signal[this.side]) {
      this.drawSilent(pen, colours, x(mine[across]), y(mine[along]), width);
      this.drawWays(pen, colours, width, height, sign);
      return;
    }
    const output = state.sticks.output;
    diamond(pen, x(output[across]), y(output[along]), 8, colours.ink);
    const [stickX, stickY] = [x(mine[across]), y(mine[along])];
    const own = this.side === "instructor" ? colours.instructorStick : colours.studentStick;
    pen.fillStyle = pen.strokeStyle = own;
    pen.lineWidth = 2;
    line(pen, [width / 2, height / 2], [stickX, stickY]);
    pen.beginPath();
    if (this.side === "instructor") pen.rect(stickX - 6, stickY - 6, 12, 12);
    else pen.arc(stickX, stickY, 6.5, 0, 7);
    pen.fill();
    this.drawWays(pen, colours, width, height, sign);
  }

  /**
   * Around the square: the axes, and which way is which.
   * @param {CanvasRenderingContext2D} pen
   * @param {ReturnType<typeof palette>} colours
   * @param {number} width
   * @param {number} height
   * @param {number} sign of the axis along: 1 where more is below
   */
  drawWays(pen, colours, width, height, sign) {
    if (width < WORDS) return;
    const [across, along] = this.axes.map((axis, at) =>
      [`${this.names[at]} ${LESS_MORE[axis][0]}`, LESS_MORE[axis][1]]);
    const [top, bottom] = sign > 0 ? along : [...along].reverse();
    pen.fillStyle = colours.quiet;
    pen.font = `${width < 120 ? 10 : 11}px sans-serif`;
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    pen.fillText(top, width / 2, 6);
    pen.fillText(bottom, width / 2, height - 5);
    for (const [words, x] of /** @type {[string, number][]} */ ([[across[0], 6], [across[1], width - 6]])) {
      pen.save();
      pen.translate(x, height / 2);
      pen.rotate(-Math.PI / 2);
      pen.fillText(words, 0, 0);
      pen.restore();
    }
  }

  /**
   * No frame comes: where the stick was last, in grey, and words.
   * @param {CanvasRenderingContext2D} pen
   * @param {ReturnType<typeof palette>} colours
   * @param {number} x
   * @param {number} y
   * @param {number} width
   */
  drawSilent(pen, colours, x, y, width) {
    pen.strokeStyle = colours.edge;
    pen.lineWidth = 2;
    pen.setLineDash([2, 2]);
    pen.beginPath();
    if (this.side === "instructor") pen.rect(x - 6, y - 6, 12, 12);
    else pen.arc(x, y, 6.5, 0, 7);
    pen.stroke();
    pen.setLineDash([]);
    pen.fillStyle = colours.ink;
    pen.font = `bold ${width < 90 ? 11 : 14}px sans-serif`;
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    pen.fillText("no signal", width / 2, width * 0.3);
  }

  /**
   * The dead band of one axis, to scale, as a strip across the square: that in which the stick takes nothing or, once it is
   * held, counts as let go.
   * @param {State} state
   * @param {ReturnType<typeof palette>} colours
   * @param {CanvasRenderingContext2D} pen
   * @param {number} axis
   * @param {(at: number) => number[]} place of a strip without width
   * @param {number} unit
   * @param {boolean} upright
   */
  drawBand(state, colours, pen, axis, place, unit, upright) {
    const rest = state.sticks.rest[axis];
    if (rest === null || rest === undefined) return;
    const half = Math.max((state.held[axis] ? state.sticks.release : state.sticks.engage)[axis] * unit, 0.75);
    const [left, top, wide, high] = place(rest);
    const at = upright ? [left - half, top, 2 * half, high] : [left, top - half, wide, 2 * half];
    pen.fillStyle = colours.band;
    pen.fillRect(at[0], at[1], at[2], at[3]);
    pen.strokeStyle = colours.edge;
    pen.lineWidth = 1;
    if (upright) {
      line(pen, [at[0], at[1]], [at[0], at[1] + at[3]]);
      line(pen, [at[0] + at[2], at[1]], [at[0] + at[2], at[1] + at[3]]);
    } else {
      line(pen, [at[0], at[1]], [at[0] + at[2], at[1]]);
      line(pen, [at[0], at[1] + at[3]], [at[0] + at[2], at[1] + at[3]]);
    }
  }
}

/**
 * @param {CanvasRenderingContext2D} pen
 * @param {number[]} from
 * @param {number[]} to
 */
function line(pen, from, to) {
  pen.beginPath();
  pen.moveTo(from[0], from[1]);
  pen.lineTo(to[0], to[1]);
  pen.stroke();
}

/**
 * What goes to the craft.
 * @param {CanvasRenderingContext2D} pen
 * @param {number} x
 * @param {number} y
 * @param {number} size
 * @param {string} colour
 */
function diamond(pen, x, y, size, colour) {
  pen.strokeStyle = colour;
  pen.lineWidth = 2;
  pen.beginPath();
  pen.moveTo(x, y - size);
  pen.lineTo(x + size, y);
  pen.lineTo(x, y + size);
  pen.lineTo(x - size, y);
  pen.closePath();
  pen.stroke();
}
