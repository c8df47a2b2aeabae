"use strict";
// The part "Look": files are looked at in a worker each, with progress and a way to cancel.

/** Rows between two words about the progress. */
const ROWS_AT_ONCE = 20000;

/** What a file is called. */
const KINDS = /** @type {const} */ ({
  trace: "recording of a lesson", recording: "recording of resting sticks", policy: "policy", box: "box file",
});

/** @param {string} [name] of a policy that came as a file */
function underWords(name) {
  return name ? `Under the settings of the policy file ${name}.` : "Under the default settings.";
}

/**
 * Why a file was refused; where that is for the policy beside it, what became of the file.
 * @param {unknown} why
 * @param {string} file
 * @param {string} [policy] the name of its file
 */
function refusalOf(why, file, policy) {
  const words = wordsOf(why);
  if (!policy || policy === file || !words.startsWith(policy)) return words;
  return `${words}. ${file} was not looked at: mend the policy, or open ${file} without it.`;
}

class Look {
  constructor() {
    /** @type {Debrief | null} */
    this.debrief = null;
    /** @type {{ name: string, bytes: ArrayBuffer } | null} the policy of the recordings to come */
    this.policy = null;
    /** @type {{ card: Card, file: File, policy: Look["policy"] }[]} what another policy may change */
    this.decided = [];
    const files = input("files");
    files.addEventListener("change", () => {
      this.take([...(files.files ?? [])]);
      files.value = "";
    });
    const drop = element("drop");
    // A file that misses the frame must not be opened in place of the page.
    for (const name of ["dragover", "drop"]) addEventListener(name, (event) => event.preventDefault());
    addEventListener("dragover", () => drop.classList.add("over"));
    addEventListener("dragleave", () => drop.classList.remove("over"));
    addEventListener("drop", (event) => {
      drop.classList.remove("over");
      const dropped = [...(event.dataTransfer?.files ?? [])];
      if (dropped.length === 0) return;
      if (document.body.dataset.view === "debrief") {
        this.debrief?.take(dropped);
        return;
      }
      location.hash = "#look";
      this.take(dropped);
    });
  }

  /**
   * One after the other: a policy counts for the files after it, so policies come first; one that has a recording of its
   * name comes just before that.
   * @param {File[]} files
   */
  async take(files) {
    const policies = files.filter(isPolicy);
    const recordings = files.filter((file) => !isPolicy(file));
    const ownOf = (/** @type {File} */ recording) => policies.filter(({ name }) => stemOf(name) === stemOf(recording.name));
    const paired = recordings.filter((file) => ownOf(file).length > 0);
    const own = paired.flatMap(ownOf);
    const alone = [...policies, ...recordings].filter((file) => !own.includes(file) && !paired.includes(file));
    for (const file of [...alone, ...paired.flatMap((recording) => [...ownOf(recording), recording])]) await this.look(file);
  }

  /**
   * @param {File} file
   * @param {Card} [before] the card that this look takes the place of
   */
  async look(file, before) {
    const { policy } = this;
    const card = new Card(file.name, () => {
      this.decided = this.decided.filter((other) => other.card !== card);
      card.cancelled();
      card.box.remove();
      input("files").focus({ preventScroll: true });
    });
    if (before) {
      before.box.replaceWith(card.box);
      // Whatever comes of it, the other policy can be had again.
      this.decided = this.decided.filter((other) => other.card !== before);
      this.decided.push({ card, file, policy });
    }
    /** @type {Bench | undefined} */
    let bench;
    try {
      const bytes = await file.arrayBuffer();
      if (!card.box.isConnected) return;
      bench = new Bench();
      card.cancelled = () => bench?.end();
      if (policy) await bench.ask({ policy_file: { name: policy.name } }, policy.bytes.slice(0));
      const { kind } = await bench.ask({ look: { name: file.name } }, bytes.slice(0));
      card.began(kind, policy?.name);
      if (!before && (kind === "trace" || kind === "recording")) this.decided.push({ card, file, policy });
      const looked = await lookedAt(bench, (done) => card.progress(done));
      if (!card.box.isConnected) return;
      card.done(looked);
      if (looked.kind === "policy" || looked.kind === "box") this.keepPolicy(file.name, bytes, looked.sound);
      if (looked.lesson && this.debrief) card.offer(this.debrief, file, bytes, policy);
    } catch (why) {
      card.failed(refusalOf(why, file.name, policy?.name));
    }
    bench?.end();
  }

  /**
   * @param {string} name
   * @param {ArrayBuffer} bytes
   * @param {boolean} sound
   */
  keepPolicy(name, bytes, sound) {
    if (!sound) return;
    this.policy = { name, bytes };
    const words = element("policy-kept");
    words.textContent = `Recordings are flown again under the policy ${name}. `;
    words.append(button("Back to the default policy", () => {
      this.policy = null;
      say(words, "Recordings are flown again under the default policy. For another, drop its file.");
      this.offerAgain();
    }));
    this.offerAgain();
  }

  /** Cards that were made under another policy say so, and can be made again. */
  offerAgain() {
    for (const { card, file, policy } of this.decided) {
      const again = policy === this.policy ? null : () => this.look(file, card);
      card.offerAgain(again, this.policy?.name);
    }
  }
}

/** @param {File} file */
function isPolicy({ name }) {
  return name.toLowerCase().endsWith(".toml");
}

/**
 * A file's name without its ending.
 * @param {string} name
 */
function stemOf(name) {
  return name.replace(/\.[^.]*$/, "");
}

/**
 * Goes on until the file is done.
 * @param {Bench} bench
 * @param {(done: number) => void} progress
 * @returns {Promise<Looked>}
 */
async function lookedAt(bench, progress) {
  for (;;) {
    const now = await bench.ask({ go_on: { rows: ROWS_AT_ONCE } });
    if (now.looked) return now.looked;
    progress(now.done);
  }
}

/** What is shown of one file. */
class Card {
  /**
   * @param {string} name
   * @param {() => void} closed
   */
  constructor(name, closed) {
    this.cancelled = () => {};
    this.box = make("article", { class: "card", "aria-label": name });
    this.state = make("p", { role: "status" }, "Reading ...");
    this.bar = /** @type {HTMLProgressElement} */ (make("progress", { max: "1", value: "0", "aria-label": "how far" }));
    this.isCancelled = false;
    this.stop = button("Cancel", () => {
      this.isCancelled = true;
      this.cancelled();
    });
    this.under = make("p", { class: "quiet" });
    this.more = make("div");
    const close = button("Close", closed);
    close.setAttribute("aria-label", `Close ${name}`);
    this.box.append(make("h3", {}, name, " ", make("span", { class: "tools" }, close)), this.under, this.state, this.bar, " ", this.stop, this.more);
    element("cards").prepend(this.box);
  }

  /**
   * @param {keyof typeof KINDS} kind
   * @param {string | undefined} policy the name of its file
   */
  began(kind, policy) {
    const decided = kind === "trace" || kind === "recording";
    const words = KINDS[kind].charAt(0).toUpperCase() + KINDS[kind].slice(1);
    this.under.append(`${words}. `, decided ? underWords(policy) : "");
  }

  /**
   * @param {(() => void) | null} again
   * @param {string | undefined} policy the name of the file that counts now
   */
  offerAgain(again, policy) {
    this.under.querySelector("button")?.remove();
    if (again) this.under.append(" ", button(`Look again under ${policy ?? "the default policy"}`, again));
  }

  /** @param {number} done */
  progress(done) {
    this.bar.value = done;
    say(this.state, `${Math.floor(done * 100)} % read.`);
  }

  end() {
    this.bar.remove();
    this.stop.remove();
  }

  /** @param {string} words */
  failed(words) {
    this.end();
    if (this.isCancelled) {
      say(this.state, "Cancelled.");
      return;
    }
    this.state.remove();
    this.box.append(make("p", { role: "alert", class: "refusal" }, words));
  }

  /** @param {Looked} looked */
  done(looked) {
    this.end();
    // They come first: they may make the figures meaningless.
    const { doubts } = looked.proof;
    this.state.before(...doubts.map((words) => make("p", { role: "alert", class: "doubt" }, words)));
    const [first, ...more] = looked.summary.filter((words) => !doubts.includes(words));
    say(this.state, first);
    for (const words of more) this.more.append(make("p", {}, minus(words)));
    if (looked.sticks.length > 0) this.box.append(stickTable(looked.sticks));
    const programmers = forProgrammers();
    const shown = looked.kind === "trace" ? this.box : programmers;
    const files = looked.kind === "recording" ? this.box : programmers;
    const kept = make("p", { role: "status" });
    for (const { name, text } of looked.files) {
      files.append(button(`Keep ${KEPT_AS[name] ?? `the policy ${name}`}`, () => {
        download(name, text);
        say(kept, `Saved as ${name}.`);
      }), " ");
    }
    if (looked.files.length > 0) files.append(kept);
    if (looked.svg) {
      const at = URL.createObjectURL(new Blob([looked.svg], { type: "image/svg+xml" }));
      const picture = make("img", { src: at, alt: `the picture of ${looked.title}; the report below says the same in words` });
      shown.append(make("p", { class: "narrow quiet tools" }, "Drag the picture sideways to see all of it."),
        make("div", { class: "scroll picture", tabindex: "0", role: "region", "aria-label": `Picture of ${looked.title}` }, picture),
        button("Keep the picture", () => download("picture.svg", looked.svg ?? "")));
    }
    programmers.append(...reportOf(looked));
    this.box.append(programmers);
  }

  /**
   * @param {Debrief} debrief
   * @param {File} file
   * @param {ArrayBuffer} recording
   * @param {Look["policy"]} policy
   */
  offer(debrief, file, recording, policy) {
    this.more.append(button("Open in Debrief", () => {
      location.hash = "#debrief";
      say(element("debrief-kept"), "");
      debrief.add({ name: file.name, when: savedWords(file), takesFocus: true }, recording, policy);
    }));
  }
}

/** @type {Record<string, string>} what a file of a policy is for */
const KEPT_AS = { "policy.rs": "policy.rs, for firmware in Rust", "policy.h": "policy.h, for firmware in C" };

function forProgrammers() {
  return make("details", {}, make("summary", {}, "For programmers"));
}

/**
 * @param {Looked} looked
 * @returns {HTMLElement[]}
 */
function reportOf({ kind, report }) {
  const words = "The engine computes in whole numbers (100 points = 2\u00b9\u2074), the float reference applies the same rules in floating point; "
    + "the report tells in how many steps both decided alike.";
  const pre = make("pre", { tabindex: "0", "aria-label": "report" }, report);
  return kind === "trace" ? [make("p", { class: "quiet" }, words), pre] : [pre];
}

/**
 * The thresholds of resting sticks.
 * @param {Stick[]} sticks
 */
function stickTable(sticks) {
  const rows = sticks.map(({ name, thresholds, help }) => {
    const cells = thresholds
      ? [`${thresholds.engage.toFixed(2)}\u00a0points`, `${thresholds.release.toFixed(2)}\u00a0points`,
        `${thresholds.later_ms < 1 ? "at once" : `${Math.round(thresholds.later_ms)} ms later`} (${thresholds.confirm})`,
        thresholds.false_takeovers ?? "cannot be said"]
      : ["none", "none", "-", "-"];
    return row(name, [...cells, help ?? "-"], STICK_TITLES);
  });
  return table("Thresholds for these sticks", STICK_TITLES, rows);
}

const STICK_TITLES = ["stick", "takes over beyond (engage_points)", "counts as let go within (release_points)",
  "how soon (confirm)", "expected false takeovers", "what to know"];
