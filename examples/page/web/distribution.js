"use strict";
// Ten reaction times as dots, beside those of others; and what the median costs in metres.

/**
 * @param {number[]} human sorted, in milliseconds
 * @param {Cost} cost
 * @param {string} besides what did not count
 * @param {() => void} again
 */
function showDistribution(human, cost, besides, again) {
  const [low, median, high] = [0.25, 0.5, 0.75].map((share) => Math.round(quantile(human, share)));
  const words = `Half of your times were below ${median} ms, half above (the median). The middle half lies between ${low} and ${high} ms; `
    + `the fastest was ${Math.round(human[0])} ms, the slowest ${Math.round(human[human.length - 1])} ms.`;
  const borrowed = cost.borrowed.map(({ words, source, ms }) => make("li", {}, `${ms} ms: ${words}`, make("small", {}, source)));
  const rows = cost.rows.map(({ words, human_m, whole_m }) => row(words, [`${human_m.toFixed(1)} m`, `${whole_m.toFixed(1)} m`], COST_TITLES));
  element("distribution").append(
    make("h3", {}, "Your times"), make("p", {}, words), make("p", {}, besides), dots(human, cost, words),
    make("h3", {}, "Times of others, to compare"), make("ul", {}, ...borrowed),
    make("h3", {}, `What ${median} ms cost`),
    table("Metres until the craft follows you", COST_TITLES, rows),
    make("p", { class: "quiet" }, "A model: a point that flies on as it did. You knew that a mistake would come; at the field you do not."),
    button("Ten more", again));
}

const COST_TITLES = ["the craft", "by your time alone", "with radio link and trainer box"];

/**
 * @param {number[]} human
 * @param {Cost} cost
 * @param {string} words
 */
function dots(human, cost, words) {
  const most = Math.max(human[human.length - 1], ...cost.borrowed.map(({ ms }) => ms)) * 1.05;
  const x = (/** @type {number} */ ms) => 10 + (ms / most) * 380;
  const svg = (/** @type {string} */ tag, /** @type {Record<string, string | number>} */ attributes, text = "") => {
    const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, String(value));
    made.textContent = text;
    return made;
  };
  const picture = svg("svg", { viewBox: "0 0 400 120", role: "img", "aria-label": words });
  const [low, median, high] = [0.25, 0.5, 0.75].map((share) => x(quantile(human, share)));
  picture.append(
    svg("rect", { x: low, y: 16, width: Math.max(1, high - low), height: 52, fill: "var(--instructor)", opacity: 0.5 }),
    svg("line", { x1: median, x2: median, y1: 8, y2: 70, stroke: "var(--ink)", "stroke-width": 2 }),
    svg("text", { x: median + 4, y: 12, "font-size": 11, fill: "var(--ink)" }, "your median"),
    svg("line", { x1: 10, x2: 390, y1: 72, y2: 72, stroke: "var(--ink)" }));
  // Dots that would cover each other go up.
  /** @type {number[]} */
  const ends = [];
  const rows = human.map((ms) => {
    let row = ends.findIndex((end) => x(ms) - end >= 8);
    if (row < 0) row = ends.length;
    ends[row] = x(ms);
    return row;
  });
  const apart = Math.min(8, 46 / ends.length);
  human.forEach((ms, at) => {
    picture.append(svg("circle", { cx: x(ms), cy: 66 - rows[at] * apart, r: 3.5, fill: "var(--instructor-stick)" }));
  });
  cost.borrowed.forEach(({ ms }) => {
    const place = Math.min(x(ms), 372);
    picture.append(svg("path", { d: `M${x(ms)} 74 l-5 10 h10 z`, fill: "none", stroke: "var(--ink)" }),
      svg("text", { x: place, y: 97, "font-size": 11, "text-anchor": "middle", fill: "var(--ink)" }, `${ms}`));
  });
  picture.append(svg("text", { x: 10, y: 114, "font-size": 11, fill: "var(--quiet)" }, "ms since the mistake. Dots: you. Triangles: others."));
  return picture;
}
