// The form of a lesson: what every lesson asks, what its kind asks besides, and
// whatever else one may wish.

import { wishesOf } from "./address";
import type { Asked, PlanRequest } from "./api";
import type { App } from "./app";
import { h, show } from "./dom";
import { choose, group, plain, select, tick, ticked, under } from "./fields";
import { LearnerFields } from "./learner";
import { placeField, type PlaceField } from "./place";
import type { Best } from "./unmet";
import { When } from "./when";
import { Wishes } from "./wishes";

export class LessonForm {
  element: HTMLFormElement;
  from: PlaceField;
  to: PlaceField;
  when: When;
  private kind: HTMLSelectElement;
  private exercise: HTMLSelectElement;
  private second: HTMLSelectElement;
  private wishes: Wishes;
  private no: HTMLSelectElement;
  private yes: HTMLSelectElement;
  private mixed: HTMLInputElement;
  private driveOut: HTMLInputElement;
  private ice: HTMLInputElement;
  private nearSide: HTMLInputElement;
  private motorways: HTMLInputElement;
  private learner: LearnerFields;
  private seed: number | undefined;
  private asked = h("div"); // what the kind of lesson asks
  private more = h("div");
  private folded = h("details", { id: "more-wishes" }, h("summary", {}, "More wishes"), this.more);

  constructor(private app: App, changed: () => void, submit: () => void, first: HTMLElement | null, private roads: HTMLElement) {
    const about = app.about, exercises = about.exercises.map((e): [string, string] => [e.name, e.title]);
    this.from = placeField("from", "Pick-up", changed);
    this.to = placeField("to", "", changed);
    this.when = new When(changed);
    this.kind = select("kind", about.kinds.map(k => [k.name, k.title]), about.kinds[0].name, () => { this.arrange(); changed(); });
    this.exercise = select("exercise", exercises, exercises[0][0], changed);
    this.second = select("second-exercise", exercises, exercises[1][0], changed);
    this.wishes = new Wishes(about.sightings, about.topics, changed);
    const counts = (from: number, to: number): [string, string][] => [["", "as usual"], ...Array.from({ length: to - from + 1 }, (_, i): [string, string] => [String(from + i), String(from + i)])];
    this.no = select("unsuitable", counts(0, 5), "", changed);
    this.yes = select("suitable", counts(1, 4), "", changed);
    this.mixed = tick("mixed", changed);
    this.driveOut = tick("drive-out", changed);
    this.ice = tick("ice", changed);
    this.nearSide = tick("near-side", changed);
    this.motorways = tick("motorways", changed);
    this.learner = new LearnerFields(about.levels, about.topics, changed);
    this.element = h("form", { id: "wish", onsubmit: (e: Event) => { e.preventDefault(); submit(); } },
      first, this.from.element, under("Kind of lesson", this.kind), this.asked, this.when.element, this.folded,
      h("button", { type: "submit", class: "first", id: "plan" }, "Plan the lesson"));
    this.arrange();
  }

  private kindAsked() { return this.app.about.kinds.find(k => k.name === this.kind.value) ?? this.app.about.kinds[0]; }

  /** arrange shows what this kind of lesson asks, and has the rest under more wishes. */
  private arrange(): void {
    const kind = this.kindAsked();
    if (kind.exercise) this.exercise.querySelector("option[value='']")?.remove();
    else if (this.exercise.options[0].value) { this.exercise.prepend(h("option", { value: "" }, "none in particular")); this.exercise.value = ""; }
    if (!this.exercise.value && kind.exercise) this.exercise.selectedIndex = 0;
    if (kind.second && this.second.value === this.exercise.value) this.second.selectedIndex = (this.exercise.selectedIndex + 1) % this.second.options.length;
    this.to.title(kind.centre ? "Test centre" : "Drop-off, if elsewhere");
    this.when.atTest(kind.centre);
    const exercise = under(kind.second ? "First exercise" : "Exercise", this.exercise);
    const turns = this.app.map.drives_left ? "Left turns only, for first drives" : "Right turns only, for first drives";
    show(this.asked,
      kind.exercise ? exercise : null,
      kind.second ? under("Second exercise", this.second) : null,
      kind.sought ? this.wishes.element : null,
      kind.centre ? this.to.element : null);
    show(this.more,
      kind.centre ? null : this.to.element,
      kind.sought ? null : this.wishes.element,
      this.wishes.manner(),
      this.roads,
      kind.exercise ? null : exercise,
      kind.judged ? group("Roads to judge", h("div", { class: "pair" }, under("that will not do", this.no), under("that would do", this.yes)), h("div", { class: "ticks alone" }, ticked(this.mixed, "In mixed order, and at last the learner chooses"))) : null,
      group("The day and the car", h("div", { class: "ticks alone" },
        kind.drive_out ? ticked(this.driveOut, `I drive out to where we change over${kind.centre ? "" : ", and home"}`) : null,
        ticked(this.nearSide, turns),
        ticked(this.ice, "It may be icy: no steep roads, no country lanes"),
        ticked(this.motorways, "Motorways too: I am an approved instructor, the car has dual controls"))),
      group("The learner", ...this.learner.elements()));
  }

  /** unfold shows what is wished for besides. */
  unfold(): void { this.folded.open = true; }

  practise(exercise: string): void { this.exercise.value = exercise; }

  /** take fills the form from a request. */
  take(r: Asked): void {
    this.kind.value = r.kind ?? this.app.about.kinds[0].name;
    if (!this.kind.value) choose(this.kind, r.kind!, plain(r.kind!)); // one that is not offered
    this.arrange();
    this.from.set(r.from);
    this.to.set(r.to && r.to !== r.from ? r.to : "");
    for (const [field, name] of [[this.exercise, r.exercise], [this.second, r.second_exercise ?? ""]] as const) if ([...field.options].some(o => o.value === name)) field.value = name;
    this.when.take(r.minutes, r.when);
    choose(this.no, r.unsuitable ?? "");
    choose(this.yes, r.suitable ?? "");
    this.mixed.checked = r.mixed_order ?? false;
    this.driveOut.checked = r.drive_out ?? false;
    this.ice.checked = r.ice ?? false;
    this.nearSide.checked = r.near_side_only ?? false;
    this.motorways.checked = (r.approved_instructor && r.dual_controls) ?? false;
    this.wishes.take(r.wishes ?? wishesOf(r));
    this.learner.take(r.learner ?? undefined);
    this.seed = r.seed;
  }

  /** settle finds the places; false where one is not found. */
  async settle(): Promise<boolean> { return await this.from.settle() && await this.to.settle(!this.kindAsked().centre); }

  /** request is what the form asks; what it leaves open is left out. */
  request(): PlanRequest {
    const kind = this.kindAsked(), wishes = this.wishes.all();
    const count = (s: HTMLSelectElement) => s.value === "" ? undefined : Number(s.value);
    const yes = (i: HTMLInputElement) => i.checked || undefined;
    return {
      from: this.from.place(), to: this.to.place(), exercise: this.exercise.value, minutes: this.when.minutes(), when: this.when.start(),
      kind: kind === this.app.about.kinds[0] ? undefined : this.kind.value,
      second_exercise: kind.second ? this.second.value : undefined,
      ...(kind.judged ? { unsuitable: count(this.no), suitable: count(this.yes), mixed_order: yes(this.mixed) } : {}),
      drive_out: kind.drive_out ? yes(this.driveOut) : undefined,
      ice: yes(this.ice), near_side_only: yes(this.nearSide), approved_instructor: yes(this.motorways), dual_controls: yes(this.motorways),
      wishes: wishes.length ? wishes : undefined, learner: this.learner.learner(), seed: this.seed,
    };
  }

  /** takeBest asks for what can be had. */
  takeBest(best: Best): void {
    if (best.found) { this.wishes.seek(best.found); return; }
    choose(this.no, best.unsuitable);
    choose(this.yes, best.suitable);
  }
}
