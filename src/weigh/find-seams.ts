import type { Finding, FindingCode, ReadPath, Weighed } from './weighed.js';

/** Limits at keys and at the loop's seam. */
const BOUNDS = {
  /** Distance in leg lengths that a value may jump: 0.5 mm of an adult. */
  value: 0.5e-3 / 0.9,
  /** Change of slope as the load in BW that would have to carry it out within one frame. */
  slope: 0.1,
  /** Jump of the implied load in BW. */
  load: 0.3,
} as const;

/** How close to a key its two sides are looked at, as a part of the whole. */
const NEAR = 1e-7;

const CHANNELS = ['height', 'forward', 'side'] as const;

/** Jumps of value, slope and load at the keys and at the loop's seam, and a first frame that is shown twice. */
export function findSeams(weighed: Weighed): Finding[] {
  const found: Finding[] = [];
  for (const channel of CHANNELS) {
    const path = weighed.paths[channel];
    if (path) found.push(...findJumps(weighed, channel, path));
  }
  found.push(...findRepeatedFrame(weighed));
  return found;
}

interface Jump {
  readonly at: number;
  readonly value: number;
  readonly slope: number;
  readonly load: number;
}

function findJumps(weighed: Weighed, channel: (typeof CHANNELS)[number], path: ReadPath): Finding[] {
  const { start, duration, loops, gravity, fps, body } = weighed;
  const rise = channel === 'height' ? weighed.rise : 1;
  const near = NEAR * duration;
  const [before, after] = [new Float64Array(3), new Float64Array(3)];
  const jumpAt = (at: number, leave: number, arrive: number, lift: number): Jump => {
    path.jet(arrive, before);
    path.jet(leave, after);
    return {
      at,
      // What the path moves within the distance looked at is not a jump.
      value:
        after[0] +
        lift -
        before[0] -
        (before[1] * (at - arrive) + after[1] * (leave - at)) * Number(leave > arrive),
      slope: (after[1] - before[1]) / (gravity * rise),
      load: (after[2] - before[2]) / (gravity * rise),
    };
  };
  const end = start + duration;
  const isSeam = (t: number): boolean => loops && Math.abs(t - start) < 2 * near;
  const inner = path.keys.filter((t) => !isSeam(t) && t > start + near && t < end - near);
  const jumps = inner.map((t) => jumpAt(t, t + near, t - near, 0));
  const found: Finding[] = [];
  const limit = BOUNDS.value * body.legLength;
  for (const jump of jumps) {
    const size = Math.abs(jump.slope) * fps;
    if (Math.abs(jump.value) > limit) found.push(valueFinding(weighed, channel, jump, 'kink', limit));
    else if (size > BOUNDS.slope) found.push(slopeFinding(weighed, channel, jump, 'kink', size));
  }
  if (!loops) return found;
  const travels = channel === 'forward';
  const seam = path.cyclic
    ? jumpAt(start, start + near, start + duration - near, path.gain)
    : jumpAt(start, start + near, end - near, 0);
  // A loop may carry distance on along the walk, and nowhere else.
  const gap = travels
    ? path.cyclic
      ? seam.value
      : 0
    : path.cyclic
      ? seam.value - path.gain
      : valueGap(path, start, end);
  if (Math.abs(gap) > limit) {
    found.push(valueFinding(weighed, channel, { ...seam, value: gap }, 'loop-pop-value', limit));
  }
  const size = Math.abs(seam.slope) * fps;
  if (size > BOUNDS.slope) found.push(slopeFinding(weighed, channel, seam, 'loop-pop-slope', size));
  if (Math.abs(seam.load) > BOUNDS.load) found.push(loadFinding(weighed, channel, seam));
  return found;
}

function valueGap(path: ReadPath, start: number, end: number): number {
  const jet = new Float64Array(3);
  path.jet(start, jet);
  const from = jet[0];
  path.jet(end, jet);
  return from - jet[0];
}

function valueFinding(
  { frameOf }: Weighed,
  channel: Finding['channel'],
  { at, value }: Jump,
  code: FindingCode,
  limit: number,
): Finding {
  const mm = 1000 * Math.abs(value);
  const where = code === 'kink' ? 'at a key' : 'where the loop begins again';
  return {
    code,
    severity: 'fault',
    channel,
    frames: [frameOf(at)],
    measured: { value: mm, unit: 'mm' },
    bound: { value: 1000 * limit, unit: 'mm' },
    text: `The ${channel} jumps by ${mm.toFixed(1)} mm ${where}.`,
    suggestion: {
      text: `Take ${(-1000 * value).toFixed(1)} mm off the value that follows.`,
      value: -1000 * value,
      unit: 'mm',
    },
  };
}

function slopeFinding(
  { frameOf, gravity, rise }: Weighed,
  channel: Finding['channel'],
  { at, slope }: Jump,
  code: FindingCode,
  size: number,
): Finding {
  const change = slope * gravity * (channel === 'height' ? rise : 1);
  const where = code === 'kink' ? 'a key' : 'the seam of the loop';
  return {
    code,
    severity: size > 0.5 ? 'fault' : 'warning',
    channel,
    frames: [frameOf(at)],
    measured: { value: size, unit: 'BW' },
    bound: { value: BOUNDS.slope, unit: 'BW' },
    text: `The ${channel} breaks at ${where}: its slope changes by ${change.toFixed(3)} m/s at once, ${size.toFixed(2)} BW over a frame.`,
    suggestion: {
      text: `Let the slopes on both sides be equal: turn each by ${Math.abs(change / 2).toFixed(3)} m/s.`,
      value: Math.abs(change / 2),
      unit: 'm/s',
    },
  };
}

function loadFinding({ frameOf }: Weighed, channel: Finding['channel'], { at, load }: Jump): Finding {
  return {
    code: 'loop-pop-load',
    severity: 'warning',
    channel,
    frames: [frameOf(at)],
    measured: { value: Math.abs(load), unit: 'BW' },
    bound: { value: BOUNDS.load, unit: 'BW' },
    text: `The load of the ${channel} jumps by ${Math.abs(load).toFixed(2)} BW where the loop begins again.`,
    suggestion: {
      text: `Lengthen the handles at the seam until the load's jump of ${Math.abs(load).toFixed(2)} BW is gone.`,
      value: Math.abs(load),
      unit: 'BW',
    },
  };
}

/** The last frame of the loop shows the first one again where hardly anything moves from it to the next. */
function findRepeatedFrame(weighed: Weighed): Finding[] {
  const { paths, start, duration, fps, loops, frameOf } = weighed;
  const count = Math.round(duration * fps);
  if (!loops || count < 5 || Math.abs(count - duration * fps) > 0.01) return [];
  const repeats = CHANNELS.filter((channel) => {
    const path = paths[channel];
    if (!path) return false;
    const jet = new Float64Array(3);
    const at = (frame: number): number => {
      path.jet(start + frame / fps, jet);
      return jet[0];
    };
    const step = (frame: number): number => {
      const whole = frame >= count;
      const next = path.cyclic || !whole ? at(frame % count) : at(0);
      return next + (whole && path.cyclic ? path.gain : 0) - at(frame - 1);
    };
    const seam = Math.abs(step(count));
    const [before, after] = [step(count - 1), step(1)];
    // At an extreme two frames may well be level; then they are turned away from on both sides.
    return before * after > 0 && seam < 0.15 * Math.min(Math.abs(before), Math.abs(after));
  });
  const judge = repeats.includes('forward') || (!paths.forward && repeats.length > 0);
  if (!judge) return [];
  return [
    {
      code: 'repeated-frame',
      severity: 'fault',
      channel: repeats.includes('forward') ? 'forward' : repeats[0],
      frames: [frameOf(start + duration) - 1],
      measured: { value: count, unit: 'frames' },
      bound: { value: count - 1, unit: 'frames' },
      text: `The loop shows its first pose twice, at its first and its last frame.`,
      suggestion: {
        text: `Leave out the last frame: ${count - 1} frames.`,
        value: count - 1,
        unit: 'frames',
      },
    },
  ];
}
