import type { Curve, Tracked } from '../curves/curve.js';
import type { Body, BodySpec, Channels, Side, Sides, Walk } from '../gait/walk.js';

/** Values at rising times. A loop of samples has a `period`, and no second sample at its seam. */
export interface SampledPath {
  /** Times in s, rising. */
  readonly times: readonly number[];
  /** Values in m. */
  readonly values: readonly number[];
  /** Length of the cycle in s, where the samples are a loop. */
  readonly period?: number;
  /** What the value gains over one period, in m. Default 0. */
  readonly gain?: number;
}

/** What can be put on the scale. */
export type WeighedPath = Curve | SampledPath;

/** One foot on the scale; a `FootTrack` of the library is one. */
export interface WeighedFoot {
  readonly foot: Side;
  readonly forward: Curve;
  readonly side?: Curve;
  /** Times in s; the foot is taken to lie still from `flat` to `heelOff`, by default 15 to 60 % of the contact. */
  readonly contacts: readonly {
    readonly land: number;
    readonly flat?: number;
    readonly heelOff?: number;
    readonly lift: number;
  }[];
}

/** Curves to weigh, in m over s; what `keyRoot` returns is taken as it is. */
export interface WeighedCurves {
  readonly height: WeighedPath;
  readonly forward?: WeighedPath;
  readonly side?: WeighedPath;
  /** As a list, or as `keyMotion` gives them. */
  readonly feet?: readonly WeighedFoot[] | Sides<WeighedFoot>;
}

/** How the curves are meant. */
export interface WeighOptions {
  /** What the curves are the path of; has to be what they say themselves where they do. No default. */
  readonly of: Tracked;
  /** Frames per second of the table and of the keys, > 0; frame n is at n / fps. */
  readonly fps: number;
  readonly body?: BodySpec;
  /** Gravity in m/s², > 0. Default 9.80665. */
  readonly gravity?: number;
  /** What is meant: a sneak may be flat, a limp uneven. Default `walk`. */
  readonly gait?: 'walk' | 'sneak' | 'limp';
  /** Whether an open path is meant to repeat from its end. Default: whether it has a period. */
  readonly loops?: boolean;
  /** Steps in one cycle; whole, in [1, 64]. Default 2. */
  readonly steps?: number;
  /** Length of a step in m where there is no `forward`. Default: from the step's time. */
  readonly stepLength?: number;
  /** Times in s at which feet land, where no `feet` are given. */
  readonly landings?: readonly number[];
}

/** What a finding is about; stable, to be matched by tools. */
export type FindingCode =
  | 'pull'
  | 'mean-load'
  | 'floaty'
  | 'too-hard'
  | 'loop-pop-value'
  | 'loop-pop-slope'
  | 'loop-pop-load'
  | 'kink'
  | 'wrong-phase'
  | 'surge-reversed'
  | 'surge-missing'
  | 'straight-ramp'
  | 'skate'
  | 'uneven-steps'
  | 'limp'
  | 'repeated-frame'
  | 'keys-off-frames'
  | 'few-frames'
  | 'centimetres'
  | 'frames-as-seconds';

/** A number with its unit. */
export interface Quantity {
  readonly value: number;
  readonly unit: string;
}

/** Something wrong with the curves. */
export interface Finding {
  readonly code: FindingCode;
  /** A fault breaks physics or the loop; a warning reads as wrong. */
  readonly severity: 'fault' | 'warning';
  /** Path that it is found in. */
  readonly channel: keyof Channels<unknown> | Side;
  /** Frames that it is seen at, rising. */
  readonly frames: readonly number[];
  readonly measured: Quantity;
  /** Limit that the measured value should keep to. */
  readonly bound: Quantity;
  /** One plain sentence. */
  readonly text: string;
  /** One change, with its number. */
  readonly suggestion: { readonly text: string; readonly value: number; readonly unit: string };
}

/** One frame of the table. */
export interface WeighedFrame {
  readonly frame: number;
  /** Time in s. */
  readonly time: number;
  /** Height in m. */
  readonly height: number;
  /** Implied vertical load of both feet in BW, and in N. */
  readonly load: number;
  readonly newtons: number;
  /** Implied fore-aft and sideways force in BW, where there are such paths. */
  readonly forward?: number;
  readonly side?: number;
}

/** What the curves weigh. */
export interface WeighReport {
  readonly frames: readonly WeighedFrame[];
  /** Load in BW: mean over the whole, least and greatest, and when in s. */
  readonly load: {
    readonly mean: number;
    readonly min: number;
    readonly minAt: number;
    readonly max: number;
    readonly maxAt: number;
    /** Root mean square about the mean. */
    readonly swing: number;
  };
  /** What the step is taken to be. */
  readonly step: { readonly time: number; readonly length: number; readonly speed: number };
  /** Load swing (rms, BW) of a planned walk of this step and body, which `floaty` and `too-hard` compare with. */
  readonly expectedSwing: number;
  readonly findings: readonly Finding[];
}

/** A path with its derivatives, on the scale. */
export interface ReadPath {
  /** Writes value, first and second derivative in m and s. */
  jet(t: number, out: Float64Array): void;
  /** Times at which value, slope or load may jump: its keys; none for samples. */
  readonly keys: readonly number[];
  readonly start: number;
  readonly duration: number;
  /** Whether it repeats by itself. */
  readonly cyclic: boolean;
  readonly gain: number;
}

/** Everything that the checks read. */
export interface Weighed {
  readonly paths: { readonly height: ReadPath; readonly forward?: ReadPath; readonly side?: ReadPath };
  readonly feet: readonly WeighedFoot[];
  readonly start: number;
  readonly duration: number;
  /** Whether the whole is meant to repeat. */
  readonly loops: boolean;
  readonly fps: number;
  readonly gravity: number;
  readonly body: Body;
  readonly gait: 'walk' | 'sneak' | 'limp';
  readonly steps: number;
  readonly stepTime: number;
  readonly stepLength: number;
  readonly speed: number;
  /** How many times the centre of mass's rise and fall the path's is. */
  readonly rise: number;
  /** Landings in s within the cycle, rising; empty where unknown. */
  readonly landings: readonly number[];
  /** A planned walk of this step and body. */
  readonly model: Walk;
  /** Even times over the whole, with height (m), load (BW) and speed (m/s) at each. */
  readonly grid: {
    readonly time: Float64Array;
    readonly height: Float64Array;
    readonly load: Float64Array;
    readonly speed?: Float64Array;
  };
  /** Frame of a time. */
  frameOf(t: number): number;
}
