/* Looking closer: wheel, pinch, + and -, 0 for all of it, 1 for true size. Lines keep their weight, words their size. */
import { find } from "./elements";
import { say } from "./words";

export interface Window { x: number; y: number; w: number; h: number }
let whole: Window = { x: 0, y: 0, w: 1, h: 1 }, now: Window = whole, pixels = 1, exact = 0; // exact: pixels for a millimetre, where true size is held
let moved: () => void = () => {};
const WEIGHTS: Record<string, number> = { "--l-wide": 0.62, "--l-narrow": 0.32, "--l-hair": 0.18, "--l-hole": 0.72 };

export function factor(): number { return whole.w / now.w; }
export function isTrue(): boolean { return exact > 0; }
export function seen(): Window { return now; }
/* Pixels for one millimetre of the drawing, as it is looked at. */
export function scale(): number { return pixels * factor(); }
export function toPixels(x: number, y: number): [number, number] { return [(x - now.x) * scale(), (y - now.y) * scale()]; }
export function toMm(px: number, py: number): [number, number] { return [now.x + px / scale(), now.y + py / scale()]; }
export function sees(x: number, y: number): boolean { return x >= now.x && x <= now.x + now.w && y >= now.y && y <= now.y + now.h; }

function show(): void {
  const pic = find<SVGSVGElement>("#pic"), f = factor();
  pic.setAttribute("viewBox", `${now.x} ${now.y} ${now.w} ${now.h}`);
  for (const [name, value] of Object.entries(WEIGHTS)) { if (Math.abs(f - 1) > 0.001) pic.style.setProperty(name, String(value / f)); else pic.style.removeProperty(name); }
  pic.style.setProperty("--zoom", String(f));
  pic.classList.toggle("near", f > 1.001);
  find("#zoom-now").textContent = exact ? say("zoom.true_now") : f > 1.001 ? say("zoom.now", { n: Math.round(f * 100) }) : "";
}

/* The whole drawing has another size now; what was looked at closer stays in sight. */
export function frame(next: Window, pixelsPerMm: number): void {
  const near = exact > 0 || (factor() > 1.001 && Math.abs(next.w - whole.w) < 40);
  const f = exact ? exact / pixelsPerMm : factor(), cx = now.x + now.w / 2, cy = now.y + now.h / 2;
  whole = next;
  pixels = pixelsPerMm;
  now = near ? held({ x: cx - next.w / f / 2, y: cy - next.h / f / 2, w: next.w / f, h: next.h / f }) : next;
  show();
}

/* Never past the edge of the drawing; in the middle where there is more room than drawing. */
function held(want: Window): Window {
  const along = (low: number, size: number, at: number, part: number): number => part >= size ? low + (size - part) / 2 : Math.max(low, Math.min(low + size - part, at));
  return { ...want, x: along(whole.x, whole.w, want.x, want.w), y: along(whole.y, whole.h, want.y, want.h) };
}

export function zoomAt(times: number, px?: number, py?: number): void {
  const f = Math.max(Math.min(1, factor()), Math.min(24, factor() * times));
  exact = 0;
  const x = px ?? now.w * scale() / 2, y = py ?? now.h * scale() / 2, [mx, my] = toMm(x, y);
  const w = whole.w / f, h = whole.h / f;
  now = held({ x: mx - x / (pixels * f), y: my - y / (pixels * f), w, h });
  show();
  moved();
}

export function fits(): void { exact = 0; now = whole; show(); moved(); }

/* Millimetre for millimetre on the screen, the given point in the middle; held while numbers and windows change. */
export function trueSize(perMm: number, x: number, y: number): void {
  const f = perMm / pixels, w = whole.w / f, h = whole.h / f;
  exact = perMm;
  now = held({ x: x - w / 2, y: y - h / 2, w, h });
  show();
  moved();
}
export function pan(dx: number, dy: number): void { now = held({ ...now, x: now.x - dx / scale(), y: now.y - dy / scale() }); show(); moved(); }

export function begin(whenMoved: () => void): void {
  moved = whenMoved;
  const box = find("#picture"), fingers = new Map<number, PointerEvent>();
  let spread = 0;
  box.addEventListener("wheel", (event) => {
    if (!event.ctrlKey && !event.metaKey && !box.contains(document.activeElement)) return; // the page scrolls until the drawing is taken
    if (event.deltaY > 0 && factor() <= 1.001 && !event.ctrlKey) return;
    event.preventDefault();
    const at = box.getBoundingClientRect();
    zoomAt(Math.exp(-event.deltaY / (event.ctrlKey ? 120 : 500)), event.clientX - at.left, event.clientY - at.top);
  }, { passive: false });
  box.addEventListener("pointerdown", (event) => {
    if ((event.target as Element).closest(".grip, .mark")) return;
    fingers.set(event.pointerId, event);
    spread = 0;
    if (factor() > 1.001) box.setPointerCapture(event.pointerId);
  });
  box.addEventListener("pointermove", (event) => {
    const before = fingers.get(event.pointerId);
    if (!before) return;
    fingers.set(event.pointerId, event);
    const [one, two] = [...fingers.values()];
    if (one && two) {
      const apart = Math.hypot(one.clientX - two.clientX, one.clientY - two.clientY), at = box.getBoundingClientRect();
      if (spread) zoomAt(apart / spread, (one.clientX + two.clientX) / 2 - at.left, (one.clientY + two.clientY) / 2 - at.top);
      spread = apart;
    } else if (factor() > 1.001 && !box.classList.contains("measuring")) pan(event.clientX - before.clientX, event.clientY - before.clientY);
  });
  for (const end of ["pointerup", "pointercancel", "pointerleave"] as const) box.addEventListener(end, (event) => { fingers.delete(event.pointerId); spread = 0; });
  find("#zoom-in").addEventListener("click", () => zoomAt(1.5));
  find("#zoom-out").addEventListener("click", () => zoomAt(1 / 1.5));
  find("#zoom-fit").addEventListener("click", fits);
}
