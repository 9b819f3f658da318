import { type ClothPart, readClothPart } from './cloth-part.js';
import { ClothSim } from './cloth-sim.js';
import type { LiveFollower } from './live.js';
import { CARRIER_STATE, checkStep, learnMove, readDriven } from './live-carrier.js';

/** A live cloth. Its state: the modes of every strand, then the carrier. */
class LiveCloth implements LiveFollower {
  readonly size: number;
  readonly stateSize: number;
  private readonly sim: ClothSim;
  private readonly carrier = new Float64Array(CARRIER_STATE);
  private readonly change = new Float64Array(3);
  private readonly push = new Float64Array(3);
  private readonly bars = new Float64Array(0);

  constructor(sim: ClothSim) {
    this.sim = sim;
    this.size = 2 * sim.links * sim.count;
    this.stateSize = sim.stateSize + CARRIER_STATE;
  }

  step(dt: number, driver: ArrayLike<number>, out: Float64Array): void {
    checkStep(dt);
    const { sim, push, bars } = this;
    if (dt > 0) {
      for (let i = 0; i < 3; i++) {
        push[i] = readDriven(driver, i);
        if (sim.alpha !== 0) push[i] += sim.alpha * readDriven(driver, i + 3);
      }
      sim.step(dt, push, bars, 0);
    }
    this.write(out);
  }

  move(dt: number, position: ArrayLike<number>, out: Float64Array): void {
    checkStep(dt);
    const { sim, carrier, change, push, bars } = this;
    learnMove(carrier, 0, dt, position, change);
    if (dt > 0) {
      for (let s = 0; s < sim.count; s++) {
        sim.planes[s][0].stepper.knock(change[0], change[1]);
        sim.planes[s][1].stepper.knock(change[0], change[2]);
      }
      for (let i = 0; i < 3; i++) push[i] = sim.alpha * carrier[4 + i];
      sim.feel(push[0], push[1], push[2]);
      sim.step(dt, push, bars, 0);
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
    this.sim.load(new Float64Array(this.sim.stateSize));
    this.carrier.fill(0);
  }

  save(into: Float64Array): void {
    this.sim.save(into);
    into.set(this.carrier, this.sim.stateSize);
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
