// What a plan is handed over as: printed, or saved as a file.

import { fetchFile, sentence, type Plan } from "./api";
import type { App } from "./app";
import { h, say } from "./dom";

/** save hands a file over; where there is none it says why, which a plain link would not. */
export async function save(address: string): Promise<void> {
  try {
    const { name, content } = await fetchFile(address);
    const link = h("a", { href: URL.createObjectURL(content), download: name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    say(`Saved as ${name}.`);
  } catch (e) { say(sentence(e), true); }
}

/** print prints a file that is shown. */
export function print(address: string): void {
  document.getElementById("printer")?.remove();
  const frame = h("iframe", { id: "printer", title: "What is printed", "aria-hidden": "true", tabindex: "-1", src: address });
  frame.addEventListener("load", () => frame.contentWindow?.print());
  document.body.append(frame);
}

/** handing is the row of what is done most with a plan, and the rest folded. */
export function handing(app: App, plan: Plan, keep: () => void): HTMLElement {
  const button = (f: { kind: string; title: string; download: boolean }, first: boolean) => {
    const address = `/files/${plan.id}/${f.kind}`;
    return f.download
      ? h("a", { class: "button" + (first ? " first" : ""), href: address, download: true, onclick: (e: Event) => { e.preventDefault(); void save(address); } }, f.title)
      : h("button", { type: "button", class: first ? "first" : null, onclick: () => print(address) }, f.title);
  };
  const files = app.about.files.filter(f => f.lesson), often = files.slice(0, 2), rest = files.slice(2);
  const row = (title: string, download: boolean) => h("p", { class: "with" }, h("span", { class: "quiet" }, title), rest.filter(f => f.download === download).map(f => button(f, false)));
  return h("div", { class: "actions" },
    h("p", { class: "with often" }, often.map(f => button(f, true)), h("button", { type: "button", id: "keep", onclick: keep }, plan.kept ? "Kept" : "Keep")),
    h("details", {}, h("summary", {}, "More to print or send"), row("Print", false), row("Save", true)));
}
