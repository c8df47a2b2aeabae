"use strict";
// The trainer box itself, over a serial port: the sticks of both trains, the lesson switch and the button fly the page.

/** Microseconds: the middle of a pulse, and from there to its end. */
const MIDDLE_US = 1500;
const HALF_US = 500;

/** Milliseconds for a trace to come: a box that sends none is asked for its pulses. */
const TRACE_MS = 400;

/** The end of a row of a trace: its check value. A row of pulses has none. */
const CHECKED = /,[0-9a-f]{8}$/;

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
    /** Whether a row of a trace came. */
    this.sendsTrace = false;
  }

  /** Whether the lesson switch of the box is on; `null`: there is none. */
  switchIsOn() {
    const seen = this.seen.lesson_switch;
    return this.isThere && seen !== undefined ? seen === "1" : null;
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
    this.sendsTrace ||= CHECKED.test(line);
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
    const pressed = this.seen.instructor_now;
    for (const column of ["lesson_switch", "instructor_now"]) {
      const now = cells[this.columns.indexOf(column)];
      if (now !== undefined) this.seen[column] = now;
    }
    // The button counts when it changes: the page's own works besides.
    if (this.seen.instructor_now !== pressed) this.fly.flight.press(this.seen.instructor_now === "1");
  }

  /** The box went away, and with it whatever it held down. */
  end() {
    this.isThere = false;
    if (this.seen.instructor_now === "1") this.fly.flight.press(false);
    for (const side of ["instructor", "student"]) removeDevice(`box-${side}`);
  }
}

/**
 * @param {SerialPort} port
 * @param {BoxLines} lines
 */
async function askForPulses(port, lines) {
  if (!lines.isThere) return;
  const words = element("box-words");
  const writer = port.writable?.getWriter();
  try {
    if (!writer) throw new Error("its port takes no bytes");
    await writer.write(new TextEncoder().encode("raw\n"));
  } catch (why) {
    say(words, `The box cannot be asked for its pulses: ${wordsOf(why)}. Unplug it, plug it in, and connect it again.`);
  } finally {
    writer?.releaseLock();
  }
}

/**
 * The box has had time to send a trace. What it sends is not ended by the page.
 * @param {SerialPort} port
 * @param {BoxLines} lines
 */
function askUnlessItSends(port, lines) {
  if (lines.columns.length > 0 || !lines.isThere) return;
  if (!lines.sendsTrace) {
    askForPulses(port, lines);
    return;
  }
  const words = element("box-words");
  say(words, "The box is sending a trace whose first line was before this page: the page cannot read it. ");
  words.append(button("End the trace, and read the pulses", () => {
    say(words, "The box is asked for its pulses.");
    askForPulses(port, lines);
  }));
}

/**
 * The box went away, by its end or by a cable that is out.
 * @param {Fly} fly
 */
function awayWords(fly) {
  const on = fly.flight.controls.switch ? "on" : "off";
  return `The box went away: its sticks send nothing, and the lesson switch stays ${on} until you turn it with the button of this page. Connect the box again, or choose other sticks.`;
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
    connect.disabled = true;
    let isOpen = false;
    try {
      const port = await serial.requestPort();
      await port.open({ baudRate: 115200 });
      isOpen = true;
      fly.lessonSwitch.sources.set("trainer box", () => lines.switchIsOn());
      setTimeout(() => askUnlessItSends(port, lines), TRACE_MS);
      say(words, "The box is connected. Choose whose sticks it moves, above.");
      const reader = port.readable?.getReader();
      const decoder = new TextDecoder();
      for (;;) {
        const read = await reader?.read();
        if (!read || read.done) break;
        lines.take(decoder.decode(read.value, { stream: true }));
      }
      say(words, awayWords(fly));
    } catch (why) {
      say(words, isOpen ? awayWords(fly) : `No box: ${wordsOf(why)}`);
    }
    lines.end();
    connect.disabled = false;
  });
}
