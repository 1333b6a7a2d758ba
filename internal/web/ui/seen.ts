// What was seen of one road: in words, in metres, and kept in this browser until
// the server has it. Pure but for that.

import { recall, remember } from "./app";
import type { Answer } from "./surveyed";

/** questions are what is asked of a road, but for its width. The first letters of one question's answers differ: they are its keys. */
export const questions: { key: "parked" | "view" | "traffic" | "would_do"; title: string; about?: string; options: [string, string][] }[] = [
  { key: "parked", title: "Cars parked", options: [["none", "None"], ["few", "Few"], ["one side", "One side"], ["both sides", "Both sides"]] },
  { key: "view", title: "View", about: "Clear: 100 m both ways, some 25 cars long.", options: [["clear", "Clear"], ["blocked", "Blocked"]] },
  { key: "traffic", title: "Traffic", options: [["quiet", "Quiet"], ["some", "Some"], ["busy", "Busy"]] },
  { key: "would_do", title: "Would it do?", options: [["yes", "Yes"], ["no", "No"]] },
];

/** saidOf is an answer in a few words; "" where nothing was seen. */
export function saidOf(a: Answer): string {
  const cars = a.parked && (a.parked === "none" ? "no cars parked" : a.parked === "few" ? "few cars parked" : `cars on ${a.parked}`);
  return [a.width_m && `${a.width_m} m`, cars, a.view && `view ${a.view}`, a.traffic && (a.traffic === "some" ? "some traffic" : a.traffic), a.would_do && (a.would_do === "yes" ? "would do" : "would not do")].filter(Boolean).join(", ");
}

/** widthOf reads a number of metres or of paces, to the centimetre; 0 for nothing, null for what is no width. */
export function widthOf(text: string, pace: number | null): number | null {
  const trimmed = text.trim().replace(",", ".");
  if (trimmed === "") return 0;
  const n = Number(trimmed);
  if (!(n > 0)) return null;
  const metres = Math.round(n * (pace ?? 1) * 100) / 100;
  return metres >= 1 && metres <= 100 ? metres : null;
}

/** pacesOf is a width in paces, as one would have counted them: to a half. */
export const pacesOf = (metres: number, pace: number): number => Math.round(metres / pace * 2) / 2;

/** Drafts are answers that the server does not have yet, by the road's number. They outlast the page. */
export class Drafts {
  private all: Record<string, Answer>;
  private key: string;

  constructor(drive: string) {
    this.key = "loopwright.answers." + drive;
    this.all = JSON.parse(recall(this.key) ?? "{}") as Record<string, Answer>;
  }

  get(road: number): Answer | undefined { return this.all[road]; }
  roads(): number[] { return Object.keys(this.all).map(Number); }

  put(road: number, a: Answer): void {
    this.all[road] = a;
    this.keep();
  }

  /** sent forgets a draft that the server has, unless it was changed meanwhile. */
  sent(road: number, a: Answer): void {
    if (JSON.stringify(this.all[road]) !== JSON.stringify(a)) return;
    delete this.all[road];
    this.keep();
  }

  private keep(): void { remember(this.key, JSON.stringify(this.all)); }
}
