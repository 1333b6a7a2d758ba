// Today's roads: one tap each.

import { ask, sentence, type Feature, type KeptPlan, type Plan } from "./api";
import type { View } from "./app";
import { fill, h, say, show } from "./dom";
import { driveMarks, idOf } from "./drivemarks";
import type { Mark } from "./drawing";
import { Initials, noting } from "./noting";
import { capital, of, placeOf, today, wall } from "./words";

export const todayView: View = (app, sheet) => {
  const initials = new Initials();
  const out = h("div");
  let left = false;
  show(sheet, h("h1", {}, "Today's roads"), initials.element, out);

  const road = (f: Feature, exercise: string, mark: string) => {
    const p = f.properties, practised = p.role !== "example";
    return h("li", { onmouseenter: () => app.plate.light(mark), onmouseleave: () => app.plate.light(""), onfocusin: () => app.plate.light(mark) }, h("p", {}, h("strong", {}, capital(p.road ?? "")), p.side ? `, ${p.side} side` : ", judged on the way"),
      noting({ at: placeOf(f), road: p.road ?? "", exercise, mayBeUsed: practised }, initials));
  };

  ask<{ plans: KeptPlan[] }>("GET", "plans").then(async ({ plans }) => {
    const due = plans.filter(p => p.starts_at.startsWith(today()) && p.request.kind !== "survey").reverse();
    const surveys = plans.filter(p => p.starts_at.startsWith(today()) && p.request.kind === "survey");
    if (surveys.length) fill(out, surveys.map(p => h("p", {}, h("a", { href: `/survey/${p.id}/answers` }, `Fill in the survey drive of ${wall(p.starts_at, 0)}`))));
    if (due.length === 0 && surveys.length === 0) {
      show(out, h("p", {}, "Nothing yet: keep a plan for today, and its roads are listed here after the lesson."), h("p", {}, h("a", { href: "/plan" }, "Plan a lesson")));
      return;
    }
    const marks: Mark[] = [];
    for (const kept of due) {
      const { circuit } = await ask<Plan>("GET", "plans/" + kept.id);
      fill(out, h("h2", {}, `${wall(kept.starts_at, 0)}, ${kept.title}`), h("ul", { class: "plain today" }, ["practice", "backup", "second-practice", "second-backup", "example"].flatMap(role => of(circuit, role)).map(f => road(f, f.properties.exercise ?? circuit.loopwright.request.exercise, kept.id + idOf(f)))));
      marks.push(...driveMarks(circuit, { without: null, practise: null }).filter(m => ["practice", "backup", "judge-no", "judge-yes"].includes(m.look)).map(m => ({ ...m, id: kept.id + m.id })));
    }
    if (left) return;
    app.plate.put(marks);
    app.plate.fit(marks.flatMap(m => m.line ?? [m.at!]));
  }).catch(e => say(sentence(e), true));
  return () => { left = true; };
};
