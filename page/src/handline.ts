/* The hand line, live: half the strap each side, dots joined, on the flat piece; its knobs are the readings themselves. */
import { find, mark } from "./elements";
import { fieldFor, numberAt } from "./fields";
import { hear, job, last, see, tell } from "./page";
import { key, type Path } from "./paths";
import { afterDrawing, stand } from "./stage";
import { length, type FieldWords } from "./words";
import * as zoom from "./zoom";

interface Grip { path: Path; start: number; from: number; sign: number; per: "across" | "along"; serial: number; moved: boolean }
let grip: Grip | null = null, serial = 0;

const nodeOf = (n: number): Path => ["form", "girths", n, "reading_mm"];

/* What the dots give, both sides, and a knob at each that is a girth. */
export function show(): void {
  const group = find<SVGGElement>("#handline"), piece = stand?.layout.pictures.find((one) => one.name === "piece");
  group.replaceChildren();
  if (!piece || !last.hand) return;
  const dots = last.hand.dots, k = zoom.scale();
  if (see.hand && dots.length > 1) for (const side of [1, -1]) {
    const d = `M${dots.map(([x, y]) => `${piece.cx + side * Math.abs(x)} ${-y}`).join("L")}`;
    group.append(mark("path", { class: "ghosthalo", d }), mark("path", { class: "ghostline", d }));
  }
  for (const row of last.hand.stations) for (const side of [1, -1]) {
    const half = last.work?.worked.stations.find((one) => one.reading === row.reading)?.half_width_mm ?? row.half_width_mm;
    const x = piece.cx + side * half, y = -row.station_mm;
    group.append(mark("g", { class: "knob", "data-reading": row.reading, "data-side": side }, mark("circle", { class: "grip", cx: x, cy: y, r: 13 / k }), mark("circle", { class: "bead", cx: x, cy: y, r: 5.5 / k })));
  }
  group.append(...levels(piece.x + piece.w, k));
  find("#gap").replaceChildren();
}

/* A diamond for each landmark that is a height, beside the piece; where two would touch they stand apart, each on a thread to its level. */
function levels(edge: number, k: number): SVGGElement[] {
  const marks = (last.work?.places ?? []).flatMap((place) => place.station_mm !== null && place.fields.some(isLevel) ? [{ key: place.key, y: -place.station_mm, at: -place.station_mm }] : []);
  spread(marks, 24 / k);
  const x = edge + 5.5;
  return marks.map((one) => mark("g", { class: "knob level", "data-landmark": one.key }, mark("path", { class: "reach", d: `M${edge - 2} ${one.y}C${edge + 2} ${one.y} ${edge} ${one.at} ${x - 6 / k} ${one.at}` }),
    mark("rect", { class: "grip", x: x - 12 / k, y: one.at - 12 / k, width: 24 / k, height: 24 / k }), mark("path", { class: "bead", d: `M${x - 6 / k} ${one.at}L${x} ${one.at - 5 / k}L${x + 6 / k} ${one.at}L${x} ${one.at + 5 / k}Z` })));
}

const isLevel = (one: FieldWords): boolean => one.path[1] === "landmarks" && /_mm$/.test(String(one.path.at(-1))) && !/(width|depth|above)/.test(String(one.path.at(-1)));

/* Moves marks apart until each has its room, as little as can be. */
function spread(marks: { y: number; at: number }[], room: number): void {
  marks.sort((a, b) => a.y - b.y);
  for (let n = 0; n < 60; n += 1) for (let i = 1; i < marks.length; i += 1) {
    const above = marks[i - 1]!, below = marks[i]!, over = above.at + room - below.at;
    if (over > 1e-6) { above.at -= over / 2; below.at += over / 2; }
  }
}

function take(event: PointerEvent): void {
  const knob = (event.target as Element).closest<SVGGElement>(".knob");
  if (!knob) return;
  event.preventDefault();
  event.stopPropagation();
  const n = knob.dataset["reading"], place = last.work?.places.find((one) => one.key === knob.dataset["landmark"]);
  const path = n !== undefined ? nodeOf(Number(n)) : place?.fields.find((one) => one.path[1] === "landmarks")?.path;
  if (!path) return;
  tell("light", n !== undefined ? `row:${n}` : place!.key);
  const start = numberAt(path) ?? (n === undefined ? place!.station_mm : null);
  if (start === null) { if (n !== undefined) tell("open", "table"); fieldFor(path)?.focus(); return; } // a caliper row takes the focus instead
  grip = { path, start, from: n !== undefined ? event.clientX : event.clientY, sign: Number(knob.dataset["side"] ?? 1), per: n !== undefined ? "across" : "along", serial: ++serial, moved: false };
  find("#picture").setPointerCapture(event.pointerId);
}

function drag(event: PointerEvent): void {
  if (!grip) return;
  const by = grip.per === "across" ? 2 * grip.sign * (event.clientX - grip.from) : -(event.clientY - grip.from);
  if (!grip.moved && by === 0) return;
  const value = Math.round((grip.start + by / zoom.scale()) * 10) / 10;
  grip.moved = true;
  job.change([{ path: grip.path, value }], `drag:${grip.serial}`);
  const at = find("#picture").getBoundingClientRect(), [x, y] = zoom.toMm(event.clientX - at.left, event.clientY - at.top);
  find("#dragged").replaceChildren(mark("text", { class: "live", x: x, y: y - 14 / zoom.scale(), "text-anchor": "middle" }, length(value)));
}

function openPlace(path: Path): void {
  const place = last.work?.places.find((one) => one.fields.some((each) => key(each.path) === key(path)));
  if (place) tell("open", place.key);
}

function drop(): void {
  if (!grip) return;
  const { moved, path } = grip;
  grip = null;
  if (!moved) openPlace(path); // touched, not dragged
  job.history.close();
  find("#dragged").replaceChildren();
}

export function begin(): void {
  const box = find("#picture");
  box.addEventListener("pointerdown", take);
  box.addEventListener("pointermove", drag);
  box.addEventListener("pointerup", drop);
  box.addEventListener("pointercancel", drop);
  hear("hand", show);
  afterDrawing(show);
}
