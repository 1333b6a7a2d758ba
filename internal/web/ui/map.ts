// The map: roads from tiles in a style of our own, and on top what a view shows.

import Feature, { type FeatureLike } from "ol/Feature";
import OlMap from "ol/Map";
import View from "ol/View";
import Zoom from "ol/control/Zoom";
import MVT from "ol/format/MVT";
import LineString from "ol/geom/LineString";
import OlPoint from "ol/geom/Point";
import VectorLayer from "ol/layer/Vector";
import VectorTileLayer from "ol/layer/VectorTile";
import { fromLonLat, toLonLat, transformExtent } from "ol/proj";
import VectorSource from "ol/source/Vector";
import VectorTileSource from "ol/source/VectorTile";
import { createXYZ } from "ol/tilegrid";
import type { MapInfo, Point, Verdict } from "./api";
import { FONT, inks, markStyle, nameStyle, roadStyle, type Mark } from "./drawing";
import { middle } from "./words";

interface Box { west: number; south: number; east: number; north: number }

/** readable is the least zoom at which the roads of a town can be told apart: our choice. */
const readable = 13;

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
    this.map = new OlMap({ target, keyboardEventTarget: target, controls: [new Zoom()], view: new View({ center: [0, 0], zoom: 2, maxZoom: 19, minZoom: 8, enableRotation: false }), moveTolerance: 4 });
    this.duration = still ? 0 : 300;
    this.roads.setStyle((f, r) => roadStyle(f, r, this.inks, this.verdicts));
    this.names.setStyle((f, r) => nameStyle(f, r, this.inks));
    this.roads.setZIndex(1);
    this.names.setZIndex(9);
    const drawn = (points: boolean) => (f: FeatureLike) => {
      const m = this.byId.get(String(f.getId()));
      return m && (f.getGeometry()?.getType() === "Point") === points ? markStyle(m, m.id === this.lit, this.inks) : [];
    };
    this.lines.setStyle(drawn(false));
    this.points.setStyle(drawn(true));
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
    this.whole(info);
  }

  /** whole shows all of a map, or where its roads would be a blot, the middle of its first town. */
  whole(info: MapInfo): void {
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

  /** drawn resolves when all that is in view has been drawn, and nothing moves; at once where there is no map to see. */
  async drawn(): Promise<void> {
    if (!this.map.getSize()?.every(pixels => pixels > 0)) return;
    const rendered = () => new Promise<void>(done => { this.map.once("rendercomplete", () => done()); this.map.render(); });
    do await rendered(); while (this.map.getView().getAnimating());
    await rendered(); // marks are laid out anew only once the view has come to rest
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
