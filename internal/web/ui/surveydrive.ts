// A survey drive: its stops in order with the roads to look at, and why each.

import { ask, post, sentence, type KeptPlan, type Plan, type Point } from "./api";
import type { App, View } from "./app";
import { byId, h, say, show, svg } from "./dom";
import { print, save } from "./handing";
import type { Mark } from "./drawing";
import type { SurveyRoad, SurveyStop, SurveyStops } from "./surveyed";
import { capital, counted, day, kilometres, minutes, of, wall } from "./words";

export const surveyDriveView: View = (app, sheet, at) => {
  const id = at.pathname.split("/")[2];
  const out = h("div", {}, h("p", {}, "Opening …"));
  show(sheet, h("h1", {}, "Survey drive"), out);
  Promise.all([ask<Plan>("GET", "plans/" + id), ask<SurveyStops>("GET", "survey/drives/" + id)]).then(([plan, stops]) => {
    show(out, drawn(app, plan, stops));
    const marks = surveyMarks(plan, stops);
    app.plate.put(marks);
    show(byId("legend"), legend());
    app.plate.fit(marks.flatMap(m => m.line ?? []));
    app.plate.onPoint = mark => light(app, out, mark);
  }).catch(e => show(out, h("p", { class: "trouble" }, sentence(e))));
};

function light(app: App, out: HTMLElement, mark: string): void {
  app.plate.light(mark);
  out.querySelectorAll<HTMLElement>("[data-mark]").forEach(e => e.classList.toggle("lit", mark !== "" && e.dataset.mark === mark));
}

/** keeping keeps a drive, once: whoever has printed its sheet will want to fill it in. */
const keeping = async (plan: Plan): Promise<void> => {
  if (plan.kept) return;
  await post<KeptPlan>("plans", { id: plan.id });
  plan.kept = true;
};

function drawn(app: App, plan: Plan, s: SurveyStops): HTMLElement {
  const c = plan.circuit, lw = c.loopwright, clock = (at: number) => wall(lw.starts_at, at);
  const last = s.stops.at(-1)!, answers = `/survey/${plan.id}/answers`;
  const keep = h("button", { type: "button", id: "keep", onclick: () => void kept(async () => {}) }, plan.kept ? "Kept" : "Keep");
  const kept = async (then: () => unknown) => {
    try {
      await keeping(plan);
      keep.textContent = "Kept";
      await then();
    } catch (e) { say(sentence(e), true); }
  };
  const file = (f: { kind: string; title: string }) => h("a", { class: "button", href: `/files/${plan.id}/${f.kind}`, download: true, onclick: (e: Event) => { e.preventDefault(); void save(`/files/${plan.id}/${f.kind}`); } }, f.title);
  const lit = (mark: string) => ({ "data-mark": mark, onmouseenter: () => app.plate.light(mark), onmouseleave: () => app.plate.light(""), onfocusin: () => app.plate.light(mark) });
  const road = (r: SurveyRoad) => h("li", { value: r.order, ...lit("road-" + r.order) },
    h("a", { href: `${answers}?road=${r.order}` }, capital(r.road)), r.paced ? h("span", { class: "quiet" }, ", where you stand") : null, h("p", { class: "quiet" }, r.why));
  const stop = (p: SurveyStop, i: number) => h("li", lit("stop-" + (i + 1)), h("details", { open: i === 0 },
    h("summary", { class: "row" }, h("span", { class: "badge" }, String(i + 1)), h("span", {}, capital(p.road!)), h("span", { class: "quiet" }, `${clock(p.at_s)}, ${counted(p.roads.length, "road", "roads")}`)),
    h("p", {}, p.roads.length ? "Write down what you saw on the way here:" : "Nothing to write down."), h("ol", { class: "seen" }, p.roads.map(road))));
  const files = app.about.files.filter(f => f.survey);
  return h("div", {},
    h("p", {}, `${s.title}, ${day(lw.starts_at)}, ${clock(0)} to ${clock(last.at_s)}.`),
    h("p", {}, `${counted(s.roads, "road", "roads")} to look at, ${counted(s.stops.length - 1, "stop", "stops")} to write them down, ${kilometres(lw.length_m)}.`),
    s.answered ? h("p", { class: "holds" }, `${s.answered} of ${s.roads} answered. `, h("a", { href: `/survey/${plan.id}/changed` }, "What your answers change")) : null,
    h("div", { class: "actions" },
      h("p", { class: "with" },
        h("button", { type: "button", class: "first", id: "print-sheet", onclick: () => void kept(() => print(`/files/${plan.id}/survey-sheet`)) }, "Print the sheet"),
        h("a", { class: "button first", id: "fill-in", href: answers }, s.answered ? "Go on filling in" : "Fill it in"), keep),
      h("details", {}, h("summary", {}, "More to save or send"), h("p", { class: "with" }, files.filter(f => f.download).map(file)))),
    h("h2", {}, "The stops"),
    h("ol", { class: "plain stops" }, s.stops.slice(0, -1).map(stop)),
    h("p", {}, `Home at ${clock(last.at_s)}`, last.roads.length ? `, past ${counted(last.roads.length, "road", "roads")} more to write down there:` : ".",
      last.roads.length ? h("ol", { class: "seen" }, last.roads.map(road)) : null),
    h("details", { class: "steps" }, h("summary", {}, "Directions"), h("ol", { class: "times" }, of(c, "step").map(f => h("li", {}, h("time", {}, clock(f.properties.at_s ?? 0)), h("span", {}, f.properties.say ?? ""))))),
    h("details", { class: "mind" }, h("summary", {}, "Mind"), h("ul", {}, lw.cautions.map(t => h("li", {}, t)))),
    h("p", { class: "quiet" }, `${minutes(lw.drive_s / 60)} of driving.`));
}

/** legend says how the roads of a drive are drawn. */
export function legend(): HTMLElement {
  const row = (line: Record<string, string>, words: string) => h("li", {}, svg("svg", { class: "swatch", viewBox: "0 0 40 16", width: 40, height: 16, "aria-hidden": "true" }, svg("line", { x1: 4, y1: 8, x2: 36, y2: 8, "stroke-width": "6", "stroke-linecap": "round", ...line })), words);
  return h("ul", { "aria-label": "How roads are drawn" }, row({ class: "fair", "stroke-dasharray": "1 9" }, "to look at"), row({ class: "good" }, "answered"));
}

/** surveyMarks is the drive on the map: its roads as lines, its stops with their numbers. */
export function surveyMarks(plan: Plan, s: SurveyStops): Mark[] {
  const c = plan.circuit;
  const out: Mark[] = of(c, "leg").map((f, i) => ({ id: "leg-" + i, line: f.geometry.coordinates as Point[], look: "leg" as const }));
  const answered = new Set(s.stops.flatMap(p => p.roads).filter(r => Object.keys(r.answer).length).map(r => r.order));
  for (const f of of(c, "example")) {
    const order = f.properties.order!;
    out.push({ id: "road-" + order, line: f.geometry.coordinates as Point[], look: answered.has(order) ? "seen" : "doubt", words: `${order}: ${f.properties.road}` });
  }
  c.features.filter(f => f.properties.role === "pull-up").forEach((f, i) => out.push({ id: "stop-" + (i + 1), at: f.geometry.coordinates as Point, look: "stop", letter: String(i + 1), words: `Stop ${i + 1}: ${f.properties.road}` }));
  for (const f of of(c, "start")) out.push({ id: "start", at: f.geometry.coordinates as Point, look: "start", headingDeg: f.properties.faces_deg, words: f.properties.road });
  return out;
}
