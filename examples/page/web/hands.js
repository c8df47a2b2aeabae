"use strict";
// The hands on one pair of sticks: where each stick is, whatever moves it.

/** Points per second of a stick that a key moves, and of one that its spring moves back. */
const KEY_RATE = 260;
const SPRING_RATE = 420;
/** How far a key moves a sprung stick, and with the shift key. */
const KEY_THROW = 45;
const KEY_THROW_SHIFT = 100;

/** The keys of each side: axis and direction. Elevator up is a stick that is pulled. */
/** @type {Record<Side, Record<string, [number, number]>>} */
const KEYS = {
  instructor: {
    ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [1, -1], ArrowDown: [1, 1],
    KeyW: [2, 1], KeyS: [2, -1], KeyA: [3, -1], KeyD: [3, 1],
  },
  student: {
    KeyJ: [0, -1], KeyL: [0, 1], KeyI: [1, -1], KeyK: [1, 1],
    KeyT: [2, 1], KeyG: [2, -1], KeyF: [3, -1], KeyH: [3, 1],
  },
};

class Hands {
  /**
   * @param {Side} side
   * @param {Axis[]} axes
   */
  constructor(side, axes) {
    this.side = side;
    this.axes = axes;
    this.points = axes.map((axis) => axis.steady);
    /** How far the stick of axis 0 stays off where the hand puts it, in points. */
    this.wear = 0;
    /** @type {Map<string, [number, number]>} the keys that are down */
    this.keys = new Map();
    this.shift = false;
    /** Keys that went down since the last frame, and those of them that came up again: a short tap counts. */
    this.fresh = new Set();
    this.tapped = new Set();
    /** Axes whose spring is on its way back. */
    this.springs = new Set();
    /** When the event happened that moved a stick last, in milliseconds of the browser's clock. */
    this.moved = 0;
    /** Whether the device of these sticks went away: no frame comes. */
    this.gone = false;
  }

  /**
   * A stick is put somewhere.
   * @param {number} axis
   * @param {number} value points
   * @param {number} stamp
   */
  put(axis, value, stamp) {
    if (axis >= this.points.length || !Number.isFinite(value)) return;
    this.springs.delete(axis);
    const within = Math.max(-100, Math.min(100, value));
    if (within !== this.points[axis]) this.moved = stamp;
    this.points[axis] = within;
  }

  /**
   * The hand lets go of a stick.
   * @param {number} axis
   */
  let(axis) {
    if (this.axes[axis]?.sprung) this.springs.add(axis);
  }

  /**
   * A key goes down or up. Whether it is one of these sticks.
   * @param {KeyboardEvent} event
   * @param {boolean} down
   */
  key(event, down) {
    const moves = KEYS[this.side][event.code];
    if (!moves) return false;
    this.shift = event.shiftKey;
    if (down && !event.repeat) this.moved = event.timeStamp;
    if (down) {
      this.keys.set(event.code, moves);
      if (!event.repeat) this.fresh.add(event.code);
      this.tapped.delete(event.code);
    } else if (this.fresh.has(event.code)) this.tapped.add(event.code);
    else this.up(event.code);
    return true;
  }

  /** @param {string} code */
  up(code) {
    const moves = this.keys.get(code);
    this.keys.delete(code);
    if (moves) this.let(moves[0]);
  }

  /** All keys are up: the page lost the keyboard. */
  letAll() {
    for (const [axis] of this.keys.values()) this.let(axis);
    this.keys.clear();
  }

  /** What these sticks send, in points. */
  sent() {
    return this.wear === 0 ? this.points : this.points.map((value, at) => (at === 0 ? value + this.wear : value));
  }

  /**
   * One frame later.
   * @param {number} seconds
   */
  step(seconds) {
    for (const axis of this.springs) {
      const left = Math.abs(this.points[axis]) - SPRING_RATE * seconds;
      this.points[axis] = left <= 0 ? 0 : Math.sign(this.points[axis]) * left;
      if (left <= 0) this.springs.delete(axis);
    }
    for (const [axis, direction] of this.keys.values()) {
      this.springs.delete(axis);
      const most = this.shift || !this.axes[axis]?.sprung ? KEY_THROW_SHIFT : KEY_THROW;
      const wanted = this.points[axis] + direction * KEY_RATE * seconds;
      this.points[axis] = Math.max(-most, Math.min(most, wanted));
    }
    for (const code of this.tapped) this.up(code);
    this.tapped.clear();
    this.fresh.clear();
  }
}
