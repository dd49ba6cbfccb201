// The plan takes seconds to work out, so the page shows first and asks for it then.

import { fetchPage } from "./page.js";

async function fill(place) {
  const waits = place.querySelector("[data-wait]");
  const link = waits.querySelector("a");
  waits.replaceChildren("The plan is being worked out.");
  await fetchPage(place.dataset.plan, 120000).catch(() => null);
  const found = (await fetchPage().catch(() => null))?.getElementById("finish");
  if (found && !found.querySelector("[data-wait]")) place.closest("#finish").replaceChildren(...found.childNodes);
  else waits.replaceChildren("It could not be worked out now: ", link, ".");
  unfold();
}

/** What a phone folds stands open where there is room for it. */
function unfold() {
  if (!matchMedia("(min-width: 56.25rem)").matches) return;
  for (const part of document.querySelectorAll(".figured:not(.fold), .later-weeks")) part.open = true;
}

/** An address that names a folded part opens it, in browsers too that would not find it by themselves. */
function reveal() {
  const named = document.getElementById(location.hash.slice(1)), part = named?.closest("details:not([open])");
  if (!part) return;
  part.open = true;
  named.scrollIntoView();
}

addEventListener("hashchange", reveal);
for (const place of document.querySelectorAll("[data-plan]")) fill(place);
unfold();
reveal();
