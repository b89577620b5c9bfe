/* After every change: the hand line at once, the work and the fit as soon as they come. The last good drawing stays. */
import { hear, job, last, see, tell } from "./page";
import { Lane, type Refused } from "./server";
import type { Fit, Hand, Refusal, Work } from "./shapes";
import { laid } from "./words";

let refused: Refusal[] = [];

/* How long it took from the change to the next picture on the screen: the benchmark reads these. */
function took(name: string, since: number): void {
  requestAnimationFrame(() => performance.measure(`backseam:${name}`, { start: since, end: performance.now() }));
}

export function flat(why: Refusal): Refusal[] { return [why, ...(why.also ?? [])].filter((one, n, every) => every.findIndex((other) => other.text === one.text) === n); }

function refuse(list: Refusal[]): void {
  refused = list;
  tell("refused", list);
}

const hand = new Lane<Hand>("/api/hand", (answer, since) => {
  last.hand = answer;
  tell("hand", answer);
  took("hand", since);
}, (why: Refused) => refuse(flat(why.body)));

/* A stop leaves the last good drawing where it is; its words and numbers are told. */
function kept(answer: Work): Work {
  const good = last.work;
  if (!answer.worked.stopped || !good || Object.keys(answer.drawings).some((name) => !good.drawings[name])) return answer;
  const at = (key: string): Work["places"][number] | undefined => good.places.find((one) => one.key === key);
  return { ...answer, drawings: good.drawings, places: answer.places.map((one) => ({ ...one, at: at(one.key)?.at ?? one.at, station_mm: at(one.key)?.station_mm ?? one.station_mm })) };
}

const work = new Lane<Work>("/api/work", (answer, since) => {
  last.work = kept(answer);
  refuse([]);
  tell("away", false);
  tell("work", last.work);
  took("work", since);
}, (why: Refused) => { if (why.status < 500) refuse(flat(why.body)); else once("work", () => askWork()); }, () => tell("away", true));

const fit = new Lane<Fit>("/api/fit", (answer, since) => {
  last.fit = answer;
  tell("fit", answer);
  took("fit", since);
}, (why: Refused) => { if (why.status >= 500) once("fit", () => askFit()); });

/* A worker that was lost or too slow has been replaced: the same is asked once more, after a breath. */
const late = new Map<string, number>();
function once(name: string, again: () => void): void {
  clearTimeout(late.get(name));
  late.set(name, window.setTimeout(again, 2000));
}

export function views(): string[] {
  return ["front", see.right === "flat" ? "piece" : "back", ...(see.stretch ? ["stretch"] : [])];
}

export function askAll(): void {
  const since = performance.now(), document = job.value;
  hand.ask({ document }, since);
  askWork(since);
  askFit(since);
}

export function askWork(since = performance.now()): void { work.ask({ document: job.value, views: views(), units: laid.units }, since); }
export function askFit(since = performance.now()): void { fit.ask({ document: job.value, units: laid.units }, since); }
export function refusals(): Refusal[] { return refused; }

export function begin(): void {
  job.listen(askAll);
  hear("view", () => askWork());
  askAll();
}
