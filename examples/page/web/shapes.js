"use strict";
// The two craft as flat faces. Points are metres to the right, to the nose and up. Own drawings of no model that exists.

/**
 * @typedef {{ at: number[][], paint: "wing" | "body" | "mark" | "disc" }} Face a wing shows another colour from below
 */

/**
 * A box that tapers along the nose.
 * @param {number} front
 * @param {number} back
 * @param {[number, number]} wide half of the width in front and behind
 * @param {[number, number]} bottom
 * @param {[number, number]} top
 * @param {Face["paint"]} [nose]
 * @returns {Face[]}
 */
function taperedBox(front, back, wide, bottom, top, nose = "body") {
  const ring = (/** @type {number} */ end) => {
    const y = end === 0 ? front : back;
    return [[-wide[end], y, bottom[end]], [wide[end], y, bottom[end]], [wide[end], y, top[end]], [-wide[end], y, top[end]]];
  };
  const [first, last] = [ring(0), ring(1)];
  /** @type {Face[]} */
  const sides = first.map((corner, at) => {
    const next = (at + 1) % 4;
    return { at: [corner, first[next], last[next], last[at]], paint: "body" };
  });
  return [{ at: first, paint: nose }, ...sides, { at: last, paint: "body" }];
}

/** @returns {Face[]} */
function aeroplaneFaces() {
  /** @type {Face[]} */
  const wings = [];
  for (const side of [-1, 1]) {
    // Corners go round to the right, seen from above.
    const panel = (/** @type {number[][]} */ ...at) => (side > 0 ? at : at.reverse());
    const [root, tip] = [0.1, 0.17]; // the dihedral lifts the tips
    const inner = panel([0, 0.17, root], [side * 0.5, 0.17, 0.14], [side * 0.5, -0.09, 0.14], [0, -0.09, root]);
    const outer = panel([side * 0.5, 0.17, 0.14], [side * 0.72, 0.13, tip], [side * 0.72, -0.07, tip], [side * 0.5, -0.09, 0.14]);
    const tail = panel([0, -0.5, 0.03], [side * 0.26, -0.53, 0.03], [side * 0.26, -0.66, 0.03], [0, -0.68, 0.03]);
    // The end of the right wing alone has a mark: left and right can be told.
    wings.push({ at: inner, paint: "wing" }, { at: outer, paint: side > 0 ? "mark" : "wing" }, { at: tail, paint: "wing" });
  }
  return [
    ...taperedBox(0.36, -0.1, [0.065, 0.075], [-0.07, -0.09], [0.06, 0.1]),
    ...taperedBox(0.5, 0.36, [0.03, 0.065], [-0.03, -0.07], [0.03, 0.06], "mark"),
    ...taperedBox(-0.1, -0.68, [0.075, 0.018], [-0.09, -0.02], [0.1, 0.04]),
    ...wings,
    { at: [[0, -0.46, 0.04], [0, -0.6, 0.28], [0, -0.7, 0.28], [0, -0.7, 0.03]], paint: "body" },
  ];
}

/** @returns {Face[]} */
function helicopterFaces() {
  const disc = [];
  for (let part = 0; part < 20; part += 1) {
    const angle = (part / 20) * 2 * Math.PI;
    disc.push([0.68 * Math.sin(angle), 0.68 * Math.cos(angle), 0.26]);
  }
  /** @type {Face[]} */
  const skids = [-1, 1].map((side) => ({
    at: [[side * 0.17, 0.3, -0.22], [side * 0.2, 0.3, -0.22], [side * 0.2, -0.24, -0.22], [side * 0.17, -0.24, -0.22]],
    paint: side > 0 ? "mark" : "body",
  }));
  return [
    ...taperedBox(0.2, -0.18, [0.13, 0.1], [-0.14, -0.1], [0.15, 0.15]),
    ...taperedBox(0.42, 0.2, [0.04, 0.13], [-0.1, -0.14], [-0.01, 0.15], "mark"),
    ...taperedBox(-0.18, -0.86, [0.05, 0.02], [0.0, 0.05], [0.12, 0.1]),
    { at: [[0, -0.74, 0.06], [0, -0.84, 0.3], [0, -0.92, 0.3], [0, -0.88, -0.06]], paint: "mark" },
    { at: [[-0.015, 0, 0.15], [0.015, 0, 0.15], [0.015, 0, 0.26], [-0.015, 0, 0.26]], paint: "body" },
    ...skids,
    { at: disc, paint: "disc" },
  ];
}
