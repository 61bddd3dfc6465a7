// What the server tells: one sentence at a time, shown and read out; and the copying of links.
const place = document.getElementById("said");
let clearing = 0;

export function say(text) {
  place.textContent = "";
  window.clearTimeout(clearing);
  window.requestAnimationFrame(() => { place.textContent = text; });
  clearing = window.setTimeout(() => { place.textContent = ""; }, 7000);
}

// A change asked for by a script: the token of this run goes with it; what goes wrong is told.
export async function send(path, fields) {
  const { token, tokenHeader } = document.body.dataset;
  const body = fields instanceof FormData ? fields : new URLSearchParams(fields);
  const answer = await fetch(path, { method: "POST", body, headers: { [tokenHeader]: token, Accept: "application/json" } });
  const told = await answer.json();
  if (!answer.ok) say(wrongs(told));
  return { ok: answer.ok, told };
}

export function wrongs(told) {
  const error = told.error || { sentence: "It could not be done.", suggestion: "" };
  return `${error.sentence} ${error.suggestion}`.trim();
}

document.body.addEventListener("said", (event) => say(event.detail.text));
document.body.addEventListener("htmx:responseError", (event) => {
  const answer = event.detail.xhr;
  const told = new DOMParser().parseFromString(answer.responseText, "text/html").querySelectorAll(".wrong p");
  say([...told].map((one) => one.textContent.trim()).join(" ") || "It could not be done.");
});
document.body.addEventListener("htmx:sendError", () => say("The workbench does not answer. Is it still running?"));
document.body.addEventListener("htmx:afterRequest", (event) => {
  const button = event.detail.elt;
  if (event.detail.successful && button.matches("[data-keep]")) {
    button.classList.add("kept");
    button.textContent = button.classList.contains("small") ? "✓" : "✓ kept";
  }
});
document.addEventListener("click", async (event) => {
  const button = event.target.closest("[data-copy-link]");
  if (!button) return;
  try {
    await navigator.clipboard.writeText(button.dataset.copyLink || window.location.href);
    say("The link is copied.");
  } catch {
    say("The browser does not let links be copied here; take it from the address field.");
  }
});
