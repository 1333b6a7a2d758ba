// Whom a lesson is for: how far they are, and what a colleague should know.

import type { Learner } from "./api";
import { h } from "./dom";
import { group, plain, select, tick, ticked, under } from "./fields";

type Told = "covered" | "next" | "watch_for" | "needs";
const told: [Told, string][] = [["covered", "Done so far"], ["next", "What comes next"], ["watch_for", "Watch for"], ["needs", "How they like to be taught"]];

export class LearnerFields {
  private reference: HTMLInputElement;
  private level: HTMLSelectElement;
  private untaught: HTMLInputElement[];
  private told: [Told, HTMLTextAreaElement][];
  private taken: Learner | undefined; // with stages that the form does not show

  constructor(levels: string[], topics: string[], changed: () => void) {
    this.reference = h("input", { id: "learner", type: "text", autocomplete: "off", maxlength: 40, onchange: changed });
    this.level = select("level", [["", "not said"], ...levels.map((l): [string, string] => [l, plain(l)])], "", changed);
    this.untaught = topics.map(t => tick("untaught-" + t, changed, t));
    this.told = told.map(([name]) => [name, h("textarea", { id: "learner-" + name, rows: 2, maxlength: 400, onchange: changed })]);
  }

  elements(): HTMLElement[] {
    return [
      h("div", { class: "pair" }, under("Learner's initials", this.reference), under("How far they are", this.level)),
      group("Not taught yet", h("div", { class: "ticks" }, this.untaught.map(i => ticked(i, plain(i.value))))),
      h("details", {}, h("summary", {}, "What a colleague should know"), h("p", { class: "quiet" }, "One thing a line. It goes with the plan that you send for cover, never a name."), this.told.map(([name, field]) => under(told.find(t => t[0] === name)![1], field))),
    ];
  }

  take(l: Learner | undefined): void {
    this.taken = l;
    this.reference.value = l?.reference ?? "";
    this.level.value = l?.level ?? "";
    for (const i of this.untaught) i.checked = l?.stages?.[i.value] === "untaught";
    for (const [name, field] of this.told) field.value = (l?.[name] ?? []).join("\n");
  }

  /** learner is who it is; undefined where nobody says. */
  learner(): Learner | undefined {
    const stages = { ...this.taken?.stages };
    for (const i of this.untaught) {
      if (i.checked) stages[i.value] = "untaught";
      else if (stages[i.value] === "untaught") delete stages[i.value];
    }
    const l: Learner = { reference: this.reference.value.trim() };
    if (this.level.value) l.level = this.level.value;
    if (Object.keys(stages).length) l.stages = stages;
    for (const [name, field] of this.told) {
      const lines = field.value.split("\n").map(t => t.trim()).filter(t => t);
      if (lines.length) l[name] = lines;
    }
    if (!l.reference && Object.keys(l).length > 1) l.reference = "learner";
    return l.reference ? l : undefined;
  }
}
