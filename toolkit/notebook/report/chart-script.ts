import { UNFOLD_SCRIPT } from "../../show/page/unfold-script.js";

/**
 * The script of a notebook's page, as text for a script element: charts zoom by changing their viewBox, one button
 * unfolds all code, links into folded parts unfold them. It asks the network for nothing.
 */
export function notebookScript(): string {
  return `(() => {\n"use strict";\n${CHARTS}\n${FOLDS}\n})();`;
}

/** One state a chart; wheel with a modifier or after a click, drag, pinch, keys and buttons change it. */
const CHARTS = `
const MOST = 40;

function mountChart(figure) {
  const stage = figure.querySelector(".chart-stage");
  const svg = stage && stage.querySelector("svg");
  const whole = svg && svg.viewBox.baseVal;
  if (!whole || !(whole.width > 0) || !(whole.height > 0)) return;
  const full = [whole.x, whole.y, whole.width, whole.height];
  const tools = figure.querySelector(".chart-tools");
  const output = tools.querySelector("output");
  const touches = new Map();
  let view = full;
  let pinch;
  tools.hidden = false;

  function show(next) {
    const width = Math.min(Math.max(next[2], full[2] / MOST), full[2]);
    const height = (width * full[3]) / full[2];
    const x = Math.min(Math.max(next[0], full[0]), full[0] + full[2] - width);
    const y = Math.min(Math.max(next[1], full[1]), full[1] + full[3] - height);
    view = width > full[2] * 0.999 ? full : [x, y, width, height];
    svg.setAttribute("viewBox", view.map((each) => Number(each.toFixed(3))).join(" "));
    figure.classList.toggle("zoomed", view !== full);
    output.textContent = view === full ? "" : (full[2] / view[2]).toFixed(1) + " times";
  }
  function place(event) {
    const box = svg.getBoundingClientRect();
    return [(event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height];
  }
  function zoom(factor, at) {
    const [px, py] = at || [0.5, 0.5];
    const width = Math.min(Math.max(view[2] * factor, full[2] / MOST), full[2]);
    const height = (width * full[3]) / full[2];
    show([view[0] + px * (view[2] - width), view[1] + py * (view[3] - height), width, height]);
  }
  function pan(dx, dy) {
    show([view[0] + dx * view[2], view[1] + dy * view[3], view[2], view[3]]);
  }
  function reset() {
    show(full);
  }

  stage.addEventListener("wheel", (event) => {
    const outward = event.deltaY > 0;
    const meant = event.ctrlKey || event.metaKey || document.activeElement === stage;
    if (!meant || event.deltaY === 0 || (outward && view === full)) return;
    event.preventDefault();
    const lines = event.deltaMode === 0 ? event.deltaY / 100 : event.deltaY / 3;
    zoom(Math.exp(0.3 * Math.min(Math.max(lines, -3), 3)), place(event));
  }, { passive: false });
  stage.addEventListener("pointerdown", (event) => {
    if (event.pointerType === "mouse" && event.button !== 0) return;
    touches.set(event.pointerId, place(event));
    pinch = undefined;
    if (view === full) return;
    stage.setPointerCapture(event.pointerId);
    if (event.pointerType === "mouse") event.preventDefault();
    stage.focus({ preventScroll: true });
  });
  stage.addEventListener("pointermove", (event) => {
    const before = touches.get(event.pointerId);
    if (!before) return;
    const at = place(event);
    touches.set(event.pointerId, at);
    if (touches.size === 1) {
      if (view !== full) pan(before[0] - at[0], before[1] - at[1]);
      return;
    }
    const [a, b] = [...touches.values()];
    const box = svg.getBoundingClientRect();
    const gap = Math.max(12, Math.hypot((a[0] - b[0]) * box.width, (a[1] - b[1]) * box.height));
    if (pinch) zoom(pinch / gap, [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]);
    pinch = gap;
  });
  for (const name of ["pointerup", "pointercancel", "pointerleave"]) {
    stage.addEventListener(name, (event) => {
      if (name === "pointerleave" && stage.hasPointerCapture(event.pointerId)) return;
      touches.delete(event.pointerId);
      pinch = undefined;
    });
  }
  stage.addEventListener("dblclick", (event) => {
    if (view === full) zoom(0.5, place(event));
    else reset();
  });
  stage.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const keys = {
      "+": () => zoom(0.7), "=": () => zoom(0.7), "-": () => zoom(1 / 0.7), "0": reset, Home: reset,
      ArrowLeft: () => pan(-0.15, 0), ArrowRight: () => pan(0.15, 0),
      ArrowUp: () => pan(0, -0.15), ArrowDown: () => pan(0, 0.15),
    };
    if (!Object.hasOwn(keys, event.key) || (view === full && event.key.startsWith("Arrow"))) return;
    event.preventDefault();
    keys[event.key]();
  });
  tools.addEventListener("click", (event) => {
    const name = event.target.closest("button")?.dataset.do;
    if (name === "reset") reset();
    if (name === "open") enlarge(stage, reset);
  });
}

function enlarge(stage, reset) {
  const home = document.createComment("");
  const dialog = document.createElement("dialog");
  const close = document.createElement("button");
  dialog.className = "chart-dialog";
  close.type = "button";
  close.textContent = "close";
  stage.before(home);
  dialog.append(close, stage);
  document.body.append(dialog);
  close.addEventListener("click", () => dialog.close());
  dialog.addEventListener("click", (event) => { if (event.target === dialog) dialog.close(); });
  dialog.addEventListener("close", () => {
    home.replaceWith(stage);
    dialog.remove();
    reset();
  });
  dialog.showModal();
  stage.focus({ preventScroll: true });
}

for (const figure of document.querySelectorAll("figure.chart-figure")) mountChart(figure);
`;

const FOLDS = `
const all = document.getElementById("all-code");
const folds = [...document.querySelectorAll("details.code")];
if (all && folds.length > 0) {
  const tell = () => { all.textContent = folds.every((fold) => fold.open) ? "fold all code" : "show all code"; };
  all.hidden = false;
  all.addEventListener("click", () => {
    const open = !folds.every((fold) => fold.open);
    for (const fold of folds) fold.open = open;
    tell();
  });
  for (const fold of folds) fold.addEventListener("toggle", tell);
  tell();
}

${UNFOLD_SCRIPT}
const links = [...document.querySelectorAll("nav.toc a")];
if (links.length > 0) {
  const places = links.map((link) => document.getElementById(decodeURIComponent(link.hash.slice(1))));
  let waiting = false;
  const mark = () => {
    waiting = false;
    let at = -1;
    places.forEach((place, index) => { if (place && place.getBoundingClientRect().top < innerHeight / 3) at = index; });
    links.forEach((link, index) => {
      if (index === at) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    });
  };
  addEventListener("scroll", () => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(mark);
  }, { passive: true });
  mark();
}
`;
