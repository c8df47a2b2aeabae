"use strict";
// One worker for each file that is looked at: the page stays awake, and a look can be cancelled.

/** The worker's own code: it gets this function as text. */
function workerMain() {
  /** @type {Promise<Engine> | undefined} */
  let engine;
  self.onmessage = async (/** @type {MessageEvent<Told>} */ { data }) => {
    if ("wasm" in data) {
      engine = startEngine(data.wasm);
      return;
    }
    /** @type {Said} */
    const said = { id: data.id };
    try {
      const desk = await engine;
      if (data.put) desk?.put(new Uint8Array(data.put));
      said.answer = desk?.ask(data.ask);
    } catch (why) {
      said.error = why instanceof Error ? why.message : String(why);
    }
    self.postMessage(said);
  };
}

/** An engine behind a worker. */
class Bench {
  constructor() {
    const source = `"use strict"; ${startEngine}; (${workerMain})();`;
    const at = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
    this.worker = new Worker(at);
    URL.revokeObjectURL(at);
    this.started = wasmOfPage().then((wasm) => this.worker.postMessage({ wasm }, [wasm]));
    /** @type {Map<number, { done: (answer: any) => void, failed: (why: Error) => void }>} */
    this.open = new Map();
    this.last = 0;
    this.worker.onmessage = ({ data }) => this.hear(data);
    this.worker.onerror = (event) => this.fail(`the worker stopped: ${event.message}`);
  }

  /** @param {Said} said */
  hear(said) {
    const waiting = this.open.get(said.id);
    this.open.delete(said.id);
    if (said.error === undefined) waiting?.done(said.answer);
    else waiting?.failed(new Error(said.error));
  }

  /**
   * @param {object} ask
   * @param {ArrayBuffer} [put] the file that the request is about
   * @returns {Promise<any>}
   */
  ask(ask, put) {
    const id = (this.last += 1);
    return new Promise((done, failed) => {
      this.open.set(id, { done, failed });
      this.started.then(() => this.worker.postMessage({ id, ask, put }, put ? [put] : []), failed);
    });
  }

  /** Stops at once, in the middle of a file too. */
  end() {
    this.worker.terminate();
    this.fail("cancelled");
  }

  /** @param {string} why */
  fail(why) {
    for (const { failed } of this.open.values()) failed(new Error(why));
    this.open.clear();
  }
}
