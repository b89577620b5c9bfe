/* The rest of the document's fields, in panels by the order of the work; rows where there may be several. */
import { find, icon, make, mark } from "./elements";
import { boxes, field } from "./fields";
import { job } from "./page";
import { isObject, key, type Json, type JsonObject, type Path } from "./paths";
import { laid, say, type FieldWords, type Panel } from "./words";

type Rows = FieldWords & { rows?: FieldWords[]; several?: boolean };

/* Which kind of section asks for which fields; a field with something in it always shows. */
const OF_KIND: Record<string, string> = { corner_mm: "octagon", arris_mm: "octagon", egg_share: "egg", points_mm: "polygon" };

function wanted(row: JsonObject, name: string): boolean {
  const kind = OF_KIND[name], now = row[name];
  return kind === undefined || kind === row["kind"] || (now !== undefined && now !== null && now !== "");
}

function cell(words: FieldWords, path: Path): HTMLElement {
  const made = field({ ...words, path: [...path] }, { wide: words.kind === "points" });
  if (words.kind === "points") made.append(make("p", { class: "quiet small", text: words.why }), outline(path));
  return made;
}

/* The corners as they were typed, seen as the section is: seam up. Only a picture of what stands in the field. */
function outline(path: Path): SVGSVGElement {
  const svg = mark("svg", { class: "outline", role: "img", "aria-label": say("points.picture") });
  const show = (): void => {
    const now = job.at(path), lines: Json[] = typeof now === "string" ? now.split("\n") : Array.isArray(now) ? now : [];
    const points = lines.map((one) => (Array.isArray(one) ? one : String(one).trim().split(/\s*[;\t]\s*|,?\s+/)).map((each) => Number(String(each).replace(",", ".").replace('"', ""))))
      .filter((one): one is [number, number] => one.length === 2 && one.every(Number.isFinite));
    svg.toggleAttribute("hidden", points.length < 3);
    if (points.length < 3) return;
    const xs = points.map((one) => Math.abs(one[0])), ys = points.map((one) => -one[1]), w = Math.max(...xs), top = Math.min(...ys), h = Math.max(...ys) - top, size = Math.max(2 * w, h) || 1, r = size / 50;
    svg.setAttribute("viewBox", `${-w - 3 * r} ${top - 3 * r} ${2 * w + 6 * r} ${h + 6 * r}`);
    svg.replaceChildren(mark("path", { d: `M${points.map(([x, y]) => `${x} ${-y}`).join("L")}Z`, "stroke-width": r / 2 }), ...points.map(([x, y]) => mark("circle", { cx: x, cy: -y, r })));
  };
  show();
  job.listen(show);
  return svg;
}

function table(words: Rows): HTMLElement {
  const box = make("div", { class: "field all rows" }), columns = words.rows ?? [];
  const list = (): JsonObject[] => { const now = job.at(words.path); return Array.isArray(now) ? now.filter(isObject) : []; };
  let shape = -1, cells: { n: number; name: string; made: HTMLElement }[] = [];
  const row = (n: number): HTMLElement => {
    const mine = columns.map((one) => ({ n, name: String(one.path.at(-1)), made: cell(one, [...words.path, n, ...one.path.slice(-1)]) }));
    cells.push(...mine);
    return make("div", { class: "fields row" }, ...mine.map((one) => one.made),
      make("button", { type: "button", class: "btn bare out", "aria-label": say("rows.remove", { what: words.label, n: n + 1 }), onclick: () => { job.change([{ path: words.path, value: list().filter((__, i) => i !== n) }]); } }, icon("bin")));
  };
  const build = (): void => {
    const now = list();
    if (now.length !== shape) {
      shape = now.length;
      cells = [];
      box.replaceChildren(make("h4", { text: words.label, title: words.why }), ...now.map((_, n) => row(n)),
        make("button", { type: "button", class: "btn bare", onclick: () => job.change([{ path: words.path, value: [...list(), {}] }]) }, icon("plus"), say("rows.add", { what: words.label })));
    }
    for (const one of cells) one.made.hidden = !wanted(now[one.n] ?? {}, one.name) && !one.made.contains(document.activeElement);
  };
  build();
  job.listen(build);
  return box;
}

function panel(one: Panel): HTMLElement {
  const body = make("div", { class: "fields" });
  const fold = make("details", { class: "sheet panel", id: `panel-${one.key}` }, make("summary", {}, make("h2", { text: one.title }), make("span", { class: "quiet small", text: one.about })), make("div", { class: "inner" }, body));
  let built = false;
  const build = (): void => {
    if (built) return;
    built = true;
    let group = "";
    for (const words of one.fields as (Rows & { group?: string })[]) {
      if (words.group && words.group !== group) { group = words.group; body.append(make("h3", { class: "all", text: group })); }
      body.append(words.rows ? table(words) : words.several ? boxes(words) : field(words, { wide: words.kind === "long" }));
    }
  };
  fold.addEventListener("toggle", () => { if (fold.open) build(); });
  fold.addEventListener("build", build);
  return fold;
}

/* The panel that holds a place of the document, opened. */
export function openFor(name: string): void {
  const one = laid.panels.find((each) => each.fields.some((words) => name === key(words.path) || name.startsWith(`${key(words.path)}.`)));
  const fold = one ? document.querySelector<HTMLDetailsElement>(`#panel-${one.key}`) : null;
  if (!fold) return;
  fold.dispatchEvent(new Event("build"));
  fold.open = true;
}

export function begin(): void { find("#panels").replaceChildren(...laid.panels.map(panel)); }
