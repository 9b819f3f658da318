/**
 * Measures peers side by side in one process and prints one table per task.
 *
 * A bench file calls `bench` once per task:
 *
 *     import { bench, createRng } from './harness.js';
 *
 *     const rng = createRng(1);
 *     const times = Float64Array.from({ length: 1024 }, rng);
 *     bench('value at a time, 33 keys', [
 *       { name: 'underfoot', keys: 33, maxError: 0, run: (i) => sampler.value(times[i & 1023]) },
 *       { name: 'peer', keys: 33, maxError: 2e-6, run: (i) => peer(times[i & 1023]) },
 *     ]);
 *
 * `run` is called with a rising count, so that its inputs differ from call to call, and returns a number
 * that goes into a sink, so that no compiler may leave the work out. The peers take turns, batch by
 * batch, so that a busy moment of the machine hits all of them.
 */
import { printTable } from './table.js';

export { createRng } from './rng.js';

/** One of the things compared. */
export interface Peer {
  readonly name: string;
  /** Does the work once and returns some number that depends on it. */
  readonly run: (index: number) => number;
  /** Largest error of this peer on the task, measured by the bench file, in the unit it names. */
  readonly maxError?: number;
  /** How many keys or segments this peer's answer has. */
  readonly keys?: number;
}

/** What was measured of one peer. */
export interface Measured {
  readonly task: string;
  readonly name: string;
  /** Median time of one call, in ns. */
  readonly medianNs: number;
  /** Half the distance between the quartiles, in ns. */
  readonly spreadNs: number;
  readonly maxError?: number;
  readonly keys?: number;
}

/** How long and how often to measure. */
export interface BenchOptions {
  /** Time of warming up per peer, in ms. Default 100. */
  readonly warmUpMs?: number;
  /** Length of one batch, in ms. Default 10. */
  readonly batchMs?: number;
  /** Number of batches per peer. Default 31. */
  readonly batches?: number;
  /** Heading of the error column, with its unit. Default `max error`. */
  readonly errorLabel?: string;
}

// Kept in a module variable and shown at the end, so that the results of all calls are used.
let sink = 0;
const collected: Measured[] = [];

type Run = (index: number) => number;
type Loop = (run: Run, calls: number, from: number) => number;

let made = 0;

/**
 * A function of a peer's own. One function for all would see every peer's at its one call, and no engine puts what
 * differs from call to call into a loop: the call would be measured, and not what it does. Engines remember a text
 * they have compiled, with what it saw, so each text has a number of its own.
 */
function makeOwn(names: readonly string[], body: string): unknown {
  return new Function(...names, `/* ${made++} */ ${body.replace('{', `{ /* ${made} */`)}`);
}

function makeLoop(): Loop {
  const body = 'let sum = 0; for (let i = 0; i < calls; i++) { sum += run(from + i); } return sum;';
  return makeOwn(['run', 'calls', 'from'], body) as Loop;
}

/** A `run` of its own that asks `value` for one input after the other; their number is a power of two. */
export function askInTurn(value: (x: number) => number, inputs: ArrayLike<number>): Run {
  const body = 'const mask = inputs.length - 1; return (i) => { return value(inputs[i & mask]); };';
  return (makeOwn(['value', 'inputs'], body) as (...given: unknown[]) => Run)(value, inputs);
}

/**
 * A `run` of its own that plays all `times` into `out`: `statement` says how `player` writes the value at `t` into
 * `out[i]`. What is written need not wait for what was written before, as numbers that are summed would.
 */
export function playInto(statement: string, player: unknown, times: Float64Array, out: Float64Array): Run {
  const loop = `for (let i = 0; i < times.length; i++) { const t = times[i]; ${statement}; }`;
  const body = `return () => { ${loop} return out[7]; };`;
  return (makeOwn(['player', 'times', 'out'], body) as (...given: unknown[]) => Run)(player, times, out);
}

function timeBatch(run: Run, loop: Loop, calls: number, from: number): number {
  const start = process.hrtime.bigint();
  const sum = loop(run, calls, from);
  const elapsed = Number(process.hrtime.bigint() - start);
  sink += sum;
  return elapsed;
}

/** Warms a peer up and returns how many calls fill a batch. */
function warmUp({ run }: Peer, loop: Loop, warmUpMs: number, batchMs: number): number {
  let calls = 1;
  let spent = 0;
  let elapsed = timeBatch(run, loop, calls, 0);
  while (spent < warmUpMs * 1e6) {
    elapsed = timeBatch(run, loop, calls, 0);
    spent += elapsed;
    if (elapsed < batchMs * 5e5) calls *= 2;
  }
  return Math.max(1, Math.round((calls * batchMs * 1e6) / elapsed));
}

function quantile(sorted: readonly number[], part: number): number {
  const at = (sorted.length - 1) * part;
  const low = Math.floor(at);
  const high = Math.min(low + 1, sorted.length - 1);
  return sorted[low] + (sorted[high] - sorted[low]) * (at - low);
}

/** Measures the peers on one task, prints the table and returns what it says. */
export function bench(task: string, peers: readonly Peer[], options: BenchOptions = {}): readonly Measured[] {
  const { warmUpMs = 100, batchMs = 10, batches = 31, errorLabel = 'max error' } = options;
  const loops = peers.map(makeLoop);
  const calls = peers.map((peer, k) => warmUp(peer, loops[k], warmUpMs, batchMs));
  const times: number[][] = peers.map(() => []);
  for (let batch = 0; batch < batches; batch++) {
    peers.forEach((peer, k) => {
      times[k].push(timeBatch(peer.run, loops[k], calls[k], batch * calls[k]) / calls[k]);
    });
  }
  const rows = peers.map(({ name, maxError, keys }, k): Measured => {
    const sorted = times[k].sort((a, b) => a - b);
    const spreadNs = (quantile(sorted, 0.75) - quantile(sorted, 0.25)) / 2;
    return { task, name, medianNs: quantile(sorted, 0.5), spreadNs, maxError, keys };
  });
  collected.push(...rows);
  printTable(task, rows, errorLabel);
  return rows;
}

/** Everything measured so far in this process. */
export function allMeasured(): readonly Measured[] {
  return collected;
}

/** What became of the results of all calls: printing it keeps the work from being optimised away. */
export function readSink(): number {
  return sink;
}
