/**
 * The one palette of everything that draws: lamplight, harbour water and slate on warm paper.
 *
 * Lines differ in lightness and in dash as well as in hue, so they stay apart in greyscale print and for
 * colour-blind readers; words in `text` colours have at least 4.5 : 1 contrast on the paper, lines 3 : 1.
 */

/** How one kind of line is drawn. */
export interface Stroke {
  /** Colour of the line. */
  readonly line: string;
  /** Colour of words that name the line. */
  readonly text: string;
  /** Width in px. */
  readonly width: number;
  /** Dash pattern in px; unbroken where left out. */
  readonly dash?: string;
}

/** Grounds, rules and words. */
export interface Ground {
  readonly paper: string;
  readonly panel: string;
  readonly ink: string;
  readonly muted: string;
  readonly rule: string;
  readonly faint: string;
  /** Tint of what lies above a reference. */
  readonly above: string;
  /** Tint of what lies below a reference. */
  readonly below: string;
}

/** What lines stand for. */
export type Role = 'total' | 'right' | 'left' | 'root' | 'follower' | 'relative';

/** Grounds on light paper. */
export const GROUND: Ground = {
  paper: '#fcfaf4',
  panel: '#ffffff',
  ink: '#1c2a33',
  muted: '#56646c',
  rule: '#b9b8ad',
  faint: '#e6e2d6',
  above: '#f4dcae',
  below: '#cfe2e6',
};

/** Lines on light paper. */
export const STROKES: Readonly<Record<Role, Stroke>> = {
  total: { line: '#1c2a33', text: '#1c2a33', width: 4.2 },
  right: { line: '#1f7f93', text: '#14606f', width: 2 },
  left: { line: '#d07a12', text: '#96540a', width: 2, dash: '7 3' },
  root: { line: '#1f6c80', text: '#14606f', width: 2.2 },
  follower: { line: '#a3416a', text: '#8c3158', width: 2.2, dash: '9 3' },
  relative: { line: '#6d5a2e', text: '#5f4d24', width: 2 },
};

/**
 * Lines of one kind that are compared in one panel, in their order, on light paper: each has a hue, a
 * lightness and a dash of its own.
 */
export const SERIES: readonly Stroke[] = [
  { line: '#728f2f', text: '#55701c', width: 2.4, dash: '2.5 2.5' },
  { line: '#a4502c', text: '#8a3f1e', width: 2.2 },
  { line: '#26345c', text: '#26345c', width: 2.8, dash: '11 3' },
  { line: '#7d6bb0', text: '#5f4d94', width: 2.2, dash: '9 3 2 3' },
  { line: '#0f7268', text: '#0b5f57', width: 1.6 },
  { line: '#6b6b6b', text: '#555555', width: 3, dash: '5 5' },
];

/** Grounds on a dark screen. */
export const DARK_GROUND: Ground = {
  paper: '#141d23',
  panel: '#1b262d',
  ink: '#eef0ea',
  muted: '#a9b4b8',
  rule: '#56646c',
  faint: '#2c3a43',
  above: '#5c4620',
  below: '#23444f',
};

/** Lines on a dark screen. */
export const DARK_STROKES: Readonly<Record<Role, Stroke>> = {
  total: { line: '#eef0ea', text: '#eef0ea', width: 4.2 },
  right: { line: '#4fb3c8', text: '#7fcadb', width: 2 },
  left: { line: '#eba04a', text: '#f2b871', width: 2, dash: '7 3' },
  root: { line: '#5bb2c6', text: '#7fcadb', width: 2.2 },
  follower: { line: '#dd86ab', text: '#eba3c1', width: 2.2, dash: '9 3' },
  relative: { line: '#c2ad78', text: '#d3c294', width: 2 },
};
