// What may be offered takes seconds to work out, so the page shows first and asks for it then.

import { fetchPage, outdate, refresh } from "./page.js";

const LONGEST_MS = 320000; // a little longer than the studio gives a plan
const QUIET_MS = 20000; // how long nothing is written before a plan is made again

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
async function fillAll() {
  const places = [...document.querySelectorAll("[data-offer]")].filter(one => one.querySelector("[data-wait]"));
  for (const place of places) await fill(place);
  const wasWritten = isWritten;
  // the plans are there now, and with them the week, what to buy and what they ask next
  if (places.length) {
    outdate();
    await refresh();
  }
  isWritten = wasWritten;
}

// what stands by a plan is exchanged together, so that no part tells an older one; the plan is made again once
// nothing more is written
let soon = 0, isFilling = true, isWritten = false;
document.addEventListener("studio:refreshed", () => {
  isWritten = true;
  if (isFilling) return;
  clearTimeout(soon);
  soon = setTimeout(fillOnce, QUIET_MS);
});

async function fillOnce() {
  isFilling = true;
  isWritten = false;
  await fillAll();
  isFilling = false;
  if (isWritten) soon = setTimeout(fillOnce, QUIET_MS); // something was written meanwhile
}
fillOnce();
