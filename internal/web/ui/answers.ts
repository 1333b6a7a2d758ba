// Filling in a survey drive: one road at a time, in the order of the drive. Each
// answer is sent as it is given, and kept in this browser until it has arrived.

import { Failed, ask, post, sentence, type Plan, type Point } from "./api";
import { recall, remember, type App, type View } from "./app";
import { byId, h, say, show } from "./dom";
import { select } from "./fields";
import { Initials } from "./noting";
import { Drafts, pacesOf, questions, saidOf, widthOf } from "./seen";
import { legend, surveyMarks } from "./surveydrive";
import type { Answer, Entered, SurveyRoad, SurveyStop, SurveyStops } from "./surveyed";
import { capital, counted } from "./words";

export const answersView: View = (app, sheet, at) => {
  const id = at.pathname.split("/")[2];
  const out = h("div", {}, h("p", {}, "Opening …"));
  show(sheet, h("h1", {}, "What you saw"), out);
  let form: Form | undefined, left = false;
  Promise.all([ask<Plan>("GET", "plans/" + id), ask<SurveyStops>("GET", "survey/drives/" + id)]).then(([plan, stops]) => {
    if (!left) form = new Form(app, out, plan, stops, Number(at.searchParams.get("road")));
  }).catch(e => show(out, h("p", { class: "trouble" }, sentence(e))));
  return () => { left = true; form?.leave(); };
};

const UNIT = "loopwright.width-in", PACE = "loopwright.pace";
/** againAfter is how long it waits for a server that does not answer, in milliseconds. */
const againAfter = 3000;
/** passing are the faults that are over soon: no server, one that is still opening its map, one that has too much to do. */
const passing = ["gone", "no map", "busy", "stopped"];

class Form {
  private roads: { road: SurveyRoad; stop: SurveyStop; number: number }[];
  private at = 0;
  private drafts: Drafts;
  private refused = new Set<number>();
  private initials = new Initials();
  private sending = false;
  private again = 0;
  private card = h("form", { class: "card", onsubmit: (e: Event) => { e.preventDefault(); this.entered(); } });
  private result = h("p", { class: "result", "aria-live": "polite" });
  private next = h("button", { type: "submit", class: "first", id: "next" });
  private progress = h("p", { class: "quiet", id: "progress" });
  private list = h("ol", { class: "plain" });

  constructor(private app: App, out: HTMLElement, private plan: Plan, private stops: SurveyStops, road: number) {
    this.roads = stops.stops.flatMap((stop, i) => stop.roads.map(r => ({ road: r, stop, number: i + 1 })));
    this.drafts = new Drafts(plan.id);
    for (const { road: r } of this.roads) r.answer = this.drafts.get(r.order) ?? r.answer;
    show(out, this.progress, this.initials.known() ? null : this.initials.element, this.card,
      h("p", { class: "with" }, h("a", { class: "button", id: "told", href: `/survey/${plan.id}/changed` }, "What your answers change"), h("a", { class: "button", href: "/survey/" + plan.id }, "The drive")),
      h("details", {}, h("summary", {}, "All roads of the drive"), this.list), this.initials.known() ? this.initials.element : null);
    this.app.plate.put(surveyMarks(plan, stops));
    show(byId("legend"), legend());
    const open = this.roads.findIndex(r => !saidOf(r.road.answer));
    this.go(road ? road - 1 : Math.max(open, 0));
    this.send();
  }

  leave(): void { clearTimeout(this.again); }

  /** entered goes on: from the width to the questions, from anywhere else to the next road. */
  private entered(): void {
    if (document.activeElement?.id !== "width") { this.go(this.at + 1); return; }
    this.send();
    this.focus(0);
  }

  private go(to: number): void {
    if (to >= this.roads.length) { this.app.go(`/survey/${this.plan.id}/changed`); return; }
    this.at = Math.min(Math.max(to, 0), this.roads.length - 1);
    const { road, stop, number } = this.roads[this.at];
    this.app.note(`/survey/${this.plan.id}/answers?road=${road.order}`, true);
    const width = this.width(road);
    show(this.result);
    show(this.card,
      h("h2", { tabindex: "-1" }, `${road.order}. ${capital(road.road)}`),
      h("p", { class: "quiet" }, road.paced ? `Road ${road.order} on the sheet, where you stand at stop ${number}.` : stop.road ? `Road ${road.order} on the sheet, on the way to stop ${number} in ${stop.road}.` : `Road ${road.order} on the sheet, on the way home.`),
      width, questions.map((_, i) => this.question(road, i)), h("p", { class: "quiet keys" }, "By keyboard: Enter after the width, then the underlined letters, then Enter."), this.result,
      h("p", { class: "with walk" }, h("button", { type: "button", id: "back", disabled: this.at === 0, onclick: () => this.go(this.at - 1) }, "Back"), this.next));
    const line = this.plan.circuit.features.find(f => f.properties.role === "example" && f.properties.order === road.order)?.geometry.coordinates as Point[] | undefined;
    this.app.plate.light("road-" + road.order);
    if (line) this.app.plate.fit(line);
    this.tell();
    // On a phone a field in focus brings the keyboard up, over the answers.
    (matchMedia("(pointer: coarse)").matches ? this.card.querySelector("h2") : this.card.querySelector<HTMLElement>("#width"))?.focus({ preventScroll: true });
  }

  private width(road: SurveyRoad): HTMLElement {
    const about = h("p", { class: "quiet", id: "width-about" });
    const paces = () => road.paced && unit.value === "paces";
    const shown = () => !road.answer.width_m ? "" : String(paces() ? pacesOf(road.answer.width_m, Number(pace.value)) : road.answer.width_m);
    const unit = select("width-in", [["m", "metres"], ["paces", "paces"]], recall(UNIT) ?? "m", () => { remember(UNIT, unit.value); input.value = shown(); tell(); });
    const pace = h("input", { id: "pace", type: "text", inputmode: "decimal", value: recall(PACE) ?? "0.75", onchange: () => { if (widthOf(pace.value, 10)) remember(PACE, pace.value = pace.value.replace(",", ".")); else pace.value = recall(PACE) ?? "0.75"; take(); this.send(); } });
    const input = h("input", { id: "width", type: "text", inputmode: "decimal", autocomplete: "off", value: shown(), "aria-describedby": "width-about",
      oninput: () => take(), onchange: () => this.send() });
    const take = () => {
      const metres = widthOf(input.value, paces() ? Number(pace.value) : null);
      input.toggleAttribute("aria-invalid", metres === null);
      if (metres === null) input.setAttribute("aria-invalid", "true");
      else this.put(road, { ...road.answer, width_m: metres || undefined });
      tell();
    };
    const tell = () => {
      pace.hidden = paceLabel.hidden = !paces();
      show(about, input.hasAttribute("aria-invalid") ? "Write a number, as 5.4." : paces() && road.answer.width_m ? `That is ${road.answer.width_m} m from kerb to kerb.` :
        road.paced ? "From kerb to kerb, cars or not, where you stand." : "From kerb to kerb, by eye: a car is some 1.8 m wide. Leave it out if unsure.");
    };
    const paceLabel = h("label", { for: "pace" }, "One pace, in metres");
    const out = h("div", { class: "field" }, h("label", { for: "width" }, road.paced ? "Width, paced" : "Width, by eye, in metres"),
      h("div", { class: "with" }, input, road.paced ? [h("label", { for: "width-in", class: "hide" }, "Width in"), unit] : null), road.paced ? h("div", { class: "with pace" }, paceLabel, pace) : null, about);
    tell();
    return out;
  }

  private question(road: SurveyRoad, i: number): HTMLElement {
    const q = questions[i];
    const choose = (value: string | undefined) => { this.put(road, { ...road.answer, [q.key]: value }); this.send(); };
    const options = q.options.map(([value, words]) => {
      const input = h("input", { type: "radio", id: `${q.key}-${value.replace(" ", "-")}`, name: q.key, value, checked: road.answer[q.key] === value, onclick: () => {
        const off = road.answer[q.key] === value; // a second tap takes it back
        input.checked = !off;
        choose(off ? undefined : value);
      } });
      return { value, input, label: h("label", { for: input.id }, h("span", {}, h("span", { class: "key" }, words[0]), words.slice(1))) };
    });
    return h("fieldset", { class: "choice-of", "data-question": i, onkeydown: (e: KeyboardEvent) => {
      const hit = !e.ctrlKey && !e.metaKey && !e.altKey && options.find(o => o.value[0] === e.key.toLowerCase());
      if (!hit) return;
      e.preventDefault();
      hit.input.checked = true;
      choose(hit.value);
      this.focus(i + 1);
    } }, h("legend", {}, q.title), h("div", { class: "options" }, options.map(o => [o.input, o.label]).flat()), h("p", { class: "quiet" }, q.key === "would_do" ? this.stops.title + ", as it was then." : q.about));
  }

  /** focus goes to a question, or past the last to the button. */
  private focus(question: number): void {
    const group = this.card.querySelector(`[data-question="${question}"]`);
    (group?.querySelector<HTMLElement>("input:checked") ?? group?.querySelector("input") ?? this.next).focus();
  }

  private put(road: SurveyRoad, a: Answer): void {
    road.answer = a;
    this.drafts.put(road.order, a);
    this.refused.delete(road.order);
    this.tell();
  }

  private tell(): void {
    const done = this.roads.filter(r => saidOf(r.road.answer)).length;
    this.progress.textContent = `${done} of ${counted(this.roads.length, "road", "roads")} answered.`;
    this.next.textContent = this.at === this.roads.length - 1 ? "Done" : saidOf(this.roads[this.at].road.answer) ? "Next road" : "Pass over it";
    show(this.list, this.roads.map(({ road: r }, i) => h("li", {}, h("button", { type: "button", class: "row", "aria-current": i === this.at ? "true" : null, onclick: () => { this.go(i); this.card.scrollIntoView({ block: "nearest" }); } },
      h("span", {}, `${r.order}. ${capital(r.road)}`), h("span", { class: "quiet" }, saidOf(r.answer) || "not yet")))));
  }

  /** send sends what the server does not have yet, one road after the other. */
  private send(): void {
    if (this.drafts.roads().length) this.initials.then(by => void this.sendAs(by));
  }

  private async sendAs(by: string): Promise<void> {
    if (this.sending) return;
    this.sending = true;
    clearTimeout(this.again);
    const due = () => this.drafts.roads().find(r => !this.refused.has(r));
    for (let road = due(); road !== undefined; road = due()) {
      const answer = this.drafts.get(road)!;
      try {
        const e = await post<Entered>("survey/drives/" + this.plan.id, { road, answer, by });
        this.drafts.sent(road, answer);
        this.app.plate.put(surveyMarks(this.plan, this.stops));
        if (this.roads[this.at].road.order === road) show(this.result, saidOf(answer) ? `Saved. ${this.verdict(e)}` : "Taken back.");
        say("");
      } catch (e) {
        if (e instanceof Failed && passing.includes(e.fault.kind)) {
          say(`${e.fault.kind === "gone" ? "Loopwright does not answer." : sentence(e)} What you enter is kept in this browser, and saved as soon as it can be.`, true);
          this.again = window.setTimeout(() => void this.sendAs(by), againAfter);
          break;
        }
        this.refused.add(road);
        show(this.result, `Road ${road} is not saved: `, sentence(e));
      }
    }
    this.sending = false;
  }

  private verdict(e: Entered): string {
    const words = this.app.about.verdicts, now = words[e.after];
    return e.after === e.before ? `Still: ${now.toLowerCase()}.` : `Now: ${now.toLowerCase()}. Before you looked: ${words[e.before].toLowerCase()}.`;
  }
}
