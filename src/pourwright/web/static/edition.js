// The plan takes seconds to work out, so the page shows first and asks for it then.

import { fetchPage } from "./page.js";

async function fill(place) {
  const waits = place.querySelector("[data-wait]");
  const link = waits.querySelector("a");
  waits.replaceChildren("The plan is being worked out.");
  const fresh = await fetchPage(place.dataset.plan, 120000).catch(() => null);
  const found = [...(fresh?.querySelectorAll("[data-finish]") ?? [])].flatMap(part => [...part.childNodes]);
  if (found.length) place.replaceChildren(...found);
  else waits.replaceChildren("It could not be worked out now: ", link, ".");
}

for (const place of document.querySelectorAll("[data-plan]")) fill(place);
