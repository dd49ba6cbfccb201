// Whether the page is in step with the studio. The stream says only that something changed;
// it is closed while the page is hidden, because a browser opens six connections at most to
// one plain address. Without a stream the page asks every 5 s.

import { hear, isHere } from "./clock.js";

const ASK_MS = 5000;
const SILENT_MS = 12000; // the server speaks every 5 s
const UNSURE_MS = 6000;
// A computer that is on and serves nothing refuses at once; one that sleeps lets the phone wait.
const REFUSED_MS = 1000;
const listeners = new Set();
let source = null;
let heard = 0;
let seq = null;
export let state = "quiet";
/** Why the studio answers nothing though it is there, in its own words; empty if it is away. */
export let why = "";
let isRefused = false;

/** Why nothing is heard, in words: the studio's own, no wifi, the program ended, or a computer that sleeps. */
export function awayWords() {
  if (why) return why;
  if (!isHere && !navigator.onLine) return "No wifi here.";
  return isRefused
    ? "The studio is not running on its computer: start it again."
    : "The studio's computer does not answer: it is closed, asleep or out of reach.";
}

/** Call a function with {state, changed} when either is news. */
export function onNews(listener) {
  listeners.add(listener);
}

/** Whether nothing was heard for longer than the server is ever silent. */
export function isSilent() {
  return state !== "quiet" && performance.now() - heard > UNSURE_MS;
}

function tell(next, changed = false, words = "", refused = false) {
  const isNews = next !== state || words !== why || changed || refused !== isRefused;
  state = next;
  isRefused = refused;
  why = words;
  if (isNews) for (const listener of listeners) listener({ state, changed });
}

function arrive(message) {
  heard = performance.now();
  const changed = seq !== null && message.seq !== seq;
  seq = message.seq;
  hear(message.now_ms);
  tell("step", changed);
}

function open() {
  if (source || document.hidden || state === "ended") return;
  heard = performance.now();
  source = new EventSource("/stream");
  source.addEventListener("studio", event => arrive(JSON.parse(event.data)));
  source.addEventListener("unpaired", () => { close(); tell("ended"); });
  source.addEventListener("error", () => { close(); ask(); });
}

function close() {
  source?.close();
  source = null;
}

/** Ask whether the studio is there and knows this phone; open the stream if so. */
export async function ask() {
  if (document.hidden) return;
  const asked = performance.now();
  try {
    const answer = await fetch("/api/clock", { cache: "no-store", signal: AbortSignal.timeout(4000) });
    if (answer.status === 401) { close(); tell("ended"); return; }
    if (answer.status === 503) {
      close();
      tell("away", false, (await answer.json()).refused.join(" "));
      return;
    }
    if (!answer.ok) throw new Error("not now");
    arrive(await answer.json());
    open();
  } catch {
    close(); // a stream that is cut may stay silent for long before the browser notices
    tell("away", false, "", performance.now() - asked < REFUSED_MS);
  }
}

setInterval(() => {
  if (source && performance.now() - heard > SILENT_MS) close();
  if (!source && !document.hidden) ask();
}, ASK_MS);
setInterval(() => { if (state === "away" && !document.hidden) ask(); }, 1000);

document.addEventListener("visibilitychange", () => { if (document.hidden) close(); else ask(); });
addEventListener("pagehide", close);
addEventListener("pageshow", () => { if (!document.hidden) open(); });
addEventListener("offline", () => { close(); tell("away"); });
addEventListener("online", ask);
open();
