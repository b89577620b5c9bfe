/* How every page speaks to the server: JSON there and back, a refusal as an Error with its sentence and its place. */
export class Refusal extends Error {
  constructor(status, body) {
    super(body?.text ?? String(status));
    this.status = status;
    this.body = body ?? {};
  }
}

export const ask = async (address, method = "GET", body = undefined) => {
  const told = await fetch(address, {
    method,
    credentials: "same-origin",
    headers: body === undefined ? {} : { "Content-Type": "application/json" },
    body: body === undefined ? undefined : JSON.stringify(body),
  });
  const kind = told.headers.get("Content-Type") ?? "";
  const given = kind.includes("json") ? await told.json() : await told.text();
  if (!told.ok) throw new Refusal(told.status, typeof given === "string" ? {} : given);
  return given;
};

/* A drawing that the server made, put in as elements, never as markup: what is not a drawing is left out. */
export const drawn = (text, name) => {
  const read = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  if (read.localName !== "svg") return null;
  const svg = document.importNode(read, true);
  svg.setAttribute("role", "img");
  if (name) svg.setAttribute("aria-label", name);
  return svg;
};
