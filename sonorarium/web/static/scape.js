// The landscape: a click, or Enter, selects the bars of the stretch at that point; what is selected is outlined on it.
import { chosen, select } from "./bars.js";

const svgSpace = "http://www.w3.org/2000/svg";
const steps = 60;

function made(name, attributes, text = "") {
  const element = document.createElementNS(svgSpace, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.textContent = text;
  return element;
}

function begin(view) {
  if (view.dataset.ready) return;
  view.dataset.ready = "1";
  const image = view.querySelector("svg");
  const words = view.parentElement.querySelector("[data-scape-words]");
  const { columns, rows, pixel } = Object.fromEntries(Object.entries(image.dataset).map(([k, v]) => [k, Number(v)]));
  const [wide, high] = [columns * pixel, rows * pixel];
  const top = image.viewBox.baseVal.y; // only the lowest part may be shown
  const onsets = JSON.parse(view.dataset.onsets);
  const labels = JSON.parse(view.dataset.labels);
  const over = made("svg", { class: "over", viewBox: image.getAttribute("viewBox"), "aria-hidden": "true" });
  const outline = made("path", { class: "chosen" });
  const pointer = made("path", { class: "point" });
  over.append(outline, pointer);
  view.append(over);
  foot(over, labels, onsets, wide, high);
  let at = { middle: 0.5, length: (1 - top / high) / 4 };
  let asking = null;

  // The stretch from one share of the time to another: all that lies under its point is inside it.
  const triangle = (from, to) => `M${from * wide} ${high}L${((from + to) / 2) * wide} ${(1 - (to - from)) * high}L${to * wide} ${high}z`;
  const from = () => [Math.max(0, at.middle - at.length / 2), Math.min(1, at.middle + at.length / 2)];

  function outlined() {
    const bars = chosen();
    if (!bars) {
      outline.removeAttribute("d");
      return;
    }
    outline.setAttribute("d", triangle(onsets[bars.first], onsets[bars.last + 1]));
  }

  // A point inside the triangle: no stretch reaches beyond the piece.
  function inside(middle, length) {
    const held = Math.min(Math.max(middle, 0), 1);
    return { middle: held, length: Math.min(Math.max(length, 0.002), 2 * Math.min(held, 1 - held) || 0.002) };
  }

  async function tell() {
    pointer.setAttribute("d", triangle(...from()));
    asking?.abort();
    asking = new AbortController();
    try {
      const asked = new URLSearchParams({ piece: view.dataset.piece, middle: at.middle, length: at.length });
      const answer = await fetch(`/score/at?${asked}`, { headers: { Accept: "application/json" }, signal: asking.signal });
      if (!answer.ok) return null;
      const told = await answer.json();
      words.textContent = told.sentence;
      return told;
    } catch (error) {
      if (error.name !== "AbortError") throw error;
      return null;
    }
  }

  async function take() {
    const told = await tell();
    if (told) select(told.first, told.last, { show: true });
  }

  function pointAt(event) {
    const box = image.getBoundingClientRect();
    const scale = wide / box.width;
    const [x, y] = [(event.clientX - box.left) * scale, (event.clientY - box.top) * scale + top];
    if (y > high || x < 0 || x > wide) return false;
    at = inside(x / wide, 1 - y / high);
    return true;
  }

  view.addEventListener("click", (event) => { if (pointAt(event)) take(); });
  let waiting = 0;
  view.addEventListener("pointermove", (event) => {
    if (event.pointerType !== "mouse" || !pointAt(event)) return;
    pointer.setAttribute("d", triangle(...from()));
    window.clearTimeout(waiting);
    waiting = window.setTimeout(tell, 120);
  });
  view.addEventListener("pointerleave", () => {
    window.clearTimeout(waiting);
    pointer.removeAttribute("d");
  });
  view.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const up = (1 - top / high) / steps;
    const moved = { ArrowLeft: [-1 / steps, 0], ArrowRight: [1 / steps, 0], ArrowUp: [0, up], ArrowDown: [0, -up] }[event.key];
    if (moved) {
      event.preventDefault();
      at = inside(at.middle + moved[0], at.length + moved[1]);
      tell();
    } else if (event.key === "Enter") {
      event.preventDefault();
      take();
    } else if (event.key === "h" && localStorage.getItem("single-keys") !== "off") {
      document.querySelector("[data-here] .hear")?.click();
    }
  });
  window.addEventListener("bars:chosen", () => { if (view.isConnected) outlined(); });
  outlined();
}

// Bar numbers along the foot, as many as there is room for.
function foot(over, labels, onsets, wide, high) {
  let free = 0;
  labels.forEach((label, bar) => {
    const x = onsets[bar] * wide;
    if (x < free || x > wide - 6 * label.length) return;
    over.append(made("path", { class: "tick", d: `M${x} ${high}v3` }), made("text", { x, y: high + 11 }, label));
    free = x + 26 + 6 * label.length;
  });
}

const look = () => document.querySelectorAll("[data-scape]").forEach(begin);
document.body.addEventListener("htmx:afterSettle", look);
look();
