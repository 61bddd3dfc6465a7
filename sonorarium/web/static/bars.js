// Bars that are selected: by click or key on a bar, by the two menus, by a link, by the landscape, by the address.
// The address is the state: every selection is a step back and forth in the history of the browser.
import { play } from "./player.js";

const home = document.querySelector("[data-score]");
const { piece, family } = home.dataset;
const lastBar = Number(home.dataset.lastBar);
const form = home.querySelector("[data-bars-form]");
const place = home.querySelector("[data-here-place]");
const empty = place.dataset.empty;
const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
let anchor = null;
let wanted = null; // the bar whose number gets the focus as soon as it is there
let aimed = null; // the bar that was scrolled to last, and how long it stays aimed at
let now = read();

function read() {
  const asked = new URLSearchParams(window.location.search);
  if (!asked.has("first") && !asked.has("last")) return null;
  const first = Number(asked.get("first") ?? asked.get("last"));
  return { first, last: Number(asked.get("last") ?? first) };
}

export const chosen = () => now;

export function query(bars, more = {}) {
  const asked = new URLSearchParams({ piece, first: bars.first, last: bars.last, ...more });
  return asked.toString();
}

// Select bars, and say so in the address; `show` scrolls to them.
export function select(first, last, { show = false } = {}) {
  const bars = { first: Math.max(0, Math.min(first, last)), last: Math.min(lastBar, Math.max(first, last)) };
  if (now && bars.first === now.first && bars.last === now.last) {
    if (show) reveal(now.first);
    return;
  }
  now = bars;
  const asked = new URLSearchParams(window.location.search);
  asked.set("first", now.first);
  asked.set("last", now.last);
  window.history.pushState(null, "", `${window.location.pathname}?${asked}`);
  apply();
  ask();
  if (show) reveal(now.first);
}

function pick(bar, extend) {
  if (extend && anchor !== null) {
    select(anchor, bar);
    return;
  }
  anchor = bar;
  select(bar, bar);
}

// The readings of the bars that are selected.
function ask() {
  if (!now) {
    place.replaceChildren(Object.assign(document.createElement("p"), { className: "dim", textContent: empty }));
    return;
  }
  const more = family ? { family } : {};
  window.htmx.ajax("GET", `/score/here?${query(now, more)}`, { target: place, swap: "innerHTML" });
}

const holds = (bar) => now !== null && bar >= now.first && bar <= now.last;
const buttonOf = (bar) => home.querySelector(`[data-bar-button="${bar}"]`);

// Show the selection wherever it can be seen.
function apply() {
  for (const field of home.querySelectorAll("[data-bar-field]")) {
    field.classList.toggle("chosen", holds(Number(field.dataset.barField)));
  }
  for (const button of home.querySelectorAll("[data-bar-button]")) {
    button.setAttribute("aria-pressed", String(holds(Number(button.dataset.barButton))));
    button.setAttribute("tabindex", "-1");
  }
  (buttonOf(now?.first ?? 0) ?? home.querySelector("[data-bar-button]"))?.setAttribute("tabindex", "0");
  for (const kept of home.querySelectorAll("[data-kept]")) {
    kept.disabled = !now;
    kept.value = now ? String(now[kept.dataset.kept]) : "";
  }
  if (now) {
    form.elements.first.value = String(now.first);
    form.elements.last.value = String(now.last);
    anchor ??= now.first;
  }
  window.dispatchEvent(new CustomEvent("bars:chosen", { detail: now }));
}

// Scroll to a bar. Where its section is not there yet it is jumped to, and aimed at anew as it and those around it
// come and move each other; whoever scrolls away meanwhile is left in peace.
export function reveal(bar) {
  const field = home.querySelector(`[data-bar-field="${bar}"]`);
  const sections = [...home.querySelectorAll("[data-section]")];
  const there = field?.closest(".system") ?? field ?? sections.find((one) => Number(one.dataset.last) >= bar);
  if (!there) return;
  aimed = { bar, until: performance.now() + 2500 };
  const box = there.getBoundingClientRect();
  const bottom = window.innerHeight - 110;
  const far = !field || calm.matches || Math.abs(box.top) > 2 * window.innerHeight;
  if (box.top < 0 || box.bottom > bottom) {
    const block = !field || box.height > bottom ? "start" : "center";
    there.scrollIntoView({ block, behavior: far ? "instant" : "smooth" });
  }
  if (!field) return;
  const seen = there.getBoundingClientRect();
  const at = field.getBoundingClientRect();
  if (at.left < seen.left || at.right > seen.right) {
    there.scrollBy({ left: at.left - seen.left - 20, behavior: far ? "instant" : "smooth" });
  }
}
for (const kind of ["wheel", "touchmove", "keydown"]) {
  window.addEventListener(kind, () => { aimed = null; }, { passive: true, capture: true });
}

function focus(bar) {
  const button = buttonOf(bar);
  wanted = button ? null : bar;
  if (!button) {
    reveal(bar);
    return;
  }
  home.querySelector("[data-bar-button][tabindex='0']")?.setAttribute("tabindex", "-1");
  button.setAttribute("tabindex", "0");
  button.focus();
}

// h hears the bars that are selected, or the bar that has the focus; k keeps the set of those selected.
function act(key, bar) {
  if (key === "k") place.querySelector("[data-keep]")?.click();
  else if (holds(bar)) place.querySelector(".hear")?.click();
  else play(`/sound/bars?${query({ first: bar, last: bar })}`, home.dataset.title);
}

home.addEventListener("click", (event) => {
  const bar = event.target.closest("[data-bar-field], [data-bar-button]");
  if (bar) {
    pick(Number(bar.dataset.barField ?? bar.dataset.barButton), event.shiftKey);
    return;
  }
  const link = event.target.closest("[data-select-first]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  anchor = Number(link.dataset.selectFirst);
  select(anchor, Number(link.dataset.selectLast), { show: true });
});
// Drawing the mouse over several bars selects them.
let down = null;
home.addEventListener("pointerdown", (event) => {
  down = event.pointerType === "mouse" ? event.target.closest("[data-bar-field]") : null;
});
home.addEventListener("pointerup", (event) => {
  const up = event.target.closest("[data-bar-field]");
  if (!down || !up || up === down || event.shiftKey) return;
  anchor = Number(down.dataset.barField);
  select(anchor, Number(up.dataset.barField));
});
home.addEventListener("keydown", (event) => {
  const button = event.target.closest("[data-bar-button]");
  if (!button || event.ctrlKey || event.metaKey || event.altKey) return;
  const bar = Number(button.dataset.barButton);
  const to = { ArrowLeft: bar - 1, ArrowRight: bar + 1, Home: 0, End: lastBar }[event.key];
  if (to !== undefined) {
    event.preventDefault();
    focus(Math.max(0, Math.min(to, lastBar)));
  } else if (event.key === "Enter" || event.key === " ") {
    event.preventDefault();
    pick(bar, event.shiftKey);
  } else if ((event.key === "h" || event.key === "k") && localStorage.getItem("single-keys") !== "off") {
    event.preventDefault();
    act(event.key, bar);
  }
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  anchor = Number(form.elements.first.value);
  select(anchor, Number(form.elements.last.value), { show: true });
});
window.addEventListener("popstate", () => {
  now = read();
  anchor = now?.first ?? null;
  apply();
  ask();
});
document.body.addEventListener("htmx:afterSettle", (event) => {
  if (!event.target.closest?.("[data-section]")) return;
  apply();
  if (wanted !== null && buttonOf(wanted)) focus(wanted);
  if (aimed && performance.now() < aimed.until) reveal(aimed.bar);
});
apply();
if (now) reveal(now.first);
