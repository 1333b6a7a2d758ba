import assert from "node:assert/strict";
import { test } from "node:test";
import { titleOf } from "./reversed";
import { Drafts, pacesOf, questions, saidOf, widthOf } from "./seen";

test("a width as one writes it", () => {
  assert.equal(widthOf(" 5,4 ", null), 5.4);
  assert.equal(widthOf("7", 0.75), 5.25);
  assert.equal(widthOf("", 0.75), 0); // not seen
  for (const text of ["wide", "-3", "0", "0.4", "500", "5.4 m"]) assert.equal(widthOf(text, null), null);
  assert.equal(pacesOf(5.25, 0.75), 7);
  assert.equal(pacesOf(5.5, 0.75), 7.5);
});

test("what was seen, in a few words", () => {
  assert.equal(saidOf({}), "");
  assert.equal(saidOf({ width_m: 5.4, parked: "one side", view: "clear", traffic: "some", would_do: "no" }), "5.4 m, cars on one side, view clear, some traffic, would not do");
});

test("each answer has a key of its own", () => {
  for (const q of questions) assert.equal(new Set(q.options.map(([value]) => value[0])).size, q.options.length, q.title);
});

test("a draft outlasts the page, and what was changed meanwhile is sent again", () => {
  const kept = new Map<string, string>();
  Object.assign(globalThis, { localStorage: { getItem: (k: string) => kept.get(k) ?? null, setItem: (k: string, v: string) => kept.set(k, v) } });
  const drafts = new Drafts("a");
  drafts.put(3, { parked: "few" });
  assert.deepEqual(new Drafts("a").get(3), { parked: "few" });
  assert.deepEqual(new Drafts("b").roads(), []);
  drafts.put(3, { parked: "none" });
  drafts.sent(3, { parked: "few" });
  assert.deepEqual(new Drafts("a").roads(), [3]);
  drafts.sent(3, { parked: "none" });
  assert.deepEqual(new Drafts("a").roads(), []);
});

test("what changed stands under one heading", () => {
  for (const [before, after, title] of [["possible", "likely", "Would do now"], ["unsuitable", "suitable", "Would do now"], ["likely", "suitable", "Sure now"], ["likely", "possible", "Less sure now"], ["suitable", "likely", "Less sure now"], ["likely", "unsuitable", "Will not do"], ["possible", "unsuitable", "Will not do"], ["unsuitable", "possible", "Also judged otherwise"], ["possible", "unknown", "Also judged otherwise"]] as const)
    assert.equal(titleOf({ before, after }), title, before + " to " + after);
});
