/* The history of saves: what changed in each, and the way back to it; a copy of the job; printing. */
import { find, make } from "./elements";
import { job } from "./page";
import { ask, Away, Refused } from "./server";
import { revisionNow, save, taken } from "./saving";
import type { JsonObject } from "./paths";
import type { Difference, SaveLine } from "./shapes";
import { clock, laid, say } from "./words";

const here = `/api/jobs/${encodeURIComponent(laid.id)}`;

function said(fault: unknown): string { return fault instanceof Refused ? fault.body.text : fault instanceof Away ? say("saved.away") : String(fault); }

function differences(list: Difference[]): HTMLElement {
  if (list.length === 0) return make("p", { class: "quiet", text: say("saves.same") });
  return make("table", { class: "plain" }, make("thead", {}, make("tr", {}, ...["field", "then", "now"].map((one) => make("th", { scope: "col", text: say(`saves.${one}`) })))),
    make("tbody", {}, ...list.map((one) => make("tr", {}, make("th", { scope: "row", text: one.name }), make("td", { text: one.theirs || say("conflict.nothing") }), make("td", { text: one.mine || say("conflict.nothing") })))));
}

function line(one: SaveLine): HTMLElement {
  const shown = make("div", { class: "difference" });
  const compare = async (): Promise<void> => {
    try {
      const answer = await ask<{ differences: (Difference & { earlier?: string; later?: string })[] }>("GET", `${here}/differences?earlier=${one.revision}&later=${revisionNow()}`);
      shown.replaceChildren(differences(answer.differences.map((each) => ({ ...each, theirs: each.earlier ?? each.theirs, mine: each.later ?? each.mine }))));
    } catch (fault) { shown.textContent = said(fault); }
  };
  const restore = async (): Promise<void> => {
    await save();
    try {
      const answer = await ask<{ revision: number; saved_at: string; document?: JsonObject }>("POST", `${here}/restore`, { revision: one.revision, current: revisionNow() });
      const document = answer.document ?? (await ask<{ document: JsonObject }>("GET", here)).document;
      job.take(document);
      taken(answer, job.value);
      await open();
    } catch (fault) { shown.textContent = said(fault); }
  };
  const now = one.revision === revisionNow();
  return make("li", {}, make("div", { class: "line" }, make("b", { text: clock(one.saved_at) }), make("span", { class: "quiet", text: now ? say("saves.this") : one.mark ?? "" }),
    now ? null : make("button", { class: "btn bare", type: "button", onclick: () => void compare() }, say("saves.compare")),
    now ? null : make("button", { class: "btn bare", type: "button", "data-restore": one.revision, onclick: () => void restore() }, say("saves.restore"))), shown);
}

async function open(): Promise<void> {
  const list = find("#saves-list");
  await save();
  try {
    const answer = await ask<{ history?: SaveLine[] } | SaveLine[]>("GET", `${here}/history`);
    list.replaceChildren(...(Array.isArray(answer) ? answer : answer.history ?? []).map(line));
  } catch (fault) { list.replaceChildren(make("li", { text: said(fault) })); }
}

async function duplicate(): Promise<void> {
  await save();
  try {
    const answer = await ask<{ id: string }>("POST", `${here}/duplicate`, {});
    location.assign(`/jobs/${encodeURIComponent(answer.id)}`);
  } catch (fault) { find("#saves-said").textContent = said(fault); }
}

/* The menu folds when something of it is chosen, with Escape, and when the maker goes on elsewhere. */
function menu(): void {
  const fold = find<HTMLDetailsElement>(".menu");
  find(".list", fold).addEventListener("click", () => { fold.open = false; });
  document.addEventListener("pointerdown", (event) => { if (!fold.contains(event.target as Node)) fold.open = false; });
  fold.addEventListener("keydown", (event) => { if (event.key === "Escape" && fold.open) { event.preventDefault(); fold.open = false; find<HTMLElement>("summary", fold).focus(); } });
  fold.addEventListener("focusout", (event) => { if (event.relatedTarget && !fold.contains(event.relatedTarget as Node)) fold.open = false; });
}

export function begin(): void {
  menu();
  const dialog = find<HTMLDialogElement>("#saves");
  find("#saves-open").addEventListener("click", () => { dialog.showModal(); void open(); });
  find("#saves-close").addEventListener("click", () => dialog.close());
  find("#duplicate").addEventListener("click", () => void duplicate());
  find("#print").addEventListener("click", () => { if (find("#print").getAttribute("aria-disabled") !== "true") void save(); });
}
