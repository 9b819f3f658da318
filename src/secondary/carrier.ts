import type { Series } from '../curves/series.js';
import type { Channels } from '../gait/walk.js';
import { errorOf, isRecord, numberProblem, recordProblem, refuseAny, show } from '../internal/check.js';
import { type CarrierName, type CarrierSpec, CHANNELS, type Driver } from './driver.js';
import { type DriverReader, readDriver, readLoop } from './read-driver.js';

/** One joint of the spine follows the one below it by a frame at 24 fps (common practice, no source). */
const JOINT_DELAY = 1 / 24;

/**
 * Named carriers, as gain and delay from the root. The head swings less than the pelvis fore and aft and
 * from side to side, and as much up and down (memory: Menz, Lord & Fitzpatrick 2003); the sizes are common
 * practice, no source.
 */
export const CARRIERS: Readonly<Record<Exclude<CarrierName, 'centreOfMass'>, CarrierSpec>> = Object.freeze({
  hips: { gain: 1, delay: 0 },
  chest: { gain: { height: 1, forward: 0.8, side: 0.85 }, delay: JOINT_DELAY },
  head: { gain: { height: 1, forward: 0.6, side: 0.7 }, delay: 2 * JOINT_DELAY },
});

const NAMES = ['centreOfMass', ...Object.keys(CARRIERS)];

interface Settled {
  readonly gain: Channels<number>;
  readonly delay: number;
}

function settle(where: string, reader: DriverReader, carrier: CarrierName | CarrierSpec): Settled {
  let spec: CarrierSpec;
  if (typeof carrier === 'string') {
    if (!NAMES.includes(carrier)) {
      const rule = `must be one of ${NAMES.join(', ')}, or gain and delay`;
      throw errorOf(where, { field: 'carrier', rule, got: show(carrier), kind: 'range' });
    }
    // A path of one's own is the carrier's root whatever it is called.
    spec = carrier === 'centreOfMass' ? {} : CARRIERS[carrier];
  } else {
    refuseAny(where, [
      recordProblem('carrier', carrier, ['gain', 'delay']),
      carrier.delay === undefined
        ? undefined
        : numberProblem('carrier.delay', carrier.delay, { min: 0, unit: 's' }),
    ]);
    spec = carrier;
  }
  const { gain = 1, delay = 0 } = spec;
  if (isRecord(gain)) refuseAny(where, [recordProblem('carrier.gain', gain, CHANNELS)]);
  const of = (channel: keyof Channels<number>): number =>
    typeof gain === 'object' ? (gain[channel] ?? 1) : gain;
  const gains = { height: of('height'), forward: of('forward'), side: of('side') };
  refuseAny(
    where,
    CHANNELS.map((channel) => numberProblem(`carrier.gain.${channel}`, gains[channel])),
  );
  return { gain: gains, delay: reader.repeats ? delay % reader.duration : delay };
}

/** The series `gain` times as large about its mean and drift, and later by `delay` (s). */
export function carrySeries(series: Series, gain: number, delay: number): Series {
  const omega = (2 * Math.PI) / series.period;
  const cos: number[] = [];
  const sin: number[] = [];
  for (let k = 0; k < series.cos.length; k++) {
    const c = Math.cos((k + 1) * omega * delay);
    const s = Math.sin((k + 1) * omega * delay);
    cos.push(gain * (series.cos[k] * c - series.sin[k] * s));
    sin.push(gain * (series.cos[k] * s + series.sin[k] * c));
  }
  return { period: series.period, mean: series.mean, drift: series.drift, cos, sin };
}

/**
 * The driver as the part's carrier moves: later by the delay, its swing about the mean path multiplied by
 * the gain. On a driver that does not repeat the gain applies to accelerations: of a shot to those of the steps' swing,
 * while starts, stops and turns take all of the body along; of paths and samples, which do not tell the two apart, to
 * all. Before its first moment it goes on as it began, unaccelerated.
 */
export function readCarrier(
  where: string,
  driver: Driver,
  carrier: CarrierName | CarrierSpec = 'hips',
): DriverReader {
  const reader = readDriver(where, driver, carrier === 'centreOfMass' ? 'centreOfMass' : 'root');
  const { gain, delay } = settle(where, reader, carrier);
  if (delay === 0 && CHANNELS.every((channel) => gain[channel] === 1)) return reader;
  if (!reader.loop) {
    const { writeSteady } = reader;
    const steady = new Float64Array(9);
    return {
      ...reader,
      every: delay === 0 ? reader.every : undefined,
      owner: reader.owner && {
        motion: reader.owner.motion,
        key: `${reader.owner.key} ${CHANNELS.map((channel) => gain[channel]).join(' ')} ${delay}`,
      },
      sample(t, out) {
        const u = t - delay;
        const early = reader.start - u;
        reader.sample(early > 0 ? reader.start : u, out);
        writeSteady?.(steady);
        for (let i = 0; i < 3; i++) {
          if (early > 0) out[3 * i] -= early * out[3 * i + 1];
          const kept = steady[3 * i + 2];
          out[3 * i + 2] = early > 0 ? 0 : kept + gain[CHANNELS[i]] * (out[3 * i + 2] - kept);
        }
      },
    };
  }
  const { height, forward, side } = reader.loop;
  const loop = {
    height: carrySeries(height, gain.height, delay),
    forward: carrySeries(forward, gain.forward, delay),
    side: carrySeries(side, gain.side, delay),
  };
  return { ...reader, ...readLoop(loop, reader.gravity, reader.loopError) };
}
