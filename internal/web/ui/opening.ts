// Before a map is open: the invented town, map files at hand, or a path.

import { ask, post, sentence, type About, type Offer } from "./api";
import { fill, h, say, show } from "./dom";
import { capital } from "./words";

let typed = ""; // what was typed stays where opening it failed

export function openingView(about: About, sheet: HTMLElement, again: () => Promise<void>): void {
  if (about.state === "opening") {
    const part = about.total ? h("progress", { value: about.done ?? 0, max: about.total, "aria-label": "How far it has come" }) : h("progress", { "aria-label": "Working" });
    show(sheet, h("h1", {}, "Reading the map"), h("p", {}, about.stage ? capital(about.stage) + " …" : "Starting …"), part, h("p", { class: "quiet" }, "The first time this takes a few seconds for a county. Next time it is at hand at once."));
    setTimeout(() => again().catch(e => say(sentence(e), true)), 400);
    return;
  }
  const open = async (question: object) => {
    try {
      await post<About>("open", question);
      await again();
    } catch (e) {
      say(sentence(e), true);
    }
  };
  const path = h("input", { id: "path", name: "path", type: "text", autocomplete: "off", spellcheck: "false", required: true, value: typed, oninput: () => { typed = path.value; } });
  const files = h("div");
  show(sheet,
    h("h1", {}, "Which district?"),
    about.fault ? h("p", { class: "trouble", role: "alert" }, sentence(new Error(about.fault.error)), " ", about.fault.hint && !/--|`/.test(about.fault.hint) ? about.fault.hint : "") : null,
    h("p", {}, "Loopwright finds the roads fit for practising a manoeuvre, and plans the drive of a lesson. It works from a map file on this machine; nothing is sent anywhere."),
    files,
    h("h2", {}, "No map file yet?"),
    h("p", {}, h("button", { type: "button", id: "demo", class: "first", onclick: () => open({ demo: true }) }, "Try it in an invented town")),
    h("h2", {}, "Open a map file"),
    h("form", { onsubmit: (e: Event) => { e.preventDefault(); void open({ path: path.value.trim() }); } },
      h("div", {}, h("label", { for: "path" }, "Its folder and name"), h("div", { class: "with" }, path, h("button", { type: "submit" }, "Open it"))),
      h("p", { class: "quiet" }, "An OpenStreetMap file: its name ends in .osm.pbf, .osm, .osm.gz or .osm.bz2.")),
  );
  ask<{ files: Offer[] }>("GET", "offers").then(({ files: at }) => {
    if (at.length === 0) return;
    fill(files, h("h2", {}, "Map files at hand"), h("ul", { class: "plain choice" }, at.map(o => h("li", {}, h("button", { type: "button", class: "row", onclick: () => open({ path: o.path }) }, h("span", {}, o.name), h("span", { class: "quiet" }, `${Math.max(1, Math.round(o.bytes / 1e6))} MB`))))));
  }).catch(e => say(sentence(e), true));
}
