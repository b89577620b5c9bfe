/* Today: each card asks for its own glance (drawing, way, what comes next); what goes on by itself stands on top. */
import { ask, drawn } from "./ask.js";

const at = (id) => document.getElementById(id);
const words = at("words").dataset;
const language = document.documentElement.lang;
const SVG = "http://www.w3.org/2000/svg";
const say = (text, kind = "") => { at("said").textContent = text; at("said").dataset.kind = kind; };
const element = (name, attributes, parent) => {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent?.append(made);
  return made;
};
const html = (name, text, kind, parent) => {
  const made = document.createElement(name);
  if (text) made.textContent = text;
  if (kind) made.className = kind;
  parent?.append(made);
  return made;
};

/* how long, in the largest unit that says enough */
const long = (minutes) => {
  const many = Math.abs(minutes);
  if (many < 90) return `${Math.max(1, Math.round(many))} ${words.minute}`;
  if (many < 48 * 60) return `${Math.round(many / 60)} ${words.hour}`;
  const days = Math.round(many / 1440);
  return `${days} ${days === 1 ? words.day : words.days}`;
};

const days = () => {
  const short = new Intl.DateTimeFormat(language, { weekday: "short", day: "numeric", month: "short" });
  for (const span of document.querySelectorAll(".due [data-day]")) {
    if (!span.dataset.day) continue;
    const day = new Date(`${span.dataset.day}T00:00:00`);
    span.textContent = short.format(day);
    if (day - Date.now() < 2 * 86400e3) span.classList.add("soon");
  }
  const now = new Intl.DateTimeFormat(language, { weekday: "long", day: "numeric", month: "long", hour: "2-digit", minute: "2-digit" });
  at("date").textContent = now.format(new Date());
};

const seam = (svg, way) => {
  svg.replaceChildren();
  way.forEach((leg, i) => {
    const x = 2 + 25 * i;
    if (leg.standing === "done") element("path", { class: "thread", d: `M${x} 8.5l8-4M${x + 11} 8.5l8-4` }, svg);
    else if (leg.standing === "here") element("path", { class: "needle", d: `M${x} 9l19-7` }, svg);
    else element("path", { class: "pricked", d: `M${x + 3} 7.5l2.6-2.4M${x + 14} 7.5l2.6-2.4` }, svg);
  });
};

const flag = (kind, count, parent) => {
  const made = html("span", "", `flag ${kind}`, parent);
  const shape = element("svg", { viewBox: "0 0 24 24", "aria-hidden": "true" }, made);
  element("use", { href: `#i-${kind}` }, shape);
  made.append(`${count} ${words[kind]}`);
};

/* one act is done: the document says so, and what goes on by itself begins */
const WAITS = { soak: "rest", rest: null, clamp: null, dry: null };
const done = async (card, act, waits) => {
  const id = card.dataset.id;
  try {
    const kept = await ask(`/api/jobs/${encodeURIComponent(id)}`);
    const made = structuredClone(kept.document);
    const making = (made.making ??= {});
    const now = new Date().toISOString();
    const began = act in WAITS && !waits;
    if (began) making.now = { act, since: now };
    else {
      making.done = [...(making.done ?? []), { act, at: now }];
      delete making.now;
      if (WAITS[act]) making.now = { act: WAITS[act], since: now };
    }
    await ask(`/api/jobs/${encodeURIComponent(id)}`, "PUT", { document: made, revision: kept.revision });
    await glance(card);
    rows();
  } catch (refusal) { say(refusal.message || words.trouble, "trouble"); }
};

const going = new Map();

const glance = async (card) => {
  const told = await ask(`/api/jobs/${encodeURIComponent(card.dataset.id)}/glance`);
  const name = card.querySelector("h3 a").textContent;
  const picture = told.thumbnail && drawn(told.thumbnail, `${words.drawing}: ${name}`);
  if (picture) { picture.classList.add("drawing"); card.querySelector(".plate").replaceChildren(picture); }
  seam(card.querySelector(".seamway"), told.way);
  const here = told.way.findIndex((leg) => leg.standing === "here");
  const stage = card.querySelector(".stage");
  stage.replaceChildren();
  const where = html("span", "", "", stage);
  const leg = told.way[here] ?? told.way.at(-1);
  html("b", leg.name, "", where);
  where.append(` · ${here < 0 ? told.way.length : here} ${words.of} ${told.way.length}`);
  if (told.stop) flag("stop", told.stop, stage);
  else if (told.check) flag("check", told.check, stage);
  const next = card.querySelector(".next");
  next.replaceChildren();
  const link = html("a", told.next.text, "btn bare", next);
  link.href = `/jobs/${encodeURIComponent(card.dataset.id)}#${told.next.place}`;
  if (told.next.act && told.next.act !== "printed") {
    const button = html("button", words.done, "btn", next);
    button.type = "button";
    html("span", `: ${told.next.text}, ${name}`, "sr", button);
    button.addEventListener("click", () => void done(card, told.next.act, false));
  }
  going.set(card.dataset.id, told.going && { ...told.going, name, card, seen: Date.now() });
  card.dataset.order = String(here < 0 ? 99 : 8 - here);
};

const rows = () => {
  const list = at("now").querySelector("ol");
  const all = [...going.values()].filter(Boolean).map((one) => ({ ...one, left: one.left_min - (Date.now() - one.seen) / 60e3 }));
  all.sort((a, b) => a.left - b.left);
  at("now").hidden = all.length === 0;
  list.replaceChildren(...all.map((one) => {
    const row = at("row").content.cloneNode(true).firstElementChild;
    const late = one.left < 0;
    row.classList.toggle("late", late);
    row.querySelector("h3").textContent = `${one.text}: ${one.name}`;
    row.querySelector("p.quiet").textContent = one.then;
    row.querySelector(".left span").textContent = long(one.left);
    row.querySelector(".left small").textContent = ` ${late ? words.late : words.left.replace("%", long(one.whole_min))}`;
    const gone = Math.min(1, Math.max(0, 1 - one.left / one.whole_min));
    const wet = one.wet ? gone : 1 - gone;
    row.querySelector(".w").setAttribute("width", String(100 * wet));
    const picture = at(`pic-${one.act}`) ?? at("pic-soak");
    row.querySelector(".pic").append(...picture.content.firstElementChild.cloneNode(true).childNodes);
    row.querySelector("button .sr").textContent = `: ${one.text}, ${one.name}`;
    row.querySelector("button").addEventListener("click", () => void done(one.card, one.act, true));
    return row;
  }));
};

const search = () => {
  const wanted = at("q").value.trim().toLocaleLowerCase(language);
  let shown = 0;
  for (const card of document.querySelectorAll(".card")) {
    card.hidden = !card.dataset.find.toLocaleLowerCase(language).includes(wanted);
    shown += card.hidden ? 0 : 1;
  }
  if (at("none")) at("none").hidden = shown > 0;
};

const bring = async (file) => {
  try {
    const made = JSON.parse(await file.text());
    const kept = await ask("/api/jobs", "POST", { document: made });
    location.assign(`/jobs/${encodeURIComponent(kept.id)}`);
  } catch (refusal) { say(refusal instanceof SyntaxError ? words.trouble : refusal.message, "trouble"); }
};

at("q").addEventListener("input", search);
at("bring").addEventListener("click", () => at("file").click());
at("file").addEventListener("change", (event) => { const [file] = event.target.files; if (file) void bring(file); });
days();
for (const card of document.querySelectorAll(".card")) {
  try { await glance(card); } catch { card.querySelector(".stage").textContent = words.trouble; }
}
const cards = at("cards");
if (cards) cards.append(...[...cards.children].sort((a, b) => Number(b.dataset.order ?? 0) - Number(a.dataset.order ?? 0)));
rows();
setInterval(() => { days(); rows(); }, 30e3);
