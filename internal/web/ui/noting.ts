// A note in one tap, and taken back in one.

import { post, sentence, type NoteRow } from "./api";
import { recall, remember } from "./app";
import { fill, h, say, show } from "./dom";

const BY = "loopwright.initials";

/** Initials say whose a note is. They are asked for once, and this browser remembers them. */
export class Initials {
  private waiting: ((by: string) => void) | null = null;
  private input = h("input", { id: "by", type: "text", autocomplete: "off", maxlength: 8, value: recall(BY) ?? "", onchange: () => this.typed() });
  element = h("div", { class: "by" }, h("label", { for: "by" }, "Your initials"), this.input);

  private typed(): void {
    remember(BY, this.input.value.trim());
    if (this.waiting && this.input.value.trim()) this.then(this.waiting);
  }

  known(): boolean { return this.input.value.trim() !== ""; }

  /** then does something as somebody: at once, or as soon as it is known who. */
  then(act: (by: string) => void): void {
    const by = this.input.value.trim();
    this.waiting = by ? null : act;
    if (by) { act(by); return; }
    say("Type your initials first: a note says whose it is.");
    this.input.focus();
  }
}

/** taps are what one tap notes. */
const taps: { words: string; kind: string; value?: string; text?: string }[] = [
  { words: "Fine", kind: "suits", value: "yes" },
  { words: "Full", kind: "parked", value: "both sides" },
  { words: "Narrow", kind: "suits", value: "no", text: "narrower than it looks" },
  { words: "Never again", kind: "never" },
];
const used = { words: "Practised here", kind: "use" };

export interface Noted { at: string; road: string; exercise: string; mayBeUsed?: boolean }

/** noting is a row of taps about a road. */
export function noting(of: Noted, initials: Initials, changed: () => void = () => {}): HTMLElement {
  const said = h("div", { class: "said quiet", "aria-live": "polite" });
  const tell = (row: NoteRow, by: string) => {
    const undo = h("button", { type: "button", class: "small", onclick: () => void act(async () => {
      await post("notes/undo", { what: row.id, by });
      show(said, h("p", {}, "Taken back."));
    }) }, "Undo");
    fill(said, h("p", { class: "noted" }, `Noted: ${row.says}. `, undo));
  };
  const act = async (work: () => Promise<void>) => {
    try {
      await work();
      changed();
    } catch (e) { say(sentence(e), true); }
  };
  const all = of.mayBeUsed ? [used, ...taps] : taps;
  return h("div", { class: "noting" },
    h("div", { class: "with" }, all.map((t: typeof taps[0]) => h("button", {
      type: "button", class: "small", value: t.kind === "suits" ? t.value : t.kind, "aria-label": `${t.words}: ${of.road}`,
      onclick: () => initials.then(by => void act(async () => {
        const about = t.kind === "suits" || t.kind === "use" ? of.exercise : "";
        tell(await post<NoteRow>("notes", { kind: t.kind, value: t.value ?? "", text: t.text ?? "", at: of.at, by, exercise: about }), by);
      })),
    }, t.words))), said);
}
