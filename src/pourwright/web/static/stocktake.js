// What is counted stands on its shelf, one beside the other.

import { make } from "./page.js";

const MOST = 40; // more is told by the figure

function fill(shelf) {
  const board = shelf.querySelector(".counted"), count = Math.min(Number(shelf.querySelector("input").value) || 0, MOST);
  while (board.children.length < count) board.append(make("i", { class: "added" }));
  [...board.children].forEach((one, n) => { one.hidden = n >= count; });
}

for (const moment of ["click", "input"]) document.addEventListener(moment, event => {
  const shelf = event.target.closest?.(".count-shelf");
  if (shelf) fill(shelf);
});
for (const shelf of document.querySelectorAll(".count-shelf")) fill(shelf);
