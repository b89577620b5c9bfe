/* The places on the sheath: each a button at its height; touched, its few numbers open beside it. */
import { all, find, make, write } from "./elements";
import { field } from "./fields";
import { hear, job, last, see, tell } from "./page";
import { key } from "./paths";
import type { Place } from "./shapes";
import { arrange, inTable, stand } from "./stage";
import { slider } from "./fit";
import { height, say } from "./words";

const told = new Map<string, string>();

function made(place: Place): HTMLElement {
  const id = `card-${place.key.replace(/\W/g, "-")}`;
  const tag = make("button", { type: "button", class: "tag", "aria-expanded": "false", "aria-controls": id }, make("b"), make("span", { class: "h" }), make("i"));
  const card = make("div", { class: "card", id }, make("div", { class: "fields" }), place.key === "draw" ? slider() : null, make("p", { class: "eff" }));
  card.hidden = true;
  const li = make("li", { class: "place", "data-place": place.key }, tag, card);
  tag.addEventListener("click", () => toggle(place.key));
  return li;
}

function refresh(li: HTMLElement, place: Place): void {
  write(find("b", li), place.name);
  write(find(".h", li), place.station_mm === null ? "" : height(place.station_mm));
  write(find("i", li), place.value);
  write(find(".eff", li), place.effect);
  const shape = JSON.stringify(place.fields.map((one) => [one.path, one.label, one.choices?.length]));
  const box = find(".fields", li);
  if (told.get(place.key) === shape && box.childElementCount > 0) return;
  told.set(place.key, shape);
  const had = (document.activeElement as HTMLElement | null)?.closest(".place") === li ? (document.activeElement as HTMLElement).dataset["field"] : undefined;
  box.replaceChildren(...place.fields.map((one) => field(one, { wide: one.path.at(-1) === "instrument" || one.kind === "long" })));
  if (had !== undefined) all("[data-field]", box).find((one) => one.dataset["field"] === had)?.focus();
}

function show(places: Place[]): void {
  const list = find("#places"), now = new Map(all(".place", list).map((li) => [li.dataset["place"]!, li]));
  for (const [name, li] of now) if (!places.some((one) => one.key === name)) { li.remove(); told.delete(name); }
  let before: Element | null = null;
  for (const place of [...places].sort((a, b) => Number(b.side === "left") - Number(a.side === "left") || (b.station_mm ?? 1e3) - (a.station_mm ?? 1e3))) {
    const li = now.get(place.key) ?? made(place);
    refresh(li, place);
    const wanted: Element | null = before ? before.nextElementSibling : list.firstElementChild;
    if (li !== wanted) list.insertBefore(li, wanted);
    before = li;
  }
  open();
}

function open(): void {
  for (const li of all(".place")) {
    const on = li.dataset["place"] === see.open;
    li.classList.toggle("open", on);
    find(".card", li).hidden = !on;
    find(".tag", li).setAttribute("aria-expanded", String(on));
  }
}

export function toggle(name: string, keep = false): void {
  const place = last.work?.places.find((one) => one.key === name), path = readingPath(name);
  if (place && path && stand && inTable(place, stand)) { find<HTMLElement>(`#readings [data-field="${key(path)}"]`).focus(); return; }
  see.open = see.open === name && !keep ? "" : name;
  open();
  arrange();
  tell("light", see.open);
}

export const tagOf = (name: string): HTMLElement | null => all(".place").find((li) => li.dataset["place"] === name)?.querySelector<HTMLElement>(".tag") ?? null;

/* The next place up or down from the lit one, by height. */
export function walk(step: 1 | -1): string {
  const order = [...(last.work?.places ?? [])].sort((a, b) => (b.station_mm ?? -1e3) - (a.station_mm ?? -1e3)).map((one) => one.key);
  const here = order.indexOf(see.lit);
  return order[Math.max(0, Math.min(order.length - 1, here < 0 ? 0 : here + step))] ?? "";
}

/* The reading of a place, by its path in the document. */
export function readingPath(name: string): (string | number)[] | null {
  const place = last.work?.places.find((one) => one.key === name);
  return place?.fields.find((one) => one.path.at(-1) === "reading_mm")?.path ?? place?.fields.find((one) => one.kind === "length" && /_mm$/.test(String(one.path.at(-1))))?.path ?? null;
}

export function begin(): void {
  hear("work", (answer) => { if (see.open === "" && told.size === 0 && window.innerWidth >= 47 * 16) see.open = answer.places.some((one) => one.key === "thickest") ? "thickest" : ""; show(answer.places); });
  hear("open", (name) => { if (name !== "table" && see.open !== name) toggle(name, true); });
  document.addEventListener("keydown", (event) => {
    const from = event.target as Element, tag = from.closest(".tag"), place = from.closest<HTMLElement>(".place");
    if (tag && (event.key === "ArrowDown" || event.key === "ArrowUp")) {
      event.preventDefault();
      see.lit = place?.dataset["place"] ?? "";
      const next = walk(event.key === "ArrowDown" ? 1 : -1);
      tagOf(next)?.focus();
    } else if (place && event.key === "Escape" && see.open) {
      event.preventDefault();
      const name = place.dataset["place"] ?? "";
      toggle(see.open);
      tagOf(name)?.focus();
    }
  });
  job.listen(() => { for (const li of all(".place")) li.dataset["path"] = key(readingPath(li.dataset["place"] ?? "") ?? []); });
  find("#places").setAttribute("aria-label", say("places"));
}
