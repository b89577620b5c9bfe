/* Fields of a form: what is wrong stands at the field, what was typed stays. */
export const at = (id) => document.getElementById(id);
export const wrong = (id, text) => {
  const field = at(id);
  if (!field) return false;
  field.setAttribute("aria-invalid", String(Boolean(text)));
  const line = at(`${id}-wrong`);
  if (line) line.textContent = text;
  return true;
};
export const clean = () => document.querySelectorAll("[aria-invalid]").forEach((field) => wrong(field.id, ""));
export const say = (text, kind = "") => { at("said").textContent = text; at("said").dataset.kind = kind; };

/* a number typed without a unit is in the units of the workshop */
export const inUnits = (text, units) => (units === "inch" && /^[\d\s./,;]+$/.test(text) ? text.split(/\s*;\s*/).map((one) => `${one} in`).join("; ") : text);

/* each refusal at its field, by the last name of its place; the rest above the form */
export const refuse = (refusal, trouble, place = (where) => String(where.at(-1) ?? "")) => {
  const all = [refusal.body ?? {}, ...(refusal.body?.also ?? [])];
  let first = "";
  for (const one of all) {
    const id = place(one.where ?? []);
    if (id && wrong(id, one.text)) first ||= id;
  }
  say(first ? "" : `${trouble} ${refusal.message}`, "trouble");
  if (first) at(first).focus();
};
