// One slide at a time, turned by keys or buttons; one sound at a time; a slide's address is its number.
const root = document.documentElement;
const slides = Array.from(document.querySelectorAll(".slide"));
const sounds = Array.from(document.querySelectorAll("audio"));
const told = document.querySelector(".told");
const [back, on] = [document.getElementById("back"), document.getElementById("on")];
let at = 0;

const inAddress = () => slides.findIndex((slide) => `#${slide.id}` === location.hash);
const silence = () => sounds.forEach((sound) => sound.pause());

// Text that would run over the edge becomes a little smaller.
function fit(slide) {
  for (let size = 1; size >= 0.6; size -= 0.04) {
    slide.style.setProperty("--fit", size.toFixed(2));
    if (slide.scrollHeight <= slide.clientHeight) return;
  }
}

function show(number, focus = true) {
  const changed = number !== at;
  at = Math.max(0, Math.min(slides.length - 1, number));
  if (!root.classList.contains("deck")) return;
  slides.forEach((slide, i) => { slide.hidden = i !== at; });
  fit(slides[at]);
  back.disabled = at === 0;
  on.disabled = at === slides.length - 1;
  if (location.hash !== `#${slides[at].id}`) history.replaceState(null, "", `#${slides[at].id}`);
  if (changed) silence();
  if (focus) slides[at].focus({ preventScroll: true });
  told.textContent = slides[at].getAttribute("aria-label");
}

function read() {
  const deck = root.classList.toggle("deck");
  slides.forEach((slide) => { slide.hidden = false; slide.style.removeProperty("--fit"); });
  if (deck) show(at);
  else slides[at].scrollIntoView();
}

function play() {
  const sound = slides[at].querySelector("audio");
  if (!sound) return;
  if (sound.paused) sound.play();
  else sound.pause();
}

const turns = {
  ArrowRight: 1, ArrowDown: 1, PageDown: 1, " ": 1, ArrowLeft: -1, ArrowUp: -1, PageUp: -1,
  Home: -Infinity, End: Infinity,
};
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  if (event.key === "Escape") { silence(); return; }
  const key = event.key.toLowerCase();
  if (key === "r") { read(); return; }
  if (key === "s") { play(); return; }
  if (!root.classList.contains("deck") || event.target.closest("audio")) return;
  if (event.key === " " && event.target.closest("button, a, summary")) return;
  if (event.key in turns) {
    event.preventDefault();
    const step = event.key === " " && event.shiftKey ? -1 : turns[event.key];
    show(at + step);
  }
});
back.addEventListener("click", () => show(at - 1, false));
on.addEventListener("click", () => show(at + 1, false));
addEventListener("hashchange", () => { if (inAddress() >= 0) show(inAddress()); });
for (const sound of sounds) {
  sound.addEventListener("play", () => sounds.filter((other) => other !== sound).forEach((other) => other.pause()));
}
root.classList.add("deck");
show(Math.max(0, inAddress()), false);
document.fonts.ready.then(() => { if (root.classList.contains("deck")) fit(slides[at]); });
