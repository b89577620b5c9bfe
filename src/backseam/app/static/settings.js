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
const line = (title, figures, verb, name, act) => {
  const row = document.createElement("tr");
  row.append(Object.assign(document.createElement("th"), { scope: "row", textContent: title }));
  for (const text of figures) row.append(Object.assign(document.createElement("td"), { className: "figure", textContent: text }));
  const button = Object.assign(document.createElement("button"), { className: "btn bare", type: "button", textContent: verb });
  button.setAttribute("aria-label", `${verb}: ${name}`);
  button.addEventListener("click", act);
  row.append(document.createElement("td"));
  row.lastChild.append(button);
  return row;
};
const listed = (key, rows) => {
  at(`no-${key}`).hidden = rows.length > 0;
  at(key).hidden = rows.length === 0;
  at(key).tBodies[0].replaceChildren(...rows);
};
const backups = async () => {
  const { backups: all } = await ask("/api/backups");
  listed("backups", all.map((one) => line(one.name, [String(one.documents ?? ""), size(one.bytes ?? 0)], words.restore, one.name,
    () => { wanted = one.name; at("sure").showModal(); })));
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
  listed("copies", all.map((one) => line(one.name.replace(/\.json$/, ""), [new Date(one.written_at).toLocaleString()], words.restorecopy, one.name,
    async () => {
      try { const back = await ask(`/api/copies/${encodeURIComponent(one.name)}/restore`, "POST", {}); say(`${back.title}: ${words.copied}`); await copies(); } catch (refusal) { say(`${words.trouble} ${refusal.message}`, "trouble"); }
    })));
};
try { kept = await ask("/api/settings"); fill(); at("held").disabled = false; await backups(); await copies(); } catch (refusal) { say(`${words.trouble} ${refusal.message}`, "trouble"); }
