// What may be offered takes seconds to work out, so the page shows first and asks for it then.

import { fetchPage } from "./page.js";

const LONGEST_MS = 320000; // a little longer than the studio gives a plan

async function fill(place) {
  const waits = place.querySelector("[data-wait]");
  if (!waits) return;
  waits.textContent = "Being worked out.";
  const address = `/offered/${encodeURIComponent(place.dataset.offer)}`;
  const later = setTimeout(() => { waits.textContent = "Still being worked out; it may take minutes while the computer is busy."; }, 20000);
  const fresh = await fetchPage(address, LONGEST_MS).catch(() => null);
  clearTimeout(later);
  const found = fresh?.querySelector("#offer");
  if (found?.children.length) waits.replaceWith(...found.children);
  else waits.textContent = "It could not be worked out now; What this rests on tries once more, and says why.";
}

// one after the other: the worker does one thing at a time
const places = [...document.querySelectorAll("[data-offer]")].filter(one => one.querySelector("[data-wait]"));
for (const place of places) await fill(place);
// the plans are there now, and with them the week, what to buy and what they ask next
if (places.length) {
  const fresh = await fetchPage("/", 60000).catch(() => null);
  for (const part of ["#week", "#buy", ".slate"]) {
    const found = fresh?.querySelector(part);
    if (found) document.querySelector(part)?.replaceWith(found);
  }
  document.dispatchEvent(new CustomEvent("studio:refreshed"));
}
