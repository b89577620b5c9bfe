/* Hides: a new card, and what a test or a finished sheath teaches it. The learning is the server's. */
import { ask } from "./ask.js";
import { at, clean, inUnits, refuse, say } from "./fields.js";

const words = at("words").dataset;
const typed = (id) => at(id).value.trim();

at("hide")?.addEventListener("submit", async (event) => {
  event.preventDefault();
  clean();
  const card = { kind: "backseam.leather", version: 1, title: typed("title"), part: at("part").value };
  if (typed("thickness_mm")) card.thickness_mm = inUnits(typed("thickness_mm"), words.units);
  try {
    const kept = await ask("/api/leather", "POST", { document: card });
    location.assign(`/leather/${encodeURIComponent(kept.id)}`);
  } catch (refusal) { refuse(refusal, words.trouble, (where) => String(where.find((part) => at(part)) ?? "")); }
});

const learn = async (form, body) => {
  clean();
  try {
    const told = await ask(`/api/leather/${encodeURIComponent(form.dataset.id)}/learn`, "POST", body);
    const lines = told.told ?? [];
    at("learned").hidden = lines.length === 0;
    at("learned").querySelector("ul").replaceChildren(...lines.map((text) => Object.assign(document.createElement("li"), { textContent: text })));
    const page = new DOMParser().parseFromString(await (await fetch(location.href)).text(), "text/html");
    for (const id of ["h-known", "h-tests"]) {
      const fresh = page.getElementById(id)?.closest("section");
      if (fresh) at(id).closest("section").replaceWith(document.importNode(fresh, true));
    }
    at("learned").scrollIntoView({ block: "nearest" });
  } catch (refusal) { refuse(refusal, words.trouble, (where) => String(where.find((part) => at(part)) ?? "")); }
};

at("ring")?.addEventListener("submit", (event) => {
  event.preventDefault();
  const ring = { waxed: at("waxed").checked };
  for (const key of ["handle_mm", "inside_mm"]) if (typed(key)) ring[key] = inUnits(typed(key), words.units);
  if (typed("pull_n")) ring.pull_n = typed("pull_n");
  void learn(at("ring"), { tests: { kind: "backseam.leather-tests", version: 1, tests: { rings: [ring] } } });
});
at("sheath")?.addEventListener("submit", (event) => {
  event.preventDefault();
  say("");
  void learn(at("sheath"), { job: at("job").value });
});
