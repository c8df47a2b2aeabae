"use strict";
// The craft seen from behind and above, large enough to judge bank, height and nose; the ground, the horizon, its shadow.

const RADIANS = Math.PI / 180;

/**
 * How each craft is looked at: metres behind it, degrees above it, degrees that the eye looks down, half of the view's
 * height in degrees; how many times its size it is drawn; the grid and the ladder of heights in metres.
 */
const EYES = {
  aeroplane: { behind: 8, above: 14, down: 14, half: 23, size: 2.7, grid: 20, far: 460, ladder: 80 },
  helicopter: { behind: 8, above: 20, down: 24, half: 29, size: 2.6, grid: 2, far: 60, ladder: 16 },
};

class Scene {
  /** @param {HTMLCanvasElement} canvas */
  constructor(canvas) {
    this.canvas = canvas;
    this.kind = /** @type {keyof typeof EYES} */ ("aeroplane");
    this.faces = aeroplaneFaces();
    this.turned = 0;
    this.width = this.height = this.scale = 1;
  }

  /** @param {string} craft */
  show(craft) {
    this.kind = craft === "helicopter" ? "helicopter" : "aeroplane";
    this.faces = craft === "helicopter" ? helicopterFaces() : aeroplaneFaces();
    this.turned = NaN;
  }

  /**
   * @param {Craft} craft
   * @param {ReturnType<typeof palette>} colours
   * @param {number} seconds since the picture before
   */
  draw(craft, colours, seconds) {
    const { pen, width, height } = sharp(this.canvas, keptSizes.get(this.canvas));
    this.pen = pen;
    [this.width, this.height] = [width, height];
    const eye = EYES[this.kind];
    // The eye follows a turn with a lag, so that one sees it. Nearest way round.
    if (Number.isNaN(this.turned)) this.turned = craft.heading;
    const away = ((((craft.heading - this.turned) % 360) + 540) % 360) - 180;
    this.turned += away * Math.min(1, seconds / 0.8);
    const [sin, cos] = [Math.sin(this.turned * RADIANS), Math.cos(this.turned * RADIANS)];
    const back = eye.behind * Math.cos(eye.above * RADIANS);
    const up = Math.max(craft.height, 0.45) + eye.behind * Math.sin(eye.above * RADIANS);
    this.eye = { x: craft.x - back * sin, y: craft.y - back * cos, z: up, sin, cos };
    this.look = { sin: Math.sin(-eye.down * RADIANS), cos: Math.cos(eye.down * RADIANS) };
    this.scale = height / 2 / Math.tan(eye.half * RADIANS);

    const horizon = height / 2 - this.scale * Math.tan(eye.down * RADIANS);
    pen.fillStyle = colours.sky;
    pen.fillRect(0, 0, width, height);
    pen.fillStyle = colours.ground;
    pen.fillRect(0, horizon, width, height - horizon);
    pen.strokeStyle = colours.ink;
    pen.lineWidth = 1.5;
    line(pen, [0, horizon], [width, horizon]);
    this.drawGround(craft, colours, eye);
    this.drawShadow(craft, colours, eye);
    this.nameStart(colours, this.drawCraft(craft, colours, eye.size));
    this.drawLadder(craft, colours, eye.ladder);
  }

  /**
   * Where a place of the world is in the eye: to the right, up, and away.
   * @param {number} x
   * @param {number} y
   * @param {number} z
   */
  seen(x, y, z) {
    const { eye, look } = this;
    if (!eye || !look) return [0, 0, 1];
    const [dx, dy, dz] = [x - eye.x, y - eye.y, z - eye.z];
    const ahead = dx * eye.sin + dy * eye.cos;
    return [dx * eye.cos - dy * eye.sin, dz * look.cos - ahead * look.sin, ahead * look.cos + dz * look.sin];
  }

  /** @param {number[]} seen */
  screen([right, up, away]) {
    const scale = (this.scale) / away;
    return [(this.width) / 2 + right * scale, (this.height) / 2 - up * scale];
  }

  /**
   * A straight line on the ground, added to the path, cut off where it passes the eye.
   * @param {number[]} from
   * @param {number[]} to
   */
  groundLine(from, to) {
    let [one, two] = [this.seen(from[0], from[1], 0), this.seen(to[0], to[1], 0)];
    const near = 0.3;
    if (one[2] < near && two[2] < near) return;
    if (one[2] < near) [one, two] = [two, one];
    if (two[2] < near) {
      const share = (one[2] - near) / (one[2] - two[2]);
      two = one.map((value, at) => value + (two[at] - value) * share);
    }
    const [[fromX, fromY], [toX, toY]] = [this.screen(one), this.screen(two)];
    this.pen?.moveTo(fromX, fromY);
    this.pen?.lineTo(toX, toY);
  }

  /**
   * @param {Craft} craft
   * @param {ReturnType<typeof palette>} colours
   * @param {{ grid: number, far: number }} eye
   */
  drawGround(craft, colours, { grid, far }) {
    if (!this.pen) return;
    this.pen.strokeStyle = colours.grid;
    this.pen.lineWidth = 1;
    // Less motion: wider squares rush past less.
    const apart = lessMotion.matches ? grid * 4 : grid;
    this.pen.beginPath();
    const [x, y] = [Math.round(craft.x / apart) * apart, Math.round(craft.y / apart) * apart];
    for (let off = -far; off <= far; off += apart) {
      this.groundLine([x + off, y - far], [x + off, y + far]);
      this.groundLine([x - far, y + off], [x + far, y + off]);
    }
    // One path: a hundred strokes take most of a picture's time.
    this.pen.stroke();
    // The place where the flight began.
    this.pen.beginPath();
    this.pen.strokeStyle = colours.ink;
    this.pen.lineWidth = 2;
    const reach = this.reach();
    for (let part = 0; part < 24; part += 1) {
      const spot = (/** @type {number} */ at) =>
        [reach * Math.sin((at / 12) * Math.PI), reach * Math.cos((at / 12) * Math.PI)];
      this.groundLine(spot(part), spot(part + 1));
    }
    this.pen.stroke();
  }

  /** Metres around the place where the flight began. */
  reach() {
    return this.kind === "helicopter" ? 1.5 : 12;
  }

  /**
   * Its name beside it, from where the eye is, but not on the craft.
   * @param {ReturnType<typeof palette>} colours
   * @param {number[][]} craft its corners on the screen
   */
  nameStart(colours, craft) {
    if (!this.pen) return;
    const reach = this.reach();
    const side = this.seen(reach * (this.eye?.cos ?? 1), -reach * (this.eye?.sin ?? 0), 0);
    if (side[2] < 0.3) return;
    const [right, y] = this.screen(side);
    const low = Math.min(y, this.height - 8);
    this.pen.fillStyle = colours.ink;
    this.pen.font = "12px sans-serif";
    this.pen.textAlign = "left";
    this.pen.textBaseline = "middle";
    const wide = this.pen.measureText("start").width;
    const left = Math.min(right + 4, this.width - wide - 2);
    const of = (/** @type {number} */ way) => craft.map((corner) => corner[way]);
    const [across, along] = [of(0), of(1)];
    const meets = left < Math.max(...across) && left + wide > Math.min(...across)
      && low - 7 < Math.max(...along) && low + 7 > Math.min(...along);
    if (!meets) this.pen.fillText("start", left, low);
  }

  /**
   * @param {Craft} craft
   * @param {ReturnType<typeof palette>} colours
   * @param {{ size: number }} eye
   */
  drawShadow(craft, colours, { size }) {
    const below = this.seen(craft.x, craft.y, 0);
    if (!this.pen || below[2] < 0.3) return;
    this.pen.globalAlpha = 0.55;
    for (const face of this.faces) {
      const at = face.at.map((corner) => this.turnedPoint(corner, craft, size));
      this.fill(at.map(([x, y]) => this.seen(x, y, 0)), colours.shadow);
    }
    this.pen.globalAlpha = 1;
    // The plumb line: how far the craft is above its shadow.
    this.pen.strokeStyle = colours.ink;
    this.pen.lineWidth = 1;
    this.pen.setLineDash([3, 4]);
    line(this.pen, this.screen(below), this.screen(this.seen(craft.x, craft.y, Math.max(craft.height, 0))));
    this.pen.setLineDash([]);
  }

  /**
   * A point of the craft in the world.
   * @param {number[]} corner
   * @param {Craft} craft
   * @param {number} size
   */
  turnedPoint([right, nose, up], craft, size) {
    const [sinB, cosB] = [Math.sin(craft.bank * RADIANS), Math.cos(craft.bank * RADIANS)];
    const [sinP, cosP] = [Math.sin(craft.pitch * RADIANS), Math.cos(craft.pitch * RADIANS)];
    const [sinH, cosH] = [Math.sin(craft.heading * RADIANS), Math.cos(craft.heading * RADIANS)];
    const [r, u] = [right * cosB + up * sinB, up * cosB - right * sinB];
    const [n, z] = [nose * cosP - u * sinP, nose * sinP + u * cosP];
    // A craft on the ground stands on its belly, not in it.
    const height = Math.max(craft.height, 0.22 * size);
    return [craft.x + size * (r * cosH + n * sinH), craft.y + size * (n * cosH - r * sinH), height + size * z];
  }

  /**
   * @param {Craft} craft
   * @param {ReturnType<typeof palette>} colours
   * @param {number} size
   * @returns its corners on the screen
   */
  drawCraft(craft, colours, size) {
    const faces = this.faces.map((face) => {
      const seen = face.at.map((corner) => {
        const [x, y, z] = this.turnedPoint(corner, craft, size);
        return this.seen(x, y, z);
      });
      return { seen, paint: face.paint, away: seen.reduce((sum, [, , away]) => sum + away, 0) / seen.length };
    });
    faces.sort((one, two) => two.away - one.away);
    for (const { seen, paint } of faces) {
      if (seen.some(([, , away]) => away < 0.3) || !this.pen) continue;
      const fromAbove = turnsRight(seen.map((corner) => this.screen(corner)));
      const wing = fromAbove ? colours.top : colours.under;
      const ink = { wing, body: colours.side, mark: colours.mark, disc: colours.quiet }[paint];
      this.pen.globalAlpha = paint === "disc" ? 0.3 : 1;
      this.fill(seen, ink);
      this.pen.globalAlpha = 1;
      this.pen.strokeStyle = colours.ink;
      this.pen.lineWidth = 1;
      this.pen.stroke();
    }
    return faces.flatMap(({ seen }) => seen.map((corner) => this.screen(corner)));
  }

  /**
   * @param {number[][]} corners
   * @param {string} ink
   */
  fill(corners, ink) {
    const { pen } = this;
    if (!pen) return;
    pen.beginPath();
    corners.forEach((corner, at) => {
      const [x, y] = this.screen(corner);
      if (at === 0) pen.moveTo(x, y);
      else pen.lineTo(x, y);
    });
    pen.closePath();
    pen.fillStyle = ink;
    pen.fill();
  }

  /**
   * The ladder of heights at the left edge.
   * @param {Craft} craft
   * @param {ReturnType<typeof palette>} colours
   * @param {number} least what it reaches at least
   */
  drawLadder(craft, colours, least) {
    const { pen, height } = this;
    if (!pen) return;
    let top = least;
    while (top < craft.height * 1.05) top *= 2;
    const [low, high] = [height - 14, 14];
    const y = (/** @type {number} */ metres) => low + (high - low) * Math.min(1, metres / top);
    pen.fillStyle = colours.paper;
    pen.globalAlpha = 0.8;
    pen.fillRect(0, 0, 50, height);
    pen.globalAlpha = 1;
    pen.strokeStyle = pen.fillStyle = colours.ink;
    pen.font = "12px sans-serif";
    pen.textBaseline = "middle";
    pen.lineWidth = 1;
    // Numbers a line apart: fewer in a low picture.
    const steps = low - high < 40 ? 1 : low - high < 80 ? 2 : 4;
    for (let step = 0; step <= steps; step += 1) {
      const metres = (top * step) / steps;
      line(pen, [0, y(metres)], [8, y(metres)]);
      // The lowest stands on the ground, not in it.
      pen.fillText(String(metres), 12, y(metres) - (step === 0 ? 7 : 0));
    }
    const at = y(Math.max(craft.height, 0));
    pen.beginPath();
    pen.moveTo(50, at);
    pen.lineTo(38, at - 7);
    pen.lineTo(38, at + 7);
    pen.closePath();
    pen.fill();
    pen.lineWidth = 4;
    line(pen, [0, low + 2], [50, low + 2]);
  }
}

/**
 * Whether the corners go round to the right on the screen: a wing is seen from above.
 * @param {number[][]} corners
 */
function turnsRight(corners) {
  let twice = 0;
  corners.forEach(([x, y], at) => {
    const [nextX, nextY] = corners[(at + 1) % corners.length];
    twice += x * nextY - nextX * y;
  });
  return twice > 0;
}
