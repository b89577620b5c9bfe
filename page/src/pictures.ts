/* The pictures side by side in one drawing: mouth up, the same height on the same line in all of them. */
import { drawn, find, mark } from "./elements";
import { last, see } from "./page";
import type { Work } from "./shapes";

export interface Picture { name: "front" | "back" | "piece"; x: number; y: number; w: number; h: number; cx: number; svg: SVGSVGElement }

const GAP = 9; // mm between pictures, and between a picture and the heights
const kept = new Map<string, { text: string; svg: SVGSVGElement; box: number[] }>();

/* The drawing from the answer, read anew only if its text is another. */
function part(name: string, text: string): { svg: SVGSVGElement; box: number[] } | null {
  const known = kept.get(name);
  if (known && known.text === text) return known;
  const svg = drawn(text);
  if (!svg) return known ?? null;
  const box = (svg.getAttribute("viewBox") ?? "0 0 1 1").split(/[\s,]+/).map(Number);
  const made = { text, svg, box };
  kept.set(name, made);
  return made;
}

/* y of height 0 in a picture's own millimetres: where its places say it is. */
function zero(work: Work, name: string): number {
  const one = work.places.find((place) => place.key === "bottom" && place.at[name]) ?? work.places.find((place) => place.station_mm !== null && place.at[name]);
  if (name === "piece" || !one) return 0;
  return one.at[name]![1] + (one.station_mm ?? 0);
}

export interface Layout { pictures: Picture[]; width: number; top: number; height: number; numbers: number | null }

/* Which pictures stand side by side, in mm; heights are written between the first two, or left of the only one. */
export function layOut(names: Picture["name"][]): Layout | null {
  const work = last.work;
  if (!work) return null;
  const pictures: Picture[] = [];
  let x = names.length === 1 ? 2 * GAP : GAP, top = Infinity, foot = -Infinity, numbers: number | null = names.length === 1 ? GAP : null;
  for (const name of names) {
    const text = work.drawings[name], made = text ? part(name, text) : kept.get(name) ?? null;
    if (!made) continue;
    const [vx = 0, vy = 0, w = 1, h = 1] = made.box, y = vy - zero(work, name);
    if (pictures.length === 1) { numbers = x + GAP; x += 2 * GAP; }
    pictures.push({ name, x, y, w, h, cx: x - vx, svg: made.svg });
    x += w + (pictures.length === 1 ? 0 : GAP);
    top = Math.min(top, y);
    foot = Math.max(foot, y + h);
  }
  if (pictures.length === 0) return null;
  return { pictures, width: x + (pictures.length === 1 ? GAP : 0), top: top - 3, height: foot - top + 6, numbers };
}

/* A point of a picture in the drawing's own millimetres. */
export function onDrawing(layout: Layout, name: string, point: readonly [number, number]): [number, number] | null {
  const one = layout.pictures.find((each) => each.name === name);
  if (!one || !last.work) return null;
  return [one.cx + point[0], point[1] - zero(last.work, name)];
}

export function paint(layout: Layout): void {
  const pic = find<SVGSVGElement>("#pic"), ground = find<SVGGElement>("#ground");
  const nodes = layout.pictures.map((one) => {
    one.svg.setAttribute("x", String(one.x));
    one.svg.setAttribute("y", String(one.y));
    one.svg.setAttribute("width", String(one.w));
    one.svg.setAttribute("height", String(one.h));
    one.svg.setAttribute("class", `view ${one.name}`);
    one.svg.setAttribute("overflow", "visible");
    one.svg.removeAttribute("role");
    one.svg.setAttribute("aria-hidden", "true");
    return one.svg;
  });
  const now = [...ground.children];
  if (now.length !== nodes.length || now.some((child, n) => child !== nodes[n])) ground.replaceChildren(...nodes);
  pic.classList.toggle("show-hand", see.hand);
  pic.classList.toggle("show-stretch", see.stretch);
}

/* Ten-millimetre squares under the flat piece. */
export function squares(layout: Layout): SVGGElement {
  const group = mark("g", { class: "grid" }), piece = layout.pictures.find((one) => one.name === "piece");
  if (!piece || piece.svg.querySelector(".grid")) return group; // the drawing has its own
  const left = Math.ceil((piece.x - piece.cx) / 10) * 10, right = piece.x + piece.w - piece.cx;
  for (let x = left; x <= right; x += 10) group.append(mark("path", { d: `M${piece.cx + x} ${piece.y}V${piece.y + piece.h}`, ...(x % 50 ? {} : { class: "g5" }) }));
  for (let y = Math.ceil(piece.y / 10) * 10; y <= piece.y + piece.h; y += 10) group.append(mark("path", { d: `M${piece.x} ${y}H${piece.x + piece.w}`, ...(y % 50 ? {} : { class: "g5" }) }));
  return group;
}
