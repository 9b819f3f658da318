import { GROUND } from '../palette.js';
import { element, group, lineBetween, textAt } from './elements.js';
import { readable } from './format-number.js';
import type { Ticks } from './ticks.js';
import { TYPE } from './type-scale.js';

/** A rectangle of the sheet with a linear scale on each axis. */
export interface Panel {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  /** Values at the left and right edges. */
  readonly across: readonly [number, number];
  /** Values at the bottom and top edges. */
  readonly up: readonly [number, number];
}

/** Horizontal place of a value in px. */
export function xOf(panel: Panel, value: number): number {
  const [from, to] = panel.across;
  return panel.left + ((value - from) / (to - from)) * panel.width;
}

/** Vertical place of a value in px. */
export function yOf(panel: Panel, value: number): number {
  const [from, to] = panel.up;
  return panel.top + panel.height - ((value - from) / (to - from)) * panel.height;
}

/** An axis: its ticks and, where wanted, its title and the words at its ticks. */
export interface AxisOptions {
  readonly ticks: Ticks;
  /** Quantity and unit; no title where left out. */
  readonly title?: string;
  /** Whether the ticks carry words. Default true. */
  readonly words?: boolean;
  /** Value whose rule is drawn stronger. */
  readonly strong?: number;
}

/** The ground of a panel. */
export function drawGround(panel: Panel): string {
  const { left, top, width, height } = panel;
  return element('rect', { x: left, y: top, width, height, fill: GROUND.panel });
}

/** Horizontal rules with their words on the left, and the axis' title above the panel's left edge. */
export function drawUpAxis(panel: Panel, { ticks, title, words = true, strong }: AxisOptions): string {
  const { left, width, top } = panel;
  const rules = ticks.values.map((value) => {
    const y = yOf(panel, value);
    const isStrong = strong !== undefined && Math.abs(value - strong) < ticks.step * 1e-6;
    return lineBetween(left, y, left + width, y, {
      stroke: isStrong ? GROUND.muted : GROUND.faint,
      'stroke-width': isStrong ? 1.2 : 1,
    });
  });
  const labels = words
    ? ticks.values.map((value) =>
        textAt(left - 8, yOf(panel, value) + 4, readable(value, ticks.decimals), {
          size: TYPE.tick,
          fill: GROUND.muted,
          anchor: 'end',
        }),
      )
    : [];
  const heading = title ? [textAt(left, top - 9, title, { size: TYPE.panel, weight: 600 })] : [];
  return group({}, ...rules, ...labels, ...heading);
}

/** The bottom edge with ticks and words below it. */
export function drawAcrossAxis(panel: Panel, { ticks, title, words = true }: AxisOptions): string {
  const { left, width } = panel;
  const y = panel.top + panel.height;
  const parts = [lineBetween(left, y, left + width, y, { stroke: GROUND.muted, 'stroke-width': 1.2 })];
  for (const value of ticks.values) {
    const x = xOf(panel, value);
    parts.push(lineBetween(x, y, x, y + 5, { stroke: GROUND.muted, 'stroke-width': 1.2 }));
    if (!words) continue;
    parts.push(
      textAt(x, y + 18, readable(value, Number.isInteger(value) ? 0 : ticks.decimals), {
        size: TYPE.tick,
        fill: GROUND.muted,
        anchor: 'middle',
      }),
    );
  }
  if (title) {
    parts.push(
      textAt(left + width / 2, y + 36, title, { size: TYPE.body, fill: GROUND.ink, anchor: 'middle' }),
    );
  }
  return group({}, ...parts);
}

/** A panel's heading where pose marks stand between it and the panel. */
export function drawHeading(panel: Panel, title: string, rise: number): string {
  return textAt(panel.left, panel.top - rise, title, { size: TYPE.panel, weight: 600 });
}
