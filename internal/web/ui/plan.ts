// Plan: the form, the drive, and what can be changed with one click.

import { Failed, ask, post, sentence, stopped, type Asked, type Checked, type Feature, type Found, type NamedPlace, type Plan, type PlanRequest, type Point } from "./api";
import { fromQuery, learnerOf, toQuery, wishesOf } from "./address";
import { exerciseOf, recall, remember, type App, type View } from "./app";
import { byId, h, say, show } from "./dom";
import { drive, driveMarks, titleOf } from "./drive";
import { placeField, type PlaceField } from "./place";
import { checked, unmet } from "./unmet";
import { capital, dateAfter, day, letter, placeOf, startFor, today, wall } from "./words";

const LAST = "loopwright.last-plan";

export const planView: View = (app, sheet, at) => new Planner(app, sheet, at).start();

class Planner {
  private from: PlaceField;
  private to: PlaceField;
  private exercise: HTMLSelectElement;
  private minutes: HTMLSelectElement;
  private date: HTMLInputElement;
  private time: HTMLInputElement;
  private backBy: HTMLSelectElement;
  private no: HTMLSelectElement;
  private yes: HTMLSelectElement;
  private learner: HTMLInputElement;
  private level: HTMLSelectElement;
  private untaught: HTMLInputElement[];
  private kind: HTMLSelectElement;
  private wishes: HTMLInputElement;
  private driveOut: HTMLInputElement;
  private mixed: HTMLInputElement;
  private keepOff: { kerb: string; road: string }[] = [];
  private clickedAt = h("div");
  private exerciseRow = h("div");
  private judgeRow = h("fieldset", { class: "pair" });
  private without: { kerb: string; road: string }[] = [];
  private practiseAt = "";
  private plan: Plan | null = null;
  private out = h("section", { id: "drive", "aria-label": "The drive" });
  private leftOut = h("div");
  private checked = h("div", { "aria-live": "polite" });
  private giveUp = new AbortController();
  private timer = 0;
  private box = h("details");
  private more = h("details");
  private wish = h("summary", {}, "The lesson");
  private today: string;

  constructor(private app: App, private sheet: HTMLElement, private at: URL) {
    this.today = today();
    const changed = () => this.changed();
    this.from = placeField("from", "Pick-up", changed);
    this.to = placeField("to", "Drop-off, if elsewhere", changed);
    this.exercise = select("exercise", app.about.exercises.map(e => [e.name, e.title]), app.about.exercises[0].name, changed);
    this.minutes = select("minutes", [["60", "60 minutes"], ["90", "90 minutes"], ["120", "120 minutes"]], "60", changed);
    this.date = h("input", { id: "date", type: "date", value: dateAfter(this.today, 1), onchange: changed });
    this.time = h("input", { id: "time", type: "time", value: "10:00", onchange: changed });
    this.backBy = select("back-by", [["start", "Start at"], ["back", "Back by"]], "start", changed);
    this.learner = h("input", { id: "learner", type: "text", autocomplete: "off", maxlength: 40, onchange: changed });
    this.level = select("level", [["", "not said"], ...app.about.levels.map((l): [string, string] => [l, plain(l)])], "", changed);
    this.untaught = app.about.topics.map(t => h("input", { type: "checkbox", id: "untaught-" + t, value: t, onchange: changed }));
    this.kind = select("kind", app.about.kinds.map(k => [k.name, k.title]), app.about.kinds[0].name, () => { this.showKind(); changed(); });
    this.wishes = h("input", { id: "wishes-said", type: "text", autocomplete: "off", maxlength: 300, "aria-describedby": "wishes-about", onchange: changed });
    this.driveOut = h("input", { id: "drive-out", type: "checkbox", onchange: changed });
    this.mixed = h("input", { id: "mixed", type: "checkbox", onchange: changed });
    const counts = (most: number): [string, string][] => [["", "as usual"], ...Array.from({ length: most }, (_, i): [string, string] => [String(i), String(i)])];
    this.no = select("unsuitable", counts(5), "", changed);
    this.yes = select("suitable", counts(4).filter(([v]) => v !== "0"), "", changed);
  }

  start(): () => void {
    this.draw();
    this.listNames();
    this.app.plate.onClick = p => this.clicked(p);
    this.app.plate.onPoint = id => this.light(id, false);
    const kept = /^\/plan\/([0-9a-f]{16})$/.exec(this.at.pathname);
    const asked = fromQuery(this.at.search);
    if (kept) void this.reopen(kept[1]);
    else if (asked) { this.take(asked); this.box.open = false; void this.replan(true); }
    else {
      const near = this.at.searchParams.get("near"), exercise = this.at.searchParams.get("exercise");
      if (near) this.practiseAt = near;
      if (exercise) this.exercise.value = exercise;
      this.waiting();
    }
    return () => { clearTimeout(this.timer); this.giveUp.abort(); };
  }

  private draw(): void {
    const chip = (words: string, days: number, time?: string) => h("button", { type: "button", class: "chip", onclick: () => { this.date.value = dateAfter(this.today, days); if (time) { this.time.value = time; this.backBy.value = "start"; } this.changed(); } }, words);
    const last = recall(LAST);
    show(this.sheet,
      h("h1", {}, "Plan a lesson"),
      this.box = h("details", { id: "wish-box", open: true }, this.wish, h("form", { id: "wish", onsubmit: (e: Event) => { e.preventDefault(); void this.submit(); } },
        last && fromQuery(last) ? h("p", {}, h("button", { type: "button", id: "last", onclick: () => this.useLast(fromQuery(last)!) }, "Use my last plan, tomorrow")) : null,
        this.from.element,
        h("div", { class: "pair" },
          this.exerciseRow,
          h("div", {}, h("label", { for: "minutes" }, "Lesson"), this.minutes)),
        h("fieldset", {}, h("legend", {}, "When"),
          h("div", { class: "chips" }, chip("Today", 0), chip("Tomorrow", 1), chip("Tonight", 0, "19:00")),
          h("div", { class: "when" },
            h("label", { for: "date", class: "hide" }, "Day"), this.date,
            h("label", { for: "back-by", class: "hide" }, "Start at, or back by"), this.backBy,
            h("label", { for: "time", class: "hide" }, "Time"), this.time)),
        this.more = h("details", { id: "wishes" }, h("summary", {}, "More wishes"),
          this.to.element,
          h("div", { class: "place" }, h("label", { for: "kind" }, "Kind of lesson"), this.kind),
          h("div", { class: "place" }, h("label", { for: "wishes-said" }, "Wishes"), this.wishes,
            h("p", { class: "quiet", id: "wishes-about" }, "As: at least four mini-roundabouts, no dual carriageways, questions only when parked.")),
          this.judgeRow,
          h("div", { class: "pair" },
            h("div", {}, h("label", { for: "learner" }, "Learner's initials"), this.learner),
            h("div", {}, h("label", { for: "level" }, "How far they are"), this.level)),
          h("fieldset", {}, h("legend", {}, "Not taught yet"), h("div", { class: "ticks" }, this.untaught.map(i => h("label", { for: i.id }, i, plain(i.value)))))),
        h("button", { type: "submit", class: "first", id: "plan" }, "Plan the lesson"))),
      this.leftOut, this.clickedAt, this.checked, this.out);
    show(this.judgeRow, h("legend", {}, "Roads to judge"),
      h("div", {}, h("label", { for: "unsuitable" }, "that will not do"), this.no),
      h("div", {}, h("label", { for: "suitable" }, "that would do"), this.yes),
      h("div", { class: "ticks alone" }, h("label", { for: "mixed" }, this.mixed, "In mixed order, not those that will not do first"), h("label", { for: "drive-out" }, this.driveOut, "I drive out to where we change over")));
    show(this.exerciseRow, h("label", { for: "exercise" }, "Exercise"), this.exercise);
    this.showKind();
  }

  private kindAsked() { return this.app.about.kinds.find(k => k.name === this.kind.value) ?? this.app.about.kinds[0]; }

  /** showKind leaves out of the form what this kind of lesson does not ask. */
  private showKind(): void {
    this.judgeRow.hidden = this.exerciseRow.hidden = !this.kindAsked().exercises;
  }

  private waiting(): void {
    this.plan = null;
    show(this.out, this.practiseAt ? h("p", {}, "It will practise at the place that you chose. Say where the lesson starts.") : h("p", { class: "quiet" }, "Click the map where the learner is picked up, or type a road."));
    this.marks();
  }

  private listNames(): void {
    ask<{ names: NamedPlace[] }>("GET", "names").then(a => { this.from.names(a.names); this.to.names(a.names); }).catch(e => say(sentence(e), true));
  }

  private useLast(r: PlanRequest): void {
    this.take({ ...r, when: "", without: [], keep_off: [], practise_at: undefined });
    this.date.value = dateAfter(this.today, 1);
    const time = /[T ](\d\d:\d\d)/.exec(r.when);
    if (time) this.time.value = time[1];
    byId("plan").focus();
  }

  /** take fills the form from a request. */
  private take(r: Asked): void {
    this.from.set(r.from);
    this.to.set(r.to && r.to !== r.from ? r.to : "");
    if (exerciseOf(this.app, r.exercise)) this.exercise.value = r.exercise;
    choose(this.minutes, r.minutes, `${r.minutes} minutes`);
    const when = /^(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d)/.exec(r.when);
    if (when) { this.date.value = when[1]; this.time.value = when[2]; this.backBy.value = "start"; }
    choose(this.no, r.unsuitable ?? "");
    choose(this.yes, r.suitable ?? "");
    this.without = (r.without ?? []).map(kerb => ({ kerb, road: "" }));
    this.practiseAt = r.practise_at ?? "";
    this.keepOff = (r.keep_off ?? []).map(kerb => ({ kerb, road: "" }));
    this.driveOut.checked = r.drive_out ?? false;
    this.mixed.checked = r.mixed_order ?? false;
    this.kind.value = r.kind ?? this.app.about.kinds[0].name;
    if (!this.kind.value) choose(this.kind, r.kind!, plain(r.kind!)); // one that is not offered
    this.wishes.value = (r.wishes ?? wishesOf(r)).join(", ");
    if (this.wishes.value || r.kind) this.more.open = true;
    this.showKind();
    this.learner.value = r.learner?.reference ?? "";
    this.level.value = r.learner?.level ?? "";
    for (const i of this.untaught) i.checked = r.learner?.stages?.[i.value] === "untaught";
  }

  private request(): PlanRequest {
    const minutes = Number(this.minutes.value);
    let date = this.date.value || this.today, time = this.time.value || "10:00";
    if (this.backBy.value === "back") {
      const start = startFor(time, minutes);
      time = start.time;
      if (start.dayBefore) date = dateAfter(date, -1);
    }
    const untaught = this.untaught.filter(i => i.checked).map(i => i.value), reference = this.learner.value.trim();
    const learner = reference || this.level.value || untaught.length ? learnerOf(reference || "learner", this.level.value, untaught) : undefined;
    const count = (s: HTMLSelectElement) => s.value === "" ? null : Number(s.value);
    const wishes = this.wishes.value.split(/[,;]/).map(w => w.trim()).filter(w => w), kind = this.kindAsked();
    const common: PlanRequest = {
      from: this.from.place(), to: this.to.place(), exercise: "", minutes, when: `${date} ${time}`, without: this.without.map(w => w.kerb),
      keep_off: this.keepOff.length ? this.keepOff.map(k => k.kerb) : undefined, wishes: wishes.length ? wishes : undefined, learner,
      kind: kind === this.app.about.kinds[0] ? undefined : this.kind.value,
    };
    return kind.exercises
      ? { ...common, exercise: this.exercise.value, unsuitable: count(this.no), suitable: count(this.yes), practise_at: this.practiseAt || undefined, drive_out: this.driveOut.checked || undefined, mixed_order: this.mixed.checked || undefined }
      : common;
  }

  private changed(): void {
    this.marks();
    if (!this.plan && this.out.dataset.asked !== "yes") return;
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.replan(), 350);
  }

  private async submit(): Promise<void> {
    clearTimeout(this.timer);
    await this.replan();
    if (this.plan) { this.box.open = false; this.sheet.scrollTop = 0; }
  }

  /** replan asks for the plan of the form as it stands. */
  private async replan(replace = false): Promise<void> {
    this.giveUp.abort();
    const mine = this.giveUp = new AbortController();
    this.out.dataset.asked = "yes";
    if (!(await this.from.settle()) || !(await this.to.settle(true))) { this.plan = null; this.box.open = true; show(this.out); return; }
    if (mine.signal.aborted) return;
    const r = this.request();
    this.out.setAttribute("aria-busy", "true");
    say("Planning …");
    try {
      const plan = await post<Plan>("plan", r, mine.signal);
      this.plan = plan;
      const query = toQuery(r);
      this.app.note("/plan?" + query, replace);
      remember(LAST, query);
      this.drawPlan();
      const lw = plan.circuit.loopwright;
      say(`Planned: ${titleOf(this.app, plan)}, ${day(lw.starts_at)}, ${wall(lw.starts_at, 0)}.`);
    } catch (e) {
      if (stopped(e)) return;
      this.plan = null;
      show(this.out, unmet(e, { more: () => { const next = [...this.minutes.options].find(o => Number(o.value) > Number(this.minutes.value)); if (next) { this.minutes.value = next.value; this.changed(); } }, fewer: best => { choose(this.no, best.unsuitable); choose(this.yes, best.suitable); this.changed(); } }));
      say(e instanceof Failed && e.fault.best_possible ? "That can't be had here: the sheet says what can." : sentence(e), true);
      // A refusal stands at the top with its ways out; for all else the form is needed.
      this.box.open = !(e instanceof Failed && e.fault.best_possible);
      this.sayWish();
      this.sheet.scrollTop = 0;
      this.marks();
    } finally {
      if (this.giveUp === mine) this.out.removeAttribute("aria-busy");
    }
    this.drawLeftOut();
  }

  private async reopen(id: string): Promise<void> {
    try {
      this.plan = await ask<Plan>("GET", "plans/" + id);
      this.take({ ...this.plan.circuit.loopwright.request, learner: this.plan.circuit.loopwright.learner });
      this.box.open = false;
      await Promise.all([this.from.settle(), this.to.settle(true)]);
      this.drawPlan();
      this.drawLeftOut();
      await this.check(id);
    } catch (e) {
      if (stopped(e)) return;
      show(this.out, h("p", { class: "trouble" }, sentence(e)));
    }
  }

  /** check reads a plan that was kept or received against this map and the notes of now. */
  private async check(id: string): Promise<void> {
    show(this.checked, checked(await post<Checked>("check", { id }, this.giveUp.signal)));
  }

  private sayWish(): void {
    this.wish.textContent = `Change: ${this.minutes.value} minutes, from ${this.from.found()?.road ?? this.from.place()}`;
  }

  private drawPlan(): void {
    show(this.checked);
    const p = this.plan!;
    this.sayWish();
    show(this.out, drive(this.app, p, {
      without: f => this.leaveOut(f),
      practise: f => this.practise(f),
      light: id => this.light(id, true),
      keep: () => this.keep(),
      others: out => this.others(out),
    }));
    this.marks();
    const points: Point[] = p.circuit.features.filter(f => f.properties.role === "leg").flatMap(f => f.geometry.coordinates as Point[]);
    if (points.length) this.app.plate.fit(points);
  }

  private async keep(): Promise<void> {
    try {
      await post("plans", { id: this.plan!.id });
      this.plan!.kept = true;
      this.app.note("/plan/" + this.plan!.id);
      say("Kept. It is listed under More.");
      byId("keep").textContent = "Kept";
    } catch (e) { say(sentence(e), true); }
  }

  private leaveOut(f: Feature): void {
    this.without.push({ kerb: placeOf(f), road: f.properties.road ?? "" });
    this.drawLeftOut();
    void this.replan();
  }

  private practise(f: Feature): void {
    this.practiseAt = f.properties.kerb ?? "";
    void this.replan();
  }

  private drawLeftOut(): void {
    const chips = (words: string, all: { kerb: string; road: string }[]) => all.length === 0 ? null :
      h("p", { class: "left-out" }, words, all.map((w, i) => h("button", { type: "button", class: "chip", "aria-label": `${w.road || "a road"} ↺: put it back`, onclick: () => { all.splice(i, 1); this.drawLeftOut(); void this.replan(); } }, (w.road || "a road") + " ↺")));
    show(this.leftOut, chips("Left out: ", this.without), chips("Kept off: ", this.keepOff));
  }

  /** others asks for plans with other practice places. */
  private async others(out: HTMLElement): Promise<void> {
    show(out, h("p", {}, "Looking …"));
    const rows: HTMLElement[] = [];
    const shunned = this.without.map(w => w.kerb);
    let last: Plan = this.plan!;
    for (let i = 0; i < 2; i++) {
      const place = last.circuit.features.find(f => f.properties.role === "practice")!;
      shunned.push(place.properties.kerb!);
      try {
        last = await post<Plan>("plan", { ...this.request(), practise_at: undefined, without: [...shunned] }, this.giveUp.signal);
      } catch (e) {
        if (stopped(e)) return;
        break; // no further place to practise
      }
      const other = last, at = other.circuit.features.find(f => f.properties.role === "practice")!;
      const roads = other.circuit.features.filter(f => f.properties.role === "example").map(f => f.properties.road).join(", ");
      rows.push(h("li", {}, h("button", { type: "button", class: "row", onclick: () => { this.without = other.circuit.loopwright.request.without!.map(kerb => this.without.find(w => w.kerb === kerb) ?? { kerb, road: "" }); this.practiseAt = ""; void this.replan(); } }, h("span", {}, h("strong", {}, "Practise in " + at.properties.road), h("br"), `past ${roads}; ${Math.round(other.circuit.loopwright.drive_s / 60)} minutes of driving`))));
    }
    show(out, rows.length ? h("ul", { class: "plain" }, rows) : h("p", {}, "There is no other place to practise within this lesson."));
  }

  private clicked(p: Point): void {
    const words = `${p[1].toFixed(6)},${p[0].toFixed(6)}`;
    const field = this.to.wanted() ? this.to : this.from.wanted() || !this.from.place() ? this.from : null;
    if (field) void field.choose(words).then(() => this.changed());
    else void this.offer(words);
  }

  /** offer says what can be done with a road that was clicked. */
  private async offer(words: string): Promise<void> {
    let at: Found;
    try {
      at = await post<Found>("find", { place: words }, this.giveUp.signal);
    } catch (e) {
      if (!stopped(e)) say(sentence(e), true);
      return;
    }
    const close = () => show(this.clickedAt);
    const button = (title: string, act: () => void) => h("button", { type: "button", class: "small", onclick: () => { close(); act(); } }, title);
    show(this.clickedAt, h("section", { class: "lookfor clicked", "aria-label": "The road clicked" }, h("p", {}, h("strong", {}, capital(at.road))), h("p", { class: "with" },
      button("Keep off this stretch today", () => { this.keepOff.push({ kerb: at.kerb, road: at.road }); this.drawLeftOut(); void this.replan(); }),
      button("Pick up here", () => void this.from.choose(at.kerb).then(() => this.changed())),
      button("Drop off here", () => { this.more.open = true; void this.to.choose(at.kerb).then(() => this.changed()); }),
      button("Close", () => {}))));
    this.clickedAt.querySelector("button")?.focus();
  }

  private marks(): void {
    const at = (f: Found | null, look: "start" | "finish") => f ? [{ id: look, at: f.at, look, headingDeg: f.faces_deg, words: f.words }] : [];
    const own = [...at(this.from.found(), "start"), ...at(this.to.found(), "finish")];
    if (!this.plan) { this.app.plate.put(own); return; }
    const of = driveMarks(this.plan.circuit, { without: f => this.leaveOut(f), practise: f => this.practise(f) });
    this.app.plate.put([...of.filter(m => !own.some(o => o.id === m.id)), ...own]);
  }

  private light(id: string, fromSheet: boolean): void {
    this.app.plate.light(id);
    this.out.querySelectorAll<HTMLElement>("[data-mark]").forEach(e => e.classList.toggle("lit", id !== "" && e.dataset.mark === id));
    if (fromSheet && id) {
      const f = this.plan?.circuit.features.find(f => f.properties.role === "example" && "judge-" + letter(f.properties.order ?? 0) === id);
      if (f) this.app.plate.see((f.geometry.coordinates as Point[])[0]);
    }
  }
}

function select(id: string, options: [string, string][], value: string, onchange: () => void): HTMLSelectElement {
  return h("select", { id, onchange }, options.map(([v, words]) => h("option", { value: v, selected: v === value }, words)));
}

/** choose chooses a value, one that was not offered too. */
function choose(s: HTMLSelectElement, value: number | string, words = String(value)): void {
  if (![...s.options].some(o => o.value === String(value))) s.append(h("option", { value }, words));
  s.value = String(value);
}

/** plain writes a name of a table as words: "dual carriageways". */
const plain = (name: string): string => name.replaceAll("-", " ");
