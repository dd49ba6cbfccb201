// The plan takes seconds to work out, so the page shows first; the day of its next session comes then.

import { fetchPage } from "./page.js";

const LONGEST_MS = 320000; // a little longer than the studio gives a plan

// one after the other: the worker does one thing at a time
for (const waits of document.querySelectorAll("[data-offer] [data-wait]")) {
  const place = waits.closest("[data-offer]"), before = waits.textContent;
  waits.textContent = "The plan is being worked out; then its day stands on the button.";
  await fetchPage(`/offered/${encodeURIComponent(place.dataset.offer)}`, LONGEST_MS).catch(() => null);
  const fresh = await fetchPage().catch(() => null);
  const found = fresh?.getElementById(place.id);
  // what was pressed meanwhile is on its way
  if (found && !place.querySelector("form[data-sent]")) place.replaceChildren(...found.childNodes);
  else waits.textContent = before;
}
