"use strict";
// The recordings of the lesson that is flown, and their policies, as files. A changed setting ends a part of the lesson: each
// part has a recording and a policy of its own.

/** @typedef {{ began: Date, from_s: number, to_s: number, saved: Saved }} Part */

class Saving {
  /** @param {Fly} fly */
  constructor(fly) {
    this.fly = fly;
    this.began = new Date();
    /** @type {Part[]} those that a changed setting ended */
    this.ended = [];
    this.which = /** @type {HTMLSelectElement} */ (element("part"));
  }

  /** A new lesson. */
  renew() {
    this.began = new Date();
    this.ended = [];
    this.offer();
  }

  /**
   * The next part begins, under another policy.
   * @param {Part | null} before
   */
  next(before) {
    this.began = new Date();
    if (before) this.ended.push(before);
    this.offer();
  }

  /**
   * The part that is flown, if it has a step.
   * @returns {Part | null}
   */
  now() {
    const from_s = this.ended[this.ended.length - 1]?.to_s ?? 0;
    const to_s = this.fly.flight.state?.time_s ?? from_s;
    try {
      return { began: this.began, from_s, to_s, saved: this.fly.engine.ask({ save: {} }) };
    } catch {
      return null;
    }
  }

  /** What was flown, part by part. */
  parts() {
    const now = this.now();
    return now ? [...this.ended, now] : this.ended;
  }

  /** The parts that can be saved, the last one chosen. */
  offer() {
    const { ended } = this;
    element("part-choice").hidden = ended.length === 0;
    const from = [...ended.map(({ from_s }) => from_s), ...(this.fly.flight.goes ? [ended[ended.length - 1]?.to_s ?? 0] : [])];
    this.which.replaceChildren(...from.map((from_s, at) => make("option", { value: String(at) }, `part ${at + 1}, from ${clock(from_s)}`)));
    this.which.value = String(from.length - 1);
  }

  /**
   * What a person calls a part of the lesson.
   * @param {number} at
   * @param {number} count
   */
  title(at, count) {
    const { craft, seed } = this.fly.flight.plan;
    const name = [.../** @type {HTMLSelectElement} */ (element("craft")).options].find(({ value }) => value === craft)?.text ?? "";
    const lesson = `${name}, ${this.fly.drill ? "reaction drill" : `lesson ${seed}`}`;
    return count > 1 ? `${lesson}, part ${at + 1}` : lesson;
  }

  /**
   * The name of both files, without what comes after the point: by it, lessons stand in the order of their time. Two parts may
   * begin in the same second.
   * @param {Part} part
   * @param {number} at
   */
  stem({ began }, at) {
    const two = (/** @type {number} */ number) => String(number).padStart(2, "0");
    const day = `${began.getFullYear()}-${two(began.getMonth() + 1)}-${two(began.getDate())}`;
    const time = `${two(began.getHours())}${two(began.getMinutes())}${two(began.getSeconds())}`;
    const { craft, seed } = this.fly.flight.plan;
    return `${day}-${time}-${craft}-${seed}${at > 0 ? `-part-${at + 1}` : ""}`;
  }

  /**
   * The recording, and with it its policy where a setting was changed. Of two files a browser may refuse the second: its
   * policy has a button of its own.
   * @param {"trace" | "policy"} which
   */
  save(which) {
    const parts = this.parts();
    const at = Math.min(Number(this.which.value), parts.length - 1);
    const part = parts[at];
    if (!part) {
      say(element("saved"), "Nothing was flown yet: press Start first.");
      return;
    }
    const { saved } = part;
    const stem = this.stem(part, at);
    const [name, policy] = [`${stem}.csv`, `${stem}.toml`];
    const changed = saved.policy !== this.fly.flight.defaults.get(this.fly.flight.plan.craft);
    if (which === "trace") download(name, saved.trace);
    if (which === "policy" || changed) download(policy, saved.policy);
    const both = `Saved ${name} and its policy ${policy}: keep both, as settings were changed.`;
    say(element("saved"), which === "policy" ? `Saved its policy as ${policy}.` : changed ? both : `Saved the recording as ${name}.`);
    element("saved").scrollIntoView({ block: "nearest" });
    if (which === "policy") return;
    // Of the file: the lesson may go on.
    say(element("replay-line"), `cargo run --release -- replay ${name} --policy ${policy}`);
    say(element("check"), `Check value of all ${saved.steps} steps in ${name}: ${saved.digest}.`);
  }
}
