/* A new job from four straps: nothing is worked out here, the server reads every number. */
import { ask, Refusal } from "./ask.js";

const at = (id) => document.getElementById(id);
const words = at("words").dataset;
const ROWS = ["bottom", "junction", "between", "thickest", "mouth"];
const NAMES = { bottom: "bottom edge", junction: "junction", thickest: "thickest", mouth: "mouth", between: "" };
const LANDMARK = { junction: "junction_mm", thickest: "thickest_mm", mouth: "mouth_mm" };
const typed = (id) => at(id).value.trim();
const inUnits = (text) => (words.units === "inch" && /^[\d\s./,]+$/.test(text) ? `${text} in` : text);

const wrong = (id, text) => {
  at(id).setAttribute("aria-invalid", String(Boolean(text)));
  const line = at(`${id}-wrong`);
  if (line) line.textContent = text;
};
const clean = () => document.querySelectorAll("[aria-invalid]").forEach((field) => wrong(field.id, ""));
const say = (text, kind = "") => { at("said").textContent = text; at("said").dataset.kind = kind; };

const document_ = () => {
  const made = { kind: "backseam.job", version: 1, title: typed("title"), customer: typed("customer"), form: { girths: [], landmarks: {} }, leather: {}, construction: { collar: at("collar").value } };
  const fields = [];
  for (const key of ROWS) {
    const height = typed(`${key}-height`), girth = typed(`${key}-girth`);
    if (!girth && (key === "between" || !height)) continue;
    fields.push(key);
    made.form.girths.push({ station_mm: inUnits(height), reading_mm: inUnits(girth), instrument: at("instrument").value, ...(NAMES[key] ? { name: NAMES[key] } : {}) });
    if (LANDMARK[key] && height) made.form.landmarks[LANDMARK[key]] = inUnits(height);
  }
  if (typed("thickness")) made.leather.thickness_mm = inUnits(typed("thickness"));
  return { made, fields };
};

const lacking = () => {
  let first = null;
  for (const key of ["mouth", "thickest", "junction", "bottom"])
    for (const part of ["height", "girth"])
      if (!typed(`${key}-${part}`)) { wrong(`${key}-${part}`, words.missing); first ??= `${key}-${part}`; }
  if (first) at(first).focus();
  return first !== null;
};

const placed = (where, fields) => {
  const [part, list, row, name] = where;
  if (part === "form" && list === "girths") return `${fields[row]}-${name === "station_mm" ? "height" : "girth"}`;
  if (part === "form" && list === "landmarks") return `${Object.keys(LANDMARK).find((key) => LANDMARK[key] === row) ?? "mouth"}-height`;
  return part === "leather" ? "thickness" : part === "title" ? "title" : "";
};

const refused = (refusal, fields) => {
  if (!(refusal instanceof Refusal)) { say(words.trouble, "trouble"); return; }
  const all = [refusal.body, ...(refusal.body.also ?? [])];
  let first = null;
  for (const one of all) {
    const id = placed(one.where ?? [], fields);
    if (id && at(id)) { wrong(id, one.text); first ??= id; }
  }
  say(first ? words.some : refusal.message, "trouble");
  if (first) at(first).focus();
};

const open = async (made, fields) => {
  try {
    const kept = await ask("/api/jobs", "POST", { document: made });
    location.assign(`/jobs/${encodeURIComponent(kept.id)}`);
  } catch (refusal) { refused(refusal, fields); }
};

at("new").addEventListener("submit", (event) => {
  event.preventDefault();
  clean();
  if (lacking()) return;
  const { made, fields } = document_();
  void open(made, fields);
});

at("from-table").addEventListener("click", async () => {
  clean();
  try {
    const { readings } = await ask("/api/paste", "POST", { text: at("table").value, units: words.units });
    const { made } = document_();
    made.form.girths = readings;
    await open(made, []);
  } catch (refusal) { refused(refusal, []); }
});

for (const row of document.querySelectorAll("[data-row]")) {
  const strap = document.querySelector(`[data-strap="${row.dataset.row}"]`);
  row.addEventListener("focusin", () => strap?.classList.add("lit"));
  row.addEventListener("focusout", () => strap?.classList.remove("lit"));
}
at("title").focus();
