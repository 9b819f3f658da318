import type { Curve } from '../../curves/curve.js';
import { evaluate } from '../../curves/evaluate.js';
import type { MotionDocument } from '../../exchange/document.js';
import { framesPerSecond, readFrameRate } from '../../exchange/frame-rate.js';
import { type ApplyOptions, applyToRig } from '../../exchange/rig/apply-to-rig.js';
import { rigValue } from '../../exchange/rig/rig-curve.js';
import { rigSources } from '../../exchange/rig/rig-sources.js';
import { sceneAxes } from '../../exchange/scene-axes.js';
import { probeDocument, probeDocumentWith } from './probe-document.js';
import type { AdapterOptions, RigTrial } from './rig-trial.js';

/** Curves to be given to the rig, by source. */
export type Parts = Readonly<Record<string, Curve>>;

/** Nearer to a key than this, in frames, it is a matter of rounding which side of it a time is on. */
const NEAR_KEY = 1e-3;

/** One rig, and everything that laws ask of it. */
export class Probe {
  readonly trial: RigTrial;
  readonly rate: number;
  private readonly options: Required<AdapterOptions>;
  private readonly template: MotionDocument;

  constructor(trial: RigTrial, options: Required<AdapterOptions>) {
    this.trial = trial;
    this.options = options;
    this.rate = framesPerSecond(readFrameRate('checkRigAdapter', 'facts.fps', trial.adapter.facts.fps));
    const kinds = new Map(trial.adapter.channels().map(({ name, kind }) => [name, kind]));
    this.template = probeDocument(options.mapping, kinds);
  }

  get sources(): readonly string[] {
    return Object.keys(this.options.mapping);
  }

  /** The sources whose values are lengths, or angles. */
  sourcesOf(kind: 'length' | 'angle'): readonly string[] {
    const known = rigSources(this.template);
    return this.sources.filter((source) => known.get(source)?.kind === kind);
  }

  channelOf(source: string): string {
    return this.options.mapping[source];
  }

  /** A curve whose times are frames, in seconds of this rig. */
  inSeconds(curve: Curve): Curve {
    const { rate } = this;
    const side = ({ span, slope }: { span: number; slope: number }) => ({
      span: span / rate,
      slope: slope * rate,
    });
    return {
      ...curve,
      keys: curve.keys.map((key) => ({
        ...key,
        time: key.time / rate,
        in: side(key.in),
        out: side(key.out),
      })),
      start: curve.start / rate,
      ...(curve.period === undefined ? {} : { period: curve.period / rate }),
    };
  }

  /** Gives the rig curves whose times are frames; returns them in seconds. */
  apply(parts: Parts, options: ApplyOptions = {}, adapter = this.trial.adapter): Parts {
    const seconds = Object.fromEntries(
      Object.entries(parts).map(([source, curve]) => [source, this.inSeconds(curve)]),
    );
    applyToRig(this.documentOf(seconds), adapter, this.mappingOf(Object.keys(parts)), options);
    return seconds;
  }

  documentOf(parts: Parts): MotionDocument {
    return probeDocumentWith(this.template, parts);
  }

  mappingOf(sources: readonly string[]): Record<string, string> {
    return Object.fromEntries(sources.map((source) => [source, this.channelOf(source)]));
  }

  /** What the host shows, or what it would by the adapter's own account. */
  play(source: string, seconds: number): number {
    return this.trial.play ? this.trial.play(source, seconds) : this.believed(source, seconds);
  }

  private believed(source: string, seconds: number): number {
    const { adapter } = this.trial;
    const { facts } = adapter;
    const known = rigSources(this.template).get(source);
    if (!known) return Number.NaN;
    const channel = this.channelOf(source);
    const layers = [
      adapter.readKeys(channel, 'replace'),
      facts.layers ? adapter.readKeys(channel, 'add') : undefined,
    ];
    const raw = layers.map((curve) => (curve ? rigValue(curve, facts.firstFrame + seconds * this.rate) : 0));
    const angle = facts.angles === 'degrees' ? Math.PI / 180 : 1;
    const unit = known.kind === 'length' ? facts.metersPerUnit : angle;
    return (raw[0] + raw[1]) * unit * sceneAxes(facts)[known.channel].sign;
  }

  /** Frames inside a stretch at which a curve of frames is compared: where the host is exact, and no key or seam is. */
  framesOf(curve: Curve, from: number, to: number): number[] {
    const parts = this.options.samplesPerFrame || 4;
    const { start, period } = curve;
    // Keys and seams come round again in every cycle.
    const marks = [start, ...curve.keys.map(({ time }) => time)];
    const isMark = (frame: number): boolean =>
      marks.some((mark) => {
        const apart = frame - mark;
        const turns = period === undefined ? 0 : Math.round(apart / period);
        return Math.abs(apart - turns * (period ?? 0)) < NEAR_KEY;
      });
    const first = Math.floor(from * parts) + 1;
    const last = Math.ceil(to * parts) - 1;
    const step = Math.max(1, Math.floor((last - first) / 24));
    const frames: number[] = [];
    for (let i = first; i <= last; i += step) if (!isMark(i / parts)) frames.push(i / parts);
    return frames;
  }

  /** What is wrong with a source at some frames, against the curve in seconds that it should play. */
  differs(
    source: string,
    frames: readonly number[],
    expected: (seconds: number) => number,
    size: number,
  ): string | undefined {
    for (const frame of frames) {
      const seconds = frame / this.rate;
      const wanted = expected(seconds);
      const got = this.play(source, seconds);
      if (Math.abs(got - wanted) <= this.options.tolerance * Math.max(size, Math.abs(wanted))) continue;
      return `${source} is ${got} at ${seconds} s, frame ${frame} of the motion, where the document has ${wanted}`;
    }
    return undefined;
  }

  /** As `differs`, for a curve that was applied. */
  strays(source: string, curve: Curve, frames: readonly number[]): string | undefined {
    return this.differs(source, frames, (seconds) => evaluate(curve, seconds), sizeOf(curve));
  }
}

/** Largest of what rounding in a curve goes by: values of keys and heights of handles, at least a thousandth. */
export function sizeOf(curve: Curve): number {
  const sizes = curve.keys.flatMap(({ value, arrives = value, in: before, out }) => [
    value,
    arrives,
    before.slope * before.span,
    out.slope * out.span,
  ]);
  return Math.max(1e-3, Math.abs(curve.gain ?? 0), ...sizes.map(Math.abs));
}
