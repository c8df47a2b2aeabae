"use strict";
// The part "Look": files are looked at in a worker each, with progress and a way to cancel.

/** Rows between two words about the progress. */
const ROWS_AT_ONCE = 20000;

class Look {
  constructor() {
    /** @type {Debrief | null} */
    this.debrief = null;
    /** @type {{ name: string, bytes: ArrayBuffer } | null} the policy of the traces to come */
    this.policy = null;
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
   * One after the other: a policy counts for the files after it, so policies come first.
   * @param {File[]} files
   */
  async take(files) {
    const isPolicy = (/** @type {File} */ file) => file.name.endsWith(".toml");
    const sorted = [...files.filter(isPolicy), ...files.filter((file) => !isPolicy(file))];
    for (const file of sorted) await this.look(file);
  }

  /** @param {File} file */
  async look(file) {
    const card = new Card(file.name);
    /** @type {Bench | undefined} */
    let bench;
    try {
      const bytes = await file.arrayBuffer();
      bench = new Bench();
      card.cancelled = () => bench?.end();
      if (this.policy) {
        const { name } = this.policy;
        await bench.ask({ policy_file: { name } }, this.policy.bytes.slice(0));
      }
      const { kind } = await bench.ask({ look: { name: file.name } }, bytes.slice(0));
      card.began(kind);
      const looked = await lookedAt(bench, (done) => card.progress(done));
      card.done(looked);
      if (looked.kind === "policy" || looked.kind === "box") this.keepPolicy(file.name, bytes, looked.sound);
      if (looked.lesson && this.debrief) card.offer(this.debrief, file.name, bytes, this.policy);
    } catch (why) {
      card.failed(wordsOf(why));
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
    words.textContent = `Traces are replayed under ${name}. `;
    words.append(button("Back to the default policy", () => {
      this.policy = null;
      say(words, "Traces are replayed under the default policy, unless you drop a policy first.");
    }));
  }
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
  /** @param {string} name */
  constructor(name) {
    this.cancelled = () => {};
    this.box = make("article", { class: "card", "aria-label": name });
    this.state = make("p", { role: "status" }, "Reading ...");
    this.bar = /** @type {HTMLProgressElement} */ (make("progress", { max: "1", value: "0", "aria-label": "how far" }));
    this.isCancelled = false;
    this.stop = button("Cancel", () => {
      this.isCancelled = true;
      this.cancelled();
    });
    this.box.append(make("h3", {}, name), this.state, this.bar, " ", this.stop);
    element("cards").prepend(this.box);
  }

  /** @param {string} kind */
  began(kind) {
    say(this.state, `Looks like a ${kind}.`);
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
    say(this.state, looked.sound ? `${looked.kind}: the file can be read, and the report has the rest.` : `${looked.kind}: the report names what is wrong.`);
    if (looked.svg) {
      const at = URL.createObjectURL(new Blob([looked.svg], { type: "image/svg+xml" }));
      this.box.append(make("img", { src: at, alt: `the picture of ${looked.title}; the report below says the same in words` }));
      this.box.append(button("Keep the picture", () => download("picture.svg", looked.svg ?? "")));
    }
    for (const { name, text } of looked.files) this.box.append(" ", button(`Keep ${name}`, () => download(name, text)));
    this.box.append(make("pre", { tabindex: "0", "aria-label": "report" }, looked.report));
  }

  /**
   * @param {Debrief} debrief
   * @param {string} name
   * @param {ArrayBuffer} trace
   * @param {{ name: string, bytes: ArrayBuffer } | null} policy
   */
  offer(debrief, name, trace, policy) {
    this.box.insertBefore(button("Open in Debrief", () => {
      location.hash = "#debrief";
      debrief.add(name, trace, policy?.bytes ?? null, policy?.name);
    }), this.state.nextSibling);
  }
}
