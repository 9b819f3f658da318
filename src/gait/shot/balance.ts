import { joinJets } from '../feet/quintic.js';
import { addTracks } from './add-tracks.js';
import { BAND, solveBanded } from './banded.js';
import type { Course, Layout } from './lay-nodes.js';
import type { PieceTrack, Shot, ShotBase } from './shot.js';
import { type AimReader, prepareAims } from './shot-forces.js';
import { createShotSampler, type ShotSampler } from './shot-sampler.js';

/** Pieces that each step, shift and settling is cut into, and points at which each piece is looked at. */
const PIECES = 2;
const POINTS = 6;

/** When the body is still after the last contact, over the time of settling: the load settles for longer. By eye. */
const STILL_BY = 0.7;

/** How much a second derivative of the correction weighs by itself, beside what it is to make up for. */
const CALM = 0.05;

/**
 * The base with its way over the floor corrected where the shot is not steady: so that the feet, each pushing
 * from its own pressure at its own pivot, give as nearly as can be the force that moves the body. With the
 * correction x, what they leave out is rest + x″/g − load · x/h (the equation that steady walks solve for
 * their sway); its square is made least by polynomials of fifth degree that begin and end at rest at 0.
 */
export function balanceBase(shot: Shot, course: Course, layout: Layout): ShotBase {
  let { along, beside } = shot.base;
  const windows = windowsOf(shot, course, layout);
  if (windows.length === 0) return shot.base;
  const sampler = createShotSampler(shot);
  const aims = prepareAims(shot, sampler);
  for (const times of windows) {
    const [a, b] = correct(shot, times, sampler, aims);
    along = addTracks(along, a);
    beside = addTracks(beside, b);
  }
  return { ...shot.base, along, beside };
}

/** Ends of pieces over each run of steps that are not the walk itself. */
function windowsOf({ steps, duration }: Shot, course: Course, { nodes }: Layout): number[][] {
  const windows: number[][] = [];
  let open: number[] | undefined;
  const last = nodes.length - 1;
  const cut = (from: number, to: number): void => {
    if (to - from <= 1e-9) return;
    open ??= [from];
    for (let p = 1; p <= PIECES; p++) open.push(p === PIECES ? to : from + ((to - from) * p) / PIECES);
  };
  for (let i = 1; i <= last; i++) {
    const { pure } = nodes[i];
    if (pure !== undefined && pure === nodes[i - 1].pure) {
      if (open) windows.push(open);
      open = undefined;
      continue;
    }
    if (i === 1 && course.from === 'standing') {
      const { lift, roll } = steps[0];
      cut(Math.max(0, roll.start), lift);
      cut(lift, nodes[1].time);
    } else cut(nodes[i - 1].time, nodes[i].time);
  }
  if (course.to === 'standing') {
    const { roll } = steps[steps.length - 1];
    cut(nodes[last].time, Math.min(duration, roll.start + STILL_BY * (roll.end - roll.start)));
  }
  if (open) windows.push(open);
  return windows;
}

/** Values, slopes and second derivatives that six shapes have at a fraction `u` of a piece `span` long. */
function shapesAt(u: number, span: number): { value: number; bend: number }[] {
  return SHAPES.map((powers, i) => {
    let value = 0;
    let bend = 0;
    for (let k = 5; k >= 0; k--) {
      value = value * u + powers[k];
      if (k >= 2) bend = bend * u + k * (k - 1) * powers[k];
    }
    const unit = span ** (i % 3);
    return { value: value * unit, bend: (bend * unit) / (span * span) };
  });
}

/** Quintics with one value, slope or second derivative of 1 at one of their ends, and 0 for the others. */
const SHAPES = Array.from({ length: 6 }, (_, i) => {
  const jet = (from: number): [number, number, number] => [
    i === from ? 1 : 0,
    i === from + 1 ? 1 : 0,
    i === from + 2 ? 1 : 0,
  ];
  return joinJets(jet(0), jet(3), 1).powers;
});

/** The corrections along and beside that go over pieces with the given ends. */
function correct(
  shot: Shot,
  times: readonly number[],
  sampler: ShotSampler,
  aims: AimReader,
): [PieceTrack, PieceTrack] {
  const { gravity, cycles } = shot;
  const feet = new Float64Array(6);
  const rest = new Float64Array(2);
  const inner = times.length - 2;
  const count = 3 * inner;
  const { forwardHeight, sideHeight } = cycles[0].pivot;
  const systems = [forwardHeight, sideHeight].map((height) => ({
    height,
    bands: new Float64Array(count * (BAND + 1)),
    right: new Float64Array(count),
  }));
  for (let p = 0; p + 1 < times.length; p++) {
    const span = times[p + 1] - times[p];
    for (let j = 0; j < POINTS; j++) {
      const u = (j + 0.5) / POINTS;
      aims(times[p] + u * span, feet, rest);
      const { heading } = sampler.state.line;
      const [c, s] = [Math.cos(heading), Math.sin(heading)];
      const left = [rest[0] * c + rest[1] * s, rest[1] * c - rest[0] * s];
      const load = feet[0] + feet[3];
      const shapes = shapesAt(u, span);
      systems.forEach(({ height, bands, right }, axis) => {
        const answers = shapes.map(({ value, bend }) => bend / gravity - (load * value) / height);
        for (let a = 0; a < 6; a++) {
          const row = 3 * (p - 1) + a;
          if (row < 0 || row >= count) continue;
          right[row] -= span * answers[a] * left[axis];
          for (let b = 0; b <= a; b++) {
            const column = 3 * (p - 1) + b;
            if (column < 0) continue;
            const calm = (CALM * shapes[a].bend * shapes[b].bend) / gravity ** 2;
            bands[row * (BAND + 1) + row - column] += span * (answers[a] * answers[b] + calm);
          }
        }
      });
    }
  }
  return systems.map(({ bands, right }): PieceTrack => {
    if (count > 0) solveBanded(bands, right);
    const jet = (node: number): [number, number, number] =>
      node === 0 || node > inner
        ? [0, 0, 0]
        : [right[3 * node - 3], right[3 * node - 2], right[3 * node - 1]];
    const powers = times.slice(1).map((end, p) => joinJets(jet(p), jet(p + 1), end - times[p]).powers);
    return { times, powers };
  }) as [PieceTrack, PieceTrack];
}
