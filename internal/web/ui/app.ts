// What every view shares: what the server said of itself, the map, and how to go
// from one address to another.

import type { About, Exercise, MapInfo } from "./api";
import type { Plate } from "./map";

export interface App {
  about: About;
  map: MapInfo;
  plate: Plate;
  /** go shows another address; replace leaves no step to go back to. */
  go(to: string, replace?: boolean): void;
  /** note puts an address into the bar without drawing anew. */
  note(to: string, replace?: boolean): void;
}

/** A View draws a sheet; what it gives back is called when it is left. */
export type View = (app: App, sheet: HTMLElement, at: URL) => void | (() => void);

export const exerciseOf = (app: App, name: string): Exercise | undefined => app.about.exercises.find(e => e.name === name);

/** recall and remember keep a little in this browser; one that keeps nothing is no fault. */
export function recall(key: string): string | null {
  try { return localStorage.getItem(key); } catch { return null; }
}
export function remember(key: string, value: string): void {
  try { localStorage.setItem(key, value); } catch { /* nothing is kept then */ }
}
