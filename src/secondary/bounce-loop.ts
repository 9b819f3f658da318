import type { Series } from '../curves/series.js';
import { errorOf } from '../internal/check.js';
import type { Axis } from './bounce-part.js';

/** How near its own frequency an undamped part may be driven, relative; nearer, the answer is rounding. */
const RESONANCE = 1e-9;

/**
 * The exact loop of one axis on an exact path: displacement from rest relative to the carrier, in m.
 * Harmonic by harmonic, Z = −(A + 2ζω₀V) / (ω₀² − ω² + 2iζω₀ω) with A the carrier's acceleration and V its
 * velocity, which counts where the damper is tied to still air.
 */
export function answerAxis(where: string, path: Series, axis: Axis, air: boolean): Series {
  const { omega: own, zeta } = axis;
  const rate = (2 * Math.PI) / path.period;
  const drag = 2 * zeta * own;
  const cos: number[] = [];
  const sin: number[] = [];
  for (let k = 0; k < path.cos.length; k++) {
    const w = (k + 1) * rate;
    const [a, b] = [path.cos[k], path.sin[k]];
    if (zeta === 0 && (a !== 0 || b !== 0) && Math.abs(w - own) <= RESONANCE * own) {
      const rule = `must be > 0 where harmonic ${k + 1} of the drive, ${(w / (2 * Math.PI)).toFixed(6)} Hz, meets the part's own frequency`;
      throw errorOf(where, { field: 'part.dampingRatio', rule, got: '0', kind: 'range' });
    }
    const re = (own - w) * (own + w);
    const im = drag * w;
    const size = re * re + im * im;
    // Drive per displacement: w² against the parent, w² − i·drag·w against the air.
    const driveIm = air ? -drag * w : 0;
    const gainRe = (w * w * re + driveIm * im) / size;
    const gainIm = (driveIm * re - w * w * im) / size;
    // A term a cos + b sin is the real part of (a − ib) e^{iwt}.
    cos.push(a * gainRe + b * gainIm);
    sin.push(b * gainRe - a * gainIm);
  }
  const trail = air ? (-drag * (path.drift / path.period)) / own ** 2 : 0;
  return { period: path.period, mean: trail, drift: 0, cos, sin };
}
