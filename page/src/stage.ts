/* The floor the sheath stands on: places left and right, pictures between; numbers stand beside their place, on threads. */
import { all, find, mark } from "./elements";
import { hear, last, see } from "./page";
import { layOut, onDrawing, paint, squares, type Layout, type Picture } from "./pictures";
import type { Place } from "./shapes";
import { height } from "./words";
import * as zoom from "./zoom";

export interface Stand { layout: Layout; W: number; wide: boolean; phone: boolean; flow: boolean; table: boolean; column: number; x0: number; k: number; width: number; height: number; inLeft: number; inRight: number }
export let stand: Stand | null = null;
export const spots = new Map<string, [number, number]>();
const drawnAfter: (() => void)[] = [];
export function afterDrawing(act: () => void): void { drawnAfter.push(act); }

const FAR = 150; // pixels
const clamp = (low: number, value: number, high: number): number => Math.max(low, Math.min(high, value));
export const rem = (): number => parseFloat(getComputedStyle(document.documentElement).fontSize);

const tableWidth = (W: number, r: number): number => clamp(31 * r, W * 0.44, 37 * r);

function plan(): Stand | null {
  const floor = find("#floor"), r = rem(), W = floor.clientWidth, wide = W >= 64 * r, phone = W < 41 * r, flat = see.right === "flat", one = phone || (flat && (!wide || (see.table && W < 90 * r)));
  const names: Picture["name"][] = one ? [flat ? "piece" : see.right === "back" ? "back" : "front"] : ["front", flat ? "piece" : "back"];
  const layout = layOut(names);
  if (!layout) return null;
  const table = see.table && wide, flow = phone && flat;
  const column = phone ? Math.max(150, W * 0.52) : wide ? clamp(15 * r, W * 0.21, 19 * r) : Math.max((one ? 15 : 12) * r, W * (one ? 0.3 : 0.285));
  const left = table ? tableWidth(W, r) : one ? 0 : column, right = flow ? 0 : column;
  const pad = flow ? 8 : phone ? 20 : 76, room = W - left - right - pad;
  const tall = phone ? 640 : clamp(620, window.innerHeight - 20.5 * r, 1040);
  const k = Math.min(tall / layout.height, room / layout.width), width = layout.width * k;
  const x0 = flow ? Math.max(0, (W - width) / 2) : left + (phone ? 4 : table ? 44 : wide ? 38 : one ? 10 : 24) + Math.max(0, (room - width) / 2);
  return { layout, W, wide, phone, flow, table, column, x0, k, width, height: layout.height * k,
    inLeft: table || one ? 0 : Math.max(0, x0 - column - 7 * r), inRight: flow || phone ? 0 : Math.max(0, W - x0 - width - column - 7 * r) };
}

export const isLeft = (place: Place, here: Stand): boolean => place.side === "left" && !here.table && here.layout.pictures.length > 1;

/* A place that has a row in the table of readings, where the table shows: the row is its place. */
export const inTable = (place: Place, here: Stand): boolean => see.table && !here.phone && place.fields.some((one) => one.path[0] === "form" && one.path[1] === "girths");

/* The picture a place is shown on: the nearest to its numbers that knows it. */
function spotOf(place: Place, here: Stand): [number, number] | null {
  const order = here.layout.pictures.map((one) => one.name);
  if (!isLeft(place, here)) order.reverse();
  for (const name of order) {
    const point = place.at[name];
    if (point) return onDrawing(here.layout, name, name === "piece" && !isLeft(place, here) && !inTable(place, here) ? [Math.abs(point[0]), point[1]] : point);
  }
  return null;
}

function heights(here: Stand): SVGGElement {
  const group = mark("g", { class: "heights" });
  let before = Infinity;
  for (const one of [...(last.hand?.stations ?? [])].sort((a, b) => b.station_mm - a.station_mm)) {
    const row = mark("g", { class: "station", "data-station": one.station_mm, "data-reading": one.reading }, mark("path", { class: "lead", d: `M0 ${-one.station_mm}H${here.layout.width}` }));
    const y = Math.max(-one.station_mm - 0.9, -before + 5.4);
    if (here.layout.numbers !== null) row.append(mark("text", { class: "stl", x: here.layout.numbers, y: y, "text-anchor": "middle" }, height(one.station_mm)));
    before = -y;
    group.append(row);
  }
  return group;
}

function marks(here: Stand): SVGGElement {
  const group = mark("g", { class: "marks" });
  spots.clear();
  for (const place of last.work?.places ?? []) {
    const spot = spotOf(place, here);
    if (!spot) continue;
    spots.set(place.key, spot);
    const k = zoom.scale();
    group.append(mark("g", { class: "mark", "data-mark": place.key }, mark("circle", { class: "touch", cx: spot[0], cy: spot[1], r: Math.min(16 / k, 6) }), mark("circle", { class: "spot", cx: spot[0], cy: spot[1], r: 4.4 / k })));
  }
  return group;
}

export function draw(): void {
  const next = plan();
  if (!next) return;
  stand = next;
  const floor = find("#floor"), box = find("#picture");
  floor.classList.toggle("flow", next.flow);
  floor.classList.toggle("below", see.table && !next.table);
  for (const [name, value] of [["left", next.flow ? 0 : next.x0], ["width", next.width], ["height", next.height]] as const) box.style.setProperty(name, `${value}px`);
  zoom.frame({ x: 0, y: next.layout.top, w: next.layout.width, h: next.layout.height }, next.k);
  paint(next.layout);
  overlay();
}

/* Everything of our own over and under the pictures; done again when the view moves. */
export function overlay(): void {
  if (!stand) return;
  find<SVGGElement>("#under").replaceChildren(squares(stand.layout), heights(stand));
  find<SVGGElement>("#spots").replaceChildren(marks(stand));
  arrange();
  for (const act of drawnAfter) act();
}

interface Standing { li: HTMLElement; h: number; y: number; t: number }

/* Where two would touch they make room; the open one stays at its place. */
function room(list: Standing[], open: string): number {
  const gap = 2, fixed = list.findIndex((one) => one.li.dataset["place"] === open);
  for (let n = 0; n < 80; n += 1) for (let i = 1; i < list.length; i += 1) {
    const above = list[i - 1]!, below = list[i]!, over = above.t + above.h + gap - below.t, up = i - 1 === fixed ? 0 : i === fixed ? 1 : 0.5;
    if (over > 0) { above.t -= over * up; below.t += over * (1 - up); }
  }
  let y = 0;
  for (const one of list) { one.t = Math.max(one.t, y); y = one.t + one.h + gap; }
  if (fixed < 0 && stand) {
    let foot = Math.max(stand.height, y);
    for (const one of [...list].reverse()) { one.t = Math.min(one.t, foot - one.h); foot = one.t - gap; }
  }
  return y;
}

export function arrange(): void {
  if (!stand) return;
  const here = stand, floor = find("#floor"), columns: [Standing[], Standing[]] = [[], []];
  for (const li of all(".place", floor)) {
    const place = last.work?.places.find((one) => one.key === li.dataset["place"]), left = !!place && isLeft(place, here);
    li.hidden = !!place && inTable(place, here);
    if (li.hidden) continue;
    li.classList.toggle("right", !left);
    for (const name of ["width", "left", "right", "top"]) li.style.removeProperty(name);
    if (here.flow || !place) continue;
    li.style.setProperty("width", `${here.column}px`);
    const spot = spots.get(place.key), y = spot ? zoom.toPixels(spot[0], spot[1])[1] : 0;
    columns[left ? 0 : 1].push({ li, h: li.offsetHeight, y, t: clamp(0, y, here.height) - 22 });
  }
  let need = here.flow ? 0 : here.height;
  columns.forEach((list, side) => {
    list.sort((a, b) => a.y - b.y);
    need = Math.max(need, room(list, see.open));
    for (const one of list) { one.li.style.setProperty("top", `${Math.max(0, one.t)}px`); one.li.style.setProperty(side === 0 ? "left" : "right", `${side === 0 ? here.inLeft : here.inRight}px`); }
  });
  const table = find("#readings");
  table.hidden = !see.table;
  if (here.table) { table.style.setProperty("width", `${tableWidth(here.W, rem())}px`); need = Math.max(need, table.offsetHeight + 8); } else table.style.removeProperty("width");
  floor.style.setProperty("height", here.flow ? "auto" : `${need + (floor.classList.contains("below") ? table.offsetHeight : 0)}px`);
  floor.style.setProperty("padding-top", floor.classList.contains("below") && !here.flow ? `${need}px` : "0");
  threads(here);
}

function curve(x0: number, y0: number, x1: number, y1: number): string {
  const d = Math.sign(x1 - x0) || 1, m = Math.min(30, Math.abs(x1 - x0) / 2);
  return `M${x0} ${y0}C${x0 + d * m} ${y0} ${x1 - d * m} ${y1} ${x1} ${y1}`;
}

function threads(here: Stand): void {
  const svg = find<SVGSVGElement>("#threads"), floor = find("#floor").getBoundingClientRect(), lines: SVGPathElement[] = [];
  if (!here.flow) for (const li of all(".place")) {
    const spot = spots.get(li.dataset["place"] ?? "");
    if (!spot || li.hidden || !zoom.sees(spot[0], spot[1])) continue;
    const tag = find(".tag", li).getBoundingClientRect(), left = !li.classList.contains("right"), [x, y] = zoom.toPixels(spot[0], spot[1]);
    const far = Math.abs(tag.top + tag.height / 2 - floor.top - y) > FAR; // a long one would cross the leather: it shows when it is lit
    lines.push(mark("path", { ...(far ? { class: "far" } : {}), "data-thread": li.dataset["place"] ?? "", d: curve((left ? tag.right : tag.left) - floor.left, tag.top + tag.height / 2 - floor.top, here.x0 + x + (left ? -5 : 5), y) }));
  }
  if (here.table) for (const row of all("#readings tbody tr")) {
    const box = row.getBoundingClientRect(), y = zoom.toPixels(0, -Number(row.dataset["station"]))[1];
    if (Number.isFinite(y) && row.dataset["station"] !== "") lines.push(mark("path", { "data-row": row.dataset["reading"] ?? "", d: curve(box.right - floor.left, box.top + box.height / 2 - floor.top, here.x0, y) }));
  }
  svg.replaceChildren(...lines);
}

export function begin(): void {
  let frame = 0;
  const again = (): void => { cancelAnimationFrame(frame); frame = requestAnimationFrame(draw); };
  zoom.begin(overlay);
  window.addEventListener("resize", again);
  window.addEventListener("reach", again);
  void document.fonts?.ready.then(again);
  hear("work", draw);
}
