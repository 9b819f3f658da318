/** Laws about what an adapter tells and keeps, whatever the values mean. */
import fc from 'fast-check';
import type { Curve } from '../../curves/curve.js';
import { applyToRig } from '../../exchange/rig/apply-to-rig.js';
import type { RigCurve } from '../../exchange/rig/rig-adapter.js';
import { type AnyLaw, asLaw } from '../laws/law.js';
import type { Probe } from './probe.js';
import { readAll, sameRig } from './read-all.js';
import { rigCases } from './rig-cases.js';
import { writing } from './writing.js';

const whole = rigCases({ wholeTimes: true });

/** Which of the mapped sources, as a number that is taken round. */
const pick = fc.nat({ max: 1000 });

const at = (probe: Probe, n: number): string => probe.sources[n % probe.sources.length];

/** What the adapter was given for a channel, seen on the way. */
function given(probe: Probe, source: string, curve: Curve): RigCurve {
  let seen: RigCurve | undefined;
  const { adapter } = probe.trial;
  const spy = writing(adapter, (channel, keys, mode) => {
    seen = keys && structuredClone(keys);
    adapter.writeKeys(channel, keys, mode);
  });
  probe.apply({ [source]: curve }, {}, spy);
  return seen as RigCurve;
}

const framesOf = (curve: RigCurve | undefined): number[] => curve?.keys.map(({ frame }) => frame) ?? [];

/** How near two frames are the same. */
const SAME_FRAME = 1e-6;

export function contractLaws(makeProbe: () => Probe): AnyLaw[] {
  return [
    asLaw({
      name: 'The channels and the facts fit the mapping, and looking at them changes nothing.',
      cases: fc.constant('the mapping'),
      most: 1,
      wrong() {
        const probe = makeProbe();
        const before = readAll(probe);
        const document = probe.documentOf({});
        const { problems } = applyToRig(document, probe.trial.adapter, probe.mappingOf(probe.sources), {
          dryRun: true,
        });
        const [first] = problems;
        if (first) return `${first.field} ${first.rule}, got ${first.got}`;
        return sameRig(readAll(probe), before) ? undefined : 'a dry run has changed what the rig has';
      },
    }),
    asLaw({
      name: 'A channel that the host has locked is told as locked and left as it is.',
      cases: fc.tuple(pick, whole),
      wrong([n, curve]) {
        const probe = makeProbe();
        const { trial } = probe;
        if (!trial.lock) return undefined;
        const source = at(probe, n);
        probe.apply({ [source]: curve });
        const before = readAll(probe);
        trial.lock(probe.channelOf(source));
        const told = trial.adapter.channels().find(({ name }) => name === probe.channelOf(source))?.locked;
        if (!told) return `${probe.channelOf(source)} is locked in the host and told as free`;
        const other = { ...curve, keys: curve.keys.map((key) => ({ ...key, value: key.value + 1 })) };
        probe.apply({ [source]: other }, { skipLocked: true });
        return sameRig(readAll(probe), before)
          ? undefined
          : `${probe.channelOf(source)} is locked and was changed`;
      },
    }),
    asLaw({
      name: 'Writing a channel leaves the other channels alone.',
      cases: fc.tuple(pick, whole, whole),
      wrong([n, curve, other]) {
        const probe = makeProbe();
        const source = at(probe, n);
        const rest = probe.sources.filter((name) => name !== source);
        probe.apply(Object.fromEntries(rest.map((name) => [name, curve])));
        const read = (name: string) =>
          JSON.stringify(probe.trial.adapter.readKeys(probe.channelOf(name), 'replace'));
        const before = rest.map(read);
        probe.apply({ [source]: other });
        const changed = rest.find((name, i) => read(name) !== before[i]);
        return changed && `writing ${probe.channelOf(source)} has changed ${probe.channelOf(changed)}`;
      },
    }),
    asLaw({
      name: 'No key is lost on the way.',
      cases: fc.tuple(pick, whole),
      wrong([n, curve]) {
        const probe = makeProbe();
        const source = at(probe, n);
        const wanted = given(probe, source, curve).keys.length;
        const got = framesOf(probe.trial.adapter.readKeys(probe.channelOf(source), 'replace')).length;
        return got < wanted
          ? `${probe.channelOf(source)} was given ${wanted} keys and has ${got}`
          : undefined;
      },
    }),
    asLaw({
      name: 'No key is added and none is there twice, not even where a cycle closes.',
      cases: fc.tuple(pick, whole),
      wrong([n, curve]) {
        const probe = makeProbe();
        const source = at(probe, n);
        const wanted = given(probe, source, curve).keys.length;
        const frames = framesOf(probe.trial.adapter.readKeys(probe.channelOf(source), 'replace'));
        const twice = frames.findIndex((frame, i) => i > 0 && frame - frames[i - 1] < SAME_FRAME);
        if (twice >= 0) return `${probe.channelOf(source)} has two keys at frame ${frames[twice]}`;
        if (frames.length === wanted) return undefined;
        return `${probe.channelOf(source)} was given ${wanted} keys and has ${frames.length}`;
      },
    }),
    asLaw({
      name: 'Replacing leaves nothing of what was there.',
      cases: fc.tuple(pick, whole, whole),
      wrong([n, first, second]) {
        const probe = makeProbe();
        const source = at(probe, n);
        probe.apply({ [source]: first });
        const wanted = given(probe, source, second).keys.length;
        const got = framesOf(probe.trial.adapter.readKeys(probe.channelOf(source), 'replace')).length;
        return got === wanted
          ? undefined
          : `${probe.channelOf(source)} was given ${wanted} keys and has ${got}`;
      },
    }),
    asLaw({
      name: 'What is taken away is gone.',
      cases: fc.tuple(pick, whole),
      wrong([n, curve]) {
        const probe = makeProbe();
        const { adapter } = probe.trial;
        const source = at(probe, n);
        const channel = probe.channelOf(source);
        probe.apply({ [source]: curve });
        adapter.writeKeys(channel, undefined, 'replace');
        const left = framesOf(adapter.readKeys(channel, 'replace'));
        return left.length === 0 ? undefined : `${channel} still has ${left.length} keys`;
      },
    }),
  ];
}
