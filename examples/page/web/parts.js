"use strict";
// Small tools of all parts of the page.

/**
 * The element with this id.
 * @param {string} id
 * @returns {HTMLElement}
 */
function element(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no element "${id}"`);
  return found;
}

/**
 * The input with this id.
 * @param {string} id
 * @returns {HTMLInputElement}
 */
function input(id) {
  return /** @type {HTMLInputElement} */ (element(id));
}

/**
 * A new element with its text, its attributes and what is in it.
 * @param {string} tag
 * @param {Record<string, string>} [attributes]
 * @param {(Node | string)[]} inside
 * @returns {HTMLElement}
 */
function make(tag, attributes = {}, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...inside);
  return made;
}

/**
 * A table that scrolls in a box of its own where it is too wide.
 * @param {string} caption
 * @param {string[]} titles
 * @param {Node[]} rows
 */
function table(caption, titles, rows) {
  const head = make("tr", {}, ...titles.map((words) => make("th", { scope: "col" }, words)));
  return make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": caption },
    make("table", {}, make("caption", {}, caption), make("thead", {}, head), make("tbody", {}, ...rows)));
}

/**
 * A row of it. Where there is no room for columns, each cell says its title.
 * @param {Node | string} head
 * @param {(Node | string)[]} cells
 * @param {string[]} titles of the head and of the cells
 */
function row(head, cells, titles) {
  return make("tr", {}, make("th", { scope: "row" }, head),
    ...cells.map((cell, at) => make("td", { "data-title": titles[at + 1] }, cell)));
}

/**
 * A button with its action.
 * @param {string} words
 * @param {() => void} action
 * @returns {HTMLElement}
 */
function button(words, action) {
  const made = make("button", { type: "button" }, words);
  made.addEventListener("click", action);
  return made;
}

/**
 * Puts a text where it differs: a screen reader hears a change and nothing else.
 * @param {HTMLElement} where
 * @param {string} text
 */
function say(where, text) {
  if (where.textContent !== text) where.textContent = text;
}

/**
 * Notes a value at an element where it differs: a write makes the browser look at the styles again.
 * @param {HTMLElement} where
 * @param {string} name
 * @param {string} value
 */
function mark(where, name, value) {
  if (where.dataset[name] !== value) where.dataset[name] = value;
}

/**
 * The same with a minus sign before numbers.
 * @param {string} words
 */
function minus(words) {
  return words.replace(/-(?=\d)/g, "\u2212");
}

/**
 * The same with a large first letter.
 * @param {string} words
 */
function capital(words) {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/**
 * Scrolls to the middle of the column, or of the window where no column scrolls; never both.
 * @param {HTMLElement} it
 */
function bringInSight(it) {
  const column = it.closest("aside");
  if (!column || getComputedStyle(column).overflowY !== "auto") {
    it.scrollIntoView({ block: "center" });
    return;
  }
  column.scrollTop += it.getBoundingClientRect().top - column.getBoundingClientRect().top - column.clientHeight / 2;
}

/**
 * A number of things, such as "1 change".
 * @param {number} number
 * @param {string} thing
 */
function counted(number, thing) {
  return `${number} ${thing}${number === 1 ? "" : "s"}`;
}

/**
 * Gives the person a file.
 * @param {string} name
 * @param {string} text
 */
function download(name, text) {
  const at = URL.createObjectURL(new Blob([text], { type: "text/plain" }));
  make("a", { href: at, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(at), 1000);
}

/**
 * What went wrong, in words.
 * @param {unknown} why
 * @returns {string}
 */
function wordsOf(why) {
  return why instanceof Error ? why.message : String(why);
}

/**
 * A time as minutes, seconds and tenths, like the reports.
 * @param {number} seconds
 * @returns {string}
 */
function clock(seconds) {
  const tenths = Math.round(seconds * 10);
  const two = (/** @type {number} */ number) => String(number).padStart(2, "0");
  return `${two(Math.floor(tenths / 600))}:${two(Math.floor(tenths / 10) % 60)}.${tenths % 10}`;
}

/**
 * A deflection in signed points.
 * @param {number} value
 * @returns {string}
 */
function points(value) {
  const rounded = Math.round(value);
  return rounded > 0 ? `+${rounded}` : rounded < 0 ? `\u2212${-rounded}` : "0";
}

/**
 * The value below which this share of the sorted values lies, between neighbours in a straight line.
 * @param {number[]} sorted
 * @param {number} share
 * @returns {number}
 */
function quantile(sorted, share) {
  if (sorted.length === 0) return NaN;
  const place = (sorted.length - 1) * share;
  const low = Math.floor(place);
  const high = Math.min(low + 1, sorted.length - 1);
  return sorted[low] + (sorted[high] - sorted[low]) * (place - low);
}

/** The colours of the page as it is shown now: light, dark, or as the person has set it. */
function palette() {
  const style = getComputedStyle(document.documentElement);
  const of = (/** @type {string} */ name) => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: of("ink"), quiet: of("quiet"), faint: of("faint"), paper: of("paper"), panel: of("panel"), band: of("band"), edge: of("edge"),
    instructor: of("instructor"), instructorStick: of("instructor-stick"),
    student: of("student"), studentStick: of("student-stick"), nobody: of("nobody"),
    sky: of("sky"), ground: of("ground"), grid: of("grid"), shadow: of("shadow"),
    top: of("craft-top"), side: of("craft-side"), under: of("craft-under"), mark: of("craft-mark"),
  };
}

/** Whether the person asked for less motion. */
const lessMotion = matchMedia("(prefers-reduced-motion: reduce)");

/** The sizes of the canvases that are drawn in every picture: to ask for one makes the browser lay out the page. */
const keptSizes = {
  /** @type {WeakMap<Element, { width: number, height: number }>} */
  of: new WeakMap(),
  observer: new ResizeObserver((entries) => {
    for (const { target } of entries) keptSizes.of.delete(target);
  }),
  /** The next picture asks again. */
  forget() {
    this.of = new WeakMap();
  },
  /** @param {HTMLCanvasElement} canvas */
  get(canvas) {
    const known = this.of.get(canvas);
    if (known) return known;
    const { width, height } = canvas.getBoundingClientRect();
    this.of.set(canvas, { width, height });
    this.observer.observe(canvas);
    return { width, height };
  },
};

/**
 * A canvas made as sharp as the screen, and its pen in CSS pixels.
 * @param {HTMLCanvasElement} canvas
 * @param {{ width: number, height: number }} [size]
 * @returns {{ pen: CanvasRenderingContext2D, width: number, height: number }}
 */
function sharp(canvas, { width, height } = canvas.getBoundingClientRect()) {
  const scale = Math.min(devicePixelRatio || 1, 2);
  const [wide, high] = [Math.max(1, Math.round(width * scale)), Math.max(1, Math.round(height * scale))];
  if (canvas.width !== wide || canvas.height !== high) [canvas.width, canvas.height] = [wide, high];
  const pen = canvas.getContext("2d");
  if (!pen) throw new Error("this browser draws no canvas");
  pen.setTransform(scale, 0, 0, scale, 0, 0);
  return { pen, width, height };
}
