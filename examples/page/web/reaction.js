"use strict";
// The part "Your reaction": from the mistake on the screen to the stick, ten times; the browser's share is taken out.

/** How many takeovers make a distribution. */
const TAKEN = 10;
/** Nobody answers what is seen within this many milliseconds: common practice, no source. */
const NOT_SEEN_MS = 100;

/**
 * @typedef {{ engine: number, human: number, shown: number, handled: number }} Timed
 *   milliseconds: from the mistake to the takeover in the lesson's time; the person's part; from the mistake to its
 *   picture; from the event of the stick to the step that took over
 */

class Reaction {
  /**
   * @param {Fly} fly
   * @param {Engine} engine
   */
  constructor(fly, engine) {
    this.fly = fly;
    this.engine = engine;
    /** @type {Timed[]} */
    this.timed = [];
    /** What did not count: sticks that moved too early, and crashes. */
    this.early = this.crashes = 0;
    this.began = -1;
    this.time_s = Infinity;
    this.shownAt = NaN;
    this.begunAt = NaN;
    /** What is said before the next words. */
    this.before = "";
    fly.flight.heard.push((state) => this.hear(state));
    fly.flight.drawn.push((state, now) => {
      if (fly.drill && state.mistake && Number.isNaN(this.shownAt)) this.shownAt = now;
    });
  }

  /** @param {State} state */
  hear(state) {
    if (!this.fly.drill) return;
    // Another lesson has begun: after ten, with ten more.
    if (state.time_s < this.time_s) {
      this.began = -1;
      if (this.timed.length >= TAKEN) this.forget();
      say(element("drill"), "Watch.");
    }
    this.time_s = state.time_s;
    const now = performance.now();
    if (state.craft.crashed) this.crash(state);
    else if (state.taken) this.take(state.taken, now);
    else if (state.events.some(({ cause }) => cause === "stick") && this.timed.length < TAKEN) {
      this.tooEarly("Before the mistake");
    } else if (state.events.some(({ to }) => to === "student") && this.timed.length < TAKEN) {
      say(element("drill"), `${this.before}${TAKEN - this.timed.length} to come. Watch.`);
      this.before = "";
    }
    if (state.mistake && state.mistake.began_s !== this.began) {
      this.began = state.mistake.began_s;
      this.begunAt = now;
      this.shownAt = NaN;
    }
  }

  /**
   * @param {NonNullable<State["taken"]>} taken
   * @param {number} now
   */
  take(taken, now) {
    if (this.timed.length >= TAKEN) return;
    const moved = this.fly.flight.hands?.instructor.moved ?? NaN;
    const human = moved - this.shownAt;
    if (!(human > 0)) {
      this.tooEarly("Before the mistake was on the screen");
      return;
    }
    if (human < NOT_SEEN_MS) {
      this.tooEarly(`${Math.round(human)} ms, too soon to have seen it`);
      return;
    }
    this.timed.push({
      engine: taken.after_mistake_ms, human, shown: this.shownAt - this.begunAt, handled: now - moved,
    });
    this.show();
  }

  /** @param {string} words */
  tooEarly(words) {
    this.early += 1;
    element("taken").append(make("li", { class: "uncounted" }, "too early: not counted"));
    this.before = `${words}: not counted. `;
    say(element("drill"), `${this.before}${capital(this.giveBack())}, and watch.`);
  }

  /** How the student gets the craft again. */
  giveBack() {
    return this.fly.flight.state?.waits?.for === "latch" ? "turn the lesson switch off and on (latched)" : "let go";
  }

  /**
   * The lesson is over by it.
   * @param {State} state
   */
  crash(state) {
    if (this.timed.length >= TAKEN) return;
    this.crashes += 1;
    element("taken").append(make("li", { class: "uncounted" }, `the craft hit the ground while ${FLEW[state.flies]}: not counted`));
    say(element("drill"), `${TAKEN - this.timed.length} to come. Press Begin again.`);
  }

  show() {
    const { timed } = this;
    const last = timed[timed.length - 1];
    const browser = last.shown + last.handled;
    // Its number among those that count.
    element("taken").append(make("li", { value: String(timed.length) }, `${Math.round(last.human)} ms you, plus ${Math.round(browser)} ms by the browser`));
    const left = TAKEN - timed.length;
    say(element("drill"), left > 0 ? `${Math.round(last.human)} ms. Level the craft, ${this.giveBack()}. ${left} to come.` : "");
    this.showLatency();
    if (left === 0) this.sum();
  }

  showLatency() {
    const of = (/** @type {number[]} */ values, /** @type {number} */ share) =>
      quantile([...values].sort((one, two) => one - two), share).toFixed(1);
    const pictures = this.fly.flight.times.pictures;
    const lines = [
      `From the mistake to its picture: typically ${of(this.timed.map(({ shown }) => shown), 0.5)} ms.`,
      `From your stick to the takeover: typically ${of(this.timed.map(({ handled }) => handled), 0.5)} ms; the lesson looks at the sticks every 20 ms.`,
      `From picture to picture: typically ${of(pictures, 0.5)} ms, and 95 of 100 within ${of(pictures, 0.95)} ms.`,
    ];
    element("browser-share").hidden = false;
    const where = element("latency");
    where.textContent = "";
    where.append(make("ul", {}, ...lines.map((words) => make("li", {}, words))));
  }

  sum() {
    this.fly.finish();
    const human = this.timed.map((timed) => timed.human).sort((one, two) => one - two);
    const median = quantile(human, 0.5);
    /** @type {Cost} */
    const cost = this.engine.ask({ cost: { reaction_ms: Math.round(median) } });
    const crashed = this.crashes === 0 ? "The craft never hit the ground." : `The craft hit the ground ${counted(this.crashes, "time")}.`;
    const early = this.early === 0 ? "" : ` Your stick moved too early ${counted(this.early, "time")}; these are not counted.`;
    showDistribution(human, cost, `${crashed}${early}`, () => this.again());
  }

  forget() {
    this.timed = [];
    this.early = this.crashes = 0;
    element("taken").textContent = element("distribution").textContent = "";
  }

  /** Ten more. */
  again() {
    this.fly.begin();
    say(element("drill"), "Press Start, and watch.");
    element("control").scrollIntoView({ block: "nearest" });
  }
}

/**
 * @param {Fly} fly
 * @param {Engine} engine
 */
function listenToReaction(fly, engine) {
  new Reaction(fly, engine);
}
