// Sound: one at a time, begun only by a click or a key, stopped by Escape, at a volume that is remembered.
const bar = document.getElementById("player");
const sound = new Audio();
let button = null;

const volume = bar.querySelector("[data-volume]");
volume.value = localStorage.getItem("volume") ?? "40";
sound.volume = volume.value / 100;
volume.addEventListener("input", () => {
  sound.volume = volume.value / 100;
  localStorage.setItem("volume", volume.value);
});

function release() {
  button?.removeAttribute("aria-pressed");
  button = null;
  bar.hidden = true;
}

export function stop() {
  sound.pause();
  release();
}

// Play what lies at an address; `from` is the button that asked, `onTime` is told the seconds as they pass.
export async function play(url, what = "", from = null) {
  stop();
  window.dispatchEvent(new CustomEvent("sound:begins", { detail: { url } }));
  button = from;
  button?.setAttribute("aria-pressed", "true");
  bar.querySelector("[data-playing]").textContent = what;
  bar.hidden = false;
  sound.src = url;
  try {
    await sound.play();
  } catch (error) {
    if (error.name === "AbortError") return;
    release();
    const { say } = await import("./said.js");
    say("This could not be played.");
  }
}

export const time = () => sound.currentTime;
export const isPlaying = () => !sound.paused;
export const element = sound;

sound.addEventListener("ended", release);
sound.addEventListener("timeupdate", () => {
  const whole = Number.isFinite(sound.duration) ? ` of ${sound.duration.toFixed(1)} s` : "";
  bar.querySelector("[data-time]").textContent = `${sound.currentTime.toFixed(1)}${whole}`;
});
bar.querySelector("[data-stop]").addEventListener("click", stop);
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") stop();
});
document.addEventListener("click", (event) => {
  const asked = event.target.closest("[data-hear]");
  if (!asked) return;
  if (asked === button && !sound.paused) stop();
  else play(asked.dataset.hear, asked.dataset.what, asked);
});
window.sounding = sound; // for whoever wants to know whether it plays: the tests do
