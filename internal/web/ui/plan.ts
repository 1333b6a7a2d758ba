// Plan: the form, the drive, and what can be changed with one click.

import { Failed, ask, post, sentence, stopped, type Checked, type Found, type NamedPlace, type Plan, type PlanRequest, type Point } from "./api";
import { fromQuery, toQuery } from "./address";
import { exerciseOf, recall, remember, type App, type View } from "./app";
import { Changes } from "./changes";
import { byId, h, hear, say, show } from "./dom";
import { drive, titleOf, type Ways } from "./drive";
import { driveMarks } from "./drivemarks";
import { LessonForm } from "./lesson";
import { others } from "./others";
import { checked, unmet } from "./unmet";
import { capital, day, letter, placeOf, wall } from "./words";

const LAST = "loopwright.last-plan";

/** offered is how many plans beside the one shown are looked for. */
const offered = 3;

export const planView: View = (app, sheet, at) => new Planner(app, sheet, at).start();

class Planner {
  private form: LessonForm;
  private changes = new Changes(() => void this.replan());
  private plan: Plan | null = null;
  private asked = false; // a plan was asked for: it changes as the form does
  private out = h("section", { id: "drive", "aria-label": "The drive" });
  private clickedAt = h("div");
  private checked = h("div", { "aria-live": "polite" });
  private giveUp = new AbortController();
  private timer = 0;
  private wish = h("summary", { hidden: true }); // what was asked for, once something was
  private box: HTMLDetailsElement;

  constructor(private app: App, private sheet: HTMLElement, private at: URL) {
    const last = fromQuery(recall(LAST) ?? "");
    this.form = new LessonForm(app, () => this.changed(), () => void this.submit(),
      last && h("p", {}, h("button", { type: "button", id: "last", onclick: () => this.useLast(last) }, "Use my last plan, tomorrow")), this.changes.field());
    this.box = h("details", { id: "wish-box", open: true }, this.wish, this.form.element);
  }

  start(): () => void {
    show(this.sheet, h("h1", {}, "Plan a lesson"), this.box, this.changes.element, this.clickedAt, this.checked, this.out);
    ask<{ names: NamedPlace[] }>("GET", "names").then(a => { this.form.from.names(a.names); this.form.to.names(a.names); }).catch(e => say(sentence(e), true));
    this.app.plate.onClick = p => this.clicked(p);
    this.app.plate.onPoint = id => this.light(id, false);
    const kept = /^\/plan\/([0-9a-f]{16})$/.exec(this.at.pathname);
    const asked = fromQuery(this.at.search);
    if (kept) void this.reopen(kept[1]);
    else if (asked) { this.take(asked); this.box.open = false; void this.replan(true); }
    else this.wait();
    return () => { clearTimeout(this.timer); this.giveUp.abort(); };
  }

  /** wait asks for what is needed before there is anything to plan. */
  private wait(): void {
    const near = this.at.searchParams.get("near"), exercise = this.at.searchParams.get("exercise");
    if (near) this.changes.take({ practise_at: near });
    if (exercise && exerciseOf(this.app, exercise)) this.form.practise(exercise);
    this.marks();
  }

  private useLast(r: PlanRequest): void {
    this.take({ ...r, without: [], keep_off: [], practise_at: undefined, alternatives: undefined });
    this.form.when.onDay(1);
    byId("plan").focus();
  }

  private take(r: PlanRequest): void {
    this.form.take(r);
    this.changes.take(r);
  }

  private changed(): void {
    this.marks();
    const from = this.form.from.found();
    if (from) this.app.plate.see(from.at);
    if (!this.asked) return;
    this.keepPlace();
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.replan(), 350);
  }

  private async submit(): Promise<void> {
    clearTimeout(this.timer);
    await this.replan();
    if (this.plan) { this.box.open = false; this.sheet.scrollTop = 0; }
  }

  private request(): PlanRequest { return this.changes.on(this.form.request()); }

  /** replan asks for the plan of the form as it stands. */
  private async replan(replace = false): Promise<void> {
    this.giveUp.abort();
    const mine = this.giveUp = new AbortController();
    this.asked = true;
    if (!(await this.form.settle())) { this.plan = null; this.box.open = true; show(this.out); return; }
    if (mine.signal.aborted) return;
    const r = this.request();
    this.out.setAttribute("aria-busy", "true");
    if (!this.plan) show(this.out, h("p", {}, "Planning …"));
    hear("Planning …");
    try {
      const best = await post<Plan>("plan", r, mine.signal), which = this.changes.otherTaken();
      this.plan = which ? best.others?.[which - 1] ?? best : best;
      if (which && this.plan === best) { this.changes.drop(); say("The plan that was chosen can't be had any longer. This is the best one now."); }
      const query = toQuery(r);
      this.app.note("/plan?" + query, replace);
      remember(LAST, query);
      this.drawPlan();
      const lw = this.plan.circuit.loopwright;
      hear(`Planned: ${titleOf(this.app, this.plan.circuit)}, ${day(lw.starts_at)}, ${wall(lw.starts_at, 0)}.`);
    } catch (e) {
      if (stopped(e)) return;
      this.refused(e);
    } finally {
      if (this.giveUp === mine) this.out.removeAttribute("aria-busy");
    }
  }

  /** refused says what can't be had, with its ways out; what is wrong with the form, below it; or that nobody answered, and leaves what there is. */
  private refused(e: unknown): void {
    const kind = e instanceof Failed ? e.fault.kind : "", answered = e instanceof Failed && !!e.fault.best_possible;
    if (this.plan && ["gone", "busy", "stopped"].includes(kind)) {
      show(this.checked, h("div", { class: "trouble", role: "alert" }, h("p", {}, sentence(e)), h("p", {}, "Below is the plan from before.")));
      this.checked.scrollIntoView({ block: "nearest" });
      return;
    }
    this.plan = null;
    show(this.checked);
    show(this.out, unmet(e, {
      more: () => this.form.when.longer(),
      take: best => { this.form.takeBest(best); this.changed(); },
    }));
    this.box.open = !answered;
    this.sayWish();
    this.out.scrollIntoView({ block: "nearest" });
    this.marks();
  }

  private async reopen(id: string): Promise<void> {
    try {
      this.plan = await ask<Plan>("GET", "plans/" + id);
      if (this.plan.circuit.loopwright.request.kind === "survey") { this.app.go("/survey/" + id, true); return; } // it has a view of its own
      this.asked = true;
      this.take({ ...this.plan.circuit.loopwright.request, learner: this.plan.circuit.loopwright.learner });
      this.box.open = false;
      await this.form.settle();
      this.drawPlan();
      // What was kept or received is read against this map and the notes of now.
      show(this.checked, checked(await post<Checked>("check", { id }, this.giveUp.signal)));
    } catch (e) {
      if (stopped(e)) return;
      show(this.out, h("p", { class: "trouble" }, sentence(e)));
    }
  }

  private sayWish(): void {
    this.wish.hidden = false;
    this.wish.textContent = `Change: ${this.form.when.minutes()} minutes, from ${this.form.from.found()?.road ?? this.form.from.place()}`;
  }

  private ways(): Ways {
    return {
      without: f => {
        if (f.properties.role === "practice") this.changes.drop();
        else this.keepPlace();
        this.changes.leaveOut(placeOf(f), f.properties.road ?? "");
      },
      practise: this.plan!.circuit.loopwright.request.second_exercise ? null : f => {
        this.changes.drop();
        this.changes.practiseAt(f.properties.kerb!, f.properties.road ?? "");
      },
      light: id => this.light(id, true),
      keep: () => void this.keep(),
      others: out => void this.others(out),
    };
  }

  private drawPlan(): void {
    const p = this.plan!;
    show(this.checked);
    this.sayWish();
    show(this.out, drive(this.app, p, this.ways()));
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

  /** others offers plans that practise elsewhere: the best one too, where another is shown. */
  private async others(out: HTMLElement): Promise<void> {
    show(out, h("p", {}, "Looking …"));
    try {
      const best = await post<Plan>("plan", { ...this.request(), practise_at: undefined, alternatives: offered }, this.giveUp.signal);
      show(out, others(this.plan!, [best, ...best.others ?? []], (which, road) => this.changes.takeOther(which, road)));
      out.scrollIntoView({ block: "nearest" });
    } catch (e) {
      if (!stopped(e)) show(out, h("p", { class: "trouble" }, sentence(e)));
    }
  }

  /** keepPlace comes before a change to an alternative: it still practises where it does. */
  private keepPlace(): void {
    const p = this.plan?.circuit.features.find(f => f.properties.role === "practice")?.properties;
    if (p?.kerb && !this.plan!.circuit.loopwright.request.second_exercise) this.changes.keepPlace(p.kerb, p.road ?? "");
    else this.changes.drop();
  }

  private clicked(p: Point): void {
    const words = `${p[1].toFixed(6)},${p[0].toFixed(6)}`, { from, to } = this.form;
    const field = to.wanted() ? to : from.wanted() || !from.place() ? from : null;
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
    const button = (title: string, act: () => void) => h("button", { type: "button", class: "small", onclick: () => { show(this.clickedAt); act(); } }, title);
    show(this.clickedAt, h("section", { class: "lookfor clicked", "aria-label": "The road clicked" }, h("p", {}, h("strong", {}, capital(at.road))), h("p", { class: "with" },
      button("Keep off this stretch today", () => { this.keepPlace(); this.changes.stayOff(at.kerb, at.road); }),
      button("Pick up here", () => void this.form.from.choose(at.kerb).then(() => this.changed())),
      button("Drop off here", () => { this.form.unfold(); void this.form.to.choose(at.kerb).then(() => this.changed()); }),
      button("Close", () => {}))));
    this.clickedAt.querySelector("button")?.focus();
  }

  private marks(): void {
    const at = (f: Found | null, look: "start" | "finish") => f ? [{ id: look, at: f.at, look, headingDeg: f.faces_deg, words: f.words }] : [];
    const own = [...at(this.form.from.found(), "start"), ...at(this.form.to.found(), "finish")];
    const driven = this.plan ? driveMarks(this.plan.circuit, this.ways()) : [];
    this.app.plate.put([...driven.filter(m => !own.some(o => o.id === m.id)), ...own]);
  }

  private light(id: string, fromSheet: boolean): void {
    this.app.plate.light(id);
    this.out.querySelectorAll<HTMLElement>("[data-mark]").forEach(e => e.classList.toggle("lit", id !== "" && e.dataset.mark === id));
    if (!fromSheet || !id) return;
    const f = this.plan?.circuit.features.find(f => f.properties.role === "example" && "judge-" + letter(f.properties.order ?? 0) === id);
    if (f) this.app.plate.see((f.geometry.coordinates as Point[])[0]);
  }
}
