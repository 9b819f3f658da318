import { createSampler } from '../../curves/sampler.js';
import type { MotionDocument } from '../document.js';
import { timeOfFrames } from '../frame-rate.js';
import { GROUND, STROKES } from '../palette.js';
import { rangeOf } from './describe.js';
import { group, lineBetween, textAt } from './elements.js';
import { readable } from './format-number.js';
import { textWidth } from './measure-text.js';
import { placeInRows } from './place-labels.js';
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
  const at = wayReader(root, span);
  const frames = Math.floor((span.duration * scene.frameRate.frames) / scene.frameRate.seconds + 1e-6);
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
  const contacts = chart.filter(({ pose }) => pose === 'contact');
  const long = contacts.map(({ foot, frame }) => `${foot} contact, frame ${frame}`);
  const short = contacts.map(({ foot, frame }) => `${foot === 'left' ? 'L' : 'R'} ${frame}`);
  const placed = (words: readonly string[]) => {
    const wanted = contacts.map(({ time }, i) => ({ x: x(at(time)), width: textWidth(words[i], TYPE.tick) }));
    return placeInRows(wanted, left, left + width);
  };
  const fits = placed(long).every(({ row }) => row === 0);
  const words = fits ? long : short;
  const places = placed(words);
  const marks = contacts.map(({ time, foot }, i) => {
    const { line, text } = STROKES[foot];
    const place = x(at(time));
    const mark = lineBetween(place, base, place, base - 22, { stroke: line, 'stroke-width': 3 });
    // What finds no room beside the others has its mark alone.
    if (places[i].row > 0) return mark;
    return mark + textAt(places[i].x, base + 17, words[i], { size: TYPE.tick, fill: text, anchor: 'middle' });
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
    ...marks,
    ...ticks,
  );
}

/**
 * Where along the way the root is: forward of where it began, or, on a way that turns, how far it has gone
 * over the ground.
 */
function wayReader(
  { forward, side, heading }: MotionDocument['root'],
  { start, duration }: MotionDocument['span'],
): (time: number) => number {
  const sampler = createSampler(heading ? [forward, side] : forward);
  const out = new Float64Array(2);
  if (!heading) {
    return (time) => {
      sampler.sample(time, out);
      return out[0];
    };
  }
  const gone = [0];
  sampler.sample(start, out);
  let [ahead, left] = out;
  for (let i = 1; i <= LOOKS; i++) {
    sampler.sample(start + (duration * i) / LOOKS, out);
    gone.push(gone[i - 1] + Math.hypot(out[0] - ahead, out[1] - left));
    [ahead, left] = out;
  }
  return (time) => {
    const at = Math.min(LOOKS, Math.max(0, ((time - start) / duration) * LOOKS));
    const i = Math.min(LOOKS - 1, Math.floor(at));
    return gone[i] + (gone[i + 1] - gone[i]) * (at - i);
  };
}

/** Pieces that a way is measured in. */
const LOOKS = 4000;
