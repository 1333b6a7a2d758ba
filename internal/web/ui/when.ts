// When a lesson is: a day, its length, and its start or its end.

import { choose, select } from "./fields";
import { h } from "./dom";
import { dateAfter, startFor, today } from "./words";

export class When {
  element: HTMLFieldSetElement;
  private date: HTMLInputElement;
  private time: HTMLInputElement;
  private length: HTMLSelectElement;
  private ends: HTMLSelectElement;
  private today = today();

  constructor(private changed: () => void) {
    this.date = h("input", { id: "date", type: "date", value: dateAfter(this.today, 1), onchange: changed });
    this.time = h("input", { id: "time", type: "time", value: "10:00", onchange: changed });
    this.length = select("minutes", ["30", "45", "60", "90", "120", "180"].map(m => [m, m + " minutes"]), "60", changed);
    this.ends = select("back-by", [["start", "Start at"], ["back", "Back by"]], "start", changed);
    const unseen = (words: string, field: HTMLElement) => [h("label", { for: field.id, class: "hide" }, words), field];
    this.element = h("fieldset", {}, h("legend", {}, "When"),
      h("div", { class: "chips" }, this.chip("Today", 0), this.chip("Tomorrow", 1), this.chip("Tonight", 0, "19:00")),
      h("div", { class: "when" }, unseen("Day", this.date), unseen("Length", this.length), unseen("Start at, or back by", this.ends), unseen("Time", this.time)));
  }

  private chip(words: string, days: number, time?: string): HTMLElement {
    return h("button", { type: "button", class: "chip", onclick: () => {
      this.onDay(days);
      if (time) { this.time.value = time; this.ends.value = "start"; }
      this.changed();
    } }, words);
  }

  onDay(fromToday: number): void { this.date.value = dateAfter(this.today, fromToday); }

  minutes(): number { return Number(this.length.value); }

  /** longer takes the next length that is offered, if there is one. */
  longer(): void {
    const next = [...this.length.options].find(o => Number(o.value) > this.minutes());
    if (next) { this.length.value = next.value; this.changed(); }
  }

  /** atTest says that the lesson's end is the time of a test, or no longer. */
  atTest(yes: boolean): void {
    const end = this.ends.options[1], words = yes ? "Test at" : "Back by";
    if (end.text === words) return;
    end.text = words;
    this.ends.value = yes ? "back" : "start";
  }

  take(minutes: number, when: string): void {
    choose(this.length, minutes, `${minutes} minutes`);
    const start = /^(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d)/.exec(when);
    if (!start) return;
    this.date.value = start[1];
    this.time.value = start[2];
    this.ends.value = "start";
  }

  /** start is the day and time at which the lesson begins. */
  start(): string {
    let date = this.date.value || this.today, time = this.time.value || "10:00";
    if (this.ends.value === "back") {
      const start = startFor(time, this.minutes());
      time = start.time;
      if (start.dayBefore) date = dateAfter(date, -1);
    }
    return `${date} ${time}`;
  }
}
