// What was changed of a plan with one click: roads left out, roads kept off, the
// place to practise at, or another plan taken. Each has a way back.

import { Failed, post, sentence, type Asked, type Choice, type Found, type PlanRequest } from "./api";
import { h, show } from "./dom";

interface Road { kerb: string; road: string }

export class Changes {
  element = h("div");
  private without: Road[] = [];
  private keepOff: Road[] = [];
  private practise: Road[] = []; // one at the most
  private other = 0; // which of the alternatives was taken; 0: none
  private otherRoad = "";

  constructor(private changed: () => void) {}

  leaveOut(kerb: string, road: string): void {
    this.practise = this.practise.filter(p => p.kerb !== kerb && (p.road !== road || !road));
    this.add(this.without, { kerb, road });
  }
  stayOff(kerb: string, road: string): void { this.add(this.keepOff, { kerb, road }); }
  practiseAt(kerb: string, road: string): void { this.practise = []; this.add(this.practise, { kerb, road }); }

  /** takeOther takes one of the alternatives, the first is 1; or with 0 the best plan again. */
  takeOther(which: number, road: string): void {
    this.practise = [];
    this.drop();
    this.other = which;
    this.otherRoad = road;
    this.draw();
    this.changed();
  }

  /** otherTaken says which of the alternatives was taken; 0: none. */
  otherTaken(): number { return this.other; }

  /** keepPlace keeps to the place of the alternative that was taken when more is changed: which alternative it then would be nobody knows. */
  keepPlace(kerb: string, road: string): void {
    if (!this.other) return;
    this.drop();
    this.practise = [{ kerb, road }];
    this.draw();
  }

  /** drop goes back from an alternative to the best plan. */
  drop(): void {
    this.other = 0;
    this.draw();
  }

  private add(to: Road[], r: Road): void {
    to.push(r);
    this.draw();
    this.changed();
  }

  take(r: Pick<Asked, "without" | "keep_off" | "practise_at" | "alternatives">): void {
    const roads = (kerbs: string[] = []) => kerbs.map(kerb => ({ kerb, road: "" }));
    this.without = roads(r.without);
    this.keepOff = roads(r.keep_off);
    this.practise = roads(r.practise_at ? [r.practise_at] : []);
    this.other = r.alternatives ?? 0;
    this.otherRoad = "";
    this.draw();
    for (const road of [...this.without, ...this.keepOff, ...this.practise]) void this.name(road);
  }

  /** name finds what a road is called; one that this map does not have stays without a name. */
  private async name(road: Road): Promise<void> {
    try {
      road.road = (await post<Found>("find", { place: road.kerb })).road;
      this.draw();
    } catch { /* the plan says what is wrong with it */ }
  }

  /** on lays the changes over a request. */
  on(r: PlanRequest): PlanRequest {
    const kerbs = (all: Road[]) => all.length ? all.map(w => w.kerb) : undefined;
    return { ...r, without: kerbs(this.without), keep_off: kerbs(this.keepOff), practise_at: this.practise[0]?.kerb, alternatives: this.other || undefined };
  }

  /** field takes a road by its name: closed, or not to be judged or practised in. */
  field(): HTMLElement {
    const road = h("input", { id: "road", type: "text", autocomplete: "off", spellcheck: "false" }), about = h("div", { class: "about" });
    const find = async (name: string, act: (kerb: string, road: string) => void) => {
      try {
        const f = await post<Found>("find", { place: name });
        // A road by its name is the whole of it, anything else a stretch.
        act(name.toLowerCase().startsWith(f.road.toLowerCase()) ? name : f.kerb, f.road);
        road.value = "";
        show(about);
      } catch (e) {
        const several = e instanceof Failed && Array.isArray(e.fault.best_possible) ? (e.fault.best_possible as Choice[]) : [];
        show(about, several.length === 0 ? h("p", { class: "trouble" }, sentence(e)) :
          [h("p", {}, "Which one?"), h("ul", { class: "plain choice" }, several.map(c => h("li", {}, h("button", { type: "button", class: "row", onclick: () => void find(c.place, act) }, c.name))))]);
      }
    };
    const button = (title: string, act: (kerb: string, road: string) => void) =>
      h("button", { type: "button", onclick: () => { if (road.value.trim()) void find(road.value.trim(), act); else road.focus(); } }, title);
    return h("div", { class: "place" }, h("label", { for: "road" }, "A road that is closed, or that you would leave out"), road,
      h("div", { class: "with" }, button("Keep off it", (k, r) => this.stayOff(k, r)), button("Leave it out", (k, r) => this.leaveOut(k, r))), about,
      h("p", { class: "quiet" }, "A road that is left out may be driven along, but is neither judged nor practised in."));
  }

  private draw(): void {
    const chips = (words: string, all: Road[], none: string) => {
      // The stretches of one road have one chip.
      const roads = [...new Set(all.map(r => r.road || none))];
      return roads.length === 0 ? null : h("p", { class: "left-out" }, words, roads.map(road => h("button", { type: "button", class: "chip", onclick: () => {
        all.splice(0, all.length, ...all.filter(r => (r.road || none) !== road));
        this.draw();
        this.changed();
      } }, `${road} ↺`, h("span", { class: "hide" }, ": take that back"))));
    };
    show(this.element, chips("Left out: ", this.without, "a road"), chips("Kept off: ", this.keepOff, "a road"), chips("Chosen to practise in: ", this.practise, "a place"),
      this.other ? h("p", { class: "left-out" }, h("button", { type: "button", class: "chip", onclick: () => this.takeOther(0, "") }, `Another plan${this.otherRoad && ", in " + this.otherRoad} ↺`, h("span", { class: "hide" }, ": back to the first one"))) : null);
  }
}
