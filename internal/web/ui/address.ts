// A plan has an address: its request, written so that it can be read, sent and
// gone back to. Pure, so that it can be tested.

import type { Asked, Learner, PlanRequest } from "./api";

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
  if (r.drive_out) q.set("drive_out", "yes");
  if (r.mixed_order) q.set("mixed_order", "yes");
  if (r.kind) q.set("kind", r.kind);
  for (const wish of r.wishes ?? []) q.append("wish", wish);
  for (const kerb of r.without ?? []) q.append("without", kerb);
  for (const kerb of r.keep_off ?? []) q.append("keep_off", kerb);
  return q.toString();
}

/** fromQuery reads a request; null where it is none. */
export function fromQuery(query: string): PlanRequest | null {
  const q = new URLSearchParams(query);
  const from = q.get("from"), exercise = q.get("exercise") ?? "", kind = q.get("kind");
  if (!from || !(exercise || kind)) return null;
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
  if (q.get("drive_out")) r.drive_out = true;
  if (q.get("mixed_order")) r.mixed_order = true;
  if (kind) r.kind = kind;
  if (q.has("wish")) r.wishes = q.getAll("wish");
  if (q.has("keep_off")) r.keep_off = q.getAll("keep_off");
  return r;
}

/** wishesOf says the wishes of a plan's file as one would type them. */
export function wishesOf(a: Asked): string[] {
  return [
    ...(a.seek ?? []).map(s => `at least ${s.at_least} ${s.topic.replaceAll("-", " ")}`),
    ...(a.avoid ?? []).map(t => "no " + t.replaceAll("-", " ")),
    ...(a.my_side ? ["my side and your side"] : []),
    ...(a.questions_when_parked ? ["questions only when parked"] : []),
  ];
}

/** learnerOf is a learner with some topics untaught; what nobody says is left out. */
export function learnerOf(reference: string, level: string, untaught: string[]): Learner {
  const l: Learner = { reference };
  if (level) l.level = level;
  if (untaught.length) l.stages = Object.fromEntries(untaught.map(t => [t, "untaught"]));
  return l;
}
