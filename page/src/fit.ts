/* Fit: the verdict in words, the force curve, the mouth's height to try, the three readings that matter. */
import { all, drawn, find, make, mark } from "./elements";
import { hear, job, last } from "./page";
import type { Fit } from "./shapes";
import { fixed, laid, length, say } from "./words";

const PATH = ["form", "landmarks", "mouth_above_thickest_mm"] as const;
let serial = 0, number = 0;

/* The slider for the mouth's height; there may be several, they move together. */
export function slider(): HTMLElement {
  const id = `mouth-${++serial}`;
  const range = make("input", { type: "range", id, min: -20, max: 30, step: 0.5, value: 0, "data-mouth": "" }), out = make("output", { for: id });
  range.addEventListener("pointerdown", () => { number += 1; });
  range.addEventListener("focus", () => { number += 1; });
  range.addEventListener("input", () => {
    const value = Number(range.value);
    job.change([{ path: PATH, value }, ...(job.at(["form", "landmarks", "mouth_mm"]) === undefined ? [] : [{ path: ["form", "landmarks", "mouth_mm"], value: undefined }])], `mouth:${number}`);
  });
  range.addEventListener("change", () => job.history.close());
  return make("div", { class: "slide" }, make("label", { for: id, text: say("fit.mouth") }), out, range);
}

function sliders(): void {
  const marks = last.work?.worked.landmarks, now = marks?.["mouth_above_thickest_mm"] ?? 0;
  for (const range of all<HTMLInputElement>("[data-mouth]")) {
    if (range !== document.activeElement) range.value = String(now);
    const above = range === document.activeElement ? Number(range.value) : now;
    const text = say(above < 0 ? "fit.below" : "fit.above", { v: length(Math.abs(above)) });
    range.setAttribute("aria-valuetext", text);
    find("output", range.parentElement!).textContent = text;
  }
}

function share(one: Fit["matters"][number], n: number): SVGSVGElement {
  const size = one.share ?? 1 / (n + 1);
  return mark("svg", { viewBox: "0 0 120 14", preserveAspectRatio: "none", "aria-hidden": "true" }, mark("rect", { class: "track", width: 120, height: 14 }), mark("rect", { class: "span", x: 60 - 60 * size, width: 120 * size, height: 14 }));
}

function show(fit: Fit): void {
  for (const one of all(".verdict")) one.textContent = fit.verdict;
  find("#fit-words").replaceChildren(...fit.words.filter((one) => one !== fit.verdict).map((one) => make("li", { text: one })));
  find("#fit-warn").replaceChildren(...fit.warn.map((one) => make("li", { text: one.text })));
  find("#matters").replaceChildren(...fit.matters.slice(0, 3).map((one, n) => make("li", {}, make("span", { text: one.what }), share(one, n), make("b", { text: one.effect }))));
  const svg = fit.force ? drawn(fit.force) : null;
  if (svg) { svg.setAttribute("role", "img"); svg.setAttribute("aria-label", fit.verdict); svg.removeAttribute("width"); svg.removeAttribute("height"); find("#force").replaceChildren(svg); }
}

function reads(): void {
  const work = last.work?.worked;
  if (!work) return;
  const say1: Record<string, string> = { holes: String(work.seam.count), pitch: length(work.seam.pitch_mm, 2), seam: length(work.seam.length_mm), thread: laid.units === "inch" ? fixed(work.thread_mm / 914.4, 2) : fixed(work.thread_mm / 1000, 2), blank: work.upper.blank_mm.map((one) => length(Math.ceil(one), 0)).join(" × ") };
  for (const [name, text] of Object.entries(say1)) find(`#read-${name}`).textContent = text;
}

export function begin(): void {
  find("#fit-slide").replaceChildren(slider());
  hear("fit", show);
  hear("work", () => { sliders(); reads(); });
  job.listen(sliders);
}
