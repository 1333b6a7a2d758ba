// What the answers to a survey drive change, in words and on the map.

import { ask, sentence, type Verdict } from "./api";
import type { App, View } from "./app";
import { fill, h, show } from "./dom";
import { swatch } from "./look";
import type { Reversed, SurveyStops } from "./surveyed";
import { capital, counted } from "./words";

const titles = ["Would do now", "Sure now", "Less sure now", "Will not do", "Also judged otherwise"];

/** titleOf is the heading that a change stands under. */
export function titleOf(r: Pick<Reversed, "before" | "after">): string {
  const fit = (v: Verdict) => v === "suitable" || v === "likely";
  if (r.after === "unsuitable") return "Will not do";
  if (fit(r.after) && !fit(r.before)) return "Would do now";
  if (r.after === "suitable") return "Sure now";
  return fit(r.before) ? "Less sure now" : "Also judged otherwise";
}

export const reversedView: View = (app, sheet, at) => {
  const id = at.pathname.split("/")[2], out = h("div", {}, h("p", {}, "Comparing …"));
  show(sheet, h("h1", {}, "What your answers change"), out);
  Promise.all([ask<SurveyStops>("GET", "survey/drives/" + id), ask<{ changed: Reversed[] }>("GET", `survey/drives/${id}/changed`)]).then(([stops, { changed }]) => {
    show(out, h("p", {}, `${stops.title}: ${stops.answered} of ${counted(stops.roads, "road", "roads")} answered.`), told(app, out, changed, stops.exercise),
      h("p", { class: "with" }, h("a", { class: "button", href: `/survey/${id}/answers` }, "Back to the answers"), h("a", { class: "button", href: "/survey/" + id }, "The drive")));
  }).catch(e => show(out, h("p", { class: "trouble" }, sentence(e))));
};

function told(app: App, out: HTMLElement, all: Reversed[], exercise: string): HTMLElement {
  const mark = (r: Reversed, i = 0) => `changed-${r.kerbs[i]}`;
  const light = (id: string) => {
    app.plate.light(id);
    out.querySelectorAll<HTMLElement>("[data-mark]").forEach(e => e.classList.toggle("lit", id !== "" && e.dataset.mark === id));
  };
  app.plate.put(all.flatMap(r => r.where.map((line, i) => ({ id: mark(r, i), line, look: "place" as const, verdict: r.after, words: `${r.road}: ${app.about.verdicts[r.after]}`, onClick: () => app.go(`/look?exercise=${exercise}&at=${encodeURIComponent(r.kerbs[i])}`) }))));
  if (all.length) app.plate.fit(all.flatMap(r => r.where.flat()));
  app.plate.onPoint = light;
  if (all.length === 0) return h("p", {}, "Nothing yet: no road is judged otherwise than before.");
  const groups = titles.map((title): [string, Reversed[]] => [title, all.filter(r => titleOf(r) === title)]);
  const elsewhere = new Set(all.filter(r => !r.seen).map(r => r.road)).size;
  const list = h("div", {}, groups.filter(([, rows]) => rows.length).map(([title, rows]) => h("section", {}, h("h2", {}, `${title}: ${rows.length}`),
    h("ul", { class: "plain changed" }, rows.map(r => h("li", { "data-mark": mark(r), onmouseenter: () => light(mark(r)), onmouseleave: () => light(""), onfocusin: () => light(mark(r)) },
      h("a", { class: "row", href: `/look?exercise=${exercise}&at=${encodeURIComponent(r.kerbs[0])}` }, swatch(r.after), h("span", {}, h("strong", {}, capital(r.road)), r.seen ? "" : " (not looked at)", h("br"), `${app.about.verdicts[r.after]}. Was: ${lower(app.about.verdicts[r.before])}.`))))))));
  if (elsewhere) fill(list, h("p", { class: "quiet" }, `${counted(elsewhere, "road that you did not look at is", "roads that you did not look at are")} judged by what you saw in roads alike.`));
  return list;
}

const lower = (s: string): string => s.charAt(0).toLowerCase() + s.slice(1);
