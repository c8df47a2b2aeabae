"use strict";
// Real sticks: gamepads, transmitters that show up as joysticks, and the two trains of a trainer box.

/**
 * @typedef {{ values: number[], stamp: number }} Reading values from -1 to 1; when it was taken, in the browser's clock
 * @typedef {{ name: string, read: () => Reading | null }} Device `null`: it went away
 * @typedef {{ source: number, sign: number, centre: number }} Wire which value of the device moves an axis
 */

/** @type {Map<string, Device>} */
const devices = new Map();
/** @type {Record<Side, { device: string, wires: Wire[], last: number[] }>} */
const assigned = {
  instructor: { device: "", wires: [], last: [] },
  student: { device: "", wires: [], last: [] },
};

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
  return { values: [...pad.axes], stamp: pad.timestamp || performance.now() };
}

/** @param {Fly} fly */
function listenToDevices(fly) {
  addEventListener("gamepadconnected", (event) => {
    const { index, id } = event.gamepad;
    addDevice(`gamepad-${index}`, { name: `${index + 1}: ${id}`, read: () => gamepadAt(index) });
  });
  addEventListener("gamepaddisconnected", (event) => removeDevice(`gamepad-${event.gamepad.index}`));
  for (const side of /** @type {Side[]} */ (["instructor", "student"])) {
    const choice = /** @type {HTMLSelectElement} */ (element(`device-${side}`));
    choice.addEventListener("change", () => {
      assigned[side] = { device: "", wires: [], last: [] };
      const hands = fly.flight.hands?.[side];
      if (hands) hands.gone = false;
      const device = devices.get(choice.value);
      if (!device) return;
      const axes = (fly.flight.flown?.axes ?? []).slice(0, 4);
      new Assign(side, device, axes, (wires) => {
        if (wires) assigned[side] = { device: choice.value, wires, last: [] };
        else choice.value = "";
      });
    });
  }
  fly.flight.polls.push(() => {
    for (const side of /** @type {Side[]} */ (["instructor", "student"])) poll(side, fly.flight.hands?.[side]);
  });
}

/**
 * @param {Side} side
 * @param {Hands | undefined} hands
 */
function poll(side, hands) {
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
