// A new area: what it offers, what the map does not know of it, and a drive to
// go and see.

import { ask, post, sentence, stopped, type NamedPlace, type Plan, type Point, type Verdict } from "./api";
import type { App, View } from "./app";
import { answersView } from "./answers";
import { byId, hear, h, say, show } from "./dom";
import { choose, select, under } from "./fields";
import { save } from "./handing";
import { swatch } from "./look";
import type { Mark } from "./drawing";
import { placeField } from "./place";
import { reversedView } from "./reversed";
import { surveyDriveView } from "./surveydrive";
import type { Offered, Remark, Report, Surveyed } from "./surveyed";
import { When } from "./when";
import { capital, counted, minutes } from "./words";

/** surveyView is the area's, or with a drive in the address that drive's, its answers' or what they changed. */
export const surveyView: View = (app, sheet, at) => {
  const [, , id, part] = at.pathname.split("/");
  const view = !id ? areaView : part === "answers" ? answersView : part === "changed" ? reversedView : surveyDriveView;
  return view(app, sheet, at);
};

const areaView: View = (app, sheet, at) => {
  let giveUp = new AbortController();
  const out = h("div");
  const around = placeField("around", "Around", () => {});
  const within = select("within", ["5", "10", "15", "20"].map(m => [m, m + " minutes' drive"]), "10", () => {});
  const wanted = at.searchParams.get("within");
  if (wanted) choose(within, wanted, wanted + " minutes' drive");
  const report = async () => {
    giveUp.abort();
    giveUp = new AbortController();
    show(out, h("p", { "aria-busy": "true" }, "Looking at every road of the area …"));
    try {
      const s = await post<Surveyed>("survey", { around: around.place(), within_minutes: Number(within.value) }, giveUp.signal);
      app.note(`/survey?around=${encodeURIComponent(around.place())}&within=${within.value}`);
      box.open = false;
      show(out, reported(app, s), new Going(app, around.place(), Number(within.value), giveUp.signal).element);
      hear("Here is what the area offers.");
    } catch (e) {
      if (!stopped(e)) show(out, h("p", { class: "trouble" }, sentence(e)));
    }
  };
  const submit = async () => { if (await around.settle()) await report(); };
  const box = h("details", { id: "wish-box", open: true }, h("summary", {}, "The area"), h("form", { onsubmit: (e: Event) => { e.preventDefault(); void submit(); } },
      around.element, under("Within", within), h("button", { type: "submit", class: "first", id: "survey" }, "Show what it offers")));
  show(sheet,
    h("h1", {}, "Survey an area"),
    h("p", {}, "What a new area offers, what the map does not know of it, and a drive to go and see."),
    box, out);
  app.plate.onClick = p => { if (box.open || around.wanted()) void around.choose(`${p[1].toFixed(6)},${p[0].toFixed(6)}`); };
  ask<{ names: NamedPlace[] }>("GET", "names").then(a => around.names(a.names)).catch(e => say(sentence(e), true));
  const asked = at.searchParams.get("around");
  if (asked) void around.choose(asked).then(() => report());
  return () => giveUp.abort();
};

/** Going is the form of a survey drive. */
class Going {
  element: HTMLElement;
  constructor(app: App, around: string, within: number, signal: AbortSignal) {
    const exercise = select("for-exercise", app.about.exercises.map(e => [e.name, e.title]), "turn-in-the-road", () => {});
    const when = new When(() => {});
    const out = h("div", { "aria-live": "polite" });
    const button = h("button", { type: "submit", class: "first", id: "go-and-see" }, "Plan the drive");
    const plan = async () => {
      button.disabled = true;
      show(out, h("p", {}, "Choosing the roads that tell most. This can take a minute …"));
      try {
        const p = await post<Plan>("survey/drive", { around, within_minutes: within, minutes: when.minutes(), exercise: exercise.value, when: when.start() }, signal);
        app.go("/survey/" + p.id);
      } catch (e) {
        if (!stopped(e)) show(out, h("p", { class: "trouble" }, sentence(e)));
      } finally { button.disabled = false; }
    };
    this.element = h("section", { "aria-labelledby": "going" },
      h("h2", { id: "going", tabindex: "-1" }, "Go and see"),
      h("p", {}, "A drive of your own past the roads whose answers would settle most, with a sheet to fill in."),
      h("form", { onsubmit: (e: Event) => { e.preventDefault(); void plan(); } }, under("Looking for roads for", exercise), when.element, button, out));
  }
}

/** most is how many rows of a list are shown on the page; the files have all. */
const most = 60;

function reported(app: App, s: Surveyed): HTMLElement {
  const r = s.report.loopwright;
  const none = (o: Offered) => o.fit.at(-1)! + o.possible.at(-1)! === 0;
  const nothing = [...r.exercises.filter(o => none(o) && !o.not_known).map(o => o.title), ...r.topics.filter(t => t.count.at(-1) === 0).map(t => title(t.topic))];
  const untold = r.exercises.filter(o => none(o) && o.not_known).map(o => o.title);
  const best = new Best(app, s);
  const file = (name: string, words: string) => h("a", { class: "button", href: `/surveys/${s.id}/${name}`, download: true, onclick: (e: Event) => { e.preventDefault(); void save(`/surveys/${s.id}/${name}`); } }, words);
  const left = r.unknown.length - most;
  return h("div", { class: "report" },
    h("h2", { id: "offers" }, "What it offers"),
    h("p", { class: "quiet" }, s.said ? s.said + " " : null, `Within ${minutes(r.within_minutes)} of ${r.near}: ${counted(r.stretches, "stretch", "stretches")} of road.`),
    h("p", {}, h("button", { type: "button", onclick: () => { const going = byId("going"); going.scrollIntoView(); going.focus({ preventScroll: true }); } }, "Go and see: plan a drive")),
    counts("Places that are suitable or look right, + those that are possible.", "Exercise", r.minutes,
      r.exercises.map(o => [o.title, o.fit.map((n, i) => [String(n), o.possible[i] ? ` + ${o.possible[i]}` : ""])])),
    h("details", {}, h("summary", {}, "On the drive"), counts("How often one may meet it.", "Topic", r.minutes, r.topics.map(t => [title(t.topic), t.count.map(n => [String(n), ""])]))),
    nothing.length ? [h("h3", {}, "Where nothing is near"), h("p", {}, nothing.join(", ") + ".")] : null,
    untold.length ? [h("h3", {}, "Where nobody can tell yet"), h("p", {}, `${untold.join(", ")}: the map lacks what these hang on, as slopes do without heights.`)] : null,
    best.element,
    h("h2", {}, "What the map does not know"),
    r.unknown.length === 0 ? h("p", {}, "Nothing that matters is missing.") : h("p", {}, lacking(r).join(", ") + "."),
    r.unknown.length === 0 ? null : h("details", {}, h("summary", {}, `${counted(r.unknown.length, "road", "roads")} that may do, the longest first`),
      h("ul", { class: "rows unknown" }, r.unknown.slice(0, most).map(u => h("li", {}, h("span", {}, capital(u.road)), h("span", { class: "quiet" }, `${Math.round(u.length_m)} m: ${u.lacks.join(", ")}`)))),
      left > 0 ? h("p", { class: "quiet" }, `and ${left} more: the report as a file for maps lists them all`) : null),
    h("h2", {}, "Where the map contradicts itself"), remarks(r.contradictions, "Nowhere that was found."),
    h("h2", {}, "To be left alone for now"), remarks(r.worn, "No note asks for it."),
    h("p", { class: "with" }, file("report.html", "Save the report"), file("report.geojson", "As a file for maps")));
}

/** lacking says what the map does not tell, and of how many roads. */
function lacking(r: Report): string[] {
  const roads = new Map<string, number>();
  for (const what of r.unknown.flatMap(u => u.lacks)) roads.set(what, (roads.get(what) ?? 0) + 1);
  return [...roads].sort((a, b) => b[1] - a[1]).map(([what, n], i) => `${i ? what : capital(what)} of ${i ? n : counted(n, "road", "roads")}`);
}

const title = (topic: string): string => capital(topic.replaceAll("-", " "));

const counts = (about: string, what: string, rings: number[], rows: [string, [string, string][]][]): HTMLElement => h("div", { class: "wide", tabindex: "0", role: "region", "aria-label": about },
  h("table", {}, h("caption", { class: "quiet" }, about),
    h("thead", {}, h("tr", {}, h("th", { scope: "col" }, what), rings.map(m => h("th", { scope: "col" }, `${m} min`)))),
    h("tbody", {}, rows.map(([name, cells]) => h("tr", {}, h("th", { scope: "row" }, name), cells.map(([n, more]) => h("td", {}, n === "0" && !more ? "none" : n, more ? h("span", { class: "quiet" }, more) : null)))))));

const remarks = (all: Remark[], none: string): HTMLElement => all.length === 0 ? h("p", { class: "quiet" }, none) :
  h("ul", {}, all.slice(0, most).map(x => h("li", {}, h("a", { href: why("turn-in-the-road", x.kerb) }, capital(x.road)), ": ", x.says)));

/** Best is the best places for one exercise at a time, in a list and on the map. */
class Best {
  element: HTMLElement;
  private list = h("div");
  private lines = new Map<string, Point[]>();

  constructor(private app: App, private s: Surveyed) {
    for (const f of s.report.features) if (f.properties.role === "place") this.lines.set(f.properties.kerb, f.geometry.coordinates);
    const offers = s.report.loopwright.exercises.filter(o => o.best.length);
    const pick = select("best", offers.map(o => [o.exercise, o.title]), offers[0]?.exercise ?? "", () => this.show(pick.value));
    this.element = h("section", {}, h("h2", {}, "The best places"),
      offers.length ? [h("label", { class: "hide", for: "best" }, "For which exercise"), pick, this.list, h("p", { class: "quiet" }, "One in each road, at most twenty. Look on the day all the same.")] : h("p", { class: "quiet" }, "There are none here."));
    this.show(offers.find(o => o.exercise === "turn-in-the-road")?.exercise ?? offers[0]?.exercise ?? "");
    if (offers.length) pick.value = offers.find(o => o.exercise === "turn-in-the-road")?.exercise ?? offers[0].exercise;
    app.plate.onPoint = id => this.light(id);
  }

  private show(exercise: string): void {
    const r = this.s.report.loopwright, places = r.exercises.find(o => o.exercise === exercise)?.best ?? [];
    const marks: Mark[] = places.map(p => ({ id: p.kerb, line: this.lines.get(p.kerb), look: "place" as const, verdict: p.verdict, words: `${p.road}: ${this.app.about.verdicts[p.verdict]}`, onClick: () => this.app.go(why(exercise, p.kerb)) }));
    this.app.plate.put([...marks, { id: "around", at: r.at, look: "stop" }]);
    this.app.plate.fit([r.at, ...marks.flatMap(m => m.line ?? [])]);
    const groups = (["suitable", "likely", "possible"] as Verdict[]).filter(v => places.some(p => p.verdict === v));
    show(this.list, groups.map(v => [h("h3", {}, swatch(v), " ", this.app.about.verdicts[v]), h("ol", { class: "plain best" }, places.filter(p => p.verdict === v).map(p => h("li", { "data-mark": p.kerb, onmouseenter: () => this.light(p.kerb), onmouseleave: () => this.light(""), onfocusin: () => this.light(p.kerb) },
      h("a", { class: "row", href: why(exercise, p.kerb) }, h("span", {}, capital(p.road)), h("span", { class: "quiet" }, minutes(p.minutes))))))]).flat());
  }

  private light(kerb: string): void {
    this.app.plate.light(kerb);
    this.list.querySelectorAll<HTMLElement>("[data-mark]").forEach(e => e.classList.toggle("lit", e.dataset.mark === kerb && kerb !== ""));
  }
}

const why = (exercise: string, kerb: string): string => `/look?exercise=${exercise}&at=${encodeURIComponent(kerb)}`;
