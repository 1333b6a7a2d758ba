// How roads, their names and marks are drawn on the map.

import type { FeatureLike } from "ol/Feature";
import { Circle, Fill, Icon, RegularShape, Stroke, Style, Text } from "ol/style";
import type { Point, Verdict } from "./api";

/** A Mark is something on the map that can be clicked. */
export interface Mark {
  id: string; at?: Point; line?: Point[];
  look: "start" | "finish" | "judge-no" | "judge-yes" | "practice" | "backup" | "stop" | "event" | "doubt" | "seen" | "leg" | "place" | "asked";
  letter?: string; verdict?: Verdict; headingDeg?: number; words?: string; onClick?: () => void;
}

interface Inks { paper: string; ink: string; quiet: string; road: string; edge: string; far: string; main: string; mainEdge: string; drive: string; good: string; fair: string; bad: string; none: string }

/** inks are those of the style sheet, by day or in the dark. */
export const inks = (): Inks => {
  const s = getComputedStyle(document.documentElement);
  const v = (name: string) => s.getPropertyValue("--" + name).trim();
  return { paper: v("map-paper"), ink: v("ink"), quiet: v("map-name"), road: v("map-road"), edge: v("map-edge"), far: v("map-far"), main: v("map-main"), mainEdge: v("map-main-edge"), drive: v("drive"), good: v("good"), fair: v("fair"), bad: v("bad"), none: v("none") };
};

/** FONT is for words on the map. */
export const FONT = '"Atkinson Hyperlegible", sans-serif';
const rank: Record<string, number> = { motorway: 6, trunk: 5, primary: 5, secondary: 4, tertiary: 3 };

/** roadWidth is the width on screen, in pixels, at metres to a pixel. */
function roadWidth(c: string, resolution: number): number {
  const r = rank[c] ?? (c === "service" || c === "track" ? 0 : 1);
  const metres = 7 + 2.2 * r;
  return Math.min(22, Math.max(0.7 + 0.5 * r, metres / resolution));
}

/** car is a car from above that heads north. */
const car = (body: string, edge: string): string => "data:image/svg+xml," + encodeURIComponent(`<svg xmlns="http://www.w3.org/2000/svg" width="22" height="34" viewBox="0 0 22 34"><rect x="3" y="2" width="16" height="30" rx="6" fill="${body}" stroke="${edge}" stroke-width="2.5"/><path d="M6 13q5-4 10 0l-1 4h-8z" fill="${edge}"/></svg>`);

/** verdictStroke tells verdicts apart by ink, width and dash: not by colour alone. */
function verdictStrokes(v: Verdict, i: Inks, scale = 1): Stroke[] {
  const line = (color: string, width: number, lineCap: CanvasLineCap, lineDash?: number[]) => new Stroke({ color, width: width * scale, lineCap, lineDash: lineDash?.map(d => d * scale) });
  switch (v) {
    case "suitable": return [line(i.good, 7, "round")];
    case "likely": return [line(i.good, 6, "butt"), line(i.paper, 1.6, "butt")];
    case "possible": return [line(i.fair, 4.5, "butt", [9, 6])];
    case "unsuitable": return [line(i.bad, 2.6, "round", [1, 6])];
    default: return [line(i.none, 2, "butt", [3, 7])];
  }
}

/** roadStyle draws a road, and its verdict where there is one. */
export function roadStyle(f: FeatureLike, resolution: number, i: Inks, verdicts: Record<string, Verdict> | null): Style[] | undefined {
  if (f.get("layer") !== "roads") return undefined;
  const c = String(f.get("c")), w = roadWidth(c, resolution), r = rank[c] ?? 0;
  const main = r >= 3, line = (color: string, width: number, zIndex: number) => new Style({ stroke: new Stroke({ color, width, lineCap: "round" }), zIndex });
  // From afar a small road is one line: between its edges there is no room.
  const out = resolution > 5 && !main ? [line(i.far, Math.min(1.4, 7 / resolution), r)] :
    [line(main ? i.mainEdge : i.edge, w + (resolution < 12 ? 1.6 : 0.6), r), line(main ? i.main : i.road, w, 10 + r)];
  const v = verdicts?.[String(f.get("k"))];
  // Seen from afar the lines are thinner, or a town would be one blot.
  const scale = resolution > 7 ? 0.5 : resolution > 3.5 ? 0.7 : 1;
  if (v) verdictStrokes(v, i, scale).forEach((stroke, n) => out.push(new Style({ stroke, zIndex: 30 + n + ["unknown", "unsuitable", "possible", "likely", "suitable"].indexOf(v) * 2 })));
  return out;
}

/** nameStyle writes a name, where there is room for it. */
export function nameStyle(f: FeatureLike, resolution: number, i: Inks): Style | undefined {
  const halo = new Stroke({ color: i.paper, width: 3.5 });
  if (f.get("layer") === "settlements") {
    const r = Number(f.get("r")); // 0 a city, 1 a town, 2 a village; the rest are quarters and hamlets
    if (r > 2 && resolution > 8) return undefined;
    const font = r < 2 ? "700 17px" : r === 2 ? "700 14px" : "13px";
    return new Style({ text: new Text({ text: String(f.get("n")), font: `${font} ${FONT}`, fill: new Fill({ color: r > 2 ? i.quiet : i.ink }), stroke: halo, padding: [4, 4, 4, 4] }), zIndex: 100 - r });
  }
  if (f.get("layer") !== "names") return undefined;
  const r = rank[String(f.get("c"))] ?? 0;
  if (resolution > (r >= 4 ? 14 : r >= 3 ? 8 : 4.2)) return undefined;
  return new Style({ text: new Text({ text: String(f.get("n")), placement: "line", font: `${r >= 3 ? 14 : 13}px ${FONT}`, fill: new Fill({ color: i.quiet }), stroke: halo, maxAngle: 0.6, repeat: 420 }), zIndex: r });
}

/** markStyle draws a mark; one that is lit stands out. */
export function markStyle(m: Mark, lit: boolean, i: Inks): Style[] {
  const out: Style[] = [];
  const text = (t: string, color: string) => new Text({ text: t, font: `700 14px ${FONT}`, fill: new Fill({ color }), offsetY: 1 });
  const disc = (fill: string, edge: string, r: number) => new Circle({ radius: lit ? r + 4 : r, fill: new Fill({ color: fill }), stroke: new Stroke({ color: edge, width: lit ? 4 : 2 }) });
  const square = (fill: string, edge: string, r: number) => new RegularShape({ points: 4, angle: Math.PI / 4, radius: lit ? r + 4 : r, fill: new Fill({ color: fill }), stroke: new Stroke({ color: edge, width: lit ? 4 : 2 }) });
  const line = (color: string, width: number, dash?: number[], z = 0) => new Style({ stroke: new Stroke({ color, width: lit ? width + 3 : width, lineDash: dash, lineCap: "round", lineJoin: "round" }), zIndex: z });
  switch (m.look) {
    case "leg": out.push(line(i.paper, 8, undefined, 1), line(i.drive, 4.5, undefined, 2)); break;
    case "judge-no": if (m.line) out.push(line(i.paper, 12, undefined, 3), line(i.bad, 8, [2, 11], 4)); else out.push(new Style({ image: square(i.paper, i.bad, 16), text: text(m.letter ?? "", i.bad), zIndex: 20 })); break;
    case "judge-yes": if (m.line) out.push(line(i.paper, 12, undefined, 3), line(i.good, 9, undefined, 4)); else out.push(new Style({ image: disc(i.paper, i.good, 13), text: text(m.letter ?? "", i.good), zIndex: 20 })); break;
    case "practice": if (m.line) out.push(line(i.good, 12, undefined, 5)); else out.push(
      new Style({ image: disc(i.good, i.paper, 15), zIndex: 25 }),
      new Style({ image: new RegularShape({ points: 5, radius: 9, radius2: 4, fill: new Fill({ color: i.paper }) }), text: new Text({ text: m.letter, font: `700 14px ${FONT}`, offsetY: 25, fill: new Fill({ color: i.ink }), stroke: new Stroke({ color: i.paper, width: 4 }) }), zIndex: 26 })); break;
    case "asked": out.push(new Style({ image: new Circle({ radius: 16, stroke: new Stroke({ color: i.paper, width: 7 }) }), zIndex: 27 }), new Style({ image: new Circle({ radius: 16, stroke: new Stroke({ color: i.ink, width: 3 }) }), zIndex: 28 })); break;
    case "backup": if (m.line) out.push(line(i.good, 7, [8, 8], 4)); else out.push(new Style({ image: disc(i.paper, i.good, 12), text: text(m.letter ?? "", i.good), zIndex: 18 })); break;
    case "stop": out.push(new Style({ image: disc(i.paper, i.ink, m.letter ? 11 : 6), text: text(m.letter ?? "", i.ink), zIndex: 15 })); break;
    case "doubt": out.push(line(i.paper, 11, undefined, 3), line(i.fair, 6, [1, 9], 4)); break;
    case "seen": out.push(line(i.paper, 11, undefined, 3), line(i.good, 6, undefined, 4)); break;
    case "event": out.push(new Style({ image: square(i.paper, i.drive, 8), zIndex: 14 })); break;
    case "place": if (m.line) verdictStrokes(m.verdict ?? "unknown", i).forEach((s, n) => { if (lit) s.setWidth(s.getWidth()! + 6); out.push(new Style({ stroke: s, zIndex: (lit ? 9 : 6) + n })); }); break;
    case "start": case "finish": out.push(new Style({ image: new Icon({ src: car(m.look === "start" ? i.ink : i.paper, m.look === "start" ? i.paper : i.ink), rotation: ((m.headingDeg ?? 0) * Math.PI) / 180, scale: lit ? 1.2 : 1 }), zIndex: 30 }));
  }
  return out;
}
