import { BEND, FOOT_NUMBERS, type FootPath, HEIGHT, PITCH } from '../feet/foot-path.js';
import type { ShotStep } from '../shot/shot.js';

/** Part of the swing in which the ground is looked at: before and after, the foot is over the ground that it stands on. */
const LOOKED_AT = { from: 0.2, to: 0.85, times: 33 } as const;

/** Ground that bends by less than this, in m, is even. */
const EVEN = 1e-6;

/** Writes how much of its arch a foot is raised by at fraction `u` of a swing of `span` s, with two derivatives. */
export function writeArch(u: number, span: number, out: Float64Array): void {
  const w = Math.max(0, u * (1 - u));
  const rate = 1 - 2 * u;
  out[0] = 64 * w * w * w;
  out[1] = (192 * w * w * rate) / span;
  out[2] = (384 * w * (rate * rate - w)) / (span * span);
}

/** What a swing is looked at for: where it goes from and to, and the plants between. */
export interface ArchedSwing {
  readonly from: ShotStep;
  readonly to: ShotStep;
  readonly between: readonly ShotStep[];
  /** The foot on level ground, from `lift` s after it landed, for `span` s. */
  readonly level: FootPath;
  readonly lift: number;
  readonly span: number;
  /** Writes the foot over its own ground, `since` s after lift. */
  write(since: number, out: Float64Array): void;
  /** How far along the line the heel's place is, as a fraction of the way. */
  travel(u: number): number;
  /** How far the ball is in front of the heel's place at lift and at landing, in m. */
  readonly leaves: number;
  readonly lands: number;
  /** What has to lie between the ground and the foot in the middle of swing, in m. */
  readonly clearance: number;
}

/**
 * How high a foot has to be arched over ground that bends between its plants, in m; 0 where it is clear. The ground goes
 * straight from heel to heel, whoever's, and on along the last foot.
 */
export function archOver(swing: ArchedSwing): number {
  const { from, to, level, lift, span, clearance } = swing;
  const way = to.along - from.along;
  const between = swing.between.filter(({ along }) => along > from.along && along < to.along);
  // Somebody who goes sideways or backwards has no ground between their heels.
  if (!(way > Math.abs(to.beside - from.beside)) || between.length === 0 || isEven(from, between, to))
    return 0;
  const ground = groundThrough([from, ...between, to]);
  const [flat, own] = [new Float64Array(FOOT_NUMBERS), new Float64Array(FOOT_NUMBERS + 3)];
  const arch = new Float64Array(3);
  const { heelToBall, ballToToe } = level.shape;
  const ends = (foot: Float64Array): readonly (readonly [ahead: number, height: number])[] => {
    const toes = foot[PITCH] - foot[BEND];
    return [
      [-heelToBall * Math.cos(foot[PITCH]), foot[HEIGHT] + heelToBall * Math.sin(foot[PITCH])],
      [0, foot[HEIGHT]],
      [ballToToe * Math.cos(toes), foot[HEIGHT] - ballToToe * Math.sin(toes)],
    ];
  };
  let most = 0;
  for (let k = 0; k < LOOKED_AT.times; k++) {
    const u = LOOKED_AT.from + ((LOOKED_AT.to - LOOKED_AT.from) * k) / (LOOKED_AT.times - 1);
    level.write(lift + u * span, flat);
    swing.write(u * span, own);
    writeArch(u, span, arch);
    const p = swing.travel(u);
    const ball = from.along + way * p + swing.leaves + (swing.lands - swing.leaves) * p;
    const usual = ends(flat);
    ends(own).forEach(([ahead, height], i) => {
      const wanted = Math.min(usual[i][1], clearance * arch[0]);
      most = Math.max(most, (ground(ball + ahead) + wanted - height) / arch[0]);
    });
  }
  return most;
}

function isEven(from: ShotStep, between: readonly ShotStep[], to: ShotStep): boolean {
  if (from.plant.pitch === 0 && to.plant.pitch === 0 && between.every(({ plant }) => plant.pitch === 0))
    return true;
  const grade = (to.plant.height - from.plant.height) / (to.along - from.along);
  return [...between, to].every(({ along, plant }) => {
    const bends = plant.height - from.plant.height - grade * (along - from.along);
    return Math.abs(bends) < EVEN && Math.abs(Math.tan(plant.pitch) + grade) < EVEN;
  });
}

function groundThrough(steps: readonly ShotStep[]): (along: number) => number {
  const first = steps[0];
  const last = steps[steps.length - 1];
  const tilted = ({ along, plant }: ShotStep, x: number) =>
    plant.height - (x - along) * Math.tan(plant.pitch);
  return (x) => {
    if (x <= first.along) return tilted(first, x);
    const i = steps.findIndex(({ along }) => along > x);
    if (i < 0) return tilted(last, x);
    const [a, b] = [steps[i - 1], steps[i]];
    const u = (x - a.along) / (b.along - a.along);
    return a.plant.height + u * (b.plant.height - a.plant.height);
  };
}
