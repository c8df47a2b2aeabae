"use strict";
// The beeper: a tone that is on while the cue sounds.

/** Hertz; own choice. */
const TONE = 880;

const beeper = {
  muted: false,
  /** @type {AudioContext | null} */
  context: null,
  /** @type {GainNode | null} */
  gain: null,

  /** Browsers allow sound only after the person did something. */
  wake() {
    this.context?.resume();
    if (this.context || typeof AudioContext === "undefined") return;
    this.context = new AudioContext();
    this.gain = this.context.createGain();
    this.gain.gain.value = 0;
    const tone = this.context.createOscillator();
    tone.frequency.value = TONE;
    tone.connect(this.gain).connect(this.context.destination);
    tone.start();
  },

  /** @param {boolean} on */
  sound(on) {
    if (!this.gain || !this.context) return;
    // A few milliseconds of rise: no click.
    this.gain.gain.setTargetAtTime(on && !this.muted ? 0.08 : 0, this.context.currentTime, 0.004);
  },
};
