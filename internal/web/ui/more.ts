// Everything else: plans that were kept, names of places, the map itself.

import { ask, post, sentence, type KeptPlan, type NamedPlace, type Plan } from "./api";
import type { View } from "./app";
import { h, say, show } from "./dom";
import { day, wall } from "./words";

export const moreView: View = (app, sheet) => {
  const plans = h("div"), names = h("div");
  const received = h("input", { id: "received", type: "file", accept: ".geojson,.json", onchange: async () => {
    try {
      const plan = await post<Plan>("plans/received", received.files![0]);
      app.go("/plan/" + plan.id);
    } catch (e) { say(sentence(e), true); }
  } });
  const taken = app.map.data_timestamp;
  show(sheet,
    h("h1", {}, "More"),
    h("h2", {}, "Plans kept"), plans,
    h("label", { for: "received" }, "Open a plan that a colleague sent"), received,
    h("h2", {}, "A new area"),
    h("p", {}, h("a", { href: "/survey" }, "Survey an area"), ": what it offers, and a drive to go and see"),
    h("p", {}, h("a", { href: "/changes" }, "What a newer map changes")),
    h("h2", {}, "Notes"), h("p", {}, h("a", { href: "/notes" }, "All notes, and sharing them")),
    h("h2", {}, "Names of places"), names,
    h("h2", {}, "The map"),
    h("p", {}, app.map.name + ". ", taken ? `Its data is of ${day(taken)} ${taken.slice(0, 4)}.` : "It does not say how old its data is."),
    h("p", {}, h("button", { type: "button", onclick: () => void another() }, "Open another map")),
    h("h2", {}, "Mind"),
    h("ul", {}, ["The map may be old or wrong. You decide on the day: signs, local rules and your licence come first.", "Widths and parked cars are seldom on the map.", "Leave if another learner is there, a resident objects or children play.", "Nothing here is to be read while the car moves."].map(t => h("li", {}, t))),
  );
  const another = async () => {
    app.about.state = "none";
    app.about.map = undefined;
    app.go("/");
  };
  const list = async () => {
    const { plans: kept } = await ask<{ plans: KeptPlan[] }>("GET", "plans");
    show(plans, kept.length === 0 ? h("p", { class: "quiet" }, "None yet. A plan has a button to keep it.") :
      h("ul", { class: "rows" }, kept.map(p => h("li", {},
        h("a", { href: "/plan/" + p.id }, `${day(p.starts_at)}, ${wall(p.starts_at, 0)}`), h("span", {}, `${p.title}, from ${p.from}`),
        h("button", { type: "button", class: "small", "aria-label": `Delete the plan of ${day(p.starts_at)}, ${p.title}`, onclick: async () => { await ask("DELETE", "plans/" + p.id); say("Deleted."); await list(); } }, "Delete")))));
  };
  const listNames = (at: NamedPlace[]) => show(names, at.length === 0 ? h("p", { class: "quiet" }, "None yet. Give a pick-up a name when you plan, and it can be typed instead.") :
    h("ul", { class: "rows" }, at.map(n => h("li", {}, h("span", {}, n.name),
      h("button", { type: "button", class: "small", "aria-label": "Forget the name " + n.name, onclick: async () => listNames((await post<{ names: NamedPlace[] }>("names", { name: n.name, kerb: "" })).names) }, "Forget")))));
  list().catch(e => say(sentence(e), true));
  ask<{ names: NamedPlace[] }>("GET", "names").then(a => listNames(a.names)).catch(e => say(sentence(e), true));
};
