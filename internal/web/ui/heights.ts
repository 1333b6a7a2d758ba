// The height of a road as a picture, with the same in words.

import { svg } from "./dom";

interface HeightAt { along_m: number; height_m: number }

/** heightWords says a profile in words. */
export function heightWords(at: HeightAt[]): string {
  const length = at[at.length - 1].along_m - at[0].along_m, rise = at[at.length - 1].height_m - at[0].height_m;
  const low = Math.min(...at.map(p => p.height_m)), high = Math.max(...at.map(p => p.height_m));
  const way = Math.abs(rise) < 1 ? "ends about as high as it began" : rise > 0 ? `rises ${Math.round(rise)} m` : `falls ${Math.round(-rise)} m`;
  return `Over ${Math.round(length)} m the road ${way}; between its lowest and highest points lie ${Math.max(0, Math.round(high - low))} m.`;
}

/** heightPicture draws a profile; heights are drawn ten times as large as lengths, or less where that would not fit. */
export function heightPicture(at: HeightAt[]): SVGElement {
  const width = 320, height = 90, pad = 10;
  const from = at[0].along_m, length = Math.max(1, at[at.length - 1].along_m - from);
  const low = Math.min(...at.map(p => p.height_m)), span = Math.max(4, Math.max(...at.map(p => p.height_m)) - low);
  const x = (p: HeightAt) => pad + ((p.along_m - from) / length) * (width - 2 * pad);
  const y = (p: HeightAt) => height - 22 - ((p.height_m - low) / span) * (height - 40);
  const points = at.map(p => `${x(p).toFixed(1)},${y(p).toFixed(1)}`).join(" ");
  const words = heightWords(at);
  return svg("svg", { viewBox: `0 0 ${width} ${height}`, class: "heights", role: "img", "aria-label": words },
    svg("title", {}, words),
    svg("polygon", { class: "ground", points: `${pad},${height - 14} ${points} ${width - pad},${height - 14}` }),
    svg("polyline", { class: "top", points }),
    svg("text", { x: pad, y: height - 2 }, "0 m"),
    svg("text", { x: width - pad, y: height - 2, "text-anchor": "end" }, `${Math.round(length)} m`));
}
