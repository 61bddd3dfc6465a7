// One sound at a time, and one key that stops them all.
const sounds = Array.from(document.querySelectorAll("audio"));
for (const sound of sounds) {
  sound.addEventListener("play", () => sounds.filter((other) => other !== sound).forEach((other) => other.pause()));
}
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") sounds.forEach((sound) => sound.pause());
});
