"use strict";
// The engine: a module of WebAssembly that takes a request in JSON and gives an answer in JSON.

/**
 * Starts the module. The worker gets this function as text: it uses nothing from outside.
 * @param {BufferSource} wasm
 * @returns {Promise<Engine>}
 */
async function startEngine(wasm) {
  const { instance } = await WebAssembly.instantiate(wasm, {});
  const { memory, room, keep, ask, reply } = /** @type {any} */ (instance.exports);
  const put = (/** @type {Uint8Array} */ bytes) => {
    const at = room(bytes.length) >>> 0;
    new Uint8Array(memory.buffer, at, bytes.length).set(bytes);
  };
  return {
    put(bytes) {
      put(bytes);
      keep();
    },
    ask(request) {
      const bytes = new TextEncoder().encode(JSON.stringify(request));
      put(bytes);
      const length = ask() >>> 0;
      const text = new TextDecoder().decode(new Uint8Array(memory.buffer, reply() >>> 0, length));
      const said = JSON.parse(text);
      if (said && typeof said.error === "string") throw new Error(said.error);
      return said;
    },
  };
}

/**
 * The bytes of the module, which stand in the page in base64, packed by gzip.
 * @returns {Promise<ArrayBuffer>}
 */
function wasmOfPage() {
  const text = atob(element("engine").textContent?.trim() ?? "");
  const bytes = new Uint8Array(text.length);
  for (let at = 0; at < text.length; at += 1) bytes[at] = text.charCodeAt(at);
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
}
