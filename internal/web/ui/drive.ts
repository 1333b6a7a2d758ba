// The drive of a plan: in a list, step by step with the map.

import type { Circuit, Feature, Plan } from "./api";
import { exerciseOf, type App } from "./app";
import { h, svg } from "./dom";
import { idOf } from "./drivemarks";
import { handing } from "./handing";
import { capital, counted, day, kilometres, letter, minutes, of, reasonOf, wall } from "./words";

export interface Ways {
  without: (f: Feature) => void;
  /** null where the lesson is of two exercises: which place would it be? */
  practise: ((f: Feature) => void) | null;
  light: (id: string) => void;
  keep: () => void;
  others: (out: HTMLElement) => void;
}

/** star is what marks a practice place on the map too. */
const star = (): SVGElement => svg("svg", { viewBox: "0 0 20 20", width: 16, height: 16 }, svg("path", { fill: "currentColor", d: "M10 1l2.7 5.8 6.3.8-4.6 4.4 1.2 6.3L10 15.2l-5.6 3.1 1.2-6.3L1 7.6l6.3-.8z" }));

/** titleOf is what a lesson is about. */
export function titleOf(app: App, c: Circuit): string {
  const r = c.loopwright.request, title = (name: string) => exerciseOf(app, name)?.title ?? name;
  if (r.second_exercise) return `${title(r.exercise)}, then ${title(r.second_exercise).toLowerCase()}`;
  const kind = app.about.kinds.find(k => k.name === r.kind);
  return kind && !kind.exercise ? kind.title : title(r.exercise);
}

/** drive is the sheet of a plan. */
export function drive(app: App, plan: Plan, ways: Ways): HTMLElement {
  const c = plan.circuit, lw = c.loopwright, verdicts = app.about.verdicts;
  const clock = (s = 0) => wall(lw.starts_at, s);
  const lit = (f: Feature) => ({ "data-mark": idOf(f), onmouseenter: () => ways.light(idOf(f)), onmouseleave: () => ways.light(""), onfocusin: () => ways.light(idOf(f)) });
  const instead = (f: Feature) => h("button", { type: "button", class: "small", "aria-label": `Not that road: ${f.properties.road}`, onclick: () => ways.without(f) }, "Not that road");
  const practices = of(c, "practice"), seconds = of(c, "second-practice"), events = of(c, "event"), examples = of(c, "example");
  const others = h("div");

  // A road before the second place is judged for the exercise that is practised there.
  const judgedFor = (f: Feature) => exerciseOf(app, lw.request.second_exercise && (f.properties.at_s ?? 0) > (practices[0]?.properties.at_s ?? 0) ? lw.request.second_exercise : lw.request.exercise);
  const judge = (f: Feature) => h("li", { class: "judge", ...lit(f) },
    h("span", { class: "badge " + (f.properties.verdict === "unsuitable" ? "bad" : "good") }, letter(f.properties.order ?? 0)),
    h("div", {},
      h("p", {}, h("strong", {}, capital(f.properties.road ?? "")), " ", h("time", {}, clock(f.properties.at_s))),
      h("p", {}, reasonOf(f, judgedFor(f), verdicts)),
      h("div", { class: "about-road" }, instead(f),
        f.properties.key ? h("details", {}, h("summary", {}, "What to say"), h("p", {}, f.properties.key.answer), h("p", {}, f.properties.key.known), h("p", {}, f.properties.key.follow_up)) : null)));

  const place = (f: Feature, title: string, backups: Feature[]) => {
    const p = f.properties;
    return [
      h("h3", {}, title),
      h("div", { class: "practice", ...lit(f) }, h("span", { class: "badge place", "aria-hidden": "true" }, star()), h("div", {},
        h("p", {}, h("strong", {}, capital(p.road ?? "")), `, ${p.side} side `, h("time", {}, clock(p.at_s))),
        h("p", {}, `${verdicts[p.verdict ?? "unknown"]}. ${counted(p.goes ?? 0, "go", "goes")}.`),
        h("div", { class: "about-road" }, instead(f), h("a", { href: `/look?exercise=${p.exercise}&at=${encodeURIComponent(p.kerb ?? "")}` }, "Why here?")))),
      backups.length ? [h("h4", {}, "If it is taken"), h("ul", { class: "backups" }, backups.map(second))] : null,
    ].flat();
  };
  const second = (f: Feature, i: number) => h("li", lit(f), h("span", { class: "badge good" }, String(i + 1)),
    h("div", {}, h("strong", {}, capital(f.properties.road ?? "")), `, ${f.properties.side} side. ${verdicts[f.properties.verdict ?? "unknown"]}.`),
    ways.practise ? h("button", { type: "button", class: "small", "aria-label": `Use this: practise in ${f.properties.road}`, onclick: () => ways.practise!(f) }, "Use this") : null);
  const titled = (f: Feature, only: string) => lw.request.second_exercise || !lw.request.exercise ? exerciseOf(app, f.properties.exercise ?? "")?.title ?? only : only;

  const topics = [...new Set(events.map(f => f.properties.topic ?? ""))];
  const met = (topic: string) => {
    const all = events.filter(f => f.properties.topic === topic);
    return h("details", { open: topics.length < 3 }, h("summary", {}, `${capital(topic.replaceAll("-", " "))}: ${all.length}`),
      h("ol", { class: "times" }, all.map(f => h("li", lit(f), h("time", {}, clock(f.properties.at_s)), h("span", {}, "along " + f.properties.road)))));
  };

  return h("div", {},
    h("h2", {}, `${titleOf(app, c)}, ${clock()} to ${clock(lw.request.minutes * 60)}`),
    h("p", { class: "quiet" }, `${day(lw.starts_at)}. ${kilometres(lw.length_m)}, ${minutes(lw.drive_s / 60)} of driving.`),
    handing(app, plan, ways.keep),
    examples.length ? [h("h3", {}, "Roads to judge"), h("ol", { class: "judges" }, examples.map(judge))] : null,
    lw.you_choose ? h("p", {}, `You choose: ${lw.you_choose.roads.map(r => `${r.road} (${verdicts[r.verdict].toLowerCase()})`).join(", ")}.`) : null,
    events.length ? h("section", { class: "events" }, h("h3", {}, "On the way"), topics.map(met)) : null,
    practices.flatMap(f => place(f, titled(f, "Practice place"), of(c, "backup"))),
    seconds.flatMap(f => place(f, titled(f, "For the last goes"), of(c, "second-backup"))),
    h("h3", {}, "Times"),
    h("ol", { class: "times" }, lw.timeline.map(r => h("li", {}, h("time", {}, clock(r.at_s)), h("span", {}, capital(r.what)), h("span", { class: "quiet" }, minutes(r.minutes))))),
    h("details", { class: "steps" }, h("summary", {}, "Directions"), h("ol", { class: "times" }, of(c, "step").map(s => h("li", {}, h("time", {}, clock(s.properties.at_s)), h("span", {}, s.properties.say ?? ""))))),
    practices.length ? [h("h3", {}, "Other plans"), h("button", { type: "button", id: "others", onclick: () => ways.others(others) }, "Show plans that practise elsewhere"), others] : null,
    h("details", { class: "mind" }, h("summary", {}, "Mind"), h("ul", {}, lw.cautions.map(t => h("li", {}, t)))));
}
