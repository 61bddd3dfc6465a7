// A network that can be moved and enlarged by keys, buttons, dragging and the wheel with Ctrl. Only the part of the
// drawing that is seen changes; nothing glides, so that there is nothing to be switched off for those who avoid motion.
const svgSpace = "http://www.w3.org/2000/svg";
const step = 1.25;
const closest = 12;

function begin(net) {
  const view = net.querySelector("[data-net-view]");
  const svg = view?.querySelector("svg");
  if (!svg || view.dataset.ready) return;
  view.dataset.ready = "1";
  const whole = svg.getAttribute("viewBox").split(" ").map(Number);
  // A small network is not blown up to fill its frame.
  const [wide, high] = [Math.max(whole[2], svg.clientWidth), Math.max(whole[3], Math.min(svg.clientHeight, whole[3] * 2))];
  const home = { x: (whole[2] - wide) / 2, y: (whole[3] - high) / 2, wide, high };
  let seen = { ...home };
  svg.setAttribute("viewBox", `${home.x} ${home.y} ${home.wide} ${home.high}`);

  const show = () => svg.setAttribute("viewBox", `${seen.x} ${seen.y} ${seen.wide} ${seen.high}`);

  // How many units of the drawing a pixel of the page is.
  const unit = () => Math.max(seen.wide / svg.clientWidth, seen.high / svg.clientHeight);

  function kept(value, size, all) {
    return Math.min(Math.max(value, -size), all);
  }

  function move(x, y) {
    seen.x = kept(seen.x + x, seen.wide, home.wide);
    seen.y = kept(seen.y + y, seen.high, home.high);
    show();
  }

  // Enlarge about a point of the drawing, which stays where it is.
  function zoom(by, at = { x: seen.x + seen.wide / 2, y: seen.y + seen.high / 2 }) {
    const wide = Math.min(Math.max(seen.wide / by, home.wide / closest), home.wide * 2);
    const ratio = wide / seen.wide;
    seen = {
      x: at.x - (at.x - seen.x) * ratio, y: at.y - (at.y - seen.y) * ratio,
      wide, high: seen.high * ratio,
    };
    move(0, 0);
  }

  function fit() {
    seen = { ...home };
    show();
  }

  function pointAt(event) {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return { x: at.x, y: at.y };
  }

  const links = nodesOf(net, svg);
  const acts = {
    "+": () => zoom(step), "=": () => zoom(step), "-": () => zoom(1 / step), "0": fit,
    ArrowLeft: () => move(-seen.wide / 8, 0), ArrowRight: () => move(seen.wide / 8, 0),
    ArrowUp: () => move(0, -seen.high / 8), ArrowDown: () => move(0, seen.high / 8),
  };

  view.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const act = acts[event.key];
    if (act) {
      event.preventDefault();
      act();
    }
  });
  // h and k act on the same buttons as in the list of sets; single keys that are off stay off.
  view.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || localStorage.getItem("single-keys") === "off") return;
    const button = { h: "[data-hear]", k: "[data-keep]" }[event.key];
    const item = links.get(document.activeElement);
    if (!button || !item) return;
    event.preventDefault();
    item.querySelector(button)?.click();
  });
  view.addEventListener("focusin", (event) => {
    if (!links.has(event.target)) return;
    const box = event.target.getBBox();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    if (x > seen.x && x < seen.x + seen.wide && y > seen.y && y < seen.y + seen.high) return;
    move(x - seen.x - seen.wide / 2, y - seen.y - seen.high / 2);
  });
  for (const button of net.querySelectorAll("[data-zoom]")) {
    button.addEventListener("click", { in: () => zoom(step), out: () => zoom(1 / step), fit }[button.dataset.zoom]);
  }
  view.addEventListener("wheel", (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    zoom(event.deltaY < 0 ? step : 1 / step, pointAt(event));
  }, { passive: false });
  drag(view, (x, y) => move(-x * unit(), -y * unit()));
}

// The frames of the drawing stand last in it, a frame and its word for each set, in the order of the list: each pair
// becomes a link to the sheet.
function nodesOf(net, svg) {
  const items = [...net.querySelectorAll("[data-node]")];
  const drawn = [...svg.children].slice(-2 * items.length);
  const links = new Map();
  if (drawn.length < 2 * items.length) return links;
  svg.setAttribute("role", "group");
  items.forEach((item, at) => {
    const link = document.createElementNS(svgSpace, "a");
    const to = item.querySelector("a");
    link.setAttribute("href", to.getAttribute("href"));
    link.setAttribute("aria-label", to.textContent);
    svg.append(link);
    link.append(drawn[2 * at], drawn[2 * at + 1]);
    links.set(link, item);
  });
  return links;
}

// Dragging begins after a few pixels, so that a click on a set stays a click.
function drag(view, moved) {
  let from = null;
  let going = false;
  view.addEventListener("dragstart", (event) => event.preventDefault());
  view.addEventListener("pointerdown", (event) => {
    going = false;
    if (event.button === 0) from = { x: event.clientX, y: event.clientY };
  });
  view.addEventListener("pointermove", (event) => {
    if (!from) return;
    const [x, y] = [event.clientX - from.x, event.clientY - from.y];
    if (!going && Math.hypot(x, y) < 5) return;
    if (!going) view.setPointerCapture(event.pointerId);
    going = true;
    view.classList.add("dragging");
    from = { x: event.clientX, y: event.clientY };
    moved(x, y);
  });
  const over = () => {
    from = null;
    view.classList.remove("dragging");
  };
  view.addEventListener("pointerup", over);
  view.addEventListener("pointercancel", over);
  view.addEventListener("click", (event) => {
    if (going) event.preventDefault();
    going = false;
  }, true);
}

function look() {
  document.querySelectorAll("[data-network]").forEach(begin);
}
document.body.addEventListener("htmx:afterSettle", look);
look();
