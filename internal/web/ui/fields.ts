// The fields that forms are made of.

import { h } from "./dom";

export function select(id: string, options: [string, string][], value: string, onchange: () => void): HTMLSelectElement {
  return h("select", { id, onchange }, options.map(([v, words]) => h("option", { value: v, selected: v === value }, words)));
}

/** choose chooses a value, one that was not offered too. */
export function choose(s: HTMLSelectElement, value: number | string, words = String(value)): void {
  if (![...s.options].some(o => o.value === String(value))) s.append(h("option", { value }, words));
  s.value = String(value);
}

export const tick = (id: string, changed: () => void, value = "yes"): HTMLInputElement => h("input", { type: "checkbox", id, value, onchange: changed });

/** ticked is a tick with its words. */
export const ticked = (input: HTMLInputElement, words: string): HTMLElement => h("label", { for: input.id }, input, words);

/** under puts a field under its title. */
export const under = (title: string, field: HTMLElement): HTMLElement => h("div", { class: "field" }, h("label", { for: field.id }, title), field);

/** group puts fields that belong together under one title. */
export const group = (title: string, ...fields: HTMLElement[]): HTMLFieldSetElement => h("fieldset", {}, h("legend", {}, title), fields);

/** plain writes a name of a table as words: "dual carriageways". */
export const plain = (name: string): string => name.replaceAll("-", " ");
