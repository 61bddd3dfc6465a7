// Checks answers in the page. Nothing is sent or stored: the counts live as long as the page is open.
const NATURAL = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const ALTER = { b: -1, "♭": -1, "𝄫": -2, "#": 1, "♯": 1, x: 2, "𝄪": 2, "♮": 0 };
const NOTE = /^([A-Ga-g])([b♭𝄫#♯x𝄪♮]*)(-?\d)?$/u;
const forms = Array.from(document.querySelectorAll("form.exercise"));
const firstTries = new Map();

function readNote(text) {
  const found = NOTE.exec(text);
  if (!found) return null;
  const letter = found[1].toUpperCase();
  const alter = Array.from(found[2]).reduce((sum, sign) => sum + ALTER[sign], 0);
  const height = NATURAL[letter] + alter;
  return {
    name: letter + alter,
    "pitch class": ((height % 12) + 12) % 12,
    pitch: found[3] === undefined ? null : height + 12 * (Number(found[3]) + 1),
  };
}

const words = (text) => text.split(/[\s,;]+/u).filter(Boolean);
const listed = (items) => (items.length < 2 ? items.join("") : items.slice(0, -1).join(", ") + " and " + items.at(-1));

// What is wrong with typed notes: "" for nothing, and whether they could be judged at all.
function judgeNotes(form, typed) {
  const wanted = words(form.dataset.notes).map(readNote);
  const given = words(typed);
  const by = form.dataset.by;
  if (!given.length) return { judged: false, wrong: "Write the notes first." };
  const strange = given.find((text) => !readNote(text));
  if (strange) return { judged: false, wrong: `“${strange}” is not a note name.` };
  const read = given.map(readNote);
  if (by === "pitch" && read.some((note) => note.pitch === null)) {
    return { judged: false, wrong: "Give each note its octave: middle C is C4." };
  }
  if (read.length !== wanted.length) return { judged: false, wrong: `${wanted.length} notes are wanted, ${read.length} are here.` };
  const off = wanted.flatMap((note, at) => (note[by] === read[at][by] ? [] : [at + 1]));
  if (!off.length) return { judged: true, wrong: "" };
  return { judged: true, wrong: `Not right yet: ${off.length > 1 ? "notes" : "note"} ${listed(off)}.` };
}

function judgeChoice(form) {
  const chosen = form.querySelector("input:checked");
  if (!chosen) return { judged: false, wrong: "Choose an answer first." };
  if (chosen.value === form.dataset.answer) return { judged: true, wrong: "" };
  explain(chosen.closest(".choice"), false);
  return { judged: true, wrong: `Not right: ${chosen.value}.` };
}

function explain(choice, right) {
  choice.querySelector(".sign").textContent = right ? "✓" : "✗";
  choice.querySelector(".said").textContent = right ? "Right:" : "Not right:";
  choice.querySelector(".why").hidden = false;
}

function openKey(form, open) {
  form.querySelector(".key").hidden = !open;
  const button = form.querySelector(".actions .quiet");
  button.setAttribute("aria-expanded", String(open));
  button.textContent = open ? "Hide the answer" : "Show the answer";
  if (!open) return;
  form.querySelectorAll(".choice").forEach((choice) => {
    explain(choice, choice.querySelector("input").value === form.dataset.answer);
    choice.querySelector(".compare")?.removeAttribute("hidden");
  });
}

function count(form, right) {
  if (!firstTries.has(form)) firstTries.set(form, right);
  const good = Array.from(firstTries.values()).filter(Boolean).length;
  document.getElementById("tally").textContent =
    `${firstTries.size} of ${forms.length} answered, ${good} of them right at the first try.`;
}

function check(form) {
  const typed = form.querySelector("input[type=text]");
  const { judged, wrong } = typed ? judgeNotes(form, typed.value) : judgeChoice(form);
  const verdict = form.querySelector(".verdict");
  verdict.textContent = wrong ? (judged ? "✗ " : "") + wrong : "✓ Right.";
  typed?.setAttribute("aria-invalid", String(Boolean(wrong)));
  if (!judged) return;
  count(form, !wrong);
  if (!wrong) openKey(form, true);
}

for (const form of forms) {
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    check(form);
  });
  form.querySelector(".actions .quiet").addEventListener("click", () => {
    const open = form.querySelector(".key").hidden;
    if (open) count(form, false);
    openKey(form, open);
  });
}

document.getElementById("again").addEventListener("click", () => {
  firstTries.clear();
  for (const form of forms) {
    form.reset();
    openKey(form, false);
    form.querySelectorAll(".why, .compare").forEach((one) => { one.hidden = true; });
    form.querySelector(".verdict").textContent = "";
    form.querySelector("input[type=text]")?.removeAttribute("aria-invalid");
  }
  document.getElementById("tally").textContent = "Nothing answered yet.";
  window.scrollTo(0, 0);
});
