// Elements without markup: all text from a map or a file goes in as text.

type Child = Node | string | null | undefined | false;
type Props = Record<string, unknown>;

/** h makes an element. Props that begin with "on" are listeners, others attributes; true is an empty one, false and null none. */
export function h<K extends keyof HTMLElementTagNameMap>(tag: K, props: Props = {}, ...children: (Child | Child[])[]): HTMLElementTagNameMap[K] {
  const e = document.createElement(tag);
  dress(e, props);
  fill(e, ...children);
  return e;
}

/** svg makes an element of a picture. */
export function svg(tag: string, props: Props = {}, ...children: (Child | Child[])[]): SVGElement {
  const e = document.createElementNS("http://www.w3.org/2000/svg", tag);
  dress(e, props);
  fill(e, ...children);
  return e;
}

function dress(e: Element, props: Props): void {
  for (const [name, value] of Object.entries(props)) {
    if (name.startsWith("on")) e.addEventListener(name.slice(2), value as EventListener);
    else if (value === true) e.setAttribute(name, "");
    else if (value !== false && value != null) e.setAttribute(name, String(value));
  }
}

/** fill adds children, those of lists too. */
export function fill(e: Element, ...children: (Child | Child[])[]): void {
  for (const c of children.flat()) if (c) e.append(c);
}

/** show puts children in place of those that are there. */
export function show(e: Element, ...children: (Child | Child[])[]): void {
  e.replaceChildren();
  fill(e, ...children);
}

export const byId = (id: string): HTMLElement => document.getElementById(id)!;

let quiet = 0;

/** say tells the reader what has happened: on screen and to a screen reader. */
export function say(words: string, failed = false): void {
  tell(words, failed ? "failed" : "");
  if (words && !failed) quiet = window.setTimeout(() => tell("", ""), 8000);
}

/** hear tells a screen reader what everybody else can see. */
export const hear = (words: string): void => tell(words, "hide");

function tell(words: string, look: string): void {
  clearTimeout(quiet);
  const status = byId("status");
  status.textContent = words;
  status.className = look;
}
