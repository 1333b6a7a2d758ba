// What was changed of a plan with one click: roads left out, roads kept off, the
// place to practise at, or another plan taken. Each has a way back.

import { post, type Asked, type Found, type PlanRequest } from "./api";
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

  private draw(): void {
    const chips = (words: string, all: Road[], none: string) => all.length === 0 ? null :
      h("p", { class: "left-out" }, words, all.map((r, i) => h("button", { type: "button", class: "chip", "aria-label": `${r.road || none} ↺: take that back`, onclick: () => { all.splice(i, 1); this.draw(); this.changed(); } }, (r.road || none) + " ↺")));
    show(this.element, chips("Left out: ", this.without, "a road"), chips("Kept off: ", this.keepOff, "a road"), chips("Chosen to practise in: ", this.practise, "a place"),
      this.other ? h("p", { class: "left-out" }, h("button", { type: "button", class: "chip", onclick: () => this.takeOther(0, "") }, `Another plan${this.otherRoad && ", in " + this.otherRoad} ↺`, h("span", { class: "hide" }, ": back to the first one"))) : null);
  }
}
