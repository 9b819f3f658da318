import type { Series } from '../curves/series.js';
import { sampleSeries } from '../curves/series.js';
import { errorOf } from '../internal/check.js';
import type { Swing } from './chain.js';
import type { FollowerNote } from './follower.js';
import type { FollowerTrack } from './follower-track.js';
import type { DriverReader } from './read-driver.js';
import { attractStrand, neighbourGrowth } from './strand-attract.js';
import { type PlaneDrive, readPlaneDrive } from './strand-drive.js';
import { type FullLoop, solveFull } from './strand-full.js';
import { solveSmall } from './strand-small.js';
import { swayGrowth } from './sway.js';

/** The loop of a strand in one plane. */
export interface PlaneAnswer {
  /** Each link's angle from plumb in rad. */
  readonly links: readonly FollowerTrack[];
  /** Cycles of the driver after which it repeats; 0 where it does not. */
  readonly cycles: number;
  readonly residual: number;
  /** Factor per cycle of the driver by which a small sway grows. */
  readonly growth: number;
  /** Largest angle by which full and small part. */
  readonly parting: number;
  readonly notes: readonly FollowerNote[];
}

/** Harmonics beyond the drive's own that the full answer begins with, and at most. */
const BEYOND = 12;
const MOST = 96;
/** A tail of the full answer below this needs no more harmonics. */
const TAIL = 1e-9;
/** Parting, as a part of the full answer's size, past which the small one is not to be trusted. */
const PARTED = 0.05;
/** Angles past this in the guess are scaled down before Newton starts. */
const GUESS_REACH = 0.8;
/** Full answers past this angle, or with slower decay per cycle, are watched for neighbours that leave. */
const WATCH_ANGLE = 0.35;
const WATCH_GROWTH = 0.93;
/** Growth per cycle that the watch cannot tell from none. */
const STEADY = 1.005;

const size = (links: readonly Series[]): number =>
  links.reduce(
    (most, { cos, sin }) =>
      Math.max(
        most,
        cos.reduce((sum, a, k) => sum + Math.hypot(a, sin[k]), 0),
      ),
    0,
  );

const SWAYS = { forward: 'fore and aft', side: 'from side to side' } as const;

/** The loop of one plane's chain on a driver that repeats. */
export function followPlane(
  where: string,
  reader: DriverReader,
  plane: 'forward' | 'side',
  swing: Swing,
  model: 'small' | 'full',
): PlaneAnswer {
  const drive = readPlaneDrive(reader, plane, swing.chain.alpha);
  refuseResonance(where, swing, drive);
  const small = solveSmall(swing, drive);
  const links = small.links.map((series, i) => ({ ...series, mean: series.mean + swing.mean[i] }));
  const perDrive = swayGrowth(swing, drive);
  const growth = perDrive ** drive.parts;
  const notes: FollowerNote[] = [];
  const sways = perDrive > 1;
  if (sways) {
    const text = `Swinging ${SWAYS[plane]}, a small sway grows by ${growth.toPrecision(4)} each cycle of the driver.`;
    notes.push({ code: 'sways-by-itself', text, values: { growth } });
  }
  if (model === 'small') {
    if (small.residual > 1e-9) notes.push(notSolved(small.residual));
    return { links, cycles: 1, residual: small.residual, growth, parting: 0, notes };
  }
  const full = fullAnswer(swing, drive, links, sways, perDrive);
  if (!full.loop) {
    const text = `The full answer ${SWAYS[plane]} does not repeat within 8 cycles of the drive.`;
    notes.push({ code: 'does-not-repeat', text, values: { growth } });
    return { links: full.run ?? links, cycles: 0, residual: 0, growth, parting: 0, notes };
  }
  // Cycles of the driver, which may hold several of the drive's.
  const cycles = full.cycles % drive.parts === 0 ? full.cycles / drive.parts : full.cycles;
  const settled = spread(full.loop, reader.duration * cycles);
  if (cycles > 1) {
    const text = `The answer ${SWAYS[plane]} repeats after ${cycles} cycles of the driver.`;
    notes.push({ code: 'repeats-after-cycles', text, values: { cycles } });
  }
  const parting = partOf(settled, links);
  const reach = Math.max(size(settled), 1e-12);
  if (parting > PARTED * reach) {
    const text = `Full and small-angle answers ${SWAYS[plane]} part by ${parting.toPrecision(3)} rad.`;
    notes.push({ code: 'past-small-angles', text, values: { parting, size: reach } });
  }
  return { links: settled, cycles, residual: full.loop.residual, growth, parting, notes };
}

function notSolved(residual: number): FollowerNote {
  return {
    code: 'not-solved',
    text: `The equations leave ${residual.toPrecision(3)} over.`,
    values: { residual },
  };
}

interface Found {
  readonly loop?: FullLoop;
  /** Cycles of the drive. */
  readonly cycles: number;
  readonly run?: readonly FollowerTrack[];
}

function fullAnswer(
  swing: Swing,
  drive: PlaneDrive,
  links: readonly Series[],
  sways: boolean,
  growth: number,
): Found {
  const reach = size(links);
  if (!sways) {
    const by = reach > GUESS_REACH ? GUESS_REACH / reach : 1;
    const guess = links.map(({ cos, sin, ...rest }) => ({
      ...rest,
      cos: cos.map((x) => by * x),
      sin: sin.map((x) => by * x),
    }));
    const folded = guess.map((series) => fold(series, drive));
    let loop: FullLoop | undefined;
    for (let top = drive.top + BEYOND; top <= MOST; top = Math.ceil(1.5 * top)) {
      loop = solveFull(swing, drive, loop?.links ?? folded, 1, top);
      if (!loop || loop.tail <= TAIL) break;
    }
    const watch = loop && (size(loop.links) > WATCH_ANGLE || growth > WATCH_GROWTH);
    if (loop && !(watch && neighbourGrowth(swing, drive, loop) > STEADY)) return { loop, cycles: 1 };
  }
  return attractStrand(swing, drive, drive.top + BEYOND);
}

/** A series over the driver's period as one over the drive's shorter one. */
function fold(series: Series, drive: PlaneDrive): Series {
  const take = (x: readonly number[]) => x.filter((_, k) => (k + 1) % drive.parts === 0);
  return { ...series, period: drive.period, cos: take(series.cos), sin: take(series.sin) };
}

/** Series over a shorter period as series over `period`, a whole multiple of it. */
function spread(loop: FullLoop, period: number): Series[] {
  return loop.links.map((series) => {
    const times = Math.round(period / series.period);
    const widen = (x: readonly number[]) => {
      const out = new Array<number>(x.length * times).fill(0);
      x.forEach((value, k) => {
        out[(k + 1) * times - 1] = value;
      });
      return out;
    };
    return { ...series, period, cos: widen(series.cos), sin: widen(series.sin) };
  });
}

function partOf(full: readonly Series[], small: readonly Series[]): number {
  const out = new Float64Array(3);
  let most = 0;
  for (let i = 0; i < full.length; i++) {
    for (let s = 0; s < 128; s++) {
      const t = (s / 128) * full[i].period;
      sampleSeries(full[i], t, out);
      const value = out[0];
      sampleSeries(small[i], t, out);
      most = Math.max(most, Math.abs(value - out[0]));
    }
  }
  return most;
}

function refuseResonance(where: string, swing: Swing, drive: PlaneDrive): void {
  swing.omegas.forEach((omega, m) => {
    if (swing.zetas[m] !== 0) return;
    for (let k = 1; k <= drive.top; k++) {
      const w = (2 * Math.PI * k) / drive.period;
      const driven = drive.alongRe[k] !== 0 || drive.alongIm[k] !== 0 || swing.mean.some((x) => x !== 0);
      if (!driven || Math.abs(w - omega) > 1e-9 * omega) continue;
      const rule = `must be > 0 where harmonic ${k * drive.parts} of the drive, ${(w / (2 * Math.PI)).toFixed(6)} Hz, meets swing ${m + 1} of the strand`;
      throw errorOf(where, { field: 'part.dampingRatio', rule, got: '0', kind: 'range' });
    }
  });
}
