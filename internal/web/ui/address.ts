// A plan has an address: its request, written so that it can be read, sent and
// gone back to. Pure, so that it can be tested.

import type { Asked, Learner, PlanRequest } from "./api";

const texts = ["kind", "second_exercise", "practise_at"] as const;
const numbers = ["unsuitable", "suitable", "seed", "alternatives"] as const;
const yeses = ["mixed_order", "drive_out", "ice", "near_side_only", "approved_instructor", "dual_controls"] as const;
const lists = ["without", "keep_off"] as const;
const told = ["covered", "next", "watch_for", "needs"] as const;

/** toQuery writes a request. */
export function toQuery(r: PlanRequest): string {
  const q = new URLSearchParams();
  q.set("from", r.from);
  if (r.to && r.to !== r.from) q.set("to", r.to);
  q.set("exercise", r.exercise);
  q.set("minutes", String(r.minutes));
  q.set("when", r.when);
  for (const name of texts) if (r[name]) q.set(name, r[name]);
  for (const name of numbers) if (r[name] !== undefined) q.set(name, String(r[name]));
  for (const name of yeses) if (r[name]) q.set(name, "yes");
  for (const wish of r.wishes ?? []) q.append("wish", wish);
  for (const name of lists) for (const kerb of r[name] ?? []) q.append(name, kerb);
  if (r.learner) {
    q.set("learner", r.learner.reference);
    if (r.learner.level) q.set("level", r.learner.level);
    for (const [topic, stage] of Object.entries(r.learner.stages ?? {})) q.append("stage", `${topic}: ${stage}`);
    for (const name of told) for (const line of r.learner[name] ?? []) q.append(name, line);
  }
  return q.toString();
}

/** fromQuery reads a request; null where it is none. */
export function fromQuery(query: string): PlanRequest | null {
  const q = new URLSearchParams(query);
  const from = q.get("from"), exercise = q.get("exercise") ?? "";
  if (!from || !(exercise || q.get("kind"))) return null;
  const number = (name: string): number | undefined => {
    const text = q.get(name);
    return text && Number.isFinite(Number(text)) ? Number(text) : undefined;
  };
  const r: PlanRequest = { from, to: q.get("to") ?? "", exercise, minutes: number("minutes") ?? 60, when: q.get("when") ?? "" };
  for (const name of texts) if (q.get(name)) r[name] = q.get(name)!;
  for (const name of numbers) if (number(name) !== undefined) r[name] = number(name);
  for (const name of yeses) if (q.get(name)) r[name] = true;
  if (q.has("wish")) r.wishes = q.getAll("wish");
  for (const name of lists) if (q.has(name)) r[name] = q.getAll(name);
  if (q.has("learner")) r.learner = learnerIn(q);
  return r;
}

function learnerIn(q: URLSearchParams): Learner {
  const l: Learner = { reference: q.get("learner")! };
  if (q.get("level")) l.level = q.get("level")!;
  if (q.has("stage")) l.stages = Object.fromEntries(q.getAll("stage").map(s => s.split(": ") as [string, string]));
  for (const name of told) if (q.has(name)) l[name] = q.getAll(name);
  return l;
}

/** wishesOf says the wishes of a plan's file as one would type them. */
export function wishesOf(a: Pick<Asked, "seek" | "avoid" | "my_side" | "questions_when_parked">): string[] {
  return [
    ...(a.seek ?? []).map(s => (s.at_least > 1 ? `at least ${s.at_least} ` : "") + s.topic.replaceAll("-", " ")),
    ...(a.avoid ?? []).map(t => "no " + t.replaceAll("-", " ")),
    ...(a.my_side ? ["my side and your side"] : []),
    ...(a.questions_when_parked ? ["questions only when parked"] : []),
  ];
}
