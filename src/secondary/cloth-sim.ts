import { buildChain, type Chain } from './chain.js';
import type { ClothShape } from './cloth-part.js';
import { PlaneStepper } from './plane-stepper.js';
import { type PlaneTables, preparePlane } from './plane-tables.js';

/** A round bar at one moment, relative to the carrier: top then bottom, height, forward, side; radius. */
export const BAR_SIZE = 7;

/** Longest part of a step in radians of the quickest ripple. */
const PART = 0.5;
const MOST_PARTS = 64;

interface Plane {
  readonly tables: PlaneTables;
  readonly stepper: PlaneStepper;
  /** Coupling to neighbours, by link, before it is turned into modes. */
  readonly pull: Float64Array;
}

/** A link's angle away from rest in rad. */
function bendOf({ stepper, tables }: Plane, i: number): number {
  return stepper.bends[i] + (tables.mean[i] - tables.chain.rest[i]);
}

/** Strands coupled side to side, stepped together; allocates nothing once made. */
export class ClothSim {
  readonly links: number;
  readonly count: number;
  /** Planes by strand: forward, side. */
  readonly planes: readonly (readonly [Plane, Plane])[];
  readonly alpha: number;
  readonly stateSize: number;
  /** Length of the next step in s, and the push at its end, down, along and to the side, in m/s². */
  readonly next = new Float64Array(4);
  /** Part of a step, and the pushes at the beginning of the whole. */
  private readonly work = new Float64Array(4);
  private readonly shape: ClothShape;
  private readonly angles: Float64Array;
  private readonly speeds: Float64Array;
  private readonly across: Float64Array;
  private readonly acrossSpeeds: Float64Array;

  /** `speed` in m/s is the steady travel whose wind the cloth hangs in, 0 where the driver brings it. */
  constructor(where: string, shape: ClothShape, gravity: number, speed = 0) {
    this.shape = shape;
    this.count = shape.strands.length;
    this.links = shape.strands[0].spec.links;
    const limit = Math.min(shape.strands[0].spec.limit, Math.PI);
    const known = new Map<string, Chain>();
    const chainOf = (spec: ClothShape['strands'][number]['spec'], plane: 'forward' | 'side'): Chain => {
      // Strands with the same rest share their chain; signs apart, a ring has few different ones.
      const key = spec.rest[plane][0].toPrecision(12);
      const chain = known.get(key) ?? buildChain(where, spec, plane, gravity);
      known.set(key, chain);
      return chain;
    };
    // The two planes do not share: they lean by themselves, and are stepped between one another.
    const tables = [new Map<Chain, PlaneTables>(), new Map<Chain, PlaneTables>()];
    const planeOf = (chain: Chain, axis: 0 | 1): Plane => {
      const shared = tables[axis].get(chain) ?? preparePlane(chain, axis === 0 ? speed : 0);
      tables[axis].set(chain, shared);
      return { tables: shared, stepper: new PlaneStepper(shared, limit), pull: new Float64Array(this.links) };
    };
    this.planes = shape.strands.map(
      ({ spec }) => [planeOf(chainOf(spec, 'forward'), 0), planeOf(chainOf(spec, 'side'), 1)] as const,
    );
    this.alpha = this.planes[0][0].tables.chain.alpha;
    this.stateSize = this.count * 2 * (2 * this.links + 2);
    this.angles = new Float64Array(this.links);
    this.speeds = new Float64Array(this.links);
    this.across = new Float64Array(this.links);
    this.acrossSpeeds = new Float64Array(this.links);
  }

  /** Takes the push at the end of the next step for that at the present moment. */
  feelNext(): void {
    const { planes, next } = this;
    for (let s = 0; s < planes.length; s++) {
      planes[s][0].stepper.feel(next[1], next[2]);
      planes[s][1].stepper.feel(next[1], next[3]);
    }
  }

  /** Steps as `next` says, the push running straight; `bars` one after another, as they stand at its end. */
  step(bars: Float64Array): void {
    const { planes, count, links, next, work } = this;
    const before = planes[0][0].stepper.state;
    const n2 = 2 * links;
    const barCount = Math.floor(bars.length / BAR_SIZE);
    work[1] = before[n2];
    work[2] = before[n2 + 1];
    work[3] = planes[0][1].stepper.state[n2 + 1];
    let parts = Math.ceil((next[0] * 2 * Math.sqrt(this.shape.coupling)) / PART);
    if (!(parts >= 1)) parts = 1;
    if (parts > MOST_PARTS) parts = MOST_PARTS;
    work[0] = next[0] / parts;
    for (let p = 1; p <= parts; p++) {
      const u = p / parts;
      this.couple();
      for (let s = 0; s < count; s++) {
        for (let axis = 0; axis < 2; axis++) {
          const { stepper } = planes[s][axis];
          stepper.next[0] = work[0];
          stepper.next[1] = work[1] + (next[1] - work[1]) * u;
          stepper.next[2] = work[2 + axis] + (next[2 + axis] - work[2 + axis]) * u;
          stepper.step();
          stepper.settleBends();
        }
      }
      if (barCount > 0) for (let s = 0; s < count; s++) this.pushOut(s, bars, barCount);
    }
  }

  /** Neighbours pull each other's links towards the same bend. */
  private couple(): void {
    const { planes, count, links } = this;
    const h = this.work[0];
    const { ring, coupling } = this.shape;
    if (coupling === 0) return;
    for (let axis = 0; axis < 2; axis++) {
      for (let s = 0; s < count; s++) {
        const here = planes[s][axis];
        const left = s > 0 ? planes[s - 1][axis] : ring ? planes[count - 1][axis] : here;
        const right = s + 1 < count ? planes[s + 1][axis] : ring ? planes[0][axis] : here;
        for (let i = 0; i < links; i++) {
          here.pull[i] = bendOf(left, i) + bendOf(right, i) - 2 * bendOf(here, i);
        }
      }
      for (let s = 0; s < count; s++) {
        const { tables, stepper, pull } = planes[s][axis];
        for (let m = 0; m < links; m++) {
          let sum = 0;
          for (let i = 0; i < links; i++) sum += tables.inverse[m * links + i] * pull[i];
          stepper.state[links + m] += h * coupling * sum;
        }
      }
    }
  }

  /** Moves links of a strand out of the bars, from the root down; what moves into a bar stops there. */
  private pushOut(s: number, bars: Float64Array, barCount: number): void {
    const [f, a] = this.planes[s];
    const { angles, speeds, across, acrossSpeeds, links } = this;
    f.stepper.readAngles(angles, speeds);
    a.stepper.readAngles(across, acrossSpeeds);
    const { lengths } = f.tables.chain;
    let x = this.shape.strands[s].forward;
    let y = this.shape.strands[s].side;
    let z = 0;
    let moved = false;
    for (let i = 0; i < links; i++) {
      const l = lengths[i];
      const sx = Math.sin(angles[i]);
      const sy = Math.sin(across[i]);
      x += l * sx;
      y += l * sy;
      z -= l * Math.sqrt(Math.max(0, 1 - sx * sx - sy * sy));
      for (let b = 0; b < barCount; b++) {
        const at = b * BAR_SIZE;
        const [bz, bx, by] = [
          bars[at + 3] - bars[at],
          bars[at + 4] - bars[at + 1],
          bars[at + 5] - bars[at + 2],
        ];
        const length2 = bz * bz + bx * bx + by * by;
        let u =
          length2 > 0
            ? ((z - bars[at]) * bz + (x - bars[at + 1]) * bx + (y - bars[at + 2]) * by) / length2
            : 0;
        if (u < 0 || u > 1) u = u < 0 ? 0 : 1;
        const dz = z - bars[at] - u * bz;
        const dx = x - bars[at + 1] - u * bx;
        const dy = y - bars[at + 2] - u * by;
        const far = Math.sqrt(dx * dx + dy * dy + dz * dz);
        const flat = Math.sqrt(dx * dx + dy * dy);
        const inside = bars[at + 6] - far;
        if (!(inside > 0) || flat === 0) continue;
        const [nx, ny] = [dx / flat, dy / flat];
        moved = true;
        x += inside * nx;
        y += inside * ny;
        angles[i] += (inside * nx) / l;
        across[i] += (inside * ny) / l;
        const inward = speeds[i] * nx + acrossSpeeds[i] * ny;
        if (inward < 0) {
          speeds[i] -= inward * nx;
          acrossSpeeds[i] -= inward * ny;
        }
      }
    }
    if (!moved) return;
    f.stepper.setAngles(angles, speeds);
    a.stepper.setAngles(across, acrossSpeeds);
    f.stepper.settleBends();
    a.stepper.settleBends();
  }

  save(into: Float64Array, at = 0): void {
    let to = at;
    for (const pair of this.planes) {
      for (const { stepper } of pair) {
        into.set(stepper.state, to);
        to += stepper.state.length;
      }
    }
  }

  load(from: ArrayLike<number>, at = 0): void {
    let to = at;
    for (const pair of this.planes) {
      for (const { stepper } of pair) {
        for (let k = 0; k < stepper.state.length; k++) stepper.state[k] = from[to++];
        stepper.settleBends();
      }
    }
  }
}
