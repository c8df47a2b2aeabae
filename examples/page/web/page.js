"use strict";
// The page: which part is shown, and the engine that all parts share.

const VIEWS = ["fly", "reaction", "look", "debrief"];

/** What one may look at in the console of the browser. */
const app = { fly: /** @type {Fly | null} */ (null), debrief: /** @type {Debrief | null} */ (null) };

/** @param {Fly} fly */
function showPart(fly, moveFocus = true) {
  const wanted = location.hash.slice(1);
  if (wanted === "cautions") {
    element("cautions").scrollIntoView();
    return;
  }
  const view = VIEWS.includes(wanted) ? wanted : "fly";
  const before = document.body.dataset.view;
  document.body.dataset.view = view;
  for (const name of VIEWS) {
    const link = element(`to-${name}`);
    if (name === view) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  const flies = view === "fly" || view === "reaction";
  if (!flies && fly.flight.goes) fly.pause("Paused while you looked elsewhere.");
  if (view === "reaction" && !fly.drill && (fly.stand === "flies" || fly.stand === "paused")) {
    fly.pause("Paused while you looked elsewhere.");
    if (!confirm("This ends the lesson that you fly; what you have not saved of it is lost. End it?")) {
      location.hash = "#fly";
      return;
    }
  }
  if (flies && fly.drill !== (view === "reaction")) {
    fly.drill = view === "reaction";
    fly.begin();
  }
  if (flies) fly.redraw();
  if (moveFocus && before !== view) scrollTo(0, 0);
  dispatchEvent(new Event("part"));
}

async function begin() {
  const engine = await startEngine(await wasmOfPage());
  const fly = new Fly(engine);
  app.fly = fly;
  const look = new Look();
  const debrief = new Debrief();
  look.debrief = app.debrief = debrief;
  listenToDevices(fly);
  listenToBox(fly);
  listenToReaction(fly, engine);
  fly.begin();
  listenToDebrief(fly, debrief, look);
  addEventListener("hashchange", () => showPart(fly));
  const inside = element("lesson").textContent?.trim();
  if (inside) {
    /** @type {Inside} */
    const { trace, policy } = JSON.parse(inside);
    location.hash = "#debrief";
    debrief.add({ name: trace.name, when: "" }, trace.text, policy ? { name: policy.name, bytes: policy.text } : null);
  }
  showPart(fly, false);
  document.body.dataset.ready = "true";
  performance.mark("ready");
}

begin().catch((why) => {
  const broken = element("broken");
  broken.hidden = false;
  say(broken, `This page does not run here: ${wordsOf(why)}. It needs a browser with WebAssembly and canvas.`);
});
