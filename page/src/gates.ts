/* Gates: after each act that cannot be undone, one number with its limit; and what is still free when it is out. */
import { find, make } from "./elements";
import { hear, job } from "./page";
import { isObject, type Json, type JsonObject } from "./paths";
import { ask, Away, Refused } from "./server";
import type { GateRow } from "./shapes";
import { fixed, laid, say } from "./words";

interface Grip { draw: string; against_planned: number; loses: number; slips: number }
interface Way { acts: { said: string }[]; minutes: number; leather_dm2: number; worst_mm: number; new_piece: boolean; hold: Grip | null; said?: string[] }
let told = "", now: GateRow[] = [];

function write(one: GateRow, box: number, text: string, visit: number): void {
  const all = job.at(["making", "gates"]), list = Array.isArray(all) ? all.filter(isObject) : [];
  const before = list.find((each) => each["gate"] === one.id);
  const read = one.boxes.map((_, n) => (n === box ? text : String((before?.["read"] as Json[] | undefined)?.[n] ?? "")));
  const next: JsonObject = { gate: one.id, read, at: new Date().toISOString().replace(/\.\d+Z$/, "Z") };
  const others = list.filter((each) => each["gate"] !== one.id);
  job.change([{ path: ["making", "gates"], value: read.every((each) => each.trim() === "") ? others : [...others, next] }], `gate:${one.id}:${visit}`);
}

async function rescue(id: string, into: HTMLElement): Promise<void> {
  const found = now.find((one) => one.id === id)?.found ?? [];
  into.replaceChildren(make("p", { class: "quiet", text: say("gate.looking") }));
  try {
    const answer = await ask<Record<string, unknown>>("POST", "/api/rescue", { document: job.value, found: Object.fromEntries(found), units: laid.units });
    into.replaceChildren(make("ol", { class: "ways" }, ...((answer["ways"] ?? []) as Way[]).map(way)));
  } catch (fault) { into.replaceChildren(make("p", { class: "wrong", text: fault instanceof Refused ? fault.body.text : fault instanceof Away ? say("saved.away") : String(fault) })); }
}

const twenty = (share: number): number => Math.round(20 * share);

/* What to do, what it costs, what hold it gives. */
function way(one: Way): HTMLElement {
  const told = one.said ?? [
    say(one.leather_dm2 > 0 ? "gate.cost_leather" : "gate.cost", { minutes: fixed(one.minutes, 0), area: fixed(one.leather_dm2, 1) }),
    ...(one.hold ? [say("gate.hold", { draw: say(`hold.${one.hold.draw}`), loses: twenty(one.hold.loses), slips: twenty(one.hold.slips) })] : []),
  ];
  return make("li", {}, make("b", { text: one.acts.map((each) => each.said).join(" ") }), ...told.map((text) => make("p", { text })));
}

function gate(one: GateRow): HTMLElement {
  let visit = 0;
  const ways = make("div", { class: "rescue" });
  const inputs = one.boxes.map((name, n) => {
    const ticked = one.limit === "", named = `${one.act}: ${name}`;
    const input = ticked ? make("input", { type: "checkbox", "aria-label": named, "data-gate": one.id }) : make("input", { type: "text", inputmode: "decimal", autocomplete: "off", class: "number", "aria-label": named, "data-gate": one.id });
    set(input, one.read[n] ?? "");
    input.addEventListener("focus", () => { visit = Date.now(); });
    input.addEventListener("input", () => write(one, n, ticked ? (input.checked ? say("yes") : "") : input.value, visit));
    return input;
  });
  const state = make("span", { class: "held" });
  const help = make("button", { type: "button", class: "btn", onclick: () => void rescue(one.id, ways) }, say("gate.rescue"));
  const li = make("li", { class: "gate", "data-gate": one.id }, make("div", { class: "what" }, make("b", { text: one.act })), make("span", { class: "limit", text: one.limit }), make("div", { class: "written" }, ...inputs), state, make("p", { class: "out" }), help, ways);
  dress(li, one);
  return li;
}

function set(input: HTMLInputElement, text: string): void {
  if (input.type === "checkbox") input.checked = text.trim() !== ""; else input.value = text;
}

function dress(li: HTMLElement, one: GateRow): void {
  li.dataset["state"] = one.state;
  find(".held", li).textContent = say(`gate.${one.state}`);
  find(".out", li).textContent = one.state === "out" ? one.out : "";
  find("button", li).hidden = one.state !== "out";
}

function show(rows: GateRow[]): void {
  now = rows;
  const list = find("#gates-list"), shape = JSON.stringify(rows.map((one) => [one.id, one.limit]));
  find("#gates").hidden = rows.length === 0;
  if (shape !== told && !list.contains(document.activeElement)) { told = shape; list.replaceChildren(...rows.map(gate)); return; }
  for (const one of rows) {
    const li = list.querySelector<HTMLElement>(`[data-gate="${one.id}"].gate`);
    if (!li) continue;
    dress(li, one);
    [...li.querySelectorAll<HTMLInputElement>("input")].forEach((input, n) => { if (input !== document.activeElement) set(input, one.read[n] ?? ""); });
  }
}

export function begin(): void { hear("work", (answer) => show(answer.gates ?? [])); }
