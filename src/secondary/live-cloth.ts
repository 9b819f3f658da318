import { type ClothPart, readClothPart } from './cloth-part.js';
import { ClothSim } from './cloth-sim.js';
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

/** A live cloth. Its state: the modes of every strand, then the carrier. */
class LiveCloth implements LiveFollower {
  readonly size: number;
  readonly stateSize: number;
  private readonly sim: ClothSim;
  private readonly carrier = new Float64Array(CARRIER_SIZE);
  private readonly given = new Float64Array(6);
  private readonly bars = new Float64Array(0);
  private readonly rest: Float64Array;

  constructor(sim: ClothSim) {
    this.sim = sim;
    this.size = 2 * sim.links * sim.count;
    this.stateSize = sim.stateSize + CARRIER_STATE;
    this.rest = new Float64Array(sim.stateSize);
  }

  step(dt: number, driver: ArrayLike<number>, out: Float64Array): void {
    if (!(typeof dt === 'number' && dt > 0 && dt <= LONGEST)) checkStep(dt);
    checkOut(out, this.size);
    const { sim, given, bars } = this;
    if (dt > 0) {
      const { next, alpha } = sim;
      readDriven(driver, alpha !== 0 ? 6 : 3, given);
      next[0] = dt;
      for (let i = 0; i < 3; i++) next[1 + i] = alpha !== 0 ? given[i] + alpha * given[i + 3] : given[i];
      sim.step(bars);
    }
    this.write(out);
  }

  move(dt: number, position: ArrayLike<number>, out: Float64Array): void {
    if (!(typeof dt === 'number' && dt > 0 && dt <= LONGEST)) checkStep(dt);
    checkOut(out, this.size);
    const { sim, carrier, bars } = this;
    carrier[MOVE_LENGTH] = dt;
    learnMove(carrier, position);
    if (dt > 0) {
      for (let s = 0; s < sim.count; s++) {
        for (let axis = 0; axis < 2; axis++) {
          const { stepper } = sim.planes[s][axis];
          stepper.next[1] = carrier[CHANGE];
          stepper.next[2] = carrier[CHANGE + 1 + axis];
          stepper.knock();
        }
      }
      sim.next[0] = dt;
      for (let i = 0; i < 3; i++) sim.next[1 + i] = sim.alpha * carrier[4 + i];
      sim.feelNext();
      sim.step(bars);
    }
    this.write(out);
  }

  private write(out: Float64Array): void {
    const { planes, links } = this.sim;
    let to = 0;
    for (let s = 0; s < planes.length; s++) {
      const pitch = planes[s][0].stepper.bends;
      const roll = planes[s][1].stepper.bends;
      for (let i = 0; i < links; i++) {
        out[to++] = (i > 0 ? pitch[i - 1] : 0) - pitch[i];
        out[to++] = roll[i] - (i > 0 ? roll[i - 1] : 0);
      }
    }
  }

  teleport(): void {
    this.carrier.fill(0);
  }

  reset(): void {
    this.sim.load(this.rest);
    this.carrier.fill(0);
  }

  save(into: Float64Array): void {
    this.sim.save(into);
    for (let i = 0; i < CARRIER_STATE; i++) into[this.sim.stateSize + i] = this.carrier[i];
  }

  load(from: ArrayLike<number>): void {
    this.sim.load(from);
    for (let i = 0; i < CARRIER_STATE; i++) this.carrier[i] = from[this.sim.stateSize + i];
  }
}

/** A live follower of a cloth, without obstacles. */
export function createClothFollower(where: string, part: ClothPart, gravity: number): LiveFollower {
  return new LiveCloth(new ClothSim(where, readClothPart(where, part), gravity));
}
