// Look: what the roads in view are fit for, and why.

import { post, sentence, stopped, type Looked, type Point, type Spot, type Verdict, type Why } from "./api";
import type { View } from "./app";
import { byId, h, say, show, svg } from "./dom";
import { capital, middle } from "./words";
import type { Mark } from "./drawing";
import { heightPicture } from "./heights";
import { Initials, noting } from "./noting";

const order: Verdict[] = ["suitable", "likely", "possible", "unsuitable", "unknown"];

export const lookView: View = (app, sheet, at) => {
  let exercise = at.searchParams.get("exercise") ?? app.about.exercises[0].name;
  let looked: Looked | null = null, listed = "";
  let giveUp = new AbortController(), giveUpWhy = new AbortController();
  const pick = h("select", { id: "exercise", onchange: () => { exercise = pick.value; close(); note(); void look(); } },
    app.about.exercises.map(e => h("option", { value: e.name, selected: e.name === exercise }, e.title)));
  const initials = new Initials();
  const head = h("div"), known = h("div"), notes = h("div"), pictures = h("div");
  const why = h("section", { class: "why", hidden: true, "aria-label": "Why" }, head, known, notes, pictures);
  let noted = "";
  const list = h("div");
  const note = (kerb = "") => app.note(`/look?exercise=${exercise}` + (kerb ? `&at=${encodeURIComponent(kerb)}` : ""));

  let asked: Why | null = null;
  const marks = () => {
    const places: Mark[] = (looked?.places ?? []).map(p => ({ id: p.kerb, line: p.line, look: "place" as const, verdict: p.verdict, words: `${p.road}: ${app.about.verdicts[p.verdict]}`, onClick: () => void ask(p.kerb) }));
    // A road that was asked about and is not listed is marked all the same.
    if (asked && !places.some(p => p.id === asked!.kerb)) places.push({ id: asked.kerb, line: asked.window, look: "place", verdict: asked.verdict });
    if (asked) places.push({ id: "asked", at: middle(asked.window), look: "asked" });
    app.plate.put(places);
  };
  const light = (kerb: string) => {
    app.plate.light(kerb);
    list.querySelectorAll("li").forEach(li => li.classList.toggle("lit", li.dataset.kerb === kerb && kerb !== ""));
  };
  const spot = (p: Spot, name: string) => h("li", { "data-kerb": p.kerb },
    h("button", { type: "button", class: "row", onclick: () => void ask(p.kerb, middle(p.line)), onmouseenter: () => light(p.kerb), onfocus: () => light(p.kerb), onmouseleave: () => light(asked?.kerb ?? "") },
      name ? swatch(p.verdict) : null, h("span", {}, name, h("span", { class: "quiet" }, `${p.side} side, going ${p.facing}`))));
  const road = (places: Spot[]) => places.length === 1 ? spot(places[0], capital(places[0].road)) :
    h("li", {}, h("details", {}, h("summary", { class: "row", onmouseenter: () => light(places[0].kerb), onmouseleave: () => light(asked?.kerb ?? "") }, swatch(places[0].verdict), h("span", {}, capital(places[0].road)), h("span", { class: "quiet" }, `${places.length} places`)), h("ul", { class: "plain inner" }, places.map(p => spot(p, "")))));

  const look = async () => {
    giveUp.abort();
    giveUp = new AbortController();
    list.setAttribute("aria-busy", "true");
    try {
      looked = await post<Looked>("look", { exercise, ...app.plate.box() }, giveUp.signal);
    } catch (e) {
      if (!stopped(e)) { show(list, h("p", { class: "trouble" }, sentence(e))); list.removeAttribute("aria-busy"); }
      return;
    }
    list.removeAttribute("aria-busy");
    app.plate.color(looked.roads);
    marks();
    const told = JSON.stringify(looked.places) + looked.more;
    if (told === listed && !looked.too_wide) return; // what a reader has opened stays open
    listed = told;
    if (looked.too_wide) { show(list, h("p", {}, "Too many roads to judge at once. Move nearer on the map.")); return; }
    if (looked.places.length === 0) { show(list, h("p", {}, "No road in view is fit for this. Move the map, or choose another exercise."), h("p", {}, h("button", { type: "button", id: "whole", onclick: () => app.plate.whole(app.map) }, "Back to the town"))); return; }
    const groups = order.filter(v => looked!.places.some(p => p.verdict === v));
    show(list, groups.map(v => h("section", {}, h("h2", {}, app.about.verdicts[v]), h("ul", { class: "plain" }, byRoad(looked!.places.filter(p => p.verdict === v)).map(road)))),
      looked.more ? h("p", { class: "quiet" }, `and ${looked.more} more in view: move nearer to list them`) : null);
  };

  const close = () => { why.hidden = true; giveUpWhy.abort(); asked = null; marks(); light(""); app.plate.back(); };
  const ask = async (place: string, visit?: Point, again = false) => {
    giveUpWhy.abort();
    giveUpWhy = new AbortController();
    if (!again) { show(head, h("p", {}, "Looking …")); show(known); show(notes); show(pictures); noted = ""; }
    why.hidden = false;
    try {
      const w = await post<Why>("why", { exercise, at: place }, giveUpWhy.signal);
      asked = w;
      marks();
      light(w.kerb);
      show(head, verdictOf(w, app.about.verdicts), h("p", { class: "with" },
        w.verdict !== "unsuitable" && h("a", { class: "button small", href: `/plan?near=${encodeURIComponent(w.kerb)}&exercise=${w.exercise}` }, "Plan a lesson here"),
        h("button", { type: "button", class: "small", onclick: () => { close(); note(); } }, "Close")));
      show(known, because(w));
      show(pictures, picturesOf(w));
      if (noted !== w.kerb) { // what was just noted stays, with its way back
        noted = w.kerb;
        show(notes, h("h3", {}, "Been there? Note it"), noting({ at: w.kerb, road: w.road, exercise }, initials, () => { void ask(w.kerb, undefined, true); void look(); }), initials.element);
      }
      if (again) return;
      note(w.kerb);
      head.querySelector("h2")?.focus();
      if (visit) app.plate.visit(visit);
    } catch (e) {
      if (stopped(e)) return;
      show(head, h("p", { class: "trouble" }, sentence(e)), h("p", {}, h("button", { type: "button", class: "small", onclick: () => { close(); note(); } }, "Close")));
    }
  };

  show(sheet, h("h1", {}, "Where it can be taught"), h("label", { for: "exercise" }, "Exercise"), pick,
    why, h("p", { class: "quiet" }, "Click a road to ask why, or to note what you saw there."), list);
  show(byId("legend"), h("ul", { "aria-label": "How roads are drawn" }, order.map(v => h("li", {}, swatch(v), app.about.verdicts[v]))));
  app.plate.onRest = () => void look();
  app.plate.onClick = p => void ask(`${p[1].toFixed(6)},${p[0].toFixed(6)}`);
  app.plate.onPoint = id => light(id || (asked?.kerb ?? ""));
  const first = at.searchParams.get("at");
  void look().then(() => { if (first) void ask(first); });
  say("");
  return () => { giveUp.abort(); giveUpWhy.abort(); };
};

// byRoad puts places of one road together, where the first of them stood.
function byRoad(places: Spot[]): Spot[][] {
  const roads = new Map<string, Spot[]>();
  for (const p of places) roads.set(p.road, [...(roads.get(p.road) ?? []), p]);
  return [...roads.values()];
}

/** swatch draws a verdict as the map does: told apart by more than its ink. */
export function swatch(v: Verdict): SVGElement {
  const line = (attributes: Record<string, string>) => svg("line", { x1: 2, y1: 8, x2: 38, y2: 8, ...attributes });
  const lines: Record<Verdict, SVGElement[]> = {
    suitable: [line({ class: "good", "stroke-width": "7" })],
    likely: [line({ class: "good", "stroke-width": "7" }), line({ class: "paper", "stroke-width": "2" })],
    possible: [line({ class: "fair", "stroke-width": "5", "stroke-dasharray": "9 5" })],
    unsuitable: [line({ class: "bad", "stroke-width": "3", "stroke-dasharray": "1 6", "stroke-linecap": "round" })],
    unknown: [line({ class: "none", "stroke-width": "2", "stroke-dasharray": "3 6" })],
  };
  return svg("svg", { class: "swatch", viewBox: "0 0 40 16", width: 40, height: 16, "aria-hidden": "true" }, lines[v]);
}

const marksOf: Record<string, [string, string]> = { yes: ["✓", "fits"], no: ["✕", "does not fit"], perhaps: ["?", "not certain"], unknown: ["?", "not known"] };

function verdictOf(w: Why, verdicts: Record<Verdict, string>): HTMLElement[] {
  return [
    h("h2", { tabindex: "-1" }, capital(w.at)),
    h("p", { class: "verdict " + w.verdict }, swatch(w.verdict), h("strong", {}, verdicts[w.verdict])),
    h("p", { class: "quiet" }, `${w.side} side, for ${w.title.toLowerCase()}`),
  ];
}

function because(w: Why): HTMLElement {
  return h("div", {},
    w.near_rim ? h("p", {}, "This is near where the map ends: roads beyond it are not seen.") : null,
    w.look_for?.length ? h("div", { class: "lookfor" }, h("h3", {}, "Look for on the day"), h("ul", {}, w.look_for.map(t => h("li", {}, t)))) : null,
    w.notes.length ? [h("h3", {}, "Noted here"), h("ul", {}, w.notes.map(t => h("li", {}, t)))] : null,
    h("h3", {}, "What is known"),
    h("ul", { class: "findings" }, w.findings.map((f, i) => {
      // What is only taken for granted gets no tick.
      const holds = f.holds === "yes" && f.evidence === "assumed" ? "perhaps" : f.holds;
      const [sign, words] = marksOf[holds] ?? marksOf.unknown;
      return h("li", { class: holds }, h("span", { class: "sign", "aria-hidden": "true" }, sign), h("span", {}, h("span", { class: "hide" }, words + ": "), w.words[i]));
    })));
}

function picturesOf(w: Why): HTMLElement {
  const words = "The exercise from above, with the room that the car takes.";
  return h("div", {},
    w.height_profile?.length ? h("figure", {}, heightPicture(w.height_profile), h("figcaption", {}, "The road's rise and fall, as the car comes.")) : null,
    h("figure", {}, h("img", { src: `/pictures/${w.exercise}/${encodeURIComponent(w.kerb)}`, alt: words, onerror: (e: Event) => (e.target as Element).closest("figure")?.remove() }), h("figcaption", {}, words)));
}
