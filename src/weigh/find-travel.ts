import { createSampler } from '../curves/sampler.js';
import { sampleSeries } from '../curves/series.js';
import type { Finding, Weighed, WeighedFoot } from './weighed.js';

/** Limits of travel. */
const BOUNDS = {
  /** Part of a planned walk's unevenness of speed: below the first the travel is a ramp, below the second tame. */
  ramp: 0.1,
  missing: 0.35,
  /** Correlation of speed with height: bodies are fastest when low (−1); above this they surge when high. */
  reversed: 0.3,
  /** Distance in leg lengths that a standing foot may move: 2 mm of an adult. */
  skate: 2e-3 / 0.9,
  /** Least swing of the load in BW for the height to tell fast from slow. */
  swing: 0.02,
} as const;

/** Travel on a ramp, surges missing or the wrong way round, and feet that slide while they stand. */
export function findTravel(weighed: Weighed): Finding[] {
  return [...findSurges(weighed), ...weighed.feet.flatMap((foot) => findSkating(weighed, foot))];
}

function findSurges(weighed: Weighed): Finding[] {
  const { grid, loops, model, start, frameOf, speed } = weighed;
  if (!loops || !grid.speed || !weighed.paths.forward || Math.abs(weighed.paths.forward.gain) < 1e-9) {
    if (!(loops && grid.speed && weighed.paths.forward && !weighed.paths.forward.cyclic)) return [];
  }
  const way = Math.sign(grid.speed!.reduce((a, b) => a + b, 0)) || 1;
  const u = centred(grid.speed!.map((x) => x * way));
  const z = centred(grid.height);
  const swing = rms(centred(grid.load));
  const [have, want] = [rms(u), modelUnevenness(model)];
  const base = {
    severity: 'warning',
    channel: 'forward',
    frames: [frameOf(start)],
  } as const;
  const suggestion = {
    text: `Let the speed vary by ${want.toFixed(3)} m/s (rms) about ${speed.toFixed(2)}: fastest when low, slowest when high.`,
    value: want,
    unit: 'm/s',
  };
  if (have < BOUNDS.ramp * want) {
    return [
      {
        ...base,
        code: 'straight-ramp',
        measured: { value: have, unit: 'm/s' },
        bound: { value: BOUNDS.ramp * want, unit: 'm/s' },
        text: `It glides: the travel is one straight ramp, its speed varies by ${have.toFixed(3)} m/s.`,
        suggestion,
      },
    ];
  }
  const correlation = dot(u, z) / (have * rms(z) * u.length);
  if (swing > BOUNDS.swing && correlation > BOUNDS.reversed) {
    return [
      {
        ...base,
        code: 'surge-reversed',
        measured: { value: correlation, unit: '' },
        bound: { value: BOUNDS.reversed, unit: '' },
        text: 'Braking and surging are the wrong way round: it is fastest when high and slowest when low.',
        suggestion,
      },
    ];
  }
  if (have < BOUNDS.missing * want) {
    return [
      {
        ...base,
        code: 'surge-missing',
        measured: { value: have, unit: 'm/s' },
        bound: { value: BOUNDS.missing * want, unit: 'm/s' },
        text: `It hardly brakes and surges: the speed varies by ${have.toFixed(3)} m/s, a walk of this step by ${want.toFixed(3)}.`,
        suggestion,
      },
    ];
  }
  return [];
}

/** Root mean square of a planned walk's speed about its mean, in m/s. */
function modelUnevenness({ centre, pace }: Weighed['model']): number {
  const jet = new Float64Array(3);
  let sum = 0;
  const n = 64;
  for (let i = 0; i < n; i++) {
    sampleSeries(centre.forward, (i / n) * centre.forward.period, jet);
    sum += (jet[1] - pace.speed) ** 2;
  }
  return Math.sqrt(sum / n);
}

function findSkating(weighed: Weighed, foot: WeighedFoot): Finding[] {
  const { body, frameOf, fps } = weighed;
  const limit = BOUNDS.skate * body.legLength;
  const sampler = createSampler(foot.side ? [foot.forward, foot.side] : [foot.forward]);
  const place = new Float64Array(2);
  return foot.contacts.flatMap(({ land, lift, flat, heelOff }): Finding[] => {
    const from = flat ?? land + 0.15 * (lift - land);
    const to = heelOff ?? land + 0.6 * (lift - land);
    const count = Math.max(2, Math.ceil((to - from) * fps * 4));
    let [x0, x1, y0, y1] = [Infinity, -Infinity, Infinity, -Infinity];
    for (let i = 0; i <= count; i++) {
      sampler.sample(from + ((to - from) * i) / count, place);
      x0 = Math.min(x0, place[0]);
      x1 = Math.max(x1, place[0]);
      y0 = Math.min(y0, place[1]);
      y1 = Math.max(y1, place[1]);
    }
    const slid = Math.hypot(x1 - x0, y1 - y0);
    if (!(slid > limit)) return [];
    const frames = [];
    for (let frame = Math.ceil(from * fps); frame <= to * fps; frame++) frames.push(frame);
    return [
      {
        code: 'skate',
        severity: 'fault',
        channel: foot.foot,
        frames: frames.length > 0 ? frames : [frameOf(from)],
        measured: { value: 1000 * slid, unit: 'mm' },
        bound: { value: 1000 * limit, unit: 'mm' },
        text: `The ${foot.foot} foot skates: it slides ${(1000 * slid).toFixed(1)} mm while it stands.`,
        suggestion: {
          text: `Hold it in place from frame ${frameOf(from)} to ${frameOf(to)}, ${(1000 * slid).toFixed(1)} mm.`,
          value: 1000 * slid,
          unit: 'mm',
        },
      },
    ];
  });
}

function centred(values: Float64Array): Float64Array {
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  return values.map((x) => x - mean);
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

function rms(values: Float64Array): number {
  return Math.sqrt(dot(values, values) / values.length);
}
