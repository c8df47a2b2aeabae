"use strict";
// Real sticks: gamepads, transmitters that show up as joysticks, and the two trains of a trainer box.

/**
 * @typedef {{ values: number[], stamp: number, buttons?: boolean[] }} Reading values from -1 to 1; when it was taken, in
 *   the browser's clock
 * @typedef {{ name: string, read: () => Reading | null, axes?: string[] }} Device `null`: it went away; `axes`: what it
 *   calls its values, where it does
 * @typedef {{ source: number, on: boolean }} Button which button is the lesson switch, and what means on
 * @typedef {{ source: number, sign: number, centre: number }} Wire which value of the device moves an axis
 */

/** @type {Map<string, Device>} */
const devices = new Map();
/**
 * @typedef {{ device: string, wires: Wire[], last: number[] }} Assigned
 * @type {Record<Side, Assigned>}
 */
const assigned = { instructor: unassigned(), student: unassigned() };

/** @returns {Assigned} */
function unassigned() {
  return { device: "", wires: [], last: [] };
}

/** The instructor's device, as one that has the lesson switch. */
const STICKS = "the instructor's sticks";

/** A change below this, in points, is noise of the device: mouse and keys keep the stick. */
const NOISE_POINTS = 0.3;

/**
 * @param {string} id
 * @param {Device} device
 */
function addDevice(id, device) {
  devices.set(id, device);
  for (const side of /** @type {Side[]} */ (["instructor", "student"])) {
    const choice = element(`device-${side}`);
    if (choice.querySelector(`option[value="${id}"]`)) continue;
    choice.append(make("option", { value: id }, device.name));
  }
}

/** @param {string} id */
function removeDevice(id) {
  devices.delete(id);
  for (const side of ["instructor", "student"]) {
    const option = element(`device-${side}`).querySelector(`option[value="${id}"]`);
    if (option instanceof HTMLOptionElement && !option.selected) option.remove();
  }
}

/** @param {number} index */
function gamepadAt(index) {
  const pad = navigator.getGamepads()[index];
  if (!pad || !pad.connected) return null;
  return { values: [...pad.axes], stamp: pad.timestamp || performance.now(), buttons: pad.buttons.map(({ pressed }) => pressed) };
}

/** @param {Fly} fly */
function listenToDevices(fly) {
  addEventListener("gamepadconnected", (event) => {
    const { index, id } = event.gamepad;
    addDevice(`gamepad-${index}`, { name: `${index + 1}: ${id}`, read: () => gamepadAt(index) });
  });
  addEventListener("gamepaddisconnected", (event) => {
    const id = `gamepad-${event.gamepad.index}`;
    removeDevice(id);
    for (const side of /** @type {Side[]} */ (["instructor", "student"])) {
      if (assigned[side].device === id) say(element("assign"), `The ${side}'s sticks went away: they send nothing. Connect them again, or choose other sticks.`);
    }
  });
  /** @type {Assign | null} */
  let asking = null;
  for (const side of /** @type {Side[]} */ (["instructor", "student"])) {
    const choice = /** @type {HTMLSelectElement} */ (element(`device-${side}`));
    choice.addEventListener("change", () => {
      const chosen = choice.value;
      asking?.end(null);
      choice.value = chosen;
      if (side === "instructor") fly.lessonSwitch.sources.delete(STICKS);
      assigned[side] = unassigned();
      const hands = fly.flight.hands?.[side];
      if (hands) hands.gone = false;
      const device = devices.get(choice.value);
      if (!device) return;
      const axes = (fly.flight.flown?.axes ?? []).slice(0, 4);
      const done = (/** @type {Wire[] | null} */ wires, /** @type {Button | null} */ button) => {
        asking = null;
        if (wires) assigned[side] = { ...unassigned(), device: choice.value, wires };
        if (button) fly.lessonSwitch.sources.set(STICKS, () => isOn(device, button));
        if (!wires) choice.value = "";
      };
      const named = wiresByName(device, axes);
      if (named) {
        done(named, null);
        say(element("assign"), `The ${side}'s sticks are assigned by their names.`);
      } else asking = new Assign(side, device, axes, done);
    });
  }
  fly.flight.polls.push(() => {
    for (const side of /** @type {Side[]} */ (["instructor", "student"])) poll(fly, side, fly.flight.hands?.[side]);
  });
}

/**
 * The wires of a device that names its values as the craft names its axes.
 * @param {Device} device
 * @param {Axis[]} axes
 * @returns {Wire[] | null}
 */
function wiresByName({ axes: names }, axes) {
  const wires = axes.map(({ name }) => ({ source: names?.indexOf(name) ?? -1, sign: 1, centre: 0 }));
  return wires.every(({ source }) => source >= 0) ? wires : null;
}

/**
 * @param {Fly} fly
 * @param {Side} side
 * @param {Hands | undefined} hands
 */
function poll(fly, side, hands) {
  const { device, wires, last } = assigned[side];
  if (!device || !hands) return;
  const reading = devices.get(device)?.read() ?? null;
  hands.gone = reading === null;
  if (!reading) return;
  wires.forEach(({ source, sign, centre }, axis) => {
    const value = (reading.values[source] - centre) * sign * 100;
    if (Math.abs(value - (last[axis] ?? NaN)) < NOISE_POINTS) return;
    last[axis] = value;
    hands.put(axis, value, reading.stamp);
  });
}

/**
 * Whether the button of a device is where it means on; `null`: the device is away.
 * @param {Device} device
 * @param {Button} button
 */
function isOn(device, { source, on }) {
  const reading = device.read();
  return reading && (reading.buttons?.[source] ?? false) === on;
}
