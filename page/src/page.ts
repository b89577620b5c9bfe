/* What the parts of the page share: the document, what was last answered, and who wants to hear of it. */
import { JobDocument } from "./document";
import type { Fit, Hand, Refusal, Work } from "./shapes";
import { laid } from "./words";

export const job = new JobDocument(laid.document, `acts:${laid.id}`, laid.revision);

interface Heard { work: Work; hand: Hand; fit: Fit; refused: Refusal[]; light: string; open: string; away: boolean; acts: null; view: null }
const ears = new Map<keyof Heard, ((news: never) => void)[]>();

export function hear<K extends keyof Heard>(kind: K, ear: (news: Heard[K]) => void): void {
  ears.set(kind, [...(ears.get(kind) ?? []), ear as (news: never) => void]);
}
export function tell<K extends keyof Heard>(kind: K, news: Heard[K]): void {
  for (const ear of ears.get(kind) ?? []) (ear as (news: Heard[K]) => void)(news);
}

/* What was last answered; a refusal leaves the last good answer where it is. */
export const last: { work: Work | null; hand: Hand | null; fit: Fit | null } = { work: null, hand: null, fit: null };

/* How the page is looked at; kept in this browser, not in the job. */
export interface See { right: "front" | "back" | "flat"; hand: boolean; stretch: boolean; table: boolean; measure: boolean; solid: boolean; open: string; lit: string; hole: number }
export const see: See = { right: "back", hand: true, stretch: false, table: false, measure: false, solid: false, open: "", lit: "", hole: 1 };
