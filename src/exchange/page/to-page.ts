import { refuseAny, requireArray, requireRecord, show } from '../../internal/check.js';
import type { DocumentForces, MotionDocument } from '../document.js';
import { checkDocument } from '../read-document.js';
import { requireDocument } from '../require-document.js';
import { escapeText } from '../svg/escape-text.js';
import { packDocument } from './pack.js';
import { PAGE_SCRIPT, PAGE_SCRIPT_HASH } from './page-script.js';
import { PAGE_STYLE } from './page-style.js';

/** What the page is called. */
export interface PageOptions {
  /** Headline. Default: the motion's name, or "Walks, side by side". */
  readonly title?: string;
}

/**
 * One self-contained HTML page of one motion or several side by side: the figure walking with the floor's
 * force under each foot, charts with a moving cursor, play, scrub, step and speed.
 *
 * Works from disk without a network. Nothing in it runs but the library's own program, which the page's
 * policy names by its hash; names and notes are data. It starts paused where less motion is asked for.
 *
 * @param documents - one motion document, or one to eight
 * @param options - the headline
 * @returns the page's text
 * @throws RangeError or TypeError naming field, rule and value, also where a document is not one
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { toDocument, toPage } from 'underfoot/exchange';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 } as const;
 * const page = toPage(toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene }));
 * console.log(page.slice(0, 15)); // → <!doctype html>
 * ```
 */
export function toPage(
  documents: MotionDocument | readonly MotionDocument[],
  options: PageOptions = {},
): string {
  const where = 'toPage';
  requireRecord(where, 'options', options, ['title']);
  const list = (
    Array.isArray(documents) ? requireArray(where, 'documents', documents, 1) : [documents]
  ) as MotionDocument[];
  if (list.length > 8) {
    refuseAny(where, [
      { field: 'documents', rule: 'must have at most 8 entries', got: String(list.length), kind: 'range' },
    ]);
  }
  for (const [i, document] of list.entries()) {
    requireDocument(where, document, `documents[${i}]`);
    refuseAny(
      where,
      checkDocument(document).map((problem) => ({ ...problem, field: `documents[${i}].${problem.field}` })),
    );
  }
  const { title = list.length === 1 ? list[0].name : 'Walks, side by side' } = options;
  if (typeof title !== 'string') {
    refuseAny(where, [{ field: 'title', rule: 'must be a string', got: show(title), kind: 'type' }]);
  }
  return pageOf(list, title || 'Walk');
}

function pageOf(documents: readonly MotionDocument[], title: string): string {
  const policy = `default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-${PAGE_SCRIPT_HASH}'`;
  const boxes = documents.map(({ name }, i) => {
    const checked = i < 3 ? ' checked' : '';
    return `<label><input type="checkbox" name="motion"${checked}> ${escapeText(name || 'motion')}</label>`;
  });
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<title>${escapeText(title)}</title>
<style>${PAGE_STYLE}</style>
</head>
<body>
<header>
<h1>${escapeText(title)}</h1>
<p class="hint">Right foot in blue, left foot in amber and dashed; arrows are the floor's force on each foot. Space plays and pauses, the arrow keys step by frame.</p>
${documents.length > 1 ? `<fieldset><legend>Show</legend>${boxes.join('')}</fieldset>` : ''}
</header>
<main id="panels"></main>
<section class="bar" aria-label="Time">
<button id="play" type="button">Play</button>
<button id="back" type="button">Frame back</button>
<button id="on" type="button">Frame on</button>
<label class="scrub"><span class="aside">Frame</span><input id="scrub" type="range" min="0" max="1" step="any" value="0"></label>
<label>Speed <select id="speed"><option value="0.25">a quarter</option><option value="0.5">half</option><option value="1" selected>full</option><option value="2">double</option></select></label>
<label>Seen from <select id="view"><option value="side" selected>the side</option><option value="corner">the corner</option><option value="front">the front</option></select></label>
<label${documents.length > 1 ? '' : ' hidden'}><input id="steps" type="checkbox"> Steps together</label>
<p id="told" class="aside" role="status"></p>
</section>
<noscript><p>This page draws with a program of its own, which this browser does not run.</p></noscript>
<footer><p>A preview for animators; not for clinical use.</p></footer>
<script type="application/json" id="motions">${embed(documents)}</script>
<script>${PAGE_SCRIPT}</script>
</body>
</html>
`;
}

/** Most samples of forces per frame in the page's own copy; straight lines between them are drawn. */
const MOST_PER_FRAME = 4;

/** Every second, third … sample of forces, where their number allows it. */
function thinned({ forces, span }: MotionDocument): DocumentForces {
  const { perFrame, time } = forces;
  // Of a cycle every part has to be a whole one; of what ends, the last sample may go.
  const steps = [2, 3, 4, 8].filter(
    (step) => perFrame % step === 0 && (!span.repeats || time.length % step === 0),
  );
  const most = span.repeats ? MOST_PER_FRAME : MOST_PER_FRAME / 2;
  const every = steps.find((step) => perFrame / step <= most) ?? 1;
  if (every === 1) return forces;
  const keep = (values: readonly number[]): number[] => values.filter((_, i) => i % every === 0);
  const part = ({ vertical, forward, side }: DocumentForces['left']) => ({
    vertical: keep(vertical),
    forward: keep(forward),
    side: keep(side),
  });
  return {
    ...forces,
    perFrame: perFrame / every,
    time: keep(time),
    left: part(forces.left),
    right: part(forces.right),
    total: part(forces.total),
  };
}

/** The documents as JSON that cannot end its element, with no more digits than a page can show. */
function embed(documents: readonly MotionDocument[]): string {
  const copies = documents.map((document) => packDocument({ ...document, forces: thinned(document) }));
  return JSON.stringify(copies).replace(
    /[<>&\u2028\u2029]/g,
    (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}
