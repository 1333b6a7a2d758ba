// The drive on the map. A click on a road to judge leaves it out, one on a second
// place practises there.

import type { Circuit, Feature, Point } from "./api";
import type { Mark } from "./drawing";
import { capital, letter, of } from "./words";

interface Clicks { without: ((f: Feature) => void) | null; practise: ((f: Feature) => void) | null }

/** idOf is the name of a feature's mark. */
export function idOf(f: Feature): string {
  const p = f.properties;
  switch (p.role) {
    case "example": return "judge-" + letter(p.order ?? 0);
    case "event": return "event-" + p.order;
    case "pull-up": case "backup": case "second-backup": return `${p.role}-${p.kerb}`;
    default: return p.role;
  }
}

export function driveMarks(c: Circuit, clicks: Clicks): Mark[] {
  const out: Mark[] = [];
  of(c, "leg").forEach((f, i) => out.push({ id: "leg-" + i, line: f.geometry.coordinates as Point[], look: "leg" }));
  for (const f of of(c, "example")) {
    const line = f.geometry.coordinates as Point[], look = f.properties.verdict === "unsuitable" ? "judge-no" as const : "judge-yes" as const, id = idOf(f);
    const words = f.properties.road + (clicks.without ? ": click for another road instead" : ""), onClick = clicks.without ? () => clicks.without!(f) : undefined;
    out.push({ id: id + "-line", line, look, words, onClick }, { id, at: line[Math.floor(line.length / 2)], look, letter: letter(f.properties.order ?? 0), words, onClick });
  }
  for (const f of of(c, "event")) out.push({ id: idOf(f), at: f.geometry.coordinates as Point, look: "event", words: capital((f.properties.topic ?? "").replaceAll("-", " ")) });
  for (const f of of(c, "pull-up")) out.push({ id: idOf(f), at: f.geometry.coordinates as Point, look: "stop", words: `Pull up in ${f.properties.road}: ${f.properties.what}` });
  const place = (f: Feature, look: "practice" | "backup", letter: string, words: string, onClick?: () => void) => {
    if (f.properties.window) out.push({ id: idOf(f) + "-line", line: f.properties.window, look });
    out.push({ id: idOf(f), at: f.geometry.coordinates as Point, look, letter, words, onClick });
  };
  for (const role of ["backup", "second-backup"]) of(c, role).forEach((f, i) => place(f, "backup", String(i + 1),
    f.properties.road + (clicks.practise ? ": click to practise here instead" : ""), clicks.practise ? () => clicks.practise!(f) : undefined));
  const twice = of(c, "second-practice").length > 0;
  for (const role of ["second-practice", "practice"]) for (const f of of(c, role)) place(f, "practice", twice ? role === "practice" ? "1st" : "2nd" : "", `Practise in ${f.properties.road}`);
  for (const role of ["start", "finish"] as const) for (const f of of(c, role)) out.push({ id: role, at: f.geometry.coordinates as Point, look: role, headingDeg: f.properties.faces_deg, words: f.properties.road });
  return out;
}
