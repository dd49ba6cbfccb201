// Taps that are not yet written down. Each goes into this phone's store first, under a key of
// its own, so that no two tabs can write over each other; it leaves the store only when the
// server has answered. The same id is sent again until then, and the book writes it once.

import { Ended, ageOf, now, stamp, sure, tapped } from "./clock.js";

const TAP = "tap:", DONE = "done:", NO = "no:", COUNT = "taps";
const TWICE_MS = 700;
const UNDO_MS = 15000;
const WAITS_MS = [500, 1000, 2000, 4000, 8000];
const DONE_KEPT = 60;

const inMemory = new Map();
const listeners = new Set();
const lastTap = new Map();
let sending = false;
let failures = 0;
let retry = 0;
export let state = "";

/** Call a function whenever what waits, was answered or was refused changed. */
export function onChange(listener) {
  listeners.add(listener);
}

function changed(what = {}) {
  for (const listener of listeners) listener(what);
}

function put(key, value) {
  const text = JSON.stringify(value);
  try {
    localStorage.setItem(key, text);
  } catch {
    inMemory.set(key, text); // a full or forbidden store: good as long as the page stays open
  }
}

function take(key) {
  const text = inMemory.get(key) ?? localStorage.getItem(key);
  try {
    return text ? JSON.parse(text) : null;
  } catch {
    return null;
  }
}

function drop(key) {
  inMemory.delete(key);
  localStorage.removeItem(key);
}

function all(prefix) {
  const keys = new Set(inMemory.keys());
  for (let n = 0; n < localStorage.length; n += 1) keys.add(localStorage.key(n));
  const found = [...keys].filter(key => key.startsWith(prefix)).map(take).filter(Boolean);
  return found.sort((a, b) => a.n - b.n || (a.id < b.id ? -1 : 1));
}

/** The taps that wait, in the order in which they were made. */
export const waiting = () => all(TAP);

/** The taps that the book refused, until somebody has read why. */
export const refused = () => all(NO);

/** What the server answered to a tap, null if it has not. */
export const answerTo = id => take(DONE + id);

/** Whether taps are safe from a reload. */
export const isKept = () => inMemory.size === 0;

function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(15));
  return "t-" + [...bytes].map(byte => byte.toString(16).padStart(2, "0")).join("");
}

function nextNumber() {
  const n = 1 + Math.max(Number(localStorage.getItem(COUNT)) || 0, ...waiting().map(tap => tap.n));
  put(COUNT, n);
  return n;
}

/**
 * Keep a tap and send it. `command` is what the book is told, without id; `card` is what was
 * tapped; `words` say it. Returns the kept tap, or null for a second tap within 0.7 s.
 */
export function add(command, { card = "", words = "", undoes = "" } = {}) {
  const at = performance.now();
  if (card && at - (lastTap.get(card) ?? -Infinity) < TWICE_MS) return null;
  if (card) lastTap.set(card, at);
  const n = nextNumber(), seen = ["start-step", "end-step"].includes(command.do) ? { tap: n } : {};
  const tap = { n, id: newId(), command: { ...tapped, ...command, ...seen }, card, words, undoes, stamp: stamp() };
  put(TAP + tap.id, tap);
  changed({ added: tap });
  send();
  return tap;
}

/** Take a tap back; possible for 15 s. What was seen at the bench is taken back by its id alone. */
export function undo(tap) {
  if (tap.undone || performance.now() - tap.stamp.perf > UNDO_MS) return null;
  tap.undone = true;
  const { edition, what, step, tap: seen } = tap.command;
  const command = seen ? { do: "undo-step", edition, what, step, undoes: tap.id } : { do: "correct", void: true };
  return add(command, { words: `Undo: ${tap.words}`, undoes: tap.id });
}

/** Forget a tap that was refused, once somebody has read why. */
export function forget(id) {
  drop(NO + id);
  changed();
}

/** Send a tap again that the book asked about: it is written all the same, for when it was made. */
export function goOn(tap) {
  drop(NO + tap.id);
  add({ ...tap.command, at: new Date(tap.made).toISOString(), go_on: true }, { words: tap.words });
}

/** Send what waits, one after the other, until nothing does or nobody answers. */
export async function send() {
  if (sending) return;
  sending = true;
  clearTimeout(retry);
  try {
    for (let tap; (tap = waiting()[0]); ) {
      await sure();
      if (!(await deliver(tap))) break;
      failures = 0;
    }
    if (waiting().length === 0) say("step");
  } catch (error) {
    say(error instanceof Ended ? "ended" : "away");
  } finally {
    sending = false;
  }
  if (waiting().length > 0) {
    retry = setTimeout(send, WAITS_MS[Math.min(failures, WAITS_MS.length - 1)]);
    failures += 1;
  }
}

function say(now) {
  state = now;
  changed({ state: now });
}

async function deliver(tap) {
  const body = bodyOf(tap);
  if (body === null) { // what it undoes was refused, so there is nothing to undo
    drop(TAP + tap.id);
    changed();
    return true;
  }
  const answer = await fetch("/api/commands", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
    signal: AbortSignal.timeout(10000),
  });
  if (answer.status === 401) throw new Ended();
  if (answer.status >= 500 || answer.status === 429) throw new Error("not now");
  settle(tap, await answer.json().catch(() => ({})));
  return true;
}

function bodyOf(tap) {
  // The book keeps whole seconds, the lower one: counted from second to second, what it
  // keeps is never more than one second from the tap.
  const at = now(), made = at - Math.max(0, ageOf(tap.stamp));
  const age_s = Math.floor(at / 1000) - Math.floor(made / 1000);
  if (!tap.undoes || tap.command.undoes) return tap.command.at ? { ...tap.command, id: tap.id } : { ...tap.command, id: tap.id, age_s };
  const undone = answerTo(tap.undoes);
  return undone?.ok ? { ...tap.command, entry: undone.entry, id: tap.id } : null;
}

function settle(tap, answer) {
  const { n, id, command, card, words } = tap;
  // What another phone has written down before is neither missing nor wrong: it is news.
  if (answer.ok || answer.already) {
    const news = answer.ok ? answer.findings : answer.refused;
    put(DONE + id, { n, id, ok: answer.ok, entry: answer.entry, seq: answer.seq, said: answer.said, news });
  } else {
    const sentences = answer.refused ?? ["The studio could not read this."];
    const made = tap.stamp.server ?? tap.stamp.date;
    put(NO + id, { n, id, command, card, words, sentences, made, asks: answer.asks === true });
  }
  drop(TAP + id); // only now, when what was answered is kept
  for (const old of all(DONE).slice(0, -DONE_KEPT)) drop(DONE + old.id);
  changed({ answered: tap, answer });
}

addEventListener("storage", () => changed());
addEventListener("online", () => { failures = 0; send(); });
document.addEventListener("visibilitychange", () => { if (!document.hidden) { failures = 0; send(); } });
