/* Texts and settings that the server laid into the page; none are typed here. */
import type { JsonObject } from "./paths";

export interface FieldWords { path: (string | number)[]; label: string; why: string; kind: "length" | "number" | "count" | "choice" | "text" | "long" | "day" | "flag" | "list" | "points"; unit: string; choices?: { value: string; label: string }[]; usual?: string }
export interface Panel { key: string; title: string; about: string; leg: string; fields: FieldWords[] }
export interface Laid {
  id: string; revision: number; saved_at: string; document: JsonObject; read_only: boolean;
  units: "mm" | "inch"; words: Record<string, string>; panels: Panel[]; row: FieldWords[]; instruments: { value: string; label: string }[];
}

export const laid: Laid = JSON.parse(document.getElementById("laid")!.textContent ?? "{}") as Laid;

/* The text `key` with its values filled in. */
export function say(key: string, values: Record<string, string | number> = {}): string {
  const text = laid.words[key];
  if (text === undefined) return key;
  return text.replace(/\{(\w+)\}/g, (_, name: string) => String(values[name] ?? ""));
}

/* The same, with "one" and "more" forms: `key.one` for 1, `key.more` else. */
export function count(key: string, n: number): string { return say(`${key}.${n === 1 ? "one" : "more"}`, { n }); }

export function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace("-", "") : text.replace("-", "−");
}

/* A length in the maker's unit, without its name. */
export function length(mm: number, decimals = 1): string {
  return laid.units === "inch" ? fixed(mm / 25.4, Math.min(3, decimals + 2)) : fixed(mm, decimals);
}

/* A height as it is written beside the drawing: whole millimetres stay whole, inches have two decimals. */
export function height(mm: number): string {
  if (laid.units === "inch") return fixed(mm / 25.4, 2);
  return Number.isInteger(mm) ? fixed(mm, 0) : fixed(mm, 1);
}

export function clock(iso: string): string {
  const then = new Date(iso), now = new Date();
  const time = then.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
  return then.toDateString() === now.toDateString() ? time : `${then.toLocaleDateString([], { day: "numeric", month: "short" })} ${time}`;
}
