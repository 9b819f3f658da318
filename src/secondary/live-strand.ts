import { buildChain } from './chain.js';
import type { LiveFollower } from './live.js';
import { CARRIER_STATE, checkStep, learnMove, readDriven } from './live-carrier.js';
import { PlaneStepper } from './plane-stepper.js';
import { type PlaneTables, preparePlane } from './plane-tables.js';
import { readStrandPart, type StrandPart } from './strand-part.js';

interface Prepared {
  readonly gravity: number;
  readonly forward: PlaneTables;
  readonly side: PlaneTables;
  readonly limit: number;
}

/** Parts by identity: plain data that nobody changes, so that a crowd with one part shares its tables. */
const known = new WeakMap<StrandPart, Prepared>();

function prepare(where: string, part: StrandPart, gravity: number): Prepared {
  const before = known.get(part);
  if (before && before.gravity === gravity) return before;
  const spec = readStrandPart(where, part);
  const prepared = {
    gravity,
    forward: preparePlane(buildChain(where, spec, 'forward', gravity)),
    side: preparePlane(buildChain(where, spec, 'side', gravity)),
    limit: Math.min(spec.limit, Math.PI),
  };
  known.set(part, prepared);
  return prepared;
}

/** A live strand. Its state: the modes of both planes, then the carrier. */
class LiveStrand implements LiveFollower {
  readonly size: number;
  readonly stateSize: number;
  private readonly limit: number;
  private readonly forward: PlaneStepper;
  private readonly side: PlaneStepper;
  private readonly drag: number;
  private readonly sideDrag: number;
  private readonly carrier = new Float64Array(CARRIER_STATE);
  private readonly change = new Float64Array(3);

  constructor({ forward, side, limit }: Prepared) {
    this.size = 2 * forward.links;
    this.forward = new PlaneStepper(forward);
    this.side = new PlaneStepper(side);
    this.stateSize = 2 * this.forward.state.length + CARRIER_STATE;
    this.limit = limit;
    this.drag = forward.chain.alpha;
    this.sideDrag = side.chain.alpha;
  }

  step(dt: number, driver: ArrayLike<number>, out: Float64Array): void {
    checkStep(dt);
    if (dt > 0) {
      let down = readDriven(driver, 0);
      let along = readDriven(driver, 1);
      let across = readDriven(driver, 2);
      let sideDown = down;
      if (this.drag !== 0) {
        const rise = readDriven(driver, 3);
        along += this.drag * readDriven(driver, 4);
        across += this.sideDrag * readDriven(driver, 5);
        down += this.drag * rise;
        sideDown += this.sideDrag * rise;
      }
      this.forward.step(dt, down, along);
      this.side.step(dt, sideDown, across);
      this.settle();
    }
    this.write(out);
  }

  move(dt: number, position: ArrayLike<number>, out: Float64Array): void {
    checkStep(dt);
    const { carrier, change, forward, side, drag, sideDrag } = this;
    learnMove(carrier, 0, dt, position, change);
    if (dt > 0) {
      forward.knock(change[0], change[1]);
      side.knock(change[0], change[2]);
      forward.feel(drag * carrier[4], drag * carrier[5]);
      side.feel(sideDrag * carrier[4], sideDrag * carrier[6]);
      forward.step(dt, drag * carrier[4], drag * carrier[5]);
      side.step(dt, sideDrag * carrier[4], sideDrag * carrier[6]);
      this.settle();
    }
    this.write(out);
  }

  private settle(): void {
    this.forward.settleBends(this.limit);
    this.side.settleBends(this.limit);
  }

  private write(out: Float64Array): void {
    const pitch = this.forward.bends;
    const roll = this.side.bends;
    let above = 0;
    let beside = 0;
    for (let i = 0; i < pitch.length; i++) {
      out[2 * i] = above - pitch[i];
      out[2 * i + 1] = roll[i] - beside;
      above = pitch[i];
      beside = roll[i];
    }
  }

  teleport(): void {
    this.carrier.fill(0);
  }

  reset(): void {
    this.forward.state.fill(0);
    this.side.state.fill(0);
    this.carrier.fill(0);
    this.settle();
  }

  save(into: Float64Array): void {
    const each = this.forward.state.length;
    into.set(this.forward.state);
    into.set(this.side.state, each);
    into.set(this.carrier, 2 * each);
  }

  load(from: ArrayLike<number>): void {
    const each = this.forward.state.length;
    for (let i = 0; i < each; i++) {
      this.forward.state[i] = from[i];
      this.side.state[i] = from[each + i];
    }
    for (let i = 0; i < CARRIER_STATE; i++) this.carrier[i] = from[2 * each + i];
    this.settle();
  }
}

/** A live follower of a strand. */
export function createStrandFollower(where: string, part: StrandPart, gravity: number): LiveFollower {
  return new LiveStrand(prepare(where, part, gravity));
}
