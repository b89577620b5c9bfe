/* Talking to the server: one request of a kind in flight, the newest waiting; what is refused comes back in words. */
import type { Refusal } from "./shapes";

export class Refused extends Error {
  constructor(readonly status: number, readonly body: Refusal & Record<string, unknown>) { super(body.text ?? ""); }
}
export class Away extends Error { }

export const client = crypto.randomUUID?.() ?? String(Math.random()).slice(2);

async function send(method: string, path: string, body?: unknown): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(path, { method, credentials: "same-origin", ...(body === undefined ? {} : { headers: { "content-type": "application/json" }, body: JSON.stringify(body) }) });
  } catch { throw new Away(); }
  if (answer.ok) return answer;
  const told = await answer.json().catch(() => ({ code: String(answer.status), text: "", where: [] })) as Refusal & Record<string, unknown>;
  throw new Refused(answer.status, told);
}

export async function ask<T>(method: string, path: string, body?: unknown): Promise<T> {
  const answer = await send(method, path, body);
  return (answer.status === 204 ? null : await answer.json()) as T;
}

export async function bytes(path: string, body: unknown): Promise<ArrayBuffer> { return (await send("POST", path, body)).arrayBuffer(); }

/* One kind of question. Asking again while one is under way waits; of those that wait, only the newest is asked. */
export class Lane<T> {
  private busy = false;
  private waiting: { body: Record<string, unknown>; since: number } | null = null;
  private seq = 0;

  constructor(private readonly path: string, private readonly got: (answer: T, since: number) => void, private readonly refused: (why: Refused) => void = () => {}, private readonly away: () => void = () => {}) { }

  ask(body: Record<string, unknown>, since = performance.now()): void {
    this.waiting = { body, since };
    if (!this.busy) void this.go();
  }

  private async go(): Promise<void> {
    this.busy = true;
    while (this.waiting) {
      const { body, since } = this.waiting;
      this.waiting = null;
      try {
        this.got(await ask<T>("POST", this.path, { client, seq: ++this.seq, ...body }), since);
      } catch (fault) {
        if (fault instanceof Refused) { if (fault.body.code !== "superseded" && !this.waiting) this.refused(fault); }
        else if (fault instanceof Away) { this.away(); }
        else { this.busy = false; throw fault; }
      }
    }
    this.busy = false;
  }
}
