// Today's roads: one tap each, once notes can be kept.

import type { View } from "./app";
import { h, show } from "./dom";

export const todayView: View = (_app, sheet) => {
  show(sheet, h("h1", {}, "Today's roads"), h("p", {}, "Nothing to note yet: keep a plan for today, and its roads are listed here after the lesson."), h("p", {}, h("a", { href: "/plan" }, "Plan a lesson")));
};
