/* The drawing is one stop of the Tab key: arrows walk places and holes, Enter opens, Alt with arrows changes the reading. */
import { find } from "./elements";
import { numberAt } from "./fields";
import { show as light } from "./light";
import { here as measureHere, leave as measureLeave } from "./measuring";
import { job, see, tell } from "./page";
import { readingPath, tagOf, toggle, walk } from "./places";
import { trueSize } from "./truesize";
import { step } from "./why";
import * as zoom from "./zoom";

function nudge(by: number): void {
  const path = readingPath(see.lit), now = path ? numberAt(path) : null;
  if (path && now !== null) job.change([{ path, value: Math.round((now + by) * 10) / 10 }], `nudge:${path.join(".")}`);
}

function press(event: KeyboardEvent): boolean {
  if (event.altKey && (event.key === "ArrowUp" || event.key === "ArrowDown")) { nudge((event.key === "ArrowUp" ? 1 : -1) * (event.shiftKey ? 1 : 0.1)); return true; }
  if (event.ctrlKey || event.metaKey || event.altKey) return false;
  switch (event.key) {
    case "ArrowDown": tell("light", walk(1)); return true;
    case "ArrowUp": tell("light", walk(-1)); return true;
    case "ArrowRight": step(1); return true;
    case "ArrowLeft": step(-1); return true;
    case "Enter":
      if (see.measure) measureHere();
      else if (see.lit) { toggle(see.lit, true); tagOf(see.lit)?.focus(); }
      return true;
    case "Escape": if (see.measure) { measureLeave(); } else if (see.open) toggle(see.open); else return false; return true;
    case "+": case "=": zoom.zoomAt(1.5); return true;
    case "-": zoom.zoomAt(1 / 1.5); return true;
    case "0": zoom.fits(); return true;
    case "1": trueSize(); return true;
  }
  return false;
}

export function begin(): void {
  find("#picture").addEventListener("keydown", (event) => { if (press(event)) { event.preventDefault(); light(); } });
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.key.toLowerCase() !== "z" || document.querySelector("dialog[open]")) return;
    event.preventDefault();
    if (event.shiftKey) job.redo(); else job.undo();
  });
  const undo = find<HTMLButtonElement>("#undo"), redo = find<HTMLButtonElement>("#redo");
  const show = (): void => { undo.setAttribute("aria-disabled", String(job.history.past.length === 0)); redo.setAttribute("aria-disabled", String(job.history.future.length === 0)); };
  undo.addEventListener("click", () => job.undo());
  redo.addEventListener("click", () => job.redo());
  job.listen(show);
  show();
}
