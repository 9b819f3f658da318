import { GROUND } from '../palette.js';
import { escapeText } from './escape-text.js';
import { coordinate } from './format-number.js';
import { TYPE } from './type-scale.js';

/** Attributes of an element; what is undefined is left out, numbers are written as coordinates. */
export type Attributes = Readonly<Record<string, string | number | undefined>>;

/** An element with attributes and ready-made content. */
export function element(name: string, attributes: Attributes, content = ''): string {
  const written = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(
      ([key, value]) =>
        ` ${key}="${typeof value === 'number' ? coordinate(value) : escapeText(String(value))}"`,
    )
    .join('');
  return content === '' ? `<${name}${written}/>` : `<${name}${written}>${content}</${name}>`;
}

/** How a piece of text is set. */
export interface TextOptions {
  readonly size?: number;
  readonly fill?: string;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly weight?: number;
  /** Degrees clockwise about the text's own point. */
  readonly turn?: number;
  /** Colour drawn round the letters so that lines behind do not disturb them. */
  readonly halo?: string;
}

/** A line of text at a point; the text is escaped here. */
export function textAt(x: number, y: number, text: string, options: TextOptions = {}): string {
  const { size = TYPE.body, fill = GROUND.ink, anchor, weight, turn, halo } = options;
  return element(
    'text',
    {
      x,
      y,
      'font-size': size,
      fill,
      'text-anchor': anchor === 'start' ? undefined : anchor,
      'font-weight': weight,
      transform: turn === undefined ? undefined : `rotate(${turn} ${coordinate(x)} ${coordinate(y)})`,
      stroke: halo,
      'stroke-width': halo ? 4 : undefined,
      'stroke-linejoin': halo ? 'round' : undefined,
      'paint-order': halo ? 'stroke' : undefined,
    },
    escapeText(text),
  );
}

/** A straight line. */
export function lineBetween(x1: number, y1: number, x2: number, y2: number, attributes: Attributes): string {
  return element('line', { x1, y1, x2, y2, ...attributes });
}

/** Path data through points, to a tenth of a px: finer than any line is thick. */
export function pathThrough(points: readonly (readonly [number, number])[]): string {
  const tenth = (x: number): string => String(Math.round(x * 10) / 10 + 0);
  return `M${points.map(([x, y]) => `${tenth(x)} ${tenth(y)}`).join(' ')}`;
}

/** A group of elements. */
export function group(attributes: Attributes, ...content: readonly string[]): string {
  return element('g', attributes, content.join(''));
}
