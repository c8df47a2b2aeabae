"use strict";
// "Move the stick you mean": which value of a device is which axis, which way it counts, and where its centre is.

/** A stick that moved by this share of its half travel was meant. */
const MEANT = 0.5;

/** Where each axis is moved to; up is positive. */
const WAYS = /** @type {Record<string, string>} */ ({
  aileron: "fully to the right", roll: "fully to the right", rudder: "fully to the right", yaw: "fully to the right",
  elevator: "fully towards you, nose up", pitch: "fully towards you, nose up",
  throttle: "fully up, more power", collective: "fully up, more lift",
});

class Assign {
  /**
   * @param {Side} side
   * @param {Device} device
   * @param {Axis[]} axes
   * @param {(wires: Wire[] | null, button: Button | null) => void} done
   */
  constructor(side, device, axes, done) {
    this.side = side;
    this.device = device;
    this.axes = axes;
    this.done = done;
    /** @type {Wire[]} */
    this.wires = [];
    /** @type {number[] | null} the values before the stick moves */
    this.before = null;
    /** @type {boolean[] | null} the buttons before the switch is turned */
    this.buttons = null;
    this.where = element("assign");
    this.ask();
    this.timer = setInterval(() => this.look(), 20);
  }

  ask() {
    const axis = this.axes[this.wires.length];
    this.before = null;
    const words = `${this.side}: move the ${axis.name} ${WAYS[axis.name] ?? "fully to its positive end"}, and hold it.`;
    this.where.textContent = "";
    this.where.append(make("p", {}, make("b", {}, words)), button("Stop assigning", () => this.end(null)));
  }

  /** The lesson switch may be a switch or a button of the instructor's device. */
  askSwitch() {
    this.buttons = this.device.read()?.buttons ?? [];
    const words = `${this.side}: turn the switch on that you mean as the lesson switch, or press its button.`;
    this.where.textContent = "";
    this.where.append(make("p", {}, make("b", {}, words)), button("No switch on it", () => this.end(this.wires)));
  }

  look() {
    const reading = this.device.read();
    if (!reading) {
      this.end(null, "The device went away.");
      return;
    }
    const { values } = reading;
    if (this.buttons) {
      const before = this.buttons;
      const source = (reading.buttons ?? []).findIndex((pressed, at) => pressed !== (before[at] ?? false));
      if (source >= 0) this.end(this.wires, undefined, { source, on: !(before[source] ?? false) });
      return;
    }
    if (!this.before) {
      // The stick before is let go first.
      const last = this.wires[this.wires.length - 1];
      const sprung = last && this.axes[this.wires.length - 1].sprung;
      if (sprung && Math.abs(values[last.source] - last.centre) > MEANT / 2) return;
      this.before = [...values];
      return;
    }
    const before = this.before;
    const taken = this.wires.map((wire) => wire.source);
    let [most, source] = [MEANT, -1];
    values.forEach((value, at) => {
      const moved = Math.abs(value - before[at]);
      if (!taken.includes(at) && moved > most) [most, source] = [moved, at];
    });
    if (source < 0) return;
    const axis = this.axes[this.wires.length];
    const centre = axis.sprung ? before[source] : 0;
    this.wires.push({ source, sign: Math.sign(values[source] - before[source]), centre });
    if (this.wires.length < this.axes.length) this.ask();
    else if (this.side === "instructor" && (reading.buttons?.length ?? 0) > 0) this.askSwitch();
    else this.end(this.wires);
  }

  /**
   * @param {Wire[] | null} wires
   * @param {string} [words]
   * @param {Button | null} [button]
   */
  end(wires, words = wires ? `The ${this.side}'s sticks are assigned.` : "Nothing was assigned.", button = null) {
    clearInterval(this.timer);
    this.where.textContent = "";
    this.where.append(make("p", {}, words));
    this.done(wires, button);
  }
}
