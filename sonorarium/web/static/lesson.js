// Writing a lesson: the page follows the text, statements are checked, what is kept is put in, nothing unsaved is lost.
import { say, send } from "./said.js";

const WAIT_MS = 500;
const LONGEST_MS = 20000;
const home = document.querySelector("[data-lesson]");
const text = document.getElementById("lesson-text");
const frames = home.querySelector("[data-frames]");
const checked = home.querySelector("[data-checked]");
const drawing = home.querySelector("[data-drawing]");
const state = document.querySelector("[data-state]");
const older = document.querySelector("[data-older]");
const name = home.dataset.lesson;
const store = `lesson ${name}`;
let saved = text.value;
let waiting = 0;
let busy = false;
let again = false;
let shown = "";
let place = 0;

const unsaved = () => text.value !== saved;

function mark() {
  state.textContent = unsaved() ? "not saved" : "as saved";
  if (!older.hidden) return; // the words of earlier are not written over before somebody has decided
  try {
    if (unsaved()) localStorage.setItem(store, JSON.stringify({ text: text.value, digest: home.dataset.digest }));
    else localStorage.removeItem(store);
  } catch { state.textContent += ", and the browser keeps no copy"; }
}

// The page that is shown stays until the next one has loaded.
function show(draft) {
  if (draft === shown) return;
  shown = draft;
  frames.querySelectorAll(".coming").forEach((one) => one.remove());
  const frame = document.createElement("iframe");
  frame.title = "The page of the lesson";
  frame.className = "coming";
  frame.setAttribute("sandbox", "allow-scripts");
  frame.src = `/lesson/page?draft=${draft}`;
  frame.addEventListener("load", () => {
    const before = frames.querySelector("iframe:not(.coming)");
    if (before) frame.contentWindow.postMessage({ place }, "*");
    frame.classList.remove("coming");
    before?.remove();
  });
  frames.append(frame);
}

window.addEventListener("message", (event) => {
  const now = frames.querySelector("iframe:not(.coming)");
  if (now && event.source === now.contentWindow) place = Number(event.data.place) || 0;
});

async function draw() {
  if (busy) { again = true; return; }
  busy = true;
  again = false;
  drawing.textContent = "drawing…";
  const { token, tokenHeader } = document.body.dataset;
  try {
    const answer = await fetch("/lesson/preview", {
      method: "POST", body: new URLSearchParams({ text: text.value }), signal: AbortSignal.timeout(LONGEST_MS),
      headers: { [tokenHeader]: token, Accept: "text/html" },
    });
    if (!answer.ok) throw new Error("refused");
    checked.innerHTML = await answer.text();
    const draft = checked.querySelector("[data-draft]").dataset.draft;
    if (draft) show(draft);
    drawing.textContent = draft ? "" : "as it was before the fault";
  } catch {
    drawing.textContent = "could not be drawn; this is the page as it was";
  }
  busy = false;
  if (again) draw();
}

function changed() {
  mark();
  window.clearTimeout(waiting);
  waiting = window.setTimeout(draw, WAIT_MS);
}

function toLine(line) {
  const lines = text.value.split("\n");
  const start = lines.slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
  text.focus();
  text.setSelectionRange(start, start);
  text.scrollTop = (line / lines.length) * text.scrollHeight - text.clientHeight / 2;
}

function put(markdown) {
  const at = text.selectionEnd;
  const before = text.value.slice(0, at).replace(/\n*$/, "");
  const after = text.value.slice(at).replace(/^\n*/, "");
  const head = `${before}${before ? "\n\n" : ""}${markdown}\n`;
  text.value = head + (after ? `\n${after}` : "");
  text.focus();
  text.setSelectionRange(head.length, head.length);
  changed();
  say("Put in.");
}

async function save() {
  const written = text.value;
  const { ok, told } = await send("/lesson/save", { name, text: written, digest: home.dataset.digest });
  if (!ok) return false;
  home.dataset.digest = told.digest;
  saved = written;
  mark();
  say("Saved.");
  return true;
}

// What is built is built from the file: words that are not in it yet are written first.
document.body.addEventListener("htmx:confirm", async (event) => {
  if (!event.detail.path?.startsWith("/lesson/build") || !unsaved()) return;
  event.preventDefault();
  if (await save()) event.detail.issueRequest(true);
});

text.addEventListener("input", changed);
document.querySelector("[data-save]").addEventListener("click", save);
document.addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key === "s") {
    event.preventDefault();
    save();
  }
});
home.addEventListener("click", (event) => {
  const line = event.target.closest("[data-line]");
  if (line) toLine(Number(line.dataset.line));
  const kept = event.target.closest("[data-put]");
  if (kept) put(kept.dataset.put);
});
window.addEventListener("beforeunload", (event) => { if (unsaved()) event.preventDefault(); });

// What was made is listed anew when a piece of work has ended.
document.getElementById("works").addEventListener("htmx:afterSwap", refresh);
document.body.addEventListener("htmx:afterSettle", refresh);
async function refresh() {
  const list = home.querySelector("[data-made]");
  const over = [...document.querySelectorAll("#works .job")].filter((one) => !one.hasAttribute("hx-get"));
  const key = over.map((one) => one.textContent).join();
  if (!key || list.dataset.seen === key) return;
  list.dataset.seen = key;
  const answer = await fetch(list.dataset.made, { headers: { Accept: "text/html" } });
  if (answer.ok) list.innerHTML = await answer.text();
}

// Words of an earlier visit that were not saved.
function restore() {
  let kept = null;
  try { kept = JSON.parse(localStorage.getItem(store)); } catch { kept = null; }
  if (!kept || kept.text === text.value) return;
  const take = () => { text.value = kept.text; older.hidden = true; changed(); };
  if (kept.digest === home.dataset.digest) {
    take();
    say("Words that were not saved are put back.");
    return;
  }
  older.hidden = false;
  older.querySelector("[data-take-older]").addEventListener("click", take);
  older.querySelector("[data-drop-older]").addEventListener("click", () => { older.hidden = true; mark(); });
}

restore();
draw();
