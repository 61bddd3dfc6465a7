// The keyboard on the desk: keys are struck by pointer, arrows and Enter, computer keys or an instrument (midi.js).
// What is held together is one chord; keys struck on the screen stay down until they are lifted. Each chord is heard,
// and described by the server, at once.
import { typing } from "./keys.js";
import { play } from "./player.js";
import { say } from "./said.js";

const WAIT_MS = 70;
const NAMES = ["C", "C♯", "D", "E♭", "E", "F", "F♯", "G", "G♯", "A", "B♭", "B"];
const LOWEST_SHIFT = -3;
const HIGHEST_SHIFT = 3;
// Places of keys, not letters: two rows of a piano each, whatever the layout of the computer's keyboard.
const LOWER = ["KeyZ", "KeyS", "KeyX", "KeyD", "KeyC", "KeyV", "KeyG", "KeyB", "KeyH", "KeyN", "KeyJ", "KeyM", "Comma", "KeyL", "Period", "Semicolon", "Slash"];
const UPPER = ["KeyQ", "Digit2", "KeyW", "Digit3", "KeyE", "KeyR", "Digit5", "KeyT", "Digit6", "KeyY", "Digit7", "KeyU", "KeyI", "Digit9", "KeyO", "Digit0", "KeyP"];
const STEPS = new Map([...LOWER.map((code, step) => [code, step]), ...UPPER.map((code, step) => [code, step + 12])]);

const desk = document.querySelector("[data-keyboard]");
const board = desk.querySelector("[data-keys-of-keyboard]");
const keys = [...board.querySelectorAll("[data-pitch]")];
const place = desk.querySelector("[data-played]");
const none = desk.querySelector("[data-none]");
const told = desk.querySelector("[data-chord-told]");
const sounds = desk.querySelector("[data-sounds]");
const computer = desk.querySelector("[data-computer-keys]");
const chord = new Set(desk.dataset.chord.split(" ").filter(Boolean).map(Number));
const held = new Set(); // what is down on an instrument or the computer's keyboard: "where:pitch"
let octaves = 0;
let waiting = 0;
let asking = null;

const pitchOf = (key) => Number(key.dataset.pitch) + 12 * octaves;
const nameOf = (pitch) => `${NAMES[pitch % 12]}${Math.floor(pitch / 12) - 1}`;
const sounding = () => [...chord].sort((a, b) => a - b).join(" ");

function show() {
  for (const key of keys) {
    const pitch = pitchOf(key);
    key.setAttribute("aria-pressed", String(chord.has(pitch)));
    key.setAttribute("aria-label", nameOf(pitch).replace("♯", " sharp ").replace("♭", " flat "));
    key.textContent = pitch % 12 === 0 ? nameOf(pitch) : "";
  }
}

function changed() {
  show();
  window.clearTimeout(waiting);
  waiting = window.setTimeout(describe, WAIT_MS);
}

async function describe() {
  asking?.abort();
  const mine = new AbortController();
  asking = mine;
  const pitches = sounding();
  none.hidden = Boolean(pitches);
  window.history.replaceState(null, "", pitches ? `/?${new URLSearchParams({ pitches })}` : "/");
  if (!pitches) {
    place.replaceChildren();
    told.textContent = "";
    return;
  }
  if (sounds.checked) play(`/sound/pitches?${new URLSearchParams({ pitches })}`, [...chord].sort((a, b) => a - b).map(nameOf).join(" "));
  try {
    const answer = await fetch(`/played?${new URLSearchParams({ pitches })}`, { headers: { Accept: "text/html" }, signal: mine.signal });
    const text = await answer.text();
    if (asking !== mine) return;
    if (!answer.ok) throw new Error(text);
    place.innerHTML = text;
    window.htmx.process(place);
    told.textContent = place.querySelector("[data-title]")?.dataset.title ?? "";
  } catch (error) {
    if (error.name !== "AbortError") say("The chord could not be described. Does the workbench still run?");
  }
}

// The keyboard on the screen moves by octaves to where the chord is, as far as it fits.
function follow() {
  const all = [...chord];
  const low = Number(keys[0].dataset.pitch);
  const high = Number(keys.at(-1).dataset.pitch);
  const fits = (by) => Math.min(...all) >= low + 12 * by && Math.max(...all) <= high + 12 * by;
  if (!all.length || fits(octaves)) return;
  const shifts = Array.from({ length: HIGHEST_SHIFT - LOWEST_SHIFT + 1 }, (_, at) => LOWEST_SHIFT + at).filter(fits);
  octaves = shifts.sort((a, b) => Math.abs(a - octaves) - Math.abs(b - octaves))[0] ?? octaves;
}

// A key goes down on an instrument: after all were lifted a new chord begins.
export function noteOn(pitch, where) {
  if (!held.size) chord.clear();
  held.add(`${where}:${pitch}`);
  chord.add(pitch);
  follow();
  changed();
}

export function noteOff(pitch, where) {
  held.delete(`${where}:${pitch}`);
}

// Whatever an instrument holds is lifted, say because it was unplugged.
export function lift(where) {
  for (const one of held) if (one.startsWith(`${where}:`)) held.delete(one);
}

function toggle(key) {
  const pitch = pitchOf(key);
  if (!chord.delete(pitch)) chord.add(pitch);
  changed();
}

function reach(key) {
  for (const one of keys) one.tabIndex = one === key ? 0 : -1;
}

function go(from, by) {
  const at = Math.min(Math.max(keys.indexOf(from) + by, 0), keys.length - 1);
  reach(keys[at]);
  keys[at].focus();
}

board.addEventListener("click", (event) => {
  const key = event.target.closest("[data-pitch]");
  if (!key) return;
  reach(key);
  toggle(key);
});
board.addEventListener("keydown", (event) => {
  const key = event.target.closest("[data-pitch]");
  const by = { ArrowRight: 1, ArrowLeft: -1, ArrowUp: 12, ArrowDown: -12, Home: -keys.length, End: keys.length }[event.key];
  if (!key || !by || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  go(key, by);
});

for (const button of desk.querySelectorAll("[data-octave]")) {
  button.addEventListener("click", () => {
    const wanted = octaves + Number(button.dataset.octave);
    if (wanted < LOWEST_SHIFT || wanted > HIGHEST_SHIFT) return say("The keyboard ends here.");
    octaves = wanted;
    show();
    say(`The keyboard runs from ${nameOf(pitchOf(keys[0]))} to ${nameOf(pitchOf(keys.at(-1)))}.`);
  });
}
desk.querySelector("[data-clear]").addEventListener("click", () => {
  chord.clear();
  held.clear();
  changed();
});

// The computer's keyboard, only while it is asked to play, and never where somebody types.
const down = new Map();
computer.addEventListener("change", () => {
  desk.querySelector("[data-computer-told]").hidden = !computer.checked;
  if (!computer.checked) letGo();
});
function letGo() {
  down.clear();
  lift("computer");
}
window.addEventListener("keydown", (event) => {
  if (!computer.checked || event.ctrlKey || event.metaKey || event.altKey || typing(event.target)) return;
  const step = STEPS.get(event.code);
  if (step === undefined || document.querySelector("dialog[open]")) return;
  event.preventDefault(); // before the single keys of the workbench hear of it
  if (event.repeat || down.has(event.code)) return;
  const pitch = pitchOf(keys[0]) + step;
  down.set(event.code, pitch);
  noteOn(pitch, "computer");
}, { capture: true });
window.addEventListener("keyup", (event) => {
  if (!down.has(event.code)) return;
  noteOff(down.get(event.code), "computer");
  down.delete(event.code);
});
window.addEventListener("blur", letGo);

sounds.checked = localStorage.getItem("keyboard-sound") !== "off";
sounds.addEventListener("change", () => localStorage.setItem("keyboard-sound", sounds.checked ? "on" : "off"));
reach(keys[12]);
follow();
show();
