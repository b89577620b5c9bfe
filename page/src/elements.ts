/* Making elements without a string of markup: everything typed stays text. */

type Child = Node | string | null | undefined | false;
type Attributes = Record<string, string | number | boolean | ((event: Event) => void) | undefined>;

const SVG = "http://www.w3.org/2000/svg";

function dress(element: Element, attributes: Attributes, children: Child[]): void {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === false) continue;
    if (typeof value === "function") element.addEventListener(name.replace(/^on/, ""), value);
    else if (name === "text") element.textContent = String(value);
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  for (const child of children) if (child) element.append(child);
}

export function make<K extends keyof HTMLElementTagNameMap>(tag: K, attributes: Attributes = {}, ...children: Child[]): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  dress(element, attributes, children);
  return element;
}

export function mark<K extends keyof SVGElementTagNameMap>(tag: K, attributes: Attributes = {}, ...children: Child[]): SVGElementTagNameMap[K] {
  const element = document.createElementNS(SVG, tag);
  dress(element, attributes, children);
  return element;
}

export function icon(name: string): SVGSVGElement {
  return mark("svg", { class: "icon", "aria-hidden": "true", viewBox: "0 0 24 24" }, mark("use", { href: `#i-${name}` }));
}

export function find<T extends Element = HTMLElement>(selector: string, within: ParentNode = document): T {
  const found = within.querySelector<T>(selector);
  if (!found) throw new Error(`nothing on the page is ${selector}`);
  return found;
}

export function all<T extends Element = HTMLElement>(selector: string, within: ParentNode = document): T[] {
  return [...within.querySelectorAll<T>(selector)];
}

/* A drawing from the server: read as a document, its outside kept out, its nodes taken over. */
export function drawn(text: string): SVGSVGElement | null {
  const root = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  if (root.nodeName !== "svg") return null;
  for (const bad of root.querySelectorAll("script, foreignObject, style, image, a")) bad.remove();
  return document.importNode(root as unknown as SVGSVGElement, true);
}

/* Puts a text in only if it differs, so that readers of screens are not told twice. */
export function write(element: Element, text: string): void {
  if (element.textContent !== text) element.textContent = text;
}
