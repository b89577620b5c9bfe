/* One field: it keeps what was typed, puts it into the document as it is, and says in words what is wrong with it. */
import { make } from "./elements";
import { hear, job } from "./page";
import { key, type Json, type Path } from "./paths";
import type { Refusal } from "./shapes";
import { laid, length, say, type FieldWords } from "./words";

type Input = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement;
interface Bound { path: Path; input: Input; wrong: HTMLElement; words: FieldWords }

let fields: Bound[] = [];
let visit = 0; // each stay in a field is one act
let serial = 0;

/* The number at a path, if it is one or a plain decimal; a fraction or a unit is left to the server. */
export function numberAt(path: Path): number | null {
  const value = job.at(path);
  if (typeof value === "number") return value;
  const text = typeof value === "string" ? value.trim().replace(",", ".") : "";
  return /^[+-]?\d+(\.\d+)?$/.test(text) ? Number(text) : null;
}

/* One number of a list as it is read in the workshop's unit; what is text stays as it was typed. */
function single(one: Json, words: FieldWords): string {
  return typeof one === "number" && words.unit === "mm" && laid.units === "inch" ? `${length(one)}"` : String(one);
}

function several(value: Json[], words: FieldWords): string {
  return value.map((one) => Array.isArray(one) ? one.map((each) => single(each, words)).join("; ") : single(one, words)).join(Array.isArray(value[0]) ? "\n" : "; ");
}

/* Bare numbers of a list, each marked as inches: a table of corners, or values with semicolons between. */
function inches(text: string, words: FieldWords): string {
  const named = (one: string): string => /^[\d\s.,/+-]+$/.test(one) && /\d/.test(one) ? `${one.trim()}"` : one;
  if (words.kind !== "points") return text.split(";").map(named).join("; ");
  return text.split("\n").map((line) => line.trim().split(/[;\t]/.test(line) ? /\s*[;\t]\s*/ : /,?\s+/).map(named).join("; ")).join("\n");
}

/* What stands in the field for the value of the document: as typed, if that is known. */
export function textAt(path: Path, words: FieldWords): string {
  const value = job.at(path), typed = job.at([...path.slice(0, -1), "typed", path.at(-1) ?? ""]);
  if (value === undefined || value === null) return "";
  if (typeof typed === "string" && typeof value === "number") return typed;
  if (Array.isArray(value)) return several(value, words);
  if (typeof value === "number" && words.unit === "mm" && laid.units === "inch") return `${length(value)}"`;
  return String(value);
}

/* The text as it goes into the document. Empty means the house default; a bare number is in the workshop's unit. */
function asWritten(text: string, words: FieldWords): Json | undefined {
  if (text.trim() === "") return words.kind === "text" || words.kind === "long" || words.kind === "day" ? (words.path.length === 1 ? "" : undefined) : undefined;
  if (words.kind === "flag") return text === "true";
  if (words.unit === "mm" && laid.units === "inch" && (words.kind === "points" || words.kind === "list")) return inches(text, words);
  if (words.unit === "mm" && laid.units === "inch" && /^[\d\s.,/+-]+$/.test(text)) return `${text.trim()}"`;
  return text;
}

function entry(words: FieldWords, path: Path, id: string): Input {
  if (words.kind === "choice" || words.kind === "flag") {
    const options = words.kind === "flag" ? [{ value: "true", label: say("yes") }, { value: "false", label: say("no") }] : words.choices ?? [];
    return make("select", { id }, make("option", { value: "" }, say("usual")), ...options.map((one) => make("option", { value: one.value }, one.label)));
  }
  if (words.kind === "long") return make("textarea", { id, rows: 3 });
  if (words.kind === "points") return make("textarea", { id, rows: 6, class: "number", spellcheck: "false", autocomplete: "off" });
  if (words.kind === "day") return make("input", { id, type: "date" });
  const number = words.kind === "length" || words.kind === "number" || words.kind === "count";
  return make("input", { id, type: "text", autocomplete: "off", spellcheck: "false", ...(number ? { inputmode: words.kind === "count" ? "numeric" : "decimal", class: "number" } : {}), "data-field": key(path) });
}

/* A labelled field. `quiet`: the label is for readers only, because a table head says it. */
export function field(words: FieldWords, options: { quiet?: string; wide?: boolean; marks?: Record<string, string> } = {}): HTMLElement {
  const path = words.path, id = `f${++serial}-${key(path).replace(/[^\w]+/g, "-")}`;
  const input = entry(words, path, id), wrong = make("span", { class: "wrong", id: `${id}-wrong` });
  input.dataset["field"] = key(path);
  for (const [name, value] of Object.entries(options.marks ?? {})) input.dataset[name] = value;
  const unit = words.unit === "mm" ? say(laid.units === "inch" ? "unit.inch" : "unit.mm") : words.unit ? say(`unit.${words.unit}`) : "";
  if (options.quiet !== undefined) input.setAttribute("aria-label", options.quiet);
  input.setAttribute("aria-describedby", wrong.id);
  const label = options.quiet === undefined ? make("label", { for: id, title: words.why || undefined }, words.label, unit ? make("span", { class: "unit" }, unit) : null) : null;
  const bind: Bound = { path, input, wrong, words };
  fields.push(bind);
  input.value = shown(bind);
  input.addEventListener("focus", () => { visit += 1; });
  input.addEventListener("input", () => job.change([{ path, value: asWritten(input.value, words) }], `typed:${key(path)}:${visit}`));
  input.addEventListener("change", () => job.history.close());
  return make("div", { class: `field ${options.wide ? "all" : ""} ${words.kind}` }, label, input, wrong);
}

/* A row of boxes for a list of words out of several, such as faults. */
export function boxes(words: FieldWords): HTMLElement {
  const group = make("fieldset", { class: "field all" }, make("legend", { text: words.label }));
  const chosen = (): string[] => { const now = job.at(words.path); return Array.isArray(now) ? now.map(String) : []; };
  const every = (words.choices ?? []).map((one) => {
    const box = make("input", { type: "checkbox", value: one.value });
    box.addEventListener("change", () => {
      const next = box.checked ? [...chosen(), one.value] : chosen().filter((other) => other !== one.value);
      job.change([{ path: words.path, value: next.length ? next : undefined }]);
    });
    group.append(make("label", { class: "tick" }, box, one.label));
    return box;
  });
  const show = (): void => { const now = chosen(); for (const box of every) box.checked = now.includes(box.value); };
  show();
  job.listen(show);
  return group;
}

function shown(bind: Bound): string {
  const text = textAt(bind.path, bind.words);
  return bind.input instanceof HTMLInputElement && bind.input.type === "date" && !/^\d{4}-\d\d-\d\d$/.test(text) ? "" : text;
}

function refresh(all: boolean): void {
  fields = fields.filter((one) => one.input.isConnected || one.input.closest(".waiting"));
  for (const one of fields) {
    if (!all && one.input === document.activeElement) continue;
    const text = shown(one);
    if (one.input.value !== text) one.input.value = text;
  }
}

let refused: Refusal[] = [], stops: Refusal[] = [];

/* Every field whose place was refused or stops the sheet says so; the others fall silent. */
function mark(): void {
  for (const one of fields) {
    const mine = [...refused, ...stops].find((why) => why.where.length > 0 && (key(why.where) === key(one.path) || key(why.where).startsWith(`${key(one.path)}.`)));
    one.input.toggleAttribute("data-refused", !!mine);
    if (mine) one.input.setAttribute("aria-invalid", "true"); else one.input.removeAttribute("aria-invalid");
    if (one.wrong.textContent !== (mine?.text ?? "")) one.wrong.textContent = mine?.text ?? "";
  }
}

/* The first field on the page for a place in the document, seen if it can be. */
export function fieldFor(path: Path): HTMLElement | null {
  for (let n = path.length; n > 0; n -= 1) {
    const name = key(path.slice(0, n));
    const mine = fields.filter((one) => one.input.isConnected && (key(one.path) === name || (n === path.length && key(one.path).startsWith(`${name}.`))));
    const best = mine.find((one) => one.input.offsetParent !== null) ?? mine[0];
    if (best) return best.input;
  }
  return null;
}

export function begin(): void {
  job.listen((why) => refresh(why !== "typed"));
  hear("refused", (list) => { refused = list; mark(); });
  hear("work", (answer) => { stops = answer.findings.filter((one) => one.severity === "stop" && one.where.length > 1); mark(); });
}
