/* A place in the job document: reading it, and writing it without touching what was there before. */

export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };
export type JsonObject = { [key: string]: Json };
export type Path = readonly (string | number)[];

export const key = (path: Path): string => path.join(".");

export const same = (a: Json | undefined, b: Json | undefined): boolean => a === b || JSON.stringify(a) === JSON.stringify(b);

export function isObject(value: Json | undefined): value is JsonObject {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/* What lies at the path; undefined where nothing does. */
export function at(root: Json, path: Path): Json | undefined {
  let here: Json | undefined = root;
  for (const step of path) {
    if (Array.isArray(here)) here = here[Number(step)];
    else if (isObject(here)) here = here[String(step)];
    else return undefined;
  }
  return here;
}

/* The same document but for one place. Undefined takes the key out; a row taken out of a list moves the rest up. */
export function put(root: Json | undefined, path: Path, value: Json | undefined): Json {
  const [step, ...rest] = path;
  if (step === undefined) return value ?? null;
  if (typeof step === "number" || Array.isArray(root)) {
    const list = Array.isArray(root) ? [...root] : [];
    if (rest.length === 0 && value === undefined) list.splice(Number(step), 1);
    else list[Number(step)] = rest.length === 0 ? value! : put(list[Number(step)], rest, value);
    return list;
  }
  const before: JsonObject = isObject(root) ? root : {};
  if (rest.length === 0 && value === undefined) {
    const { [step]: _gone, ...left } = before;
    return left;
  }
  return { ...before, [step]: rest.length === 0 ? value! : put(before[step], rest, value) };
}
