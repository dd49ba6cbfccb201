// What is counted stands on its shelf, one beside the other.

import { make } from "./page.js";

const MOST = 40; // more is told by the figure

function fill(shelf) {
  const count = Math.min(Number(shelf.querySelector("input").value) || 0, MOST);
  shelf.querySelector(".counted").replaceChildren(...Array.from({ length: Math.max(0, count) }, () => make("i")));
}

for (const moment of ["click", "input"]) document.addEventListener(moment, event => {
  const shelf = event.target.closest?.(".count-shelf");
  if (shelf) fill(shelf);
});
for (const shelf of document.querySelectorAll(".count-shelf")) fill(shelf);
