/* The measuring tool on the flat piece: two points, the distance between them; by pointer, or hole by hole with Enter. */
import { find, mark } from "./elements";
import { last, see } from "./page";
import { onDrawing } from "./pictures";
import { afterDrawing, stand } from "./stage";
import { length, say } from "./words";
import * as zoom from "./zoom";

let from: [number, number] | null = null, to: [number, number] | null = null, moving = false;

function show(): void {
  const group = find<SVGGElement>("#rule"), k = zoom.scale();
  group.replaceChildren();
  const said = find("#measured");
  if (!from || !to) { said.textContent = see.measure ? say("measure.how") : ""; return; }
  const d = Math.hypot(to[0] - from[0], to[1] - from[1]);
  group.append(mark("path", { class: "rulehalo", d: `M${from[0]} ${from[1]}L${to[0]} ${to[1]}` }), mark("path", { class: "rule", d: `M${from[0]} ${from[1]}L${to[0]} ${to[1]}` }),
    ...[from, to].map((one) => mark("circle", { class: "ruleend", cx: one[0], cy: one[1], r: 3.5 / k })));
  said.textContent = say("measure.is", { d: length(d), across: length(Math.abs(to[0] - from[0])), along: length(Math.abs(to[1] - from[1])) });
}

function set(point: [number, number]): void {
  if (!moving) { from = to = point; moving = true; } else { to = point; moving = false; }
  show();
}

/* A point at the hole that is stepped to. */
export function here(): void {
  const hole = last.work?.worked.seam.holes[see.hole - 1];
  const point = hole && stand ? onDrawing(stand.layout, "piece", [hole.x_mm, -hole.y_mm]) : null;
  if (point) set(point);
}

export function leave(): void {
  see.measure = false;
  from = to = null;
  moving = false;
  find("#b-measure").setAttribute("aria-pressed", "false");
  find("#picture").classList.remove("measuring");
  show();
}

export function begin(): void {
  const button = find("#b-measure"), box = find("#picture");
  button.addEventListener("click", () => {
    if (see.measure) { leave(); return; }
    see.measure = true;
    button.setAttribute("aria-pressed", "true");
    box.classList.add("measuring");
    show();
    box.focus({ preventScroll: true });
  });
  const point = (event: MouseEvent): [number, number] => { const at = box.getBoundingClientRect(); return zoom.toMm(event.clientX - at.left, event.clientY - at.top); };
  box.addEventListener("click", (event) => { if (see.measure) set(point(event)); });
  box.addEventListener("pointermove", (event) => { if (see.measure && moving && from) { to = point(event); show(); } });
  afterDrawing(show);
}
