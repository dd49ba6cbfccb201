// Small helpers: elements made without markup, and a page's part fetched anew.

const policy = globalThis.trustedTypes?.createPolicy("studio", {
  // only ever given pages of this studio, which its templates have escaped
  createHTML: text => text,
});

/** Make an element: make("p", {class: "note"}, "words", other) */
export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") element.addEventListener(name, value);
    else if (value !== false && value != null) element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children);
  return element;
}

/** A text whose labels do not break at their hyphens, to be put into an element. */
export function whole(text) {
  return text.split(/\b([A-Z]-[0-9]{3,}|[0-9]+-[0-9]+)\b/).map((part, n) => (n % 2 ? make("span", { class: "whole" }, part) : part));
}

/** Fetch this page again; null if it cannot be had. */
export async function fetchPage(address = location.href, longestMs = 10000) {
  const answer = await fetch(address, { cache: "no-store", signal: AbortSignal.timeout(longestMs) });
  // a form that was refused lies at an address below its page's, which leads to the page
  if (!answer.ok || (answer.redirected && !new URL(address, location.href).href.startsWith(answer.url))) return null;
  const text = await answer.text();
  return new DOMParser().parseFromString(policy ? policy.createHTML(text) : text, "text/html");
}

/** What lies open over the page; it would close under the thumb if its part were exchanged. */
export function openSheets() {
  return CSS.supports("selector(:popover-open)") ? [...document.querySelectorAll(":popover-open")] : [];
}

/** Whether somebody is writing in a part, has just sent a form of it or is to mend one, so that it stays. */
function isBusy(main) {
  const active = document.activeElement; // a foot that is chosen, by its data-key, its tray keeps chosen
  const isTyping = main.contains(active) && active.matches("input:not([type=hidden], [type=checkbox]), textarea, select");
  const isDirty = [...main.querySelectorAll("input:not([type=hidden], [data-key]), textarea")].some(field =>
    field.type === "checkbox" || field.type === "radio"
      ? field.checked !== field.defaultChecked
      : field.value !== field.defaultValue);
  // a browser that finds the form gone by the time it sends it drops it without a word
  const isSent = main.querySelector("form[data-sent]") !== null;
  const isRefused = main.querySelector("#faults, [aria-invalid]") !== null;
  const isPressed = main.matches(":active"); // a thumb that lifts off a new button has pressed none
  return isTyping || isDirty || isSent || isRefused || isPressed || openSheets().some(sheet => main.contains(sheet));
}

const isOld = "[data-live][data-old]";

/** Have every living part be exchanged: something is newer than what it shows. */
export function outdate() {
  for (const part of document.querySelectorAll("[data-live]")) part.dataset.old = "";
}

/** Whether a living part waits to be exchanged. */
export const isBehind = () => document.querySelector(isOld) !== null;

/** Exchange every outdated part for what the server shows now; one that somebody is at waits. False if nothing was. */
export async function refresh() {
  const parts = [...document.querySelectorAll(isOld)].filter(part => !isBusy(part));
  if (parts.length === 0) return false;
  for (const part of parts) delete part.dataset.old; // what comes from now on outdates it once more
  const fresh = await fetchPage().catch(() => null);
  for (const part of parts) {
    if (!fresh || isBusy(part)) {
      part.dataset.old = "";
      continue;
    }
    const other = fresh.querySelector(`[data-live="${CSS.escape(part.dataset.live)}"]`);
    if (!other || other.innerHTML === part.dataset.was) continue;
    const opened = [...part.querySelectorAll("details[open][id]")].map(one => one.id);
    const focused = document.activeElement?.id;
    part.replaceChildren(...other.cloneNode(true).childNodes);
    part.dataset.was = other.innerHTML;
    for (const id of opened) document.getElementById(id)?.setAttribute("open", "");
    if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
  }
  if (fresh) document.dispatchEvent(new CustomEvent("studio:refreshed"));
  return fresh !== null;
}
