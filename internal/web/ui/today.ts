// Today's roads: one tap each.

import { ask, post, sentence, type Feature, type KeptPlan, type Plan } from "./api";
import { recall, remember, type View } from "./app";
import { fill, h, say, show } from "./dom";
import { capital, of, placeOf, wall } from "./words";

const BY = "loopwright.initials";

/** taps are what one tap notes. */
const taps: { words: string; kind: string; value?: string; text?: string }[] = [
  { words: "Fine", kind: "suits", value: "yes" },
  { words: "Full", kind: "parked", value: "both sides" },
  { words: "Narrow", kind: "suits", value: "no", text: "narrower than it looks" },
  { words: "Never again", kind: "never" },
];

export const todayView: View = (app, sheet) => {
  const by = h("input", { id: "by", type: "text", autocomplete: "off", maxlength: 8, value: recall(BY) ?? "", onchange: () => remember(BY, by.value.trim()) });
  const out = h("div");
  show(sheet, h("h1", {}, "Today's roads"), h("label", { for: "by" }, "Your initials"), by, out);
  const now = new Date();
  const today = new Date(now.getTime() - now.getTimezoneOffset() * 60000).toISOString().slice(0, 10);

  const road = (f: Feature, exercise: string) => {
    const noted = h("p", { class: "quiet", "aria-live": "polite" });
    const p = f.properties;
    const at = placeOf(f);
    return h("li", {}, h("p", {}, h("strong", {}, capital(p.road ?? "")), p.side ? `, ${p.side} side` : ", judged on the way"),
      h("div", { class: "with" }, taps.map(t => h("button", { type: "button", class: "small", value: t.kind, "aria-label": `${t.words}: ${p.road}`, onclick: async () => {
        try {
          const row = await post<{ says: string }>("notes", { kind: t.kind, value: t.value ?? "", text: t.text ?? "", at, by: by.value.trim(), exercise: t.kind === "suits" ? exercise : "" });
          noted.className = "quiet noted";
          noted.textContent = "Noted: " + row.says + ".";
        } catch (e) { say(sentence(e), true); }
      } }, t.words))), noted);
  };

  ask<{ plans: KeptPlan[] }>("GET", "plans").then(async ({ plans }) => {
    const due = plans.filter(p => p.starts_at.startsWith(today)).reverse();
    if (due.length === 0) {
      show(out, h("p", {}, "Nothing yet: keep a plan for today, and its roads are listed here after the lesson."), h("p", {}, h("a", { href: "/plan" }, "Plan a lesson")));
      return;
    }
    for (const kept of due) {
      const { circuit } = await ask<Plan>("GET", "plans/" + kept.id);
      fill(out, h("h2", {}, `${wall(kept.starts_at, 0)}, ${kept.title}`), h("ul", { class: "plain today" }, [...of(circuit, "practice"), ...of(circuit, "backup"), ...of(circuit, "example")].map(f => road(f, circuit.loopwright.request.exercise))));
    }
  }).catch(e => say(sentence(e), true));
  app.plate.put([]);
};
