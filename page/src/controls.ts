/* The buttons over the drawing: which picture stands on the right, hand line, stretch, readings, the form in 3-D. */
import { find } from "./elements";
import { see, tell } from "./page";
import { askWork } from "./results";
import { toggle } from "./places";
import { draw, rem } from "./stage";

type Right = "front" | "back" | "flat";

function pressed(id: string, on: boolean): void { find(`#${id}`).setAttribute("aria-pressed", String(on)); }

export function show(): void {
  for (const one of ["front", "back", "flat"] as const) pressed(`v-${one}`, see.right === one && !see.solid);
  pressed("v-solid", see.solid);
  pressed("b-hand", see.hand);
  pressed("b-stretch", see.stretch);
  pressed("b-table", see.table);
  find("#key").hidden = !see.stretch || see.solid;
  find("#solid").hidden = !see.solid;
  find("#floor").hidden = see.solid;
  find("#tools").hidden = see.solid;
  for (const one of ["#b-hand", "#b-stretch", "#b-table"]) find(one).hidden = see.solid; // of the drawings; the form has its own
  find("#b-measure").hidden = see.right !== "flat";
  find("#b-true").hidden = see.right !== "flat";
  if (!see.solid) draw();
  try { sessionStorage.setItem("see", JSON.stringify({ right: see.right, hand: see.hand, stretch: see.stretch, table: see.table })); } catch { /* not kept */ }
}

export function turn(right: Right): void {
  see.right = right;
  see.solid = false;
  show();
  askWork();
}

async function solid(): Promise<void> {
  see.solid = !see.solid;
  show();
  if (see.solid) (await import("./form3d")).open();
}

export function begin(): void {
  try { Object.assign(see, JSON.parse(sessionStorage.getItem("see") ?? "{}")); } catch { /* as usual */ }
  const want = new URLSearchParams(location.search);
  const view = want.get("view");
  if (view === "front" || view === "back" || view === "flat") see.right = view;
  else if (find("#floor").clientWidth < 41 * rem() && see.right === "back") see.right = "front";
  if (want.has("stretch")) see.stretch = true;
  if (want.has("table")) see.table = true;
  for (const one of ["front", "back", "flat"] as const) find(`#v-${one}`).addEventListener("click", () => turn(one));
  find("#v-solid").addEventListener("click", () => void solid());
  find("#b-hand").addEventListener("click", () => { see.hand = !see.hand; show(); });
  find("#b-stretch").addEventListener("click", () => { see.stretch = !see.stretch; show(); askWork(); });
  find("#b-table").addEventListener("click", () => { see.table = !see.table; if (see.table) { if (see.open) toggle(see.open); tell("open", "table"); } show(); });
  show();
  if (want.get("view") === "solid") void solid();
}
