// A mark that follows the sound: whatever bars of this piece are played, the heads that sound now and their bar are
// marked, and the line of music that has them is scrolled to. Times come from the server, which plays from the same.
import { element, time } from "./player.js";
import { chosen, query, reveal } from "./bars.js";

const home = document.querySelector("[data-score]");
const tempo = home.querySelector("[data-tempo]");
const fromChosen = home.querySelector("[data-play-chosen]");
const whole = home.querySelector("[data-play-whole]");
const lastBar = Number(home.dataset.lastBar);
let times = null;
let shown = [];
let barNow = -1;
let going = 0;

// The buttons play what is selected, at the tempo that is asked for.
function aim() {
  const quarters = Number(tempo.value);
  const at = quarters >= 20 && quarters <= 300 ? { tempo: quarters } : {};
  whole.dataset.hear = `/sound/bars?${query({ first: 0, last: lastBar }, at)}`;
  const bars = chosen();
  fromChosen.disabled = !bars;
  if (bars) fromChosen.dataset.hear = `/sound/bars?${query({ first: bars.first, last: lastBar }, at)}`;
}
tempo.addEventListener("input", aim);
window.addEventListener("bars:chosen", aim);
aim();

function clear() {
  for (const head of shown) head.classList.remove("now");
  for (const bar of home.querySelectorAll(".bar-field.sounding")) bar.classList.remove("sounding");
  shown = [];
  barNow = -1;
}

function sounding(seconds) {
  const heads = [];
  for (const note of times.notes) {
    if (note.begin > seconds) break;
    if (seconds < note.end) heads.push(...note.heads);
  }
  return heads;
}

function mark() {
  const seconds = time();
  const heads = sounding(seconds).flatMap((n) => [...home.querySelectorAll(`[data-note="${n}"]`)]);
  const next = new Set(heads);
  for (const head of shown) if (!next.has(head)) head.classList.remove("now");
  for (const head of next) head.classList.add("now");
  shown = [...next];
  const bar = times.bars.findLast((one) => one.begin <= seconds + 0.001)?.bar ?? -1;
  if (bar === barNow && home.querySelector(".bar-field.sounding")) return;
  const isNew = bar !== barNow;
  barNow = bar;
  for (const field of home.querySelectorAll(".bar-field.sounding")) field.classList.remove("sounding");
  home.querySelector(`[data-bar-field="${bar}"]`)?.classList.add("sounding");
  if (isNew && bar >= 0) reveal(bar);
}

function step() {
  if (!times) return;
  if (!element.paused) mark();
  going = window.requestAnimationFrame(step);
}

function end() {
  times = null;
  window.cancelAnimationFrame(going);
  clear();
}

window.addEventListener("sound:begins", async (event) => {
  end();
  const address = new URL(event.detail.url, window.location.href);
  if (address.pathname !== "/sound/bars" || address.searchParams.get("piece") !== home.dataset.piece) return;
  const answer = await fetch(`/score/times${address.search}`, { headers: { Accept: "application/json" } });
  if (!answer.ok || !element.src.endsWith(address.search)) return;
  times = await answer.json();
  step();
});
element.addEventListener("pause", end);
element.addEventListener("ended", end);
