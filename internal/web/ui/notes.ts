// All notes: the list, a file for colleagues, and a colleague's file.

import { ask, post, sentence, type Import, type NoteRow, type NotesListed } from "./api";
import type { View } from "./app";
import { fill, h, say, show } from "./dom";
import { Initials } from "./noting";
import { counted, day } from "./words";

/** kinds are what notes are about, in words. */
const kinds: Record<string, string> = {
  width: "measured widths", parked: "parked cars", gradient: "slopes", sight: "how far one sees", surface: "surfaces", restriction: "signs and lines", closure: "closed roads",
  bins: "bin days", market: "markets", use: "where somebody practised", complaint: "complaints", never: "never again", suits: "fit or not, by eye", text: "in words",
};

export const notesView: View = (_app, sheet) => {
  const initials = new Initials();
  const list = h("div"), brought = h("div", { "aria-live": "polite" });

  const row = (n: NoteRow): HTMLElement => {
    const undo = h("button", { type: "button", class: "small", "aria-label": `Delete the note on ${n.road || "a road"}`, onclick: () => initials.then(async by => {
      try {
        const { back } = await post<{ back?: boolean }>("notes/undo", { what: n.id, by });
        item.classList.toggle("gone", !back);
        undo.textContent = back ? "Delete" : "Bring it back";
        undo.setAttribute("aria-label", `${undo.textContent}: the note on ${n.road || "a road"}`);
      } catch (e) { say(sentence(e), true); }
    }) }, "Delete");
    const item = h("li", {}, h("span", {}, h("strong", {}, n.road || "A road without a name"), ": ", n.says), h("span", { class: "quiet" }, `${n.author}, ${day(n.date)} ${n.date.slice(0, 4)}`, n.text ? `: ${n.text}` : ""), undo);
    return item;
  };
  const rows = (notes: NoteRow[]) => h("ul", { class: "rows" }, notes.map(row));

  const draw = async () => {
    const n = await ask<NotesListed>("GET", "notes");
    const left = n.count - n.latest.length - n.unplaced.length;
    show(list,
      n.count === 0 ? h("p", { class: "quiet" }, "None yet. Under Look, click a road and tap what you saw there; under Today, tap what today's roads were like.") : null,
      n.latest.length ? rows(n.latest) : null,
      n.unplaced.length ? [h("h2", {}, "On no road of this map"), h("p", {}, "The road has gone from the map, or lies outside it. These notes are kept."), rows(n.unplaced)] : null,
      left > 0 ? h("p", { class: "quiet" }, `and ${counted(left, "older one", "older ones")}: all are in the file for colleagues`) : null,
      n.count ? initials.element : null);
  };

  const file = h("input", { id: "notes-file", type: "file", accept: ".geojson,.json", onchange: () => void read(false) });
  const read = async (add: boolean) => {
    const f = file.files?.[0];
    if (!f) return;
    show(brought, h("p", {}, "Reading …"));
    try {
      const found = await post<Import>(`notes/file?name=${encodeURIComponent(f.name)}${add ? "&add=yes" : ""}`, f);
      show(brought, told(found));
      if (add) await draw();
    } catch (e) {
      show(brought, h("p", { class: "trouble" }, sentence(e)));
    }
  };
  const told = (i: Import): HTMLElement => {
    if (i.new === 0 && !i.added) return h("p", {}, "All of it is noted here already.");
    const list = h("ul", {}, i.kinds.map(k => h("li", {}, `${kinds[k.kind] ?? k.kind}: ${k.count}`)));
    const days = i.first === i.last ? `on ${day(i.first!)}` : `from ${day(i.first!)} ${i.first!.slice(0, 4)} to ${day(i.last!)} ${i.last!.slice(0, 4)}`;
    if (!i.added) {
      return h("div", { class: "lookfor" }, h("p", {}, `${counted(i.new, "new note", "new notes")} by ${i.authors.join(", ")}, ${days}:`), list,
        i.changes ? h("p", {}, `${counted(i.changes, "of them deletes or brings back a note", "of them delete or bring back notes")} that you have.`) : null,
        h("p", { class: "with" }, h("button", { type: "button", id: "add", class: "first", onclick: () => void read(true) }, "Add them"), h("button", { type: "button", onclick: () => { file.value = ""; show(brought); } }, "Leave them")));
    }
    const out = h("div", { class: "lookfor" }, h("p", {}, `Added: ${counted(i.new, "note", "notes")} by ${i.authors.join(", ")}. `));
    fill(out, h("p", {}, h("button", { type: "button", id: "take-back", onclick: async () => {
      try {
        const { removed } = await post<{ removed?: number }>("notes/undo", { what: i.id, by: "" });
        show(out, h("p", {}, `Taken back: ${counted(removed ?? 0, "note", "notes")}.`));
        await draw();
      } catch (e) { say(sentence(e), true); }
    } }, "Take them all back")));
    return out;
  };

  show(sheet, h("h1", {}, "Notes"), list,
    h("h2", {}, "Share them"),
    h("p", {}, h("a", { class: "button", href: "/api/notes/file", download: true }, "All notes as a file")),
    h("p", { class: "quiet" }, "It tells colleagues your initials, the days, and where you were."),
    h("label", { for: "notes-file" }, "A colleague's file of notes"), file, brought);
  draw().catch(e => say(sentence(e), true));
};
