// What is counted stands on its shelf, one beside the other; an answer goes once it is asked otherwise.

import { make } from "./page.js";

const MOST = 40; // more is told by the figure

function fill(shelf) {
  const board = shelf.querySelector(".counted"), count = Math.min(Number(shelf.querySelector("input").value) || 0, MOST);
  while (board.children.length < count) board.append(make("i", { class: "added" }));
  [...board.children].forEach((one, n) => { one.hidden = n >= count; });
}

const answer = document.querySelector(".stock .glance"), sentence = answer?.querySelector(".sentence"), answered = sentence?.textContent;

/** Whether a form asks what it was not answered to. */
const isAnother = form => [...form.elements].some(one => one.matches("input") && one.value !== one.defaultValue);

for (const moment of ["click", "input"]) document.addEventListener(moment, event => {
  const shelf = event.target.closest?.(".count-shelf");
  if (shelf) fill(shelf);
  if (!answer) return;
  const isOld = isAnother(answer.closest("form"));
  answer.classList.toggle("is-old", isOld);
  sentence.textContent = isOld ? "What then?" : answered;
});
for (const shelf of document.querySelectorAll(".count-shelf")) fill(shelf);
