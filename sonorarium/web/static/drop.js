// Files dropped on the shelf, or chosen: sent at once; and the list, which is shown anew when the work has ended.
import { say, send } from "./said.js";

const form = document.querySelector("[data-drop]");
const work = document.getElementById("work");

async function put(files) {
  const most = Number(form.dataset.most);
  if (!files.length) return;
  if (files.length > most) { say(`At most ${most} files can be sent at once.`); return; }
  const body = new FormData();
  for (const file of files) body.append("files", file, file.name);
  say("Sending.");
  const { ok, told } = await send("/shelf/files", body);
  form.reset();
  if (!ok) return;
  window.htmx.ajax("GET", `/jobs/${told.key}`, { target: "#work", swap: "innerHTML" });
}

form?.addEventListener("change", (event) => put([...event.target.files]));
form?.addEventListener("submit", (event) => event.preventDefault());
for (const name of ["dragover", "dragleave", "drop"]) {
  document.addEventListener(name, (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    form.classList.toggle("over", name === "dragover");
    if (name === "drop") put([...event.dataTransfer.files]);
  });
}

new MutationObserver(() => {
  const now = Boolean(work.querySelector(".job[hx-get]"));
  const there = Boolean(work.querySelector(".job"));
  if (there && !now) document.body.dispatchEvent(new Event("shelved"));
}).observe(work, { childList: true });
