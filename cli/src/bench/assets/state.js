// @ts-check
// The whole state as text: in the address, on the clipboard, in a saved page.

/** @typedef {{v: number, job: string, lathe: string, names: string[], side: string, rotation: string,
 *   seed: number, set: [string, string][], fed: number | null, factor: number, high: number | null,
 *   shown: number, knob: string, units?: string | null, forms?: Record<string, string>}} State */

const MARK = "tautway-bench-";

/** @param {Uint8Array} bytes @param {any} through */
async function piped(bytes, through) {
  const stream = new Blob([/** @type {BlobPart} */ (bytes)]).stream().pipeThrough(through);
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/** @param {State} state */
export async function packed(state) {
  const bytes = await piped(new TextEncoder().encode(JSON.stringify(state)), new CompressionStream("deflate-raw"));
  let letters = "";
  for (const byte of bytes) letters += String.fromCharCode(byte);
  return MARK + btoa(letters).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

/** The state in a text, or none.
 * @param {string} text @returns {Promise<State | null>} */
export async function unpacked(text) {
  const at = text.indexOf(MARK);
  if (at < 0) return null;
  try {
    const letters = atob(text.slice(at + MARK.length).trim().replaceAll("-", "+").replaceAll("_", "/"));
    const bytes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
    const told = new TextDecoder().decode(await piped(bytes, new DecompressionStream("deflate-raw")));
    const state = JSON.parse(told);
    return state && state.v === 1 && typeof state.job === "string" && Array.isArray(state.set) ? state : null;
  } catch {
    return null;
  }
}
