// A MIDI instrument: asked for only when its button is pressed; its keys enter chords on the desk's keyboard.
import { lift, noteOff, noteOn } from "./keyboard.js";
import { say } from "./said.js";

const NOTE_OFF = 0x80;
const NOTE_ON = 0x90;
const CONTROL = 0xb0;
const ALL_SOUND_OFF = 120;
const ALL_NOTES_OFF = 123;

const button = document.querySelector("[data-midi]");
const told = document.querySelector("[data-midi-told]");
const listened = new Map(); // inputs by id, while they are there
let access = null;

function tell(sentence) {
  told.hidden = false;
  told.textContent = sentence;
}

function hear(input, event) {
  const [status, first, second] = event.data;
  const kind = status & 0xf0;
  if (kind === NOTE_ON && second > 0) noteOn(first, input.id);
  else if (kind === NOTE_OFF || kind === NOTE_ON) noteOff(first, input.id);
  else if (kind === CONTROL && (first === ALL_SOUND_OFF || first === ALL_NOTES_OFF)) lift(input.id);
}

// Every instrument that is there is listened to; of one that went away it is said.
function look() {
  const there = new Map([...access.inputs.values()].filter((input) => input.state !== "disconnected").map((input) => [input.id, input]));
  for (const [id, input] of listened) {
    if (there.has(id)) continue;
    listened.delete(id);
    input.onmidimessage = null;
    lift(id);
    say(`${input.name} is no longer connected.`);
  }
  for (const [id, input] of there) {
    if (listened.has(id)) continue;
    listened.set(id, input);
    input.onmidimessage = (event) => hear(input, event);
  }
  const names = [...listened.values()].map((input) => input.name || "an instrument without a name");
  tell(names.length ? `Listening to ${names.join(", ")}.` : "No MIDI instrument is connected. Plug one in; it is noticed at once.");
}

button.addEventListener("click", async () => {
  if (!navigator.requestMIDIAccess) return tell("This browser cannot listen to MIDI instruments; the keys on the screen and the computer keys play too.");
  if (access) return look();
  button.disabled = true;
  try {
    access = await navigator.requestMIDIAccess();
    access.onstatechange = look;
    look();
  } catch {
    tell("The browser was not allowed to listen to MIDI instruments. That can be changed in its settings for this page.");
  }
  button.disabled = false;
});
