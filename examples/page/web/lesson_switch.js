"use strict";
// The lesson switch of a lesson: turned by the person, by the switch of a device, or by the page. The page turns it on only
// once the engine has seen it off first (S2), and never to end what the instructor keeps (H2, T7).

/** What the student waits for while the instructor keeps the craft until the switch is turned off and on. */
const KEPT_UNTIL_OFF = ["latch", "switch-off-first"];

class LessonSwitch {
  /** @param {Flight} flight */
  constructor(flight) {
    this.flight = flight;
    /** @type {Map<string, () => boolean | null>} of each device with a switch: whether it is on; `null`: it is away */
    this.sources = new Map();
    /** @type {Map<string, boolean>} where each was last */
    this.seen = new Map();
    /** Whether the page is to turn it on, as soon as it was seen off first. */
    this.due = false;
    flight.polls.push(() => this.poll());
    flight.heard.push((state) => {
      if (this.due && state.seen_off_first) this.turn();
    });
    element("switch").addEventListener("click", () => this.turn());
  }

  /** Whether a device has it: the page leaves it to the device. */
  isElsewhere() {
    return [...this.sources.values()].some((read) => read() !== null);
  }

  /** A new lesson: off, unless a device says on. */
  begin() {
    this.due = false;
    this.seen.clear();
  }

  /** A lesson starts: the person who pressed Start wants the student to fly. */
  start() {
    this.due = !this.isElsewhere();
  }

  /**
   * A new engine flies the lesson on, and must see the switch off first. What the instructor keeps stays the instructor's.
   * @param {boolean} paused
   * @returns what happens, or what the person must do
   */
  renew(paused) {
    const kept = !this.due && KEPT_UNTIL_OFF.includes(this.flight.state?.waits?.for ?? "");
    if (!this.flight.controls.switch && !this.due) return "Changed. Turn the lesson switch on.";
    if (kept || this.isElsewhere()) return "Changed. Turn the lesson switch off, then on.";
    if (!this.due) this.turn();
    this.due = true;
    const turns = "the page turns the lesson switch off and on.";
    return paused ? `Changed. Press Go on: ${turns}` : `Changed: ${turns}`;
  }

  turn() {
    this.due = false;
    this.flight.controls.switch = !this.flight.controls.switch;
    this.show();
  }

  /** Each frame. A device counts when its switch changes: the page's own button works besides. */
  poll() {
    for (const [device, read] of this.sources) {
      const on = read();
      if (on === null) this.seen.delete(device);
      else if (on !== this.seen.get(device)) {
        this.seen.set(device, on);
        if (this.flight.controls.switch !== on) this.turn();
      }
    }
  }

  show() {
    const { switch: on } = this.flight.controls;
    element("switch").setAttribute("aria-pressed", String(on));
    say(element("switch"), `Lesson switch: ${on ? "on" : "off"}`);
  }
}
