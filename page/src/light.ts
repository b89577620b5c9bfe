/* Where you are, in brass: the thread, the level line, the spot, the row; and in blue the strap where it lies. */
import { all, find, mark } from "./elements";
import { hear, last, see, tell } from "./page";
import { tagOf } from "./places";
import { afterDrawing, spots, stand } from "./stage";

/* The height of a place or a reading ("station:3"), from the bottom edge. */
export function heightOf(name: string): number | null {
  const place = last.work?.places.find((one) => one.key === name);
  if (place) return place.station_mm;
  const row = /^row:(\d+)$/.exec(name);
  return row ? last.hand?.stations.find((one) => one.reading === Number(row[1]))?.station_mm ?? null : null;
}

/* The place or row a reading belongs to. */
export function readingOf(name: string): number | null {
  const row = /^row:(\d+)$/.exec(name);
  if (row) return Number(row[1]);
  const place = last.work?.places.find((one) => one.key === name);
  const path = place?.fields.find((one) => one.path[0] === "form" && one.path[1] === "girths")?.path;
  return path ? Number(path[2]) : null;
}

/* The strap lies round the sheath: its near half, from edge to edge of the picture at that height. */
function strap(height: number, way: string): SVGGElement {
  const group = mark("g", { class: `measure ${way}` });
  for (const view of stand?.layout.pictures ?? []) {
    if (view.name === "piece") continue;
    const [left, right] = edges(view.svg, height, view.cx, view.y) ?? [NaN, NaN];
    if (!Number.isFinite(left)) continue;
    const y = -height, rx = (right - left) / 2, sink = rx * 0.16;
    if (way === "caliper") group.append(mark("path", { class: "jaw", d: `M${left} ${y - 7}V${y + 3}M${right} ${y - 7}V${y + 3}M${left} ${y - 6}H${right}` }));
    else group.append(mark("path", { class: "ring", d: `M${left} ${y - sink * 0.35}C${left + rx * 0.35} ${y + sink} ${right - rx * 0.35} ${y + sink} ${right} ${y - sink * 0.35}` }));
  }
  return group;
}

const outlines = new WeakMap<SVGSVGElement, number[][]>();

/* The outline of the leather as points, read once for each drawing. */
function outline(svg: SVGSVGElement): number[][] {
  const known = outlines.get(svg);
  if (known) return known;
  const numbers = (svg.querySelector("[data-body], .hide")?.getAttribute("d")?.match(/-?\d*\.?\d+(?:e-?\d+)?/g) ?? []).map(Number), points: number[][] = [];
  for (let n = 0; n + 1 < numbers.length; n += 2) points.push([numbers[n]!, numbers[n + 1]!]);
  outlines.set(svg, points);
  return points;
}

/* Left and right edge of the leather at a height: where its outline is crossed. */
function edges(svg: SVGSVGElement, height: number, cx: number, top: number): [number, number] | null {
  const points = outline(svg), y = svg.viewBox.baseVal.y + (-height - top);
  let left = Infinity, right = -Infinity;
  points.forEach((next, n) => {
    const before = points[(n || points.length) - 1]!;
    if ((before[1]! <= y) === (next[1]! <= y)) return;
    const x = before[0]! + (next[0]! - before[0]!) * (y - before[1]!) / (next[1]! - before[1]!);
    left = Math.min(left, x);
    right = Math.max(right, x);
  });
  return left < right ? [cx + left, cx + right] : null;
}

function way(): string {
  const name = (document.activeElement as HTMLElement | null)?.dataset["field"] ?? "";
  return /(width|depth)_mm$/.test(name) ? "caliper" : "strap";
}

export function show(): void {
  const name = see.lit || see.open, height = heightOf(name), reading = readingOf(name);
  for (const each of all<SVGGElement>(".mark")) each.classList.toggle("lit", each.dataset["mark"] === name || (reading !== null && readingOf(each.dataset["mark"] ?? "") === reading));
  for (const each of all<SVGPathElement>("#threads path")) each.classList.toggle("lit", each.dataset["thread"] === name || (reading !== null && each.dataset["row"] === String(reading)));
  for (const each of all<SVGGElement>(".station")) each.classList.toggle("lit", reading !== null && each.dataset["reading"] === String(reading));
  for (const each of all("#readings tbody tr")) each.classList.toggle("lit", reading !== null && each.dataset["reading"] === String(reading));
  const level = find<SVGGElement>("#level"), lines: SVGElement[] = [];
  if (height !== null && stand && spots.size) {
    if (reading === null) lines.push(mark("path", { class: "lead lit", d: `M0 ${-height}H${stand.layout.width}` }));
    if (reading !== null || ["mouth", "thickest", "junction", "bottom", "collar", "liner", "upper_groove", "lower_groove"].includes(name)) lines.push(strap(height, way()));
  }
  level.replaceChildren(...lines);
}

export function begin(): void {
  hear("light", (name) => { see.lit = name; show(); });
  afterDrawing(() => show());
  document.addEventListener("focusin", (event) => {
    const from = event.target as Element, row = from.closest<HTMLElement>("#readings tr[data-reading]"), place = from.closest<HTMLElement>(".place");
    if (row) tell("light", `row:${row.dataset["reading"]}`);
    else if (place) tell("light", place.dataset["place"] ?? "");
  });
  find("#floor").addEventListener("pointerover", (event) => {
    const from = event.target as Element, row = from.closest<HTMLElement>("#readings tr[data-reading]"), place = from.closest<HTMLElement>(".place"), spot = from.closest<SVGGElement>(".mark"), level = from.closest<SVGGElement>(".station, .knob");
    if (row) tell("light", `row:${row.dataset["reading"]}`);
    else if (place) tell("light", place.dataset["place"] ?? "");
    else if (spot) tell("light", spot.dataset["mark"] ?? "");
    else if (level) tell("light", `row:${level.dataset["reading"]}`);
  });
  find("#picture").addEventListener("click", (event) => {
    const name = (event.target as Element).closest<SVGGElement>(".mark")?.dataset["mark"];
    if (name && !see.measure) { tell("open", name); tagOf(name)?.focus({ preventScroll: true }); }
  });
  find("#floor").addEventListener("pointerleave", () => tell("light", see.open));
}
