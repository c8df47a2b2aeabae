"use strict";
// The trainer box itself, over a serial port: the sticks of both trains, the lesson switch and the button fly the page.

/** Microseconds: the middle of a pulse, and from there to its end. */
const MIDDLE_US = 1500;
const HALF_US = 500;

/** Milliseconds for the head of a trace to come: a box that sends none is asked for its pulses. */
const HEAD_MS = 400;

/** Reads what the box sends, line by line. */
class BoxLines {
  /** @param {Fly} fly */
  constructor(fly) {
    this.fly = fly;
    this.rest = "";
    /** @type {string[]} */
    this.columns = [];
    /** @type {Record<Side, Reading | null>} */
    this.readings = { instructor: null, student: null };
    /** @type {Record<string, string>} the switches as they were seen last */
    this.seen = {};
    this.isThere = true;
  }

  /** @param {string} text */
  take(text) {
    const lines = (this.rest + text).split("\n");
    this.rest = lines.pop() ?? "";
    for (const line of lines) this.line(line.replace(/\r$/, ""));
  }

  /** @param {string} line */
  line(line) {
    if (line.startsWith("# refused") || line.startsWith("# train") || line.startsWith("# version")) {
      say(element("box-words"), `The box: ${line.slice(2)}`);
    }
    if (line.startsWith("#") || line === "") return;
    const cells = line.split(",");
    if (cells[0] === "time_us") {
      this.columns = cells;
      this.offer();
    } else if (cells.length === this.columns.length) this.row(cells);
  }

  /** The trains become devices like others. */
  offer() {
    for (const side of /** @type {Side[]} */ (["instructor", "student"])) {
      const letter = side.charAt(0);
      const has = this.columns.some((column) => column.startsWith(`${letter}:`) || column.startsWith(`us:${letter}`));
      // Rows of a trace name the axes; raw rows have pulses alone.
      const axes = this.columns.filter((column) => column.startsWith(`${letter}:`)).map((column) => column.slice(2));
      const device = { name: `trainer box, ${side}`, axes, read: () => (this.isThere ? this.readings[side] : null) };
      if (has) addDevice(`box-${side}`, device);
    }
  }

  /** @param {string[]} cells */
  row(cells) {
    /** @type {Record<Side, number[]>} */
    const values = { instructor: [], student: [] };
    this.columns.forEach((column, at) => {
      const width = column.match(/^us:([is])\d+$/);
      const named = column.match(/^([is]):/);
      const letter = width?.[1] ?? named?.[1];
      if (!letter || cells[at] === "") return;
      const number = Number(cells[at]);
      values[letter === "i" ? "instructor" : "student"].push(width ? (number - MIDDLE_US) / HALF_US : number / 100);
    });
    const stamp = performance.now();
    for (const side of /** @type {Side[]} */ (["instructor", "student"])) {
      // A row in which no train of this side came has empty cells.
      if (values[side].length > 0) this.readings[side] = { values: values[side], stamp };
    }
    if (this.columns.includes("lesson_switch")) this.fly.switchElsewhere = true;
    this.act("lesson_switch", cells, (on) => {
      if (this.fly.flight.controls.switch !== on) this.fly.turnSwitch();
    });
    this.act("instructor_now", cells, (on) => this.fly.flight.press(on));
  }

  /**
   * A switch of the box counts when it changes: the page's own buttons work besides.
   * @param {string} column
   * @param {string[]} cells
   * @param {(on: boolean) => void} changed
   */
  act(column, cells, changed) {
    const now = cells[this.columns.indexOf(column)];
    if (now === undefined || now === this.seen[column]) return;
    this.seen[column] = now;
    changed(now === "1");
  }
}

/**
 * @param {SerialPort} port
 * @param {BoxLines} lines
 */
async function askForPulses(port, lines) {
  if (lines.columns.length > 0 || !lines.isThere) return;
  const writer = port.writable?.getWriter();
  await writer?.write(new TextEncoder().encode("raw\n"));
  writer?.releaseLock();
}

/** @param {Fly} fly */
function listenToBox(fly) {
  const words = element("box-words");
  const connect = /** @type {HTMLButtonElement} */ (element("box"));
  const { serial } = navigator;
  if (!serial) {
    connect.disabled = true;
    say(words, "This browser cannot read a serial port. Browsers that have Web Serial can.");
    return;
  }
  connect.addEventListener("click", async () => {
    const lines = new BoxLines(fly);
    try {
      const port = await serial.requestPort();
      await port.open({ baudRate: 115200 });
      setTimeout(() => askForPulses(port, lines), HEAD_MS);
      say(words, "The box is connected. Choose whose sticks it moves, above.");
      const reader = port.readable?.getReader();
      const decoder = new TextDecoder();
      for (;;) {
        const read = await reader?.read();
        if (!read || read.done) break;
        lines.take(decoder.decode(read.value, { stream: true }));
      }
      say(words, "The box went away: its sides count as lost.");
    } catch (why) {
      say(words, `No box: ${wordsOf(why)}`);
    }
    lines.isThere = false;
    removeDevice("box-instructor");
    removeDevice("box-student");
  });
}
