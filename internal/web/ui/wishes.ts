// What is wished for on the way: sentences, as the command line takes them.

import { wishesOf } from "./address";
import type { Sought } from "./api";
import { plain, select, tick, ticked } from "./fields";
import { h, show } from "./dom";

const mySide = "my side and your side", onlyParked = "questions only when parked";

export class Wishes {
  element: HTMLElement;
  private sentences: string[] = [];
  private chips = h("div", { class: "chips", id: "wishes-said" });
  private count: HTMLSelectElement;
  private topic: HTMLSelectElement;
  private mine: HTMLInputElement;
  private parked: HTMLInputElement;

  constructor(private sightings: string[], private topics: string[], private changed: () => void) {
    this.count = select("wish-count", [["1", "some"], ...["2", "3", "4", "6", "8"].map((n): [string, string] => [n, "at least " + n]), ["no", "no"]], "1", () => this.offer());
    this.topic = select("wish-topic", [], "", () => {});
    this.mine = tick("my-side", changed);
    this.parked = tick("only-parked", changed);
    this.element = h("fieldset", { id: "wishes" }, h("legend", {}, "On the way"),
      h("div", { class: "with" }, h("label", { for: "wish-count", class: "hide" }, "How many"), this.count, h("label", { for: "wish-topic", class: "hide" }, "Of what"), this.topic,
        h("button", { type: "button", id: "wish-add", onclick: () => this.add() }, "Add")),
      this.chips);
    this.offer();
  }

  /** manner is how directions and questions are put. */
  manner(): HTMLElement {
    return h("div", { class: "ticks alone" }, ticked(this.mine, "Say “my side” and “your side” too"), ticked(this.parked, "Ask questions only when parked"));
  }

  /** offer lists what may be wished for: what is kept off the drive is a topic of driving. */
  private offer(): void {
    const was = this.topic.value, of = this.count.value === "no" ? this.topics.map(plain) : this.sightings;
    show(this.topic, of.map(t => h("option", { value: t, selected: t === was }, t)));
  }

  private add(): void {
    const topic = this.topic.value, n = this.count.value;
    this.sentences = this.sentences.filter(s => s !== topic && !s.endsWith(" " + topic));
    this.sentences.push(n === "no" ? "no " + topic : n === "1" ? topic : `at least ${n} ${topic}`);
    this.draw();
    this.changed();
  }

  private draw(): void {
    show(this.chips, this.sentences.map(s => h("button", { type: "button", class: "chip", "aria-label": `Take away: ${s}`, onclick: () => {
      this.sentences = this.sentences.filter(t => t !== s);
      this.draw();
      this.changed();
    } }, s + " ✕")));
  }

  take(sentences: string[]): void {
    this.sentences = sentences.filter(s => s !== mySide && s !== onlyParked);
    this.mine.checked = sentences.includes(mySide);
    this.parked.checked = sentences.includes(onlyParked);
    this.draw();
  }

  /** seek wishes for so much of each, and for no more of what cannot be had. */
  seek(sought: Sought[]): void {
    this.sentences = [...this.sentences.filter(s => s.startsWith("no ")), ...wishesOf({ seek: sought.filter(s => s.at_least > 0) })];
    this.draw();
  }

  all(): string[] {
    return [...this.sentences, ...(this.mine.checked ? [mySide] : []), ...(this.parked.checked ? [onlyParked] : [])];
  }
}
