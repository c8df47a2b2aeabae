// Runs the module under node: node run.mjs MODULE.wasm fly 1000
import { readFileSync } from "node:fs";

const [module, ...words] = process.argv.slice(2);
const command = Buffer.from(words.join(" "));
let taken = 0;
let answer = [];

const host = {
  take: () => (taken < command.length ? command[taken++] : -1),
  put: (byte) => answer.push(byte),
};

const { instance } = await WebAssembly.instantiate(readFileSync(module), { host });
try {
  process.exitCode = instance.exports.fly();
} finally {
  process.stdout.write(Buffer.from(answer));
}
