/* Why is this here: a hole under the pointer or stepped to says where it is, which readings made it, how far each moves it. */
import { all, find, make } from "./elements";
import { hear, job, last, see } from "./page";
import { Lane } from "./server";
import type { Why } from "./shapes";
import { laid, length, say } from "./words";

let what = "", late = 0;
const asked = new Lane<Why>("/api/why", (answer) => told(answer));

function told(answer: Why): void {
  const line = find("#why");
  if (line.dataset["what"] !== what) return;
  line.replaceChildren(/^hole:/.test(what) ? here() : answer.text.replace(/^[\w:]+: /, ""));
  if (answer.reasons.length) line.append(" ", make("span", { class: "reasons" }, ...answer.reasons.slice(0, 3).flatMap((one, n) => [n ? "; " : "", make("b", { text: one.text })])), ".");
}

/* What can be said at once, from what was worked out already. */
function here(): string {
  const hole = /^hole:(\d+)/.exec(what), work = last.work?.worked;
  if (!hole || !work) return say("why.asking");
  const n = Number(hole[1]), one = work.seam.holes[n - 1];
  return one ? say(one.layers > 2 ? "why.hole_collar" : "why.hole", { x: length(one.x_mm), y: length(one.y_mm), n }) : "";
}

function name(): void {
  const hole = /^hole:(\d+)/.exec(what);
  const hanger = /^hanger:(\d+)/.exec(what);
  find("#hole-name").textContent = hole ? say("why.name", { n: hole[1]! }) : hanger ? say("why.hanger", { n: hanger[1]! }) : say(what === "blank" ? "why.blank" : "why.line");
  for (const one of all<SVGElement>("#ground [data-why]")) one.classList.toggle("here", !!hole && (one.dataset["why"] ?? "").replace(/:(left|right)$/, "") === `hole:${hole[1]}`);
}

export function ask(next: string, soon = 350): void {
  if (!next) return;
  const changed = next !== what;
  what = next;
  const line = find("#why");
  if (changed || line.dataset["what"] !== what) { line.dataset["what"] = what; line.textContent = here(); }
  name();
  clearTimeout(late);
  late = window.setTimeout(() => asked.ask({ document: job.value, what, units: laid.units }), soon);
}

export function step(by: 1 | -1): void {
  const n = last.work?.worked.seam.count ?? 0;
  if (!n) return;
  see.hole = ((see.hole - 1 + by + n) % n) + 1;
  ask(`hole:${see.hole}`);
}

export function begin(): void {
  find("#hole-above").addEventListener("click", () => step(-1));
  find("#hole-below").addEventListener("click", () => step(1));
  const point = (event: Event): void => {
    const key = (event.target as Element).closest<SVGElement>("[data-why]")?.dataset["why"];
    if (!key) return;
    const hole = /^hole:(\d+)/.exec(key);
    if (hole) see.hole = Number(hole[1]);
    ask(hole ? `hole:${hole[1]}` : key, event.type === "click" ? 0 : 250);
  };
  find("#picture").addEventListener("pointerover", point);
  find("#picture").addEventListener("click", point);
  hear("work", (answer) => {
    see.hole = Math.max(1, Math.min(see.hole, answer.worked.seam.count));
    if (what) { find("#why").textContent = here(); ask(what, 900); } else { what = `hole:${Math.min(12, answer.worked.seam.count)}`; see.hole = Math.min(12, answer.worked.seam.count); find("#why").dataset["what"] = what; find("#why").textContent = here(); }
    name();
  });
}
