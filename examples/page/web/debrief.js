"use strict";
// The part "Debrief": lessons as timelines, each takeover in words, several lessons beside each other.

/** Seconds before and after a takeover that are shown with it. */
const AROUND_S = 3;

class Debrief {
  constructor() {
    /** @type {Lesson[]} */
    this.lessons = [];
    /** @type {Timeline[]} */
    this.timelines = [];
    /** @type {{ name: string, bytes: ArrayBuffer } | null} the policy of the recordings to come */
    this.policy = null;
    const print = button("Print", () => globalThis.print());
    this.print = make("div", { class: "row tools" }, print);
    // Paper is white, whatever the screen is.
    addEventListener("beforeprint", () => this.draw(true));
    addEventListener("afterprint", () => this.draw(false));
  }

  /**
   * Files of a person: a policy counts for the recordings with it.
   * @param {File[]} files
   */
  async take(files) {
    const isPolicy = (/** @type {File} */ file) => file.name.endsWith(".toml");
    const policy = files.find(isPolicy);
    const bytes = (await policy?.arrayBuffer()) ?? this.policy?.bytes ?? null;
    const name = policy?.name ?? this.policy?.name;
    const recordings = files.filter((file) => !isPolicy(file));
    const words = recordings.length === 0 ? `${name ?? "This"} is a policy: open it together with a recording.` : "";
    say(element("debrief-kept"), words || (name ? `Under the policy ${name}.` : ""));
    for (const file of recordings) await this.add(file.name, await file.arrayBuffer(), bytes, name);
  }

  /** @param {boolean} onPaper */
  draw(onPaper) {
    document.documentElement.toggleAttribute("data-paper", onPaper);
    for (const timeline of this.timelines) timeline.draw();
  }

  /**
   * @param {string} name
   * @param {string | ArrayBuffer} trace
   * @param {string | ArrayBuffer | null} policy
   * @param {string} [policyName]
   */
  async add(name, trace, policy, policyName = "lesson.toml") {
    element("no-lesson").hidden = true;
    const box = make("article", { class: "card", "aria-label": name });
    const state = make("p", { role: "status" }, "Reading ...");
    const head = make("h3", {}, name);
    box.append(head, state);
    element("lessons").append(box);
    const bench = new Bench();
    try {
      if (policy) await bench.ask({ policy_file: { name: policyName } }, bytesOf(policy));
      await bench.ask({ look: { name } }, bytesOf(trace));
      const looked = await lookedAt(bench, (done) => say(state, `${Math.floor(done * 100)} % read.`));
      if (!looked.lesson) throw new Error(`${name}: is no recording of a lesson; open it under Check a file`);
      /** @type {Lesson} */
      const lesson = await bench.ask({ lesson: {} });
      state.remove();
      this.show(box, head, bench, lesson, looked);
    } catch (why) {
      bench.end();
      state.remove();
      box.append(make("p", { role: "alert" }, wordsOf(why)));
    }
  }

  /**
   * @param {HTMLElement} box
   * @param {HTMLElement} head
   * @param {Bench} bench
   * @param {Lesson} lesson
   * @param {Looked} looked
   */
  show(box, head, bench, lesson, looked) {
    const timeline = new Timeline(bench, lesson);
    this.timelines.push(timeline);
    this.lessons.push(lesson);
    const close = button("Close", () => {
      bench.end();
      box.remove();
      this.lessons = this.lessons.filter((other) => other !== lesson);
      this.timelines = this.timelines.filter((other) => other !== timeline);
      this.compare();
    });
    close.setAttribute("aria-label", `Close ${lesson.title}`);
    head.append(" ", make("span", { class: "tools" }, close));
    box.append(make("p", {}, sumOf(lesson)), timeline.box, takeoverTable(lesson, timeline));
    const report = make("details", {}, make("summary", {}, "The report"), make("pre", { tabindex: "0", "aria-label": "report" }, looked.report));
    box.append(report);
    timeline.fetch();
    this.compare();
  }

  /** The lessons beside each other, in the order in which they were opened. */
  compare() {
    const where = element("compare");
    where.textContent = "";
    if (this.lessons.length === 0) {
      element("no-lesson").hidden = false;
      return;
    }
    where.append(this.print);
    if (this.lessons.length < 2) return;
    const rows = this.lessons.map((lesson) => {
      const facts = factsOf(lesson);
      return make("tr", {}, make("th", { scope: "row" }, lesson.title), ...[clock(facts.length), `${facts.student} %`,
        String(lesson.takeovers.length), facts.often, facts.median].map((cell) => make("td", {}, cell)));
    });
    where.append(make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Lessons beside each other" },
      make("table", {}, make("caption", {}, "Lessons beside each other"),
        titles("lesson", "how long", "student flew", "takeovers", "takeovers in ten minutes", "a takeover lasted (median)"), make("tbody", {}, ...rows))));
  }
}

/** @param {string | ArrayBuffer} file */
function bytesOf(file) {
  return typeof file === "string" ? new TextEncoder().encode(file).buffer : file.slice(0);
}

/** @param {string[]} words */
function titles(...words) {
  return make("thead", {}, make("tr", {}, ...words.map((word) => make("th", { scope: "col" }, word))));
}

/** @param {Lesson} lesson */
function factsOf(lesson) {
  const length = lesson.to_s - lesson.from_s;
  const flown = lesson.turns.filter(({ flies }) => flies === "student").reduce((sum, turn) => sum + turn.to_s - turn.from_s, 0);
  const lasted = lesson.takeovers.map((taken) => (taken.back_s ?? lesson.to_s) - taken.at_s).sort((one, two) => one - two);
  return {
    length,
    student: length > 0 ? Math.round((100 * flown) / length) : 0,
    // A rate of a few seconds says nothing.
    often: length >= 60 ? ((lesson.takeovers.length * 600) / length).toFixed(1) : "-",
    median: lasted.length > 0 ? `${quantile(lasted, 0.5).toFixed(1)} s` : "-",
  };
}

/** @param {Lesson} lesson */
function sumOf(lesson) {
  const { length, student, often } = factsOf(lesson);
  const taken = lesson.takeovers.length === 1 ? "1 takeover" : `${lesson.takeovers.length} takeovers`;
  return `The student flew ${student} % of ${clock(length)}. ${taken}${often === "-" ? "" : `, ${often} in ten minutes`}.`;
}

/**
 * @param {Lesson} lesson
 * @param {Timeline} timeline
 */
function takeoverTable(lesson, timeline) {
  const rows = lesson.takeovers.map((taken, at) => {
    const off = taken.off.map((value, axis) => ({ axis: lesson.axes[axis], value }))
      .filter(({ value }) => Math.abs(value) >= 0.5)
      .sort((one, two) => Math.abs(two.value) - Math.abs(one.value)).slice(0, 3)
      .map(({ axis, value }) => `${axis} ${points(value)}`);
    const waited = taken.waited.filter(({ s }) => s >= 0.05).map(({ words, s }) => `${s.toFixed(1)} s: ${words}`);
    const look = button(`${at + 1}: ${clock(taken.at_s)}`, () => {
      timeline.show(taken.at_s - AROUND_S, Math.max(taken.at_s, Math.min(taken.back_s ?? taken.at_s, taken.at_s + 20)) + AROUND_S);
      timeline.canvas.scrollIntoView({ block: "nearest", behavior: lessMotion.matches ? "auto" : "smooth" });
    });
    look.setAttribute("aria-label", `Show takeover ${at + 1} at ${clock(taken.at_s)}`);
    const cells = [minus(taken.words), taken.back_s === null ? "to the end" : `${(taken.back_s - taken.at_s).toFixed(1)} s`,
      off.length > 0 ? off.join(", ") : "nothing", waited.length > 0 ? waited.join("; ") : "-"];
    return make("tr", {}, make("th", { scope: "row" }, look), ...cells.map((cell) => make("td", {}, cell)));
  });
  if (rows.length === 0) return make("p", {}, "No takeover.");
  return make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Takeovers" },
    make("table", {}, make("caption", {}, "Takeovers"),
      titles("when", "what happened", "how long", "student's sticks away from the instructor's, in points", "the student then waited"), make("tbody", {}, ...rows)));
}

/**
 * Everything that opens a lesson: the one that was flown, and recordings.
 * @param {Fly} fly
 * @param {Debrief} debrief
 * @param {Look} look
 */
function listenToDebrief(fly, debrief, look) {
  const openFlown = () => {
    if (fly.stand === "before") {
      say(element("saved"), "Nothing was flown yet: press Start first.");
      return;
    }
    try {
      /** @type {Saved} */
      const { trace, policy } = fly.engine.ask({ save: {} });
      location.hash = "#debrief";
      debrief.add(`${fly.title()}, ${new Date().toLocaleTimeString()}`, trace, policy);
    } catch (why) {
      say(element("saved"), wordsOf(why));
    }
  };
  for (const id of ["review", "review-crash", "open-flown"]) element(id).addEventListener("click", openFlown);
  const traces = input("traces");
  traces.addEventListener("change", () => {
    debrief.take([...(traces.files ?? [])]);
    traces.value = "";
  });
  addEventListener("part", () => {
    debrief.policy = look.policy;
    const flown = fly.stand !== "before";
    /** @type {HTMLButtonElement} */ (element("open-flown")).disabled = !flown;
    say(element("flown-words"), flown ? "Open the lesson that you have just flown, or the recording (trace) of another." : "No lesson yet. Fly one, or open the recording (trace) of one.");
  });
}
