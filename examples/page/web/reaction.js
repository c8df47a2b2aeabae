"use strict";
// The part "Your reaction": from the mistake on the screen to the stick, ten times; the browser's share is taken out.

/** How many takeovers make a distribution. */
const TAKEN = 10;

/**
 * @typedef {{ engine: number, human: number, shown: number, handled: number, limit: number | null }} Timed
 *   milliseconds: from the mistake to the takeover in the lesson's time; the person's part; from the mistake to its
 *   picture; from the event of the stick to the step that took over; from the passed limit to the takeover
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
    this.began = -1;
    this.shownAt = NaN;
    this.begunAt = NaN;
    fly.flight.heard.push((state) => this.hear(state));
    fly.flight.drawn.push((state, now) => {
      if (fly.drill && state.mistake && Number.isNaN(this.shownAt)) this.shownAt = now;
    });
  }

  /** @param {State} state */
  hear(state) {
    if (!this.fly.drill) return;
    const now = performance.now();
    if (state.taken) this.take(state.taken, now);
    else if (state.events.some(({ cause }) => cause === "stick") && this.timed.length < TAKEN) {
      say(element("drill"), "That was no mistake yet: not counted. Let go, and watch.");
    } else if (state.events.some(({ to }) => to === "student") && this.timed.length < TAKEN) {
      say(element("drill"), `The student flies. ${TAKEN - this.timed.length} to come. Watch.`);
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
      say(element("drill"), "The stick moved before the mistake was on the screen: not counted.");
      return;
    }
    this.timed.push({
      engine: taken.after_mistake_ms, human, shown: this.shownAt - this.begunAt, handled: now - moved,
      limit: taken.after_limit_ms,
    });
    this.show();
  }

  show() {
    const { timed } = this;
    const last = timed[timed.length - 1];
    const browser = last.shown + last.handled;
    const limit = last.limit === null ? "" : `, ${Math.round(last.limit)} ms after the limit was passed`;
    element("taken").append(make("li", {}, `${Math.round(last.human)} ms you, ${Math.round(browser)} ms browser${limit}`));
    const left = TAKEN - timed.length;
    say(element("drill"), left > 0 ? `${Math.round(last.human)} ms. Put the craft right, and let go. ${left} to come.` : "Ten times: see your distribution below.");
    this.showLatency();
    if (left === 0) this.sum();
  }

  showLatency() {
    const of = (/** @type {number[]} */ values, /** @type {number} */ share) =>
      quantile([...values].sort((one, two) => one - two), share).toFixed(1);
    const pictures = this.fly.flight.times.pictures;
    const lines = [
      `From the mistake to its picture: ${of(this.timed.map(({ shown }) => shown), 0.5)} ms (median).`,
      `From your stick's event to the step that takes over: ${of(this.timed.map(({ handled }) => handled), 0.5)} ms (median); a frame of the lesson is 20 ms.`,
      `From picture to picture: ${of(pictures, 0.5)} ms (median), ${of(pictures, 0.95)} ms (95 of 100).`,
    ];
    const where = element("latency");
    where.textContent = "";
    where.append(make("ul", {}, ...lines.map((words) => make("li", {}, words))));
  }

  sum() {
    this.fly.pause("Ten times. Paused.");
    const human = this.timed.map((timed) => timed.human).sort((one, two) => one - two);
    const median = quantile(human, 0.5);
    /** @type {Cost} */
    const cost = this.engine.ask({ cost: { reaction_ms: Math.round(median) } });
    showDistribution(human, cost, () => this.again());
  }

  /** Ten more. */
  again() {
    this.timed = [];
    element("taken").textContent = element("distribution").textContent = "";
    say(element("drill"), "Press Start, then turn the lesson switch on.");
    this.fly.begin();
    showCover(true);
  }
}

/**
 * @param {Fly} fly
 * @param {Engine} engine
 */
function listenToReaction(fly, engine) {
  new Reaction(fly, engine);
}
