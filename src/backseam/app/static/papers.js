/* Papers of one job: each sheet as it will print, the printer's bars, all of it as one file. */
import { ask } from "./ask.js";
import { at, clean, inUnits, refuse, say } from "./fields.js";

const words = at("words").dataset;
const room = at("papers");
const make = (name, parent, text = "", attributes = {}) => {
  const made = document.createElement(name);
  if (text) made.textContent = text;
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent?.append(made);
  return made;
};

const show = async (id) => {
  const told = await ask(`/api/jobs/${id}/papers`);
  room.replaceChildren();
  for (const paper of told.papers) {
    const section = make("section", room, "", { class: "sheet", "aria-label": paper.title });
    const head = make("header", section);
    make("h2", head, paper.title);
    const push = make("div", head, "", { class: "push" });
    for (const file of paper.files) make("a", push, file.split(".").at(-1).toUpperCase(), { class: "btn", href: `/api/jobs/${id}/papers/${file}`, "aria-label": `${paper.title}, ${file.split(".").at(-1).toUpperCase()}` });
    const pages = make("div", section, "", { class: "pages" });
    for (let page = 1; page <= paper.pages; page += 1) {
      const name = words.page.replace("%1", String(page)).replace("%2", String(paper.pages));
      const figure = make("figure", pages);
      make("img", figure, "", { src: `/api/jobs/${id}/papers/${paper.name}/${page}.${paper.preview ?? "svg"}?${told.stamp ?? ""}`, alt: `${paper.title}, ${name}`, loading: "lazy" });
      make("figcaption", figure, name);
    }
  }
  say(told.stopped ? words.stopped : words.caution, told.stopped ? "trouble" : "");
};

if (room) {
  const id = encodeURIComponent(room.dataset.id);
  const kept = await ask(`/api/jobs/${id}`);
  const paper = kept.document.paper ?? {};
  for (const key of ["bar_across_mm", "bar_along_mm"]) at(key).value = paper.typed?.[key] ?? paper[key] ?? "";
  at("sheet").value = paper.sheet ?? "A4";
  at("held").disabled = false;
  at("bars").addEventListener("submit", async (event) => {
    event.preventDefault();
    clean();
    try {
      const now = await ask(`/api/jobs/${id}`);
      const made = { ...now.document, paper: { ...now.document.paper, sheet: at("sheet").value } };
      for (const key of ["bar_across_mm", "bar_along_mm"]) {
        const text = at(key).value.trim();
        delete made.paper.typed?.[key];
        if (text) made.paper[key] = inUnits(text, words.units); else delete made.paper[key];
      }
      await ask(`/api/jobs/${id}`, "PUT", { document: made, revision: now.revision });
      await show(id);
      say(words.saved);
    } catch (refusal) { refuse(refusal, words.trouble); }
  });
  try { await show(id); } catch (refusal) { say(`${words.trouble} ${refusal.message}`, "trouble"); }
}
