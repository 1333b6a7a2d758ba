import assert from "node:assert/strict";
import { test } from "node:test";
import { fromQuery, toQuery, wishesOf } from "./address";
import type { Circuit, Feature } from "./api";
import { heightWords } from "./heights";
import { differences, placesIn } from "./others";
import { capital, dateAfter, day, letter, of, placeOf, reasonOf, startFor, wall } from "./words";

test("the clock is the place's own, whatever zone this machine is in", () => {
  assert.equal(wall("2027-03-04T10:00:00Z", 0), "10:00");
  assert.equal(wall("2027-07-04T10:00:00+01:00", 61.9), "10:01");
  assert.equal(wall("2027-07-04T23:50:30-05:00", 600), "00:00");
  assert.equal(wall("no time", 0), "");
});

test("days", () => {
  assert.equal(day("2027-03-04T10:00:00Z"), "Thursday 4 March"); // a Thursday by ISO 8601's calendar
  assert.equal(dateAfter("2028-02-28", 1), "2028-02-29"); // a leap year
  assert.equal(dateAfter("2027-12-31", 1), "2028-01-01");
  assert.equal(dateAfter("2027-03-01", -1), "2027-02-28");
});

test("back by a time is a start before it, perhaps the day before", () => {
  assert.deepEqual(startFor("11:30", 90), { time: "10:00", dayBefore: false });
  assert.deepEqual(startFor("00:30", 60), { time: "23:30", dayBefore: true });
});

test("a request survives its address", () => {
  for (const r of [
    { from: "w145+766r", to: "", exercise: "turn-in-the-road", minutes: 60, when: "2027-03-04 10:00" },
    { from: "Mill Lane & High Street", to: "ZZ1 2AB", exercise: "hill-start", minutes: 90, when: "2027-03-04 10:00", unsuitable: 0, suitable: 2, seed: 7, alternatives: 2, practise_at: "w1+2l", without: ["w3+4r", "52.1,-0.7"] },
    { from: "a", to: "", exercise: "hill-start", minutes: 60, when: "2027-03-04 10:00", learner: { reference: "AB", level: "early", stages: { roundabouts: "untaught", crossroads: "talked through" }, covered: ["moving off, stopping"], next: ["turning"], watch_for: ["mirrors", "speed: low"], needs: ["calm"] } },
    { from: "a", to: "", exercise: "", minutes: 60, when: "2027-03-04 10:00", kind: "junctions", wishes: ["at least four crossroads", "no dual carriageways"], keep_off: ["w5+6l"] },
    { from: "a", to: "", exercise: "hill-start", minutes: 60, when: "2027-03-04 10:00", kind: "two-exercises", second_exercise: "parallel-park" },
    { from: "a", to: "", exercise: "hill-start", minutes: 60, when: "2027-03-04 10:00", mixed_order: true, drive_out: true, ice: true, near_side_only: true, approved_instructor: true, dual_controls: true },
  ]) assert.deepEqual(fromQuery(toQuery(r)), r);
});

test("wishes as one would type them", () => {
  const asked = { from: "a", to: "a", exercise: "", minutes: 60, when: "" };
  assert.deepEqual(wishesOf(asked), []);
  assert.deepEqual(wishesOf({ ...asked, seek: [{ topic: "mini-roundabouts", at_least: 4 }, { topic: "crossings", at_least: 1 }], avoid: ["dual-carriageways"], my_side: true, questions_when_parked: true }),
    ["at least 4 mini roundabouts", "crossings", "no dual carriageways", "my side and your side", "questions only when parked"]);
});

test("what another plan has otherwise", () => {
  const circuit = (drive_s: number, goes: number, ...roads: string[]) => ({ loopwright: { drive_s, request: { seek: [{ topic: "mini-roundabouts", at_least: 1 }] } }, features: [
    ...Array.from({ length: goes }, () => ({ properties: { role: "event", topic: "mini-roundabouts" } })),
    { properties: { role: "practice", road: "Mill Lane", goes } }, ...roads.map((road, i) => ({ properties: { role: "example", order: i + 1, road } })),
  ] }) as unknown as Circuit;
  const shown = circuit(1200, 4, "A", "B", "C");
  assert.deepEqual(differences(shown, shown), ["the same roads to judge"]);
  assert.deepEqual(differences(shown, circuit(1400, 3, "A", "D", "E")), ["judges D and E in place of B and C", "mini roundabouts: 3 in place of 4", "3 minutes more driving", "1 go fewer"]);
  assert.deepEqual(differences(shown, circuit(1140, 6, "A", "B", "C", "D")), ["judges D too", "mini roundabouts: 6 in place of 4", "1 minute less driving", "2 goes more"]);
  assert.deepEqual(differences(shown, circuit(1200, 4, "A")), ["does not judge B and C"]);
  assert.deepEqual(differences(circuit(0, 1), circuit(0, 1)), []);
  assert.equal(placesIn(shown), "Mill Lane");
});

test("what is no request is none", () => {
  assert.equal(fromQuery(""), null);
  assert.equal(fromQuery("from=Mill+Lane"), null);
  assert.equal(fromQuery("from=a&exercise=b&minutes=x&unsuitable=")?.minutes, 60);
  assert.equal(fromQuery("from=a&exercise=b&unsuitable=")?.unsuitable, undefined);
});

test("a road to judge in a few words", () => {
  const exercise = { name: "e", title: "E", reasons: { bend: "bend" } };
  const verdicts = { unknown: "u", unsuitable: "n", possible: "p", likely: "Looks right", suitable: "Suitable" };
  const road = (properties: object) => ({ geometry: { type: "Point", coordinates: [0, 0] }, properties: { role: "example", ...properties } }) as Feature;
  assert.equal(reasonOf(road({ verdict: "unsuitable", reason: "bend" }), exercise, verdicts), "Will not do: bend");
  assert.equal(reasonOf(road({ verdict: "unsuitable", reason: "new" }), exercise, verdicts), "Will not do: new");
  assert.equal(reasonOf(road({ verdict: "likely", reason: "suits" }), exercise, verdicts), "Looks right");
});

test("features of a role stand in their order", () => {
  const c = { features: [{ properties: { role: "step", order: 2 } }, { properties: { role: "leg", order: 1 } }, { properties: { role: "step", order: 1 } }] } as unknown as Circuit;
  assert.deepEqual(of(c, "step").map(f => f.properties.order), [1, 2]);
  assert.equal(letter(3), "C");
});

test("a place has a name", () => {
  const at = (properties: object, coordinates: unknown) => placeOf({ geometry: { type: "LineString", coordinates }, properties: { role: "example", ...properties } } as unknown as Feature);
  assert.equal(at({ kerb: "w1+2l" }, []), "w1+2l");
  assert.equal(at({}, [[-7.2, 47], [-7.1, 47.1]]), "47.050000,-7.150000");
});

test("heights in words", () => {
  assert.match(heightWords([{ along_m: 0, height_m: 10 }, { along_m: 100, height_m: 13.4 }]), /^Over 100 m the road rises 3 m/);
  assert.match(heightWords([{ along_m: 0, height_m: 10 }, { along_m: 50, height_m: 4 }, { along_m: 100, height_m: 10.2 }]), /ends about as high as it began; .* 6 m/);
});

test("a sentence begins with a capital, a file's name stays", () => {
  assert.equal(capital("no road is near"), "No road is near");
  assert.equal(capital("from-cd.geojson: feature 1: it has no format"), "from-cd.geojson: feature 1: it has no format");
});
