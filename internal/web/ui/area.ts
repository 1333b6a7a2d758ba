// What an area offers: places for each exercise by the minutes to them.

import { post, sentence, stopped, type Area } from "./api";
import type { View } from "./app";
import { h, hear, show } from "./dom";

export const areaView: View = (app, sheet, at) => {
  const near = h("input", { id: "near", type: "text", autocomplete: "off", spellcheck: "false" });
  const out = h("div");
  let giveUp = new AbortController();
  const count = async (words: string) => {
    if (!words.trim()) return;
    giveUp.abort();
    giveUp = new AbortController();
    show(out, h("p", {}, "Counting …"));
    try {
      const a = await post<Area>("area", { near: words }, giveUp.signal);
      app.note("/area?near=" + encodeURIComponent(words));
      near.value = words;
      app.plate.put([{ id: "near", at: a.at, look: "stop" }]);
      app.plate.see(a.at);
      show(out, table(a));
      hear(`Counted around ${a.near}.`);
    } catch (e) {
      if (stopped(e)) return;
      show(out, h("p", { class: "trouble" }, sentence(e)));
    }
  };
  show(sheet,
    h("h1", {}, "What an area offers"),
    h("form", { onsubmit: (e: Event) => { e.preventDefault(); void count(near.value); } },
      h("label", { for: "near" }, "Around"), near,
      h("p", { class: "quiet" }, "A road, two roads that meet, a postcode, a name that you gave; or click the map."),
      h("button", { type: "submit", class: "first" }, "Count the places")),
    out);
  app.plate.onClick = p => void count(`${p[1].toFixed(6)},${p[0].toFixed(6)}`);
  const asked = at.searchParams.get("near");
  if (asked) void count(asked);
  return () => giveUp.abort();
};

function table(a: Area): HTMLElement {
  return h("div", {},
    h("h2", {}, a.near),
    h("p", { class: "quiet" }, "How many places are suitable or look right within so many minutes’ drive, and below that how many more are possible."),
    h("table", {},
      h("caption", { class: "hide" }, "Places for each exercise"),
      h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "Exercise"), a.minutes.map(m => h("th", { scope: "col" }, `${m} min`)))),
      h("tbody", {}, a.exercises.map(e => h("tr", {},
        h("th", { scope: "row" }, h("a", { href: "/look?exercise=" + e.exercise }, e.title)),
        e.fit.map((n, i) => h("td", {}, n === 0 && e.possible[i] === 0 ? "none" : String(n), e.possible[i] ? h("span", { class: "quiet" }, `+ ${e.possible[i]}`) : null)))))));
}
