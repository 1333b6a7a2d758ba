// What can't be met, and what would have to give; what no longer holds of a plan.

import { Failed, sentence, type Checked, type Sought } from "./api";
import { h } from "./dom";
import { capital } from "./words";

interface Unmet { wish: string; why: string; proof?: string; best_possible?: Best; give?: string[] }
/** Best is the most that was found: roads to judge, or of what was wished for on the way. */
export interface Best { unsuitable: number; suitable: number; found?: Sought[] }

export function unmet(e: unknown, ways: { more: () => void; take: (best: Best) => void }): HTMLElement {
  const u = e instanceof Failed ? (e.fault.best_possible as Unmet | undefined) : undefined;
  if (!u?.wish) return h("div", { class: "trouble", role: "alert" }, h("p", {}, sentence(e)));
  const best = u.best_possible, can = best?.found ? best.found.some(s => s.at_least > 0) : best && best.suitable > 0;
  return h("div", { class: "unmet", role: "alert" },
    h("h2", {}, u.proof === "none found" ? "No such lesson was found here" : "That can't be had here"),
    h("p", {}, `${capital(u.wish)}: ${u.why}.`),
    u.give?.length ? h("p", {}, "What would do: ", u.give.join(", or "), ".") : null,
    h("p", { class: "with" },
      best && can ? h("button", { type: "button", onclick: () => ways.take(best) }, best.found ? "Take what can be had" : `Take ${best.unsuitable} that will not do and ${best.suitable} that would`) : null,
      u.give?.some(g => g.startsWith("a lesson")) ? h("button", { type: "button", onclick: ways.more }, "Make the lesson longer") : null));
}

/** checked says what no longer holds of a plan, and what is noted of its places. */
export function checked(c: Checked): HTMLElement {
  const noted = c.noted.map(n => h("li", {}, capital(n) + "."));
  if (c.broken.length === 0) return h("div", { class: "holds" }, h("p", {}, "It still holds on this map."), noted.length ? h("ul", {}, noted) : null);
  return h("div", { class: "unmet", role: "alert" },
    h("h2", {}, "It no longer holds"),
    h("ul", {}, c.broken.map(b => h("li", {}, `${b.where ? capital(b.where) + ": " : ""}${b.where ? b.what : capital(b.what)}. ${b.means}`)), noted));
}
