// The drive of a plan: in a list, step by step with the map.

import { fetchFile, sentence, type Circuit, type Feature, type Plan, type Point } from "./api";
import { exerciseOf, type App } from "./app";
import { h, say } from "./dom";
import { swatch } from "./look";
import type { Mark } from "./map";
import { capital, counted, day, kilometres, letter, minutes, of, reasonOf, wall } from "./words";

export interface Ways {
  without: (f: Feature) => void;
  practise: (f: Feature) => void;
  light: (id: string) => void;
  keep: () => void;
  others: (out: HTMLElement) => void;
}

const idOf = (f: Feature): string => {
  const p = f.properties;
  switch (p.role) {
    case "example": return "judge-" + letter(p.order ?? 0);
    case "event": return "event-" + p.order;
    case "pull-up": case "backup": return `${p.role}-${p.kerb}`;
    default: return p.role;
  }
};

/** titleOf is what a lesson is about. */
export function titleOf(app: App, plan: Plan): string {
  const r = plan.circuit.loopwright.request;
  return exerciseOf(app, r.exercise)?.title ?? app.about.kinds.find(k => k.name === r.kind)?.title ?? r.exercise;
}

/** drive is the sheet of a plan. */
export function drive(app: App, plan: Plan, ways: Ways): HTMLElement {
  const c = plan.circuit, lw = c.loopwright, exercise = exerciseOf(app, lw.request.exercise);
  const clock = (s: number) => wall(lw.starts_at, s);
  const lit = (f: Feature) => ({ "data-mark": idOf(f), onmouseenter: () => ways.light(idOf(f)), onmouseleave: () => ways.light(""), onfocusin: () => ways.light(idOf(f)) });
  const practices = of(c, "practice"), events = of(c, "event"), examples = of(c, "example"), backups = of(c, "backup");
  const others = h("div");

  const judge = (f: Feature) => h("li", { class: "judge", ...lit(f) },
    h("span", { class: "badge " + (f.properties.verdict === "unsuitable" ? "bad" : "good") }, letter(f.properties.order ?? 0)),
    h("div", {},
      h("p", {}, h("strong", {}, capital(f.properties.road ?? "")), " ", h("time", {}, clock(f.properties.at_s ?? 0))),
      h("p", {}, reasonOf(f, exercise, app.about.verdicts)),
      f.properties.key ? h("details", {}, h("summary", {}, "What to say"), h("p", {}, f.properties.key.answer), h("p", {}, f.properties.key.known), h("p", {}, f.properties.key.follow_up)) : null),
    h("button", { type: "button", class: "small", "aria-label": `Not that road: ${f.properties.road}`, onclick: () => ways.without(f) }, "Not that road"));

  const place = (practice: Feature) => {
    const p = practice.properties;
    return [
      h("h3", {}, "Practice place"),
      h("div", { class: "practice", ...lit(practice) }, h("p", {}, swatch(p.verdict ?? "unknown"), h("span", {}, h("strong", {}, capital(p.road ?? "")), `, ${p.side} side`)), h("p", {}, `${app.about.verdicts[p.verdict ?? "unknown"]}. ${clock(p.at_s ?? 0)}, ${counted(p.goes ?? 0, "go", "goes")}.`),
        h("p", {}, h("a", { href: `/look?exercise=${lw.request.exercise}&at=${encodeURIComponent(p.kerb ?? "")}` }, "Why here?"))),
    ];
  };
  const topics = [...new Set(events.map(f => f.properties.topic ?? ""))];
  const met = (topic: string) => {
    const all = events.filter(f => f.properties.topic === topic);
    return h("details", { open: true }, h("summary", {}, `${capital(topic.replaceAll("-", " "))}: ${all.length}`),
      h("ol", { class: "times" }, all.map(f => h("li", lit(f), h("time", {}, clock(f.properties.at_s ?? 0)), h("span", {}, "along " + f.properties.road)))));
  };

  return h("div", {},
    h("h2", {}, `${titleOf(app, plan)}, ${clock(0)} to ${clock(lw.request.minutes * 60)}`),
    h("p", { class: "quiet" }, `${day(lw.starts_at)}. ${kilometres(lw.length_m)}, ${minutes(lw.drive_s / 60)} of driving.`),
    actions(app, plan, ways),
    examples.length ? [h("h3", {}, "Roads to judge"), h("ol", { class: "judges" }, examples.map(judge))] : null,
    events.length ? h("section", { class: "events" }, h("h3", {}, "On the way"), topics.map(met)) : null,
    practices.flatMap(place),
    backups.length ? [h("h3", {}, "If it is taken"),
    h("ul", { class: "backups" }, backups.map((b, i) => h("li", lit(b), h("span", { class: "badge good" }, String(i + 1)), h("div", {}, h("strong", {}, capital(b.properties.road ?? "")), `, ${b.properties.side} side. ${app.about.verdicts[b.properties.verdict ?? "unknown"]}.`),
      h("button", { type: "button", class: "small", "aria-label": `Use this: practise in ${b.properties.road}`, onclick: () => ways.practise(b) }, "Use this"))))] : null,
    h("h3", {}, "Times"),
    h("ol", { class: "times" }, lw.timeline.map(r => h("li", {}, h("time", {}, clock(r.at_s)), h("span", {}, capital(r.what)), h("span", { class: "quiet" }, minutes(r.minutes))))),
    h("details", { class: "steps" }, h("summary", {}, "Directions"), h("ol", { class: "times" }, of(c, "step").map(s => h("li", {}, h("time", {}, clock(s.properties.at_s ?? 0)), h("span", {}, s.properties.say ?? ""))))),
    practices.length ? [h("h3", {}, "Other plans"), h("button", { type: "button", onclick: () => ways.others(others) }, "Show other places to practise"), others] : null,
    h("details", { class: "mind" }, h("summary", {}, "Mind"), h("ul", {}, lw.cautions.map(t => h("li", {}, t)))));
}

/** save hands a file over; where there is none it says why, which a plain link would not. */
async function save(address: string): Promise<void> {
  try {
    const { name, content } = await fetchFile(address);
    const link = h("a", { href: URL.createObjectURL(content), download: name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    say(`Saved as ${name}.`);
  } catch (e) { say(sentence(e), true); }
}

function actions(app: App, plan: Plan, ways: Ways): HTMLElement {
  const print = (kind: string) => {
    document.getElementById("printer")?.remove();
    const frame = h("iframe", { id: "printer", title: "What is printed", "aria-hidden": "true", tabindex: "-1", src: `/files/${plan.id}/${kind}` });
    frame.addEventListener("load", () => frame.contentWindow?.print());
    document.body.append(frame);
  };
  const file = (f: { kind: string; title: string; download: boolean }, first: boolean) => f.download
    ? h("a", { class: "button" + (first ? " first" : ""), href: `/files/${plan.id}/${f.kind}`, download: true, onclick: (e: Event) => { e.preventDefault(); void save(`/files/${plan.id}/${f.kind}`); } }, f.title)
    : h("button", { type: "button", class: first ? "first" : null, onclick: () => print(f.kind) }, f.title);
  const often = app.about.files.slice(0, 2), rest = app.about.files.slice(2);
  return h("div", { class: "actions" },
    h("p", { class: "with" }, often.map(f => file(f, true)), h("button", { type: "button", id: "keep", onclick: ways.keep }, plan.kept ? "Kept" : "Keep")),
    h("details", {}, h("summary", {}, "More to print or send"), h("p", { class: "with" }, rest.map(f => file(f, false)))));
}

/** driveMarks is the drive on the map. A click on a road to judge leaves it out, one on a second place practises there. */
export function driveMarks(c: Circuit, ways: { without: (f: Feature) => void; practise: (f: Feature) => void }): Mark[] {
  const out: Mark[] = [];
  of(c, "leg").forEach((f, i) => out.push({ id: "leg-" + i, line: f.geometry.coordinates as Point[], look: "leg" }));
  for (const f of of(c, "example")) {
    const line = f.geometry.coordinates as Point[], look = f.properties.verdict === "unsuitable" ? "judge-no" as const : "judge-yes" as const, id = idOf(f);
    const words = `${f.properties.road}: click for another road instead`, onClick = () => ways.without(f);
    out.push({ id: id + "-line", line, look, words, onClick }, { id, at: line[Math.floor(line.length / 2)], look, letter: letter(f.properties.order ?? 0), words, onClick });
  }
  for (const f of of(c, "event")) out.push({ id: idOf(f), at: f.geometry.coordinates as Point, look: "event", words: capital((f.properties.topic ?? "").replaceAll("-", " ")) });
  for (const f of of(c, "pull-up")) out.push({ id: idOf(f), at: f.geometry.coordinates as Point, look: "stop", words: `Pull up in ${f.properties.road}: ${f.properties.what}` });
  of(c, "backup").forEach((f, i) => {
    if (f.properties.window) out.push({ id: idOf(f) + "-line", line: f.properties.window, look: "backup" });
    out.push({ id: idOf(f), at: f.geometry.coordinates as Point, look: "backup", letter: String(i + 1), words: `${f.properties.road}: click to practise here instead`, onClick: () => ways.practise(f) });
  });
  for (const f of of(c, "practice")) {
    if (f.properties.window) out.push({ id: "practice-line", line: f.properties.window, look: "practice" });
    out.push({ id: "practice", at: f.geometry.coordinates as Point, look: "practice", words: `Practise in ${f.properties.road}` });
  }
  for (const role of ["start", "finish"] as const) for (const f of of(c, role)) out.push({ id: role, at: f.geometry.coordinates as Point, look: role, headingDeg: f.properties.faces_deg, words: f.properties.road });
  return out;
}
