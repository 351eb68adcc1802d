// Asks the server: the way in sight first, then every way, then what takes longer, told as it comes;
// the last two are given up as soon as a knob moves.

/** A fault that the server told in words. */
export class Refused extends Error {}

async function post(address, question, signal) {
  const answer = await fetch(address, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(question),
    signal,
  });
  if (answer.ok) return answer;
  let why = `the page got no answer (${answer.status})`;
  try {
    why = (await answer.json()).refused ?? why;
  } catch {
    // Not JSON: the status is all there is to tell.
  }
  throw new Refused(why);
}

/** Fetches what is there to begin with, or an example. */
export async function begin(address = "/api/start") {
  const answer = await fetch(address);
  if (!answer.ok) throw new Refused(`the page got no answer (${answer.status})`);
  return answer.json();
}

/** One figure as the command line draws it. */
export async function figure(name, question, signal) {
  return (await post(`/api/figure/${name}`, question, signal)).json();
}

/** One way alone, told before the others are run. Never given up: while a knob moves, each answer
 * is waited for before the next is asked, so that the picture goes along. */
export async function first(question) {
  stop();
  return (await post("/api/first", question)).json();
}

let running = null;
let refining = null;

/** Gives up what is still being worked out. */
function stop() {
  refining?.abort();
  running?.abort();
}

/** Runs a question; one that a newer question overtakes comes to nothing (null). */
export async function run(question) {
  stop();
  const mine = new AbortController();
  running = mine;
  try {
    return await (await post("/api/run", question, mine.signal)).json();
  } catch (fault) {
    if (mine.signal.aborted) return null;
    throw fault;
  } finally {
    if (running === mine) running = null;
  }
}

/** Refines an answer: `told(event, value)` for each piece of news, until done or overtaken. */
export async function refine(question, told) {
  refining?.abort();
  const mine = new AbortController();
  refining = mine;
  try {
    const answer = await post("/api/refine", question, mine.signal);
    const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
    let text = "";
    for (;;) {
      const { value, done } = await reader.read();
      if (done) break;
      text += value;
      let end;
      while ((end = text.indexOf("\n\n")) >= 0) {
        const block = text.slice(0, end);
        text = text.slice(end + 2);
        const field = (name) => block.split("\n").find((line) => line.startsWith(`${name}: `))?.slice(name.length + 2);
        const data = field("data");
        if (data && !mine.signal.aborted) told(field("event"), JSON.parse(data));
      }
    }
  } catch (fault) {
    if (!mine.signal.aborted) throw fault;
  }
}
