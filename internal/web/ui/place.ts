// A field for a place: words, a postcode, a saved name, a kerb, or a click on the map.

import { Failed, post, sentence, type Choice, type Found, type NamedPlace } from "./api";
import { h, say, show } from "./dom";

export interface PlaceField {
  element: HTMLElement;
  title(words: string): void;
  /** place is what to ask with: the kerb once it is found. */
  place(): string;
  found(): Found | null;
  set(words: string): void;
  /** settle finds the words; false where they mean no place. Empty ones are a place only where that is allowed. */
  settle(mayBeEmpty?: boolean): Promise<boolean>;
  choose(words: string): Promise<void>;
  /** wanted says whether the next click on the map is for this field. */
  wanted(): boolean;
  names(at: NamedPlace[]): void;
}

export function placeField(id: string, title: string, changed: () => void): PlaceField {
  let found: Found | null = null, foundFor = "", wanted = false;
  const list = h("datalist", { id: id + "-names" });
  const about = h("div", { class: "about", id: id + "-about" });
  const input = h("input", {
    id, type: "text", autocomplete: "off", spellcheck: "false", list: id + "-names", "aria-describedby": id + "-about",
    onchange: () => void settle(true).then(ok => { if (ok) changed(); }),
  });
  const onMap = h("button", { type: "button", class: "small", "aria-pressed": "false", onclick: () => want(!wanted) }, "On the map");
  const want = (yes: boolean) => { wanted = yes; onMap.setAttribute("aria-pressed", String(yes)); if (yes) say("Click the map where it is."); };
  const label = h("label", { for: id }, title);
  const element = h("div", { class: "place" }, label, h("div", { class: "with" }, input, onMap), list, about);

  const tell = () => {
    if (!found) { show(about, h("p", { class: "quiet" }, "A road, two roads that meet, a postcode, a name you gave; or click the map.")); return; }
    const kept = found;
    const name = h("input", { type: "text", "aria-label": "A name for this place", placeholder: "e.g. Station", maxlength: 80 });
    const naming = h("details", {}, h("summary", {}, "Give it a name"), h("div", { class: "with" }, name, h("button", { type: "button", class: "small", onclick: async () => {
      try {
        await post("names", { name: name.value, kerb: kept.kerb });
        say(`${name.value} is kept as a name.`);
        naming.open = false;
      } catch (e) { say(sentence(e), true); }
    } }, "Keep the name")));
    show(about, h("p", {}, found.said ? found.said + " " : null, found.words),
      h("div", { class: "about-road" }, found.turned ? h("button", { type: "button", class: "small", onclick: () => void choose(kept.turned!).then(changed) }, "Turn the car round") : null, naming));
  };

  tell();

  async function find(words: string): Promise<boolean> {
    try {
      found = await post<Found>("find", { place: words });
      foundFor = input.value;
      input.removeAttribute("aria-invalid");
      tell();
      return true;
    } catch (e) {
      found = null;
      const several = e instanceof Failed && Array.isArray(e.fault.best_possible) ? (e.fault.best_possible as Choice[]) : [];
      if (!several.length) input.setAttribute("aria-invalid", "true");
      if (several.length) show(about, h("p", {}, "Which one?"), h("ul", { class: "plain choice" }, several.map(c => h("li", {}, h("button", { type: "button", class: "row", onclick: () => void choose(c.place, c.name).then(changed) }, c.name)))));
      else show(about, h("p", { class: "trouble" }, sentence(e)));
      return false;
    }
  }

  async function settle(mayBeEmpty = false): Promise<boolean> {
    const words = input.value.trim();
    if (!words) {
      found = null;
      tell();
      if (mayBeEmpty) return true;
      show(about, h("p", { class: "trouble" }, "Say where: a road, two roads that meet, a postcode, or click the map."));
      input.focus();
      return mayBeEmpty;
    }
    if (found && foundFor === input.value) return true;
    return find(words);
  }

  async function choose(words: string, shown?: string): Promise<void> {
    want(false);
    if (await find(words)) {
      input.value = shown ?? found!.road;
      foundFor = input.value;
    } else {
      input.value = words;
    }
  }

  return {
    element, settle, choose,
    title: words => { label.textContent = words; },
    place: () => found?.kerb ?? input.value.trim(),
    found: () => found,
    set: words => { input.value = words; found = null; tell(); },
    wanted: () => wanted,
    names: at => show(list, at.map(n => h("option", { value: n.name }))),
  };
}
