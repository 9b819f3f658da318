import { describe, expect, it } from 'vitest';
import { createSampler } from '../../../src/curves/index.js';
import {
  footTracks,
  keyMotion,
  planShot,
  type Shot,
  type ShotFootTrack,
  type ShotSpec,
} from '../../../src/gait/index.js';
import { shotFootPath } from '../../../src/gait/shot-keys/shot-foot-path.js';
import { footStances } from '../../../src/gait/shot-keys/stance-times.js';
import { assertClose } from '../../support/assert-close.js';

const FEET = ['left', 'right'] as const;

function reader(track: ShotFootTrack) {
  const { forward, side, height, pitch, toeBend, heading } = track;
  const sampler = createSampler([forward, side, height, pitch, toeBend, heading]);
  const row = new Float64Array(6);
  return (t: number) => {
    sampler.sample(t, row);
    const [f, s, h, p, b, y] = row;
    return { forward: f, side: s, height: h, pitch: p, toeBend: b, heading: y };
  };
}

/** Least distance in m to its own side at which a swinging foot's axis passes the standing foot's. */
function leastGap(shot: Shot): number {
  const tracks = footTracks(shot, { fps: 30 });
  let least = Number.POSITIVE_INFINITY;
  for (const side of FEET) {
    const sign = side === 'left' ? 1 : -1;
    const own = tracks[side];
    const other = tracks[side === 'left' ? 'right' : 'left'];
    const [swings, stands] = [reader(own), reader(other)];
    const { heelToBall, ballToToe } = own.shape;
    own.contacts.slice(1).forEach(({ land }, i) => {
      const { lift } = own.contacts[i];
      for (let k = 0; k <= 40; k++) {
        const t = lift + (k / 40) * (land - lift);
        const [a, b] = [stands(t), swings(t)];
        for (let part = 0; part <= 8; part++) {
          const ahead = -heelToBall + ((heelToBall + ballToToe) * part) / 8;
          const x = b.forward + ahead * Math.cos(b.heading) - a.forward;
          const y = b.side + ahead * Math.sin(b.heading) - a.side;
          const along = x * Math.cos(a.heading) + y * Math.sin(a.heading);
          const beside = sign * (y * Math.cos(a.heading) - x * Math.sin(a.heading));
          if (along > -heelToBall && along < ballToToe) least = Math.min(least, beside);
        }
      }
    });
  }
  return least;
}

const pathsOf = (shot: Shot) =>
  FEET.map((side) => {
    const { times } = footStances(shot, side, undefined, 0);
    const scales = times.map(() => 1);
    return shotFootPath(shot, side, times, scales);
  });

/** A body that turns by itself, by so much a step, with feet 12 cm apart and `length` m a step. */
function turning(by: number, length: number): ShotSpec {
  const contacts = Array.from({ length: 9 }, (_, i) => {
    const foot = i % 2 ? ('left' as const) : ('right' as const);
    const order = Math.max(0, i - 1);
    const heading = by * order;
    // Each step goes where the body points halfway through it.
    let [forward, side] = [0, 0];
    for (let k = 1; k <= order; k++) {
      forward += length * Math.cos(by * (k - 0.5));
      side += length * Math.sin(by * (k - 0.5));
    }
    const out = foot === 'left' ? 0.06 : -0.06;
    return {
      foot,
      land: i < 2 ? 0 : 0.5 + (i - 2) * 0.6,
      plant: {
        forward: forward - out * Math.sin(heading),
        side: side + out * Math.cos(heading),
        heading,
      },
    };
  });
  return { contacts };
}

describe('swinging feet of a shot', () => {
  it('pass the standing foot on their own side, in bends down to 0.6 m', () => {
    // Two standing feet are 0.117 m apart straight on.
    assertClose(leastGap(planShot({ stretches: [{ steps: 8 }] })), 0.117, { abs: 0.001 });
    for (const [radius, gap] of [
      [8, 0.1],
      [2, 0.09],
      // Where the bend ends the feet come back from outside the line.
      [-2, 0.045],
      [1, 0.08],
      [-1, 0.02],
      [0.6, 0.06],
    ]) {
      const shot = planShot({ stretches: [{ steps: 2 }, { steps: 8, turn: { radius } }, { steps: 3 }] });
      expect(leastGap(shot), `radius ${radius} m`).toBeGreaterThan(gap);
    }
  });

  it('pass the standing foot where the body turns by itself', () => {
    for (const by of [0.3, -0.3, 0.5, -0.5]) {
      expect(leastGap(planShot(turning(by, 0.5))), `${by} rad a step`).toBeGreaterThan(0.06);
    }
  });

  it('clear ground that bends between their plants, up and down', () => {
    for (const slope of [0.1, -0.1, 0.2, -0.2, 0.4, -0.4]) {
      const shot = planShot({ stretches: [{ steps: 4 }, { steps: 5, slope }, { steps: 4 }] });
      const heels = [...new Map(shot.steps.map(({ along, plant }) => [along, plant.height]))];
      const ground = (x: number): number => {
        const i = Math.max(
          1,
          heels.findIndex(([along]) => along > x),
        );
        const [[a, low], [b, high]] = [heels[i - 1], heels[i]];
        return low + ((x - a) / (b - a)) * (high - low);
      };
      const out = new Float64Array(18);
      for (const { pieces, shape } of pathsOf(shot)) {
        for (const { times, next, write } of pieces) {
          for (let k = 1; k < 60 && next !== undefined; k++) {
            write(times.lift + (k / 60) * (next - times.lift), out);
            const toes = out[9] - out[12];
            for (const [ahead, up] of [
              [-shape.heelToBall * Math.cos(out[9]), shape.heelToBall * Math.sin(out[9])],
              [0, 0],
              [shape.ballToToe * Math.cos(toes), -shape.ballToToe * Math.sin(toes)],
            ]) {
              const x = out[0] + ahead;
              if (x > heels[heels.length - 1][0]) continue;
              const clear = out[6] + up - ground(x);
              const what = `slope ${slope}, foot at ${x.toFixed(2)} m, ${k}/60 of swing`;
              expect(clear, what).toBeGreaterThan(-0.002);
              if (k > 21 && k < 39) expect(clear, what).toBeGreaterThan(0.01);
            }
          }
        }
      }
    }
  });

  it('pass the edges of stairs, the first and the last too', () => {
    for (const [riser, tread] of [
      [-0.17, 0.3],
      [-0.2, 0.28],
      [0.17, 0.28],
      [0.18, 0.28],
      [0.17, 0.3],
    ]) {
      const shot = planShot({
        stretches: [{ steps: 3 }, { steps: 5, stairs: { riser, tread } }, { steps: 3 }],
      });
      const paths = pathsOf(shot);
      const { heelToBall, ballToToe } = paths[0].shape;
      // Going down the edge is in front of the toes that stand above it, going up at the heel.
      const floor = (x: number): number => {
        const reached = shot.steps.filter(({ along, plant }, i) => {
          const before = shot.steps[i - 1];
          const down = before !== undefined && plant.height < before.plant.height;
          return x >= (down ? Math.min(before.along + heelToBall + ballToToe, along) : along) + 1e-4;
        });
        return reached.at(-1)?.plant.height ?? 0;
      };
      const out = new Float64Array(18);
      for (const { pieces } of paths) {
        for (const { times, next, write } of pieces) {
          for (let k = 1; k < 97 && next !== undefined; k++) {
            write(times.lift + (k / 97) * (next - times.lift), out);
            const toes = out[9] - out[12];
            for (const [ahead, up] of [
              [-heelToBall * Math.cos(out[9]), heelToBall * Math.sin(out[9])],
              [0, 0],
              [ballToToe * Math.cos(toes), -ballToToe * Math.sin(toes)],
            ]) {
              const clear = out[6] + up - floor(out[0] + ahead);
              // Between the looks of the search.
              expect(clear, `riser ${riser}, ${k}/97 at ${out[0].toFixed(2)} m`).toBeGreaterThan(-0.002);
            }
          }
        }
      }
    }
  });

  it('are said to have too little room on treads shorter than they are', () => {
    const notesOn = (tread: number) => {
      const shot = planShot({
        stretches: [{ steps: 3 }, { steps: 5, stairs: { riser: 0.17, tread } }, { steps: 3 }],
      });
      const { notes, feet } = keyMotion(shot, { fps: 24, of: 'root' });
      const { heelToBall, ballToToe } = feet.left.shape;
      return { foot: heelToBall + ballToToe, note: notes.find(({ code }) => code === 'tread-below-foot') };
    };
    const { foot, note } = notesOn(0.2);
    assertClose(note!.values.tread, 0.2, { abs: 1e-9 });
    expect(note!.values.foot).toBe(foot);
    expect(notesOn(foot + 0.01).note).toBeUndefined();
  });

  it('end in a shot that walks out as its walk goes on', () => {
    for (const wholeFrames of [{ fps: 24 }, undefined]) {
      const shot = planShot({
        from: 'walking',
        to: 'walking',
        ...(wholeFrames ? { wholeFrames } : {}),
        stretches: [{ steps: 8 }],
      });
      const tracks = footTracks(shot, wholeFrames ?? {});
      const end = wholeFrames ? tracks.frames / wholeFrames.fps : shot.duration;
      const way = shot.steps[9].plant.forward - shot.steps[1].plant.forward;
      for (const side of FEET) {
        const { forward, side: across, height, pitch, toeBend } = tracks[side];
        const sampler = createSampler([forward, across, height, pitch, toeBend]);
        const [first, last] = [0, 1].map(() => new Float64Array(15));
        sampler.sampleJets(1e-7, first);
        sampler.sampleJets(end - 1e-7, last);
        last[0] -= way;
        // Read a hair inside the ends: rates of under 10 in a second.
        for (let c = 0; c < 5; c++) {
          assertClose(last[3 * c], first[3 * c], { abs: 1e-5 }, `${side}, channel ${c}`);
        }
        if (side === 'left') {
          expect(first[9]).toBeGreaterThan(0.2);
          assertClose(last[10], first[10], { rel: 1e-3 }, 'rate of pitch');
        }
      }
    }
  });

  it('have the derivatives of their paths', () => {
    const specs: ShotSpec[] = [
      { stretches: [{ steps: 2 }, { steps: 6, turn: { radius: 0.8 } }] },
      { stretches: [{ steps: 5, turn: { by: -1.5 }, slope: 0.1 }] },
      turning(0.4, 0.4),
    ];
    const h = 1e-5;
    const [before, now, after] = [0, 1, 2].map(() => new Float64Array(18));
    for (const spec of specs) {
      for (const { pieces } of pathsOf(planShot(spec))) {
        for (const { times, next, write } of pieces) {
          if (next === undefined) continue;
          for (const u of [0.13, 0.37, 0.61, 0.83]) {
            const t = times.lift + u * (next - times.lift);
            write(t - h, before);
            write(t, now);
            write(t + h, after);
            for (const c of [0, 3, 6, 9, 15]) {
              const rate = (after[c] - before[c]) / (2 * h);
              const bend = (after[c + 1] - before[c + 1]) / (2 * h);
              // Central differences: rounding over h, and h² of the third derivative.
              assertClose(now[c + 1], rate, { abs: 1e-6 }, `channel ${c}`);
              assertClose(now[c + 2], bend, { abs: 1e-4 }, `channel ${c}, bend`);
            }
          }
        }
      }
    }
  });
});
