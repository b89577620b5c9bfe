/* The rest of the document's fields, in panels by the order of the work; rows where there may be several. */
import { find, icon, make } from "./elements";
import { boxes, field } from "./fields";
import { job } from "./page";
import { isObject, key, type JsonObject } from "./paths";
import { laid, say, type FieldWords, type Panel } from "./words";

type Rows = FieldWords & { rows?: FieldWords[]; several?: boolean };

function table(words: Rows): HTMLElement {
  const box = make("div", { class: "field all rows" }), columns = words.rows ?? [];
  const list = (): JsonObject[] => { const now = job.at(words.path); return Array.isArray(now) ? now.filter(isObject) : []; };
  let shape = -1;
  const build = (): void => {
    const now = list();
    if (now.length === shape) return;
    shape = now.length;
    box.replaceChildren(make("h4", { text: words.label, title: words.why }), ...now.map((_, n) => make("div", { class: "fields row" },
      ...columns.map((one) => field({ ...one, path: [...words.path, n, ...one.path.slice(-1)] })),
      make("button", { type: "button", class: "btn bare out", "aria-label": say("rows.remove", { what: words.label, n: n + 1 }), onclick: () => { job.change([{ path: words.path, value: list().filter((__, i) => i !== n) }]); } }, icon("bin")))),
      make("button", { type: "button", class: "btn bare", onclick: () => job.change([{ path: words.path, value: [...list(), {}] }]) }, icon("plus"), say("rows.add", { what: words.label })));
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
