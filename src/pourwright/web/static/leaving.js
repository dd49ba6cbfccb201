// Over plain http a page that was left without wifi cannot be opened again: its clocks, and
// what was typed in it, would be gone. So links and forms are held back until the studio answers.

import { make } from "./page.js";
import * as stream from "./stream.js";

const sure = new WeakSet();

/** Whether the studio can be reached: known to be away, heard just now, or asked. */
async function isThere() {
  if (stream.state !== "away") await stream.ask();
  return stream.state !== "away";
}

function stay() {
  if (document.getElementById("stays")) return;
  document.body.append(make("div", { id: "stays", class: "undo stays", role: "alert" },
    make("p", {}, `${stream.awayWords()} So this page stays open, and what you wrote stays in it. Press it again when the line on top says All sent.`),
    make("button", { type: "button", class: "button undo-button", click: done }, "I see")));
}

function done() {
  document.getElementById("stays")?.remove();
}

/** Hold an event back if the studio is away; ask first if it has been silent, and at the bench. */
function hold(event, go, left = () => {}) {
  const hasClocks = document.body.classList.contains("bench"); // worth an answer's time each time
  if (stream.state !== "away" && !stream.isSilent() && !hasClocks) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  isThere().then(there => {
    if (there) return go();
    left();
    stay();
  });
}

document.addEventListener("submit", event => {
  const form = event.target, submitter = event.submitter;
  const isTap = form.matches("form[data-tap], form.cast-all") && !submitter?.matches("[formmethod], [formenctype]");
  if (isTap || sure.delete(form)) return; // the outbox takes taps
  form.dataset.sent = ""; // while it is held the page exchanges no part of itself
  hold(event, () => { sure.add(form); form.requestSubmit(submitter); }, () => { delete form.dataset.sent; });
}, true);

document.addEventListener("click", event => {
  const link = event.target.closest?.("a[href]");
  const isPlain = event.button === 0 && !event.ctrlKey && !event.metaKey && !event.shiftKey && !event.altKey;
  if (!link || !isPlain || link.origin !== location.origin) return;
  if (link.hash && link.pathname === location.pathname) return;
  hold(event, () => location.assign(link.href));
}, true);

stream.onNews(({ state }) => { if (state === "step") done(); });
