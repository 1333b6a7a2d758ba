// Other plans that are nearly as good: what each differs in, and one click to take it.

import type { Circuit, Feature, Plan } from "./api";
import { h } from "./dom";
import { capital, counted, minutes, of } from "./words";

const roads = (c: Circuit, role: string): string[] => of(c, role).map(f => f.properties.road ?? "");
const listed = (all: string[]): string => all.length < 2 ? all.join("") : all.slice(0, -1).join(", ") + " and " + all[all.length - 1];

/** placesIn are the roads to practise in. */
export const placesIn = (c: Circuit): string => listed([...roads(c, "practice"), ...roads(c, "second-practice")]);

/** differences says what another plan has otherwise, in sentences without their full stop. */
export function differences(from: Circuit, to: Circuit): string[] {
  const out: string[] = [];
  const had = roads(from, "example"), has = roads(to, "example");
  const gone = had.filter(r => !has.includes(r)), come = has.filter(r => !had.includes(r));
  if (come.length) out.push(`judges ${listed(come)}` + (gone.length ? ` in place of ${listed(gone)}` : " too"));
  else if (gone.length) out.push(`does not judge ${listed(gone)}`);
  else if (has.length) out.push("the same roads to judge");
  const more = Math.round((to.loopwright.drive_s - from.loopwright.drive_s) / 60);
  if (more) out.push(`${minutes(Math.abs(more))} ${more > 0 ? "more" : "less"} driving`);
  const goes = (c: Circuit) => [...of(c, "practice"), ...of(c, "second-practice")].reduce((n, f) => n + (f.properties.goes ?? 0), 0);
  const extra = goes(to) - goes(from);
  if (extra) out.push(`${counted(Math.abs(extra), "go", "goes")} ${extra > 0 ? "more" : "fewer"}`);
  return out;
}

/** others offers plans beside the one that is shown. */
export function others(shown: Circuit, all: Plan[], take: (practice: Feature) => void): HTMLElement {
  if (all.length === 0) return h("p", {}, "No other place makes as good a plan. Say “Not that road” to see the next best.");
  return h("ul", { class: "plain choice" }, all.map(p => h("li", {},
    h("button", { type: "button", class: "row", onclick: () => take(of(p.circuit, "practice")[0]) },
      h("span", {}, h("strong", {}, "Practise in " + placesIn(p.circuit)), h("br"), capital(differences(shown, p.circuit).join("; ")))))));
}
