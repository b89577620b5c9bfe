/* Undo and redo without end: every act is what it changed, before and after, kept with the window, also across a reload. */
import { at, key, put, same, type Json, type JsonObject, type Path } from "./paths";

export interface Change { path: Path; before?: Json; after?: Json }
export interface Act { changes: Change[]; merge?: string }

const MOST_KEPT = 400_000; // letters in the window's own store; older acts are let go first

export class History {
  past: Act[] = [];
  future: Act[] = [];
  private late = 0;

  /* The acts of this window belong to one revision of the job: those of another do not fit it. */
  constructor(private readonly shelf: string, private revision: number) {
    try {
      const kept = JSON.parse(sessionStorage.getItem(shelf) ?? "null") as { revision: number; past: Act[]; future: Act[] } | null;
      if (kept?.revision === revision) [this.past, this.future] = [kept.past, kept.future];
    } catch { /* a window without a store: undo lives as long as the page */ }
  }

  /* Adds an act; one that goes on with the last (the same field, still being typed in) becomes one with it. */
  add(act: Act): void {
    const last = this.past.at(-1);
    this.future = [];
    if (last && act.merge !== undefined && last.merge === act.merge && act.changes.length === last.changes.length
      && act.changes.every((one, n) => key(one.path) === key(last.changes[n]!.path))) {
      act.changes.forEach((one, n) => { last.changes[n] = made(one.path, last.changes[n]!.before, one.after); });
      if (last.changes.every((one) => same(one.before, one.after))) this.past.pop();
    } else this.past.push(act);
    this.keep();
  }

  /* No later act joins the last one. */
  close(): void {
    const last = this.past.at(-1);
    if (last) delete last.merge;
  }

  back(root: JsonObject): JsonObject | null { return this.step(this.past, this.future, root, "before"); }
  on(root: JsonObject): JsonObject | null { return this.step(this.future, this.past, root, "after"); }

  private step(from: Act[], to: Act[], root: JsonObject, side: "before" | "after"): JsonObject | null {
    const act = from.pop();
    if (!act) return null;
    delete act.merge;
    to.push(act);
    this.keep();
    const order = side === "before" ? [...act.changes].reverse() : act.changes;
    return order.reduce<JsonObject>((now, one) => {
      const back = one[side], note: Path = [...one.path.slice(0, -1), "typed", one.path.at(-1) ?? ""];
      if (at(now, note) !== undefined && !act.changes.some((each) => key(each.path) === key(note))) now = put(now, note, undefined) as JsonObject; // the book noted how the other value was typed
      return (back === undefined && at(now, one.path) === undefined ? now : put(now, one.path, back)) as JsonObject;
    }, root);
  }

  /* What was done until now is in the book, under this revision. */
  saved(revision: number): void {
    this.revision = revision;
    this.write();
  }

  private keep(): void {
    clearTimeout(this.late);
    this.late = window.setTimeout(() => this.write(), 250);
  }

  /* Into the window's store, the oldest let go until it fits. */
  write(): void {
    const { revision } = this;
    let text = JSON.stringify({ revision, past: this.past, future: this.future });
    for (let drop = 1; text.length > MOST_KEPT && drop < this.past.length; drop *= 2)
      text = JSON.stringify({ revision, past: this.past.slice(drop), future: this.future.slice(-200) });
    try { sessionStorage.setItem(this.shelf, text); } catch { /* full: it still lives in the page */ }
  }
}

export function made(path: Path, before: Json | undefined, after: Json | undefined): Change {
  return { path, ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) };
}
