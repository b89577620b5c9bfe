/* The job document in this window: the one truth that all fields, drawings and saves look at. */
import { History, made, type Change } from "./history";
import { at, put, same, type Json, type JsonObject, type Path } from "./paths";

export interface Set { path: Path; value: Json | undefined }
type Listener = (why: "typed" | "undo" | "taken") => void;

export class JobDocument {
  private listeners: Listener[] = [];
  readonly history: History;

  constructor(public value: JsonObject, shelf: string, revision: number) {
    this.history = new History(shelf, revision);
  }

  at(path: Path): Json | undefined { return at(this.value, path); }

  listen(listener: Listener): void { this.listeners.push(listener); }

  /* One act of the maker's, undone in one go. Acts with the same `merge` in a row become one. */
  change(sets: readonly Set[], merge?: string): void {
    const changes: Change[] = [];
    let next: JsonObject = this.value;
    for (const { path, value } of sets.flatMap((one) => this.withTyped(one, next))) {
      const before = at(next, path);
      if (same(before, value)) continue;
      changes.push(made(path, before, value));
      next = put(next, path, value) as JsonObject;
    }
    if (changes.length === 0) return;
    this.value = next;
    this.history.add({ changes, ...(merge === undefined ? {} : { merge }) });
    this.tell("typed");
  }

  /* A value that is set anew is no longer what `typed` says was written. */
  private withTyped(one: Set, root: JsonObject): Set[] {
    const name = one.path.at(-1), part = one.path.slice(0, -1);
    const note: Path = [...part, "typed", name ?? ""];
    return at(root, note) === undefined ? [one] : [{ path: note, value: undefined }, one];
  }

  undo(): boolean { return this.turn(this.history.back(this.value)); }
  redo(): boolean { return this.turn(this.history.on(this.value)); }

  private turn(next: JsonObject | null): boolean {
    if (!next) return false;
    this.value = next;
    this.tell("undo");
    return true;
  }

  /* Another version takes the place of this one, as one act. */
  take(whole: JsonObject): void {
    const sets: Set[] = [...new Set([...Object.keys(this.value), ...Object.keys(whole)])].map((name) => ({ path: [name], value: whole[name] }));
    this.change(sets);
    this.tell("taken");
  }

  private tell(why: "typed" | "undo" | "taken"): void { for (const one of this.listeners) one(why); }
}
