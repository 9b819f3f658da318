/** What one contact measures. Forces in BW, times as fractions of the contact, impulses in BW·s. */
export interface StepMeasures {
  /** Duration of the contact in s. */
  readonly contactTime: number;
  /** Highest vertical force in the first half of the contact, and when. */
  readonly firstPeak: number;
  readonly firstPeakAt: number;
  /** Lowest vertical force between the peaks, and when. */
  readonly trough: number;
  readonly troughAt: number;
  /** Highest vertical force in the second half, and when. */
  readonly secondPeak: number;
  readonly secondPeakAt: number;
  /** Greatest backward force, as a positive number, and when. */
  readonly braking: number;
  readonly brakingAt: number;
  /** Greatest forward force, and when. */
  readonly propulsion: number;
  readonly propulsionAt: number;
  /** Impulse of the backward forces, ≤ 0. */
  readonly brakingImpulse: number;
  /** Impulse of the forward forces, ≥ 0. */
  readonly propulsionImpulse: number;
  /** Impulse of the vertical force. */
  readonly verticalImpulse: number;
}

/** Names of the measures. */
export const STEP_MEASURES = [
  'contactTime',
  'firstPeak',
  'firstPeakAt',
  'trough',
  'troughAt',
  'secondPeak',
  'secondPeakAt',
  'braking',
  'brakingAt',
  'propulsion',
  'propulsionAt',
  'brakingImpulse',
  'propulsionImpulse',
  'verticalImpulse',
] as const satisfies readonly (keyof StepMeasures)[];

/** Landing and lifting in s. */
interface Span {
  readonly land: number;
  readonly lift: number;
}

/**
 * Measures one contact off columns of vertical and forward force in BW at `rate` samples per second. The
 * first peak is sought in the first half of the contact, the second in the second, the trough between.
 */
export function measureStance(
  vertical: readonly number[],
  forward: readonly number[],
  rate: number,
  { land, lift }: Span,
): StepMeasures {
  const from = Math.max(0, Math.ceil(land * rate));
  const to = Math.min(vertical.length - 1, Math.floor(lift * rate));
  const middle = (from + to) / 2;
  let [first, second, brake, push] = [from, to, from, from];
  let [brakingImpulse, propulsionImpulse, verticalImpulse] = [0, 0, 0];
  for (let i = from; i <= to; i++) {
    if (i <= middle && vertical[i] > vertical[first]) first = i;
    if (i >= middle && vertical[i] >= vertical[second]) second = i;
    if (forward[i] < forward[brake]) brake = i;
    if (forward[i] > forward[push]) push = i;
    brakingImpulse += Math.min(0, forward[i]) / rate;
    propulsionImpulse += Math.max(0, forward[i]) / rate;
    verticalImpulse += vertical[i] / rate;
  }
  let trough = first;
  for (let i = first; i <= second; i++) if (vertical[i] < vertical[trough]) trough = i;
  const contactTime = lift - land;
  const at = (i: number): number => Math.min(1, Math.max(0, (i / rate - land) / contactTime));
  return {
    contactTime,
    firstPeak: vertical[first],
    firstPeakAt: at(first),
    trough: vertical[trough],
    troughAt: at(trough),
    secondPeak: vertical[second],
    secondPeakAt: at(second),
    braking: Math.max(0, -forward[brake]),
    brakingAt: at(brake),
    propulsion: Math.max(0, forward[push]),
    propulsionAt: at(push),
    brakingImpulse,
    propulsionImpulse,
    verticalImpulse,
  };
}
