// What the page says of times and verdicts. Pure, so that it can be tested.

import type { Circuit, Exercise, Feature, Point, Verdict } from "./api";

/** letter is the letter of a road to judge: A for the first. */
export const letter = (order: number): string => String.fromCharCode(64 + order);

/** wall is the clock of the place at some seconds after a start, from the start's own RFC 3339 text, whatever zone this machine is in. */
export function wall(startsAt: string, afterS: number): string {
  const m = /T(\d\d):(\d\d)(?::(\d\d))?/.exec(startsAt);
  if (!m) return "";
  const s = Number(m[1]) * 3600 + Number(m[2]) * 60 + Number(m[3] ?? 0) + Math.floor(afterS);
  const two = (n: number) => String(n).padStart(2, "0");
  return two(Math.floor(s / 3600) % 24) + ":" + two(Math.floor(s / 60) % 60);
}

/** day is the date of an RFC 3339 text in words: "Tuesday 13 May". */
export function day(text: string): string {
  const m = /^(\d{4})-(\d\d)-(\d\d)/.exec(text);
  if (!m) return "";
  const at = new Date(Date.UTC(Number(m[1]), Number(m[2]) - 1, Number(m[3])));
  return at.toLocaleDateString("en-GB", { weekday: "long", day: "numeric", month: "long", timeZone: "UTC" });
}

/** today is the date here, as YYYY-MM-DD. */
export function today(now = new Date()): string {
  return new Date(now.getTime() - now.getTimezoneOffset() * 60000).toISOString().slice(0, 10);
}

/** counted is a number of things in words. */
export const counted = (n: number, one: string, many: string): string => n === 1 ? "1 " + one : `${n} ${many}`;

/** dateAfter is the date some days after another, as YYYY-MM-DD. */
export function dateAfter(date: string, days: number): string {
  const at = new Date(date + "T00:00:00Z");
  at.setUTCDate(at.getUTCDate() + days);
  return at.toISOString().slice(0, 10);
}

/** startFor is when a lesson begins that ends at a time: "HH:MM" minus minutes, and whether that is the day before. */
export function startFor(back: string, minutes: number): { time: string; dayBefore: boolean } {
  const [hour, minute] = back.split(":").map(Number);
  const at = hour * 60 + minute - minutes;
  const day = (at + 1440) % 1440;
  const two = (n: number) => String(n).padStart(2, "0");
  return { time: two(Math.floor(day / 60)) + ":" + two(day % 60), dayBefore: at < 0 };
}

export const kilometres = (m: number): string => (m / 1000).toFixed(1) + " km";

export const minutes = (m: number): string => {
  const whole = Math.round(m);
  return whole === 1 ? "1 minute" : whole + " minutes";
};

/** reasonOf is a road to judge in a few words. */
export function reasonOf(example: Feature, exercise: Exercise | undefined, verdicts: Record<Verdict, string>): string {
  const p = example.properties;
  if (p.verdict !== "unsuitable") return verdicts[p.verdict ?? "unknown"];
  return "Will not do: " + (exercise?.reasons[p.reason ?? ""] ?? p.reason);
}

/** of gives the features of a role in their order. */
export function of(c: Circuit, role: string): Feature[] {
  return c.features.filter(f => f.properties.role === role).sort((a, b) => (a.properties.order ?? 0) - (b.properties.order ?? 0));
}

/** capital begins a sentence; one that begins with the name of a file keeps it as it is. */
export const capital = (s: string): string => /^\S+\.\w/.test(s) ? s : s.charAt(0).toUpperCase() + s.slice(1);

/** placeOf names the place of a feature: its kerb, or for a part of a road the middle of it. */
export function placeOf(f: Feature): string {
  if (f.properties.kerb) return f.properties.kerb;
  const [lon, lat] = middle(f.geometry.coordinates as Point[]);
  return `${lat.toFixed(6)},${lon.toFixed(6)}`;
}

/** middle is the middle of a line's middle part. */
export function middle(line: Point[]): Point {
  const i = Math.floor((line.length - 1) / 2), p = line[i], q = line[i + 1] ?? p;
  return [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
}
