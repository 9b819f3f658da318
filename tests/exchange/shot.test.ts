import { describe, expect, it } from 'vitest';
import { adaptPlainRig, HARBOUR_FACTS, makePlainRig } from '../../examples/plain-rig.js';
import { evaluate } from '../../src/curves/evaluate.js';
import { makeFigure } from '../../src/exchange/figure/pose-figure.js';
import { turned, turnOf } from '../../src/exchange/figure/turns.js';
import { toPage } from '../../src/exchange/page/to-page.js';
import { checkDocument, readDocument } from '../../src/exchange/read-document.js';
import { applyToRig } from '../../src/exchange/rig/apply-to-rig.js';
import { rigValue } from '../../src/exchange/rig/rig-curve.js';
import { toCsv } from '../../src/exchange/to-csv.js';
import { toDocument } from '../../src/exchange/to-document.js';
import { planShot, readMotion, rootAt } from '../../src/gait/index.js';
import { assertClose } from '../support/assert-close.js';
import { STAGE } from './example-document.js';
import { SHOTS, shotDocument } from './shot-documents.js';

/** What `keyMotion` is asked for by default: a path within 0.3 mm. */
const KEYED = { abs: 0.0003 };
/** Sums of a few dozen doubles near 1. */
const ROUNDING = { abs: 1e-12 };

describe.each(Object.keys(SHOTS))('the document of a shot: %s', (name) => {
  const document = shotDocument(name);
  const shot = planShot(SHOTS[name]);

  it('is one, and comes back from its text', () => {
    expect(checkDocument(document)).toEqual([]);
    expect(readDocument(JSON.stringify(document))).toEqual(JSON.parse(JSON.stringify(document)));
    expect(document.pace).toBeUndefined();
    expect(document.span).toMatchObject({ start: 0, repeats: false });
    // On the frame at or after its end where it stands then, at or before it where it walks on.
    const frames = document.span.duration * 24;
    assertClose(frames, Math.round(frames), ROUNDING);
    expect(Math.abs(document.span.duration - shot.duration)).toBeLessThan(1 / 24);
  });

  it('has open curves along the path that was planned', () => {
    const { root, span, feet } = document;
    for (const curve of [root.height, root.forward, root.side, feet.left.forward, feet.right.pitch]) {
      expect(curve.period).toBeUndefined();
    }
    const lowered = document.notes.some(({ code }) => code === 'root-lowered');
    for (let i = 0; i <= 200; i++) {
      const time = (span.duration * i) / 200;
      const exact = rootAt(shot, time, { of: 'root' });
      if (!lowered) assertClose(evaluate(root.height, time), exact.height.value, KEYED, `height at ${time}`);
      assertClose(evaluate(root.forward, time), exact.forward.value, KEYED, `forward at ${time}`);
      assertClose(evaluate(root.side, time), exact.side.value, KEYED, `side at ${time}`);
    }
  });

  it('has a plant for every time that a foot stands', () => {
    for (const side of ['left', 'right'] as const) {
      const own = shot.steps.filter(({ foot }) => foot === side);
      const { plants, contacts } = document.feet[side];
      expect(plants).toHaveLength(own.length);
      expect(contacts.map(({ land }) => land)).toEqual(own.map(({ land }) => land));
      plants.forEach((plant, i) => {
        assertClose(plant.forward, own[i].plant.forward, ROUNDING);
        assertClose(plant.height ?? 0, own[i].plant.height, ROUNDING);
      });
    }
  });

  it('samples the forces from the first frame to the last', () => {
    const { forces, span } = document;
    const reader = readMotion(shot);
    const row = new Float64Array(6);
    const last = forces.time.length - 1;
    assertClose(forces.time[last], span.duration, ROUNDING);
    for (let i = 0; i <= last; i += 37) {
      reader.sampleForces(forces.time[i], row);
      assertClose(forces.left.vertical[i], row[0], ROUNDING);
      assertClose(forces.right.forward[i], row[4], ROUNDING);
      assertClose(forces.total.side[i], row[2] + row[5], ROUNDING);
    }
  });

  it('is drawn with its legs as long as they are and its planted feet where they stand', () => {
    const figure = makeFigure(document);
    const { shape } = figure;
    const gap = (a: readonly number[], b: readonly number[]): number =>
      Math.hypot(...a.map((x, i) => x - b[i]));
    for (let i = 0; i < 150; i++) {
      const time = (document.span.duration * i) / 149;
      const { legs, turns } = figure.at(time);
      for (const side of ['left', 'right'] as const) {
        const { hip, knee, ankle, heel, ball, heading } = legs[side];
        assertClose(gap(hip, knee), shape.thigh, { abs: 1e-9 });
        assertClose(gap(knee, ankle), shape.shin, { abs: 1e-9 });
        // Where the foot points is where its ball lies from its heel.
        const level = turned(turnOf(-heading, 0, 0), [ball[0] - heel[0], 0, ball[2] - heel[2]]);
        expect(level[0]).toBeGreaterThan(0);
        assertClose(level[2], 0, { abs: 1e-9 });
        // Knees bend ahead of the character, whichever way it walks.
        const ahead = turned(turns.heading, [1, 0, 0]);
        const middle = hip.map((x, k) => (x + ankle[k]) / 2);
        const out = knee.map((x, k) => x - middle[k]);
        expect(out[0] * ahead[0] + out[2] * ahead[2]).toBeGreaterThan(-1e-9);
      }
    }
  });

  it('is a page under 400 kB', () => {
    expect(Buffer.byteLength(toPage(document))).toBeLessThan(400_000);
  });
});

describe('a shot that turns', () => {
  const document = shotDocument('a turn');

  it('says its heading and that of its feet; one that goes straight on has none to say', () => {
    const { root, feet, span } = document;
    assertClose(evaluate(root.heading!, span.duration), 2.2, { abs: 0.005 });
    const { plants } = feet.left;
    assertClose(evaluate(feet.left.heading!, span.duration), plants[plants.length - 1].heading, {
      abs: 1e-6,
    });
    const straight = shotDocument('straight on');
    expect(straight.root.heading).toBeUndefined();
    expect(straight.feet.right.heading).toBeUndefined();
  });

  it('has columns for them in the table', () => {
    const [header] = toCsv(document).split('\r\n');
    for (const column of ['root heading y [rad]', 'left foot heading y [rad]'])
      expect(header).toContain(column);
    expect(toCsv(shotDocument('straight on')).split('\r\n')[0]).not.toContain('root heading');
  });

  it('turns a rig, in degrees', () => {
    const rig = makePlainRig();
    const adapter = adaptPlainRig({
      ...rig,
      channels: [...rig.channels, { name: 'hips.turn', kind: 'angle' }],
    });
    applyToRig(document, adapter, { 'root.heading': 'hips.turn', 'root.forward': 'hips.y' });
    const last = HARBOUR_FACTS.firstFrame + document.span.duration * 24;
    assertClose(rigValue(rig.base['hips.turn'], last), (2.2 * 180) / Math.PI, { abs: 0.3 });
  });
});

describe('a keyed root of a shot', () => {
  it('keeps the heading of the shot where it brings none', () => {
    const shot = planShot(SHOTS['a turn']);
    const { heading: _, ...root } = shotDocument('a turn').root;
    const document = toDocument(shot, { name: '', scene: STAGE, root });
    expect(document.root.heading).toEqual(shotDocument('a turn').root.heading);
  });
});
