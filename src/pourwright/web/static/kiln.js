// Ware piece by piece: a foot is pressed, then its cause. The lists behind the feet hold what is sent.

const form = document.querySelector("[data-load]");
const panel = form.querySelector("[data-causes]");
const title = document.getElementById("happened-title");
const own = document.getElementById("own-cause");
const lists = [...form.querySelectorAll(".kiln-shelf select")];
let of = null; // the list whose foot is pressed

const nameOf = list => list.getAttribute("aria-label").split(",")[0];

/** Show what is chosen on the feet, in the panel and on the button. */
function show() {
  for (const list of lists) {
    const press = list.parentElement.querySelector(".foot-press");
    press.setAttribute("aria-label", `${nameOf(list)}, ${list.value || "good"}`);
    press.setAttribute("aria-expanded", String(list === of));
    press.textContent = list.value || "good";
  }
  panel.hidden = of === null;
  if (of) {
    title.textContent = `${nameOf(of)}: what happened?`;
    for (const tile of panel.querySelectorAll(".cause-tile")) tile.setAttribute("aria-pressed", String(tile.dataset.cause === of.value));
  }
  const lost = lists.filter(list => list.value).length, good = lists.length - lost;
  form.querySelector("[data-count]").textContent = lost ? `${good} good, ${lost} lost` : `all ${good} good`;
}

/** Say what became of the piece that is pressed; a cause of its own is there for the next ones too. */
function say(cause) {
  for (const list of lists) {
    if (cause && ![...list.options].some(one => one.value === cause)) list.add(new Option(cause, cause));
  }
  of.value = cause;
  const press = of.parentElement.querySelector(".foot-press");
  of = null;
  show();
  press.focus();
}

for (const list of lists) {
  const press = document.createElement("button");
  press.type = "button";
  press.className = "foot-press";
  press.addEventListener("click", () => {
    of = of === list ? null : list;
    show();
    if (of) panel.scrollIntoView({ block: "nearest" });
  });
  list.hidden = true;
  list.after(press);
}
panel.addEventListener("click", event => {
  const cause = event.target.closest("[data-cause]")?.dataset.cause;
  if (cause !== undefined) say(cause);
  else if (event.target.closest("[data-own]") && own.value.trim()) say(own.value.trim().toLowerCase());
});
own.addEventListener("keydown", event => {
  if (event.key !== "Enter") return;
  event.preventDefault();
  if (own.value.trim()) say(own.value.trim().toLowerCase());
});
show();

// Cones are pressed until they stand as they were seen; what is typed beside them stays.

const cones = form.querySelector("[data-cones]"), seen = document.getElementById("f-cones");
const STATES = ["down", "soft", "stands", undefined];

function sayCone(cone, state) {
  if (state) cone.dataset.state = state;
  else delete cone.dataset.state;
  cone.querySelector("[data-stands]").textContent = state ?? "not seen";
}

cones?.addEventListener("click", event => {
  const cone = event.target.closest("[data-cone]");
  if (!cone) return;
  sayCone(cone, STATES[(STATES.indexOf(cone.dataset.state) + 1) % STATES.length]);
  const mine = [...cones.querySelectorAll("[data-cone]")];
  const others = seen.value.split(",").map(one => one.trim())
    .filter(one => one && !mine.some(each => one.startsWith(`${each.dataset.cone} `)));
  const told = mine.filter(one => one.dataset.state).map(one => `${one.dataset.cone} ${one.dataset.state}`);
  seen.value = [...told, ...others].join(", ");
});

if (cones) {
  cones.hidden = false;
  for (const part of seen.value.split(",")) { // of a form that was refused
    const [name, state] = part.trim().split(" ");
    const cone = [...cones.querySelectorAll("[data-cone]")].find(one => one.dataset.cone === name);
    if (cone && STATES.includes(state)) sayCone(cone, state);
  }
}
