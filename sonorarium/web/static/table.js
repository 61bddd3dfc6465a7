// Tables that are sorted by a column: [data-table] with headings [data-sort] or [data-sort=number].
function value(row, column, numeric) {
  const text = row.cells[column].textContent.trim();
  return numeric ? Number.parseFloat(text) : text;
}

function sort(table, head, numeric) {
  const down = head.getAttribute("aria-sort") === "ascending";
  for (const other of head.parentElement.cells) other.removeAttribute("aria-sort");
  head.setAttribute("aria-sort", down ? "descending" : "ascending");
  const body = table.tBodies[0];
  const rows = [...body.rows].sort((a, b) => {
    const [x, y] = [value(a, head.cellIndex, numeric), value(b, head.cellIndex, numeric)];
    const order = numeric ? x - y : x.localeCompare(y, undefined, { numeric: true });
    return down ? -order : order;
  });
  body.append(...rows);
}

for (const table of document.querySelectorAll("[data-table]")) {
  for (const head of table.querySelectorAll("th[data-sort]")) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = head.textContent;
    head.replaceChildren(button);
    button.addEventListener("click", () => sort(table, head, head.dataset.sort === "number"));
  }
}

// A sieve over the tables of a section: [data-filter=id] with a text field and marks that a row must carry.
for (const sieve of document.querySelectorAll("[data-filter]")) {
  const section = document.getElementById(sieve.dataset.filter);
  const text = sieve.querySelector("[data-filter-text]");
  const marks = [...sieve.querySelectorAll("[data-filter-mark]")];
  const rows = [...section.querySelectorAll("tbody tr")];
  const apply = () => {
    const words = text.value.toLowerCase().split(/\s+/).filter(Boolean);
    words.push(...marks.filter((mark) => mark.checked).map((mark) => mark.dataset.filterMark));
    for (const row of rows) {
      const there = row.textContent.toLowerCase();
      row.hidden = !words.every((word) => there.includes(word));
    }
    const left = rows.filter((row) => !row.hidden);
    for (const fold of section.querySelectorAll("details")) {
      if (words.length) fold.open = left.some((row) => fold.contains(row));
    }
    sieve.querySelector("[data-filter-count]").textContent = words.length ? `${left.length} of ${rows.length}` : "";
  };
  text.addEventListener("input", apply);
  for (const mark of marks) mark.addEventListener("change", apply);
}
