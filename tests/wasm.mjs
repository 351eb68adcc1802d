// Asks the module given as argument, gzipped or not: questions as lines in, answers as lines out.
import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";

const file = readFileSync(process.argv[2]);
const module = new WebAssembly.Module(file[0] === 0x1f ? gunzipSync(file) : file);
if (WebAssembly.Module.imports(module).length > 0) {
  throw new Error("the engine wants something of the page");
}
const { memory, room, ask, answered } = new WebAssembly.Instance(module).exports;
for (const line of readFileSync(0, "utf8").split("\n").filter(Boolean)) {
  const question = new TextEncoder().encode(line);
  // Making room may move the memory.
  const at = room(question.length);
  new Uint8Array(memory.buffer, at, question.length).set(question);
  const length = ask();
  process.stdout.write(new Uint8Array(memory.buffer, answered(), length).slice());
  process.stdout.write("\n");
}
