import { createSampler } from '../../curves/sampler.js';
import type { MotionDocument } from '../document.js';
import { timeOfFrames } from '../frame-rate.js';
import { GROUND, STROKES } from '../palette.js';
import { rangeOf } from './describe.js';
import { group, lineBetween, textAt } from './elements.js';
import { readable } from './format-number.js';
import { TYPE } from './type-scale.js';

/** Height in px that the strip takes, heading included. */
export const STRIP_HEIGHT = 78;

/** The strip's place. */
export interface StripPlace {
  readonly left: number;
  readonly top: number;
  readonly width: number;
}

/**
 * The spacing of a stride: where along the way the root is at every frame, drawn to scale. Contacts get a
 * long mark in the foot's colour and their frame.
 */
export function drawSpacing(document: MotionDocument, { left, top, width }: StripPlace): string {
  const { span, scene, chart, root } = document;
  const sampler = createSampler(root.forward);
  const out = new Float64Array(1);
  const at = (time: number): number => {
    sampler.sample(time, out);
    return out[0];
  };
  const frames = Math.round((span.duration * scene.frameRate.frames) / scene.frameRate.seconds);
  const along = Array.from({ length: frames + 1 }, (_, i) =>
    at(span.start + timeOfFrames(scene.frameRate, i)),
  );
  const [low, high] = rangeOf(along);
  const x = (value: number): number => left + ((value - low) / (high - low || 1)) * width;
  const base = top + 48;
  const steps = along.slice(1).map((value, i) => (value - along[i]) * 100);
  const [least, most] = rangeOf(steps);
  const ticks = along.map((value) =>
    lineBetween(x(value), base, x(value), base - 12, { stroke: GROUND.ink, 'stroke-width': 1.3 }),
  );
  const contacts = chart
    .filter(({ pose }) => pose === 'contact')
    .map(({ time, foot, frame }) => {
      const { line, text } = STROKES[foot];
      const place = x(at(time));
      return (
        lineBetween(place, base, place, base - 22, { stroke: line, 'stroke-width': 3 }) +
        textAt(place, base + 17, `${foot} contact, frame ${frame}`, {
          size: TYPE.tick,
          fill: text,
          anchor: place < left + 60 ? 'start' : place > left + width - 60 ? 'end' : 'middle',
        })
      );
    });
  return group(
    {},
    textAt(left, top, 'Spacing: where the root is at each frame, to scale', {
      size: TYPE.panel,
      weight: 600,
    }),
    textAt(left + width, top, `${readable(least, 1)} to ${readable(most, 1)} cm a frame`, {
      size: TYPE.tick,
      fill: GROUND.muted,
      anchor: 'end',
    }),
    lineBetween(left, base, left + width, base, { stroke: GROUND.muted, 'stroke-width': 1.2 }),
    ...contacts,
    ...ticks,
  );
}
