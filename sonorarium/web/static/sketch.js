// The row by keyboard: arrows go from chord to chord, with Shift they move the chord, Delete removes it.
const row = document.querySelector("[data-chords]");

row?.addEventListener("keydown", (event) => {
  if (!event.target.matches(".chord") || event.ctrlKey || event.metaKey || event.altKey) return;
  const here = event.target;
  const go = {
    ArrowLeft: () => (event.shiftKey ? here.querySelector("[data-left]")?.click() : here.previousElementSibling?.focus()),
    ArrowRight: () => (event.shiftKey ? here.querySelector("[data-right]")?.click() : here.nextElementSibling?.focus()),
    Delete: () => here.querySelector("[data-remove]").click(),
  }[event.key];
  if (!go) return;
  event.preventDefault();
  go();
});

// After a change the chord that was changed has the focus; after adding, the field for the next one.
if (window.location.hash === "#add") document.getElementById("add-chord").focus();
else if (window.location.hash.startsWith("#chord-")) document.getElementById(window.location.hash.slice(1))?.focus();
