/// <reference lib="dom" />
/// <reference lib="dom.iterable" />

const SVG = 'http://www.w3.org/2000/svg';

/** Attributes by name; numbers are written to a tenth. */
export type Attributes = Readonly<Record<string, string | number>>;

/** A new SVG element inside a parent. Text only ever arrives as text, never as mark-up. */
export function svg<K extends keyof SVGElementTagNameMap>(
  parent: Element,
  name: K,
  attributes: Attributes = {},
  text?: string,
): SVGElementTagNameMap[K] {
  const element = document.createElementNS(SVG, name);
  set(element, attributes);
  if (text !== undefined) element.textContent = text;
  parent.append(element);
  return element;
}

/** A new HTML element inside a parent. */
export function html<K extends keyof HTMLElementTagNameMap>(
  parent: Element,
  name: K,
  attributes: Attributes = {},
  text?: string,
): HTMLElementTagNameMap[K] {
  const element = document.createElement(name);
  set(element, attributes);
  if (text !== undefined) element.textContent = text;
  parent.append(element);
  return element;
}

export function set(element: Element, attributes: Attributes): void {
  for (const [key, value] of Object.entries(attributes)) {
    element.setAttribute(key, typeof value === 'number' ? String(Math.round(value * 10) / 10) : value);
  }
}

/** The element that the page is known to have. */
export function need<T extends Element>(selector: string): T {
  const found = document.querySelector<T>(selector);
  if (!found) throw new Error(`the page has no ${selector}`);
  return found;
}

/** Path data through points. */
export function through(points: readonly (readonly [number, number])[]): string {
  return `M${points.map(([x, y]) => `${Math.round(x * 10) / 10} ${Math.round(y * 10) / 10}`).join('L')}`;
}
