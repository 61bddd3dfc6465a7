// Keys: "/" to the field, h and k for what has the focus, g and a letter to go, "?" for the list.
// Single keys can be switched off in the list, and never act while somebody types.
const list = document.getElementById("keys");
const onOff = list.querySelector("[data-single-keys]");
const ways = { d: "/", s: "/shelf", b: "/beside", f: "/find", c: "/score", k: "/sketch", l: "/lesson", p: "/keepings" };
let going = 0;

onOff.checked = localStorage.getItem("single-keys") !== "off";
onOff.addEventListener("change", () => localStorage.setItem("single-keys", onOff.checked ? "on" : "off"));
document.querySelector("[data-keys]").addEventListener("click", () => list.showModal());

export function typing(target) {
  return target.matches?.("input:not([type=checkbox]):not([type=radio]):not([type=range]), textarea, select, [contenteditable]");
}

// The button of the thing that has the focus, or of the specimen around it.
function nearest(selector) {
  const here = document.activeElement;
  return here?.matches(selector) ? here : here?.closest("[data-specimen]")?.querySelector(selector);
}

document.addEventListener("keydown", (event) => {
  if (!onOff.checked || event.ctrlKey || event.metaKey || event.altKey || typing(event.target) || list.open) return;
  if (event.defaultPrevented || document.activeElement?.closest("[data-own-keys]")) return;
  if (performance.now() < going && ways[event.key]) {
    window.location.assign(ways[event.key]);
    return;
  }
  going = event.key === "g" ? performance.now() + 1500 : 0;
  const act = {
    "/": () => document.querySelector("[data-field] input:not([type=hidden])")?.select(),
    "?": () => list.showModal(),
    h: () => nearest("[data-hear]")?.click(),
    k: () => nearest("[data-keep]")?.click(),
  }[event.key];
  if (act) {
    event.preventDefault();
    act();
  }
});

// The spine shows where the reader is.
const marks = new Map();
for (const link of document.querySelectorAll(".spine a[href^='#']")) {
  const section = document.getElementById(link.hash.slice(1));
  if (section) marks.set(section, link);
}
if (marks.size) {
  const watch = () => {
    let here = null;
    for (const section of marks.keys()) if (!here || section.getBoundingClientRect().top < 160) here = section;
    for (const [section, link] of marks) link.toggleAttribute("aria-current", section === here);
  };
  document.addEventListener("scroll", watch, { passive: true });
  watch();
}
