"use strict";
// The policy under the hand: each value as a field. What is refused stays in its field, with the reason below it.

/**
 * @typedef {{ box: HTMLInputElement | HTMLSelectElement, refused: HTMLElement, setting: Setting }} Field
 */

/**
 * Builds the fields from what the engine knows.
 * @template T
 * @param {Engine} engine
 * @param {() => T} keep what a change would end
 * @param {(policy: string, kept: T, what: string) => void} changed
 */
function showSettings(engine, keep, changed) {
  const settings = settingsOf(engine);
  /** @type {Field[]} */
  const fields = [];
  const renew = () => {
    for (const now of settingsOf(engine)) {
      const field = fields.find(({ setting }) => setting.key === now.key && setting.axis === now.axis);
      if (field) renewField(field, now);
    }
  };
  const keys = [...new Set(settings.map(({ key }) => key))];
  const [first, rest] = [element("settings"), element("settings-all")];
  first.textContent = rest.textContent = "";
  for (const key of [...FIRST, ...keys.filter((key) => !FIRST.includes(key))]) {
    const made = settings.filter((setting) => setting.key === key).map((setting) => fieldOf(setting));
    for (const field of made) {
      field.box.addEventListener("change", () => change(engine, field, fields, renew, keep, changed));
    }
    fields.push(...made);
    (FIRST.includes(key) ? first : rest).append(group(key, made));
  }
  renew();
}

/**
 * @param {Engine} engine
 * @returns {Setting[]}
 */
function settingsOf(engine) {
  return engine.ask({ settings: {} }).settings;
}

/**
 * One setting: of the whole craft, or of each axis. What it does is said once.
 * @param {string} key
 * @param {Field[]} fields
 */
function group(key, fields) {
  const [label, words] = SETTING_WORDS[key] ?? [key, ""];
  const { axis, kind } = fields[0].setting;
  const name = make("span", { class: "setting" }, label, " ", make("code", {}, key));
  const help = make("small", { id: `help-${key}` }, words);
  const value = (/** @type {Field} */ { box }) => make("span", { class: "value" }, box, UNITS[kind] && ` ${UNITS[kind]}`);
  if (!axis) {
    return make("div", { class: "of-craft" }, make("label", {}, name, value(fields[0])), help, fields[0].refused);
  }
  if (UNITS[kind]) name.append(`, ${UNITS[kind]}`);
  const axes = fields.map(({ box, setting }) => make("label", {}, `${setting.axis} `, box));
  return make("fieldset", {}, make("legend", {}, name), help, make("div", { class: "of-axes" }, ...axes), ...fields.map(({ refused }) => refused));
}

/**
 * @param {string} key
 * @param {string | null} axis null: of the whole craft
 */
function fieldId(key, axis) {
  return `set-${(axis ?? "craft").replaceAll(" ", "-")}-${key}`;
}

/**
 * @param {Setting} setting
 * @returns {Field}
 */
function fieldOf(setting) {
  const box = control(setting);
  box.id = fieldId(setting.key, setting.axis);
  const refused = make("p", { id: `refused-${box.id}`, role: "alert", class: "refused" });
  box.setAttribute("aria-describedby", `help-${setting.key} ${refused.id}`);
  return { box, refused, setting };
}

/**
 * @template T
 * @param {Engine} engine
 * @param {Field} field
 * @param {Field[]} fields all of them
 * @param {() => void} renew
 * @param {() => T} keep
 * @param {(policy: string, kept: T, what: string) => void} changed
 */
function change(engine, field, fields, renew, keep, changed) {
  const kept = keep();
  let policy = set(engine, field);
  if (policy === null) {
    say(element("renewed"), "");
    return;
  }
  // What was refused until this was changed counts now.
  for (const other of fields.filter(({ box }) => box.getAttribute("aria-invalid"))) policy = set(engine, other) ?? policy;
  renew();
  const { key, axis, value } = field.setting;
  changed(policy, kept, settingSaid(`${axis ? `${axis} ` : ""}${key} = ${value}`));
}

/**
 * @param {Engine} engine
 * @param {Field} field
 * @returns {string | null} the policy with this setting; or it is refused below its field
 */
function set(engine, { box, refused, setting }) {
  const { key, axis } = setting;
  const isFlag = box instanceof HTMLInputElement && box.type === "checkbox";
  // A comma is a decimal sign for many people.
  const value = isFlag ? String(box.checked) : box.value.trim().replace(",", ".");
  try {
    const { policy } = engine.ask({ set: { key, axis, value } });
    box.removeAttribute("aria-invalid");
    say(refused, "");
    return policy;
  } catch (why) {
    box.setAttribute("aria-invalid", "true");
    say(refused, refusal(setting, value, wordsOf(why)));
    refused.title = wordsOf(why);
    refused.scrollIntoView({ block: "nearest" });
    return null;
  }
}

/**
 * Why a value was refused, and what counts in its place. Where the line of a policy file would be is for programmers.
 * @param {Setting} setting
 * @param {string} value
 * @param {string} why
 */
function refusal({ key, value: counts, axis }, value, why) {
  const words = value === "" ? "a value is needed" : titled(why.replace(/^.*?\(\w+\): (axis "[^"]*": )?/, ""), key);
  return `${axis ? `${axis}: ` : ""}${words}. Still counts: ${valueSaid(key, counts)}.`;
}

/**
 * What the check says, with the titles of the fields in place of the engine's names, and milliseconds.
 * @param {string} words
 * @param {string} own the key of the field below which they stand
 */
function titled(words, own) {
  /** @type {(name: string) => string | undefined} */
  const keyOf = (name) => [name, `${name}_points`, `${name}_ms`].find((key) => SETTING_WORDS[key]);
  const title = (/** @type {string} */ name) => {
    const key = keyOf(name);
    return key ? `\u201c${SETTING_WORDS[key][0]}\u201d` : name;
  };
  return words
    .replace(/^shared names axis .*/, "while each stick takes only its own axis, what the student may fly the instructor's stick must take")
    .replace(/^the axis rests at a fixed place and .*/, "it rests at a fixed place; choose \u201cwhere it was left\u201d, or leave this empty")
    .replace(/^the axis has both rest and .*/, "it rests where it was left; choose \u201cat a fixed place\u201d first")
    .replace(/^(\w+) is .*?: (?=it must)/, (all, name) => (keyOf(name) === own ? "" : all))
    .replace(/^\w+(?= is )/, title)
    .replace(/\b(engage|plausible|timeout)(?=, \d)/, title)
    .replace(/(\d+) us\b/g, (_, us) => `${Number(us) / 1000} ms`);
}

/**
 * Shows the value that counts now, but not over one that was refused.
 * @param {Field} field
 * @param {Setting} now
 */
function renewField(field, now) {
  const { box } = field;
  field.setting = now;
  if (box.getAttribute("aria-invalid")) return;
  if (box instanceof HTMLInputElement && box.type === "checkbox") box.checked = now.value === "true";
  else box.value = now.value;
}

/**
 * @param {Setting} setting
 * @returns {HTMLInputElement | HTMLSelectElement}
 */
function control(setting) {
  if (setting.kind === "choice") {
    const choices = make("select");
    for (const choice of setting.choices) choices.append(make("option", { value: choice }, CHOICES[choice] ?? choice));
    return /** @type {HTMLSelectElement} */ (choices);
  }
  const box = /** @type {HTMLInputElement} */ (make("input"));
  if (setting.kind === "flag") {
    box.type = "checkbox";
    return box;
  }
  // Not "number": what the check refuses must reach it as it was written.
  box.type = "text";
  box.inputMode = "decimal";
  box.size = setting.axis ? 4 : 6;
  if (setting.optional) box.placeholder = "off";
  return box;
}

/**
 * Gives the craft that is flown now the settings of the one before: those of the whole craft, and those of every axis that
 * both have.
 * @param {Engine} engine
 * @param {Setting[]} before
 * @returns {string | undefined} its policy, if it differs from its own
 */
function carrySettings(engine, before) {
  /** @type {string | undefined} */
  let policy;
  const differs = () => settingsOf(engine).flatMap((now) => {
    const was = before.find(({ key, axis }) => key === now.key && axis === now.axis);
    return was && was.value !== now.value ? [was] : [];
  });
  // One may be refused until another is there.
  for (let round = 0; round < 3; round += 1) {
    for (const { key, axis, value } of differs()) {
      try {
        ({ policy } = engine.ask({ set: { key, axis, value } }));
      } catch {
        continue;
      }
    }
  }
  return policy;
}
