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
