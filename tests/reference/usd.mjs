// Prints OpenUSD layers of a few motions with what our own evaluation says about them at many times.
import { readFileSync } from 'node:fs';
import { evaluate } from 'underfoot/curves';
import { sceneAxes, toDocument, toUsd } from 'underfoot/exchange';
import { planShot, planWalk } from 'underfoot/gait';

const { cases, samples } = JSON.parse(readFileSync(0, 'utf8'));

// Times inside, at and beside every key and seam, and well outside on both sides.
function timesFor(curve, span) {
  const from = span.start - 2.3 * span.duration;
  const to = span.start + 3.3 * span.duration;
  const even = Array.from({ length: samples }, (_, i) => from + ((to - from) * (i + 0.5)) / samples);
  const turns = curve.period === undefined ? [0] : [-2, -1, 0, 1, 2];
  const keys = turns.flatMap((turn) => curve.keys.map(({ time }) => time + turn * (curve.period ?? 0)));
  return [...even, ...keys.flatMap((time) => [time - 1e-4, time + 1e-9, time + 1e-4])];
}

const turned = (prim, channel, curve) => (curve ? [{ prim, channel, curve, unit: 'rad' }] : []);

const out = cases.map(({ spec, shot, scene, extra, options }) => {
  const motion = toDocument(shot ? planShot(shot) : planWalk(spec), { name: 'Lamplighter "β"\\', scene });
  // Curves of every kind, cycles that do not fit the walk's among them: no document would be given them.
  const document = { ...motion, followers: extra };
  const { root, span, followers, feet, turns } = document;
  const axes = sceneAxes(document.scene);
  const { frames, seconds } = document.scene.frameRate;
  const tracks = [
    ...['height', 'forward', 'side'].map((channel) => ({
      prim: 'Root',
      channel,
      curve: root[channel],
      unit: 'm',
    })),
    ...followers.map(({ name, channel, curve, unit, space }) => ({
      prim: space === 'relative' ? `Root/${name}` : name,
      channel,
      curve,
      unit,
    })),
    ...turned('Root', 'height', root.heading),
    ...[
      ['LeftFoot', feet.left],
      ['RightFoot', feet.right],
    ].flatMap(([prim, foot]) => [
      ...['height', 'forward', 'side'].map((channel) => ({ prim, channel, curve: foot[channel], unit: 'm' })),
      ...turned(prim, 'height', foot.heading),
      ...turned(prim, 'side', foot.pitch),
    ]),
    ...[
      ['Root/Pelvis', turns.pelvis],
      ['Root/Chest', turns.chest],
      ['Root/Head', turns.head],
    ].flatMap(([prim, { heading, roll, pitch }]) => [
      ...turned(prim, 'height', heading),
      ...turned(prim, 'forward', roll),
      ...turned(prim, 'side', pitch),
    ]),
    ...turned('Root/LeftArm', 'side', turns.arms.left.pitch),
    ...turned('Root/RightArm', 'side', turns.arms.right.pitch),
  ].map(({ prim, channel, curve, unit }) => {
    const { letter, sign } = axes[channel];
    const times = timesFor(curve, span);
    const scale = unit === 'rad' ? 180 / Math.PI : 1 / document.scene.metersPerUnit;
    return {
      prim,
      attribute: `xformOp:${unit === 'rad' ? 'rotate' : 'translate'}${letter.toUpperCase()}`,
      times: times.map((t) => document.scene.firstFrame + (t * frames) / seconds),
      values: times.map((t) => sign * scale * evaluate(curve, t)),
      meters: unit === 'rad' ? Math.PI / 180 : document.scene.metersPerUnit,
    };
  });
  return { layer: toUsd(document, options), tracks, scene: document.scene, span, feet: document.feet };
});
console.log(JSON.stringify(out));
