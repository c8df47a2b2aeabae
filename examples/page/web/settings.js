"use strict";
// The policy under the hand: each value as a field; what the check refuses stays in the field, with the message above it.

/** What one wants to feel first; everything else is under "All settings". */
const FIRST = ["dwell_ms", "fade_ms", "scope", "lasted_ms", "beyond_points", "engage_points", "release_points", "window_points"];

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
  for (const setting of settings) {
    const where = FIRST.includes(setting.key) ? first : rest;
    const name = setting.axis ?? "the whole craft";
    const key = `${where.id} ${name}`;
    if (!groups.has(key)) {
      const group = make("fieldset", {}, make("legend", {}, name));
      groups.set(key, group);
      where.append(group);
    }
    groups.get(key).append(field(engine, setting, changed));
  }
}

/**
 * @param {Engine} engine
 * @param {Setting} setting
 * @param {(policy: string) => void} changed
 */
function field(engine, setting, changed) {
  const unit = UNITS[setting.kind];
  const id = `set-${setting.axis ?? "craft"}-${setting.key}`;
  const name = setting.key.replace(/_(ms|points)$/, "").replaceAll("_", " ");
  const label = make("label", { title: setting.words }, `${name} `);
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
  label.append(box, unit ? ` ${unit}` : "", make("small", {}, setting.words));
  return label;
}

/**
 * @param {Setting} setting
 * @returns {HTMLInputElement | HTMLSelectElement}
 */
function control(setting) {
  if (setting.kind === "choice") {
    const choices = make("select");
    for (const choice of setting.choices) choices.append(make("option", { value: choice }, choice));
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
