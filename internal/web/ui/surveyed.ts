// What the server answers about a new area and a newer map. The keys are those of
// the command line's JSON.

import type { Point, Verdict } from "./api";

export interface Offered { exercise: string; title: string; fit: number[]; possible: number[]; not_known: number; best: Place[] }
interface Place { road: string; kerb: string; minutes: number; verdict: Verdict }
export interface Remark { road: string; kerb: string; says: string }
export interface Report {
  near: string; at: Point; within_minutes: number; minutes: number[]; stretches: number;
  exercises: Offered[]; topics: { topic: string; count: number[] }[];
  unknown: { road: string; length_m: number; lacks: string[] }[]; contradictions: Remark[]; worn: Remark[];
}
/** Surveyed is a report as its file has it: the report itself, and a line for each place and remark. */
export interface Surveyed {
  id: string; said?: string;
  report: { loopwright: Report; features: { geometry: { coordinates: Point[] }; properties: { role: string; kerb: string; exercise?: string } }[] };
}

export interface Answer { width_m?: number; parked?: string; view?: string; traffic?: string; would_do?: string }
export interface SurveyRoad { order: number; road: string; kerb: string; paced: boolean; why: string; verdict: Verdict; answer: Answer }
export interface SurveyStop { road?: string; kerb?: string; at_s: number; roads: SurveyRoad[] }
export interface SurveyStops { exercise: string; title: string; roads: number; answered: number; stops: SurveyStop[] }
export interface Entered { road: number; answer: Answer; before: Verdict; after: Verdict }
export interface Reversed { road: string; seen: boolean; before: Verdict; after: Verdict; kerbs: string[]; where: Point[][] }

interface MapChange { kind: string; road: string; says: string; where: Point[][]; minutes: number; near_rim: boolean }
export interface ChangedPlace { exercise: string; title: string; road: string; kerb: string; was: Verdict; is: Verdict }
export interface ChangedPlan { file: string; id?: string; title: string; roads: string[]; broken: { must: string; what: string; where?: string; means: string }[] }
export interface Newer {
  near?: string; within_minutes?: number; since: string | null; data_timestamp: string | null;
  changes: MapChange[]; places: ChangedPlace[]; plans: ChangedPlan[]; plans_read: number;
}
