// The paper that was chosen, set before anything is drawn. Light, dark, or as the system has it.
(() => {
  const order = ["", "light", "dark"];
  const names = { "": "as the system", light: "light", dark: "dark" };
  const chosen = () => localStorage.getItem("paper") || "";
  const set = () => {
    const paper = chosen();
    if (paper) document.documentElement.dataset.paper = paper;
    else delete document.documentElement.dataset.paper;
    const name = document.querySelector("[data-paper-name]");
    if (name) name.textContent = names[paper];
  };
  set();
  document.addEventListener("DOMContentLoaded", () => {
    set();
    document.querySelector("[data-paper]:not(html)")?.addEventListener("click", () => {
      localStorage.setItem("paper", order[(order.indexOf(chosen()) + 1) % order.length]);
      set();
    });
  });
})();
