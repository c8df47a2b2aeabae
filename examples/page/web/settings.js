"use strict";
// The policy under the hand: each value as a field; what the check refuses stays in the field, with the message above it.

/** What one wants to feel first; everything else is under "All settings". */
const FIRST = ["dwell_ms", "fade_ms", "scope", "lasted_ms", "beyond_points", "engage_points", "release_points", "keep", "window_points"];

/** Plain names; the key of the policy file stands behind them. */
const NAMES = /** @type {Record<string, string>} */ ({
  dwell_ms: "Waiting time before control goes back to the student", fade_ms: "Cross-fade from hand to hand", scope: "One stick takes",
  lasted_ms: "Takeover stays (latches) after", beyond_points: "Takeover stays (latches) beyond",
  engage_points: "Stick takes control when further from its rest than", release_points: "Stick is free again within",
  keep: "Its takeover stays (latches)",
  window_points: "Goes back only while both sticks are within",
});

/** Plain words for what may be chosen. */
const CHOICES = /** @type {Record<string, string>} */ ({ craft: "the whole craft", axis: "only its own axis" });

/** Help that a page says in other words than a policy file, which names its own words. */
const HELP = /** @type {Record<string, string>} */ ({
  scope: "what a stick takes that leaves its dead band: the whole craft, or only its own axis; a latched takeover has the whole craft",
  keep: "it stays with the instructor until the lesson switch is turned off and on; for a throttle, which does not spring back: to let go of it tells nothing",
});

const UNITS = { time: "ms", points: "points", count: "frames", flag: "", choice: "" };

/**
 * Builds the fields from what the engine knows.
 * @param {Engine} engine
 * @param {(policy: string) => void} changed
 */
function showSettings(engine, changed) {
  /** @type {Setting[]} */
  const settings = engine.ask({ settings: {} }).settings;
  const [first, rest] = [element("settings"), element("settings-all")];
  first.textContent = rest.textContent = "";
  const groups = new Map();
  /** What is explained already: once is enough for all axes. */
  const explained = new Set();
  for (const setting of settings) {
    const where = FIRST.includes(setting.key) ? first : rest;
    const name = setting.axis ?? "the whole craft";
    const key = `${where.id} ${name}`;
    if (!groups.has(key)) {
      const group = make("fieldset", {}, make("legend", {}, name));
      groups.set(key, group);
      where.append(group);
    }
    groups.get(key).append(field(engine, setting, changed, !explained.has(setting.key)));
    explained.add(setting.key);
  }
}

/**
 * @param {Engine} engine
 * @param {Setting} setting
 * @param {(policy: string) => void} changed
 * @param {boolean} explains
 */
function field(engine, setting, changed, explains) {
  const unit = UNITS[setting.kind];
  const id = `set-${setting.axis ?? "craft"}-${setting.key}`;
  const key = setting.key.replace(/_(ms|points)$/, "").replaceAll("_", " ");
  const name = NAMES[setting.key];
  const label = make("label", {}, make("span", {}, name ?? key), " ");
  const box = control(setting);
  box.id = id;
  box.addEventListener("change", () => {
    const value = box instanceof HTMLInputElement && box.type === "checkbox" ? String(box.checked) : box.value;
    try {
      const { policy } = engine.ask({ set: { key: setting.key, axis: setting.axis, value } });
      box.removeAttribute("aria-invalid");
      say(element("refused"), "");
      changed(policy);
    } catch (why) {
      box.setAttribute("aria-invalid", "true");
      say(element("refused"), wordsOf(why));
    }
  });
  label.append(make("span", { class: "value" }, box, unit ? ` ${unit}` : ""));
  const words = HELP[setting.key] ?? setting.words;
  if (explains) label.append(make("small", {}, name ? `${key}: ${words}` : words));
  return label;
}

/**
 * @param {Setting} setting
 * @returns {HTMLInputElement | HTMLSelectElement}
 */
function control(setting) {
  if (setting.kind === "choice") {
    const choices = make("select");
    for (const choice of setting.choices) choices.append(make("option", { value: choice }, CHOICES[choice] ?? choice));
    /** @type {HTMLSelectElement} */ (choices).value = setting.value;
    return /** @type {HTMLSelectElement} */ (choices);
  }
  const box = /** @type {HTMLInputElement} */ (make("input"));
  if (setting.kind === "flag") {
    box.type = "checkbox";
    box.checked = setting.value === "true";
    return box;
  }
  // Not "number": what the check refuses must reach it as it was written.
  box.type = "text";
  box.inputMode = "decimal";
  box.size = 7;
  box.value = setting.value;
  box.placeholder = "off";
  return box;
}
