// Runs the engine beside the page: its bytes first, then questions, an answer each.
let engine;
onmessage = async ({ data }) => {
  try {
    if (data.bytes) {
      engine = (await WebAssembly.instantiate(data.bytes, {})).instance.exports;
      postMessage({ ready: true });
      return;
    }
    const question = new TextEncoder().encode(data.question);
    // Making room may move the memory.
    const at = engine.room(question.length);
    new Uint8Array(engine.memory.buffer, at, question.length).set(question);
    const length = engine.ask();
    const answer = new TextDecoder().decode(new Uint8Array(engine.memory.buffer, engine.answered(), length));
    postMessage({ id: data.id, answer });
  } catch (why) {
    postMessage({ id: data.id, failed: String(why) });
  }
};
