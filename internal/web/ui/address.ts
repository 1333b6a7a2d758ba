// A plan has an address: its request, written so that it can be read, sent and
// gone back to. Pure, so that it can be tested.

import type { Learner, PlanRequest } from "./api";

/** toQuery writes a request. */
export function toQuery(r: PlanRequest): string {
  const q = new URLSearchParams();
  q.set("from", r.from);
  if (r.to && r.to !== r.from) q.set("to", r.to);
  q.set("exercise", r.exercise);
  q.set("minutes", String(r.minutes));
  q.set("when", r.when);
  if (r.unsuitable != null) q.set("unsuitable", String(r.unsuitable));
  if (r.suitable != null) q.set("suitable", String(r.suitable));
  if (r.seed && r.seed !== 1) q.set("seed", String(r.seed));
  if (r.practise_at) q.set("practise_at", r.practise_at);
  if (r.learner) {
    q.set("learner", r.learner.reference);
    if (r.learner.level) q.set("level", r.learner.level);
    for (const [topic, stage] of Object.entries(r.learner.stages ?? {})) if (stage === "untaught") q.append("untaught", topic);
  }
  for (const kerb of r.without ?? []) q.append("without", kerb);
  return q.toString();
}

/** fromQuery reads a request; null where it is none. */
export function fromQuery(query: string): PlanRequest | null {
  const q = new URLSearchParams(query);
  const from = q.get("from"), exercise = q.get("exercise");
  if (!from || !exercise) return null;
  const number = (name: string): number | null => {
    const text = q.get(name);
    return text !== null && text !== "" && Number.isFinite(Number(text)) ? Number(text) : null;
  };
  const r: PlanRequest = {
    from, to: q.get("to") ?? "", exercise, minutes: number("minutes") ?? 60, when: q.get("when") ?? "",
    unsuitable: number("unsuitable"), suitable: number("suitable"), without: q.getAll("without"),
  };
  const seed = number("seed"), practise = q.get("practise_at");
  const learner = q.get("learner");
  if (learner !== null) r.learner = learnerOf(learner, q.get("level") ?? "", q.getAll("untaught"));
  if (seed !== null) r.seed = seed;
  if (practise) r.practise_at = practise;
  return r;
}

/** learnerOf is a learner with some topics untaught; what nobody says is left out. */
export function learnerOf(reference: string, level: string, untaught: string[]): Learner {
  const l: Learner = { reference };
  if (level) l.level = level;
  if (untaught.length) l.stages = Object.fromEntries(untaught.map(t => [t, "untaught"]));
  return l;
}
