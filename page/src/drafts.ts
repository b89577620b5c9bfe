/* Drafts: what was typed and is not in the book yet, kept in the browser. Offered after a crash, never taken by itself. */
import { find, make } from "./elements";
import { job } from "./page";
import { same, type JsonObject } from "./paths";
import { clock, laid, say } from "./words";

interface Draft { revision: number; at: string; document: JsonObject }
const shelf = `draft:${laid.id}`;
let late = 0, offered = false;

export function keepDraft(revision: number, document: JsonObject, now = false): void {
  if (offered) return;
  clearTimeout(late);
  const write = (): void => {
    try { localStorage.setItem(shelf, JSON.stringify({ revision, at: new Date().toISOString(), document } satisfies Draft)); } catch { /* full: the window still has it */ }
  };
  if (now) write(); else late = window.setTimeout(write, 200);
}

export function forget(): void {
  clearTimeout(late);
  if (!offered) try { localStorage.removeItem(shelf); } catch { /* nothing was kept */ }
}

/* Offers a draft that differs from the book, and waits for the maker's word. */
export function begin(): void {
  let draft: Draft | null = null;
  try { draft = JSON.parse(localStorage.getItem(shelf) ?? "null") as Draft | null; } catch { return; }
  if (!draft || typeof draft.document !== "object" || same(draft.document, laid.document)) return;
  offered = true;
  const bar = find("#offers"), kept = draft;
  const done = (take: boolean): void => {
    offered = false;
    offer.remove();
    try { localStorage.removeItem(shelf); } catch { /* nothing was kept */ }
    if (take) job.take(kept.document);
  };
  const text = say(kept.revision === laid.revision ? "draft.offer" : "draft.older", { time: clock(kept.at), revision: kept.revision });
  const offer = make("div", { class: "offer", role: "status" }, make("p", { text }),
    make("button", { class: "btn", type: "button", id: "draft-take", onclick: () => done(true) }, say("draft.take")),
    make("button", { class: "btn bare", type: "button", id: "draft-leave", onclick: () => done(false) }, say("draft.leave")));
  bar.append(offer);
}
