// A stand-in for the module: a crude engine that follows the protocol, for the page's tests alone. It is no engine.
startEngine = async function startEngine() {
  const axisNames = { aeroplane: ["aileron", "elevator", "throttle", "rudder"], helicopter: ["roll", "pitch", "collective", "yaw"] };
  let s = null, kept = new Uint8Array(), policyFile = null, looking = null, looked = null;
  const num = (text, what) => { const v = Number(text); if (!Number.isFinite(v)) throw new Error(`policy.toml, line 4, ${what}: "${text}" is no number; give one such as 300`); return v; };
  function fly({ craft, student }) {
    const names = (axisNames[craft] ?? axisNames.aeroplane).slice();
    if (craft === "many") for (let k = 5; k <= 16; k++) names.push(`channel ${k}`);
    const n = names.length;
    s = { names, n, craft, student, t: 0, flies: "instructor", held: names.map(() => false), still: names.map(() => 0), rest: names.map((_, k) => k === 2 ? null : 0), dwell: 0, onFor: 0, offSeen: false, latch: false, qual: 0, fade: 1, out: names.map((_, k) => k === 2 ? -20 : 0), from: null, changes: 0, plain: "instructor", plainChanges: 0, stu: names.map((_, k) => k === 2 ? -20 : 0), rows: [], set: { dwell_ms: 300, fade_ms: 200, engage_points: 2, release_points: 1, lasted_ms: "", beyond_points: "", scope: "craft", window_points: "" }, c: { x: 0, y: 0, height: craft === "helicopter" ? 6 : 60, bank: 0, pitch: 0, heading: 0, speed: craft === "helicopter" ? 0 : 13, sink: 0, crashed: false, on_ground: false }, m: null, mAt: 6 };
    return { axes: names.map((name, k) => ({ name, sprung: k !== 2, start: k === 2 ? (craft === "helicopter" ? 0 : -20) : 0 })), frame_us: 20000, policy: "# policy\n" };
  }
  let seed = 5;
  const rnd = () => { seed = (seed * 1103515245 + 12345) % 2147483648; return seed / 2147483648; };
  function step(i) {
    const dt = 0.02, sp = s.c; s.t += dt;
    const ins = i.instructor ? i.instructor.map((v) => v + i.noise * (rnd() + rnd() + rnd() - 1.5) * 2) : s.ins ?? s.out;
    s.ins = ins;
    if (i.student) s.stu = i.student.slice();
    else if (!i.cut && !i.frozen) {
      const slip = s.m && s.flies === "student" ? 70 : 0;
      const want = [-sp.bank * 1.2 + 25 * Math.sin(s.t / 3) + slip, -sp.pitch * 2 + (60 - sp.height), -20 + 6 * Math.sin(s.t / 5), 0];
      if (slip) want[0] = slip;
      s.stu = s.stu.map((v, k) => v + (Math.max(-100, Math.min(100, want[k] ?? 30 * Math.sin(s.t + k))) - v) * 0.1);
    }
    s.qual = i.cut ? 0 : s.qual + dt;
    if (!i.switch) { s.offSeen = true; s.onFor = 0; s.latch = false; } else s.onFor += dt;
    let newly = null;
    s.held = s.held.map((h, k) => {
      if (s.names[k] === "throttle" || s.names[k] === "collective") {
        if (s.rest[k] === null || h) { if (Math.abs(ins[k] - (s.stay ?? ins[k])) > 4) { s.still[k] = 0; s.stay = ins[k]; } else { s.still[k] += dt; s.stay ??= ins[k]; } if (s.still[k] > 0.5) { s.rest[k] = s.stay; s.still[k] = 0; return false; } return true; }
        if (Math.abs(ins[k] - s.rest[k]) > 8) { newly ??= k; s.still[k] = 0; s.stay = ins[k]; return true; }
        return false;
      }
      const d = Math.abs(ins[k] - s.rest[k]);
      if (!h && d > Number(s.set.engage_points)) { newly ??= k; return true; }
      return h && d > Number(s.set.release_points);
    });
    if (i.button) s.latch = true;
    const before = s.flies, any = s.held.findIndex(Boolean), dwell = s.set.dwell_ms / 1000;
    let cause = null, waits = null;
    if (!i.instructor) waits = { for: "instructor-signal", words: "the instructor's signal", left_s: null, axis: null };
    else if (!i.switch) waits = { for: "switch", words: "the lesson switch to be turned on", left_s: null, axis: null };
    else if (s.latch) waits = { for: "latch", words: "the lesson switch to be turned off and on: the takeover is latched", left_s: null, axis: null };
    else if (s.qual < 1) waits = { for: "student-link", words: "the student's link to be good", left_s: 1 - s.qual, axis: null };
    else if (any >= 0) waits = { for: "held", words: `the instructor to let go of the ${s.names[any]} stick`, left_s: null, axis: any };
    if (waits) s.dwell = 0; else if (before !== "student") { s.dwell += dt; if (s.dwell < dwell - 1e-9) waits = { for: "dwell", words: "quiet sticks", left_s: dwell - s.dwell, axis: null }; }
    s.lostFor = i.instructor ? 0 : (s.lostFor ?? 0) + dt;
    s.flies = s.lostFor > 1 ? "nobody" : waits ? "instructor" : "student";
    if (s.flies === "student") waits = null;
    const events = [];
    if (s.flies !== before) {
      s.changes++;
      cause = s.flies === "student" ? "handed-back" : s.flies === "nobody" || !i.instructor ? "instructor-lost" : before === "nobody" ? "instructor-back" : i.button ? "instructor-now" : !i.switch ? "switch-off" : i.cut ? "link-lost" : "stick";
      const words = s.flies === "student" ? "student flies: handed back" : s.flies === "nobody" ? "nobody flies, failsafe is put out: instructor's signal lost" : `instructor takes over: ${cause === "stick" ? `${s.names[newly ?? 0]} stick at ${ins[newly ?? 0].toFixed(1)} points` : { "instructor-now": "instructor-now button", "switch-off": "lesson switch off", "link-lost": "student link lost" }[cause] ?? cause}`;
      events.push({ time_s: s.t, from: before, to: s.flies, cause, words, axis: cause === "stick" ? newly : null });
      s.from = s.out.slice(); s.fade = s.flies === "student" ? 0 : 1;
    }
    s.fade = Math.min(1, s.fade + dt / (s.set.fade_ms / 1000 || 1e-9));
    const live = s.flies === "student" ? s.stu : ins;
    const old = s.out; s.out = live.map((v, k) => s.fade < 1 && s.from ? s.from[k] + (v - s.from[k]) * s.fade : v);
    if (events.length) s.jump = Math.max(...s.out.map((v, k) => Math.abs(v - old[k])));
    const plain = !i.switch || i.cut || ins.some((v, k) => k !== 2 && Math.abs(v) > 2) ? "instructor" : "student";
    if (plain !== s.plain) { s.plainChanges++; s.plainJump = Math.max(...ins.map((v, k) => Math.abs(v - s.stu[k]))); s.plain = plain; }
    const [a, e, th, r] = s.out;
    if (s.craft === "helicopter") { sp.bank += (a * 0.6 - sp.bank * 0.6) * dt * 2; sp.pitch += (e * 0.5 - sp.pitch * 0.6) * dt * 2; sp.heading += r * dt; sp.height = Math.max(0, sp.height + th * 0.03 * dt); sp.x += sp.bank * 0.05 * dt; sp.y -= sp.pitch * 0.05 * dt; }
    else { sp.bank += (a * 1.3 - sp.bank * 0.25) * dt; sp.pitch += (e * 0.4 - sp.pitch * 0.8 - Math.abs(sp.bank) * 0.1) * dt; sp.heading = (sp.heading + (sp.bank * 0.7 + r * 0.3) * dt + 360) % 360; sp.sink = -Math.sin(sp.pitch / 57.3) * 13; sp.height = Math.max(0, sp.height - sp.sink * dt); const h = sp.heading / 57.3; sp.x += 13 * Math.sin(h) * dt; sp.y += 13 * Math.cos(h) * dt; }
    sp.crashed = sp.height <= 0; sp.on_ground = sp.height <= 0;
    let taken = null;
    if (s.student === "drill" && s.flies === "student" && !s.m) { s.mAt -= dt; if (s.mAt <= 0) { s.m = { began_s: s.t, past_limit_s: null, words: "rolls hard to the right" }; s.mAt = 4 + rnd() * 3; } }
    if (s.m && s.m.past_limit_s === null && Math.abs(sp.bank) > 55) { s.m.past_limit_s = s.t; s.m.words = "too much bank"; }
    if (s.m && events.some((v) => v.cause === "stick")) { taken = { after_mistake_ms: Math.round((s.t - s.m.began_s) * 1000), after_limit_ms: s.m.past_limit_s === null ? null : Math.round((s.t - s.m.past_limit_s) * 1000), from_stick_ms: 0 }; s.m = null; }
    const mistake = s.m && { ...s.m };
    s.rows.push([Math.round(s.t * 1e6), +i.switch, +i.button, ...ins.map((v) => v.toFixed(3)), ...s.stu.map((v) => v.toFixed(3))].join(","));
    const beat = s.t * 4 % 1 < 0.5;
    return { time_s: s.t, flies: s.flies, shares: s.names.map(() => s.flies === "student"), held: s.held, pickup: s.names.map(() => false), waits, sticks: { instructor: ins, student: s.stu, output: s.out, rest: s.rest, engage: s.names.map((_, k) => k === 2 ? 8 : Number(s.set.engage_points)), release: s.names.map((_, k) => k === 2 ? 4 : Number(s.set.release_points)) }, sound: events.length > 0, lamp: s.flies === "student" ? beat : s.flies === "instructor", events, plain: { flies: plain, output: plain === "student" ? s.stu : ins, changes: s.plainChanges }, changes: s.changes, jump: s.jump ?? 0, plain_jump: s.plainJump ?? 0, agrees: true, craft: { ...sp }, mistake, taken };
  }
  const setting = (key, axis, kind, words, choices = []) => ({ key, axis, kind, value: String(s.set[key]), choices, words, least: null, most: null });
  const lesson = () => ({ title: looked.name, from_s: 0, to_s: 60, axes: ["aileron", "elevator", "throttle", "rudder"], turns: [{ from_s: 0, to_s: 6, flies: "instructor" }, { from_s: 6, to_s: 24.02, flies: "student" }, { from_s: 24.02, to_s: 27.5, flies: "instructor" }, { from_s: 27.5, to_s: 41, flies: "student" }, { from_s: 41, to_s: 46, flies: "instructor" }, { from_s: 46, to_s: 60, flies: "student" }], takeovers: [{ at_s: 24.02, back_s: 27.5, words: "instructor takes over: aileron stick at -12.0 points", axis: 0, off: [62, 3, 1, 0], waited: [{ words: "the instructor to let go of the aileron stick", s: 3.18 }, { words: "quiet sticks", s: 0.3 }] }, { at_s: 41, back_s: 46, words: "instructor takes over: instructor-now button", axis: null, off: [4, -30, 2, 1], waited: [{ words: "the lesson switch to be turned off and on: the takeover is latched", s: 4.7 }, { words: "quiet sticks", s: 0.3 }] }] });
  return {
    put(bytes) { kept = bytes; },
    ask(request) {
      const [name, v] = Object.entries(request)[0];
      switch (name) {
        case "fly": return fly(v);
        case "step": return step(v);
        case "settings": return { settings: [setting("scope", null, "choice", "How much a held axis takes: the whole craft, or its own axis.", ["craft", "axis"]), setting("dwell_ms", null, "time", "How long everything must be in order before the student gets an axis."), setting("fade_ms", null, "time", "How long an axis takes to the stick of who flies it now."), setting("lasted_ms", null, "time", "A takeover that has lasted this long keeps the craft."), setting("engage_points", "aileron", "points", "Held when further than this from its rest."), setting("release_points", "aileron", "points", "Held until within this of its rest.")] };
        case "set": { const value = v.key === "scope" ? v.value : num(v.value, v.key); if (v.key === "release_points" && value >= s.set.engage_points) throw new Error(`policy.toml: axis 0 (aileron): release_points ${value} is not below engage_points ${s.set.engage_points}; give less`); s.set[v.key] = value; s.rows = []; return { policy: "# policy\n" }; }
        case "save": return { trace: `time_us,lesson_switch,instructor_now,${s.names.map((x) => "i:" + x)},${s.names.map((x) => "s:" + x)}\n${s.rows.join("\n")}\n`, policy: "# policy\n", steps: s.rows.length, digest: "0badcafe" };
        case "cost": return { rows: [{ words: "sinks at 5 m/s", human_m: v.reaction_ms / 1000 * 5, whole_m: (v.reaction_ms / 1000 + 0.07) * 5 }, { words: "banked by 60 degrees at 13 m/s", human_m: 2.4 * (v.reaction_ms / 1000) ** 2, whole_m: 2.4 * (v.reaction_ms / 1000 + 0.07) ** 2 }], borrowed: [{ words: "watching, thumbs on the sticks", ms: 400 }, { words: "rotorcraft, 14 CFR 27.143(e)", ms: 1000 }, { words: "road, AASHTO brake reaction", ms: 2500 }] };
        case "policy_file": policyFile = v; return {};
        case "look": looking = { name: v.name, left: 4 }; return { kind: v.name.endsWith(".toml") ? "policy" : "trace" };
        case "go_on": {
          const text = new TextDecoder().decode(kept);
          if (!/time_us|axis|^#/.test(text.slice(0, 400))) throw new Error(`${looking.name}: line 1: "${text.split("\n")[0].slice(0, 30)}" is no header of a trace; give time_us,lesson_switch,...`);
          if ((looking.left -= 1) > 0) return { done: 1 - looking.left / 4 };
          looked = looking;
          const trace = !looked.name.endsWith(".toml");
          return { looked: { kind: trace ? "trace" : "policy", title: looked.name, sound: true, report: `${looked.name}\n\nstudent flew 00:45.5 of 01:00.0 (76 %)\n2 takeovers, none of them false\nengine and reference agree in every decision and every output\n`, svg: trace ? `<svg xmlns="http://www.w3.org/2000/svg" width="640" height="120"><title>x</title><rect width="640" height="120" fill="#fff"/><text x="20" y="60">picture</text></svg>` : null, lesson: trace, files: [] } };
        }
        case "lesson": return lesson();
        case "curves": {
          const axes = [0, 1, 2, 3].map((k) => { const c = { instructor: [], student: [], output: [] }; for (let col = 0; col < v.columns; col++) { const t = v.from_s + (v.to_s - v.from_s) * col / v.columns, i = t > 24 && t < 27 && k === 0 ? -30 * Math.sin((t - 24)) : k === 2 ? -20 : 0, u = 40 * Math.sin(t / 2 + k), st = (t > 6 && t < 24.02) || (t > 27.5 && t < 41) || t > 46; c.instructor.push(i - .5, i + .5); c.student.push(u - 1, u + 1); const o = st ? u : i; c.output.push(o - .5, o + .5); } return c; });
          let flies = ""; for (let col = 0; col < v.columns; col++) { const t = v.from_s + (v.to_s - v.from_s) * col / v.columns; flies += (t > 6 && t < 24.02) || (t > 27.5 && t < 41) || t > 46 ? "s" : "i"; }
          return { axes, flies };
        }
      }
      throw new Error(`no request that is known: ${name}`);
    },
  };
};
wasmOfPage = () => new Uint8Array(1);
