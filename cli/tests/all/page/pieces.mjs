// Asks the module given as argument for whole answers, as a page does: the lathes that are wanted go
// in pieces of sixteen to an engine of their own, which knows nothing of the other's. Jobs as lines
// in, answers as lines out.
import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";

const PIECE = 16;
const module = new WebAssembly.Module(gunzipSync(readFileSync(process.argv[2])));

function engine() {
  const { memory, room, ask, answered } = new WebAssembly.Instance(module, {}).exports;
  return (question) => {
    const bytes = new TextEncoder().encode(JSON.stringify(question));
    // Making room may move the memory.
    const at = room(bytes.length);
    new Uint8Array(memory.buffer, at, bytes.length).set(bytes);
    const length = ask();
    const told = new TextDecoder().decode(new Uint8Array(memory.buffer, answered(), length));
    const answer = JSON.parse(told);
    if (answer.fault) throw new Error(answer.fault);
    return [answer, told];
  };
}

for (const line of readFileSync(0, "utf8").split("\n").filter(Boolean)) {
  const [first, other] = [engine(), engine()];
  const texts = JSON.parse(line);
  const begun = performance.now();
  let found = [];
  let lathes = 0;
  for (;;) {
    const [answer, told] = first({ ask: "answer", what: "compare", ...texts, found });
    if (!answer.wanted) {
      // As it was told: read and written by a script a 0.0 would be a 0.
      console.log(`{"lathes":${lathes},"milliseconds":${performance.now() - begun},"answer":${told}}`);
      break;
    }
    found = answer.wanted.map((wanted) => {
      const cut = [];
      for (let from = wanted.from; from < wanted.to; from += PIECE) {
        const to = Math.min(from + PIECE, wanted.to);
        const [these] = other({ ask: "cut", ...texts, wanted: { ...wanted, from, to } });
        cut.push(...these);
        lathes += to - from;
      }
      return [wanted, cut];
    });
  }
}
