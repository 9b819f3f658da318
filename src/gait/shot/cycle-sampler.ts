import type { Walk } from '../walk.js';

/** Numbers of one harmonic: cosine and sine term of height, forward and side. */
const PER_HARMONIC = 6;

/**
 * Writes the oscillation of a cycle's height, forward and side about their means and even progress, each
 * with its first and second derivative by the phase, into `out[0..8]`.
 */
export type CycleSampler = (phase: number, out: Float64Array) => void;

/** A prepared reader of a cycle; allocates nothing. */
export function prepareCycle({ centre }: Walk): CycleSampler {
  const all = [centre.height, centre.forward, centre.side];
  const most = Math.max(...all.map(({ cos }) => cos.length));
  const terms = new Float64Array(PER_HARMONIC * most);
  for (const [j, { cos, sin }] of all.entries()) {
    for (let k = 0; k < cos.length; k++) {
      terms[PER_HARMONIC * k + 2 * j] = cos[k];
      terms[PER_HARMONIC * k + 2 * j + 1] = sin[k];
    }
  }
  return (phase, out) => {
    const theta = 2 * Math.PI * (phase - Math.floor(phase));
    const c1 = Math.cos(theta);
    const s1 = Math.sin(theta);
    let c = 1;
    let s = 0;
    out.fill(0, 0, 9);
    for (let k = 0; k < most; k++) {
      const next = c * c1 - s * s1;
      s = s * c1 + c * s1;
      c = next;
      const w = 2 * Math.PI * (k + 1);
      for (let j = 0; j < 3; j++) {
        const a = terms[PER_HARMONIC * k + 2 * j];
        const b = terms[PER_HARMONIC * k + 2 * j + 1];
        // Of equal halves every other harmonic is nothing.
        if (a === 0 && b === 0) continue;
        const inPhase = a * c + b * s;
        out[3 * j] += inPhase;
        out[3 * j + 1] += w * (b * c - a * s);
        out[3 * j + 2] -= w * w * inPhase;
      }
    }
  };
}

/** Writes the oscillation of a cycle's height alone, with its first and second derivative by the phase. */
export function prepareCycleHeight({ centre }: Walk): CycleSampler {
  const { cos, sin } = centre.height;
  return (phase, out) => {
    const theta = 2 * Math.PI * (phase - Math.floor(phase));
    const c1 = Math.cos(theta);
    const s1 = Math.sin(theta);
    let c = 1;
    let s = 0;
    out.fill(0, 0, 3);
    for (let k = 0; k < cos.length; k++) {
      const next = c * c1 - s * s1;
      s = s * c1 + c * s1;
      c = next;
      const w = 2 * Math.PI * (k + 1);
      const inPhase = cos[k] * c + sin[k] * s;
      out[0] += inPhase;
      out[1] += w * (sin[k] * c - cos[k] * s);
      out[2] -= w * w * inPhase;
    }
  };
}
