/* The foot: what should be known before cutting, always in view, each a link to its field, its remedy a button. */
import { all, find, make, mark, write } from "./elements";
import { fieldFor } from "./fields";
import { hear, job, last, see, tell } from "./page";
import { key, type Json, type Path } from "./paths";
import type { Finding, Refusal } from "./shapes";
import { count, say } from "./words";

let refused: Refusal[] = [], hadStop = false, told = "";

function sign(severity: string): SVGSVGElement {
  return mark("svg", { viewBox: "0 0 24 24", "aria-hidden": "true" }, mark("use", { href: `#i-${severity}` }));
}

/* Goes to the field of a place in the document: opens the place or the panel it lies in. */
export function goTo(path: Path): void {
  const here = last.work?.places.find((place) => place.fields.some((one) => key(one.path) === key(path)))
    ?? last.work?.places.find((place) => place.fields.some((one) => key(one.path).startsWith(key(path)) || key(path).startsWith(key(one.path.slice(0, -1)) + ".")));
  if (here && !see.table) { tell("open", here.key); }
  let input = fieldFor(path);
  if (!input || input.offsetParent === null) {
    const row = path[0] === "form" && path[1] === "girths";
    if (row) { tell("open", "table"); input = fieldFor(path.length > 3 ? path : [...path.slice(0, 3), "reading_mm"]) ?? input; }
    input?.closest("details")?.setAttribute("open", "");
  }
  input?.focus();
  input?.scrollIntoView({ block: "center" });
  if (input instanceof HTMLInputElement) input.select();
}

function item(one: Finding): HTMLElement {
  const acts: HTMLElement[] = [];
  if (one.where.length) acts.push(make("button", { class: "btn bare", type: "button", onclick: () => goTo(one.where) }, say("finding.show")));
  if (one.fix) {
    const fix = one.fix;
    acts.push(make("button", { class: "btn bare", type: "button", "data-fix": one.code, onclick: () => job.change(fix.changes.map((each) => ({ path: each.path, value: (each.value ?? undefined) as Json | undefined }))) }, fix.label));
  }
  return make("li", { class: `finding ${one.severity}`, "data-code": one.code }, sign(one.severity),
    make("div", {}, make("p", {}, make("span", { class: "word", text: say(`finding.${one.severity}`) }), ` ${one.text}`),
      one.remedy ? make("p", { class: "quiet", text: one.remedy }) : null, acts.length ? make("p", { class: "do" }, ...acts) : null));
}

function counted(kind: "stop" | "check" | "note", n: number): void {
  const element = find(`#n-${kind}`);
  element.hidden = n === 0;
  write(find("span", element), count(`finding.n.${kind}`, n));
}

function show(): void {
  const findings: Finding[] = [...refused.map((one) => ({ code: one.code, severity: "stop" as const, text: one.text, remedy: [one.remedy, say("finding.kept")].filter(Boolean).join(" "), where: one.where })), ...(last.work?.findings ?? [])];
  const stops = findings.filter((one) => one.severity === "stop").length;
  const now = JSON.stringify(findings);
  if (now !== told) {
    told = now;
    find("#findings-list").replaceChildren(...(findings.length ? findings.map(item) : [make("li", { class: "nothing", text: say("finding.nothing") })]));
    for (const kind of ["stop", "check", "note"] as const) counted(kind, findings.filter((one) => one.severity === kind).length);
    write(find("#first"), findings[0]?.text ?? say("finding.nothing"));
    write(find("#free"), say(stops ? "finding.no_sheet" : "finding.free"));
  }
  const empty = (one: Finding): boolean => one.where.length > 0 && (job.at(one.where) ?? "") === ""; // a row just added is still being filled in
  if (findings.some((one) => one.severity === "stop" && !empty(one)) && !hadStop) find<HTMLDetailsElement>("#findings-fold").open = true;
  hadStop = stops > 0;
  const print = find("#print");
  print.setAttribute("aria-disabled", String(stops > 0));
  if (stops) print.setAttribute("aria-describedby", "free"); else print.removeAttribute("aria-describedby");
  document.body.classList.toggle("stopped", stops > 0);
}

export function begin(): void {
  hear("work", show);
  hear("refused", (list) => { refused = list; show(); });
  find("#print").addEventListener("click", (event) => { if (find("#print").getAttribute("aria-disabled") === "true") event.preventDefault(); });
  for (const fold of all<HTMLDetailsElement>("#findings-fold")) fold.addEventListener("toggle", () => tell("light", see.lit));
}
