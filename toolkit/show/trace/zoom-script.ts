import { UNFOLD_SCRIPT } from "../page/unfold-script.js";
import * as drawing from "./draw-trace.js";
import { unpackTrace } from "./pack-trace.js";
import { unpackSeries } from "./series-code.js";
import * as paths from "./trace-paths.js";

/**
 * The script of the zoomable charts, whole, as text for a script element. It draws with the very functions that
 * drew the printed charts (their source texts are part of it), reads its data from the page and asks the network
 * for nothing.
 */
export function zoomScript(): string {
  const { DRAWING_TOOLS, ...own } = drawing;
  const functions = [DRAWING_TOOLS, own, paths, { unpackTrace, unpackSeries }].flatMap((each) =>
    Object.values(each),
  );
  const shared = [...new Set<unknown>(functions)].map(String);
  const tools = `const tools = { ${Object.keys(DRAWING_TOOLS).join(", ")} };`;
  return `(() => {\n"use strict";\n${shared.join("\n")}\n${tools}\n${CHARTS}\n})();`.replace(
    /<\/(script)/gi,
    "<\\/$1",
  );
}

/** What happens in the page: one state a figure, every gesture changes it, every change draws. */
const CHARTS = `
let pointerRests = true;
let pointerAt = [NaN, NaN];
addEventListener("scroll", () => { pointerRests = true; }, { passive: true, capture: true });

function minutes(time, span) {
  return time.toFixed(span < 0.1 ? 4 : span < 1 ? 3 : 2);
}

function mount(figure) {
  if (figure.dataset.ready) return;
  figure.dataset.ready = "1";
  const data = JSON.parse(figure.querySelector("script.ib-data").textContent);
  const trace = unpackTrace(data, unpackSeries);
  const plot = figure.querySelector(".ib-plot");
  const output = figure.querySelector("output");
  const count = trace.time.length;
  const full = [trace.time[0], trace.time[count - 1]];
  const least = Math.max((8 * (full[1] - full[0])) / count, 1e-6);
  const start = { x: full, boost: 1, twin: hasGiant(trace) };
  const touches = new Map();
  let view = start;
  let panels = [];
  let drag;
  let pinch;
  let waiting = false;

  function draw() {
    waiting = false;
    const width = Math.max(280, Math.round(plot.clientWidth));
    const drawing = drawTrace(trace, view, width, tools);
    panels = drawing.panels;
    plot.innerHTML = drawing.svg;
    const [x0, x1] = panels[0].x;
    const [y0, y1] = panels[0].y;
    Object.assign(plot.dataset, { x0, x1, y0, y1, factor: panels[panels.length - 1].factor });
    figure.classList.toggle("ib-zoomed", view !== start);
  }
  function show(next) {
    view = next;
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(draw);
  }
  function announce() {
    const [low, high] = view.x;
    output.textContent = view === start ? "the whole record" :
      minutes(low, high - low) + " to " + minutes(high, high - low) + " min";
  }
  function reset() {
    show(start);
    announce();
  }
  function toRange(low, high, rest) {
    const span = Math.min(Math.max(high - low, least), full[1] - full[0]);
    const from = Math.min(Math.max(low, full[0]), full[1] - span);
    const whole = span >= full[1] - full[0] && !(rest && (rest.y || rest.magnified));
    if (whole && view.boost === 1) show(start);
    else show({ ...view, y: undefined, magnified: undefined, flat: undefined, ...rest, x: [from, from + span] });
    announce();
  }
  function zoomBy(factor, around) {
    const [low, high] = view.x;
    const at = around ?? (low + high) / 2;
    toRange(at - (at - low) * factor, at + (high - at) * factor);
  }
  function panBy(part) {
    const [low, high] = view.x;
    toRange(low + part * (high - low), high + part * (high - low), { y: view.y, magnified: view.magnified, flat: view.flat });
  }
  function magnify(factor) {
    if (view.twin) show({ ...view, magnified: undefined, flat: undefined, boost: Math.min(Math.max(view.boost * factor, 1 / 64), 1024) });
    else {
      const [low, high] = panels[0].y;
      show({ ...view, y: [low, low + (high - low) / factor] });
    }
  }
  const actions = {
    in: () => zoomBy(0.5), out: () => zoomBy(2), taller: () => magnify(2), flatter: () => magnify(0.5), reset,
  };

  function place(event) {
    const box = plot.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  }
  function panelAt(y) {
    return panels.findIndex((panel) => y >= panel.top - 44 && y <= panel.top + panel.height + 20);
  }
  function timeAt(x) {
    const panel = panels[0];
    return panel.x[0] + ((x - panel.left) / panel.width) * (panel.x[1] - panel.x[0]);
  }
  function valueAt(panel, y) {
    return panel.y[1] - ((y - panel.top) / panel.height) * (panel.y[1] - panel.y[0]);
  }
  function read(event) {
    const [x] = place(event);
    const time = timeAt(x);
    if (!(time >= view.x[0] && time <= view.x[1])) return;
    const index = Math.min(count - 1, indexAt(trace.time, time));
    const peak = trace.peaks.find((each) => time >= each.start && time <= each.end);
    const value = trace.signal[index];
    const digits = Math.max(0, Math.min(6, 1 - Math.floor(Math.log10(trace.noise || 1e-3))));
    const unit = trace.axis.replace(/^.* [/] /, "").replace(/^[(](.*)[)]$/, "$1");
    output.textContent = minutes(trace.time[index], 0.5) + " min · " + tickText(value, digits) + " " + unit +
      (peak ? " · " + peak.about : "");
  }
  function box(to) {
    let frame = plot.querySelector(".ib-box");
    if (!frame) {
      frame = document.createElement("div");
      frame.className = "ib-box";
      plot.append(frame);
    }
    const panel = panels[drag.panel];
    const flat = Math.abs(to[1] - drag.from[1]) < 12;
    const inside = (v) => Math.min(Math.max(v, panel.top), panel.top + panel.height);
    const top = flat ? panel.top : Math.min(inside(drag.from[1]), inside(to[1]));
    const height = flat ? panel.height : Math.abs(inside(to[1]) - inside(drag.from[1]));
    Object.assign(frame.style, {
      left: Math.min(drag.from[0], to[0]) + "px", width: Math.abs(to[0] - drag.from[0]) + "px",
      top: top + "px", height: height + "px",
    });
  }
  function drop(to) {
    const { from, panel: index } = drag;
    drag = undefined;
    plot.querySelector(".ib-box")?.remove();
    if (Math.abs(to[0] - from[0]) < 5) return;
    const times = [timeAt(from[0]), timeAt(to[0])].sort((a, b) => a - b);
    const rest = {};
    if (Math.abs(to[1] - from[1]) >= 12) {
      const panel = panels[index];
      const edges = [from[1], to[1]].map((y) => Math.min(Math.max(y, panel.top), panel.top + panel.height));
      rest[index === 0 ? "y" : "magnified"] = edges.map((y) => valueAt(panel, y)).sort((a, b) => a - b);
      if (index > 0) rest.flat = panel.flat;
    }
    toRange(times[0], times[1], rest);
  }

  plot.addEventListener("pointerdown", (event) => {
    const at = place(event);
    if (event.pointerType === "touch") {
      touches.set(event.pointerId, at);
      pinch = undefined;
      return;
    }
    const panel = panelAt(at[1]);
    if (event.button !== 0 || panel < 0) return;
    plot.setPointerCapture(event.pointerId);
    drag = { from: at, panel };
  });
  plot.addEventListener("pointermove", (event) => {
    if (event.clientX !== pointerAt[0] || event.clientY !== pointerAt[1]) pointerRests = false;
    pointerAt = [event.clientX, event.clientY];
    const at = place(event);
    if (drag) return box(at);
    if (!touches.has(event.pointerId)) return read(event);
    const before = touches.get(event.pointerId);
    touches.set(event.pointerId, at);
    if (touches.size === 1) {
      if (view !== start) panBy((before[0] - at[0]) / panels[0].width);
      return;
    }
    const [a, b] = [...touches.values()];
    const gap = Math.max(20, Math.abs(a[0] - b[0]));
    if (pinch) zoomBy(pinch / gap, timeAt((a[0] + b[0]) / 2));
    pinch = gap;
  });
  for (const name of ["pointerup", "pointercancel"]) {
    plot.addEventListener(name, (event) => {
      touches.delete(event.pointerId);
      pinch = undefined;
      if (!drag) return;
      if (name === "pointerup") drop(place(event));
      else drag = undefined;
    });
  }
  plot.addEventListener("wheel", (event) => {
    // A page that scrolls past under a resting pointer keeps scrolling; a pointer put here on purpose zooms.
    const outward = event.deltaY > 0;
    if ((pointerRests && !event.ctrlKey) || event.deltaY === 0 || (outward && view === start)) return;
    event.preventDefault();
    const lines = event.deltaMode === 0 ? event.deltaY / 100 : event.deltaY / 3;
    zoomBy(Math.exp(0.35 * Math.min(Math.max(lines, -3), 3)), timeAt(place(event)[0]));
  }, { passive: false });
  plot.addEventListener("dblclick", reset);
  plot.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const keys = {
      "+": actions.in, "=": actions.in, "-": actions.out, "0": reset, Home: reset, Escape: reset,
      ArrowLeft: () => panBy(-0.2), ArrowRight: () => panBy(0.2), ArrowUp: actions.taller, ArrowDown: actions.flatter,
    };
    if (!Object.hasOwn(keys, event.key)) return;
    event.preventDefault();
    keys[event.key]();
  });
  figure.querySelector(".ib-tools").addEventListener("click", (event) => {
    const name = event.target.closest("button")?.dataset.do;
    if (name) actions[name]();
  });
  let width = 0;
  new ResizeObserver(() => {
    if (plot.clientWidth === width || plot.clientWidth === 0) return;
    width = plot.clientWidth;
    show(view);
  }).observe(plot);
  draw();
}

const near = new IntersectionObserver((entries) => {
  for (const entry of entries) {
    if (!entry.isIntersecting) continue;
    near.unobserve(entry.target);
    mount(entry.target);
  }
}, { rootMargin: "800px 0px" });
for (const figure of document.querySelectorAll("figure.ib-trace:not([data-ready])")) near.observe(figure);

${UNFOLD_SCRIPT}`;
