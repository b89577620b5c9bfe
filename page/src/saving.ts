/* Saved by itself a second after the last keystroke. What waits is said, and waits in this browser until it is in the book. */
import { conflict } from "./conflict";
import { forget, keepDraft } from "./drafts";
import { find, write } from "./elements";
import { job, tell } from "./page";
import { same, type JsonObject } from "./paths";
import { ask, Away, Refused } from "./server";
import type { SavedElsewhere } from "./shapes";
import { clock, laid, say } from "./words";

const REST = 900; // ms after the last change
let revision = laid.revision, saved: JsonObject = laid.document, savedAt = laid.saved_at;
let late = 0, busy = false, tries = 0, stuck = false;

export function revisionNow(): number { return revision; }
export function waiting(): boolean { return !same(saved, job.value); }

function status(kind: "saved" | "saving" | "away" | "unread" | "elsewhere" | "trouble", text = ""): void {
  const element = find("#saved");
  element.dataset["state"] = kind;
  element.dataset["waiting"] = String(waiting());
  const words = kind === "saved" ? say("saved.at", { time: clock(savedAt) }) : text || say(`saved.${kind}`, { time: clock(savedAt) });
  write(element, words);
}

/* This version is the one in the book now. */
export function taken(now: { revision: number; saved_at: string }, document: JsonObject): void {
  revision = now.revision;
  savedAt = now.saved_at;
  saved = document;
  stuck = false;
  tries = 0;
  if (!waiting()) forget();
  job.history.saved(revision);
  status("saved");
}

export async function save(markText = ""): Promise<boolean> {
  clearTimeout(late);
  if (busy || laid.read_only) return false;
  if (!waiting() && !markText) return true;
  busy = true;
  const document = job.value;
  if (tries === 0) status("saving");
  try {
    taken(await ask("PUT", `/api/jobs/${encodeURIComponent(laid.id)}`, { document, revision, mark: markText }), document);
    tell("away", false);
    return true;
  } catch (fault) {
    keepDraft(revision, job.value);
    if (fault instanceof Away) { status("away"); tell("away", true); again(); }
    else if (fault instanceof Refused && fault.status === 409 && fault.body.code === "saved_elsewhere") {
      stuck = true;
      status("elsewhere");
      conflict(fault.body as unknown as SavedElsewhere, (theirs) => { revision = theirs.revision; saved = theirs.document; stuck = false; later(0); });
    } else if (fault instanceof Refused && fault.status === 422) { status("unread"); }
    else if (fault instanceof Refused) { status("trouble", fault.body.text); again(); }
    else throw fault;
    return false;
  } finally {
    busy = false;
    if (waiting() && !stuck && tries === 0 && job.value !== document) later(REST);
  }
}

function again(): void {
  tries += 1;
  later(Math.min(1000 * tries, 5000));
}

function later(ms: number): void {
  clearTimeout(late);
  late = window.setTimeout(() => void save(), ms);
}

export function begin(): void {
  status(laid.read_only ? "trouble" : "saved", laid.read_only ? say("saved.read_only") : "");
  job.listen(() => {
    keepDraft(revision, job.value);
    find("#saved").dataset["waiting"] = String(waiting());
    if (!stuck) { tries = 0; later(REST); }
  });
  window.addEventListener("online", () => later(0));
  window.addEventListener("pagehide", () => { job.history.write(); if (waiting()) keepDraft(revision, job.value, true); });
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden" && waiting() && !stuck) void save(); });
}
