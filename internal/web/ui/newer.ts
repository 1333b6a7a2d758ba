// What a newer map says otherwise than an older one of the same area.

import { ask, post, sentence, stopped, type NamedPlace, type Offer, type Point } from "./api";
import type { App, View } from "./app";
import { h, hear, say, show } from "./dom";
import { select, under } from "./fields";
import type { Mark } from "./drawing";
import { placeField } from "./place";
import type { ChangedPlace, ChangedPlan, Newer } from "./surveyed";
import { capital, counted, day, minutes } from "./words";

export const newerView: View = (app, sheet) => {
  let giveUp = new AbortController();
  const out = h("div"), files = h("div");
  const since = h("input", { id: "since", type: "text", autocomplete: "off", spellcheck: "false" });
  const near = placeField("near-changes", "Only near, if you like", () => {});
  const within = select("within-changes", ["5", "10", "15", "30"].map(m => [m, m + " minutes' drive"]), "15", () => {});
  const compare = async () => {
    if (!since.value.trim()) { show(out, h("p", { class: "trouble" }, "Say which older map: choose one, or write where it lies.")); since.focus(); return; }
    if (!await near.settle(true)) return;
    giveUp.abort();
    giveUp = new AbortController();
    show(out, h("p", { "aria-busy": "true" }, "Comparing the two maps. An older map that was never opened is read first, which can take a minute …"));
    try {
      const n = await post<Newer>("changes", { since: since.value.trim(), near: near.place(), within_minutes: Number(within.value) }, giveUp.signal);
      box.open = false;
      show(out, told(app, n));
      hear(counted(n.changes.length, "change", "changes") + ".");
    } catch (e) {
      if (!stopped(e)) show(out, h("p", { class: "trouble" }, sentence(e)));
    }
  };
  const box = h("details", { id: "wish-box", open: true }, h("summary", {}, "The older map"), h("form", { onsubmit: (e: Event) => { e.preventDefault(); void compare(); } },
    files, h("label", { for: "since" }, "Where the older map file, or its index, lies"), since,
    near.element, under("Within", within), h("button", { type: "submit", class: "first", id: "compare" }, "Compare them")));
  show(sheet,
    h("h1", {}, "What a newer map changes"),
    h("p", {}, `The map that is open is compared with an older one of the same area: ${app.map.name}`, app.map.data_timestamp ? `, of ${day(app.map.data_timestamp)} ${app.map.data_timestamp.slice(0, 4)}.` : "."),
    box, out);
  app.plate.onClick = p => { if (near.wanted()) void near.choose(`${p[1].toFixed(6)},${p[0].toFixed(6)}`); };
  ask<{ names: NamedPlace[] }>("GET", "names").then(a => near.names(a.names)).catch(e => say(sentence(e), true));
  ask<{ files: Offer[] }>("GET", "offers").then(({ files: at }) => {
    if (at.length) show(files, h("p", {}, "Map files at hand:"), h("ul", { class: "plain" }, at.map(o => h("li", {}, h("button", { type: "button", class: "small", onclick: () => { since.value = o.path; } }, o.name)))));
  }).catch(e => say(sentence(e), true));
  return () => giveUp.abort();
};

/** most is how many rows of one kind are listed. */
const most = 200;

function told(app: App, n: Newer): HTMLElement {
  const dated = (t: string | null) => t ? `${day(t)} ${t.slice(0, 4)}` : "an unknown day";
  const rows = new Map<string, { says: string; minutes: number; marks: string[] }>();
  const marks: Mark[] = [];
  // A road in several ways is one row.
  n.changes.forEach((c, i) => {
    const row = rows.get(c.says) ?? { says: c.says, minutes: c.minutes, marks: [] };
    c.where.forEach((line, j) => {
      const id = `change-${i}-${j}`, point = line.every(p => p[0] === line[0][0] && p[1] === line[0][1]);
      row.marks.push(id);
      marks.push({ id, ...(point ? { at: line[0] as Point, look: "event" as const } : { line, look: "doubt" as const }), words: c.says });
    });
    rows.set(c.says, row);
  });
  const out = h("div");
  const light = (id: string) => {
    app.plate.light(id);
    out.querySelectorAll<HTMLElement>("[data-marks]").forEach(e => e.classList.toggle("lit", id !== "" && e.dataset.marks!.split(" ").includes(id)));
  };
  app.plate.put(marks);
  app.plate.onPoint = light;
  if (marks.length) app.plate.fit(marks.flatMap(m => m.line ?? [m.at!]));
  const kinds = [...new Set(n.changes.map(c => c.kind))];
  const of = (kind: string) => {
    const all = [...rows.values()].filter(r => n.changes.some(c => c.kind === kind && c.says === r.says));
    return h("details", { open: kinds.length === 1 || all.length <= 5 }, h("summary", {}, `${capital(kind)}: ${all.length}`),
      h("ul", { class: "rows" }, all.slice(0, most).map(r => h("li", { "data-marks": r.marks.join(" "), onmouseenter: () => light(r.marks[0]), onmouseleave: () => light("") },
        h("span", {}, capital(r.says)), n.near ? h("span", { class: "quiet" }, minutes(r.minutes)) : null,
        h("button", { type: "button", class: "small", "aria-label": "Show: " + r.says, onclick: () => { light(r.marks[0]); app.plate.fit(marks.filter(m => r.marks.includes(m.id)).flatMap(m => m.line ?? [m.at!])); } }, "Show")))),
      all.length > most ? h("p", { class: "quiet" }, `and ${all.length - most} more`) : null);
  };
  show(out,
    h("h2", {}, counted(rows.size, "change", "changes")),
    h("p", { class: "quiet" }, `From the map of ${dated(n.since)} to that of ${dated(n.data_timestamp)}${n.near ? `, within ${minutes(n.within_minutes!)} of ${n.near}` : ""}. A change of the map is not always one of the road: go and see.`),
    kinds.map(of), places(app, n.places), plans(n));
  return out;
}

function places(app: App, all: ChangedPlace[]): HTMLElement | null {
  if (all.length === 0) return null;
  const link = (p: ChangedPlace) => h("li", {}, h("a", { href: `/look?exercise=${p.exercise}&at=${encodeURIComponent(p.kerb)}` }, capital(p.road)), `: ${app.about.verdicts[p.is].toLowerCase()}; was ${app.about.verdicts[p.was].toLowerCase()}`);
  return h("section", {}, h("h2", {}, "Roads judged otherwise"), [...new Set(all.map(p => p.exercise))].map(x => {
    const these = all.filter(p => p.exercise === x);
    return h("details", {}, h("summary", {}, `${these[0].title}: ${these.length}`), h("ul", {}, these.map(link)));
  }));
}

function plans(n: Newer): HTMLElement {
  if (n.plans_read === 0) return h("p", { class: "quiet" }, "No plan is kept that it could touch.");
  const plan = (p: ChangedPlan) => h("li", {}, p.id ? h("a", { href: "/plan/" + p.id }, p.title) : h("strong", {}, p.title),
    h("ul", {}, [...new Set(p.roads)].map(r => h("li", {}, capital(r))), [...new Map(p.broken.map(b => [b.must, b])).values()].map(b => h("li", {}, `${b.where ? capital(b.where) + ": " + b.what : capital(b.what)}. ${b.means}`))));
  return h("section", {}, h("h2", {}, "Your plans"), h("p", {}, `${counted(n.plans_read, "plan", "plans")} kept, ${n.plans.length === 0 ? "none" : n.plans.length} touched.`), n.plans.length ? h("ul", {}, n.plans.map(plan)) : null);
}
