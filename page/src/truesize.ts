/* True size: the flat piece millimetre for millimetre, once a bar on this screen has been measured with a rule. */
import { find, mark } from "./elements";
import { see } from "./page";
import { afterDrawing, stand } from "./stage";
import { laid, say } from "./words";
import * as zoom from "./zoom";

const SHELF = "screen_dots_per_mm"; // dots of the screen, not of the page: looking closer with the browser changes nothing
const LEAST = 1, MOST = 25; // dots of the page for a millimetre: no screen is coarser or finer

let bar = 0;

/* What a millimetre is on this screen, in pixels of the page; null until it was measured. */
export function perMm(): number | null {
  let dots = 0;
  try { dots = Number(localStorage.getItem(SHELF)); } catch { /* not kept here */ }
  const found = dots / window.devicePixelRatio;
  return found >= LEAST && found <= MOST ? found : null;
}

function kept(pixels: number): void {
  try { localStorage.setItem(SHELF, String(pixels * window.devicePixelRatio)); } catch { /* holds as long as the page: asked again next time */ }
}

/* A length read from a rule, in mm: decimals with point or comma, inches with fractions. */
export function readRule(text: string): number | null {
  const found = /^(\d+(?:[.,]\d+)?)?(?:[\s-]*(\d+)\s*\/\s*(\d+))?\s*(mm|cm|in|inch|inches|")?$/.exec(text.trim());
  if (!found || (found[1] === undefined && found[2] === undefined)) return null;
  const value = Number((found[1] ?? "0").replace(",", ".")) + (found[2] ? Number(found[2]) / Number(found[3]) : 0);
  const unit = found[4] ?? (laid.units === "inch" ? "in" : "mm");
  const mm = value * (unit === "mm" ? 1 : unit === "cm" ? 10 : 25.4);
  return Number.isFinite(mm) && mm > 0 ? mm : null;
}

function middle(): [number, number] {
  const here = stand!, piece = here.layout.pictures.find((one) => one.name === "piece") ?? here.layout.pictures[0]!;
  return [piece.name === "piece" ? piece.cx : piece.x + piece.w / 2, piece.y + piece.h / 2];
}

function measure(): void {
  const dialog = find<HTMLDialogElement>("#screen");
  dialog.showModal();
  bar = Math.min(480, Math.floor(find("#screen-bar").parentElement!.clientWidth / 20) * 20);
  find("#screen-bar").style.setProperty("width", `${bar}px`);
  find("#screen-said").textContent = "";
  const input = find<HTMLInputElement>("#screen-read");
  input.removeAttribute("aria-invalid");
  input.value = "";
  input.focus();
}

function take(): void {
  const input = find<HTMLInputElement>("#screen-read"), mm = readRule(input.value);
  const wrong = mm === null ? "screen.number" : bar / mm < LEAST || bar / mm > MOST ? "screen.range" : "";
  input.toggleAttribute("data-refused", wrong !== "");
  if (wrong || mm === null) { input.setAttribute("aria-invalid", "true"); find("#screen-said").textContent = say(wrong, { text: input.value.trim() }); input.focus(); return; }
  kept(bar / mm);
  find<HTMLDialogElement>("#screen").close();
  zoom.trueSize(bar / mm, ...middle());
  find("#picture").focus({ preventScroll: true });
}

/* True size, or the bar to measure first; once more is all of it again. */
export function trueSize(): void {
  if (!stand) return;
  const known = perMm();
  if (known === null) measure();
  else if (zoom.isTrue()) zoom.fits();
  else zoom.trueSize(known, ...middle());
}

/* A bar to lay the rule against, in the corner that is looked at. */
function check(): void {
  const on = zoom.isTrue(), group = find<SVGGElement>("#truebar"), inch = laid.units === "inch", mm = inch ? 50.8 : 50;
  find("#b-true").setAttribute("aria-pressed", String(on));
  find("#screen-again").hidden = !on || see.right !== "flat";
  group.replaceChildren();
  if (!on) return;
  const w = zoom.seen(), x = w.x + 4, y = w.y + w.h - 5;
  group.append(mark("path", { class: "rulehalo", d: `M${x} ${y}H${x + mm}` }), mark("path", { class: "rule", d: `M${x} ${y - 2.5}V${y + 2.5}M${x} ${y}H${x + mm}M${x + mm} ${y - 2.5}V${y + 2.5}` }),
    mark("text", { class: "barsaid", x: x + mm / 2, y: y - 2, "text-anchor": "middle" }, say(inch ? "screen.bar_inch" : "screen.bar")));
}

export function begin(): void {
  find("#b-true").addEventListener("click", trueSize);
  find("#screen-again").addEventListener("click", measure);
  find("#screen-take").addEventListener("click", take);
  find("#screen-close").addEventListener("click", () => find<HTMLDialogElement>("#screen").close());
  find("#screen-read").addEventListener("keydown", (event) => { if ((event as KeyboardEvent).key === "Enter") { event.preventDefault(); take(); } });
  afterDrawing(check);
}
