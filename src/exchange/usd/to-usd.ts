import type { Curve } from '../../curves/curve.js';
import { createSampler } from '../../curves/sampler.js';
import type { Channels, Side } from '../../gait/walk.js';
import { refuseAny, requireRecord, show } from '../../internal/check.js';
import type { DocumentFollower, DocumentTurns, MotionDocument } from '../document.js';
import { framesPerSecond } from '../frame-rate.js';
import { requireDocument } from '../require-document.js';
import { type AxisOf, sceneAxes } from '../scene-axes.js';
import { number, type UsdScale, usdSpline } from './usd-spline.js';
import { indent, primNames, usdString } from './usd-text.js';

/** How to write a layer. */
export interface UsdOptions {
  /** Values on every frame of the span instead of splines. Default false. */
  readonly timeSamples?: boolean;
}

/**
 * An OpenUSD text layer (.usda) of a motion: root, feet and followers as prims whose transforms are Bézier
 * splines with width and slope, in the scene's unit, axes and frames.
 *
 * Splines are the document's curves key by key, without loss. A foot's origin is its ball; its toes hang
 * from it. The forces on each foot are time samples in body weights.
 *
 * @param document - a motion document
 * @param options - splines (default) or samples on every frame
 * @returns the layer's text
 * @throws RangeError or TypeError naming field, rule and value
 *
 * @example
 * ```ts
 * import { planWalk } from 'underfoot';
 * import { toDocument, toUsd } from 'underfoot/exchange';
 *
 * const scene = { up: 'y', forward: '+z', metersPerUnit: 0.01, fps: 24, firstFrame: 1 } as const;
 * const layer = toUsd(toDocument(planWalk({ pace: 'ordinary' }), { name: 'Lamplighter', scene }));
 * console.log(layer.split('\n')[0]); // → #usda 1.0
 * ```
 */
export function toUsd(document: MotionDocument, options: UsdOptions = {}): string {
  requireDocument('toUsd', document);
  requireRecord('toUsd', 'options', options, ['timeSamples']);
  const { timeSamples = false } = options;
  if (typeof timeSamples !== 'boolean') {
    const rule = 'must be true or false';
    refuseAny('toUsd', [{ field: 'timeSamples', rule, got: show(timeSamples), kind: 'type' }]);
  }
  const writer = new LayerWriter(document, timeSamples);
  return `${writer.write().join('\n')}\n`;
}

const LETTERS = { x: 'X', y: 'Y', z: 'Z' } as const;
const CHANNELS = ['height', 'forward', 'side'] as const;

/** Names that followers do not get. */
const OWN_PRIMS = [
  'Root',
  'LeftFoot',
  'RightFoot',
  'Pelvis',
  'Chest',
  'Head',
  'LeftArm',
  'RightArm',
] as const;

/** One transform operation: its name and the lines that animate it. */
interface Op {
  readonly op: string;
  readonly lines: readonly string[];
}

class LayerWriter {
  private readonly axes: Channels<AxisOf>;
  private readonly rate: number;

  constructor(
    private readonly document: MotionDocument,
    private readonly samples: boolean,
  ) {
    this.axes = sceneAxes(document.scene);
    this.rate = framesPerSecond(document.scene.frameRate);
  }

  write(): string[] {
    const { name, followers } = this.document;
    const [top] = primNames([name], 'Motion');
    const names = primNames([...OWN_PRIMS, ...followers.map((part) => part.name)], 'Part').slice(
      OWN_PRIMS.length,
    );
    const parts = followers.map((part, i) => ({ part, lines: this.follower(part, names[i]) }));
    const hanging = parts
      .filter(({ part }) => part.space === 'relative')
      .flatMap(({ lines }) => ['', ...lines]);
    const free = parts.filter(({ part }) => part.space === 'world').flatMap(({ lines }) => ['', ...lines]);
    const { root } = this.document;
    const inside = [
      ...this.prim(
        'Root',
        root.of === 'root' ? 'Root' : 'Centre of mass',
        this.ops([
          ...this.translations(root),
          ...(root.heading ? [this.rotation(root.heading, 1, 'height')] : []),
        ]),
        [...this.turns(), ...hanging],
      ),
      '',
      ...this.foot('left', 'LeftFoot'),
      '',
      ...this.foot('right', 'RightFoot'),
      ...free,
    ];
    return [...this.header(top), '', ...this.prim(top, name, [], ['', ...inside].slice(1))];
  }

  private header(top: string): string[] {
    const { scene, span, made, forces, notes } = this.document;
    const frame = (time: number): string => number(scene.firstFrame + time * this.rate);
    return [
      '#usda 1.0',
      '(',
      ...indent([
        `defaultPrim = "${top}"`,
        `upAxis = "${scene.up.toUpperCase()}"`,
        `metersPerUnit = ${number(scene.metersPerUnit)}`,
        `timeCodesPerSecond = ${number(this.rate)}`,
        `framesPerSecond = ${number(this.rate)}`,
        `startTimeCode = ${frame(span.start)}`,
        `endTimeCode = ${frame(span.start + span.duration)}`,
        'customLayerData = {',
        `    string "underfoot:version" = ${usdString(made.version)}`,
        `    string "underfoot:forward" = ${usdString(scene.forward)}`,
        `    double "underfoot:newtonsPerBodyWeight" = ${number(forces.newtonsPerBodyWeight)}`,
        `    string[] "underfoot:notes" = [${notes.map(({ text }) => usdString(text)).join(', ')}]`,
        '}',
      ]),
      ')',
    ];
  }

  private prim(
    name: string,
    label: string,
    attributes: readonly string[],
    children: readonly string[],
  ): string[] {
    return [
      `def Xform "${name}" (`,
      `    displayName = ${usdString(label)}`,
      ')',
      '{',
      ...indent([
        ...attributes,
        ...(attributes.length > 0 && children.length > 0 && children[0] !== '' ? [''] : []),
        ...children,
      ]),
      '}',
    ];
  }

  private follower(part: DocumentFollower, name: string): string[] {
    const { curve, channel, unit } = part;
    const op = unit === 'rad' ? this.rotation(curve, 1, channel) : this.translation(curve, channel);
    return this.prim(name, part.name, this.ops([op]), []);
  }

  /**
   * Pelvis, chest, head and arms as prims beside each other under the root, each with its own turn against
   * the direction of travel, and the forearms under their arms. They have turns only: where a rig's joints
   * are is the rig's own.
   */
  private turns(): string[] {
    const { turns } = this.document;
    if (!turns) return [];
    const part = (name: string, { heading, roll, pitch }: DocumentTurns['pelvis']): string[] => [
      '',
      ...this.prim(
        name,
        name,
        this.ops([
          this.rotation(heading, 1, 'height'),
          this.rotation(roll, 1, 'forward'),
          this.rotation(pitch, 1),
        ]),
        [],
      ),
    ];
    const arm = (side: Side): string[] => {
      const words = side === 'left' ? 'Left' : 'Right';
      const { pitch, elbow } = turns.arms[side];
      // A bent elbow brings the hand ahead, which is a turn against that of a lowered front.
      const forearm = this.prim(
        `${words}Forearm`,
        `${words} forearm`,
        this.ops([this.rotation(elbow, -1)]),
        [],
      );
      return [
        '',
        ...this.prim(`${words}Arm`, `${words} arm`, this.ops([this.rotation(pitch, 1)]), ['', ...forearm]),
      ];
    };
    return [
      ...part('Pelvis', turns.pelvis),
      ...part('Chest', turns.chest),
      ...part('Head', turns.head),
      ...arm('left'),
      ...arm('right'),
    ];
  }

  private foot(side: Side, name: string): string[] {
    const foot = this.document.feet[side];
    const words = side === 'left' ? 'Left' : 'Right';
    const toes = this.prim(`${words}Toes`, `${words} toes`, this.ops([this.rotation(foot.toeBend, -1)]), []);
    const attributes = [
      ...this.ops([
        ...this.translations(foot),
        ...(foot.heading ? [this.rotation(foot.heading, 1, 'height')] : []),
        this.rotation(foot.pitch, 1),
      ]),
      ...this.force(side),
    ];
    return this.prim(name, `${words} foot`, attributes, ['', ...toes]);
  }

  /** A turn about the axis of a channel, by default the one to the side: positive with the front down. */
  private rotation(curve: Curve, turn: 1 | -1, channel: keyof Channels<unknown> = 'side'): Op {
    const { letter, sign } = this.axes[channel];
    const op = `xformOp:rotate${LETTERS[letter]}`;
    return { op, lines: this.animated(op, curve, (turn * sign * 180) / Math.PI) };
  }

  /** One translation per axis, in the order x, y, z. */
  private translations(curves: Channels<Curve>): Op[] {
    return CHANNELS.map((channel) => ({
      ...this.translation(curves[channel], channel),
      index: this.axes[channel].index,
    })).sort((a, b) => a.index - b.index);
  }

  private translation(curve: Curve, channel: keyof Channels<unknown>): Op {
    const { letter, sign } = this.axes[channel];
    const op = `xformOp:translate${LETTERS[letter]}`;
    return { op, lines: this.animated(op, curve, sign / this.document.scene.metersPerUnit) };
  }

  private ops(ops: readonly Op[]): string[] {
    const order = ops.map(({ op }) => `"${op}"`).join(', ');
    return [...ops.flatMap(({ lines }) => lines), `uniform token[] xformOpOrder = [${order}]`];
  }

  private animated(op: string, curve: Curve, value: number): string[] {
    const { firstFrame } = this.document.scene;
    if (!this.samples) {
      const scale: UsdScale = { rate: this.rate, origin: firstFrame, value };
      return [`double ${op}.spline = {`, ...indent(usdSpline(curve, scale)), '}'];
    }
    const sampler = createSampler(curve);
    const out = new Float64Array(1);
    const lines = this.frames().map((time, i) => {
      sampler.sample(time, out);
      return `${number(firstFrame + i)}: ${number(out[0] * value)},`;
    });
    return [`double ${op}.timeSamples = {`, ...indent(lines), '}'];
  }

  /** Times of the span's frames, its end included where it falls on one. */
  private frames(): number[] {
    const { span } = this.document;
    const count = Math.floor(span.duration * this.rate + 1e-6);
    return Array.from({ length: count + 1 }, (_, i) => span.start + i / this.rate);
  }

  private force(side: Side): string[] {
    const { forces, scene, span } = this.document;
    const { vertical, forward, side: across } = forces[side];
    const rows = Math.ceil(forces.time.length / forces.perFrame);
    const lines = Array.from({ length: rows }, (_, i) => {
      const row = [0, 0, 0];
      const at = i * forces.perFrame;
      for (const [axis, values] of [
        [this.axes.height, vertical],
        [this.axes.forward, forward],
        [this.axes.side, across],
      ] as const) {
        row[axis.index] = axis.sign * values[at];
      }
      const time = scene.firstFrame + span.start * this.rate + i;
      return `${number(time)}: (${row.map(number).join(', ')}),`;
    });
    return ['custom double3 underfoot:forceInBodyWeights.timeSamples = {', ...indent(lines), '}'];
  }
}
