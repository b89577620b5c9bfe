/* Settings of the workshop, and its backups. */
import { ask } from "./ask.js";
import { at, clean, inUnits, refuse, say } from "./fields.js";

const words = at("words").dataset;
const PLAIN = ["units", "sheet", "language", "maker"];
const RATES = ["rates.hour", "rates.leather_dm2", "rates.currency"];
const DEFAULTS = ["leather.thickness_mm", "construction.pitch_mm", "construction.tool", "construction.tool_teeth", "construction.collar_depth_mm", "construction.hand"];
let kept = null;

const shown = (part, key) => part?.typed?.[key] ?? (Array.isArray(part?.[key]) ? part[key].join("; ") : part?.[key] ?? "");
const fill = () => {
  const told = kept.document;
  for (const id of PLAIN) at(id).value = told[id] ?? at(id).value;
  for (const id of RATES) at(id).value = told.rates?.[id.split(".")[1]] ?? "";
  for (const id of DEFAULTS) { const [part, key] = id.split("."); at(id).value = shown(told.defaults?.[part], key); }
};

const gathered = () => {
  const made = { ...kept.document, rates: {}, defaults: {} };
  for (const id of PLAIN) made[id] = at(id).value;
  for (const id of RATES) if (at(id).value.trim()) made.rates[id.split(".")[1]] = at(id).value.trim();
  for (const id of DEFAULTS) {
    const [part, key] = id.split("."), text = at(id).value.trim();
    if (text) (made.defaults[part] ??= {})[key] = key.endsWith("_mm") ? inUnits(text, words.units) : text;
  }
  return made;
};

at("settings").addEventListener("submit", async (event) => {
  event.preventDefault();
  clean();
  try {
    const told = await ask("/api/settings", "PUT", { document: gathered(), revision: kept.revision });
    if (at("units").value !== words.units) { location.reload(); return; }
    kept = { ...kept, ...told, document: told.document ?? gathered() };
    say(words.saved);
  } catch (refusal) { refuse(refusal, words.trouble, (where) => where.slice(-2).join(".")); }
});

const size = (bytes) => (bytes < 1e6 ? `${Math.round(bytes / 1e3)} kB` : `${(bytes / 1e6).toFixed(1)} MB`);
let wanted = "";
const backups = async () => {
  const { backups: all } = await ask("/api/backups");
  at("no-backups").hidden = all.length > 0;
  at("backups").hidden = all.length === 0;
  at("backups").tBodies[0].replaceChildren(...all.map((one) => {
    const row = document.createElement("tr");
    const head = Object.assign(document.createElement("th"), { scope: "row", textContent: one.name });
    row.append(head);
    for (const text of [String(one.documents ?? ""), size(one.bytes ?? 0)]) row.append(Object.assign(document.createElement("td"), { className: "figure", textContent: text }));
    const button = Object.assign(document.createElement("button"), { className: "btn bare", type: "button", textContent: words.restore });
    button.setAttribute("aria-label", `${words.restore}: ${one.name}`);
    button.addEventListener("click", () => { wanted = one.name; at("sure").showModal(); });
    row.append(document.createElement("td"));
    row.lastChild.append(button);
    return row;
  }));
};
at("sure-no").addEventListener("click", () => at("sure").close());
at("sure-yes").addEventListener("click", async () => {
  at("sure").close();
  try { await ask(`/api/backups/${encodeURIComponent(wanted)}/restore`, "POST", {}); say(words.restored); await backups(); } catch (refusal) { say(`${words.trouble} ${refusal.message}`, "trouble"); }
});
at("backup").addEventListener("click", async () => {
  try { await ask("/api/backups", "POST", {}); say(words.made); await backups(); } catch (refusal) { say(`${words.trouble} ${refusal.message}`, "trouble"); }
});
const copies = async () => {
  const { copies: all } = await ask("/api/copies");
  at("no-copies").hidden = all.length > 0;
  at("copies").hidden = all.length === 0;
  at("copies").tBodies[0].replaceChildren(...all.map((one) => {
    const row = document.createElement("tr");
    row.append(Object.assign(document.createElement("th"), { scope: "row", textContent: one.name.replace(/\.json$/, "") }));
    row.append(Object.assign(document.createElement("td"), { className: "figure", textContent: new Date(one.written_at).toLocaleString() }));
    const button = Object.assign(document.createElement("button"), { className: "btn bare", type: "button", textContent: words.restorecopy });
    button.setAttribute("aria-label", `${words.restorecopy}: ${one.name}`);
    button.addEventListener("click", async () => {
      try { const back = await ask(`/api/copies/${encodeURIComponent(one.name)}/restore`, "POST", {}); say(`${back.title}: ${words.copied}`); await copies(); } catch (refusal) { say(`${words.trouble} ${refusal.message}`, "trouble"); }
    });
    row.append(document.createElement("td"));
    row.lastChild.append(button);
    return row;
  }));
};
try { kept = await ask("/api/settings"); fill(); at("held").disabled = false; await backups(); await copies(); } catch (refusal) { say(`${words.trouble} ${refusal.message}`, "trouble"); }
