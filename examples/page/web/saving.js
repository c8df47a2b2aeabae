"use strict";
// The recording of the lesson that is flown, and its policy, as files under one name.

class Saving {
  /** @param {Fly} fly */
  constructor(fly) {
    this.fly = fly;
    this.began = new Date();
  }

  /** Another recording begins now: of another lesson, or under another policy. */
  renew() {
    this.began = new Date();
  }

  /** What a person calls the lesson. */
  title() {
    const craft = /** @type {HTMLSelectElement} */ (element("craft")).selectedOptions[0]?.text ?? "";
    return `${craft}, ${this.fly.drill ? "reaction drill" : `lesson ${input("seed").value}`}`;
  }

  /** The name of both files, without what comes after the point: by it, lessons stand in the order of their time. */
  stem() {
    const two = (/** @type {number} */ number) => String(number).padStart(2, "0");
    const { began } = this;
    const day = `${began.getFullYear()}-${two(began.getMonth() + 1)}-${two(began.getDate())}`;
    const time = `${two(began.getHours())}${two(began.getMinutes())}${two(began.getSeconds())}`;
    return `${day}-${time}-${input("craft").value}-${input("seed").value}`;
  }

  /**
   * A file for each button: a browser may refuse the second of two.
   * @param {"trace" | "policy"} which
   */
  save(which) {
    try {
      /** @type {Saved} */
      const saved = this.fly.engine.ask({ save: {} });
      const stem = this.stem();
      const name = `${stem}.${which === "trace" ? "csv" : "toml"}`;
      download(name, saved[which]);
      say(element("saved"), `Saved ${which === "trace" ? "the recording" : "its policy"} as ${name}.`);
      say(element("replay-line"), `cargo run --release -- replay ${stem}.csv --policy ${stem}.toml`);
      say(element("check"), `Check value of all ${saved.steps} decisions: ${saved.digest}.`);
    } catch (why) {
      say(element("saved"), wordsOf(why));
    }
  }
}
