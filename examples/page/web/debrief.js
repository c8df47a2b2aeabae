"use strict";
// The part "Debrief": lessons as timelines, each takeover in words, several lessons beside each other.

/** Seconds before and after a takeover that are shown with it. */
const AROUND_S = 3;

/**
 * @typedef {{ name: string, when: string, end?: string, takesFocus?: boolean, flight?: number, ends?: string }} Called what a lesson is
 *   called, and sentences: when it was, how it ended; whether the person's focus goes to it; the flight that it is a part of, and
 *   what ends its recording
 * @typedef {{ lesson: Lesson, timeline: Timeline, number: HTMLElement, recording: ArrayBuffer, policy: string, settings: string, flight?: number, differs_s: number | null }} Opened
 *   with the text of its policy, and what that is called
 * @typedef {{ name: string, recording: ArrayBuffer, policy: ArrayBuffer | null, number: HTMLElement, heading: HTMLElement }} Known
 */

class Debrief {
  constructor() {
    /** @type {Opened[]} */
    this.opened = [];
    /** @type {Known[]} the files of the lessons that are open or being read */
    this.known = [];
    /** @type {{ name: string, bytes: ArrayBuffer } | null} the policy of the recordings to come */
    this.policy = null;
    const print = button("Print", () => globalThis.print());
    this.print = make("div", { class: "row tools" }, print);
    // Paper is white, whatever the screen is.
    addEventListener("beforeprint", () => this.draw(true));
    addEventListener("afterprint", () => this.draw(false));
  }

  /**
   * Files of a person: a policy counts for the recording of the same name, else for all; the oldest recording comes first.
   * @param {File[]} files
   */
  async take(files) {
    const policies = await Promise.all(files.filter(isPolicy).map(async (file) => ({ name: file.name, bytes: await file.arrayBuffer() })));
    const given = policies[0] ?? this.policy;
    const recordings = files.filter((file) => !isPolicy(file));
    recordings.sort((one, two) => one.lastModified - two.lastModified || one.name.localeCompare(two.name));
    element("refused").textContent = "";
    say(element("debrief-kept"), recordings.length === 0 ? `${given?.name ?? "This"} is a policy: open it together with a recording.` : "");
    for (const file of recordings) {
      const own = policies.find(({ name }) => stemOf(name) === stemOf(file.name)) ?? given;
      await this.add({ name: file.name, when: savedWords(file) }, await file.arrayBuffer(), own);
    }
  }

  /** @param {boolean} onPaper */
  draw(onPaper) {
    document.documentElement.toggleAttribute("data-paper", onPaper);
    say(element("printed"), `Printed ${dateWords(new Date())}.`);
    for (const { timeline } of this.opened) timeline.paper(onPaper);
  }

  /**
   * @param {Called} called
   * @param {string | ArrayBuffer} recording
   * @param {{ name: string, bytes: string | ArrayBuffer } | null} policy
   * @param {string} [under] where the policy is no file of the person
   * @param {string} [settings] what it is called beside others
   */
  async add(called, recording, policy, under = underWords(policy?.name), settings = policy?.name ?? DEFAULT) {
    const { name, when, end, flight, ends = "the recording ends" } = called;
    const files = { recording: bytesOf(recording), policy: policy && bytesOf(policy.bytes) };
    const before = this.known.find((known) => sameBytes(known.recording, files.recording) && sameBytes(known.policy, files.policy));
    if (before) {
      const letter = before.number.textContent;
      const words = `${name} is open already${letter ? `, as ${letter}` : ""}${name === before.name ? "" : `: ${before.name}`}.`;
      say(element("debrief-kept"), `${element("debrief-kept").textContent} ${words}`.trim());
      if (called.takesFocus) focusOn(before.heading);
      return;
    }
    element("no-lesson").hidden = true;
    const number = make("span", { class: "number" });
    const forget = () => {
      this.known = this.known.filter((other) => other.number !== number);
      this.opened = this.opened.filter((other) => other.number !== number);
      this.compare();
    };
    const close = button("Close", () => {
      bench.end();
      box.remove();
      forget();
      input("traces").focus({ preventScroll: true });
    });
    close.setAttribute("aria-label", `Close ${name}`);
    const state = make("p", { role: "status" }, "Reading ...");
    const heading = make("h3", { tabindex: "-1" }, number, name, " ", make("span", { class: "tools" }, close));
    const box = make("article", { class: "card", "aria-label": name }, heading, state);
    element("lessons").append(box);
    this.known.push({ ...files, name, number, heading });
    const bench = new Bench();
    try {
      if (policy) await bench.ask({ policy_file: { name: policy.name } }, bytesOf(policy.bytes));
      await bench.ask({ look: { name } }, files.recording.slice(0));
      const looked = await lookedAt(bench, (done) => say(state, `${Math.floor(done * 100)} % read.`));
      if (!looked.lesson) throw new Error(`${name}: is no recording of a lesson; open it under Check a file`);
      /** @type {Lesson} */
      const lesson = await bench.ask({ lesson: {} });
      state.remove();
      if (!box.isConnected) return;
      const timeline = new Timeline(bench, lesson);
      const { doubts, checked, differs_s } = looked.proof;
      const text = policy ? new TextDecoder().decode(bytesOf(policy.bytes)) : "";
      this.opened.push({ lesson, timeline, number, recording: files.recording, policy: text, settings, flight, differs_s });
      const report = forProgrammers();
      report.append(...reportOf(looked));
      box.append(...doubts.map((words) => make("p", { role: "alert", class: "doubt" }, words)),
        make("p", { class: "quiet" }, [when, under, checked].filter((words) => words).join(" ")), make("p", {}, [sumOf(lesson), end, firstWords(lesson)].filter((words) => words).join(" ")),
        timeline.box, lossTable(lesson, timeline, ends), report);
      timeline.fetch();
      this.compare();
      if (called.takesFocus) focusOn(heading);
    } catch (why) {
      bench.end();
      state.remove();
      if (!box.isConnected) return;
      box.append(make("p", { role: "alert" }, refusalOf(why, name, policy?.name)));
      // Above all lessons, where the person looks who has just opened it.
      element("refused").append(box);
      box.scrollIntoView({ block: "nearest" });
      forget();
      if (called.takesFocus) focusOn(heading);
    }
  }

  /** The lessons beside each other, in the order in which they were opened. */
  compare() {
    const where = element("compare");
    where.textContent = "";
    const { opened } = this;
    element("no-lesson").hidden = element("lessons").childElementCount > 0;
    opened.forEach(({ number }, at) => say(number, opened.length > 1 ? letterOf(at) : ""));
    if (opened.length === 0) return;
    where.append(this.print);
    if (opened.length < 2) return;
    const settings = opened.some(({ policy }) => policy !== opened[0].policy) ? opened.map((one) => settingsBeside(one, opened)) : [];
    const rows = opened.map(({ lesson, differs_s }, at) => {
      const facts = factsOf(lesson);
      const share = make("span", { class: "share", "aria-hidden": "true" }, make("i", { style: `width: ${facts.student}%` }));
      const name = make("span", {}, make("span", { class: "number" }, letterOf(at)), lesson.title,
        settings[at] ? make("small", {}, settings[at]) : "", differs_s === null ? "" : make("b", { class: "doubt" }, `from ${clock(differs_s)} on not what happened`));
      return row(name, [clock(facts.length), make("span", {}, `${facts.student} % `, share), clock(facts.longest),
        String(facts.takeovers), facts.tells ? facts.often.toFixed(1) : "lesson under 5 minutes", facts.typical], LESSON_TITLES);
    });
    const one = opened.every(({ recording }) => sameBytes(recording, opened[0].recording)) ? "One recording under different settings"
      : opened.every(({ flight }) => flight && flight === opened[0].flight) ? "One lesson: each changed setting began a new part" : "";
    if (one === "") {
      where.append(make("p", { id: "progress" }, progressWords(opened.map(({ lesson, differs_s }) => ({ ...factsOf(lesson), happened: differs_s === null })))));
      if (settings.length > 0) {
        where.append(make("p", { class: "quiet" }, "These lessons may have different settings: takeovers may differ for that reason alone."));
      }
    }
    where.append(table(one || "Lessons beside each other", LESSON_TITLES, rows));
  }
}

const LESSON_TITLES = ["lesson", "how long", "student flew", "student's longest time flying", "takeovers", "takeovers in ten minutes",
  "a takeover typically lasted"];

/** What settings are called. */
const DEFAULT = "default settings";
const CHANGED = "changed settings";

/** How many settings are named beside a lesson. */
const NAMED = 8;

/**
 * What the policy of a lesson is called beside others, and what differs: from the part before it, or from the other lessons.
 * @param {Opened} one
 * @param {Opened[]} opened
 */
function settingsBeside(one, opened) {
  const { settings, policy, flight } = one;
  const before = opened[opened.indexOf(one) - 1];
  const beside = flight && before?.flight === flight ? [before] : opened.filter((other) => other.policy !== "");
  const others = beside.map((other) => linesOf(other.policy));
  const own = linesOf(policy).filter((words) => !others.every((lines) => lines.includes(words)));
  if (own.length === 0) return settings;
  const words = `${own.slice(0, NAMED).map(settingSaid).join("; ")}${own.length > NAMED ? " ..." : ""}`;
  return settings === CHANGED ? words : `${settings}: ${words}`;
}

/**
 * The settings of a policy, a line each, with the axis that it is of.
 * @param {string} policy
 */
function linesOf(policy) {
  let of = "";
  return policy.split("\n").flatMap((line) => {
    const words = line.replace(/#.*/, "").trim();
    const name = /^name = "(.*)"$/.exec(words);
    if (words.startsWith("[") || name) of = name ? `${name[1]} ` : "";
    return words === "" || words.startsWith("[") || name ? [] : [`${of}${words}`];
  });
}

/**
 * Whether the student got better, by the first and the last lesson that is long enough, and happened as it is shown.
 * @param {(Facts & { happened: boolean })[]} lessons
 */
function progressWords(lessons) {
  const long = lessons.map((facts, at) => ({ facts, at })).filter(({ facts }) => facts.tells && facts.happened);
  if (long.length < 2 && lessons.some(({ happened }) => !happened)) {
    return "Whether the student gets better cannot be told: too few of these lessons are shown as they happened.";
  }
  if (long.length < 2) return "Whether the student gets better, only lessons of 5 minutes or more can tell.";
  const [{ facts: first, at: from }, { facts: last, at: to }] = [long[0], long[long.length - 1]];
  const change = (/** @type {number} */ before, /** @type {number} */ now, /** @type {string} */ unit, digits = 0) =>
    `${before.toFixed(digits)} to ${now.toFixed(digits)}${unit}`;
  const flew = first.student === last.student ? `the student flew as much of the time (${last.student} %)`
    : `the student flew ${first.student < last.student ? "more" : "less"} of the time (${change(first.student, last.student, " %")})`;
  const taken = first.often.toFixed(1) === last.often.toFixed(1) ? "as many takeovers in ten minutes"
    : `${first.often > last.often ? "fewer" : "more"} takeovers in ten minutes (${change(first.often, last.often, "", 1)})`;
  return `From ${letterOf(from)} to ${letterOf(to)}: ${flew}, ${taken}.`;
}

/**
 * The place of a lesson beside others. Not a number: lessons flown here have numbers of their own.
 * @param {number} at
 * @returns {string}
 */
function letterOf(at) {
  return at < 26 ? String.fromCharCode(65 + at) : `${letterOf(Math.floor(at / 26) - 1)}${letterOf(at % 26)}`;
}

/** @param {Date} date */
function dateWords(date) {
  const day = date.toLocaleDateString(undefined, { day: "numeric", month: "short", year: "numeric" });
  return `${day}, ${date.toLocaleTimeString(undefined, { hour: "2-digit", minute: "2-digit" })}`;
}

/**
 * A recording holds no date: the file's is the best that is known.
 * @param {File} file
 */
function savedWords(file) {
  return `File saved ${dateWords(new Date(file.lastModified))}.`;
}

/** @param {string | ArrayBuffer} file */
function bytesOf(file) {
  return typeof file === "string" ? new TextEncoder().encode(file).buffer : file.slice(0);
}

/**
 * @param {ArrayBuffer | null} one
 * @param {ArrayBuffer | null} other
 */
function sameBytes(one, other) {
  if (!one || !other) return one === other;
  const [left, right] = [new Uint8Array(one), new Uint8Array(other)];
  return left.length === right.length && left.every((byte, at) => byte === right[at]);
}

/**
 * For a person whose focus was on what is hidden now.
 * @param {HTMLElement} heading
 */
function focusOn(heading) {
  const focus = () => {
    if (!element("part-debrief").contains(document.activeElement)) heading.focus();
  };
  if (document.body.dataset.view === "debrief") focus();
  else addEventListener("part", focus, { once: true });
}

/** The shortest lesson that tells something about the student, in seconds. Own choice, no source. */
const LEAST_LESSON_S = 300;

/**
 * @typedef {{ length: number, student: number, longest: number, takeovers: number, tells: boolean, often: number, typical: string }} Facts
 *   seconds, percent, seconds, number, whether it is long enough to tell something, takeovers in ten minutes
 * @param {Lesson} lesson
 * @returns {Facts}
 */
function factsOf(lesson) {
  const length = lesson.lasted_s;
  const turns = lesson.turns.filter(({ flies }) => flies === "student").map(({ from_s, to_s }) => between(from_s, to_s));
  const taken = lesson.losses.filter(({ taken }) => taken);
  const lastedOf = (/** @type {Loss} */ { at_s, back_s }) => between(at_s, back_s ?? lesson.to_s);
  const lasted = taken.map(lastedOf).sort((one, two) => one - two);
  // One that the end of the recording cut short would have lasted longer.
  const isLeast = taken.some((loss) => loss.back_s === null && lastedOf(loss) <= lasted[Math.floor(lasted.length / 2)]);
  return {
    length,
    student: lesson.student_percent,
    longest: turns.reduce((most, turn) => Math.max(most, turn), 0),
    takeovers: taken.length,
    tells: length >= LEAST_LESSON_S,
    often: length > 0 ? (taken.length * 600) / length : 0,
    typical: lasted.length > 0 ? `${isLeast ? "at least " : ""}${quantile(lasted, 0.5).toFixed(1)} s` : "none",
  };
}

/**
 * Seconds from one time that is shown to another: what is shown adds up.
 * @param {number} from_s
 * @param {number} to_s
 */
function between(from_s, to_s) {
  return (Math.round(to_s * 10) - Math.round(from_s * 10)) / 10;
}

/**
 * Waits of one time, rounded so that they add up to it.
 * @param {Waited[]} waited
 * @param {number} from_s
 */
function waitedWords(waited, from_s) {
  let at_s = from_s;
  const rounded = waited.map(({ words, s }) => ({ words, s: between(at_s, (at_s += s)) }));
  return rounded.filter(({ s }) => s > 0).map(({ words, s }) => `${s.toFixed(1)} s: ${words}`).join("; ");
}

/**
 * What the student waited for before it first flew.
 * @param {Lesson} lesson
 */
function firstWords({ first_waited, from_s, turns }) {
  const waited = waitedWords(first_waited, from_s);
  if (waited === "") return "";
  return `${turns.some(({ flies }) => flies === "student") ? "At first the student waited for" : "The student waited for"} ${waited}.`;
}

/** @param {Lesson} lesson */
function sumOf(lesson) {
  const { length, student, takeovers, tells, often } = factsOf(lesson);
  const flew = `The student flew ${student} % of ${clock(length)}.`;
  if (takeovers === 0) return `${flew} No takeover.`;
  const rate = tells ? `, or ${often.toFixed(1)} in ten minutes` : "";
  return `${flew} ${counted(takeovers, "takeover")}${rate}.`;
}

/**
 * @param {Lesson} lesson
 * @param {Timeline} timeline
 * @param {string} ends what ends the recording
 */
function lossTable(lesson, timeline, ends) {
  let takeovers = 0;
  const rows = lesson.losses.map((loss) => {
    if (loss.taken) takeovers += 1;
    const off = loss.off.map((value, axis) => ({ axis, value }))
      .filter(({ value }) => Math.abs(value) >= 0.5)
      .sort((one, two) => Math.abs(two.value) - Math.abs(one.value)).slice(0, 3)
      .map(({ axis, value }) => `${lesson.axes[axis]} ${wayOf(lesson, axis, value)}`);
    const end_s = loss.back_s ?? lesson.to_s;
    const unflown = lesson.turns.filter(({ flies }) => flies === "nobody")
      .reduce((sum, { from_s, to_s }) => sum + Math.max(0, between(Math.max(from_s, loss.at_s), Math.min(to_s, end_s))), 0);
    const look = button(loss.taken ? `${takeovers}: ${clock(loss.at_s)}` : clock(loss.at_s), () => {
      timeline.show(loss.at_s - AROUND_S, Math.max(loss.at_s, Math.min(loss.back_s ?? loss.at_s, loss.at_s + 20)) + AROUND_S);
      timeline.canvas.scrollIntoView({ block: "nearest", behavior: lessMotion.matches ? "auto" : "smooth" });
    });
    look.setAttribute("aria-label", `Show ${loss.taken ? `takeover ${takeovers} at ` : ""}${clock(loss.at_s)}`);
    const lasted = [`${between(loss.at_s, end_s).toFixed(1)} s`, unflown > 0 && `${unflown.toFixed(1)} s of it nobody flew (failsafe)`,
      loss.back_s === null && `then ${ends}: not handed back`];
    return row(look, [minus(loss.words), lasted.filter((words) => words).join(", "),
      off.length > 0 ? off.join(", ") : "nothing", waitedWords(loss.waited, loss.at_s) || "-"], LOSS_TITLES);
  });
  const caption = takeovers === rows.length ? "Takeovers" : takeovers > 0 ? "Takeovers, and the craft lost without one" : "Craft lost without a takeover";
  return rows.length === 0 ? "" : table(caption, LOSS_TITLES, rows);
}

const LOSS_TITLES = ["when", "what happened", "how long", "student's sticks away from the instructor's at that moment, in points",
  "the student then waited for"];

/**
 * Everything that opens a lesson: the one that was flown, and recordings.
 * @param {Fly} fly
 * @param {Debrief} debrief
 * @param {Look} look
 */
function listenToDebrief(fly, debrief, look) {
  const openFlown = async () => {
    if (fly.stand === "before") {
      say(element("saved"), "Nothing was flown yet: press Start first.");
      return;
    }
    const { saving } = fly;
    const parts = saving.parts();
    const crashed_s = fly.stand === "crashed" ? fly.flight.state?.time_s : undefined;
    const titles = parts.map((_, at) => saving.title(at, parts.length));
    location.hash = "#debrief";
    say(element("debrief-kept"), "");
    for (const [at, part] of parts.entries()) {
      const { began, saved } = part;
      const isLast = at === parts.length - 1;
      const end = crashed_s !== undefined && isLast ? `The craft hit the ground at ${clock(crashed_s)}.` : "";
      const called = { name: titles[at], flight: parts.length > 1 ? parts[0].began.getTime() : undefined,
        ends: isLast ? undefined : "a changed setting ends this part", when: `Flown here, ${dateWords(began)}.`, end, takesFocus: at === 0 };
      const policy = { name: `${saving.stem(part, at)}.toml`, bytes: saved.policy };
      const defaults = linesOf(fly.flight.defaults.get(fly.flight.plan.craft) ?? "");
      const changed = linesOf(saved.policy).filter((line) => !defaults.includes(line));
      const isDefault = changed.length === 0;
      const under = isDefault ? underWords() : `Under changed settings: ${changed.map(settingSaid).join("; ")}.`;
      await debrief.add(called, saved.trace, policy, under, isDefault ? DEFAULT : CHANGED);
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
    say(element("flown-words"), flown ? "Open the lesson that you have just flown, or the recording of another." : "No lesson yet. Fly one, or open the recording of one.");
  });
}
