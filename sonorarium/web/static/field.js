// The field that reads anything: readings appear as you type; arrows choose, Enter opens, Escape closes the list.
const WAIT_MS = 90;

function begin(field) {
  const input = field.querySelector("input");
  const list = field.querySelector("[role=listbox]");
  let waiting = 0;
  let asked = "";

  const options = () => [...list.querySelectorAll("[role=option]")];
  const chosen = () => options().findIndex((one) => one.getAttribute("aria-selected") === "true");
  const open = (is) => {
    list.hidden = !is;
    input.setAttribute("aria-expanded", String(is));
    if (!is) input.removeAttribute("aria-activedescendant");
  };
  const choose = (place) => {
    options().forEach((one, index) => one.setAttribute("aria-selected", String(index === place)));
    const one = options()[place];
    if (one) {
      input.setAttribute("aria-activedescendant", one.id);
      one.scrollIntoView({ block: "nearest" });
    }
  };
  const ask = async () => {
    const text = input.value.trim();
    if (text === asked) return;
    asked = text;
    if (!text) return open(false);
    const answer = await fetch(`/readings?${new URLSearchParams({ text, id: input.id })}`, { headers: { Accept: "text/html" } });
    if (input.value.trim() !== text) return;
    list.innerHTML = await answer.text();
    open(list.childElementCount > 0 && document.activeElement === input);
    field.dispatchEvent(new CustomEvent("field:read", { bubbles: true, detail: { text, ok: answer.ok } }));
  };

  input.addEventListener("input", () => {
    window.clearTimeout(waiting);
    waiting = window.setTimeout(ask, WAIT_MS);
  });
  input.addEventListener("focus", () => { if (list.childElementCount && input.value.trim()) open(true); });
  field.addEventListener("focusout", (event) => { if (!field.contains(event.relatedTarget)) open(false); });
  input.addEventListener("keydown", (event) => {
    const count = options().length;
    if (event.key === "Escape" && !list.hidden) {
      event.preventDefault();
      open(false);
    } else if (["ArrowDown", "ArrowUp"].includes(event.key) && count && !list.hidden) {
      event.preventDefault();
      choose((chosen() + (event.key === "ArrowDown" ? 1 : -1) + count + (chosen() < 0 && event.key === "ArrowUp" ? 1 : 0)) % count);
    } else if (event.key === "Enter" && !list.hidden && chosen() >= 0) {
      event.preventDefault();
      take(options()[chosen()]);
    }
  });
  list.addEventListener("mousedown", (event) => event.preventDefault());
  list.addEventListener("click", (event) => {
    const one = event.target.closest("[role=option]");
    if (one) take(one);
  });
  const take = (one) => {
    input.value = one.dataset.set;
    asked = input.value;
    open(false);
    input.form?.requestSubmit();
  };
}

for (const field of document.querySelectorAll("[data-field]")) begin(field);
