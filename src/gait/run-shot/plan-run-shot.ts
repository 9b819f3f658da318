import { refuseAny } from '../../internal/check.js';
import { planRun } from '../run/plan-run.js';
import { otherFoot } from '../shot/cycle-steps.js';
import { planShot } from '../shot/plan-shot.js';
import type { Shot } from '../shot/shot.js';
import type { ShotSpec, ShotStretch } from '../shot/shot-spec.js';
import type { Side } from '../walk.js';
import { addRun } from './add-run.js';
import { addWalked, emptyShot, type GrowingShot, lineOf, type Offset } from './join.js';
import {
  isRun,
  type RunPart,
  type RunShotSpec,
  runShotProblems,
  tellOfPart,
  type WalkedPart,
} from './run-shot-spec.js';

/**
 * A shot that runs for a while: from walking into running and back, as often as there are parts.
 *
 * Walked parts are those of `planShot`, run ones those of `planRun`. Between them lies one step: its load goes from
 * the one gait's to the other's with two pulses, solved so that height and velocity meet at both ends, and the same along
 * and beside; its time is the one of a few that needs the least load and grip and lets no foot pull. In flight the
 * load is exactly 0.
 *
 * @param spec - what to plan, in SI units; only `parts` has to be given
 * @returns the shot, plain read-only data, for everything that takes one
 * @throws RangeError or TypeError naming the field, its rule and its value, where the spec is not valid
 *
 * @example
 * ```ts
 * import { planRunShot, readMotion } from 'underfoot';
 *
 * const walk = (steps: number) => ({ walk: [{ pace: 'brisk' as const, steps }] });
 * const shot = planRunShot({ parts: [walk(6), { run: { pace: { speed: 3 } }, steps: 8 }, walk(6)] });
 * console.log(shot.steps.filter(({ gait }) => gait === 'run').length); // → 8
 *
 * const { land } = shot.steps.find(({ gait }) => gait === 'run')!;
 * const forces = new Float64Array(6);
 * readMotion(shot).sampleForces(land - 0.02, forces);
 * console.log(forces[0] + forces[3]); // → 0
 * ```
 *
 * Source: common practice, no source, for changing gait in one step.
 */
export function planRunShot(spec: RunShotSpec): Shot {
  refuseAny('planRunShot', runShotProblems(spec));
  const { parts } = spec;
  refuseAny(
    'planRunShot',
    parts.map((part, i) => besideRunProblem(parts, part, i)),
  );
  const { from, to, still, firstFoot, ...common } = spec;
  const { parts: _parts, ...body } = common;
  const walkedOf = (i: number, foot: Side | undefined): Shot =>
    tellOfPart(`parts[${i}]`, () =>
      planShot({
        ...body,
        ...(foot ? { firstFoot: foot } : {}),
        from: i === 0 ? (from ?? 'standing') : 'walking',
        to: i === parts.length - 1 ? (to ?? 'standing') : 'walking',
        still: {
          ...(i === 0 && still?.before !== undefined ? { before: still.before } : {}),
          ...(i === parts.length - 1 && still?.after !== undefined ? { after: still.after } : {}),
        },
        stretches: (parts[i] as WalkedPart).walk,
      }),
    );
  const whole = emptyShot();
  let walked = walkedOf(0, firstFoot);
  let offset: Offset = { time: 0, along: 0, floor: 0, forward: 0, side: 0, heading: 0 };
  addWalked(whole, walked, offset, { joins: false, goesOn: true });
  for (let i = 1; i < parts.length; i += 2) {
    const part = parts[i] as RunPart;
    const landing = otherFoot(whole.steps[whole.steps.length - 1].foot);
    const run = planRun({ ...part.run, body: spec.body, gravity: spec.gravity, firstFoot: landing });
    const last = part.steps % 2 === 1 ? landing : otherFoot(landing);
    const next = walkedOf(i + 1, otherFoot(last));
    const course = { whole, walked, offset, run, steps: part.steps, next, field: `parts[${i}]` };
    offset = addRun(course);
    addWalked(whole, next, offset, { joins: true, goesOn: i + 2 < parts.length });
    walked = next;
  }
  return shotOf(spec, whole, walked);
}

/** What is walked next to a run has to be straight on and level there. */
function besideRunProblem(parts: RunShotSpec['parts'], part: WalkedPart | RunPart, i: number) {
  if (isRun(part)) return undefined;
  const beside: (readonly [ShotStretch, number])[] = [];
  if (i > 0) beside.push([part.walk[0], 0]);
  if (i + 1 < parts.length) beside.push([part.walk[part.walk.length - 1], part.walk.length - 1]);
  const bad = beside.find(([{ turn, slope, stairs }]) => turn || slope || stairs);
  if (!bad) return undefined;
  const rule = 'must be straight on and level beside a run';
  return {
    field: `parts[${i}].walk[${bad[1]}]`,
    rule,
    got: 'a turn, slope or stairs',
    kind: 'range' as const,
  };
}

function shotOf(spec: RunShotSpec, whole: GrowingShot, { gravity, body, centreAboveRoot }: Shot): Shot {
  const { parts, ...rest } = spec;
  const stretches = parts.flatMap((part) => (isRun(part) ? [] : part.walk));
  const asked: ShotSpec = { ...rest, stretches };
  const { duration, steps, handOvers, cycles, layers, notes } = whole;
  return {
    kind: 'shot',
    spec: asked,
    gravity,
    body,
    duration,
    stretches: whole.stretches,
    cycles,
    steps,
    handOvers,
    line: lineOf(whole.segments),
    base: { along: whole.along, beside: whole.beside, height: whole.height, root: whole.root },
    layers,
    centreAboveRoot,
    notes,
  };
}
