// The map: roads from tiles in a style of our own, and on top what a view shows.

import Feature, { type FeatureLike } from "ol/Feature";
import OlMap from "ol/Map";
import View from "ol/View";
import MVT from "ol/format/MVT";
import LineString from "ol/geom/LineString";
import OlPoint from "ol/geom/Point";
import VectorLayer from "ol/layer/Vector";
import VectorTileLayer from "ol/layer/VectorTile";
import { fromLonLat, toLonLat, transformExtent } from "ol/proj";
import VectorSource from "ol/source/Vector";
import VectorTileSource from "ol/source/VectorTile";
import { Circle, Fill, Icon, RegularShape, Stroke, Style, Text } from "ol/style";
import { createXYZ } from "ol/tilegrid";
import type { MapInfo, Point, Verdict } from "./api";
import { middle } from "./words";

export interface Box { west: number; south: number; east: number; north: number }

/** A Mark is something on the map that can be clicked. */
export interface Mark {
  id: string; at?: Point; line?: Point[];
  look: "start" | "finish" | "judge-no" | "judge-yes" | "practice" | "backup" | "stop" | "event" | "doubt" | "seen" | "leg" | "place" | "asked";
  letter?: string; verdict?: Verdict; headingDeg?: number; words?: string; onClick?: () => void;
}

interface Inks { paper: string; ink: string; quiet: string; road: string; edge: string; far: string; main: string; mainEdge: string; drive: string; good: string; fair: string; bad: string; none: string }

const inks = (): Inks => {
  const s = getComputedStyle(document.documentElement);
  const v = (name: string) => s.getPropertyValue("--" + name).trim();
  return { paper: v("map-paper"), ink: v("ink"), quiet: v("map-name"), road: v("map-road"), edge: v("map-edge"), far: v("map-far"), main: v("map-main"), mainEdge: v("map-main-edge"), drive: v("drive"), good: v("good"), fair: v("fair"), bad: v("bad"), none: v("none") };
};

const FONT = '"Atkinson Hyperlegible", sans-serif';
const rank: Record<string, number> = { motorway: 6, trunk: 5, primary: 5, secondary: 4, tertiary: 3 };

/** readable is the least zoom at which the roads of a town can be told apart: our choice. */
const readable = 13;

/** roadWidth is the width on screen, in pixels, at metres to a pixel. */
function roadWidth(c: string, resolution: number): number {
  const r = rank[c] ?? (c === "service" || c === "track" ? 0 : 1);
  const metres = 7 + 2.2 * r;
  return Math.min(22, Math.max(0.7 + 0.5 * r, metres / resolution));
}

/** car is a car from above that heads north. */
const car = (body: string, edge: string): string => "data:image/svg+xml," + encodeURIComponent(`<svg xmlns="http://www.w3.org/2000/svg" width="22" height="34" viewBox="0 0 22 34"><rect x="3" y="2" width="16" height="30" rx="6" fill="${body}" stroke="${edge}" stroke-width="2.5"/><path d="M6 13q5-4 10 0l-1 4h-8z" fill="${edge}"/></svg>`);

/** verdictStroke tells verdicts apart by ink, width and dash: not by colour alone. */
export function verdictStrokes(v: Verdict, i: Inks, scale = 1): Stroke[] {
  const line = (color: string, width: number, lineCap: CanvasLineCap, lineDash?: number[]) => new Stroke({ color, width: width * scale, lineCap, lineDash: lineDash?.map(d => d * scale) });
  switch (v) {
    case "suitable": return [line(i.good, 7, "round")];
    case "likely": return [line(i.good, 6, "butt"), line(i.paper, 1.6, "butt")];
    case "possible": return [line(i.fair, 4.5, "butt", [9, 6])];
    case "unsuitable": return [line(i.bad, 2.6, "round", [1, 6])];
    default: return [line(i.none, 2, "butt", [3, 7])];
  }
}

export class Plate {
  private map: OlMap;
  private inks = inks();
  private roads = new VectorTileLayer({ declutter: false });
  private names = new VectorTileLayer({ declutter: true });
  private marks = new VectorSource();
  private lines = new VectorLayer({ source: this.marks, updateWhileInteracting: true, zIndex: 5 });
  private points = new VectorLayer({ source: this.marks, updateWhileInteracting: true, zIndex: 12 });
  private byId = new Map<string, Mark>();
  private verdicts: Record<string, Verdict> | null = null;
  private lit = "";
  /** Called with a click on no mark. */
  onClick: ((at: Point) => void) | null = null;
  /** Called when the view has come to rest. */
  onRest: (() => void) | null = null;
  /** Called when the pointer comes onto a mark, or leaves. */
  onPoint: ((id: string) => void) | null = null;

  constructor(target: HTMLElement) {
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    this.map = new OlMap({ target, keyboardEventTarget: target, view: new View({ center: [0, 0], zoom: 2, maxZoom: 19, minZoom: 8, enableRotation: false }), moveTolerance: 4 });
    this.map.getControls().forEach(c => { if ("setCollapsed" in c) this.map.removeControl(c); });
    this.duration = still ? 0 : 300;
    this.roads.setStyle((f, r) => this.roadStyle(f, r));
    this.names.setStyle((f, r) => this.nameStyle(f, r));
    this.roads.setZIndex(1);
    this.names.setZIndex(9);
    this.lines.setStyle(f => f.getGeometry()?.getType() === "Point" ? [] : this.markStyle(f));
    this.points.setStyle(f => f.getGeometry()?.getType() === "Point" ? this.markStyle(f) : []);
    this.map.addLayer(this.roads);
    this.map.addLayer(this.lines);
    this.map.addLayer(this.names);
    this.map.addLayer(this.points);
    this.map.on("click", e => {
      const hit = this.hit(e.pixel);
      if (hit?.onClick) hit.onClick();
      else this.onClick?.(toLonLat(e.coordinate) as Point);
    });
    this.map.on("pointermove", e => {
      if (e.dragging) return;
      const hit = this.hit(e.pixel);
      target.style.cursor = hit?.onClick || this.onClick ? "pointer" : "";
      target.title = hit?.words ?? "";
      this.onPoint?.(hit?.id ?? "");
    });
    this.map.on("moveend", () => this.onRest?.());
    this.map.once("rendercomplete", () => performance.mark("map-drawn"));
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.repaint());
    void document.fonts.load(`12px ${FONT}`).then(() => this.repaint());
    new ResizeObserver(() => this.resized()).observe(target);
  }
  private duration: number;
  /** What the view was last made to show, and how it then lay; null while it still moves there. */
  private fitted: Point[] = [];
  private lay: { center?: number[]; resolution?: number } | null = {};

  private resized(): void {
    const v = this.map.getView(), [x, y] = v.getCenter() ?? [];
    const still = !this.lay || this.lay.resolution === v.getResolution() && this.lay.center?.[0] === x && this.lay.center?.[1] === y;
    this.map.updateSize();
    if (still && this.fitted.length) this.fit(this.fitted, 0);
  }

  private repaint(): void {
    this.inks = inks();
    this.roads.changed(); this.names.changed(); this.marks.changed();
  }

  /** open shows another map. */
  open(info: MapInfo): void {
    const source = new VectorTileSource({ format: new MVT(), url: `/tiles/${info.digest}/{z}/{x}/{y}.mvt`, tileGrid: createXYZ({ minZoom: 8, maxZoom: 16 }), attributions: undefined });
    this.roads.setSource(source);
    this.names.setSource(source);
    const first = info.places[0];
    const [west, south, east, north] = info.bounds;
    this.fit([[west, south], [east, north]], 0);
    this.fitted = [];
    if (first && this.map.getView().getZoom()! < readable) this.center(first.at, readable);
  }

  private hit(pixel: number[]): Mark | undefined {
    let found: Mark | undefined, size = -1;
    this.map.forEachFeatureAtPixel(pixel, f => {
      const m = this.byId.get(String(f.getId()));
      const worth = m?.onClick ? (m.at ? 2 : 1) : 0;
      if (m && worth > size) { found = m; size = worth; }
    }, { hitTolerance: 6, layerFilter: l => l === this.lines || l === this.points });
    return found;
  }

  private roadStyle(f: FeatureLike, resolution: number): Style[] | undefined {
    if (f.get("layer") !== "roads") return undefined;
    const c = String(f.get("c")), i = this.inks, w = roadWidth(c, resolution), r = rank[c] ?? 0;
    const main = r >= 3, line = (color: string, width: number, zIndex: number) => new Style({ stroke: new Stroke({ color, width, lineCap: "round" }), zIndex });
    // From afar a small road is one line: between its edges there is no room.
    const out = resolution > 5 && !main ? [line(i.far, Math.min(1.4, 7 / resolution), r)] :
      [line(main ? i.mainEdge : i.edge, w + (resolution < 12 ? 1.6 : 0.6), r), line(main ? i.main : i.road, w, 10 + r)];
    const v = this.verdicts?.[String(f.get("k"))];
    // Seen from afar the lines are thinner, or a town would be one blot.
    const scale = resolution > 7 ? 0.5 : resolution > 3.5 ? 0.7 : 1;
    if (v) verdictStrokes(v, i, scale).forEach((stroke, n) => out.push(new Style({ stroke, zIndex: 30 + n + ["unknown", "unsuitable", "possible", "likely", "suitable"].indexOf(v) * 2 })));
    return out;
  }

  private nameStyle(f: FeatureLike, resolution: number): Style | undefined {
    const i = this.inks, halo = new Stroke({ color: i.paper, width: 3.5 });
    if (f.get("layer") === "settlements") {
      const r = Number(f.get("r"));
      if (r > 2 && resolution > 12) return undefined;
      return new Style({ text: new Text({ text: String(f.get("n")), font: `${r < 2 ? "700 17px" : "700 14px"} ${FONT}`, fill: new Fill({ color: i.ink }), stroke: halo, padding: [4, 4, 4, 4] }), zIndex: 100 - r });
    }
    if (f.get("layer") !== "names") return undefined;
    const r = rank[String(f.get("c"))] ?? 0;
    if (resolution > (r >= 4 ? 14 : r >= 3 ? 8 : 4.2)) return undefined;
    return new Style({ text: new Text({ text: String(f.get("n")), placement: "line", font: `${r >= 3 ? 14 : 13}px ${FONT}`, fill: new Fill({ color: i.quiet }), stroke: halo, maxAngle: 0.6, repeat: 420 }), zIndex: r });
  }

  private markStyle(f: FeatureLike): Style[] {
    const m = this.byId.get(String(f.getId()));
    if (!m) return [];
    const i = this.inks, lit = m.id === this.lit, out: Style[] = [];
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

  /** color draws the roads by verdict; null draws them plain. */
  color(verdicts: Record<string, Verdict> | null): void {
    this.verdicts = verdicts;
    this.roads.changed();
  }

  /** put shows marks in place of those that are there. */
  put(marks: Mark[]): void {
    this.byId = new Map(marks.map(m => [m.id, m]));
    this.marks.clear(true);
    this.marks.addFeatures(marks.map(m => {
      const f = new Feature(m.line ? new LineString(m.line.map(p => fromLonLat(p))) : new OlPoint(fromLonLat(m.at!)));
      f.setId(m.id);
      return f;
    }));
  }

  /** light makes one mark stand out; "" none. */
  light(id: string): void {
    if (id === this.lit) return;
    this.lit = id;
    this.marks.changed();
  }

  fit(points: Point[], duration = this.duration): void {
    const xs = points.map(p => p[0]), ys = points.map(p => p[1]);
    const box = transformExtent([Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)], "EPSG:4326", "EPSG:3857");
    const v = this.map.getView();
    this.fitted = points;
    this.lay = null;
    v.fit(box, { padding: [40, 40, 40, 40], maxZoom: 17, duration, callback: () => { this.lay = { center: v.getCenter(), resolution: v.getResolution() }; } });
  }

  center(at: Point, zoom?: number): void {
    const v = this.map.getView();
    v.setCenter(fromLonLat(at));
    if (zoom !== undefined) v.setZoom(zoom);
  }

  private before: { center?: number[]; resolution?: number } | null = null;

  /** visit shows a point and what is around it; back returns to what was seen before the first visit. */
  visit(at: Point): void {
    const v = this.map.getView();
    this.before ??= { center: v.getCenter(), resolution: v.getResolution() };
    v.animate({ center: fromLonLat(at), zoom: Math.max(16, v.getZoom() ?? 0), duration: this.duration });
  }
  back(): void {
    if (this.before) this.map.getView().animate({ ...this.before, duration: this.duration });
    this.before = null;
  }

  /** see brings a point into view without zooming. */
  see(at: Point): void {
    const b = this.box();
    if (at[0] < b.west || at[0] > b.east || at[1] < b.south || at[1] > b.north) this.map.getView().animate({ center: fromLonLat(at), duration: this.duration });
  }

  box(): Box {
    const e = transformExtent(this.map.getView().calculateExtent(this.map.getSize()), "EPSG:3857", "EPSG:4326");
    return { west: e[0], south: e[1], east: e[2], north: e[3] };
  }

  /** drawn resolves when all that is in view has been drawn, and nothing moves. */
  async drawn(): Promise<void> {
    do await new Promise<void>(done => { this.map.once("rendercomplete", () => done()); this.map.render(); });
    while (this.map.getView().getAnimating());
  }

  /** whereIs is where a mark, or the middle of one that is a line, lies on the page, in pixels. */
  whereIs(id: string): [number, number] | null {
    const m = this.byId.get(id), at = m?.at ?? (m?.line && middle(m.line));
    const p = at && this.map.getPixelFromCoordinate(fromLonLat(at));
    if (!p) return null;
    const r = this.map.getTargetElement()!.getBoundingClientRect();
    return [p[0] + r.left, p[1] + r.top];
  }
}
