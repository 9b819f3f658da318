/** Laws about more than one write: layers, reading back, and failure half way. */
import fc from 'fast-check';
import { evaluate } from '../../curves/evaluate.js';
import type { RigCurve } from '../../exchange/rig/rig-adapter.js';
import { rigValue } from '../../exchange/rig/rig-curve.js';
import { type AnyLaw, asLaw } from '../laws/law.js';
import { type Probe, sizeOf } from './probe.js';
import { readAll, sameCurve, sameRig } from './read-all.js';
import { rigCases } from './rig-cases.js';
import { writing } from './writing.js';

const pick = fc.nat({ max: 1000 });
const whole = rigCases({ wholeTimes: true });
const smooth = rigCases({ wholeTimes: true, kinds: ['curve', 'line'], repeats: false, outside: ['holds'] });

export function layerLaws(makeProbe: () => Probe, tolerance: number, layers: boolean): AnyLaw[] {
  const laws = [
    asLaw({
      name: 'What is read back plays as what was written.',
      cases: fc.tuple(pick, rigCases({ wholeTimes: true, outside: ['holds', 'loops', 'travels'] })),
      wrong([n, curve]) {
        const probe = makeProbe();
        const source = probe.sources[n % probe.sources.length];
        const { adapter } = probe.trial;
        let written: RigCurve | undefined;
        const spy = writing(adapter, (channel, keys, mode) => {
          written = keys && structuredClone(keys);
          adapter.writeKeys(channel, keys, mode);
        });
        probe.apply({ [source]: curve }, {}, spy);
        const read = adapter.readKeys(probe.channelOf(source), 'replace');
        if (!read || !written) return `${probe.channelOf(source)} has no keys after it was given some`;
        const size = Math.max(...written.keys.map(({ value }) => Math.abs(value)), Number.MIN_VALUE);
        for (const frame of probe.framesOf(curve, curve.start - 6, curve.start + 60)) {
          const at = adapter.facts.firstFrame + frame;
          const [wanted, got] = [rigValue(written, at), rigValue(read, at)];
          if (!(Math.abs(got - wanted) <= tolerance * Math.max(size, Math.abs(wanted))))
            return `${probe.channelOf(source)} reads as ${got} at frame ${at} and was written as ${wanted}`;
        }
        return undefined;
      },
    }),
    asLaw({
      name: 'Where the host fails half way, everything is as it was.',
      cases: fc.tuple(pick, whole, whole, fc.boolean(), fc.boolean()),
      wrong([n, first, second, had, late]) {
        const probe = makeProbe();
        const { trial } = probe;
        const all = (curve: typeof first) => Object.fromEntries(probe.sources.map((name) => [name, curve]));
        if (had) probe.apply(all(first));
        const before = readAll(probe);
        const victim = probe.channelOf(probe.sources[n % probe.sources.length]);
        let armed = true;
        const failing = writing(trial.adapter, (channel, keys, mode) => {
          const fails = armed && channel === victim;
          if (fails) armed = false;
          if (fails && trial.spoil) trial.spoil(channel);
          if (!fails || late || trial.spoil) trial.adapter.writeKeys(channel, keys, mode);
          if (fails) throw new Error('the host has failed');
        });
        let failed = false;
        try {
          probe.apply(all(second), {}, failing);
        } catch {
          failed = true;
        }
        if (!failed) return `a failure to write ${victim} went unnoticed`;
        // A host that copies what it has in its own form gives it back to the bit.
        const exact = trial.adapter.takeCopy !== undefined && trial.adapter.putBack !== undefined;
        return sameRig(readAll(probe), before, exact)
          ? undefined
          : `after a failure at ${victim} the rig is not as it was`;
      },
    }),
  ];
  if (!layers) return laws;
  return [
    asLaw({
      name: 'A curve laid over another adds to it and leaves it as it is.',
      cases: fc.tuple(pick, smooth, smooth),
      wrong([n, under, over]) {
        const probe = makeProbe();
        const source = probe.sources[n % probe.sources.length];
        const { adapter } = probe.trial;
        const { [source]: base } = probe.apply({ [source]: under });
        const before = structuredClone(adapter.readKeys(probe.channelOf(source), 'replace'));
        const { [source]: layer } = probe.apply({ [source]: over }, { mode: 'add' });
        if (!sameCurve(adapter.readKeys(probe.channelOf(source), 'replace'), before))
          return `adding to ${probe.channelOf(source)} has changed what was under it`;
        const sum = (seconds: number): number => evaluate(base, seconds) + evaluate(layer, seconds);
        const frames = probe.framesOf(over, 0, 30);
        return probe.differs(source, frames, sum, sizeOf(base) + sizeOf(layer));
      },
    }),
    ...laws,
  ];
}
