/* All readings as a table with their instruments: typed, added, taken out, pasted from a spreadsheet. */
import { all, find, icon, make, write } from "./elements";
import { field } from "./fields";
import { hear, job, last, see, tell } from "./page";
import { isObject, type Json, type JsonObject } from "./paths";
import { ask, Refused } from "./server";
import { arrange, draw } from "./stage";
import { laid, length, say, type FieldWords } from "./words";

let shape = "";

const rows = (): JsonObject[] => { const list = job.at(["form", "girths"]); return Array.isArray(list) ? list.filter(isObject) : []; };

function column(name: string, n: number): FieldWords {
  const words = laid.row.find((one) => one.path.at(-1) === name)!;
  return { ...words, path: ["form", "girths", n, name] };
}

function heightOf(row: JsonObject): number {
  const value = row["station_mm"], number = Number(String(value ?? "").replace(",", "."));
  return Number.isFinite(number) && String(value ?? "") !== "" ? number : -1e6;
}

function row(n: number, one: JsonObject): HTMLElement {
  const at = String(one["station_mm"] ?? "");
  const quiet = (name: string): string => say(`readings.of.${name}`, { at: at || n + 1 });
  const more = make("td", { class: "more" }, make("button", { type: "button", class: "btn bare", "aria-label": say("readings.remove", { at: at || n + 1 }), onclick: () => remove(n) }, icon("bin")));
  return make("tr", { "data-reading": n, "data-station": "" },
    make("th", { scope: "row" }, field(column("station_mm", n), { quiet: quiet("station_mm") }), make("span", { class: "called" })),
    make("td", { class: "girth" }, field(column("reading_mm", n), { quiet: quiet("reading_mm") })),
    make("td", { class: "tool" }, field(column("instrument", n), { quiet: quiet("instrument") }), field(column("pull", n), { quiet: quiet("pull") })),
    make("td", { class: "pair" }, field(column("width_mm", n), { quiet: quiet("width_mm") }), field(column("depth_mm", n), { quiet: quiet("depth_mm") })),
    make("td", { class: "half" }, make("b"), make("span")), more);
}

/* Rows from the mouth down, as the sheath stands. Only built anew when rows come or go. */
function build(): void {
  const list = rows(), order = list.map((one, n) => ({ one, n })).sort((a, b) => heightOf(b.one) - heightOf(a.one) || a.n - b.n);
  const typing = !!document.activeElement?.closest("#readings tbody"), now = JSON.stringify(order.map((each) => each.n));
  if (now === shape || (typing && list.length === all("#readings tbody tr").length)) return; // rows do not move while one is typed in
  shape = now;
  find("#readings tbody").replaceChildren(...order.map(({ one, n }) => row(n, one)));
  find("#readings-none").hidden = list.length > 0;
  numbers();
}

/* Half widths, hand and computed, as soon as they are known. */
function numbers(): void {
  for (const tr of all("#readings tbody tr")) {
    const n = Number(tr.dataset["reading"]), hand = last.hand?.stations.find((one) => one.reading === n), worked = last.work?.worked.stations.find((one) => one.reading === n);
    tr.dataset["station"] = hand ? String(hand.station_mm) : worked ? String(worked.station_mm) : "";
    write(find(".half b", tr), worked ? length(worked.half_width_mm) : "");
    write(find(".half span", tr), hand ? say("readings.hand", { v: length(hand.half_width_mm) }) : "");
    write(find(".called", tr), String(job.at(["form", "girths", n, "name"]) ?? hand?.name ?? ""));
  }
}

function remove(n: number): void {
  const list = rows();
  job.change([{ path: ["form", "girths"], value: list.filter((_, i) => i !== n) }]);
  find("#add-row").focus();
}

export function add(): void {
  const list = rows();
  see.table = true;
  job.change([{ path: ["form", "girths"], value: [...list, { station_mm: "" }] }]);
  tell("open", "table");
  all("#readings tbody tr").find((tr) => Number(tr.dataset["reading"]) === list.length)?.querySelector<HTMLElement>("input")?.focus();
}

/* Rows without names: height and reading come first, width and depth after them. */
function named(text: string): string {
  const cells = (text.trim().split("\n")[0] ?? "").split(/\t|;|\s{2,}/);
  if (cells.length < 2 || cells.some((one) => /[^\d\s.,/"'+-]/.test(one))) return text;
  return `${["station_mm", "reading_mm", "width_mm", "depth_mm"].slice(0, cells.length).join(text.includes("\t") ? "\t" : text.includes(";") ? ";" : "\t")}\n${text.trim().includes("\t") || text.includes(";") ? text : text.replace(/ {2,}/g, "\t")}`;
}

async function paste(text: string): Promise<void> {
  const said = find("#paste-said");
  try {
    const answer = await ask<{ readings: JsonObject[]; notes: string[] }>("POST", "/api/paste", { text: named(text), units: laid.units });
    const keep = find<HTMLInputElement>("#paste-keep").checked ? rows() : [];
    job.change([{ path: ["form", "girths"], value: [...keep, ...answer.readings] as Json }]);
    said.textContent = "";
    find("#readings-said").textContent = [say("paste.done", { n: answer.readings.length }), ...answer.notes].join(" ");
    find<HTMLDialogElement>("#paste").close();
  } catch (fault) { said.textContent = fault instanceof Refused ? fault.body.text : say("saved.away"); }
}

export function begin(): void {
  build();
  job.listen(() => { build(); numbers(); });
  hear("hand", numbers);
  hear("work", numbers);
  hear("open", (name) => { if (name !== "table") return; see.table = true; find("#b-table").setAttribute("aria-pressed", "true"); build(); draw(); });
  find("#add-row").addEventListener("click", add);
  const dialog = find<HTMLDialogElement>("#paste"), box = find<HTMLTextAreaElement>("#paste-text");
  find("#paste-open").addEventListener("click", () => { dialog.showModal(); box.focus(); });
  find("#paste-take").addEventListener("click", () => void paste(box.value));
  find("#paste-close").addEventListener("click", () => dialog.close());
  find("#readings").addEventListener("paste", (event) => {
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (!/[\t\n]/.test(text.trim())) return;
    event.preventDefault();
    box.value = text;
    dialog.showModal();
  });
  find("#readings").addEventListener("focusout", () => requestAnimationFrame(() => { if (!document.activeElement?.closest("#readings tbody")) { build(); arrange(); } }));
}
