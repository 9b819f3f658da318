/**
 * Where to look for the segment that holds a time: the range in as many equal buckets as there are segments, and for
 * each the first segment that can hold one of its times. With keys evenly apart that is the answer.
 */

/** Buckets per second, as `makeBuckets` and whoever looks in them count them. */
export function bucketRate(bounds: Float64Array): number {
  const segments = bounds.length - 1;
  const rate = segments / (bounds[segments] - bounds[0]);
  return Number.isFinite(rate) ? rate : 0;
}

/** For each bucket, and one after the last, the number of the last segment that begins before it. */
export function makeBuckets(bounds: Float64Array): Int32Array {
  const segments = bounds.length - 1;
  const rate = bucketRate(bounds);
  const buckets = new Int32Array(segments + 2);
  let i = 0;
  for (let k = 0; k < buckets.length; k++) {
    while (i + 1 < segments && (bounds[i + 1] - bounds[0]) * rate < k) i++;
    buckets[k] = i;
  }
  return buckets;
}
