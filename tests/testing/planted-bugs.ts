/** Adapters that are wrong in one way each, and the law that has to name it. */
import type { RigCurve, RigKey } from '../../src/exchange/index.js';
import { layerOf, type Mistake, toHost } from './harbour-host.js';

export interface PlantedBug {
  readonly bug: string;
  readonly mistake: Mistake;
  readonly law: string;
  /** Words that the reason has to have. */
  readonly because?: string;
}

const keys =
  (change: (key: RigKey, i: number, all: readonly RigKey[]) => RigKey) =>
  (curve: RigCurve): RigCurve => ({ ...curve, keys: curve.keys.map(change) });

const LAWS = {
  locked: 'A channel that the host has locked is told as locked and left as it is.',
  others: 'Writing a channel leaves the other channels alone.',
  lost: 'No key is lost on the way.',
  twice: 'No key is added and none is there twice, not even where a cycle closes.',
  replace: 'Replacing leaves nothing of what was there.',
  gone: 'What is taken away is gone.',
  metre: 'A metre stays a metre, whatever the host counts in.',
  radian: 'A radian stays a radian, whatever the host counts in.',
  own: 'Every curve arrives on its own channel.',
  way: 'Up stays up, ahead stays ahead, left stays left, and angles turn the same way.',
  first: 'Time 0 falls on the first frame.',
  second: 'A second stays a second, for a long while.',
  met: 'Every key is met at its frame with its value, the last one too.',
  alike: 'A slope rises alike on both sides of its key.',
  sides: 'Each side of a key keeps its own slope.',
  width: 'A handle keeps its width.',
  kinds: 'A line stays a line and a hold stays a hold.',
  jump: 'A jump arrives with one value and leaves with the other.',
  beyond: 'Before and after its keys a curve stays, or goes straight on, as it says.',
  loop: 'A loop comes round again, one period later.',
  travels: 'What travels keeps what it has gained, each time round.',
  between: 'Keys between frames are met too.',
  layer: 'A curve laid over another adds to it and leaves it as it is.',
  back: 'What is read back plays as what was written.',
  failure: 'Where the host fails half way, everything is as it was.',
  fits: 'The channels and the facts fit the mapping, and looking at them changes nothing.',
} as const;

export const PLANTED: readonly PlantedBug[] = [
  {
    bug: 'two axes swapped',
    mistake: { channel: (name) => ({ 'hips.y': 'hips.z', 'hips.z': 'hips.y' })[name] ?? name },
    law: LAWS.own,
    because: 'shows what root.',
  },
  { bug: 'forward told the other way', mistake: { facts: { forward: '+y' } }, law: LAWS.way },
  {
    bug: 'the sign of angles flipped',
    mistake: {
      curve: (curve, channel) =>
        channel.endsWith('pitch')
          ? keys((key) => ({
              ...key,
              value: -key.value,
              in: { ...key.in, slope: -key.in.slope },
              out: { ...key.out, slope: -key.out.slope },
            }))(curve)
          : curve,
    },
    law: LAWS.way,
    because: 'pitch runs the other way',
  },
  {
    bug: 'centimetres told as metres',
    mistake: { facts: { metersPerUnit: 1 } },
    law: LAWS.metre,
    because: 'metres taken for centimetres',
  },
  {
    bug: 'radians told, degrees meant',
    mistake: { facts: { angles: 'radians' } },
    law: LAWS.radian,
    because: 'degrees taken for radians',
  },
  {
    bug: 'frames counted from 1000',
    mistake: { facts: { firstFrame: 1000 } },
    law: LAWS.first,
    because: 'frames ahead',
  },
  {
    bug: 'a frame late',
    mistake: { curve: keys((key) => ({ ...key, frame: key.frame + 1 })) },
    law: LAWS.first,
  },
  { bug: '23.976 told as 24 frames a second', mistake: { facts: { fps: 23.976 } }, law: LAWS.second },
  {
    bug: 'handles three times too long, as slopes of a third',
    mistake: {
      curve: keys((key) => ({
        ...key,
        in: { ...key.in, frames: key.in.frames * 3 },
        out: { ...key.out, frames: key.out.frames * 3 },
      })),
    },
    law: LAWS.width,
  },
  {
    bug: 'slopes three times too steep',
    mistake: {
      curve: keys((key) => ({
        ...key,
        in: { ...key.in, slope: key.in.slope * 3 },
        out: { ...key.out, slope: key.out.slope * 3 },
      })),
    },
    law: LAWS.alike,
  },
  {
    bug: 'in and out swapped',
    mistake: { curve: keys((key) => ({ ...key, in: key.out, out: key.in })) },
    law: LAWS.sides,
  },
  {
    bug: 'only the widths of in and out swapped',
    mistake: {
      curve: keys((key) => ({
        ...key,
        in: { ...key.in, frames: key.out.frames },
        out: { ...key.out, frames: key.in.frames },
      })),
    },
    law: LAWS.width,
  },
  {
    bug: 'the slope falls on the in side where it rises',
    mistake: { curve: keys((key) => ({ ...key, in: { ...key.in, slope: -key.in.slope } })) },
    law: LAWS.alike,
  },
  {
    bug: 'slopes per second for slopes per frame',
    mistake: {
      curve: keys((key) => ({
        ...key,
        in: { ...key.in, slope: key.in.slope * 24 },
        out: { ...key.out, slope: key.out.slope * 24 },
      })),
    },
    law: LAWS.alike,
  },
  {
    bug: 'corners smoothed',
    mistake: { curve: keys((key) => ({ ...key, in: { ...key.in, slope: key.out.slope } })) },
    law: LAWS.sides,
  },
  {
    bug: 'the last key dropped',
    mistake: { curve: (curve) => ({ ...curve, keys: curve.keys.slice(0, -1) }) },
    law: LAWS.lost,
  },
  {
    bug: 'the seam written twice',
    mistake: { curve: (curve) => ({ ...curve, keys: [...curve.keys, curve.keys[curve.keys.length - 1]] }) },
    law: LAWS.twice,
  },
  { bug: 'locks not told', mistake: { tellsLocks: false }, law: LAWS.locked },
  {
    bug: 'keys merged into what was there',
    mistake: {
      write: (host, channel, curve, mode) => {
        const layer = layerOf(host, mode);
        if (!curve) {
          delete layer[channel];
          return;
        }
        const fresh = toHost(curve);
        const taken = new Set(fresh.keys.map(({ frame }) => frame));
        const kept = (layer[channel]?.keys ?? []).filter(({ frame }) => !taken.has(frame));
        layer[channel] = { ...fresh, keys: [...kept, ...fresh.keys].sort((a, b) => a.frame - b.frame) };
      },
    },
    law: LAWS.replace,
  },
  {
    bug: 'nothing is ever taken away',
    mistake: {
      write: (host, channel, curve, mode) => {
        if (curve) layerOf(host, mode)[channel] = toHost(curve);
      },
    },
    law: LAWS.gone,
  },
  {
    bug: 'a failed write leaves its half',
    mistake: {
      copies: false,
      write: (host, channel, curve, mode) => {
        const layer = layerOf(host, mode);
        if (!curve) {
          // Forgets what it did not finish.
          if (!host.spoilt.has(`${channel} half`)) delete layer[channel];
          return;
        }
        if (host.spoilt.delete(channel)) {
          host.spoilt.add(`${channel} half`);
          layer[channel] = toHost({ ...curve, keys: curve.keys.slice(0, 1) });
          throw new Error('the host has failed half way');
        }
        if (!host.spoilt.has(`${channel} half`)) layer[channel] = toHost(curve);
      },
    },
    law: LAWS.failure,
  },
  {
    bug: 'what is laid over replaces what is under it',
    mistake: {
      write: (host, channel, curve) => {
        if (curve) host.base[channel] = toHost(curve);
        else delete host.base[channel];
      },
    },
    law: LAWS.layer,
  },
  {
    bug: 'travelling told as looping',
    mistake: {
      curve: (curve) => ({
        ...curve,
        before: curve.before === 'travels' ? 'loops' : curve.before,
        after: curve.after === 'travels' ? 'loops' : curve.after,
      }),
    },
    law: LAWS.travels,
  },
  {
    bug: 'loops that stop',
    mistake: {
      curve: (curve) => ({ ...curve, after: curve.after === 'loops' ? 'holds' : curve.after }),
    },
    law: LAWS.loop,
  },
  {
    bug: 'a loop one frame too long',
    mistake: { late: 1 },
    law: LAWS.loop,
  },
  {
    bug: 'a key put behind a loop',
    mistake: {
      curve: (curve) => {
        if (curve.after !== 'loops') return curve;
        const last = curve.keys[curve.keys.length - 1];
        return { ...curve, keys: [...curve.keys, { ...last, frame: last.frame + 1 }] };
      },
    },
    law: LAWS.twice,
  },
  {
    bug: 'jumps left out',
    mistake: { curve: keys(({ arrives: _, ...key }) => key) },
    law: LAWS.jump,
  },
  {
    bug: 'a jump that leaves with what it arrived with',
    mistake: { curve: keys((key) => ({ ...key, value: key.arrives ?? key.value })) },
    law: LAWS.jump,
  },
  {
    bug: 'a copy that is never put back',
    mistake: { putBack: () => undefined },
    law: LAWS.failure,
  },
  {
    bug: 'straight ends flattened',
    mistake: {
      curve: (curve) => ({ ...curve, after: curve.after === 'straight' ? 'holds' : curve.after }),
    },
    law: LAWS.beyond,
  },
  {
    bug: 'lines eased',
    mistake: { curve: keys((key) => ({ ...key, next: key.next === 'line' ? 'curve' : key.next })) },
    law: LAWS.kinds,
  },
  {
    bug: 'holds played as lines',
    mistake: { curve: keys((key) => ({ ...key, next: key.next === 'hold' ? 'line' : key.next })) },
    law: LAWS.kinds,
  },
  {
    bug: 'frames rounded to whole ones',
    mistake: { curve: keys((key) => ({ ...key, frame: Math.round(key.frame) })) },
    law: LAWS.between,
  },
  {
    bug: 'values kept with few digits',
    mistake: { curve: keys((key) => ({ ...key, value: Math.round(key.value * 1000) / 1000 })) },
    law: LAWS.met,
  },
  {
    bug: 'one slot for all channels',
    mistake: { channel: () => 'hips.z' },
    law: LAWS.others,
  },
  {
    bug: 'the keys of another layer read back',
    mistake: {
      read: (host, channel) => {
        const kept = host.base[channel];
        return (
          kept && {
            before: kept.before,
            after: kept.after,
            keys: kept.keys.map(({ frame, value, next }) => ({
              frame,
              value,
              in: { frames: 0, slope: 0 },
              out: { frames: 0, slope: 0 },
              next,
            })),
          }
        );
      },
    },
    law: LAWS.back,
  },
];

export const ALL_LAWS: readonly string[] = Object.values(LAWS);
