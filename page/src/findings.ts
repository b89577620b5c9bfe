/* The foot: what should be known before cutting, always in view, each a link to its field, its remedy a button. */
import { all, find, make, mark, write } from "./elements";
import { fieldFor } from "./fields";
import { hear, job, last, see, tell } from "./page";
import { isObject, key, same, type Json, type JsonObject, type Path } from "./paths";
import type { Finding, Refusal } from "./shapes";
import { count, laid, say } from "./words";

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

/* Acceptance: a check may stay as it is, with the maker's reason; it lapses when what it speaks of moves. */
const nameOf = (one: Finding): string => `${one.code}:${key(one.where)}:${one.datum ?? ""}`;
let asking = "", typed = "";

function others(one: Finding): JsonObject[] {
  const list = job.at(["accepted"]);
  return (Array.isArray(list) ? list.filter(isObject) : []).filter((each) => each["code"] !== one.code || !same(each["where"] ?? [], [...one.where]) || (one.where.length === 0 && each["datum"] !== one.datum));
}

/* One act: the reason goes into the job, and out again with undo. Without a reason nothing is accepted. */
function accept(one: Finding, why: string): void {
  const rest = others(one);
  asking = "";
  job.change([{ path: ["accepted"], value: why ? [...rest, { code: one.code, where: [...one.where], datum: one.datum ?? "", why }] : rest.length ? rest : undefined }]);
  const now = last.work?.findings.find((each) => nameOf(each) === nameOf(one));
  if (now) now.accepted = why; // shown at once; the answer says the same
  show();
  focusOn(one);
}

function focusOn(one: Finding): void { all("#findings-list > li").find((li) => li.dataset["name"] === nameOf(one))?.querySelector<HTMLElement>("[data-accept], [data-why]")?.focus(); }

function ask(one: Finding, text: string): void { asking = nameOf(one); typed = text; show(); focusOn(one); }

function reason(one: Finding): HTMLElement {
  const id = "accept-why", wrong = make("span", { class: "wrong", id: `${id}-wrong`, role: "status" });
  const input = make("input", { id, type: "text", maxlength: 500, autocomplete: "off", "aria-describedby": wrong.id, "data-why": one.code });
  input.value = typed;
  const take = (): void => {
    const why = input.value.replace(/\s+/g, " ").trim();
    if (why) { accept(one, why); return; }
    input.setAttribute("aria-invalid", "true");
    write(wrong, say("finding.accept_empty"));
    input.focus();
  };
  const leave = (): void => { asking = ""; show(); focusOn(one); };
  input.addEventListener("input", () => { typed = input.value; });
  input.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); take(); } else if (event.key === "Escape") { event.preventDefault(); leave(); } });
  return make("div", { class: "field reason" }, make("label", { for: id, text: say("finding.why") }), input, wrong,
    make("p", { class: "do" }, make("button", { class: "btn", type: "button", "data-accept-take": one.code, onclick: take }, say("finding.accept_take")), make("button", { class: "btn bare", type: "button", onclick: leave }, say("finding.accept_leave"))));
}

function acceptance(one: Finding): HTMLElement[] {
  const button = (word: string, act: () => void): HTMLElement => make("button", { class: "btn bare", type: "button", "data-accept": one.code, onclick: act }, say(word));
  if (one.severity !== "check" || !one.datum || laid.read_only || asking === nameOf(one)) return [];
  return one.accepted ? [button("finding.accept_back", () => accept(one, "")), button("finding.accept_change", () => ask(one, one.accepted ?? ""))] : [button("finding.accept", () => ask(one, ""))];
}

function item(one: Finding): HTMLElement {
  const acts: HTMLElement[] = [];
  if (one.where.length) acts.push(make("button", { class: "btn bare", type: "button", onclick: () => goTo(one.where) }, say("finding.show")));
  if (one.fix) {
    const fix = one.fix;
    acts.push(make("button", { class: "btn bare", type: "button", "data-fix": one.code, onclick: () => job.change(fix.changes.map((each) => ({ path: each.path, value: (each.value ?? undefined) as Json | undefined }))) }, fix.label));
  }
  acts.push(...acceptance(one));
  return make("li", { class: `finding ${one.severity} ${one.accepted ? "accepted" : ""}`, "data-code": one.code, "data-name": nameOf(one) }, sign(one.severity),
    make("div", {}, make("p", {}, make("span", { class: "word", text: say(`finding.${one.severity}`) }), ` ${one.text}`),
      one.accepted ? make("p", { class: "why", text: say("finding.accepted", { why: one.accepted }) }) : one.remedy ? make("p", { class: "quiet", text: one.remedy }) : null,
      asking === nameOf(one) ? reason(one) : null, acts.length ? make("p", { class: "do" }, ...acts) : null));
}

function counted(kind: "stop" | "check" | "accepted" | "note", n: number): void {
  const element = find(`#n-${kind}`);
  element.hidden = n === 0;
  write(find("span", element), count(`finding.n.${kind}`, n));
}

/* What is accepted stands below what is still open. */
function everything(): Finding[] {
  const told = last.work?.findings ?? [], rank = (one: Finding): number => one.severity === "stop" ? 0 : one.severity === "note" ? 3 : one.accepted ? 2 : 1;
  const unread = refused.map((one) => ({ code: one.code, severity: "stop" as const, text: one.text, remedy: [one.remedy, say("finding.kept")].filter(Boolean).join(" "), where: one.where }));
  return [...unread, ...[...told].sort((a, b) => rank(a) - rank(b))];
}

/* The list anew; a reason that is being typed stays where it is. */
function list(findings: Finding[]): void {
  const box = find("#findings-list"), field = document.activeElement instanceof HTMLInputElement && box.contains(document.activeElement) ? document.activeElement : null, at = field?.selectionStart ?? null;
  box.replaceChildren(...(findings.length ? findings.map(item) : [make("li", { class: "nothing", text: say("finding.nothing") })]));
  const again = field ? box.querySelector<HTMLInputElement>("[data-why]") : null;
  again?.focus();
  again?.setSelectionRange(at, at);
}

function show(): void {
  const findings = everything(), open = findings.filter((one) => !one.accepted);
  const stops = findings.filter((one) => one.severity === "stop").length;
  if (asking && !findings.some((one) => nameOf(one) === asking)) asking = "";
  const now = JSON.stringify([findings, asking]);
  if (now !== told) {
    told = now;
    list(findings);
    for (const kind of ["stop", "check", "note"] as const) counted(kind, open.filter((one) => one.severity === kind).length);
    counted("accepted", findings.length - open.length);
    write(find("#first"), open[0]?.text ?? say("finding.nothing"));
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
