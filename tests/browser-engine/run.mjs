// The same answers from WebAssembly: the module as argument, else as native.rs.
import { readFileSync } from "node:fs";

const module = new WebAssembly.Module(readFileSync(process.argv[2]));
if (WebAssembly.Module.imports(module).length > 0) {
  throw new Error("the engine wants something of the page");
}
const { put, ask, get, clear } = new WebAssembly.Instance(module).exports;
for (const line of readFileSync(0, "utf8").split("\n").filter(Boolean)) {
  const [question, lathe, job] = line.split("\t");
  const text = [question, readFileSync(lathe, "utf8"), readFileSync(job, "utf8")].join("\0");
  clear();
  for (const byte of Buffer.from(text)) put(byte);
  const answer = Buffer.alloc(ask());
  for (let i = 0; i < answer.length; i++) answer[i] = get(i);
  process.stdout.write(answer);
  process.stdout.write("\n");
}
