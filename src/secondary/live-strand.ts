import { buildChain } from './chain.js';
import type { LiveFollower } from './live.js';
import {
  CARRIER_SIZE,
  CARRIER_STATE,
  CHANGE,
  checkOut,
  checkStep,
  LONGEST,
  learnMove,
  MOVE_LENGTH,
  readDriven,
} from './live-carrier.js';
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

/** A driver's numbers, read and checked. */
const given = new Float64Array(6);

/** A live strand. Its state: the modes of both planes, then the carrier. */
class LiveStrand implements LiveFollower {
  readonly size: number;
  readonly stateSize: number;
  private readonly forward: PlaneStepper;
  private readonly side: PlaneStepper;
  private readonly drag: number;
  private readonly sideDrag: number;
  private readonly carrier = new Float64Array(CARRIER_SIZE);

  constructor({ forward, side, limit }: Prepared) {
    this.size = 2 * forward.links;
    this.forward = new PlaneStepper(forward, limit);
    this.side = new PlaneStepper(side, limit);
    this.stateSize = 2 * this.forward.state.length + CARRIER_STATE;
    this.drag = forward.chain.alpha;
    this.sideDrag = side.chain.alpha;
  }

  step(dt: number, driver: ArrayLike<number>, out: Float64Array): void {
    if (!(typeof dt === 'number' && dt > 0 && dt <= LONGEST)) checkStep(dt);
    checkOut(out, this.size);
    if (dt > 0) {
      const { drag, sideDrag } = this;
      const forward = this.forward.next;
      const side = this.side.next;
      const air = drag !== 0;
      readDriven(driver, air ? 6 : 3, given);
      forward[0] = dt;
      forward[1] = air ? given[0] + drag * given[3] : given[0];
      forward[2] = air ? given[1] + drag * given[4] : given[1];
      side[0] = dt;
      side[1] = air ? given[0] + sideDrag * given[3] : given[0];
      side[2] = air ? given[2] + sideDrag * given[5] : given[2];
      this.advance();
    }
    this.write(out);
  }

  move(dt: number, position: ArrayLike<number>, out: Float64Array): void {
    if (!(typeof dt === 'number' && dt > 0 && dt <= LONGEST)) checkStep(dt);
    checkOut(out, this.size);
    const { carrier, forward, side, drag, sideDrag } = this;
    carrier[MOVE_LENGTH] = dt;
    learnMove(carrier, position);
    if (dt > 0) {
      forward.next[1] = carrier[CHANGE];
      forward.next[2] = carrier[CHANGE + 1];
      side.next[1] = carrier[CHANGE];
      side.next[2] = carrier[CHANGE + 2];
      forward.knock();
      side.knock();
      forward.next[0] = dt;
      forward.next[1] = drag * carrier[4];
      forward.next[2] = drag * carrier[5];
      side.next[0] = dt;
      side.next[1] = sideDrag * carrier[4];
      side.next[2] = sideDrag * carrier[6];
      forward.feelNext();
      side.feelNext();
      this.advance();
    }
    this.write(out);
  }

  private advance(): void {
    this.forward.step();
    this.side.step();
    this.settle();
  }

  private settle(): void {
    this.forward.settleBends();
    this.side.settleBends();
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
    for (let i = 0; i < CARRIER_STATE; i++) into[2 * each + i] = this.carrier[i];
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
