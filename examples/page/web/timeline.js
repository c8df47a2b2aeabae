"use strict";
// A lesson as a timeline: who flew, each axis with both sticks and the output. Scrolls and zooms.

/** Pixels: the numbers of the takeovers, the strip of who flew, an axis, the line of times; the least stretch in seconds. */
const NUMBERS_HIGH = 16;
const STRIP_HIGH = 26;
const AXES_TOP = NUMBERS_HIGH + STRIP_HIGH;
const AXIS_HIGH = 56;
const TIMES_HIGH = 18;
const LEAST_S = 0.5;
/** Right of the plotted time, between it and the words of the ends. */
const ENDS_GAP = 6;
/** So many axes are drawn though they never moved. */
const ALWAYS_SHOWN = 4;
/** The ends of an axis' row, in points: the least that hold what is seen. */
const ENDS = [10, 25, 50, 100, 125];
/** The width on paper: a chart that is stretched from a narrow card has letters that are stretched too. */
const PAPER_WIDE = 680;
/** Seconds between two frames of a signal that goes on; a lost one has none for longer (`timeout_ms`). */
const TOGETHER_S = 0.15;

/** @typedef {{ from_s: number, to_s: number, columns: number, curves: Curves }} Drawn a stretch of the lesson */

class Timeline {
  /**
   * @param {Bench} bench
   * @param {Lesson} lesson
   */
  constructor(bench, lesson) {
    this.bench = bench;
    this.lesson = lesson;
    this.from = lesson.from_s;
    this.to = lesson.to_s;
    /** Those of the first four sticks, and others that moved. */
    this.isShown = (/** @type {number} */ at) => at < ALWAYS_SHOWN || lesson.moved[at];
    this.names = lesson.axes.filter((_, at) => this.isShown(at));
    const still = lesson.axes.filter((_, at) => !this.isShown(at));
    this.high = AXES_TOP + TIMES_HIGH + AXIS_HIGH * this.names.length;
    const label = "Timeline. Arrow keys scroll, plus and minus zoom, Home shows all. The table below says the same in words.";
    const attributes = { class: "timeline", tabindex: "0", role: "img", "aria-label": label };
    this.canvas = /** @type {HTMLCanvasElement} */ (make("canvas", attributes));
    this.canvas.style.height = `${this.high}px`;
    this.endsWide = ENDS_GAP + this.widestEnd();
    this.words = make("p", { class: "quiet", role: "status" });
    const tools = make("div", { class: "row tools" },
      button("Earlier", () => this.scroll(-0.25)), button("Later", () => this.scroll(0.25)),
      button("Closer", () => this.zoom(0.5)), button("Wider", () => this.zoom(2)), button("All", () => this.all()));
    const hint = make("p", { class: "quiet tools by-keys" }, "Keys while it has a frame: arrows scroll, + and \u2212 zoom, Home shows all.");
    this.box = make("div", {}, tools, this.canvas, hint, this.words, still.length > 0 ? make("p", { class: "quiet" }, `Never moved: ${spanned(still)}.`) : "");
    /** @type {Drawn | null} what is seen */
    this.drawn = null;
    /** @type {Drawn | null} the whole lesson, for paper */
    this.whole = null;
    this.onPaper = false;
    this.asked = 0;
    this.listen();
    new ResizeObserver(() => this.fetch()).observe(this.canvas);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.draw());
  }

  listen() {
    const { canvas } = this;
    canvas.addEventListener("wheel", (event) => {
      event.preventDefault();
      if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) this.scroll((event.deltaX || event.deltaY) / 800);
      else this.zoom(event.deltaY > 0 ? 1.25 : 0.8, Math.min(1, event.offsetX / this.plotted()));
    }, { passive: false });
    let dragged = NaN;
    canvas.addEventListener("pointerdown", (event) => {
      dragged = event.clientX;
      canvas.setPointerCapture(event.pointerId);
    });
    canvas.addEventListener("pointermove", (event) => {
      if (Number.isNaN(dragged)) return;
      this.scroll((dragged - event.clientX) / this.plotted());
      dragged = event.clientX;
    });
    for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, () => (dragged = NaN));
    const keys = /** @type {Record<string, () => void>} */ ({
      ArrowLeft: () => this.scroll(-0.1), ArrowRight: () => this.scroll(0.1),
      "+": () => this.zoom(0.7), "=": () => this.zoom(0.7), "-": () => this.zoom(1.4), Home: () => this.all(),
    });
    canvas.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey || !keys[event.key]) return;
      keys[event.key]();
      event.preventDefault();
    });
  }

  widestEnd() {
    const pen = this.canvas.getContext("2d");
    if (!pen) return 0;
    pen.font = "12px sans-serif";
    const ends = this.lesson.axes.flatMap((_, at) => this.isShown(at) ? [-100, 100].map((end) => wayOf(this.lesson, at, end)) : []);
    return Math.max(...ends.map((words) => pen.measureText(words).width));
  }

  /** The width of the plotted time on the screen. */
  plotted() {
    return this.canvas.clientWidth - this.endsWide;
  }

  /** @param {number} share of the stretch that is seen */
  scroll(share) {
    const by = share * (this.to - this.from);
    this.show(this.from + by, this.to + by);
  }

  /**
   * @param {number} factor
   * @param {number} [at] the share of the width that stays where it is
   */
  zoom(factor, at = 0.5) {
    const whole = this.lesson.to_s - this.lesson.from_s;
    const length = Math.min(whole, Math.max(LEAST_S, (this.to - this.from) * factor));
    const fixed = this.from + at * (this.to - this.from);
    this.show(fixed - at * length, fixed + (1 - at) * length);
  }

  all() {
    this.show(this.lesson.from_s, this.lesson.to_s);
  }

  /**
   * Within the lesson.
   * @param {number} from
   * @param {number} to
   */
  show(from, to) {
    const { from_s, to_s } = this.lesson;
    const length = Math.min(to - from, to_s - from_s);
    this.from = Math.min(Math.max(from, from_s), to_s - length);
    this.to = this.from + length;
    this.fetch();
  }

  /** Asks for what is seen; the last question counts. */
  async fetch() {
    const columns = Math.max(50, Math.round(this.plotted()));
    if (this.canvas.clientWidth === 0) return;
    const asked = (this.asked += 1);
    const stretch = { from_s: this.from, to_s: this.to, columns };
    try {
      const curves = await this.bench.ask({ curves: stretch });
      if (asked !== this.asked) return;
      curves.axes = curves.axes.filter((/** @type {unknown} */ _, /** @type {number} */ at) => this.isShown(at));
      this.drawn = { ...stretch, curves };
      const { from_s, to_s } = this.lesson;
      if (this.from === from_s && this.to === to_s) this.whole = this.drawn;
      this.draw();
    } catch (why) {
      say(this.words, wordsOf(why));
    }
  }

  /**
   * Paper has no buttons to scroll by: it gets the whole lesson.
   * @param {boolean} onPaper
   */
  paper(onPaper) {
    this.onPaper = onPaper;
    this.draw();
  }

  draw() {
    const drawn = this.onPaper ? (this.whole ?? this.drawn) : this.drawn;
    if (!drawn) return;
    const { curves } = drawn;
    const colours = palette();
    const { pen, width: whole, height } = sharp(this.canvas, this.onPaper ? { width: PAPER_WIDE, height: this.high } : undefined);
    const width = whole - this.endsWide;
    const { columns } = drawn;
    const x = (/** @type {number} */ column) => (column / columns) * width;
    pen.clearRect(0, 0, whole, height);
    pen.font = "12px sans-serif";
    [...curves.flies].forEach((letter, column) => {
      const who = letter.toLowerCase();
      if (who === "-") return;
      // Whole pixels: between parts of one, the paper shines through.
      const left = Math.floor(x(column));
      const bar = (/** @type {string} */ colour, /** @type {number} */ top, /** @type {number} */ high) => {
        pen.fillStyle = colour;
        pen.fillRect(left, NUMBERS_HIGH + top, Math.ceil(x(column + 1)) - left, high);
      };
      // The student's time is the upper half: position tells it as well.
      if (who === "n") bar(colours.nobody, 0, STRIP_HIGH);
      if ("sb".includes(who)) bar(colours.student, 0, STRIP_HIGH / 2);
      if ("ib".includes(who)) bar(colours.instructor, STRIP_HIGH / 2, STRIP_HIGH / 2);
    });
    this.names.forEach((_, at) => this.drawAxis(pen, colours, drawn, at, width, x));
    this.drawLosses(pen, colours, drawn, width, height);
    this.drawNames(pen, colours);
    this.drawEnds(pen, colours, drawn, whole);
    pen.fillStyle = colours.ink;
    pen.textBaseline = "bottom";
    // As many times as have room beside each other.
    const parts = width < 320 ? 2 : 4;
    for (let part = 0; part <= parts; part += 1) {
      pen.textAlign = part === 0 ? "left" : part === parts ? "right" : "center";
      pen.fillText(clock(drawn.from_s + ((drawn.to_s - drawn.from_s) * part) / parts), (width * part) / parts, height - 2);
    }
    pen.textAlign = "left";
    say(this.words, `Shown: ${clock(drawn.from_s)} to ${clock(drawn.to_s)}. Upper half of the strip: the student flies; lower half: the instructor${/b/i.test(curves.flies) ? "; both: each flies some axes" : ""}${/n/i.test(curves.flies) ? "; whole height: nobody (failsafe)" : ""}. Broad pale band: what went to the craft. Dashes: the student's stick. Line: the instructor's. Numbers on the right: points; each row has a scale of its own.`);
  }

  /**
   * @param {CanvasRenderingContext2D} pen
   * @param {ReturnType<typeof palette>} colours
   * @param {Drawn} drawn
   * @param {number} at which axis
   * @param {number} width
   * @param {(column: number) => number} x
   */
  drawAxis(pen, colours, drawn, at, width, x) {
    const [top, middle] = [AXES_TOP + at * AXIS_HIGH, AXES_TOP + (at + 0.5) * AXIS_HIGH];
    pen.strokeStyle = colours.faint;
    pen.lineWidth = 1;
    line(pen, [0, top], [width, top]);
    line(pen, [0, middle], [width, middle]);
    const axis = drawn.curves.axes[at];
    if (axis) {
      const most = endOf(axis);
      const y = (/** @type {number} */ value) => middle - (value / most) * (AXIS_HIGH / 2 - 2);
      // Closer than this, two frames belong together though there are columns between them.
      const together = Math.max(1, (TOGETHER_S * drawn.columns) / (drawn.to_s - drawn.from_s));
      this.drawSpans(pen, axis.output, together, x, y, colours.edge, 7);
      this.drawSpans(pen, axis.instructor, together, x, y, colours.instructorStick, 1.5);
      this.drawSpans(pen, axis.student, together, x, y, colours.studentStick, 2, [5, 4]);
    }
  }

  /**
   * Last, on paper of their own: no line goes through a name.
   * @param {CanvasRenderingContext2D} pen
   * @param {ReturnType<typeof palette>} colours
   */
  drawNames(pen, colours) {
    pen.textBaseline = "top";
    pen.textAlign = "left";
    this.names.forEach((name, at) => {
      const top = AXES_TOP + at * AXIS_HIGH + 3;
      pen.fillStyle = colours.paper;
      pen.fillRect(2, top - 1, pen.measureText(name).width + 4, 14);
      pen.fillStyle = colours.ink;
      pen.fillText(name, 4, top);
    });
  }

  /**
   * The ends of each row and its middle, right of the plotted time.
   * @param {CanvasRenderingContext2D} pen
   * @param {ReturnType<typeof palette>} colours
   * @param {Drawn} drawn
   * @param {number} width
   */
  drawEnds(pen, colours, drawn, width) {
    pen.fillStyle = colours.ink;
    pen.textAlign = "right";
    pen.textBaseline = "middle";
    const shown = this.lesson.axes.map((_, at) => at).filter(this.isShown);
    drawn.curves.axes.forEach((axis, row) => {
      const [top, most] = [AXES_TOP + row * AXIS_HIGH, endOf(axis)];
      // Parts the words of this row from those of the row above.
      pen.fillRect(width - 40, top, 40, 1);
      for (const [value, down] of [[most, 9], [0, AXIS_HIGH / 2], [-most, AXIS_HIGH - 9]]) {
        pen.fillText(wayOf(this.lesson, shown[row], value), width - 2, top + down);
      }
    });
  }

  /**
   * From the least to the largest value of each column.
   * @param {CanvasRenderingContext2D} pen
   * @param {Pair[]} spans
   * @param {number} together columns
   * @param {(column: number) => number} x
   * @param {(value: number) => number} y
   * @param {string} colour
   * @param {number} weight
   * @param {number[]} dashes
   */
  drawSpans(pen, spans, together, x, y, colour, weight, dashes = []) {
    pen.strokeStyle = colour;
    pen.lineWidth = weight;
    // Pointed corners would reach beyond the values.
    pen.lineJoin = "round";
    pen.globalAlpha = weight > 2 ? 0.4 : 1;
    pen.setLineDash(dashes);
    pen.beginPath();
    let last = -Infinity;
    for (let column = 0; 2 * column < spans.length; column += 1) {
      const [low, high] = [spans[2 * column], spans[2 * column + 1]];
      if (low === null || high === null) continue;
      if (column - last > together) pen.moveTo(x(column), y(low));
      else pen.lineTo(x(column), y(low));
      pen.lineTo(x(column), y(high));
      last = column;
    }
    pen.stroke();
    pen.setLineDash([]);
    pen.globalAlpha = 1;
  }

  /**
   * @param {CanvasRenderingContext2D} pen
   * @param {ReturnType<typeof palette>} colours
   * @param {Drawn} drawn
   * @param {number} width
   * @param {number} height
   */
  drawLosses(pen, colours, drawn, width, height) {
    pen.strokeStyle = pen.fillStyle = colours.ink;
    pen.lineWidth = 1.5;
    pen.textBaseline = "top";
    const scale = width / (drawn.to_s - drawn.from_s);
    /** @type {{ words: string, left: number, right: number, first: number, place: number }[]} */
    const numbers = [];
    const label = (/** @type {number} */ first, /** @type {number} */ last, /** @type {number} */ place) => {
      const words = first === last ? String(first) : `${first}\u2013${last}`;
      const wide = pen.measureText(words).width;
      const left = Math.max(0, Math.min(place - 4, width - wide));
      return { words, left, right: left + wide, first, place };
    };
    let taken = 0;
    for (const loss of this.lesson.losses) {
      if (loss.taken) taken += 1;
      const place = (loss.at_s - drawn.from_s) * scale;
      if (place < 0 || place > width) continue;
      line(pen, [place, NUMBERS_HIGH], [place, height - TIMES_HIGH]);
      if (!loss.taken) continue;
      let next = label(taken, taken, place);
      // Where there is no room for two numbers, they become one: from the first to the last.
      for (let before = numbers.at(-1); before && next.left < before.right + 4; before = numbers.at(-1)) {
        numbers.pop();
        next = label(before.first, taken, before.place);
      }
      numbers.push(next);
    }
    pen.textAlign = "left";
    for (const { words, left } of numbers) pen.fillText(words, left, 2);
  }
}

/**
 * Names in a row; those that differ by a number that counts up become one, such as "aux 1 to 12".
 * @param {string[]} names
 */
function spanned(names) {
  const parts = names.map((name) => /^(.*?)(\d+)$/.exec(name));
  const counts = names.length > 2 && parts.every((part, at) => part && part[1] === parts[0]?.[1] && Number(part[2]) === Number(parts[0][2]) + at);
  return counts ? `${names[0]} to ${parts[parts.length - 1]?.[2]}` : listed(names);
}

/**
 * Points of an axis with the word for their direction, where it is known, or with a sign.
 * @param {Lesson} lesson
 * @param {number} axis
 * @param {number} value
 */
function wayOf(lesson, axis, value) {
  const ways = lesson.of_page ? LESS_MORE[axis] : undefined;
  if (!ways || Math.round(value) === 0) return points(value);
  return `${value < 0 ? ways[0] : ways[1]} ${Math.abs(Math.round(value))}`;
}

/**
 * How far the row of an axis reaches from its middle, in points.
 * @param {Curves["axes"][number]} axis
 */
function endOf({ instructor, student, output }) {
  const most = [instructor, student, output].flat().reduce((/** @type {number} */ most, value) => Math.max(most, Math.abs(value ?? 0)), 0);
  return ENDS.find((end) => end >= most) ?? ENDS[ENDS.length - 1];
}
