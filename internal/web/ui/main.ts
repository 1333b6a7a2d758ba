// The page: one sheet with a map beside it. Addresses are views.

import { ask, sentence, type About } from "./api";
import type { App, View } from "./app";
import { areaView } from "./area";
import { byId, h, say, show } from "./dom";
import { lookView } from "./look";
import { Plate } from "./map";
import { moreView } from "./more";
import { notesView } from "./notes";
import { openingView } from "./opening";
import { newerView } from "./newer";
import { planView } from "./plan";
import { surveyView } from "./survey";
import { todayView } from "./today";

// What has no place in the row of views stands within another.
const views: { at: string; title: string; view: View; within?: string }[] = [
  { at: "plan", title: "Plan", view: planView },
  { at: "look", title: "Look", view: lookView },
  { at: "area", title: "Area", view: areaView },
  { at: "today", title: "Today", view: todayView },
  { at: "more", title: "More", view: moreView },
  { at: "notes", title: "Notes", view: notesView, within: "more" },
  { at: "survey", title: "Survey", view: surveyView, within: "more" },
  { at: "changes", title: "Newer map", view: newerView, within: "more" },
];

let about: About;
let plate: Plate | null = null;
let digest = "";
let leave: (() => void) | void;

function draw(): void {
  leave?.();
  leave = undefined;
  const at = new URL(location.href);
  const first = at.pathname.split("/")[1] || "plan";
  const sheet = byId("sheet");
  const shown = views.find(v => v.at === first) ?? views[0];
  const ready = about.state === "open" || (about.map && about.state !== "opening");
  document.body.dataset.state = ready ? "open" : "opening";
  show(byId("views"), ready ? h("ul", {}, views.filter(v => !v.within).map(v => h("li", {}, h("a", { href: "/" + v.at, "aria-current": v.at === shown.at ? "page" : v.at === shown.within ? "true" : null }, v.title)))) : null);
  byId("plate").hidden = !ready;
  show(byId("legend"));
  if (!ready) {
    openingView(about, sheet, async () => { about = await ask<About>("GET", "map"); draw(); });
    return;
  }
  plate ??= new Plate(byId("map"));
  if (digest !== about.map!.digest) {
    digest = about.map!.digest;
    plate.open(about.map!);
    byId("credit").textContent = about.map!.attribution;
  }
  plate.onClick = plate.onRest = plate.onPoint = null;
  plate.color(null);
  plate.put([]);
  plate.light("");
  say("");
  sheet.scrollTop = 0;
  document.title = shown.title + " · Loopwright";
  document.body.dataset.view = shown.at;
  leave = shown.view(app(), sheet, at);
}

function app(): App {
  return {
    about, map: about.map!, plate: plate!,
    go(to, replace = false) { history[replace ? "replaceState" : "pushState"](null, "", to); draw(); },
    note(to, replace = false) {
      if (to !== location.pathname + location.search) history[replace ? "replaceState" : "pushState"](null, "", to);
    },
  };
}

// Links within the page draw the next view; all else is the browser's.
document.addEventListener("click", e => {
  const link = (e.target as Element).closest?.("a[href]") as HTMLAnchorElement | null;
  if (!link || e.defaultPrevented || e.button !== 0 || e.metaKey || e.ctrlKey || e.shiftKey || link.target || link.hasAttribute("download")) return;
  if (link.origin !== location.origin || link.pathname.startsWith("/files/") || link.classList.contains("skip")) return;
  e.preventDefault();
  history.pushState(null, "", link.href);
  draw();
  byId("sheet").focus({ preventScroll: true });
});
addEventListener("popstate", draw);

async function start(): Promise<void> {
  try {
    about = await ask<About>("GET", "map");
  } catch (e) {
    say(sentence(e), true);
    return;
  }
  draw();
}
void start();

// For the end-to-end tests: where a mark lies on the page, and when the map is drawn.
Object.assign(window, { loopwright: { mark: (id: string) => plate?.whereIs(id), drawn: () => plate?.drawn().then(() => true) } });
