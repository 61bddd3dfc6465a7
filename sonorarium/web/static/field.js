// The field that reads anything: readings appear as you type; arrows choose, Enter opens, Escape closes the list.
import { say } from "./said.js";

const WAIT_MS = 90;

function begin(field) {
  const input = field.querySelector("input");
  const list = field.querySelector("[role=listbox]");
  const told = document.createElement("p"); // what stands in the list, for those who do not see it
  told.className = "unseen";
  told.setAttribute("role", "status");
  field.append(told);
  let waiting = 0;
  let asked = "";
  let asking = null;

  const options = () => [...list.querySelectorAll("[role=option][data-set]")];
  const chosen = () => options().findIndex((one) => one.getAttribute("aria-selected") === "true");
  const open = (is) => {
    list.hidden = !is;
    input.setAttribute("aria-expanded", String(is));
    if (!is) choose(-1);
  };
  const choose = (place) => {
    options().forEach((one, index) => one.setAttribute("aria-selected", String(index === place)));
    const one = options()[place];
    if (one) {
      input.setAttribute("aria-activedescendant", one.id);
      one.scrollIntoView({ block: "nearest" });
    } else {
      input.removeAttribute("aria-activedescendant");
    }
  };
  const count = () => {
    const wrong = list.querySelector("[data-wrong]");
    const many = options().length;
    return wrong ? wrong.textContent.trim() : `${many} ${many === 1 ? "reading" : "readings"}`;
  };
  const empty = () => {
    list.replaceChildren();
    told.textContent = "";
    open(false);
  };
  // Only the answer to the latest question is shown, however late an earlier one comes.
  const ask = async () => {
    const text = input.value.trim();
    if (text === asked) return;
    asked = text;
    asking?.abort();
    const mine = new AbortController();
    asking = mine;
    if (!text) return empty();
    try {
      const answer = await fetch(`/readings?${new URLSearchParams({ text, id: input.id })}`, { headers: { Accept: "text/html" }, signal: mine.signal });
      const html = await answer.text();
      if (asking !== mine) return;
      if (!answer.ok) throw new Error(html);
      list.innerHTML = html;
      told.textContent = count();
      open(list.childElementCount > 0 && document.activeElement === input);
      field.dispatchEvent(new CustomEvent("field:read", { bubbles: true, detail: { text, ok: options().length > 0 } }));
    } catch (error) {
      if (asking !== mine || error.name === "AbortError") return;
      asked = "";
      empty();
      say("What was typed could not be looked up. Does the workbench still run? Enter opens it as it is typed.");
    }
  };

  input.addEventListener("input", () => {
    choose(-1); // what was chosen belonged to another text
    window.clearTimeout(waiting);
    waiting = window.setTimeout(ask, WAIT_MS);
  });
  input.addEventListener("focus", () => { if (list.childElementCount && input.value.trim() === asked && asked) open(true); });
  field.addEventListener("focusout", (event) => { if (!field.contains(event.relatedTarget)) open(false); });
  input.addEventListener("keydown", (event) => {
    if (event.isComposing) return;
    const many = options().length;
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (event.key === "Escape" && !list.hidden) {
      event.preventDefault();
      open(false);
    } else if (step && many && input.value.trim() === asked) {
      event.preventDefault();
      const from = list.hidden || chosen() < 0 ? (step > 0 ? -1 : many) : chosen();
      open(true);
      choose((from + step + many) % many);
    } else if (event.key === "Enter" && !list.hidden && chosen() >= 0) {
      event.preventDefault();
      take(options()[chosen()]);
    }
  });
  list.addEventListener("mousedown", (event) => event.preventDefault());
  list.addEventListener("click", (event) => {
    const one = event.target.closest("[role=option][data-set]");
    if (one) take(one);
  });
  const take = (one) => {
    input.value = one.dataset.set;
    asked = input.value;
    asking?.abort();
    window.clearTimeout(waiting);
    open(false);
    input.form?.requestSubmit();
  };
}

for (const field of document.querySelectorAll("[data-field]")) begin(field);
