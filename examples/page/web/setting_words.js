"use strict";
// The settings in the words of an instructor. Their keys are those of the policy file.

/** What one wants to feel first, in this order; everything else is under "All settings". */
const FIRST = ["dwell_ms", "fade_ms", "scope", "lasted_ms", "beyond_points", "keep", "engage_points", "release_points", "window_points"];

/** @type {Record<string, [string, string]>} a label, and what the setting does for the lesson */
const SETTING_WORDS = {
  scope: ["A moved stick takes", "What the instructor gets by moving one stick. A latched takeover has the whole craft."],
  plausible_points: ["Values count as no signal beyond", "No stick is that far from its centre: the radio sent nonsense."],
  settle_ms: ["Lesson switch counts after", "How long it must stay where it was turned to."],
  dwell_ms: ["Wait before the student flies", "How long all sticks must be let go and all signals good."],
  fade_ms: ["A hand back's move takes", "How long the craft goes over from the instructor's sticks to the student's. A takeover is always at once."],
  pickup_max_ms: ["Longest wait for the stick to meet", "Then the craft goes over to where the instructor's stick is."],
  timeout_ms: ["Signal is lost after", "How long nothing came from a transmitter."],
  requalify_ms: ["Student's lost link is good again after", "How long it must send before the student may fly."],
  frozen_after_ms: ["Student's link is frozen after", "How long all of the student's sticks sent the same. Off, as a student who holds them quite still would lose the craft too. 1000 is a beginning."],
  failsafe_after_ms: ["Nobody flies after", "How long nothing came from the instructor: then the failsafe goes to the craft."],
  late_step_ms: ["Trainer box was late after", "If it did nothing for so long, the instructor has the craft."],
  off_first_after_loss: ["Student's link lost: switch off and on", "The student flies again only after that."],
  lasted_ms: ["Takeover is latched after", "It stays with the instructor until the lesson switch is turned off and on. Off: however long it lasts."],
  beyond_points: ["Takeover is latched beyond", "A stick so far from its rest was a grab, not a nudge. Off: however far it moves."],
  engage_points: ["Dead band: takes control beyond", "How far the instructor's stick is from its rest: its centre, or where a throttle was left. Inside nothing happens."],
  release_points: ["Counts as let go within", "Once this stick took control, how near to its rest it must come, for a single reading. A stick between the two numbers stays as it was: held if it took control, at rest if not."],
  confirm: ["Readings in a row that take control", "1 is at once. Each one more is 20 ms later, but a single wrong reading takes nothing."],
  rest: ["Rests", "Where the instructor's stick is when nobody touches it."],
  rest_points: ["Fixed place of rest", "Where a stick with a spring lies when nobody touches it."],
  still_ms: ["Left when it lies still for", "A stick without a spring counts as let go when it has not moved for so long. Where its takeover is latched, that alone gives nothing back."],
  transfer: ["After a takeover the craft follows", "The instructor's stick at once, or only when the stick comes to where the craft's control is. After \u201cInstructor now\u201d, and where the instructor's signal was lost, it is always at once."],
  keep: ["Its takeover is latched", "It stays with the instructor until the lesson switch is turned off and on. On for a throttle: one that lies still may still be in a hand."],
  window_points: ["Goes back only while both sticks are within", "How near the instructor's and the student's stick must be to each other. Off: at any distance."],
  failsafe_points: ["Failsafe", "Where the control goes when nobody flies. A throttle at \u2212100 is motor off."],
  watched: ["The instructor's stick takes control", "Off: moving it takes nothing."],
  shared: ["The student may fly it", "Off: it is always the instructor's."],
};

/** @type {Record<string, string>} what may be chosen */
const CHOICES = {
  craft: "the whole craft", axis: "only its own axis", fixed: "at a fixed place", "where-left": "where it was left",
  snap: "at once", pickup: "when they meet",
};

/**
 * A value with its unit.
 * @param {string} key
 * @param {string} value
 */
function valueSaid(key, value) {
  if (value === "true") return "on";
  if (value === "" || value === "false") return "off";
  const unit = key.endsWith("_ms") ? " ms" : !key.endsWith("_points") ? "" : value === "1" ? " point" : " points";
  return `${CHOICES[value] ?? minus(value)}${unit}`;
}

/**
 * A setting of a policy file in an instructor's words.
 * @param {string} line the axis, if it is of one, the key, an equals sign and the value
 */
function settingSaid(line) {
  const [, axis, key, value] = /^(.*?)(\w+) = (.*)$/.exec(line) ?? [];
  if (!SETTING_WORDS[key]) return line;
  return `${axis}\u201c${SETTING_WORDS[key][0]}\u201d ${valueSaid(key, value.replace(/["[\]]/g, ""))}`;
}

const UNITS = { time: "ms", points: "points", count: "", flag: "", choice: "" };
