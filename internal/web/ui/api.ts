// The questions that the page asks, and what it gets. The keys are those of the
// command line's JSON.

import { capital } from "./words";

export type Verdict = "unknown" | "unsuitable" | "possible" | "likely" | "suitable";
export type Point = [number, number]; // longitude, latitude

export interface Exercise { name: string; title: string; reasons: Record<string, string> }
export interface MapInfo {
  digest: string; name: string; country: string; drives_left: boolean; bounds: [number, number, number, number];
  data_timestamp: string | null; attribution: string; places: { name: string; at: Point }[];
}
export interface About {
  state: "none" | "opening" | "open" | "failed";
  stage?: string; done?: number; total?: number; fault?: Fault; map?: MapInfo;
  exercises: Exercise[]; kinds: Kind[]; levels: string[]; topics: string[]; sightings: string[];
  verdicts: Record<Verdict, string>; files: { kind: string; title: string; download: boolean; lesson: boolean; survey: boolean }[];
}
/** Kind is a kind of lesson: what it can't do without, and what it lets one say. */
export interface Kind { name: string; title: string; exercise: boolean; second: boolean; judged: boolean; drive_out: boolean; sought: boolean; centre: boolean }
interface Fault { kind: string; error: string; hint?: string; best_possible?: unknown }
export interface Offer { path: string; name: string; bytes: number }
export interface Found { kerb: string; words: string; road: string; at: Point; faces_deg: number; said?: string; turned?: string }
export interface Choice { name: string; place: string; at: Point }
export interface Spot { kerb: string; road: string; side: string; facing: string; verdict: Verdict; line: Point[]; on_map: string }
export interface Looked { exercise: string; roads: Record<string, Verdict>; places: Spot[]; more: number; too_wide?: boolean }
interface Finding { criterion: string; holds: string; evidence: string; source: string }
export interface Why {
  exercise: string; title: string; at: string; kerb: string; road: string; side: string; verdict: Verdict; near_rim?: boolean;
  faces_back: boolean; findings: Finding[]; words: string[]; look_for: string[] | null; facing: string;
  notes: string[]; window: Point[];
  height_profile?: { along_m: number; height_m: number }[];
}
interface AreaOffers { exercise: string; title: string; fit: number[]; possible: number[] }
export interface Area { near: string; said?: string; at: Point; minutes: number[]; exercises: AreaOffers[] }
export interface Plan { id: string; circuit: Circuit; said: string[] | null; kept: boolean; others?: Plan[] }
export interface KeptPlan { id: string; title: string; starts_at: string; from: string; request: PlanRequest }
export interface NoteRow { id: string; says: string; author: string; date: string; kerb: string; road: string; text?: string }
export interface NotesListed { count: number; unplaced: NoteRow[]; latest: NoteRow[] }
export interface Import { added: boolean; id?: string; new: number; kinds: { kind: string; count: number }[]; authors: string[]; first?: string; last?: string; changes: number }
export interface Checked { broken: { must: string; what: string; where?: string; means: string }[]; noted: string[] }
export interface NamedPlace { name: string; kerb: string }
export interface Learner { reference: string; level?: string; stages?: Record<string, string>; covered?: string[]; next?: string[]; watch_for?: string[]; needs?: string[] }
export interface PlanRequest {
  learner?: Learner;
  from: string; to: string; exercise: string; minutes: number; when: string;
  kind?: string; second_exercise?: string; wishes?: string[]; seed?: number;
  /** how many plans more; of an address, which of them is shown */
  alternatives?: number;
  unsuitable?: number; suitable?: number; mixed_order?: boolean; drive_out?: boolean;
  ice?: boolean; near_side_only?: boolean; approved_instructor?: boolean; dual_controls?: boolean;
  without?: string[]; keep_off?: string[]; practise_at?: string;
}
export interface Sought { topic: string; at_least: number }
/** Asked is a request as a plan's file has it: its wishes are sorted there. */
export interface Asked extends PlanRequest { seek?: Sought[]; avoid?: string[]; my_side?: boolean; questions_when_parked?: boolean }
export interface Circuit {
  loopwright: {
    learner?: Learner; request: Asked; starts_at: string; zone: string; drive_s: number; length_m: number;
    timeline: { at_s: number; what: string; minutes: number }[]; cautions: string[]; attribution: string; you_choose?: { roads: { road: string; verdict: Verdict }[] };
  };
  features: Feature[];
}
export interface Feature {
  geometry: { type: "Point"; coordinates: Point } | { type: "LineString"; coordinates: Point[] };
  properties: {
    role: string; exercise?: string; topic?: string; order?: number; at_s?: number; road?: string; side?: string; kerb?: string; towards?: string; what?: string;
    verdict?: Verdict; reason?: string; say?: string; kind?: string; goes?: number; minutes?: number; faces_deg?: number;
    window?: Point[]; way_round?: { say: string }; key?: { answer: string; known: string; follow_up: string }; findings?: Finding[];
  };
}

/** Failed is an answer that says no, or a fault, in a sentence. */
export class Failed extends Error {
  constructor(readonly fault: Fault) { super(fault.error); }
}

const gone = () => new Failed({ kind: "gone", error: "Loopwright does not answer. Is it still running on this machine?" });

/** ask sends a question, or a file; a signal gives it up. */
export async function ask<T>(method: "GET" | "POST" | "DELETE", path: string, body?: unknown, signal?: AbortSignal): Promise<T> {
  let response: Response;
  try {
    response = await fetch("/api/" + path, {
      method, signal,
      headers: body === undefined ? {} : { "Content-Type": "application/json" },
      body: body === undefined ? undefined : body instanceof Blob ? body : JSON.stringify(body),
    });
  } catch (e) {
    if (signal?.aborted) throw e;
    throw gone();
  }
  const answer = await response.json();
  if (!response.ok) throw new Failed(answer as Fault);
  return answer as T;
}

export const post = <T>(path: string, body: unknown, signal?: AbortSignal): Promise<T> => ask<T>("POST", path, body, signal);

/** fetchFile gets a file of a plan. */
export async function fetchFile(address: string): Promise<{ name: string; content: Blob }> {
  const response = await fetch(address).catch(() => { throw gone(); });
  if (!response.ok) throw new Failed(await response.json() as Fault);
  const name = /filename="([^"]+)"/.exec(response.headers.get("Content-Disposition") ?? "")?.[1] ?? "lesson";
  return { name, content: await response.blob() };
}

/** stopped says whether an error is only that we gave a question up. */
export const stopped = (e: unknown): boolean => e instanceof DOMException && e.name === "AbortError";

/** sentence is an error as a reader gets it: with a capital and a full stop. Hints for a terminal are left out. */
export function sentence(e: unknown): string {
  const words = e instanceof Error ? e.message : String(e);
  const hint = e instanceof Failed && e.fault.hint && !/--|`/.test(e.fault.hint) ? " " + e.fault.hint : "";
  const first = capital(words);
  return (/[.?!]$/.test(first) ? first : first + ".") + hint;
}
