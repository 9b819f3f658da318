import { GROUND } from '../palette.js';
import { element, group, textAt } from './elements.js';
import { escapeText } from './escape-text.js';
import { fitText } from './measure-text.js';
import { TYPE } from './type-scale.js';

/** A whole drawing. */
export interface SheetOptions {
  readonly width: number;
  readonly height: number;
  /** Headline; cut to the sheet's width, whole in the drawing's title element. */
  readonly title: string;
  /** One line under the headline. */
  readonly subtitle: string;
  /** What the drawing shows, for those who do not see it. */
  readonly description: string;
}

/** Where the headline starts, and the sheet's outer margin, in px. */
export const MARGIN = 28;

/** Height in px that headline and subtitle take. */
export const HEADER = 70;

/** A complete SVG document: paper, headline, description and content; no script, no outside reference. */
export function drawSheet(options: SheetOptions, ...content: readonly string[]): string {
  const { width, height, title, subtitle, description } = options;
  const room = width - 2 * MARGIN;
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${width} ${height}`,
      width,
      height,
      role: 'img',
      'aria-label': `${title}. ${subtitle}. ${description}`,
      'font-family': TYPE.family,
    },
    [
      `<title>${escapeText(title)}</title>`,
      `<desc>${escapeText(description)}</desc>`,
      element('rect', { width, height, fill: GROUND.paper }),
      textAt(MARGIN, 36, fitText(title, room, TYPE.title), { size: TYPE.title, weight: 700 }),
      textAt(MARGIN, 56, fitText(subtitle, room, TYPE.body), { size: TYPE.body, fill: GROUND.muted }),
      group({}, ...content),
    ].join('\n'),
  );
}
