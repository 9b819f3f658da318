import { BAR_SIZE, type ClothSim } from './cloth-sim.js';
import { JETS, sampleGrid } from './drive-grid.js';
import type { SampledTrack } from './follower-track.js';
import { hangSmall } from './plane-run.js';
import type { DriverReader } from './read-driver.js';
import type { LinkTracks } from './strand.js';

/** Writes where the bars are at a time, one after another. */
export type BarReader = (t: number, out: Float64Array) => void;

/** How a run is cut into steps. */
interface RunOptions {
  readonly steps: number;
  readonly settle: number;
  readonly every: number;
  /** Steady travel in m/s that the cloth hangs in the wind of already. */
  readonly speed: number;
}

/** Cycles that a sway is watched for. */
const WATCHED = 40;

/** Runs a cloth along a driver, over one cycle of it or over the whole. */
export class ClothRun {
  /** Length in s, of the cycle or of the whole. */
  readonly whole: number;
  private readonly reader: DriverReader;
  private readonly sim: ClothSim;
  private readonly readBars: BarReader;
  private readonly bars: Float64Array;
  private readonly count: number;
  private readonly pushes: Float64Array;

  constructor(
    reader: DriverReader,
    sim: ClothSim,
    readBars: BarReader,
    bars: number,
    { steps, settle, every, speed }: RunOptions,
  ) {
    this.reader = reader;
    this.sim = sim;
    this.readBars = readBars;
    this.bars = new Float64Array(BAR_SIZE * bars);
    this.whole = reader.repeats ? reader.duration : reader.duration + settle;
    this.count = reader.repeats ? steps : Math.max(1, Math.round(this.whole / every));
    const jets = sampleGrid(reader, reader.start, this.whole / this.count, this.count + 1);
    this.pushes = new Float64Array(3 * (this.count + 1));
    for (let i = 0; i <= this.count; i++) {
      for (let c = 0; c < 3; c++) {
        const velocity = jets[JETS * i + 3 * c + 1] - (c === 1 ? speed : 0);
        this.pushes[3 * i + c] = jets[JETS * i + 3 * c + 2] + sim.alpha * velocity;
      }
    }
  }

  private get every(): number {
    return this.whole / this.count;
  }

  /** Steps through it once from where the cloth is. */
  private run(visit?: () => void): void {
    const { sim, pushes, count, every, bars, readBars, reader } = this;
    sim.next.set(pushes.subarray(0, 3), 1);
    sim.feelNext();
    sim.next[0] = every;
    for (let i = 1; i <= count; i++) {
      visit?.();
      sim.next.set(pushes.subarray(3 * i, 3 * i + 3), 1);
      readBars(reader.start + i * every, bars);
      sim.step(bars);
    }
  }

  /** The map of one cycle, in place. */
  cycle(state: Float64Array): void {
    this.sim.load(state);
    this.run();
    this.sim.save(state);
  }

  /** Tracks over some cycles from a state that comes back after them, or does not. */
  loop(state: Float64Array, cycles: number, closes = true): readonly (readonly LinkTracks[])[] {
    const { sim } = this;
    const recording = record(sim, this.reader.start, this.every, closes ? cycles * this.whole : undefined);
    sim.load(state);
    for (let cycle = 0; cycle < cycles; cycle++) this.run(recording.visit);
    return recording.strands;
  }

  /** Tracks over the whole, from where each strand hangs in the weight felt at the first moment. */
  shot(): readonly (readonly LinkTracks[])[] {
    const { sim, pushes } = this;
    const recording = record(sim, this.reader.start, this.every, undefined);
    for (const pair of sim.planes) {
      for (const [axis, { stepper, tables }] of pair.entries()) {
        stepper.state.set(hangSmall(tables, pushes[0], pushes[1 + axis]));
        stepper.settleBends();
      }
    }
    this.run(recording.visit);
    recording.visit();
    return recording.strands;
  }

  /**
   * By what factor a small sway grows over a cycle, watched for forty from a state without symmetry. Bars
   * are left out of it.
   */
  growth(): number {
    const { sim } = this;
    const size = sim.stateSize;
    const zero = new Float64Array(size);
    const still = new Float64Array(size);
    this.cycle(still);
    // What the map makes of nothing is its constant part.
    const sway = Float64Array.from(zero, (_, i) => 1e-3 * Math.sin(1 + 1.7 * i));
    let log = 0;
    for (let cycle = 0; cycle < WATCHED; cycle++) {
      const before = Math.sqrt(sway.reduce((sum, x) => sum + x * x, 0));
      if (before < 1e-30) return 0;
      for (let i = 0; i < size; i++) sway[i] *= 1e-3 / before;
      this.cycle(sway);
      for (let i = 0; i < size; i++) sway[i] -= still[i];
      const after = Math.sqrt(sway.reduce((sum, x) => sum + x * x, 0));
      if (cycle >= WATCHED / 2) log += Math.log(Math.max(after, 1e-300) / 1e-3);
    }
    return Math.exp(log / (WATCHED / 2));
  }
}

interface Recording {
  readonly strands: LinkTracks[][];
  readonly visit: () => void;
}

function record(sim: ClothSim, start: number, every: number, period: number | undefined): Recording {
  const { links, planes } = sim;
  const track = (): SampledTrack & { values: number[]; slopes: number[] } => ({
    start,
    every,
    values: [],
    slopes: [],
    ...(period === undefined ? {} : { period }),
  });
  const strands = planes.map(() => Array.from({ length: links }, () => ({ pitch: track(), roll: track() })));
  const angles = new Float64Array(links);
  const speeds = new Float64Array(links);
  const visit = (): void => {
    planes.forEach((pair, s) => {
      pair.forEach(({ stepper, tables }, axis) => {
        stepper.readAngles(angles, speeds);
        const sign = axis === 0 ? -1 : 1;
        for (let i = 0; i < links; i++) {
          const to = axis === 0 ? strands[s][i].pitch : strands[s][i].roll;
          const off = angles[i] - tables.chain.rest[i];
          const above = i > 0 ? angles[i - 1] - tables.chain.rest[i - 1] : 0;
          to.values.push(sign * (off - above));
          to.slopes.push(sign * (speeds[i] - (i > 0 ? speeds[i - 1] : 0)));
        }
      });
    });
  };
  return { strands, visit };
}
