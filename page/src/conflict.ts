/* Someone saved this job in another window: both versions, field by field, and the maker chooses. */
import { find, make } from "./elements";
import { job } from "./page";
import { at, key } from "./paths";
import type { SavedElsewhere } from "./shapes";
import { clock, say } from "./words";

export function conflict(told: SavedElsewhere, settled: (theirs: SavedElsewhere["theirs"]) => void): void {
  const dialog = find<HTMLDialogElement>("#conflict");
  if (dialog.open) return;
  const choices = new Map<string, "mine" | "theirs">(told.differences.map((one) => [key(one.where), "mine"]));
  const rows = told.differences.map((one, n) => {
    const pick = (side: "mine" | "theirs"): HTMLElement => make("label", { class: "pick" },
      make("input", { type: "radio", name: `pick-${n}`, value: side, ...(side === "mine" ? { checked: true } : {}), onchange: () => choices.set(key(one.where), side) }),
      make("span", { class: "sr", text: say(`conflict.${side}`) }), make("span", { text: one[side] || say("conflict.nothing") }));
    return make("tr", {}, make("th", { scope: "row", text: one.name || key(one.where) }), make("td", {}, pick("mine")), make("td", {}, pick("theirs")));
  });
  const take = (side?: "mine" | "theirs"): void => {
    const theirs = told.differences.filter((one) => (side ?? choices.get(key(one.where))) === "theirs");
    dialog.close();
    job.change(theirs.map((one) => ({ path: one.where, value: at(told.theirs.document, one.where) })));
    settled(told.theirs);
  };
  dialog.replaceChildren(
    make("h2", { text: say("conflict.title") }), make("p", { text: told.text || say("conflict.text", { time: clock(told.theirs.saved_at) }) }),
    make("table", { class: "plain" }, make("thead", {}, make("tr", {}, make("th", { scope: "col", text: say("conflict.field") }), make("th", { scope: "col", text: say("conflict.mine") }), make("th", { scope: "col", text: say("conflict.theirs") }))), make("tbody", {}, ...rows)),
    make("div", { class: "doors" },
      make("button", { class: "btn main", type: "button", id: "conflict-take", onclick: () => take() }, say("conflict.take")),
      make("button", { class: "btn", type: "button", onclick: () => take("mine") }, say("conflict.all_mine")),
      make("button", { class: "btn", type: "button", onclick: () => take("theirs") }, say("conflict.all_theirs"))));
  dialog.addEventListener("cancel", (event) => event.preventDefault(), { once: true });
  dialog.showModal();
}
