// Inside the drawn page of a draft: tells how far it is scrolled, and goes where it is told.
window.addEventListener("scroll", () => window.parent.postMessage({ place: window.scrollY }, "*"), { passive: true });
window.addEventListener("message", (event) => {
  if (event.source === window.parent) window.scrollTo({ top: Number(event.data.place) || 0, behavior: "instant" });
});
