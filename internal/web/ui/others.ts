// Other plans that are nearly as good: what each differs in, and one click to take it.

import type { Circuit, Plan } from "./api";
import { h } from "./dom";
import { plain } from "./fields";
import { capital, counted, minutes, of } from "./words";

const roads = (c: Circuit, role: string): string[] => of(c, role).map(f => f.properties.road ?? "");
const listed = (all: string[]): string => all.length < 2 ? all.join("") : all.slice(0, -1).join(", ") + " and " + all[all.length - 1];

/** placesIn are the roads to practise in. */
export const placesIn = (c: Circuit): string => listed([...roads(c, "practice"), ...roads(c, "second-practice")]);

/** differences says what another plan has otherwise, in a few words each. */
export function differences(from: Circuit, to: Circuit): string[] {
  const out: string[] = [];
  const had = roads(from, "example"), has = roads(to, "example");
  const gone = had.filter(r => !has.includes(r)), come = has.filter(r => !had.includes(r));
  if (come.length) out.push(`judges ${listed(come)}` + (gone.length ? ` in place of ${listed(gone)}` : " too"));
  else if (gone.length) out.push(`does not judge ${listed(gone)}`);
  else if (has.length) out.push("the same roads to judge");
  for (const { topic } of from.loopwright.request.seek ?? []) {
    const [was, is] = [from, to].map(c => of(c, "event").filter(f => f.properties.topic === topic).length);
    if (was !== is) out.push(`${plain(topic)}: ${is} in place of ${was}`);
  }
  const more = Math.round((to.loopwright.drive_s - from.loopwright.drive_s) / 60);
  if (more) out.push(`${minutes(Math.abs(more))} ${more > 0 ? "more" : "less"} driving`);
  const goes = (c: Circuit) => [...of(c, "practice"), ...of(c, "second-practice")].reduce((n, f) => n + (f.properties.goes ?? 0), 0);
  const extra = goes(to) - goes(from);
  if (extra) out.push(`${counted(Math.abs(extra), "go", "goes")} ${extra > 0 ? "more" : "fewer"}`);
  return out;
}

/** others offers the plans beside the one that is shown; take is told the number of one in the list. */
export function others(shown: Plan, all: Plan[], take: (which: number, road: string) => void): HTMLElement {
  const here = placesIn(shown.circuit);
  const rows = all.map((p, i) => {
    if (p.id === shown.id) return null;
    const there = placesIn(p.circuit);
    return h("li", {}, h("button", { type: "button", class: "row", onclick: () => take(i, there) },
      h("span", {}, h("strong", {}, `Practise ${there === here ? "elsewhere " : ""}in ${there}`), h("span", { class: "quiet" }, capital(differences(shown.circuit, p.circuit).join("; "))))));
  }).filter(row => row);
  if (rows.length === 0) return h("p", {}, "No other place makes as good a plan. Say “Not that road” to see the next best.");
  return h("ul", { class: "plain choice" }, rows);
}
