// Playing a piece, and a mark that follows the sound: whatever bars of this piece are played, the heads that sound now
// and their bar are marked, and the line of music that has them is scrolled to. A piece is played clip by clip, so that
// it is heard at once; clips and times come from the server, which plays from the same tables.
import { element, isPlaying, play, stop, time } from "./player.js";
import { say, wrongs } from "./said.js";
import { chosen, query, reveal } from "./bars.js";

const home = document.querySelector("[data-score]");
const tempo = home.querySelector("[data-tempo]");
const fromChosen = home.querySelector("[data-play-from=chosen]");
let plan = null; // what is played clip by clip: its turns, which is heard, and whether one is about to begin
let times = null;
let shown = [];
let barNow = -1;

function tempoNow() {
  const quarters = Number(tempo.value);
  return quarters >= 20 && quarters <= 300 ? { tempo: quarters } : {};
}

async function told(address) {
  const answer = await fetch(address, { headers: { Accept: "application/json" } });
  const facts = await answer.json();
  if (answer.ok) return facts;
  say(wrongs(facts));
  return null;
}

async function begin(button) {
  const lastBar = Number(home.dataset.lastBar);
  const bars = { whole: { first: 0, last: lastBar }, chosen: { ...chosen(), last: lastBar }, these: chosen() };
  const more = tempoNow();
  const facts = await told(`/score/turns?${query(bars[button.dataset.playFrom], more)}`);
  if (!facts) return;
  if (!facts.turns.length) {
    say("Nothing sounds in these bars.");
    return;
  }
  plan = { turns: facts.turns.map((turn) => ({ ...turn, url: `/sound/bars?${query(turn, more)}` })), at: -1, button };
  advance();
}

// The next clip; the one after it is made meanwhile.
function advance() {
  plan.at += 1;
  const turn = plan.turns[plan.at];
  if (!turn) {
    plan = null;
    return;
  }
  plan.switching = true;
  play(turn.url, home.dataset.title, plan.button);
}

function advanceInTime() {
  if (!plan || plan.switching || !times || plan.at + 1 >= plan.turns.length) return;
  if (time() >= times.bars[0].begin + plan.turns[plan.at].seconds) advance();
}

home.addEventListener("click", (event) => {
  const button = event.target.closest("[data-play-from]");
  if (!button) return;
  if (button.getAttribute("aria-pressed") === "true" && isPlaying()) stop();
  else begin(button);
});
window.addEventListener("bars:chosen", () => {
  fromChosen.disabled = !chosen();
});

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
  const next = new Set(sounding(seconds).flatMap((n) => [...home.querySelectorAll(`[data-note="${n}"]`)]));
  for (const head of shown) if (!next.has(head)) head.classList.remove("now");
  for (const head of next) head.classList.add("now");
  shown = [...next];
  const bar = times.bars.findLast((one) => one.begin <= seconds + 0.001)?.bar ?? -1;
  if (bar === barNow && home.querySelector(".bar-field.sounding")) return;
  const isNew = bar !== barNow;
  barNow = bar;
  for (const field of home.querySelectorAll(".bar-field.sounding")) field.classList.remove("sounding");
  home.querySelector(`[data-bar-field="${bar}"]`)?.classList.add("sounding");
  if (isNew && bar >= 0 && !elsewhere) reveal(bar); // who has scrolled away is left there
}

function step(of) {
  if (times !== of) return;
  if (!element.paused) mark();
  advanceInTime();
  window.requestAnimationFrame(() => step(of));
}

// A reader who scrolls while the piece plays is not pulled back to the mark; the next play follows it again.
let elsewhere = false;
for (const kind of ["wheel", "touchmove"]) window.addEventListener(kind, () => { elsewhere = true; }, { passive: true });
document.addEventListener("keydown", (event) => {
  if (["PageUp", "PageDown", "Home", "End"].includes(event.key)) elsewhere = true;
});

window.addEventListener("sound:begins", async (event) => {
  if (!plan?.switching) elsewhere = false;
  times = null;
  clear();
  const { url } = event.detail;
  if (plan?.turns[plan.at]?.url !== url) plan = null;
  const address = new URL(url, window.location.href);
  if (address.pathname !== "/sound/bars" || address.searchParams.get("piece") !== home.dataset.piece) return;
  const answer = await told(`/score/times${address.search}`);
  if (!answer || !element.src.endsWith(address.search)) return;
  times = answer;
  step(times);
});
element.addEventListener("playing", () => {
  if (!plan) return;
  plan.switching = false;
  const next = plan.turns[plan.at + 1];
  if (next) fetch(next.url);
});
element.addEventListener("timeupdate", advanceInTime); // where no frames are drawn, as behind another window
element.addEventListener("pause", () => {
  if (plan?.switching || (plan && element.ended)) return;
  plan = null;
  times = null;
  clear();
});
element.addEventListener("ended", () => {
  if (plan && !plan.switching) advance();
});
