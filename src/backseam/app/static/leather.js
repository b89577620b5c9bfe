/* Hides: a card, its bench tests, the jobs cut from it, and what each taught. The learning is the server's. */
import { ask } from "./ask.js";
import { at, clean, inUnits, refuse, say } from "./fields.js";

const words = at("words").dataset;
const address = `/api/leather/${encodeURIComponent(words.id ?? "")}`;
const typed = (id) => at(id).value.trim();
const make = (name, text = "", look = "") => Object.assign(document.createElement(name), { textContent: text, className: look });
const lastField = (where) => String(where.findLast((part) => at(part)) ?? "");

/* a card that is begun, or changed */
const card = () => ({ title: typed("title"), part: at("part").value, thickness_mm: typed("thickness_mm") ? inUnits(typed("thickness_mm"), words.units) : undefined });
const nameless = () => {
  clean();
  if (typed("title")) return false;
  refuse({ body: { where: ["title"], text: words.nameless } }, "");
  return true;
};
at("hide")?.addEventListener("submit", async (event) => {
  event.preventDefault();
  if (nameless()) return;
  try {
    const kept = await ask("/api/leather", "POST", { document: { kind: "backseam.leather", version: 1, ...card() } });
    location.assign(`/leather/${encodeURIComponent(kept.id)}`);
  } catch (refusal) { refuse(refusal, words.trouble, lastField); }
});
at("keep")?.addEventListener("submit", async (event) => {
  event.preventDefault();
  if (nameless()) return;
  try {
    const now = await ask(address);
    const { typed: _, thickness_mm: __, ...kept } = now.document;
    const told = await ask(address, "PUT", { document: { ...kept, ...card(), note: at("note").value }, revision: Number(words.revision) });
    words.revision = told.revision;
    await freshen();
    document.querySelector(".top h1").textContent = typed("title");
    say(words.kept);
  } catch (refusal) { refuse(refusal, words.keep, lastField); }
});
at("away")?.addEventListener("click", async () => {
  try {
    await ask(`${address}?revision=${words.revision}`, "DELETE");
    location.reload(); // the page of what was taken out says how it comes back
  } catch (refusal) { refuse(refusal, words.keep); }
});

/* what the page says of the hide, anew; the forms and what is typed in them stay */
const freshen = async () => {
  const page = new DOMParser().parseFromString(await (await fetch(location.href)).text(), "text/html");
  words.revision = page.getElementById("words").dataset.revision;
  for (const id of ["h-known", "h-tests", "h-job"]) {
    const fresh = page.getElementById(id)?.closest("section");
    if (fresh) at(id).closest("section").replaceWith(document.importNode(fresh, true));
  }
  document.querySelector(".top p").textContent = page.querySelector(".top p").textContent;
};
const show = (told) => {
  at("told").replaceChildren(...told.told.map((text) => make("li", text)));
  at("met").replaceChildren(...told.findings.map((one) => {
    const box = make("div", "", `finding ${one.severity}`);
    const inner = make("div");
    inner.append(make("p", one.text), make("p", one.remedy, "quiet"));
    box.append(make("span", one.severity === "note" ? "○" : "◇"), inner);
    box.firstChild.setAttribute("aria-hidden", "true");
    return box;
  }));
  at("learned").hidden = false;
  at("learned").scrollIntoView({ block: "center" });
  at("learned").focus({ preventScroll: true });
};
const learn = async (body, place) => {
  clean();
  say("");
  try {
    const told = await ask(`${address}/learn`, "POST", body);
    await freshen();
    show(told);
    return true;
  } catch (refusal) { refuse(refusal, words.trouble, place); }
  return false;
};

/* a test as it was typed: blank fields and rows are left out; where a row went is remembered for what is wrong in it */
const plain = (text) => { const number = Number(text.replace(",", ".")); return Number.isFinite(number) ? number : text; };
const value = (input) => {
  if (input.type === "checkbox") return input.checked;
  const text = input.value.trim();
  if (text === "" || input.matches("select")) return text;
  if (input.dataset.kind === "plain") return plain(text);
  return "long" in input.dataset ? inUnits(text, words.units) : text;
};
const filled = (inputs) => Object.fromEntries([...inputs].map((input) => [input.dataset.key, value(input)]).filter(([, text]) => text !== ""));
const blank = (inputs) => [...inputs].every((input) => input.matches("select") || input.type === "checkbox" || input.value.trim() === "");

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (!form.matches(".bench-test")) return;
  event.preventDefault();
  const list = form.dataset.list;
  const inputs = form.querySelectorAll("[data-key]");
  if (blank(inputs)) {
    clean();
    const first = form.querySelector("input.number");
    refuse({ body: { where: [first.id], text: words.nothing } }, words.trouble);
    return;
  }
  const test = filled(form.querySelectorAll(".fields [data-key]"));
  const rows = [];
  if (form.dataset.rows) {
    form.querySelectorAll(".row").forEach((row, n) => { if (!blank(row.querySelectorAll("[data-key]"))) rows.push([n, filled(row.querySelectorAll("[data-key]"))]); });
    test[form.dataset.rows] = rows.map(([, row]) => row);
  }
  const place = (where) => {
    const [, , , key, row, inner] = where;
    const id = inner ? `${list}-${key}-${rows[row]?.[0] ?? 0}-${inner}` : `${list}-${key ?? ""}`;
    return at(id) ? id : at(`${list}-${key}-${rows[row]?.[0] ?? 0}-${inner}`) ? id : "";
  };
  const tests = { kind: "backseam.leather-tests", version: 1, tests: { [list]: [test] } };
  if (await learn({ tests }, place)) form.reset();
});

/* jobs cut from this hide */
const cut = async (job, name) => {
  clean();
  try {
    const now = await ask(`/api/jobs/${encodeURIComponent(job)}`);
    const leather = { ...now.document.leather, card: name };
    await ask(`/api/jobs/${encodeURIComponent(job)}`, "PUT", { document: { ...now.document, leather }, revision: now.revision });
    await freshen();
    say(words.kept);
  } catch (refusal) { refuse(refusal, words.keep); }
};
document.addEventListener("submit", (event) => {
  if (event.target.id !== "cut") return;
  event.preventDefault();
  void cut(at("job").value, words.id);
});
document.addEventListener("click", (event) => {
  const button = event.target.closest("button[data-learn], button[data-uncut], button[data-without], button[data-again]");
  if (!button) return;
  const { learn: job, uncut, without, again } = button.dataset;
  if (uncut) void cut(uncut, "");
  else void learn(job ? { job } : without ? { without: [without] } : { again: [again] });
});
