/* What the server answers, as the published API has it. */
import type { JsonObject, Path } from "./paths";
import type { FieldWords } from "./words";

export interface Refusal { code: string; text: string; where: Path; remedy?: string; also?: Refusal[] }
export interface Fix { label: string; changes: { path: Path; value: unknown }[] }
export interface Finding { code: string; severity: "stop" | "check" | "note"; text: string; remedy: string; where: Path; fix?: Fix | null; datum?: string; accepted?: string }
export interface Place { key: string; name: string; station_mm: number | null; side: "left" | "right"; at: Record<string, [number, number]>; value: string; fields: (FieldWords & { typed?: string })[]; effect: string }
export interface Leg { key: string; name?: string; state: "done" | "here" | "to_come"; text: string; missing: string[] }
export interface Hole { number: number; x_mm: number; y_mm: number; layers: number }
export interface Station { name: string; station_mm: number; half_width_mm: number; half_width_hand_mm: number; width_mm: number; depth_mm: number; reading: number | null }
export interface Worked {
  stopped: boolean; stations: Station[]; landmarks: Record<string, number | null>;
  upper: { blank_mm: [number, number]; height_mm: number; stitch_right: [number, number][] };
  seam: { count: number; pitch_mm: number; length_mm: number; holes: Hole[]; holes_right: [number, number][] };
  thread_mm: number; hand: { largest_difference_mm: number; at_mm: number };
}
export interface GateRow { id: string; act: string; limit: string; boxes: string[]; read: string[]; state: "open" | "held" | "out"; out: string; found: [string, string][] }
export interface Work { seq: number; worked: Worked; findings: Finding[]; places: Place[]; way: Leg[]; drawings: Record<string, string>; gates?: GateRow[] }
export interface HandStation { reading: number; name: string; station_mm: number; strap_mm: number; half_width_mm: number }
export interface Hand { stations: HandStation[]; dots: [number, number][]; refused: Refusal[] }
export interface Fit { words: string[]; bands: { what: string; low: number; middle: number; high: number; text?: string }[]; verdict: string; matters: { what: string; effect: string; share?: number }[]; force: string; warn: { text: string; remedy?: string }[]; calibrated?: boolean }
export interface Why { text: string; reasons: { where: Path; text: string; moves_mm: number }[] }
export interface Section { svg: string; width_mm: number; depth_mm: number; girth_mm: number }
export interface Difference { where: Path; name: string; mine: string; theirs: string }
export interface SavedElsewhere { code: string; text: string; theirs: { revision: number; saved_at: string; document: JsonObject }; differences: Difference[] }
export interface SaveLine { revision: number; saved_at: string; mark?: string; title?: string }
