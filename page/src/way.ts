/* The order of work as a seam: sewn is done, the needle is where you are, pricked holes are to come. */
import { find, make, mark } from "./elements";
import { hear } from "./page";
import type { Leg } from "./shapes";
import { say } from "./words";

const GOES: Record<string, string> = { ask: "#panel-ask", measure: "#stage", form: "#panel-form", leather: "#panel-leather", upper: "#panel-upper", sew: "#panel-sew", fit: "#fit", papers: "#papers" };
let told = "";

function run(state: Leg["state"]): SVGSVGElement {
  const svg = mark("svg", { class: "run", "aria-hidden": "true" });
  svg.append(mark("rect", { width: "100%", height: 14, fill: `url(#p-${state === "done" ? "sewn" : "open"})` }));
  if (state === "here") svg.append(mark("rect", { width: 54, height: 14, class: "patch" }), mark("rect", { width: 54, height: 14, fill: "url(#p-sewn)" }), mark("path", { class: "thread", d: "M54 9.4C58 8 60 7 66 7.2" }), mark("path", { class: "needle", d: "M66 7.2 92 2.2" }));
  return svg;
}

function leg(one: Leg): HTMLElement {
  const link = make("a", { href: GOES[one.key] ?? "#main" }, run(one.state), make("b", { text: one.name || say(`leg.${one.key}`) }),
    make("small", {}, one.text, make("span", { class: "sr", text: `, ${say(`way.${one.state}`)}` })));
  if (one.missing.length) link.append(make("small", { class: "missing", text: one.missing.join(" ") }));
  if (one.state === "here") link.setAttribute("aria-current", "step");
  return make("li", {}, link);
}

export function begin(): void {
  const list = find("#way ol");
  const show = (legs: Leg[]): void => {
    const now = JSON.stringify(legs);
    if (now === told || legs.length === 0) return;
    const first = told === "";
    told = now;
    list.replaceChildren(...legs.map(leg));
    const here = list.querySelector<HTMLElement>("[aria-current]");
    if (first && here) find("#way").scrollLeft = here.offsetLeft - 60;
  };
  list.addEventListener("click", (event) => {
    const to = (event.target as Element).closest("a")?.hash;
    const target = to ? document.querySelector<HTMLElement>(to) : null;
    if (!target) return;
    event.preventDefault();
    if (target instanceof HTMLDetailsElement) target.open = true;
    target.scrollIntoView({ block: "start" });
    (target.querySelector<HTMLElement>("summary, h2, input, select") ?? target).focus({ preventScroll: true });
  });
  hear("work", (answer) => show(answer.way));
}
